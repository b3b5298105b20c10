//! What is known of a person on a day: each finding with its date and whether it may still be relied on.

use anatomy::Side;
use jiff::ToSpan;
use jiff::civil::Date;
use person::{Aid, CaseFile, Finding};
use safety::{FindingKey, shelf_life};

/// Whether a finding may be relied on today.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Freshness {
    /// It counts, through this day.
    Current {
        /// The last day on which it counts.
        through: Date,
    },
    /// Too old, or dated after today: it counts as not assessed.
    Past {
        /// The last day on which it counted.
        since: Date,
    },
    /// Nobody looked.
    NotAssessed,
}

/// One finding as it is read.
#[derive(Clone, Debug, PartialEq)]
pub struct FindingLine {
    /// What, in the trade's words.
    pub what: String,
    /// Which leg, where it has sides.
    pub side: Option<Side>,
    /// What was found; empty when nobody looked.
    pub found: String,
    /// The day it was found.
    pub on: Option<Date>,
    /// Whether it counts today.
    pub freshness: Freshness,
}

fn line<T>(
    key: FindingKey,
    side: Option<Side>,
    finding: &Finding<T>,
    today: Date,
    words: impl Fn(&T) -> String,
) -> FindingLine {
    let what = key.words().to_owned();
    match finding {
        Finding::NotAssessed => {
            FindingLine { what, side, found: String::new(), on: None, freshness: Freshness::NotAssessed }
        }
        Finding::Found { value, on } => {
            let life = shelf_life(key);
            let last = on.saturating_add(i64::from(life.days).days());
            let freshness = if finding.on(today, life).current().is_some() {
                Freshness::Current { through: last }
            } else {
                Freshness::Past { since: last }
            };
            FindingLine { what, side, found: words(value), on: Some(*on), freshness }
        }
    }
}

fn yes_no(value: &bool) -> String {
    if *value { "yes" } else { "no" }.to_owned()
}

fn of_ten(value: &u8) -> String {
    format!("{value} of 10")
}

fn seconds(value: &f64) -> String {
    format!("{value} s")
}

fn aid(value: &Aid) -> String {
    match value {
        Aid::None => "none",
        Aid::OneStick => "one stick",
        Aid::TwoSticks => "two sticks",
        Aid::OneCrutch => "one crutch",
        Aid::TwoCrutches => "two crutches",
        Aid::WalkingFrame => "walking frame",
    }
    .to_owned()
}

fn listed(keys: impl Iterator<Item = &'static str>) -> String {
    let all: Vec<String> = keys.map(|key| key.replace('_', " ")).collect();
    if all.is_empty() { "asked for, none".to_owned() } else { all.join(", ") }
}

fn swelling(value: &u8) -> String {
    match value {
        0 => "none",
        1 => "trace",
        2 => "one plus",
        3 => "two plus",
        _ => "three plus",
    }
    .to_owned()
}

/// Every finding that rules ask about, each with what was found, its day and whether it counts today;
/// those that nobody assessed too. Weight bearing and orders are not among them: they have end dates.
#[must_use]
pub fn findings_known(case: &CaseFile, today: Date) -> Vec<FindingLine> {
    use FindingKey as K;
    let f = &case.findings;
    let mut out = vec![
        line(K::RedFlags, None, &f.red_flags, today, |flags| listed(flags.iter().map(|flag| flag.key()))),
        line(K::OtherConditions, None, &f.other_conditions, today, |list| {
            listed(list.iter().map(|one| one.key()))
        }),
        line(K::PainAtRest, None, &f.pain_at_rest, today, of_ten),
        line(K::PainInMovement, None, &f.pain_in_movement, today, of_ten),
        line(K::ConsistentNightPain, None, &f.consistent_night_pain, today, yes_no),
        line(K::AidsHeld, None, &f.aid, today, aid),
        line(K::StandsAndShifts, None, &f.stands_and_shifts, today, yes_no),
        line(K::WoundDry, None, &f.wound_dry, today, yes_no),
        line(K::DizzyBending, None, &f.dizzy_bending, today, yes_no),
        line(K::SurgeonReview, None, &f.surgeon_review, today, yes_no),
        line(K::TandemStance, None, &f.tandem_stance, today, seconds),
        line(K::TimedUpAndGo, None, &f.timed_up_and_go, today, seconds),
        line(K::SitToStands, None, &f.sit_to_stands, today, u8::to_string),
        line(K::StairsReciprocal, None, &f.stairs_reciprocal, today, yes_no),
        line(K::CleanStepDirections, None, &f.clean_step_directions, today, |n| format!("{n} of 8")),
        line(K::CleanReaches, None, &f.clean_reaches, today, yes_no),
    ];
    for side in Side::BOTH {
        let at = Some(side);
        out.extend([
            line(K::SingleLegStance, at, f.single_leg_stance.get(side), today, seconds),
            line(K::SingleLegStanceFingertip, at, f.single_leg_stance_fingertip.get(side), today, seconds),
            line(K::Trendelenburg, at, f.trendelenburg.get(side), today, yes_no),
            line(K::Effusion, at, f.effusion.get(side), today, swelling),
            line(K::KneeFlexionDeg, at, f.knee_flexion.get(side), today, ToString::to_string),
            line(K::ExtensionLagDeg, at, f.extension_lag.get(side), today, ToString::to_string),
        ]);
    }
    for row in f.answers.rows() {
        let words = |value: &f64| match row.answer.unit() {
            None => yes_no(&(*value > 0.5)),
            Some("") => format!("{value}"),
            Some(unit) => format!("{value} {unit}"),
        };
        out.push(line(K::Answer(row.answer), row.side, &row.found, today, words));
    }
    out
}
