//! Proposals that make less: shorter, halved with support, left out with a substitute, one level back; and what is
//! quiet again or may be offered again.

use anatomy::Side;
use jiff::civil::Date;
use movement::{Bearing, Family, MovementSpec, Place, Support};
use person::{CaseFile, HurtAt};
use programme::{Programme, figures};
use progress::{Adaptation, CellStep, Done, Morning, Rung, Session, Step};
use quantity::Length;
use safety::Engine;

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

/// Directions that hurt before and are quiet: some of the notes of it may go.
pub(super) fn quiet(
    person: &PersonToday<'_>,
    programme: &Programme,
    adaptation: &Adaptation,
) -> Vec<Proposal> {
    let all = movements(programme);
    // In every exercise in which it is done.
    let same = |a: &CellStep, b: &CellStep| a.cell.mover == b.cell.mover && a.cell.bearing == b.cell.bearing;
    let everywhere = |cell: &&CellStep| {
        adaptation
            .cells
            .iter()
            .filter(|other| same(other, cell))
            .all(|other| other.quiet_again || other.done == 0)
    };
    let mut out: Vec<Proposal> = Vec::new();
    for cell in adaptation.cells.iter().filter(|cell| cell.quiet_again).filter(everywhere) {
        let (mover, bearing) = (cell.cell.mover, cell.cell.bearing);
        let fewer = Change::Fewer { mover, bearing, keep: times(cell.rung) };
        let reasons = cell.reasons.iter().filter(|one| one.rule == "LOG-QUIET");
        let mut words = reasons.map(|one| one.words.as_str()).collect::<Vec<_>>().join(" ");
        if out.iter().all(|one| !one.changes.contains(&fewer)) {
            let mut changes = vec![fewer];
            for (exercise, was, is) in brought_back(person, &all, cell) {
                words.push_str(&format!(" {} becomes {}.", was.sentence(), is.sentence()));
                changes.push(Change::Movement { exercise, was: Box::new(was), is: Box::new(is) });
            }
            out.push(Proposal {
                variable: None,
                cells: vec![cell.cell],
                words,
                rules: vec!["LOG-QUIET"],
                only_offered: false,
                changes,
            });
        }
    }
    out
}

/// The hands come off again where the other limb goes the same way without, as far as the pain rule lets it go then
/// and no further than the other limb.
fn brought_back(
    person: &PersonToday<'_>,
    all: &[(usize, &programme::Exercise, &MovementSpec)],
    cell: &CellStep,
) -> Vec<(usize, MovementSpec, MovementSpec)> {
    let (mover, bearing) = (cell.cell.mover, cell.cell.bearing);
    let mut case = person.case.clone();
    fewer(&mut case, (mover, bearing), times(cell.rung));
    let after = PersonToday::of(&case, person.today);
    let engine = Engine { body: &after.body, capacity: &after.capacity };
    let here = |spec: &MovementSpec| spec.mover == mover && spec.bearing == bearing;
    let back = |(exercise, _, spec): &(usize, &programme::Exercise, &MovementSpec)| {
        let way =
            |one: &MovementSpec| (one.family, one.bearing.named_from(one.mover), one.crossing, one.load);
        let like =
            all.iter().map(|(_, _, one)| *one).find(|one| one.mover != mover && way(one) == way(spec))?;
        let held = |one: &MovementSpec| (one.support, one.place);
        if held(like) == held(spec) || spec.support == Support::None {
            return None;
        }
        let free = MovementSpec { support: like.support, place: like.place, ..(*spec).clone() };
        let factors = [1.0, safety::pain_rule().first, safety::pain_rule().second];
        factors.into_iter().find_map(|factor| {
            let distance = Length::cm(like.distance.times(factor).in_cm().floor());
            let is = free.at(distance);
            (distance >= spec.distance && permit(&after, &engine, &is, None).is_ok())
                .then(|| (*exercise, (*spec).clone(), is))
        })
    };
    all.iter().filter(|(_, _, spec)| here(spec)).filter_map(back).collect()
}

/// How often a direction has to stand in the findings so that the gates keep its rung.
fn times(rung: Rung) -> usize {
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
    sessions: &[Session],
) -> Vec<HurtAt> {
    let known = person.allowed.times_hurt(spec.mover, spec.bearing);
    let told = sessions.iter().filter_map(|session| {
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
                distance: spec.distance,
                pain,
                settled,
                spreads: false,
                on,
            }
        })
        .collect()
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
    // The same direction in two exercises stands in the findings once, at the longer distance.
    let mut hurt: Vec<HurtAt> = Vec::new();
    for (cell, (_, _, spec)) in lessened() {
        let new = entries(person, cell, spec, sessions);
        let there = hurt.iter().filter(|one| one.mover == spec.mover && one.bearing == spec.bearing).count();
        hurt.extend(new.into_iter().skip(there));
    }
    let case = with_hurt(person.case, &hurt);
    let after = PersonToday::of(&case, person.today);
    let mut done: Vec<MovementSpec> = all.iter().map(|(_, _, spec)| (*spec).clone()).collect();
    let mut proposals = Vec::new();
    for (cell, (exercise, _, spec)) in lessened() {
        let mut changes: Vec<Change> = hurt
            .iter()
            .filter(|one| one.mover == spec.mover && one.bearing == spec.bearing)
            .map(|one| Change::Hurt { entry: one.clone() })
            .collect();
        let shorter = match cell.step {
            Step::LeaveOut => None,
            _ => shorter(&after, spec),
        };
        let mut words = why(cell);
        match shorter {
            Some(is) => {
                words.push_str(&format!(" {} becomes {}.", spec.sentence(), is.sentence()));
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
            let longest = after
                .case
                .findings
                .hurt
                .iter()
                .filter(|one| one.mover == spec.mover && one.bearing == spec.bearing);
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
        let hurts = |spec: &MovementSpec| {
            hurt.iter().any(|one| one.mover == spec.mover && one.bearing == spec.bearing)
        };
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

/// What was left out and may be offered again by the therapist, half as far and held: it comes back the way it
/// went. Never part of accepting everything. Pain that spread is not offered: the therapist looks first.
pub(super) fn offered_again(
    person: &PersonToday<'_>,
    programme: &Programme,
    adaptation: &Adaptation,
) -> Vec<Proposal> {
    let all = movements(programme);
    let offer = |offer: &progress::OfferAgain| {
        let (mover, bearing) = (offer.direction.mover, offer.direction.bearing);
        let here = |one: &&HurtAt| one.mover == mover && one.bearing == bearing;
        let hurt: Vec<&HurtAt> = person.case.findings.hurt.iter().filter(here).collect();
        if hurt.iter().any(|one| one.spreads) {
            return None;
        }
        let keep = times(Rung::Supported);
        let mut case = person.case.clone();
        fewer(&mut case, (mover, bearing), keep);
        let after = PersonToday::of(&case, person.today);
        let at = hurt.iter().map(|one| one.distance).reduce(Length::min)?;
        // In the first exercise of this limb in which it is permitted so.
        let found = all.iter().filter(|(_, _, spec)| spec.mover == mover).find_map(|(exercise, _, like)| {
            let mut ways = like.family.ways(bearing, mover).iter();
            let is = ways.find_map(|crossing| {
                shorter(&after, &MovementSpec { bearing, crossing: *crossing, ..(*like).clone() }.at(at))
            });
            is.map(|is| (*exercise, is))
        });
        let (exercise, is) = found?;
        Some(Proposal {
            variable: None,
            cells: Vec::new(),
            words: format!("{} It would be {}.", offer.reason.words, is.sentence()),
            rules: vec![offer.reason.rule],
            only_offered: true,
            changes: vec![Change::Fewer { mover, bearing, keep }, Change::In { exercise, is: Box::new(is) }],
        })
    };
    adaptation.offer_again.iter().filter_map(offer).collect()
}

/// Keeps so many entries of what hurt in a direction, the oldest.
pub(super) fn fewer(case: &mut CaseFile, (mover, bearing): (Side, Bearing), keep: usize) {
    let mut kept = 0;
    case.findings.hurt.sort_by_key(|one| one.on);
    case.findings.hurt.retain(|one| {
        let here = one.mover == mover && one.bearing == bearing;
        kept += usize::from(here);
        !here || kept <= keep
    });
}
