//! The one step up: one variable, in the order repetitions, distance, hands, speed, load, level.
//!
//! Distance, hands and load go through the neighbours of a movement, so that each is permitted today by both gates.
//! Hands, speed, load and repetitions belong to a whole exercise: they go up only where every direction of it may.
//! While irritability is moderate or more, one exercise only.

use anatomy::Side;
use movement::{Load, MovementSpec, Support, Tempo};
use programme::{Changed, DoseRules, Exercise, Limits, Programme, Way, figures};
use progress::{Adaptation, Cell, Step, adapt_figures, cell_words};
use quantity::Span;
use safety::{Engine, Irritability};

use super::proposal::{Change, Proposal, Variable};
use crate::PersonToday;
use crate::candidates::permit;
use crate::neighbours::{NO_SUCH_STEP, one_step};

/// One exercise with what its directions may do.
struct Part<'a> {
    at: usize,
    exercise: &'a Exercise,
    /// The highest level of the whole programme.
    highest: u8,
    /// Each movement, its cell, and whether it may go up.
    movements: Vec<(&'a MovementSpec, Cell, bool)>,
}

impl Part<'_> {
    fn all_may(&self) -> bool {
        self.movements.iter().all(|(_, _, may)| *may)
    }

    fn any_may(&self) -> bool {
        self.movements.iter().any(|(_, _, may)| *may)
    }
}

/// The first variable in the order that any exercise can step up, or what stood in the way of each.
pub(super) fn one_step_up(
    person: &PersonToday<'_>,
    programme: &Programme,
    adaptation: &Adaptation,
) -> Result<Proposal, Vec<String>> {
    let limits = person.limits();
    let mut cells = adaptation.cells.iter();
    let highest =
        programme.exercises.iter().flat_map(Exercise::movements).map(|one| safety::level(one.spec())).max();
    let highest = highest.unwrap_or(0);
    let parts: Vec<Part<'_>> = programme
        .exercises
        .iter()
        .enumerate()
        .map(|(at, exercise)| {
            let movements = exercise.movements().zip(cells.by_ref());
            let movements =
                movements.map(|(m, cell)| (m.spec(), cell.cell, cell.step == Step::Progress)).collect();
            Part { at, exercise, highest, movements }
        })
        .collect();
    let easily = Irritability::on(&person.case.findings, person.today) > Irritability::Low;
    let mut in_vain = Vec::new();
    for variable in Variable::ORDER {
        let mut found: Vec<(Vec<Cell>, Vec<Change>, String)> = Vec::new();
        let mut why_not: Vec<String> = Vec::new();
        let mut seconds = programme.minutes.in_s();
        for part in parts.iter().filter(|part| part.any_may()) {
            if easily && !found.is_empty() {
                break;
            }
            match step(person, &limits, part, variable, &mut seconds) {
                Ok(one) => found.push(one),
                Err(why) if why_not.contains(&why) => {}
                Err(why) => why_not.push(why),
            }
            // The next level is one new programme, not one for each exercise.
            if variable == Variable::Level {
                break;
            }
        }
        why_not.retain(|why| why != NO_SUCH_STEP);
        if !why_not.is_empty() {
            in_vain.push(format!("{}: {}", variable.words(), why_not.join("; ")));
        }
        if found.is_empty() {
            continue;
        }
        let told: Vec<&str> = found.iter().map(|(_, _, words)| words.as_str()).collect();
        let days = adapt_figures().clean_days;
        let words = format!(
            "Clean on the last {days} days of practice: one variable goes up, {}. {}",
            variable.words(),
            told.join(" ")
        );
        return Ok(Proposal {
            variable: Some(variable),
            cells: found.iter().flat_map(|(cells, _, _)| cells.clone()).collect(),
            words,
            rules: vec!["LOG-CLEAN"],
            only_offered: false,
            changes: found.into_iter().flat_map(|(_, changes, _)| changes).collect(),
        });
    }
    Err(in_vain)
}

type Found = (Vec<Cell>, Vec<Change>, String);

fn step(
    person: &PersonToday<'_>,
    limits: &Limits,
    part: &Part<'_>,
    variable: Variable,
    seconds: &mut f64,
) -> Result<Found, String> {
    if variable != Variable::Distance && !part.all_may() {
        return Err("not every direction of it may go up".to_owned());
    }
    match variable {
        Variable::Repetitions => repetitions(person, part, seconds),
        Variable::Distance => distance(person, limits, part),
        Variable::Hands => whole(person, limits, part, Changed::Hands),
        Variable::Speed => speed(person, limits, part),
        Variable::Load => whole(person, limits, part, Changed::Load),
        Variable::Level => level(person, part),
    }
}

/// Where the gates open a higher level than everything in the programme: a new programme.
fn level(person: &PersonToday<'_>, part: &Part<'_>) -> Result<Found, String> {
    let now = part.highest;
    let open = Side::BOTH.into_iter().map(|side| person.allowed.open_level(side)).min().unwrap_or(0);
    if open <= now {
        return Err(format!("no level above {now} is open on both legs today"));
    }
    let words = format!(
        "Nothing in this programme can go up by itself. It stands on level {now} of the ladder and level {open} is open today: a new programme."
    );
    Ok((all_cells(part), vec![Change::PlanAgain], words))
}

fn all_cells(part: &Part<'_>) -> Vec<Cell> {
    part.movements.iter().map(|(_, cell, _)| *cell).collect()
}

fn repetitions(person: &PersonToday<'_>, part: &Part<'_>, seconds: &mut f64) -> Result<Found, String> {
    let (now, most) = (part.exercise.dose.repetitions, figures().repetitions_at_most);
    if now >= most {
        return Err(format!("{now} times is the most"));
    }
    let moving: f64 = part.exercise.movements().map(|one| one.tempo().one_movement().in_s()).sum();
    let longer = *seconds + moving * f64::from(part.exercise.dose.rounds);
    if longer > person.case.wishes.minutes.in_s() {
        return Err("there is no time for more".to_owned());
    }
    *seconds = longer;
    let to = now + 1;
    let words = format!(
        "Exercise {}, {}: {to} times each direction instead of {now}.",
        part.at + 1,
        part.exercise.family
    );
    Ok((all_cells(part), vec![Change::Repetitions { exercise: part.at, to }], words))
}

/// Whether a movement is permitted when it is computed by itself, and not only beside the one now: the next programme
/// computes it so.
fn stands_alone(person: &PersonToday<'_>, spec: &MovementSpec) -> Result<(), String> {
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    permit(person, &engine, spec, None).map(|_| ())
}

/// Every direction that may, each by its own smallest step that is felt and that can be marked on a floor.
fn distance(person: &PersonToday<'_>, limits: &Limits, part: &Part<'_>) -> Result<Found, String> {
    let mut out: Found = (Vec::new(), Vec::new(), String::new());
    let mut by_length: Vec<(String, Vec<String>)> = Vec::new();
    let mut why = String::new();
    for (spec, cell, _) in part.movements.iter().filter(|(_, _, may)| *may) {
        let least = person.body.leg_length(spec.mover).times(adapt_figures().further_at_least);
        let step = one_step(person, limits, spec, (Way::Up, Changed::Distance)).and_then(|up| {
            if up.movement.distance < spec.distance + least {
                return Err("less is left than can be marked on a floor".to_owned());
            }
            stands_alone(person, &up.movement).map(|()| up.movement)
        });
        match step {
            Ok(is) => {
                let length = format!("{} becomes {}", spec.distance, is.distance);
                match by_length.iter_mut().find(|(known, _)| *known == length) {
                    Some((_, names)) => names.push(cell_words(*cell)),
                    None => by_length.push((length, vec![cell_words(*cell)])),
                }
                out.0.push(*cell);
                out.1.push(Change::Movement {
                    exercise: part.at,
                    was: Box::new((*spec).clone()),
                    is: Box::new(is),
                });
            }
            Err(because) => why = because,
        }
    }
    if out.0.is_empty() {
        return Err(why);
    }
    let told: Vec<String> =
        by_length.into_iter().map(|(length, names)| format!("{length}: {}", names.join("; "))).collect();
    out.2 = format!("Exercise {}: {}.", part.at + 1, told.join(". "));
    Ok(out)
}

/// Something that all directions of an exercise share: every one must be permitted so.
fn whole(
    person: &PersonToday<'_>,
    limits: &Limits,
    part: &Part<'_>,
    changed: Changed,
) -> Result<Found, String> {
    let mut changes = Vec::new();
    let mut now = None;
    for (spec, _, _) in &part.movements {
        let up = one_step(person, limits, spec, (Way::Up, changed))?;
        stands_alone(person, &up.movement)?;
        now.get_or_insert_with(|| up.movement.clone());
        changes.push(Change::Movement {
            exercise: part.at,
            was: Box::new((*spec).clone()),
            is: Box::new(up.movement),
        });
    }
    let Some(now) = now else { return Err("it has no movement".to_owned()) };
    let words = match changed {
        Changed::Hands => {
            let hands = match now.support {
                Support::None => "no hand on a support",
                Support::Fingertip => "a fingertip on the support",
                Support::OneHand => "one hand on the support",
                Support::BothHands => "both hands on the support",
            };
            format!("Exercise {}, {}: {hands}.", part.at + 1, now.family)
        }
        _ => {
            let before = match part.exercise.load {
                Load::None => "nothing".to_owned(),
                load => load.total().to_string(),
            };
            format!(
                "Exercise {}, {}: {} carried in all instead of {before}, the next size at home.",
                part.at + 1,
                now.family,
                now.load.total()
            )
        }
    };
    Ok((all_cells(part), changes, words))
}

/// Back to the usual pace, where a slower one was chosen: nothing quicker is computed.
fn speed(person: &PersonToday<'_>, limits: &Limits, part: &Part<'_>) -> Result<Found, String> {
    let (times, now) = (adapt_figures().faster_times, part.exercise.tempo);
    let rules = DoseRules::of(part.exercise.family, limits, person.case.wishes.per_day);
    let faster = |way: Span| way.times(times).max(rules.way.0).min(way);
    let to = Tempo { out: faster(now.out), back: faster(now.back), ..now };
    if to == now {
        return Err("nothing quicker than the usual pace is computed".to_owned());
    }
    let words = format!(
        "Exercise {}, {}: {:.1} s out and {:.1} s back instead of {:.1} and {:.1}.",
        part.at + 1,
        part.exercise.family,
        to.out.in_s(),
        to.back.in_s(),
        now.out.in_s(),
        now.back.in_s()
    );
    Ok((all_cells(part), vec![Change::Pace { exercise: part.at, to }], words))
}
