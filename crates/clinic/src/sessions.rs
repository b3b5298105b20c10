//! Logs of the home log as sessions, for whoever counts them.

use progress::{Cell, Done, Rung, Session};
use store::PersonId;

use crate::{Desk, Error, PracticeRecord};

impl Desk {
    /// Every log that says what was done, as sessions, oldest first. A log of remarks only tells no direction; a
    /// direction of which nobody said whether it hurt is not counted either way.
    ///
    /// # Errors
    /// There is no such person, or an entry is damaged.
    pub async fn sessions(&self, person: PersonId) -> Result<Vec<Session>, Error> {
        let mut logs: Vec<PracticeRecord> =
            self.read::<PracticeRecord>(person).await?.into_iter().map(|entry| entry.body).collect();
        logs.sort_by_key(|log| log.on);
        let mut out: Vec<Session> = Vec::new();
        for log in logs.iter().filter(|log| !log.items.is_empty()) {
            let nth = out.iter().filter(|one| one.on == log.on).count() + 1;
            out.push(Session {
                on: log.on,
                nth: u8::try_from(nth).unwrap_or(u8::MAX),
                pain_before: log.pain_before,
                cells: log.items.iter().filter_map(cell).collect(),
                stopped: None,
                effort: None,
                morning: None,
            });
        }
        Ok(out)
    }
}

fn cell(item: &crate::PracticeItem) -> Option<(Cell, Done)> {
    let cell = Cell {
        exercise: item.exercise,
        mover: item.mover,
        bearing: item.bearing,
        crossing: item.crossing,
        family: item.family,
    };
    let done = match (item.done, item.pain) {
        (crate::Done::LeftOut, _) => Done::NotDone,
        (crate::Done::InPart, Some(pain)) => Done::Done { pain: Some(pain), rung: Rung::Shortened },
        (crate::Done::Done, Some(pain)) => Done::Done { pain: Some(pain), rung: Rung::Whole },
        (crate::Done::InPart | crate::Done::Done, None) => return None,
    };
    Some((cell, done))
}
