//! The programme that was accepted last, permitted again today.

use app::Again;
use clinic::{ProgrammeRecord, Standing};

use super::kept;
use crate::fault::Fault;
use crate::reckon::{Bench, blocking};
use crate::seat::Seat;

/// The programme that was accepted last.
pub(in crate::person) struct Accepted {
    /// As it was kept.
    pub record: ProgrammeRecord,
    /// What both gates say of it today.
    pub again: Again,
    /// A student accepted it and nobody has countersigned it.
    pub waits: bool,
}

/// Reads it and asks both gates about every movement of it. None before anything was accepted.
pub(in crate::person) async fn accepted(
    seat: &Seat,
    standing: &Standing,
    bench: &Bench,
) -> Result<Option<Accepted>, Fault> {
    let Some(record) = standing.programme.clone() else { return Ok(None) };
    let waits = seat.desk.programme_waits(standing.line.id).await?;
    let bench = bench.clone();
    Ok(Some(
        blocking(move || {
            let again = app::programme_again(&bench.case, bench.day, kept(&record), bench.movements.as_ref());
            Accepted { record, again, waits }
        })
        .await?,
    ))
}
