//! What the rules proposed after what came home, and what was answered: the trace, and what follows from it.

use app::Earlier;
use jiff::civil::Date;
use person::Finding;
use progress::{Answered, Cleared, Effusion, Verdict};
use serde::{Deserialize, Serialize};
use store::{PersonId, RecordId};

use crate::{CaseRecord, Desk, Entry, Error, ProgrammeRecord};

/// One decision about what came home.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AdaptationRecord {
    /// The day.
    pub on: Date,
    /// The day the programme was made for, whose log it is about.
    pub programme_of: Date,
    /// A name for the proposals and the answers it is of: a form that is sent twice has the same.
    #[serde(default)]
    pub of: String,
    /// What the rules said of the whole programme, and why, as sentences.
    pub said: Vec<String>,
    /// Each proposal that was answered, with the answer.
    #[serde(default)]
    pub answers: Vec<AnsweredProposal>,
    /// Proposals that nobody answered, as sentences; they stay open.
    #[serde(default)]
    pub unanswered: Vec<String>,
    /// What became of the programme, as sentences.
    #[serde(default)]
    pub became: Vec<String>,
    /// A clinician looked at the stop signs that had been told of.
    #[serde(default)]
    pub cleared: Option<Cleared>,
    /// Codes that told of harm and of no session, and that stood there when it was written down; their entries.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub asked_about: Vec<String>,
    /// The decision that this one takes back; its text, as in [`RecordId`].
    #[serde(default)]
    pub takes_back: Option<String>,
    /// Why it takes that back.
    #[serde(default)]
    pub why: String,
    /// Everything that the engine said that day: for reading, never for deciding.
    #[serde(default)]
    pub engine: serde_json::Value,
}

/// One proposal and its answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AnsweredProposal {
    /// Its name among the proposals of that day.
    pub key: String,
    /// Whether it was a step up.
    #[serde(default)]
    pub step_up: bool,
    /// What was proposed, what was taken in its place, and the answer.
    #[serde(flatten)]
    pub answered: Answered,
}

impl AnsweredProposal {
    /// Whether something came of it.
    #[must_use]
    pub fn was_taken(&self) -> bool {
        self.answered.answer.verdict != Verdict::Declined
    }
}

/// A decision with what it makes of case and programme; stored together or not at all.
#[derive(Clone, Debug, PartialEq)]
pub struct Decision {
    /// The trace.
    pub adaptation: AdaptationRecord,
    /// The case and the programme after it; none where nothing was taken.
    pub after: Option<(CaseRecord, ProgrammeRecord)>,
}

impl Desk {
    /// Stores a decision. The same `once` stores it once.
    ///
    /// # Errors
    /// The text of the case is not one, the role may not decide, or the disk is full; nothing is stored then.
    pub async fn decide(&self, person: PersonId, decision: &Decision, once: &str) -> Result<(), Error> {
        let mut records = Vec::new();
        if let Some((case, programme)) = &decision.after {
            person::case_file::read_bytes("the findings", case.text.as_bytes())?;
            records.push(self.new_record(person, case, once)?);
            records.push(self.new_record(person, programme, once)?);
        }
        records.push(self.new_record(person, &decision.adaptation, once)?);
        self.session().append_many(records).await?;
        self.clinic().got_an_entry(person);
        Ok(())
    }

    /// Every decision, the oldest first; those that were taken back and those that take back too.
    ///
    /// # Errors
    /// As [`Desk::read`].
    pub async fn decisions(&self, person: PersonId) -> Result<Vec<Entry<AdaptationRecord>>, Error> {
        self.read(person).await
    }

    /// Takes the last decision back: findings and programme say again what they said before it, as new entries.
    ///
    /// # Errors
    /// It is not there or was taken back already, findings or programme were changed after it, or those of
    /// [`Desk::decide`].
    pub async fn take_back(
        &self,
        person: PersonId,
        (decision, on, why): (RecordId, Date, &str),
        once: &str,
    ) -> Result<(), Error> {
        let all = self.decisions(person).await?;
        let standing = standing(&all);
        let refused = |given: String, accepted: &str, to_do: &'static str| Error::Given {
            what: "the decision to take back",
            given,
            accepted: accepted.to_owned(),
            to_do,
        };
        let Some(entry) = standing.last().filter(|one| one.record == decision) else {
            let given = decision.to_string();
            return Err(refused(given, "the last one that stands", "open the home log again"));
        };
        if why.trim().is_empty() {
            return Err(refused(String::new(), "a reason", "write in a few words why it is taken back"));
        }
        let (cases, programmes) =
            (self.read::<CaseRecord>(person).await?, self.read::<ProgrammeRecord>(person).await?);
        let changed = entry.body.answers.iter().any(AnsweredProposal::was_taken);
        let after = if changed {
            let before = |at: usize| at.checked_sub(2);
            let is_last = cases.last().is_some_and(|one| one.at == entry.at)
                && programmes.last().is_some_and(|one| one.at == entry.at);
            let found = before(cases.len()).zip(before(programmes.len())).filter(|_| is_last);
            let Some((case, programme)) = found else {
                return Err(refused(
                    entry.body.on.to_string(),
                    "a decision after which nothing was changed",
                    "change findings or programme by hand, or bring a version of the findings back",
                ));
            };
            let words = format!("Takes back what was decided on {}: {}", entry.body.on, why.trim());
            Some((
                CaseRecord { why: words.clone(), ..cases[case].body.clone() },
                ProgrammeRecord { why: words, ..programmes[programme].body.clone() },
            ))
        } else {
            None
        };
        let adaptation = AdaptationRecord {
            on,
            programme_of: entry.body.programme_of,
            of: String::new(),
            said: Vec::new(),
            answers: Vec::new(),
            unanswered: Vec::new(),
            became: Vec::new(),
            cleared: None,
            asked_about: Vec::new(),
            takes_back: Some(decision.to_string()),
            why: why.trim().to_owned(),
            engine: serde_json::Value::Null,
        };
        self.decide(person, &Decision { adaptation, after }, once).await
    }

    /// What the records hold of earlier visits: swelling that was found, the last step up, and who cleared a stop.
    ///
    /// # Errors
    /// As [`Desk::read`].
    pub async fn earlier(&self, person: PersonId) -> Result<Earlier, Error> {
        let all = self.decisions(person).await?;
        let standing = standing(&all);
        let stepped_up = |one: &&Entry<AdaptationRecord>| {
            one.body.answers.iter().any(|answer| answer.step_up && answer.was_taken())
        };
        let versions = self.read::<CaseRecord>(person).await?;
        // What the newest version says the rules read in the case itself.
        let newest = swelling(versions.last().map_or(&[], std::slice::from_ref));
        let mut effusion = swelling(&versions);
        effusion.retain(|one| !newest.contains(one));
        Ok(Earlier {
            effusion,
            last_step_up: standing.iter().copied().filter(stepped_up).map(|one| one.body.on).max(),
            cleared: cleared_last(&all),
        })
    }
}

/// What a clinician looked at last.
pub(crate) fn cleared_last(all: &[Entry<AdaptationRecord>]) -> Option<Cleared> {
    standing(all).iter().filter_map(|one| one.body.cleared.clone()).max_by_key(|cleared| cleared.on)
}

/// The decisions that stand: neither taken back nor taking back, the oldest first.
pub(crate) fn standing(all: &[Entry<AdaptationRecord>]) -> Vec<&Entry<AdaptationRecord>> {
    let gone: Vec<&str> = all.iter().filter_map(|one| one.body.takes_back.as_deref()).collect();
    all.iter()
        .filter(|one| one.body.takes_back.is_none() && !gone.contains(&one.record.to_string().as_str()))
        .collect()
}

/// Swelling of every version of the findings; of one knee on one day what the last version says.
fn swelling(versions: &[Entry<CaseRecord>]) -> Vec<Effusion> {
    let mut out: Vec<Effusion> = Vec::new();
    for version in versions {
        // A version that an older program stored and this one cannot read tells nothing here.
        let Ok(case) = person::case_file::read("an earlier version", &version.body.text) else { continue };
        for side in anatomy::Side::BOTH {
            let Finding::Found { value: grade, on } = *case.findings.effusion.get(side) else { continue };
            match out.iter_mut().find(|one| one.side == side && one.on == on) {
                Some(known) => known.grade = grade,
                None => out.push(Effusion { on, side, grade }),
            }
        }
    }
    out
}
