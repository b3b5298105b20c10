//! The return-to-activity statement: every criterion with its value and error, and lines for a clinician's decision.

use measurement::{Scale, Unit};
use progress::{Asks, Check, Decision, Measured, Outcome, Standing};
use safety::{Bar, FindingKey, FoundToday, Readiness};

use super::facts::LetterFacts;
use super::parts::{about_one, counted};
use super::say::{Say, capital, digits};
use super::words::ReturnWords;
use super::{Block, Choice, Letter, LetterKind, LetterPart, Row, part};
use crate::language::{Language, fill};

pub(super) fn statement(facts: &LetterFacts<'_>, language: Language) -> Letter {
    let say = Say::of(language);
    let words = &say.w.returning;
    let mut out = about_one(LetterKind::ReturnToActivity, facts, say, &say.w.frame.to);
    out.small_print.insert(0, words.decides.clone());
    match facts.decision {
        Some(decision) => {
            out.parts.extend(part(&words.outcome, outcome(decision, facts, say)));
            out.parts.push(criteria(decision, say));
        }
        None => out.parts.extend(part(&words.outcome, vec![Row::keep(&words.not_applicable)])),
    }
    out.parts.push(LetterPart {
        title: words.decision.clone(),
        blocks: vec![Block::Choices {
            choices: vec![Choice {
                question: String::new(),
                behind: Vec::new(),
                options: vec![
                    words.options[0].clone(),
                    format!("{} ______________________________", words.options[1]),
                    format!("{} ______________", words.options[2]),
                ],
            }],
        }],
    });
    out
}

fn activity(of: progress::Activity, say: Say) -> String {
    say.w.activities.get(of.key()).cloned().unwrap_or_default()
}

fn outcome_words(of: Outcome, words: &ReturnWords) -> &str {
    let outcomes = &words.outcomes;
    match of {
        Outcome::RedFlag => &outcomes.red_flag,
        Outcome::NotYet => &outcomes.not_yet,
        Outcome::ConfidenceNotEnoughAndNotTested => &outcomes.confidence_not_enough_and_not_tested,
        Outcome::NotTested => &outcomes.not_tested,
        Outcome::CapacityWithoutConfidence => &outcomes.capacity_without_confidence,
        Outcome::ForTheClinicianToConfirm => &outcomes.for_the_clinician_to_confirm,
    }
}

fn outcome(decision: &Decision, facts: &LetterFacts<'_>, say: Say) -> Vec<Row> {
    let words = &say.w.returning;
    let counts = &decision.counts;
    let mut rows = vec![
        Row::keep(fill(&words.activity, &[("activity", &activity(decision.activity, say))])),
        Row::keep(outcome_words(decision.outcome, words)),
        Row::keep(fill(
            &words.counts,
            &[
                ("met", &counts.met.to_string()),
                ("of", &counts.of.to_string()),
                ("not_met", &counts.not_met.to_string()),
                ("not_tested", &counts.not_tested.to_string()),
                ("cannot_tell", &counts.cannot_tell.to_string()),
            ],
        )),
    ];
    if facts.measured.is_none() {
        rows.push(Row::keep(&words.no_measures));
    }
    for one in &decision.presentations {
        let pattern = match one.readiness {
            Readiness::ForTheClinicianToConfirm => &words.presentation_holds,
            Readiness::NotYet { .. } => &words.presentation_not_yet,
        };
        rows.push(Row::keep(fill(pattern, &[("rule", &one.rule)])));
    }
    if !decision.shut.is_empty() {
        rows.push(Row::keep(&words.shut));
    }
    for one in &decision.builds_on {
        let values = [
            ("activity", activity(one.activity, say)),
            ("outcome", outcome_words(one.outcome, words).to_owned()),
        ];
        let values = values.each_ref().map(|(key, value)| (*key, value.as_str()));
        rows.push(Row::ranked(1, fill(&words.builds_on, &values)));
    }
    if !decision.conflicts.is_empty() {
        rows.push(Row::keep(counted(&words.conflict, decision.conflicts.len())));
    }
    if decision.external_support.is_some() {
        rows.push(Row::keep(&words.ankle));
    }
    rows
}

/// What is not met comes first, then what nobody knows, then what is met.
fn criteria(decision: &Decision, say: Say) -> LetterPart {
    let words = &say.w.returning;
    let order = |check: &Check| match check.standing {
        Standing::NotMet { .. } => 0_u8,
        Standing::CannotTell { .. } => 1,
        Standing::NotTested { .. } => 2,
        Standing::Met { .. } => 3,
    };
    let mut checks: Vec<&Check> = decision.checks.iter().collect();
    checks.sort_by_key(|check| order(check));
    let rows = checks
        .iter()
        .map(|check| Row {
            // What is met goes last of all: only where a page is full of what is not.
            rank: if order(check) == 3 { 3 } else { u8::from(order(check) == 2) * 2 },
            cells: vec![
                capital(&subject(check, say)),
                needed(check, say),
                found(check, say),
                match check.standing {
                    Standing::Met { .. } => words.standing.met.clone(),
                    Standing::NotMet { .. } => words.standing.not_met.clone(),
                    Standing::CannotTell { .. } => words.standing.cannot_tell.clone(),
                    Standing::NotTested { .. } => words.standing.not_tested.clone(),
                },
            ],
        })
        .collect();
    LetterPart {
        title: words.criteria.clone(),
        blocks: vec![Block::Table { head: words.head.clone(), rows, left_out: 0 }],
    }
}

/// What the criterion is about.
fn subject(check: &Check, say: Say) -> String {
    match &check.asks {
        Asks::Test { test, .. } => say.test(*test),
        Asks::Finding { any_of } => any_of.first().map(|one| say.finding(one.finding)).unwrap_or_default(),
        Asks::Observed { key, .. } => say.w.observations.get(key).cloned().unwrap_or_default(),
    }
}

/// A finding with its unit, as it is read.
fn finding_value(key: FindingKey, value: f64, say: Say) -> String {
    let names = &say.w.names;
    if key == FindingKey::Effusion {
        // Grades 0 to 4; anything above is as bad as the worst.
        let grade = (0_u8..).zip(&names.grades).find(|(at, _)| value <= f64::from(*at));
        return grade
            .map(|(_, words)| words.clone())
            .or_else(|| names.grades.last().cloned())
            .unwrap_or_default();
    }
    let number = say.number(value, usize::from(value.fract().abs() > 0.05));
    match key.unit() {
        None if value > 0.5 => names.yes.clone(),
        None => names.no.clone(),
        Some("") => number,
        Some("°") => format!("{number}°"),
        Some("of 10") => fill(&say.w.practice.worst, &[("number", &number)]),
        Some(unit) => format!("{number}\u{a0}{unit}"),
    }
}

fn bar(of: Bar, value: impl Fn(f64) -> String, say: Say) -> String {
    let bars = &say.w.returning.bars;
    let with = |pattern: &str, number: f64| fill(pattern, &[("value", &value(number))]);
    match of {
        Bar::Yes => bars.yes.clone(),
        Bar::No => bars.no.clone(),
        Bar::AtMost(number) => with(&bars.at_most, number),
        Bar::AtLeast(number) => with(&bars.at_least, number),
        Bar::Below(number) => with(&bars.below, number),
        Bar::Above(number) => with(&bars.above, number),
    }
}

fn needed(check: &Check, say: Say) -> String {
    let words = &say.w.returning;
    match &check.asks {
        Asks::Test { test, scale, bar: of, both_limbs, .. } => {
            let unit = scale.unit(test.instrument().unit);
            let value = |number: f64| say.on_scale(number, *scale, unit, usize::from(number.fract() != 0.0));
            let needed = match of {
                Some(of) => bar(*of, value, say),
                None => words.bars.like_other.clone(),
            };
            if *both_limbs { fill(&words.both_limbs, &[("bar", &needed)]) } else { needed }
        }
        Asks::Finding { any_of } => {
            let one = |asked: &safety::CriterionAsked| {
                let value = |number: f64| finding_value(asked.finding, number, say);
                let bars: Vec<String> = asked.bars.iter().map(|of| bar(*of, value, say)).collect();
                say.list(&bars)
            };
            let mut parts = any_of.iter();
            let first = parts.next().map(one).unwrap_or_default();
            parts.fold(first, |all, other| {
                let other = format!("{} {}", say.finding(other.finding), one(other));
                fill(&words.or, &[("one", &all), ("other", &other)])
            })
        }
        Asks::Observed { .. } => words.bars.yes.clone(),
    }
}

fn found(check: &Check, say: Say) -> String {
    let words = &say.w.returning;
    if let Some(measured) = check.standing.measured() {
        return found_measured(measured, say);
    }
    if let Asks::Observed { said: Some((is, on)), .. } = &check.asks {
        let pattern = if *is { &words.seen.yes } else { &words.seen.no };
        return fill(pattern, &[("date", &say.date(*on))]);
    }
    match (&check.standing, &check.known) {
        (Standing::NotTested { .. }, _) => words.stale.clone(),
        (_, Some(known)) => found_finding(check, known, say),
        // Two legs at once, or another finding stood in: the standing says enough.
        (_, None) => say.w.change.no_value.clone(),
    }
}

fn found_finding(check: &Check, known: &FoundToday, say: Say) -> String {
    let words = &say.w.returning;
    let value = finding_value(known.finding, known.value, say);
    // What stood in for what was asked says its own name: a bare "yes" would be read as the answer to that.
    let asked_itself = match &check.asks {
        Asks::Finding { any_of } => any_of.first().is_some_and(|one| one.finding == known.finding),
        Asks::Test { .. } | Asks::Observed { .. } => false,
    };
    let value = if asked_itself {
        value
    } else {
        format!("{}{}{value}", say.finding(known.finding), say.w.names.colon)
    };
    let dated = fill(&words.found, &[("value", &value), ("date", &say.date(known.on))]);
    // A finding that stands in for a test comes without an error.
    if matches!(check.asks, Asks::Test { .. }) { say.join(&[dated, words.no_error.clone()]) } else { dated }
}

fn found_measured(measured: &Measured, say: Say) -> String {
    let words = &say.w.returning;
    // Whole points stay whole where no error says how many digits count.
    let whole = measured.unit == Unit::Points && measured.value.fract() == 0.0;
    let places = digits(measured.error, measured.unit, whole);
    let value = match (measured.scale, measured.unit) {
        (Scale::SideDifference, Unit::Percent) => say.percentage_points(measured.value, places),
        _ => say.on_scale(measured.value, measured.scale, measured.unit, places),
    };
    let date = say.date(measured.on);
    let mut out = match measured.error {
        Some(error) => fill(
            &words.found_error,
            &[
                ("value", &value),
                ("error", &say.number(error, places.max(usize::from(error < 0.5)))),
                ("date", &date),
            ],
        ),
        None => {
            say.join(&[fill(&words.found, &[("value", &value), ("date", &date)]), words.no_error.clone()])
        }
    };
    if let Some((involved, other)) = measured.limbs {
        let limb = |value| say.amount(value, measured.limb_unit, digits(None, measured.limb_unit, false));
        out = fill(
            &words.with_limbs,
            &[("value", &out), ("involved", &limb(involved)), ("other", &limb(other))],
        );
    }
    if let Some(side) = measured.side {
        out = format!("{out}, {}", say.leg(Some(side)));
    }
    if let Some(chance) = measured.chance_met {
        out = say.join(&[out, fill(&words.chance, &[("chance", &say.chance(chance))])]);
    }
    out
}
