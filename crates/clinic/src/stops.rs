//! What stops everything until a clinician has looked: stop signs that were told, and codes that tell of one and not which.

use std::fmt;

use jiff::civil::Date;
use progress::{Cleared, StopSign, stop_signs};
use safety::day_in_words;
use store::{PersonId, RecordId};

use crate::adaptation::{cleared_last, standing};
use crate::sessions::logged;
use crate::{AdaptationRecord, Desk, Entry, Error, PracticeRecord};

/// A stop that nobody has looked at yet.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stop {
    /// The day of the session; of a code, the last day it counts.
    pub on: Date,
    /// The sign; none where a code tells of one and not which.
    pub sign: Option<StopSign>,
}

impl fmt::Display for Stop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let on = day_in_words(self.on);
        match self.sign {
            Some(sign) => write!(f, "A stop sign of {on} was not looked at: {}.", sign.words()),
            None => write!(f, "A stop sign ended a session, up to {on}, and nobody said which."),
        }
    }
}

impl Desk {
    /// What stops everything, of any programme: nothing goes home before a clinician has looked.
    ///
    /// # Errors
    /// There is no such person, or an entry is damaged.
    pub async fn stops(&self, person: PersonId) -> Result<Vec<Stop>, Error> {
        Ok(stops(&self.read::<PracticeRecord>(person).await?, &self.decisions(person).await?))
    }
}

/// Entries and decisions stand in the order in which they were written.
pub(crate) fn stops(logs: &[Entry<PracticeRecord>], decisions: &[Entry<AdaptationRecord>]) -> Vec<Stop> {
    let looked_at = cleared_last(decisions).map(|cleared: Cleared| cleared.signs).unwrap_or_default();
    let sessions: Vec<_> = logged(logs).into_iter().map(|one| one.session).collect();
    let told = stop_signs(&sessions).into_iter().filter(|told| !looked_at.contains(told));
    let mut out: Vec<Stop> = told.map(|told| Stop { on: told.on, sign: Some(told.sign) }).collect();
    let codes = logs.iter().enumerate().filter(|(at, _)| is_unnamed(logs, *at, decisions));
    out.extend(codes.map(|(_, code)| Stop { on: code.body.on, sign: None }));
    out
}

/// Whether an entry tells of a stop sign, looked at or not.
pub(crate) fn may_stop(log: &PracticeRecord) -> bool {
    let told = log.stopped.is_some_and(StopSign::stops_everything);
    told || log.summary.as_ref().is_some_and(|code| code.stopped)
}

/// Whether this entry is a code that tells of a stop sign which nobody named or looked at since.
pub(crate) fn is_unnamed(
    logs: &[Entry<PracticeRecord>],
    at: usize,
    decisions: &[Entry<AdaptationRecord>],
) -> bool {
    let code = &logs[at];
    let Some(told) = code.body.summary.as_ref().filter(|_| code.body.tells_of_harm_only()) else {
        return false;
    };
    // What was known before the code came is not what it tells of, or not all of it.
    let mut later = logs[at + 1..].iter().map(|one| &one.body);
    let named = later.any(|one| one.stopped.is_some() && told.counts(one.on));
    told.stopped && !named && !was_asked_about(code.record, decisions)
}

/// Whether a clinician asked about just this entry and wrote down what was found.
pub(crate) fn was_asked_about(code: RecordId, decisions: &[Entry<AdaptationRecord>]) -> bool {
    let code = code.to_string();
    standing(decisions).into_iter().any(|one| one.body.asked_about.contains(&code))
}
