//! A direction that is held because it hurt, in a programme: what takes its place, with the words for it.
//!
//! Which direction it is says `substitute.rs`. It is put where the held one would stand, when the other
//! limb goes there in the same exercise and the time allows it; else it is only proposed. Nothing is
//! taken out for it: the programme that was chosen stays as it is.

use anatomy::{MuscleGroup, PerSide, Side};
use movement::{Bearing, MovementSpec};
use person::HurtAt;
use quantity::{Share, Span};
use serde::Serialize;

use crate::option::same_exercise;
use crate::{Asks, Candidate, Figures, Substitute, Substitution, substitute, words};

/// What is left out of a person's programmes because it hurt.
#[derive(Clone, Debug, Default)]
pub struct Held {
    /// Each direction that is left out, in each exercise in which it would else be a candidate.
    pub directions: Vec<HeldDirection>,
    /// Every note of pain, of what is left out or not.
    pub hurt: Vec<HurtAt>,
}

/// A direction of a limb that is left out, in one exercise.
#[derive(Clone, Debug)]
pub struct HeldDirection {
    /// What would be a candidate had it not hurt: compared with, never prescribed.
    pub would_be: Candidate,
    /// Why it is left out and until when, in whole sentences.
    pub because: String,
}

/// What became of the place of a held direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Taken {
    /// The substitute stands in the programme, where the held direction would stand.
    Placed,
    /// It can be done, but the session has no time left for it.
    NoTime,
    /// It can be done, but no exercise of this programme goes the held way with the other limb.
    NotInThisProgramme,
    /// It can be done; there is no programme in which it could stand.
    Proposed,
    /// Nothing takes the place.
    Nothing,
}

/// A held direction and what takes its place. Shares and angles are estimates.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct InPlace {
    /// What is held, as it would be done.
    pub held: MovementSpec,
    /// What takes its place, permitted today.
    pub instead: Option<MovementSpec>,
    /// How much of the work that keeps.
    pub kept: Option<Share>,
    /// How far it points away from what hurts, degrees.
    pub degrees: Option<u16>,
    /// What became of the place.
    pub taken: Taken,
    /// All of it for the therapist, in whole sentences.
    pub words: String,
}

/// What can be done in the place of one held direction, among candidates that are permitted today.
#[must_use]
pub fn in_its_place(
    held: &HeldDirection,
    groups: &[MuscleGroup],
    hurt: &[HurtAt],
    candidates: &[Candidate],
) -> InPlace {
    let all: Vec<&Candidate> = candidates.iter().collect();
    match found(held, groups, hurt, &all) {
        Ok(found) => proposed(held, found, all[found.index], Taken::Proposed, ""),
        Err(why) => nothing(held, &why),
    }
}

/// One exercise as it was chosen: candidates by limb, in order, and how long it takes.
#[derive(Clone, Debug)]
pub(crate) struct Draft {
    /// Any one of its candidates.
    pub example: usize,
    /// Indices of candidates.
    pub limbs: PerSide<Vec<usize>>,
    /// How often all of it is done: repetitions times rounds, and rounds.
    pub times: (f64, f64),
    /// Time with its rests.
    pub seconds: f64,
}

/// What became of the places, and the seconds that those would take for which there was no time.
#[derive(Clone, Debug)]
pub(crate) struct Filled {
    pub in_place: Vec<InPlace>,
    pub lacking_s: f64,
}

/// Puts a substitute where each held direction would stand, as long as `seconds_left` allow it.
pub(crate) fn fill(
    drafts: &mut [Draft],
    held: &Held,
    groups: &[MuscleGroup],
    candidates: &[Candidate],
    mut seconds_left: f64,
    figures: &Figures,
) -> Filled {
    let mut out = Filled { in_place: Vec::new(), lacking_s: 0.0 };
    let direction = |h: &HeldDirection| {
        let spec = h.would_be.permitted.spec();
        (spec.mover, spec.bearing)
    };
    let mut told: Vec<(Side, Bearing)> = Vec::new();
    for first in &held.directions {
        if told.contains(&direction(first)) {
            continue;
        }
        told.push(direction(first));
        let mut tries: Vec<Try<'_>> = held
            .directions
            .iter()
            .filter(|h| direction(h) == direction(first))
            .map(|h| Try::of(h, drafts, (groups, &held.hurt), candidates))
            .collect();
        // In the order in which they come: one with a place first, then one of an exercise that is done.
        tries.sort_by_key(|t| (t.found.is_err(), t.at.is_none(), t.exercise.is_none()));
        let Some(best) = tries.into_iter().next() else { continue };
        let (found, index) = match best.found {
            Ok(found) => found,
            Err(why) => {
                out.in_place.push(nothing(best.held, &why));
                continue;
            }
        };
        let instead = &candidates[index];
        let told = |taken: Taken, then: &str| proposed(best.held, found, instead, taken, then);
        let Some((exercise, at)) = best.exercise.zip(best.at) else {
            let why = " No exercise of this programme goes that way now.";
            out.in_place.push(told(Taken::NotInThisProgramme, why));
            continue;
        };
        let draft = &mut drafts[exercise];
        let (times, rounds) = draft.times;
        let limb = draft.limbs.get_mut(instead.permitted.spec().mover);
        let change = if limb.is_empty() { figures.change_limb.in_s() * rounds } else { 0.0 };
        let seconds = instead.minutes.in_s() * times + change;
        if seconds > seconds_left {
            out.lacking_s += seconds;
            let why = format!(
                " It is not in this programme: it would take {} more than there is time for.",
                words::time(Span::s((seconds - seconds_left).ceil()))
            );
            out.in_place.push(told(Taken::NoTime, &why));
            continue;
        }
        limb.insert(at.min(limb.len()), index);
        draft.seconds += seconds;
        seconds_left -= seconds;
        let placed = " It stands in this programme, where the other would stand.";
        out.in_place.push(told(Taken::Placed, placed));
    }
    out
}

/// A held direction in one exercise: where it would stand, and what would take its place there.
struct Try<'a> {
    held: &'a HeldDirection,
    exercise: Option<usize>,
    at: Option<usize>,
    found: Result<(Substitute, usize), String>,
}

impl<'a> Try<'a> {
    fn of(
        held: &'a HeldDirection,
        drafts: &[Draft],
        (groups, hurt): (&[MuscleGroup], &[HurtAt]),
        candidates: &[Candidate],
    ) -> Self {
        let spec = held.would_be.permitted.spec();
        let same = |d: &Draft| same_exercise(candidates[d.example].permitted.spec(), spec);
        let (exercise, at) = match place(held, drafts, candidates) {
            Some((exercise, at)) => (Some(exercise), Some(at)),
            None => (drafts.iter().position(same), None),
        };
        let done: &[usize] = exercise.map_or(&[], |e| drafts[e].limbs.get(spec.mover));
        let free: Vec<usize> = (0..candidates.len()).filter(|k| !done.contains(k)).collect();
        let all: Vec<&Candidate> = free.iter().map(|k| &candidates[*k]).collect();
        let found = found(held, groups, hurt, &all).map(|found| (found, free[found.index]));
        Self { held, exercise, at, found }
    }
}

/// The exercise that goes the held way with the other limb, and where the held movement would stand in it.
fn place(held: &HeldDirection, drafts: &[Draft], candidates: &[Candidate]) -> Option<(usize, usize)> {
    let spec = held.would_be.permitted.spec();
    let name = |s: &MovementSpec| (s.bearing.named_from(s.mover), s.crossing);
    drafts.iter().enumerate().find_map(|(exercise, draft)| {
        if !same_exercise(candidates[draft.example].permitted.spec(), spec) {
            return None;
        }
        let others = draft.limbs.get(spec.mover.other());
        let there = |k: &usize| name(candidates[*k].permitted.spec()) == name(spec);
        others.iter().position(there).map(|at| (exercise, at))
    })
}

fn found(
    held: &HeldDirection,
    groups: &[MuscleGroup],
    hurt: &[HurtAt],
    candidates: &[&Candidate],
) -> Result<Substitute, String> {
    let asks: Vec<Asks> = candidates.iter().map(|c| Asks::from(*c)).collect();
    let why = match substitute(&Asks::from(&held.would_be), groups, hurt, &asks) {
        Substitution::Found(found) => return Ok(found),
        Substitution::KeepsTooLittle { most } => format!(
            "Nothing takes its place: of what else is permitted the best keeps about {:.0} % of its work, an estimate.",
            most.in_percent()
        ),
        Substitution::NothingPermitted => {
            "Nothing takes its place: no other direction of this limb that never hurt is permitted in this exercise and not done already."
                .to_owned()
        }
        Substitution::AsksNothing => {
            "Nothing takes its place: it asks nothing of the legs that could be kept.".to_owned()
        }
    };
    Err(why)
}

fn nothing(held: &HeldDirection, why: &str) -> InPlace {
    InPlace {
        held: held.would_be.permitted.spec().clone(),
        instead: None,
        kept: None,
        degrees: None,
        taken: Taken::Nothing,
        words: format!("{} {why}", held.because),
    }
}

fn proposed(
    held: &HeldDirection,
    found: Substitute,
    instead: &Candidate,
    taken: Taken,
    then: &str,
) -> InPlace {
    let spec = instead.permitted.spec();
    let of = if found.of_goals { "the work for the goals" } else { "its work" };
    InPlace {
        held: held.would_be.permitted.spec().clone(),
        instead: Some(spec.clone()),
        kept: Some(found.kept),
        degrees: Some(found.degrees),
        taken,
        words: format!(
            "{} In its place: {}; it points {}° away and keeps about {:.0} % of {of}, an estimate.{then}",
            held.because,
            spec.sentence(),
            found.degrees,
            found.kept.in_percent()
        ),
    }
}
