//! From criteria and evidence to a decision about return, which a clinician takes.

use person::{Answer, Involved};
use safety::{Looked, Readiness, ReturnToday, table_of};
use serde::Serialize;

use crate::check::{Check, Standing, check};
use crate::conflict::{conflicts, dated};
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
    /// Confidence is not enough, and something else is not known: nobody can say that the body suffices.
    ConfidenceNotEnoughAndNotTested,
    /// Nothing is unmet, and something was not tested or cannot be told apart.
    NotTested,
    /// All but confidence holds: the body suffices, the person does not rely on it yet.
    CapacityWithoutConfidence,
    /// Everything holds. The tool never lets anybody return: a clinician confirms.
    ForTheClinicianToConfirm,
}

/// How many criteria stand where.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// All of them.
    pub of: usize,
    /// Met.
    pub met: usize,
    /// Not met.
    pub not_met: usize,
    /// Not tested.
    pub not_tested: usize,
    /// Measured, and the error of the test leaves it open.
    pub cannot_tell: usize,
}

/// An easier activity that the one asked for builds on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BuildsOn {
    /// The easier activity.
    pub activity: Activity,
    /// How far somebody is from it, with what must be found as well.
    pub outcome: Outcome,
    /// Its own criteria.
    pub counts: Counts,
    /// What stands against it beside its criteria, in words.
    pub because: Vec<String>,
}

/// A decision about one activity.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Decision {
    /// The activity.
    pub activity: Activity,
    /// How far somebody is from it; never nearer than from what it builds on.
    pub outcome: Outcome,
    /// How many of its own criteria stand where.
    pub counts: Counts,
    /// Whether the person's confidence was asked about and is not enough.
    pub confidence_not_enough: bool,
    /// The easier activities that it builds on, the nearest first.
    pub builds_on: Vec<BuildsOn>,
    /// Every criterion of the sets that apply.
    pub checks: Vec<Check>,
    /// What the presentations ask for: time, findings, confirmation.
    pub presentations: Vec<ReturnToday>,
    /// Why the movements that the activity consists of are shut, in words; empty when they are open.
    pub shut: Vec<String>,
    /// Where a reason rests on a finding of the case and a newer test says something else, in words.
    pub conflicts: Vec<String>,
    /// Said beside "not met" after an ankle injury. It never meets anything.
    pub external_support: Option<&'static str>,
}

/// Common practice after an ankle injury.
const ANKLE_SUPPORT: &str = "If the person returns regardless, external ankle support is worn (common practice). It does not turn a criterion that is not met into one that is.";

/// Sets evidence beside the criteria of an activity.
///
/// Every set of the activity and of the person's presentations applies together, and with them what the tables
/// of the presentations ask for (time, findings), the level of the movement ladder that the activity needs, and
/// the same for every easier activity that it builds on. A measured criterion carries value, error and the
/// probability that it is truly met; a result with brace or tape never meets one; what is too old was not
/// tested. A red flag goes before everything.
#[must_use]
pub fn decide(activity: Activity, evidence: &Evidence<'_>) -> Decision {
    if evidence.space.alert().is_some() {
        return Decision {
            activity,
            outcome: Outcome::RedFlag,
            counts: Counts::of(&[]),
            confidence_not_enough: false,
            builds_on: Vec::new(),
            checks: Vec::new(),
            presentations: Vec::new(),
            shut: Vec::new(),
            conflicts: Vec::new(),
            external_support: None,
        };
    }
    let Own { checks, presentations, mut shut } = Own::of(activity, evidence);
    let mut lacks = Lacks::of(&checks, &presentations, &shut);
    let builds_on: Vec<BuildsOn> = activity
        .builds_on()
        .into_iter()
        .map(|(easier, holds)| {
            let (one, lacking) = easier_activity(easier, holds, evidence);
            lacks = lacks.and(lacking);
            one
        })
        .collect();
    let outcome = lacks.outcome();
    let conflicts = conflicts(&checks, &presentations, &shut);
    dated(&mut shut, &checks, &presentations);
    let ankle = evidence.findings.conditions.iter().filter_map(table_of).any(|key| key == "ankle_sprain");
    let support = ankle && !matches!(outcome, Outcome::ForTheClinicianToConfirm);
    Decision {
        activity,
        outcome,
        counts: Counts::of(&checks),
        confidence_not_enough: lacks.confidence,
        builds_on,
        checks,
        presentations,
        shut,
        conflicts,
        external_support: support.then_some(ANKLE_SUPPORT),
    }
}

/// What belongs to one activity, without those that it builds on.
struct Own {
    checks: Vec<Check>,
    presentations: Vec<ReturnToday>,
    shut: Vec<String>,
}

impl Own {
    fn of(activity: Activity, evidence: &Evidence<'_>) -> Self {
        let keys: Vec<&str> = evidence.findings.conditions.iter().filter_map(table_of).collect();
        let checks = sets()
            .iter()
            .filter(|set| set.applies(activity, &keys))
            .flat_map(|set| set.criterion.iter().map(move |row| check(set, row, activity, evidence)))
            .collect();
        let presentations = evidence
            .space
            .returns()
            .iter()
            .filter(|one| Some(one.activity.as_str()) == activity.in_presets())
            .cloned()
            .collect();
        Self { checks, presentations, shut: shut(activity, evidence) }
    }
}

/// An easier activity, with what must be found as well, and what it lacks.
fn easier_activity(
    activity: Activity,
    holds: &[safety::Criterion],
    evidence: &Evidence<'_>,
) -> (BuildsOn, Lacks) {
    let Own { checks, presentations, shut } = Own::of(activity, evidence);
    let mut lacks = Lacks::of(&checks, &presentations, &shut);
    let mut because = Vec::new();
    for criterion in holds {
        match criterion.look(evidence.findings, evidence.involved, evidence.today()) {
            Looked::Holds { .. } => {}
            Looked::NotEnough { words, .. } => {
                lacks.body = true;
                because.push(words);
            }
            Looked::NotAssessed { words, .. } => {
                lacks.knowledge = true;
                because.push(words);
            }
        }
    }
    if presentations.iter().any(|one| !confirmed_but_for_confidence(one)) {
        because.push("time or findings of the presentation stand against it".to_owned());
    }
    if !shut.is_empty() {
        because.push("its movements are closed".to_owned());
    }
    (BuildsOn { activity, outcome: lacks.outcome(), counts: Counts::of(&checks), because }, lacks)
}

impl Counts {
    fn of(checks: &[Check]) -> Self {
        let mut out = Self { of: checks.len(), met: 0, not_met: 0, not_tested: 0, cannot_tell: 0 };
        for check in checks {
            *match check.standing {
                Standing::Met { .. } => &mut out.met,
                Standing::NotMet { .. } => &mut out.not_met,
                Standing::NotTested { .. } => &mut out.not_tested,
                Standing::CannotTell { .. } => &mut out.cannot_tell,
            } += 1;
        }
        out
    }
}

/// What is lacking.
#[derive(Clone, Copy)]
struct Lacks {
    /// Something other than confidence is not met.
    body: bool,
    /// Confidence is not enough.
    confidence: bool,
    /// Something is not known.
    knowledge: bool,
}

impl Lacks {
    fn of(checks: &[Check], presentations: &[ReturnToday], shut: &[String]) -> Self {
        let is_unmet = |check: &&Check| matches!(check.standing, Standing::NotMet { .. });
        let is_confidence = |check: &Check| check.domain == Domain::Confidence;
        let blocked = presentations.iter().any(|one| !confirmed_but_for_confidence(one));
        let open = |check: &Check| {
            matches!(check.standing, Standing::NotTested { .. } | Standing::CannotTell { .. })
        };
        Self {
            body: blocked
                || !shut.is_empty()
                || checks.iter().filter(is_unmet).any(|check| !is_confidence(check)),
            confidence: checks.iter().filter(is_unmet).any(is_confidence)
                || presentations.iter().any(says_not_confident),
            knowledge: checks.iter().any(open),
        }
    }

    fn and(self, other: Self) -> Self {
        Self {
            body: self.body || other.body,
            confidence: self.confidence || other.confidence,
            knowledge: self.knowledge || other.knowledge,
        }
    }

    fn outcome(self) -> Outcome {
        match (self.body, self.confidence, self.knowledge) {
            (true, _, _) => Outcome::NotYet,
            (false, true, true) => Outcome::ConfidenceNotEnoughAndNotTested,
            (false, false, true) => Outcome::NotTested,
            (false, true, false) => Outcome::CapacityWithoutConfidence,
            (false, false, false) => Outcome::ForTheClinicianToConfirm,
        }
    }
}

/// How a presentation says that the person does not rely on the leg.
fn not_confident() -> String {
    format!("{}: no", Answer::Confident.words())
}

fn says_not_confident(one: &ReturnToday) -> bool {
    match &one.readiness {
        Readiness::ForTheClinicianToConfirm => false,
        Readiness::NotYet { because, .. } => because.contains(&not_confident()),
    }
}

/// Whether a presentation lacks nothing, or only that the person relies on the leg.
fn confirmed_but_for_confidence(one: &ReturnToday) -> bool {
    match &one.readiness {
        Readiness::ForTheClinicianToConfirm => true,
        Readiness::NotYet { because, .. } => {
            let no = not_confident();
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
