//! Proposals that bring back what hurt and is quiet again.

use anatomy::Side;
use movement::{Bearing, Family, MovementSpec, Support};
use person::{CaseFile, HurtAt};
use programme::{Exercise, Programme};
use progress::Adaptation;
use safety::{Engine, counts_for};

use super::less::{becomes, times};
use super::proposal::{Change, Proposal};
use super::{movements, plain};
use crate::PersonToday;
use crate::candidates::permit;

/// Directions that hurt before and are quiet: some of the notes of it may go.
pub(super) fn quiet(
    person: &PersonToday<'_>,
    programme: &Programme,
    adaptation: &Adaptation,
) -> Vec<Proposal> {
    let all = movements(programme);
    let mut out: Vec<Proposal> = Vec::new();
    // What is left of the notes, of each proposal.
    let mut left: Vec<Vec<HurtAt>> = Vec::new();
    for cell in adaptation.cells.iter().filter(|cell| cell.quiet_again) {
        let (mover, bearing, keep) = (cell.cell.mover, cell.cell.bearing, times(cell.rung));
        let family = Some(cell.cell.family);
        let mut case = person.case.clone();
        fewer(&mut case, (mover, bearing, family), keep);
        let goes = gone(&person.case.findings.hurt, &case.findings.hurt);
        // Quiet in every exercise in which the same notes count.
        let everywhere = adaptation
            .cells
            .iter()
            .zip(&all)
            .filter(|(_, (_, _, spec))| goes.iter().any(|note| counts_for(note, spec)))
            .all(|(other, _)| other.quiet_again);
        if goes.is_empty() || !everywhere || left.contains(&case.findings.hurt) {
            continue;
        }
        left.push(case.findings.hurt.clone());
        let reasons = cell.reasons.iter().filter(|one| one.rule == "LOG-QUIET");
        let mut words = reasons.map(|one| one.words.as_str()).collect::<Vec<_>>().join(" ");
        let mut changes = vec![Change::Fewer { mover, bearing, family, keep }];
        for (exercise, was, is) in brought_back(&PersonToday::of(&case, person.today), &all, &goes) {
            words.push_str(&becomes(&was, &is));
            changes.push(Change::Movement { exercise, was: Box::new(was), is: Box::new(is) });
        }
        let does_not_say = not_said(cell.cell.family, &goes);
        words.push_str(does_not_say.as_deref().unwrap_or_default());
        out.push(Proposal {
            variable: None,
            cells: vec![cell.cell],
            words,
            rules: vec!["LOG-QUIET"],
            only_offered: does_not_say.is_some(),
            changes,
        });
    }
    out
}

/// The notes that are there before and not after.
fn gone(before: &[HurtAt], after: &[HurtAt]) -> Vec<HurtAt> {
    let mut after = after.to_vec();
    let mut out = Vec::new();
    for note in before {
        match after.iter().position(|one| one == note) {
            Some(at) => {
                after.remove(at);
            }
            None => out.push(note.clone()),
        }
    }
    out
}

/// What a quiet family does not say of notes that would go: a hand that is quiet does not speak for a foot, nor a
/// reach for the step that hurt, nor any for a note that names none. The therapist knows.
fn not_said(quiet: Family, goes: &[HurtAt]) -> Option<String> {
    let mut others: Vec<Family> = goes.iter().filter_map(|n| n.family).filter(|one| *one != quiet).collect();
    others.sort_unstable();
    others.dedup();
    if !others.is_empty() {
        let others: Vec<&str> = others.into_iter().map(Family::name).collect();
        let others = others.join(" and the ");
        return Some(format!(
            " It is the {quiet} that was quiet; whether the {others} that was noted still hurts the therapist knows."
        ));
    }
    goes.iter().any(|note| note.family.is_none()).then(|| match quiet {
        Family::BendAndReach => {
            " It is the hand that was quiet; whether the foot hurt the therapist knows.".to_owned()
        }
        quiet => format!(
            " It is the {quiet} that was quiet; in which movement it hurt was not noted, and the therapist knows."
        ),
    })
}

/// The hands come off again where the other limb goes the same way without and both gates let it `after` these notes
/// are gone. It goes as far as it went: one variable at a time, and distance steps up by itself.
fn brought_back(
    after: &PersonToday<'_>,
    all: &[(usize, &Exercise, &MovementSpec)],
    goes: &[HurtAt],
) -> Vec<(usize, MovementSpec, MovementSpec)> {
    let engine = Engine { body: &after.body, capacity: &after.capacity };
    let here = |spec: &MovementSpec| goes.iter().any(|note| counts_for(note, spec));
    let back = |(exercise, _, spec): &(usize, &Exercise, &MovementSpec)| {
        let way =
            |one: &MovementSpec| (one.family, one.bearing.named_from(one.mover), one.crossing, one.load);
        let like = all
            .iter()
            .map(|(_, _, one)| *one)
            .find(|one| one.mover != spec.mover && way(one) == way(spec))?;
        let held = |one: &MovementSpec| (one.support, one.place);
        if held(like) == held(spec) || spec.support == Support::None {
            return None;
        }
        let free = MovementSpec { support: like.support, place: like.place, ..(*spec).clone() };
        permit(after, &engine, &free, None).is_ok().then(|| (*exercise, (*spec).clone(), free))
    };
    all.iter().filter(|(_, _, spec)| here(spec)).filter_map(back).collect()
}

/// Keeps so many of the notes that count for a direction: those of the shortest distances, then the oldest. Where no
/// family is named, of those of every one.
pub(super) fn fewer(
    case: &mut CaseFile,
    (mover, bearing, family): (Side, Bearing, Option<Family>),
    keep: usize,
) {
    let hurt = &mut case.findings.hurt;
    let mut here: Vec<usize> =
        (0..hurt.len()).filter(|at| counts_in(&hurt[*at], (mover, bearing, family))).collect();
    here.sort_by(|a, b| {
        let (a, b) = (&hurt[*a], &hurt[*b]);
        a.distance.in_m().total_cmp(&b.distance.in_m()).then(a.on.cmp(&b.on))
    });
    let goes = here.split_off(keep.min(here.len()));
    let mut at = 0;
    hurt.retain(|_| {
        at += 1;
        !goes.contains(&(at - 1))
    });
}

/// Whether a note counts for a direction of a limb, in a family or in whichever it was noted.
pub(super) fn counts_in(note: &HurtAt, (mover, bearing, family): (Side, Bearing, Option<Family>)) -> bool {
    match family {
        Some(family) => counts_for(note, &plain(family, mover, bearing)),
        None => note.mover == mover && note.bearing == bearing,
    }
}
