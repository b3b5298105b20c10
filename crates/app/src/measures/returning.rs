//! How far somebody is from an activity: the criteria beside what was measured, found and observed.

use jiff::civil::Date;
use measurement::Session;
use person::{CaseFile, Condition};
use progress::{Activity, Decision, Evidence, decide};
use serde::Serialize;

use super::derived::{one_side, with_derived};
use super::recorded::Measures;
use super::report::involved_of;
use crate::PersonToday;

/// Decisions about activities. A clinician decides; this sets the evidence in order.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReturnReport {
    /// The day.
    pub on: Date,
    /// One for each activity that was asked for.
    pub decisions: Vec<Decision>,
}

/// The activity with this key.
#[must_use]
pub fn activity_of(key: &str) -> Option<Activity> {
    Activity::ALL.into_iter().find(|activity| activity.key() == key)
}

/// Sets criteria of return beside the evidence of a case and its measures.
///
/// Tests of the uninvolved limb from before the operation or injury are used for the capacity before the injury.
#[must_use]
pub fn return_report(
    case: &CaseFile,
    measures: &Measures,
    today: Date,
    activities: &[Activity],
) -> ReturnReport {
    let person = PersonToday::of(case, today);
    let involved = involved_of(case);
    let all = Measures { entries: with_derived(measures, involved), ..measures.clone() };
    let since: Option<Date> = case.findings.conditions.iter().filter_map(Condition::since).max();
    let mut tested = all.tested();
    tested.retain(|one| one.session.taken().date <= today);
    let uninvolved = one_side(involved).map(anatomy::Side::other);
    let before: Vec<Session> = tested
        .iter()
        .map(|one| &one.session)
        .filter(|session| {
            let taken = session.taken();
            since.is_some_and(|on| taken.date < on) && taken.side.is_some() && taken.side == uninvolved
        })
        .cloned()
        .collect();
    let evidence = Evidence {
        findings: &case.findings,
        space: &person.allowed,
        involved,
        population: measures.population,
        raters: measures.raters,
        own: &measures.own,
        tested: &tested,
        before: &before,
        observed: &measures.observed,
    };
    let decisions = activities.iter().map(|activity| decide(*activity, &evidence)).collect();
    ReturnReport { on: today, decisions }
}

impl ReturnReport {
    /// The decisions as a therapist reads them.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = format!("On {}. A licensed clinician decides about any return.\n", self.on);
        for decision in &self.decisions {
            out.push('\n');
            out.push_str(&decision.to_string());
        }
        out
    }
}
