//! Logs of the home log as sessions, for whoever counts them.

use std::collections::BTreeSet;

use exchange::Mark;
use jiff::civil::Date;
use progress::Session;
use store::{PersonId, RecordId};

use crate::{Desk, Entry, Error, LogSource, PracticeRecord};

/// A session with the entry that tells of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Logged {
    /// The entry.
    pub record: RecordId,
    /// How we know.
    pub source: LogSource,
    /// The programme it is of; none where nobody said.
    pub programme: Option<Mark>,
    /// What was done and what hurt.
    pub session: Session,
}

impl Desk {
    /// Every log that says what was done, as sessions, oldest first. A log of remarks only tells no direction, and
    /// the summary of a typed code no single session; a direction of which nobody said whether it hurt is not
    /// counted either way.
    ///
    /// # Errors
    /// There is no such person, or an entry is damaged.
    pub async fn sessions(&self, person: PersonId) -> Result<Vec<Session>, Error> {
        Ok(self.logged(person).await?.into_iter().map(|one| one.session).collect())
    }

    /// As [`Desk::sessions`], each with its entry and its programme.
    ///
    /// # Errors
    /// As [`Desk::sessions`].
    pub async fn logged(&self, person: PersonId) -> Result<Vec<Logged>, Error> {
        Ok(logged(&self.read::<PracticeRecord>(person).await?))
    }
}

/// The sessions of entries, oldest first. What nobody counted takes the first free number of its day, in the
/// order in which it was entered.
pub(crate) fn logged(entries: &[Entry<PracticeRecord>]) -> Vec<Logged> {
    let counted = entries.iter().filter_map(|entry| Some((entry.body.on, entry.body.nth?)));
    let mut taken: BTreeSet<(Date, u8)> = counted.collect();
    let mut out: Vec<Logged> = Vec::new();
    for Entry { record, body, .. } in entries {
        let Some(mut session) = body.session() else { continue };
        if body.nth.is_none() {
            session.nth = (1..u8::MAX).find(|nth| !taken.contains(&(body.on, *nth))).unwrap_or(u8::MAX);
            taken.insert((body.on, session.nth));
        }
        out.push(Logged { record: *record, source: body.source, programme: body.programme, session });
    }
    out.sort_by_key(|one| (one.session.on, one.session.nth));
    out
}
