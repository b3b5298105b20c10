//! What came home since the programme was accepted: sessions, which the rules read, and what tells of harm and of no
//! single direction, which a person has to ask about.

use anatomy::Side;
use exchange::typed::{Summary, Worst};
use jiff::civil::Date;
use movement::Bearing;
use progress::Session;
use store::{Moment, PersonId, RecordId};

use crate::sessions::logged;
use crate::stops::{is_unnamed, stops, was_asked_about};
use crate::{Desk, Entry, Error, PracticeRecord, ProgrammeRecord, Stop};

/// What came home of the programme that was accepted last.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Since {
    /// What was done and what hurt, oldest first. Of what was told before the programme was made, on the same day,
    /// only a stop sign still counts: what hurt then was answered. Of what was told before it was changed by hand,
    /// only what hurt counts: that nobody answered, and what was clean was another programme.
    pub sessions: Vec<Session>,
    /// What tells of pain or of a stop and not of a session, newest first, until somebody asked.
    pub told: Vec<Told>,
    /// What was told in words, newest first: no rule reads it.
    pub remarks: Vec<PracticeRecord>,
    /// As [`Desk::stops`], of the same reading.
    pub stops: Vec<Stop>,
}

/// A code that tells of harm, and of what nobody asked yet.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The entry.
    pub entry: RecordId,
    /// What it says.
    pub record: PracticeRecord,
    /// It tells of pain. Asked is what hurt once sessions of the days it counts tell of pain in each of its directions,
    /// or a clinician wrote down what was said.
    pub pain: bool,
    /// It tells of a stop sign and not which. Asked is which once a session of its days has a sign, or a clinician
    /// looked.
    pub stop: bool,
}

impl PracticeRecord {
    /// Whether it tells of pain or of a stop without saying in which session: the summary of a typed code.
    #[must_use]
    pub fn tells_of_harm_only(&self) -> bool {
        self.session().is_none() && self.summary.as_ref().is_some_and(Summary::tells_of_harm)
    }

    /// Whether what was entered later tells of pain in every direction in which this code does: in sessions of the days
    /// that it counts and of the programme made for `made`. That it did not hurt answers nothing: it did.
    fn is_told_again<'a>(&self, later: impl Iterator<Item = &'a PracticeRecord> + Clone, made: Date) -> bool {
        let Some(told) = &self.summary else { return true };
        let of_its_days = later.filter(|one| told.counts(one.on) && made <= one.on);
        let hurt = |(mover, bearing): (Side, Bearing)| {
            let mut items = of_its_days.clone().flat_map(|one| &one.items);
            items.any(|item| (item.mover, item.bearing) == (mover, bearing) && item.hurt() == Some(true))
        };
        let places = told.worst.iter().filter(|(_, _, worst)| *worst != Worst::None);
        places.map(|(mover, bearing, _)| (*mover, *bearing)).all(hurt)
    }
}

impl Desk {
    /// What came home since the programme was accepted that was made for `made`.
    ///
    /// # Errors
    /// There is no such person, or an entry is damaged.
    pub async fn since(&self, person: PersonId, made: Date) -> Result<Since, Error> {
        let programmes = self.read::<ProgrammeRecord>(person).await?;
        let (answered, changed) = accepted(&programmes, made);
        let logs = self.read::<PracticeRecord>(person).await?;
        let written = |record| logs.iter().find(|entry| entry.record == record).map(|entry| entry.at);
        let is_before =
            |at: Option<Moment>, what: Option<Moment>| at.zip(what).is_some_and(|(at, what)| at < what);
        let mut sessions = Vec::new();
        for one in logged(&logs) {
            let mut session = one.session;
            let at = written(one.record);
            if session.on == made && is_before(at, answered) {
                if session.stopped.is_none() {
                    continue;
                }
                session.cells.clear();
                (session.pain_before, session.effort, session.morning) = (None, None, None);
            } else if is_before(at, changed) {
                session.cells.retain(|(_, done)| done.hurt() == Some(true));
            }
            sessions.push(session);
        }
        let before = |entry: &Entry<PracticeRecord>| is_before(Some(entry.at), answered);
        let decisions = self.decisions(person).await?;
        // Entries stand in the order in which they were written.
        let is_pain_open = |at: usize, entry: &Entry<PracticeRecord>| {
            let later = logs[at + 1..].iter().map(|one| &one.body);
            entry.body.tells_of_harm_only()
                && !before(entry)
                && !entry.body.is_told_again(later, made)
                && !was_asked_about(entry.record, &decisions)
        };
        let mut told: Vec<Told> = logs
            .iter()
            .enumerate()
            .map(|(at, entry)| {
                // Accepting a programme answers pain, and no stop sign.
                let (pain, stop) = (is_pain_open(at, entry), is_unnamed(&logs, at, &decisions));
                Told { entry: entry.record, record: entry.body.clone(), pain, stop }
            })
            .filter(|one| one.pain || one.stop)
            .collect();
        told.reverse();
        let mut remarks: Vec<PracticeRecord> = logs
            .iter()
            .filter(|entry| !before(entry) && !entry.body.remark.is_empty())
            .map(|entry| entry.body.clone())
            .collect();
        remarks.reverse();
        let stops = stops(&logs, &decisions);
        Ok(Since { sessions, told, remarks, stops })
    }
}

/// When the programme was accepted that was made for `made`, and when it was changed by hand last, if it was. One that
/// was stored again, as taking a decision back does, was accepted the first time.
fn accepted(programmes: &[Entry<ProgrammeRecord>], made: Date) -> (Option<Moment>, Option<Moment>) {
    let Some(newest) = programmes.last() else { return (None, None) };
    let changed = newest.body.by_hand.then_some(newest.at);
    let answer = programmes.iter().rfind(|one| !one.body.by_hand && one.body.for_day == made);
    let Some(answer) = answer else { return (None, changed) };
    let same = |one: &&Entry<ProgrammeRecord>| {
        let (one, answer) = (&one.body, &answer.body);
        !one.by_hand && one.for_day == made && one.exercises == answer.exercises
    };
    (programmes.iter().find(same).map(|one| one.at), changed)
}
