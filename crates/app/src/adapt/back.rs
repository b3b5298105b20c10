//! Proposals that bring back: what hurt and is quiet again, and what was left out and may be offered again.

use anatomy::Side;
use movement::{Bearing, Family, MovementSpec, Support};
use person::{CaseFile, HurtAt};
use programme::{Exercise, Programme};
use progress::{Adaptation, CellStep, Rung};
use quantity::Length;
use safety::Engine;

use super::less::{shorter, times};
use super::movements;
use super::proposal::{Change, Proposal};
use crate::PersonToday;
use crate::candidates::permit;

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
            // The notes do not say whether foot or hand hurt: a hand that is quiet does not speak for the foot.
            let only_the_hand = cell.cell.family == Family::BendAndReach;
            if only_the_hand {
                words.push_str(" It is the hand that was quiet; whether the foot hurt the therapist knows.");
            }
            out.push(Proposal {
                variable: None,
                cells: vec![cell.cell],
                words,
                rules: vec!["LOG-QUIET"],
                only_offered: only_the_hand,
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
    all: &[(usize, &Exercise, &MovementSpec)],
    cell: &CellStep,
) -> Vec<(usize, MovementSpec, MovementSpec)> {
    let (mover, bearing) = (cell.cell.mover, cell.cell.bearing);
    let mut case = person.case.clone();
    fewer(&mut case, (mover, bearing), times(cell.rung));
    let after = PersonToday::of(&case, person.today);
    let engine = Engine { body: &after.body, capacity: &after.capacity };
    let here = |spec: &MovementSpec| spec.mover == mover && spec.bearing == bearing;
    let back = |(exercise, _, spec): &(usize, &Exercise, &MovementSpec)| {
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
