//! Proposals that make less: shorter, halved with support, left out with a substitute, one level back.

use jiff::civil::Date;
use movement::{ArmTask, Family, MovementSpec, Place, Support};
use person::{CaseFile, HurtAt};
use programme::{Programme, figures};
use progress::{Adaptation, CellStep, Done, Morning, Rung, Session, Step};
use quantity::Length;
use safety::{Engine, as_much_as, counts_for};

use super::movements;
use super::proposal::{Change, Proposal};
use crate::PersonToday;
use crate::candidates::permit;
use crate::neighbours::in_place;

fn rules(cell: &CellStep) -> Vec<&'static str> {
    cell.reasons.iter().map(|one| one.rule).collect()
}

fn why(cell: &CellStep) -> String {
    cell.reasons.iter().map(|one| one.words.as_str()).collect::<Vec<_>>().join(" ")
}

/// How often a direction has to stand in the findings so that the gates keep its rung.
pub(super) fn times(rung: Rung) -> usize {
    match rung {
        Rung::Whole => 0,
        Rung::Shortened => 1,
        Rung::Supported => 2,
        Rung::LeftOut => 3,
    }
}

/// What hurt, as the findings keep it: as many entries as the rung asks for beside those that stand there.
fn entries(
    person: &PersonToday<'_>,
    cell: &CellStep,
    spec: &MovementSpec,
    (from, sessions): (Date, &[Session]),
) -> Vec<HurtAt> {
    let known = person.allowed.times_hurt(spec);
    let of_it = sessions.iter().filter(|session| from <= session.on && session.on <= person.today);
    let told = of_it.filter_map(|session| {
        let worst =
            session.cells.iter().filter(|(of, _)| *of == cell.cell).filter_map(|(_, done)| match done {
                Done::Done { pain, .. } if *pain != Some(0) => Some(*pain),
                _ => None,
            });
        let pain = worst.reduce(|a, b| a.zip(b).map(|(a, b)| a.max(b)))?;
        let settled = session.morning.map(|morning| !matches!(morning, Morning::Worse(_)));
        Some((session.on, pain, settled))
    });
    let mut told: Vec<(Date, Option<u8>, Option<bool>)> = told.collect();
    told.sort();
    let last = told.last().copied().unwrap_or((person.today, None, None));
    (known..times(cell.rung))
        .map(|at| {
            let (on, pain, settled) = told.get(at - known).copied().unwrap_or(last);
            // What the rule counts is not accepted pain, whatever became of it.
            let settled = settled.filter(|_| pain.is_none());
            HurtAt {
                mover: spec.mover,
                bearing: spec.bearing,
                // With an arm task nobody knows whether leg or trunk hurt, so the note names no family.
                family: (spec.arms == ArmTask::Free).then_some(spec.family),
                distance: spec.distance,
                pain,
                settled,
                spreads: false,
                on,
            }
        })
        .collect()
}

/// What a movement becomes, behind a sentence that names it: only the distances where nothing else changes.
pub(super) fn becomes(was: &MovementSpec, is: &MovementSpec) -> String {
    if was.at(is.distance) == *is {
        format!(" {} becomes {}.", was.distance, is.distance)
    } else {
        format!(" It becomes {}.", is.sentence())
    }
}

/// The case with what hurt in it.
pub(super) fn with_hurt(case: &CaseFile, hurt: &[HurtAt]) -> CaseFile {
    let mut case = case.clone();
    case.findings.hurt.extend(hurt.iter().cloned());
    case
}

/// A proposal for every direction that is made less, and all that is written into the findings by them.
pub(super) fn directions(
    person: &PersonToday<'_>,
    programme: &Programme,
    sessions: &[Session],
    adaptation: &Adaptation,
) -> (Vec<Proposal>, Vec<HurtAt>) {
    let all = movements(programme);
    let lessened = || adaptation.cells.iter().zip(&all).filter(|(cell, _)| cell.step < Step::Hold);
    // The same direction in two exercises stands in the findings once: first what asks least and counts for most,
    // of those the shorter.
    let mut hurt: Vec<HurtAt> = Vec::new();
    let counts = |spec: &MovementSpec| match spec.arms {
        ArmTask::Free => as_much_as(spec.family).len(),
        _ => usize::MAX,
    };
    let mut noted: Vec<_> = lessened().collect();
    noted.sort_by(|(_, (_, _, a)), (_, (_, _, b))| {
        counts(b).cmp(&counts(a)).then(a.distance.in_m().total_cmp(&b.distance.in_m()))
    });
    for (cell, (_, _, spec)) in noted {
        let new = entries(person, cell, spec, (programme.for_day, sessions));
        let there = hurt.iter().filter(|one| counts_for(one, spec)).count();
        hurt.extend(new.into_iter().skip(there));
    }
    let case = with_hurt(person.case, &hurt);
    let after = PersonToday::of(&case, person.today);
    let mut done: Vec<MovementSpec> = all.iter().map(|(_, _, spec)| (*spec).clone()).collect();
    let mut proposals = Vec::new();
    for (cell, (exercise, _, spec)) in lessened() {
        let mut changes: Vec<Change> = hurt
            .iter()
            .filter(|one| counts_for(one, spec))
            .map(|one| Change::Hurt { entry: one.clone() })
            .collect();
        let shorter = match cell.step {
            Step::LeaveOut => None,
            _ => shorter(&after, spec),
        };
        let mut words = why(cell);
        match shorter {
            Some(is) => {
                words.push_str(&becomes(spec, &is));
                changes.push(Change::Movement {
                    exercise: *exercise,
                    was: Box::new((*spec).clone()),
                    is: Box::new(is),
                });
            }
            None => {
                let (more, change) = replaced(&after, (*exercise, spec), &mut done, cell.step);
                words.push_str(&more);
                changes.push(change);
            }
        }
        let rules = rules(cell);
        proposals.push(Proposal {
            variable: None,
            cells: vec![cell.cell],
            words,
            rules,
            only_offered: false,
            changes,
        });
    }
    (proposals, hurt)
}

/// The movement as far, and held as firmly, as the gates still let it pass; none where too little is left.
pub(super) fn shorter(after: &PersonToday<'_>, spec: &MovementSpec) -> Option<MovementSpec> {
    let engine = Engine { body: &after.body, capacity: &after.capacity };
    let held = held_setups(after, spec);
    let setups = std::iter::once(spec.clone()).chain(held);
    let rule = safety::pain_rule();
    for setup in setups {
        for factor in [rule.first, rule.second] {
            let longest = after.case.findings.hurt.iter().filter(|one| counts_for(one, spec));
            // The rule counts from where it hurt; what is shorter already is not made longer by it.
            let from = longest.map(|one| one.distance).reduce(Length::max).unwrap_or(spec.distance);
            let distance = Length::cm(from.times(factor).min(spec.distance).in_cm().floor());
            if distance < figures().shortest_distance {
                continue;
            }
            if permit(after, &engine, &setup.at(distance), None).is_ok() {
                return Some(setup.at(distance));
            }
        }
    }
    None
}

/// The same movement with both hands on something at home, in each place where it may stand.
fn held_setups(person: &PersonToday<'_>, spec: &MovementSpec) -> Vec<MovementSpec> {
    if spec.family == Family::BendAndReach
        || spec.support == Support::BothHands
        || spec.load != movement::Load::None
    {
        return Vec::new();
    }
    let stature = person.case.person.body.stature();
    let limits = person.limits();
    let places = limits.supports.iter().flat_map(|kind| Place::usual(*kind, stature));
    places
        .map(|place| MovementSpec { support: Support::BothHands, place: Some(place), ..spec.clone() })
        .filter_map(|spec| spec.checked().ok())
        .collect()
}

/// What takes the place of a direction that is left out.
fn replaced(
    after: &PersonToday<'_>,
    (exercise, spec): (usize, &MovementSpec),
    done: &mut Vec<MovementSpec>,
    step: Step,
) -> (String, Change) {
    let engine = Engine { body: &after.body, capacity: &after.capacity };
    let was = Box::new(spec.clone());
    let first = if step == Step::LeaveOut {
        String::new()
    } else {
        format!(
            " {} cannot be made shorter and still be permitted, so it is left out for now.",
            spec.sentence()
        )
    };
    let found = in_place(after, &after.limits(), engine, spec, done);
    match found.and_then(|found| Some((found.instead?, found.kept, found.degrees))) {
        Some((instead, kept, degrees)) => {
            let kept = kept.map_or_else(String::new, |kept| {
                format!(", keeps about {:.0} % of its work (an estimate)", kept.in_percent())
            });
            let away = degrees.map_or_else(String::new, |degrees| format!(" and points {degrees}° away"));
            let words = format!("{first} In its place: {}{kept}{away}.", instead.sentence());
            done.push(instead.clone());
            (words, Change::Movement { exercise, was, is: Box::new(instead) })
        }
        None => (
            format!(
                "{first} Nothing takes its place: no other direction of this limb in this exercise is permitted and free."
            ),
            Change::Out { exercise, was },
        ),
    }
}

/// The whole programme one level back; on the lowest, everything shorter.
pub(super) fn one_level(
    person: &PersonToday<'_>,
    programme: &Programme,
    adaptation: &Adaptation,
    hurt: &[HurtAt],
) -> Proposal {
    let back: Vec<_> =
        adaptation.reasons.iter().filter(|one| one.means == progress::Whole::BackOff).collect();
    let mut words = back.iter().map(|one| one.reason.words.as_str()).collect::<Vec<_>>().join(" ");
    let all = movements(programme);
    let level = all.iter().map(|(_, _, spec)| safety::level(spec)).max().unwrap_or(0);
    let mut changes: Vec<Change> = Vec::new();
    if level > 1 {
        let to = level - 1;
        words.push_str(&format!(
            " It stood on level {level} of the ladder: a new programme is made with nothing above level {to}."
        ));
        changes.push(Change::PlanUpTo { level: to });
    } else {
        let case = with_hurt(person.case, hurt);
        let after = PersonToday::of(&case, person.today);
        let engine = Engine { body: &after.body, capacity: &after.capacity };
        let hurts = |spec: &MovementSpec| hurt.iter().any(|one| counts_for(one, spec));
        for (exercise, _, spec) in all.iter().filter(|(_, _, spec)| !hurts(spec)) {
            let back = spec.distance.times(programme::step_ceilings().back_to_at_least);
            let is =
                spec.at(Length::cm(back.in_cm().floor()).max(figures().shortest_distance).min(spec.distance));
            if is != **spec && permit(&after, &engine, &is, None).is_ok() {
                changes.push(Change::Movement {
                    exercise: *exercise,
                    was: Box::new((*spec).clone()),
                    is: Box::new(is),
                });
            }
        }
        words.push_str(match changes.len() {
            0 => " It stands on the lowest level and nothing can be shorter: rest, and see the person.",
            _ => " It stands on the lowest level: every direction goes three quarters of the way.",
        });
    }
    let rules = back.iter().map(|one| one.reason.rule).collect();
    Proposal { variable: None, cells: Vec::new(), words, rules, only_offered: false, changes }
}
