//! Programmes that may have gone home without these records knowing, of the one that was accepted last.

use app::Again;
use clinic::Standing;
use document::{Language, PageOrder, PageSettings, PageStore, Units};
use exchange::Programme;

use crate::fault::Fault;
use crate::person::programme::{Accepted, accepted};
use crate::reckon::blocking;
use crate::seat::Seat;

/// A page of the accepted programme in every language, unit and fixed order: it has the same mark wherever it was
/// made. One called by chance has a mark of its own and is known where it was handed out from here.
pub(super) async fn elsewhere(seat: &Seat, standing: &Standing) -> Result<Vec<Programme>, Fault> {
    let Some(bench) = seat.reckon().bench(standing).await? else { return Ok(Vec::new()) };
    let programme = match accepted(seat, standing, &bench).await? {
        Some(Accepted { waits: false, again: Again::Today { programme, .. }, .. }) => programme,
        _ => return Ok(Vec::new()),
    };
    if programme.exercises.is_empty() {
        return Ok(Vec::new());
    }
    let case = bench.case.clone();
    let all = blocking(move || {
        let mut all = Vec::new();
        for language in Language::ALL {
            for units in [Units::Metric, Units::Imperial] {
                for order in [PageOrder::Round, PageOrder::Reverse] {
                    // Where a page keeps its log is no part of its mark.
                    let settings = PageSettings { language, units, order, store: PageStore::of([0; 40]) };
                    let practised = document::practised(&programme, &case.person, &settings);
                    all.extend(Programme::from_json(&practised.to_string()));
                }
            }
        }
        all
    });
    all.await
}
