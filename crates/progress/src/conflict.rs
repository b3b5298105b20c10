//! Findings that are given as reasons: the day they date from, and newer tests that say something else.

use measurement::Scale;
use safety::{Readiness, ReturnToday};

use crate::check::Check;

/// Percentage points by which a finding and a newer test may differ before that is said.
const WORTH_SAYING: f64 = 1.0;

/// One sentence for every finding that a reason rests on and that a test of the same or a later day contradicts.
pub(crate) fn conflicts(checks: &[Check], presentations: &[ReturnToday], shut: &[String]) -> Vec<String> {
    let because = presentations.iter().flat_map(|one| match &one.readiness {
        Readiness::ForTheClinicianToConfirm => &[][..],
        Readiness::NotYet { because, .. } => because.as_slice(),
    });
    let reasons: Vec<&String> = because.chain(shut).collect();
    checks
        .iter()
        .filter_map(|check| {
            let (finding, measured) = (check.finding_beside.as_ref()?, check.standing.measured()?);
            let cited = reasons.iter().any(|reason| reason.contains(finding.words.as_str()));
            let differs = check.standing.is_met()
                || measured.scale == Scale::Symmetry
                    && (measured.value - finding.value).abs() >= WORTH_SAYING;
            if !cited || !differs || measured.on < finding.on {
                return None;
            }
            let (value, words) = (measured.unit.say(measured.value), &finding.words);
            Some(if measured.on > finding.on {
                format!(
                    "The case says {words} of {}, measured since on {}: {value}; record the newer one in the findings.",
                    finding.on, measured.on
                )
            } else {
                format!(
                    "The case says {words} of {}, measured the same day: {value}; decide which one counts and record it in the findings.",
                    finding.on
                )
            })
        })
        .collect()
}

/// Puts the day of a finding behind it, where a reason cites it.
pub(crate) fn dated(reasons: &mut [String], checks: &[Check], presentations: &[ReturnToday]) {
    let beside = checks.iter().filter_map(|check| check.finding_beside.as_ref());
    let cited = presentations.iter().flat_map(|one| &one.cited);
    let mut known: Vec<(&str, jiff::civil::Date)> = beside
        .map(|one| (one.words.as_str(), one.on))
        .chain(cited.map(|one| (one.words.as_str(), one.on)))
        .collect();
    known.sort_unstable();
    known.dedup();
    for reason in reasons {
        for (words, on) in &known {
            *reason = with_day(reason, words, *on);
        }
    }
}

/// A text with the day of a finding behind it.
pub(crate) fn with_day(text: &str, words: &str, on: jiff::civil::Date) -> String {
    text.replacen(words, &format!("{words} (found on {on})"), 1)
}
