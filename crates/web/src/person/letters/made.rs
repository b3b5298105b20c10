//! Has a letter written from what stands in the other tabs.

use std::sync::Arc;

use app::{Again, LetterBase, LetterSources, PracticeLog, letter_case};
use clinic::{PracticeRecord, Standing};
use document::Letter;
use safety::Alert;

use super::super::programme::{Accepted, accepted};
use super::{Chosen, author};
use crate::fault::Fault;
use crate::reckon::blocking;
use crate::seat::{Seat, Whose};

/// What came of it.
pub(super) enum Made {
    /// Nothing is known of the person.
    Nothing,
    /// A red flag goes before every letter.
    Alert(Box<Alert>),
    /// The letter.
    Letter(Box<Letter>),
}

/// Writes the letter from the newest findings, the accepted programme, every measure and every log.
pub(super) async fn made(
    seat: &Seat,
    whose: &Whose,
    standing: &Arc<Standing>,
    chosen: Chosen,
) -> Result<Made, Fault> {
    let (Some(bench), Some(case)) = (seat.reckon().bench(standing).await?, standing.case.clone()) else {
        return Ok(Made::Nothing);
    };
    let programme = match accepted(seat, standing, &bench).await? {
        Some(Accepted { waits: false, again: Again::Today { programme, .. }, .. })
            if !programme.exercises.is_empty() =>
        {
            Some(*programme)
        }
        _ => None,
    };
    let space = seat.reckon().space(standing).await?;
    let measured = seat.desk.measured(whose.0).await?;
    let sessions = seat.desk.sessions(whose.0).await?;
    let entries = seat.desk.read::<PracticeRecord>(whose.0).await?;
    let uncounted = entries.iter().filter(|entry| entry.body.session().is_none()).count();
    let stops = seat.desk.stops(whose.0).await?.into_iter();
    let unnamed_stops = stops.filter(|stop| stop.sign.is_none()).map(|stop| stop.on).collect();
    let author = author(seat)?;
    let day = standing.day;
    let letter = blocking(move || {
        let prescription = programme.as_ref().map(app::prescription_of);
        let base = LetterBase::known(programme, space.as_deref());
        let log = (!sessions.is_empty() || uncounted > 0).then_some(PracticeLog {
            prescription,
            sessions,
            uncounted,
            unnamed_stops,
        });
        let from = LetterSources {
            case: &case,
            today: day,
            // A student's letter is prepared for nobody's name.
            author: Some(author.as_deref().unwrap_or_default()),
            measures: measured.measures.as_ref(),
            log: log.as_ref(),
            activity: chosen.activity,
        };
        letter_case(chosen.kind, &from, &base, chosen.language)
    })
    .await?;
    Ok(match letter {
        Ok(letter) => Made::Letter(Box::new(letter)),
        Err(alert) => Made::Alert(alert),
    })
}
