//! From criteria and evidence to a decision about return, which a clinician takes.

use person::{Answer, Involved};
use safety::{Readiness, ReturnToday, table_of};
use serde::Serialize;

use crate::check::{Check, Standing, check};
use crate::criteria::{Activity, Domain, sets};
use crate::evidence::Evidence;

/// How far somebody is from an activity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// A red flag stands: nothing else is asked.
    RedFlag,
    /// Something is not met.
    NotYet,
    /// Nothing is unmet, and something was not tested.
    NotTested,
    /// All but confidence holds: the body suffices, the person does not rely on it yet.
    CapacityWithoutConfidence,
    /// Everything holds. The tool never lets anybody return: a clinician confirms.
    ForTheClinicianToConfirm,
}

/// A decision about one activity.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Decision {
    /// The activity.
    pub activity: Activity,
    /// How far somebody is from it.
    pub outcome: Outcome,
    /// Every criterion of the sets that apply.
    pub checks: Vec<Check>,
    /// What the presentations ask for: time, findings, confirmation.
    pub presentations: Vec<ReturnToday>,
    /// Why the movements that the activity consists of are shut, in words; empty when they are open.
    pub shut: Vec<String>,
    /// Said beside "not met" after an ankle injury. It never meets anything.
    pub external_support: Option<&'static str>,
}

/// Common practice after an ankle injury.
const ANKLE_SUPPORT: &str = "If the person returns regardless, external ankle support is worn (common practice). It does not turn a criterion that is not met into one that is.";

/// Sets evidence beside the criteria of an activity.
///
/// Every set of the activity and of the person's presentations applies together, and with them what the tables
/// of the presentations ask for (time, findings) and the level of the movement ladder that the activity needs.
/// A measured criterion carries value, error and the probability that it is truly met; a result with brace or
/// tape never meets one; what is too old was not tested. A red flag goes before everything.
#[must_use]
pub fn decide(activity: Activity, evidence: &Evidence<'_>) -> Decision {
    let keys: Vec<&str> = evidence.findings.conditions.iter().filter_map(table_of).collect();
    let ankle = keys.contains(&"ankle_sprain");
    if evidence.space.alert().is_some() {
        return Decision {
            activity,
            outcome: Outcome::RedFlag,
            checks: Vec::new(),
            presentations: Vec::new(),
            shut: Vec::new(),
            external_support: None,
        };
    }
    let checks: Vec<Check> = sets()
        .iter()
        .filter(|set| set.applies(activity, &keys))
        .flat_map(|set| set.criterion.iter().map(move |row| check(set, row, activity, evidence)))
        .collect();
    let presentations: Vec<ReturnToday> = evidence
        .space
        .returns()
        .iter()
        .filter(|one| Some(one.activity.as_str()) == activity.in_presets())
        .cloned()
        .collect();
    let shut = shut(activity, evidence);
    let outcome = outcome(&checks, &presentations, &shut);
    let support = ankle && !matches!(outcome, Outcome::ForTheClinicianToConfirm);
    Decision {
        activity,
        outcome,
        checks,
        presentations,
        shut,
        external_support: support.then_some(ANKLE_SUPPORT),
    }
}

fn outcome(checks: &[Check], presentations: &[ReturnToday], shut: &[String]) -> Outcome {
    let unmet = |check: &&Check| matches!(check.standing, Standing::NotMet { .. });
    let is_confidence = |check: &Check| check.domain == Domain::Confidence;
    let blocked = presentations.iter().any(|one| !confirmed_but_for_confidence(one));
    let unmet_body = checks.iter().filter(unmet).any(|check| !is_confidence(check));
    if blocked || unmet_body || !shut.is_empty() {
        return Outcome::NotYet;
    }
    if checks.iter().any(|check| matches!(check.standing, Standing::NotTested { .. })) {
        return Outcome::NotTested;
    }
    let confident = !checks.iter().any(|check| unmet(&check))
        && presentations.iter().all(|one| one.readiness == Readiness::ForTheClinicianToConfirm);
    if confident { Outcome::ForTheClinicianToConfirm } else { Outcome::CapacityWithoutConfidence }
}

/// Whether a presentation lacks nothing, or only that the person relies on the leg.
fn confirmed_but_for_confidence(one: &ReturnToday) -> bool {
    match &one.readiness {
        Readiness::ForTheClinicianToConfirm => true,
        Readiness::NotYet { because, .. } => {
            let no = format!("{}: no", Answer::Confident.words());
            !because.is_empty() && because.iter().all(|reason| *reason == no)
        }
    }
}

/// What keeps the level shut that the activity needs, on the involved leg or on both.
fn shut(activity: Activity, evidence: &Evidence<'_>) -> Vec<String> {
    let Some(level) = activity.needs_level() else { return Vec::new() };
    let mut reasons = Vec::new();
    for side in anatomy::Side::BOTH {
        let asked = evidence.involved.includes(side) || evidence.involved == Involved::General;
        if asked {
            for refusal in evidence.space.why_level_shut(side, level) {
                if !reasons.contains(&refusal.reason) {
                    reasons.push(refusal.reason);
                }
            }
        }
    }
    reasons
}
