//! Parts that several letters share: how the person is today, what is planned, what is closed, what was estimated.

use anatomy::Side;
use movement::{Bearing, Family};
use person::{Aid, CaseFile, Finding, RedFlag};
use programme::{Days, Exercise};
use safety::{FindingKey, Layer, shelf_life};

use super::facts::{LetterFacts, Planned, Way};
use super::say::{Say, down, key_of};
use super::{Letter, LetterKind, LetterPart, Row, part};
use crate::language::{Counted, fill};

/// `3 times`: a number in the words that belong to it.
pub(super) fn counted(of: &Counted, count: usize) -> String {
    fill(of.of(count), &[("count", &count.to_string())])
}

/// A letter about one person, without its parts.
pub(super) fn about_one(kind: LetterKind, facts: &LetterFacts<'_>, say: Say, to: &str) -> Letter {
    let case = facts.case;
    let words = &say.w.frame;
    let age = case.person.body.age().to_string();
    let pattern = if case.person.about.is_empty() { &words.person_plain } else { &words.person };
    let mut about =
        vec![fill(pattern, &[("name", &case.person.name), ("age", &age), ("about", &case.person.about)])];
    about.extend(case.findings.conditions.iter().map(|one| say.condition(one, facts.today)));
    let author = facts.author.or(case.clinic.therapist.as_deref()).filter(|name| !name.is_empty());
    let prepared = match author {
        Some(name) => fill(&words.prepared_for, &[("name", name)]),
        None => words.prepared.clone(),
    };
    let mut small_print = vec![words.estimate.clone(), words.judgement.clone()];
    small_print.push(prepared);
    framed(kind, say, (&case.clinic, facts.today), to, about, case.invented, small_print)
}

/// The frame of any letter.
pub(super) fn framed(
    kind: LetterKind,
    say: Say,
    (clinic, today): (&person::Clinic, jiff::civil::Date),
    to: &str,
    about: Vec<String>,
    invented: bool,
    small_print: Vec<String>,
) -> Letter {
    let words = &say.w.frame;
    let mut head: Vec<String> = clinic.name.iter().cloned().collect();
    head.extend(clinic.phone.as_ref().map(|phone| format!("{} {phone}", words.phone)));
    head.extend(clinic.therapist.as_ref().map(|name| format!("{} {name}", words.therapist)));
    let sign = &words.sign;
    Letter {
        kind,
        language: say.language.code(),
        title: kind.title(say.language).to_owned(),
        clinic: head,
        made_on: say.date(today),
        on: today,
        to: to.to_owned(),
        about,
        invented: invented.then(|| words.invented.clone()),
        parts: Vec::new(),
        sign: [&sign.name, &sign.role, &sign.signature, &sign.date].map(Clone::clone).to_vec(),
        small_print,
        more: [words.more.of(1).to_owned(), words.more.of(2).to_owned()],
        colon: say.w.names.colon.clone(),
    }
}

/// Pain, aid, falls, orders of weight and movement, as far as they count today.
pub(super) fn today(facts: &LetterFacts<'_>, say: Say) -> Vec<Row> {
    let words = &say.w.today;
    let found = &facts.case.findings;
    let today = facts.today;
    let pain = |of: &Finding<u8>, key: FindingKey, pattern: &str| {
        let value = of.on(today, shelf_life(key)).current().map(ToString::to_string);
        value.map(|number| fill(pattern, &[("number", &number)]))
    };
    let mut how: Vec<String> = Vec::new();
    how.extend(pain(&found.pain_at_rest, FindingKey::PainAtRest, &words.pain_rest));
    how.extend(pain(&found.pain_in_movement, FindingKey::PainInMovement, &words.pain_movement));
    if how.is_empty() {
        how.push(words.pain_unknown.clone());
    }
    let night = found.consistent_night_pain.on(today, shelf_life(FindingKey::ConsistentNightPain));
    how.extend(
        night
            .current()
            .map(|is| if *is { words.night_pain.yes.clone() } else { words.night_pain.no.clone() }),
    );
    let aid: Option<&Aid> = found.aid.on(today, shelf_life(FindingKey::AidsHeld)).current();
    how.push(match aid {
        Some(aid) => words.aid.get(&key_of(aid)).cloned().unwrap_or_default(),
        None => words.aid_unknown.clone(),
    });
    if let Finding::Found { value, .. } = found.falls_past_year {
        how.push(match value {
            0 => words.no_falls.clone(),
            many => counted(&words.falls, usize::from(many)),
        });
    }
    let flags: Option<&Vec<RedFlag>> = found.red_flags.on(today, shelf_life(FindingKey::RedFlags)).current();
    how.push(match (flags, &found.red_flags) {
        (Some(_), Finding::Found { on, .. }) => fill(&words.red_flags_clear, &[("date", &say.date(*on))]),
        _ => words.red_flags_unknown.clone(),
    });
    vec![Row::keep(how.join(" "))]
}

/// Orders about weight and movement.
pub(super) fn orders(case: &CaseFile, today: jiff::civil::Date, say: Say) -> Vec<Row> {
    let found = &case.findings;
    let mut rows: Vec<Row> = Side::BOTH
        .into_iter()
        .map(|side| match found.weight_bearing.get(side) {
            Finding::Found { value, .. } if value.until.is_none_or(|until| today <= until) => {
                Row::keep(say.weight(side, value))
            }
            _ => Row::keep(say.w.weight.unknown.of(side)),
        })
        .collect();
    let orders: Vec<Row> = found
        .orders
        .iter()
        .filter(|order| order.counts_on(today))
        .map(|order| Row::keep(say.order(order, today)))
        .collect();
    if orders.is_empty() {
        rows.push(Row::keep(&say.w.orders.none));
    }
    rows.extend(orders);
    rows
}

/// What the person wants back.
pub(super) fn goals(case: &CaseFile, say: Say) -> Row {
    let words = &say.w.today;
    if case.wishes.activities.is_empty() {
        return Row::keep(&words.no_goal);
    }
    let goals: Vec<String> = case.wishes.activities.clone();
    Row::keep(fill(&words.goal, &[("goals", &say.join(&goals))]))
}

/// The exercises with their dose, and until when.
pub(super) fn plan(facts: &LetterFacts<'_>, say: Say) -> Vec<Row> {
    let words = &say.w.plan;
    let mut rows = Vec::new();
    let programme = match facts.planned {
        Planned::NoneMade => return vec![Row::keep(&words.none_made)],
        Planned::NotPossible => return vec![Row::keep(&words.none)],
        Planned::Proposed(programme) => {
            rows.push(Row::keep(&words.proposed));
            programme
        }
        Planned::Programme(programme) => programme,
    };
    rows.extend(programme.exercises.iter().map(|one| Row::keep(exercise(one, say))));
    rows.push(Row::keep(fill(&words.until, &[("date", &say.date(programme.use_until))])));
    rows
}

fn exercise(exercise: &Exercise, say: Say) -> String {
    let words = &say.w.plan;
    let limbs: Vec<String> = exercise
        .limbs
        .iter()
        .map(|limb| {
            let bearings: Vec<Bearing> = limb.movements.iter().map(|one| one.spec().bearing).collect();
            let ways = say.ways(exercise.family, limb.mover, &bearings);
            let far = limb.movements.iter().map(|one| one.spec().distance);
            let (least, most) = far.fold((None, None), |(least, most), one| {
                (
                    Some(least.map_or(one, |known: quantity::Length| known.min(one))),
                    Some(most.map_or(one, |known: quantity::Length| known.max(one))),
                )
            });
            let distance = match (least, most) {
                (Some(a), Some(b)) if say.length(a) != say.length(b) => {
                    format!("{:.0}–{}", down(a.in_cm(), 0), say.length(b))
                }
                (Some(a), _) => say.length(a),
                _ => String::new(),
            };
            let to = fill(&words.to, &[("directions", &ways), ("distance", &distance)]);
            fill(words.limb.of(limb.mover), &[("directions", &to)])
        })
        .collect();
    let family = say.family(exercise.family);
    let limbs = say.join(&limbs);
    let what = if exercise.support == movement::Support::None {
        fill(&words.exercise_free, &[("family", &family), ("limbs", &limbs)])
    } else {
        let support = say.support(exercise.support, exercise.place.map(|place| place.kind));
        fill(&words.exercise, &[("family", &family), ("support", &support), ("limbs", &limbs)])
    };
    let dose = exercise.dose;
    let dose = fill(
        &words.dose,
        &[
            ("repetitions", &counted(&words.repetitions, usize::from(dose.repetitions))),
            ("rounds", &counted(&words.rounds, usize::from(dose.rounds))),
            ("per_day", &counted(&words.per_day, usize::from(dose.per_day))),
        ],
    );
    let days = match exercise.days {
        Days::Every => &words.days.every,
        Days::Alternate => &words.days.alternate,
        Days::TwoOrThreeApart => &words.days.two_or_three,
    };
    format!("{what} {} {days}", super::say::capital(&dose))
}

/// The directions in which some way of a family is closed, or open, for one limb.
pub(super) fn bearings(ways: &[Way], family: Family, mover: Side, open: bool) -> Vec<Bearing> {
    let of_limb = || ways.iter().filter(move |way| (way.family, way.mover) == (family, mover));
    Bearing::ALL
        .into_iter()
        .filter(|bearing| {
            let mut here = of_limb().filter(|way| way.bearing == *bearing).peekable();
            here.peek().is_some() && here.any(|way| way.open.is_some()) == open
        })
        .collect()
}

/// Which steps are closed, whose rule closes them, and which families are closed altogether.
pub(super) fn closed(facts: &LetterFacts<'_>, say: Say) -> Vec<Row> {
    let words = &say.w.space;
    let ways = facts.ways;
    if ways.is_empty() {
        return vec![Row::keep(&words.unknown)];
    }
    let mut rows = Vec::new();
    for side in Side::BOTH {
        let shut = bearings(ways, Family::Step, side, false);
        let mut sentence = match shut.len() {
            0 => words.none_closed_step.of(side).to_owned(),
            8 => words.all_closed_step.of(side).to_owned(),
            _ => {
                let list = say.ways(Family::Step, side, &shut);
                fill(words.closed_step.of(side), &[("directions", &list)])
            }
        };
        let whose = whose(ways, side, &shut, say);
        if !whose.is_empty() {
            sentence = format!("{sentence} {}", fill(&words.by, &[("whose", &say.list(&whose))]));
        }
        rows.push(Row::keep(sentence));
    }
    let mut altogether: Vec<Family> = Vec::new();
    for way in ways {
        let family = way.family;
        let all = ways.iter().filter(|one| one.family == family).all(|one| one.open.is_none());
        if all && !altogether.contains(&family) && family != Family::Step {
            altogether.push(family);
        }
    }
    if !altogether.is_empty() {
        let names: Vec<String> =
            altogether.iter().map(|family| super::say::small(&say.family(*family))).collect();
        rows.push(Row::ranked(2, fill(&words.families_closed, &[("families", &names.join(", "))])));
    }
    rows
}

/// Whose rules close the steps of one limb.
fn whose(ways: &[Way], side: Side, shut: &[Bearing], say: Say) -> Vec<String> {
    let mut layers: Vec<Layer> = ways
        .iter()
        .filter(|way| (way.family, way.mover) == (Family::Step, side) && shut.contains(&way.bearing))
        .filter_map(|way| way.closed_by)
        .collect();
    layers.sort_unstable();
    layers.dedup();
    layers.iter().filter_map(|layer| say.w.space.whose.get(&key_of(layer)).cloned()).collect()
}

/// What was estimated and not measured, and what was not assessed.
pub(super) fn estimated(facts: &LetterFacts<'_>, say: Say) -> Option<LetterPart> {
    let words = &say.w.estimated;
    let found = &facts.case.findings;
    let life = shelf_life(FindingKey::QuadricepsStrengthPercent);
    let strength = found.strength.iter().any(|one| one.moment.on(facts.today, life).current().is_some());
    let mut rows =
        vec![Row::ranked(2, if strength { &words.strength_some } else { &words.strength }.as_str())];
    let leg = facts.case.person.body.leg_length();
    if Side::BOTH.into_iter().any(|side| leg.get(side).is_none()) {
        rows.push(Row::ranked(4, words.leg_length.as_str()));
    }
    rows.push(Row::ranked(5, words.model.as_str()));
    rows.push(Row::ranked(1, unknown(facts, say)));
    part(&words.title, rows)
}

/// The most useful of what was not assessed.
pub(super) fn unknown(facts: &LetterFacts<'_>, say: Say) -> String {
    let words = &say.w.estimated;
    if facts.unknown.is_empty() {
        return words.nothing_missing.clone();
    }
    fill(&words.not_assessed, &[("what", &unknown_list(facts.unknown, say))])
}

/// How many of what was not assessed are named.
const NAMED: usize = 6;

pub(super) fn unknown_list(keys: &[String], say: Say) -> String {
    let names: Vec<String> = keys.iter().take(NAMED).map(|key| say.finding_of(key)).collect();
    let more = keys.len().saturating_sub(NAMED);
    let list = names.join(", ");
    if more == 0 { list } else { format!("{list} (+ {more})") }
}
