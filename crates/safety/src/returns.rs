//! Whether somebody may return to an activity: time, criteria, and then a clinician's word.

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
    /// Where sources disagree; empty where they do not.
    pub varies: String,
    /// Bibliography key.
    pub source: String,
}

/// Every activity that a presentation has criteria for.
pub(crate) fn resolve(states: &[(ConditionState<'_>, u8)], asked: Asked<'_>) -> Vec<ReturnToday> {
    let mut out = Vec::new();
    for (state, _) in states {
        for row in &state.preset.returns {
            let missing = state.missing_for_return(row, asked);
            let readiness = if missing.is_empty() {
                Readiness::ForTheClinicianToConfirm
            } else {
                let (because, needed) = missing.into_iter().unzip();
                Readiness::NotYet { because, needed }
            };
            out.push(ReturnToday {
                condition: state.name(),
                rule: row.rule.clone(),
                activity: row.activity.clone(),
                readiness,
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
