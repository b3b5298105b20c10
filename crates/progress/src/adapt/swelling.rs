//! Swelling that a clinician found, and days on which the person said that the joint swelled more.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::whole::means;
use super::words;
use super::{Log, Whole, WholeReason, adapt_figures};
use crate::session::StopSign;

fn grade(grade: u8) -> &'static str {
    ["none", "trace", "one plus", "two plus", "three plus"]
        .get(usize::from(grade))
        .copied()
        .unwrap_or("more than three plus")
}

/// Swelling that a clinician found, and days on which the person said that the joint swelled more.
pub(super) fn swelling(log: &Log<'_>) -> Vec<WholeReason> {
    let rule = safety::swelling_rule();
    let holds = |grade: u8| f64::from(grade) >= rule.hold_from;
    let mut out = Vec::new();
    // How often it swelled is asked of the person, not of this programme.
    let told: BTreeSet<Date> = log
        .all
        .iter()
        .filter(|session| session.on <= log.around.today && session.stopped == Some(StopSign::Swelling))
        .map(|session| session.on)
        .collect();
    for side in anatomy::Side::BOTH {
        let mut found: Vec<_> = log
            .around
            .swelling
            .found
            .iter()
            .filter(|one| one.side == side && one.on <= log.around.today)
            .collect();
        found.sort();
        let Some(last) = found.last() else { continue };
        let before = found.len().checked_sub(2).map(|at| found[at]);
        let said = |means_: Whole, rule_, then: &str| {
            means(
                means_,
                rule_,
                format!(
                    "{} knee on {}: {} of swelling; {then}.",
                    words::sentence(&side.to_string()),
                    last.on,
                    grade(last.grade)
                ),
                rule.source,
            )
        };
        if holds(last.grade) {
            out.push(said(Whole::Hold, "SWELLING-HOLD", "hold and treat, no step up"));
        } else if last.grade >= 2 && before.is_some_and(|one| holds(one.grade)) {
            out.push(said(Whole::Hold, "SWELLING-REPEAT", "after two plus the same is done once more"));
        }
        if before.is_some_and(|one| last.grade > one.grade) && last.on >= log.asked.from {
            out.push(said(
                Whole::BackOff,
                "SWELLING-UP",
                "it went up a grade, and the whole programme goes back one level",
            ));
        }
    }
    let seen: BTreeSet<Date> = log
        .around
        .swelling
        .found
        .iter()
        .filter(|one| holds(one.grade) && one.on <= log.around.today)
        .map(|one| one.on)
        .collect();
    // Told of and then found within days is one time.
    let near = |a: Date, b: Date| (a - b).get_days().abs() <= adapt_figures().log_counts_days;
    let only_told = told.iter().filter(|on| !seen.iter().any(|found| near(**on, *found)));
    let days: BTreeSet<Date> = seen.iter().chain(only_told).copied().collect();
    let times = days.len() + log.around.swelling.episodes_before;
    #[allow(clippy::cast_precision_loss)] // a few times
    if times as f64 >= rule.refer_at && !days.is_empty() {
        let words = format!(
            "Swelling of two plus, or told of as more, {times} times by now: the surgeon or doctor sees it before anything goes up."
        );
        out.push(means(Whole::Refer, "SWELLING-REFER", words, rule.source));
    }
    out
}
