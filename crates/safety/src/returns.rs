//! Whether somebody may return to an activity: time, criteria, and then a clinician's word.

use jiff::civil::Date;
use serde::Serialize;

use crate::condition_state::ConditionState;
use crate::criteria::Asked;
use crate::words;

/// How far somebody is from an activity.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "readiness", rename_all = "snake_case")]
pub enum Readiness {
    /// Time and criteria hold; the tool never decides: a clinician confirms.
    ForTheClinicianToConfirm,
    /// Something does not hold.
    NotYet {
        /// What is the case.
        because: Vec<String>,
        /// What is needed.
        needed: Vec<String>,
    },
}

/// A finding that is given as a reason, and the day it dates from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cited {
    /// The finding with its value, as the reason says it.
    pub words: String,
    /// The day.
    pub on: Date,
}

/// What is missing for a return.
pub(crate) struct MissingForReturn {
    /// What is the case.
    pub(crate) because: String,
    /// What is needed.
    pub(crate) needed: String,
    /// The day of the finding, where a finding is the reason.
    pub(crate) on: Option<Date>,
}

/// An activity and what today's findings say about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ReturnToday {
    /// The presentation whose criteria they are.
    pub condition: String,
    /// The rule, such as `ACL-RUN`.
    pub rule: String,
    /// The activity, such as `running`.
    pub activity: String,
    /// The verdict.
    pub readiness: Readiness,
    /// The findings among the reasons, with the days they date from.
    pub cited: Vec<Cited>,
    /// Where sources disagree; empty where they do not.
    pub varies: String,
    /// Bibliography key.
    pub source: String,
}

impl MissingForReturn {
    fn cited(&self) -> Option<Cited> {
        self.on.map(|on| Cited { words: self.because.clone(), on })
    }
}

/// Every activity that a presentation has criteria for.
pub(crate) fn resolve(states: &[(ConditionState<'_>, u8)], asked: Asked<'_>) -> Vec<ReturnToday> {
    let mut out = Vec::new();
    for (state, _) in states {
        for row in &state.preset.returns {
            let missing = state.missing_for_return(row, asked);
            let cited = missing.iter().filter_map(MissingForReturn::cited).collect();
            let readiness = if missing.is_empty() {
                Readiness::ForTheClinicianToConfirm
            } else {
                let (because, needed) = missing.into_iter().map(|one| (one.because, one.needed)).unzip();
                Readiness::NotYet { because, needed }
            };
            out.push(ReturnToday {
                condition: state.name(),
                rule: row.rule.clone(),
                activity: row.activity.clone(),
                readiness,
                cited,
                varies: row.varies.clone(),
                source: row.source.clone(),
            });
        }
    }
    out
}

impl std::fmt::Display for ReturnToday {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.readiness {
            Readiness::ForTheClinicianToConfirm => write!(
                f,
                "Return to {} after {}: time and criteria are met; a clinician decides ({}).",
                self.activity,
                words::inside(&self.condition),
                self.rule
            ),
            Readiness::NotYet { because, .. } => write!(
                f,
                "Return to {} after {}: not yet, because {} ({}).",
                self.activity,
                words::inside(&self.condition),
                words::list(because),
                self.rule
            ),
        }
    }
}
