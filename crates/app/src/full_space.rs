//! The full space of one body: every movement of the repertoire at every distance, computed once.
//!
//! Rays are families × limbs × bearings × ways of crossing × standing foot fixed or turning × depths
//! or hand heights; on each, every distance of the survey's grid (5 % of leg length), and there every
//! arm task and load of the repertoire. Nothing here asks a gate: postures, moments and demands are
//! of the body. Each movement starts from its neighbour nearer by, each arm task and load from the
//! plain movement at the same distance. A ray ends where two distances in a row have no posture.

use std::sync::Arc;

use biomech::motion_beside;
use movement::{ArmTask, Family, HandHeight, Load, MovementSpec, OnReturn, repertoire};
use quantity::Mass;
use safety::{Computed, Engine, Movements, Ray, grid, rays};

use crate::PersonToday;
use crate::survey::{FREE, choices, on_all_cores};

/// Which arm tasks and loads are searched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Repertoire {
    /// Arms free with every load of the repertoire but the heavier hand weights; without load:
    /// overhead, turns to both sides, hands to the knee and back hanging. Lunges at the shallower depth.
    Usual,
    /// Every pair of arm task and load in `reference/repertoire.toml`, lunges at every depth.
    Whole,
}

impl Repertoire {
    /// The pairs of a family, the plain movement first.
    #[must_use]
    pub fn of(self, family: Family) -> Vec<(ArmTask, Load)> {
        let all = repertoire(family);
        let in_hands = |(_, load): &(ArmTask, Load)| match load {
            Load::HandWeights { each } => Some(*each),
            _ => None,
        };
        let lightest = all.iter().filter_map(in_hands).reduce(Mass::min);
        let usual = |(arms, load): &(ArmTask, Load)| match arms {
            ArmTask::Free => in_hands(&(*arms, *load)).is_none_or(|each| Some(each) == lightest),
            ArmTask::Overhead
            | ArmTask::Turn { .. }
            | ArmTask::BendAndReturn { to: HandHeight::Knee, then: OnReturn::Hang } => *load == Load::None,
            ArmTask::BendAndReturn { .. } | ArmTask::Goal(_) => false,
        };
        let plain = |pair: &(ArmTask, Load)| *pair == (ArmTask::Free, Load::None);
        let mut out: Vec<_> = all.iter().copied().filter(|p| self == Self::Whole || usual(p)).collect();
        out.sort_by_key(|pair| !plain(pair));
        out
    }
}

/// Computed movements of one body.
#[derive(Clone, Debug)]
pub struct FullSpace {
    /// Every movement that was found, with key frames, moments and demands, ray by ray.
    pub movements: Vec<Arc<Computed>>,
    /// How many were asked for.
    pub asked: usize,
}

/// Computes the full space of a person's body on as many cores as there are. Deterministic.
#[must_use]
pub fn full_space(person: &PersonToday<'_>, which: Repertoire) -> FullSpace {
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let mut choices = choices(person, vec![FREE]);
    if which == Repertoire::Usual {
        choices.depths.truncate(1);
    }
    let rays = rays(&choices);
    let found = on_all_cores(&rays, |ray| of_ray(engine, ray, which));
    let mut out = FullSpace { movements: Vec::new(), asked: 0 };
    for (movements, asked) in found {
        out.movements.extend(movements);
        out.asked += asked;
    }
    out
}

/// Distances in a row without a posture after which a ray is not followed further.
const GIVEN_UP_AFTER: usize = 2;

fn of_ray(engine: Engine<'_>, ray: &Ray, which: Repertoire) -> (Vec<Arc<Computed>>, usize) {
    let grid = grid(engine.body.leg_length(ray.mover));
    let mut out: Vec<Arc<Computed>> = Vec::new();
    let mut asked = 0;
    // The plain movement at each distance, where there is one.
    let mut plain: Vec<Option<Arc<Computed>>> = vec![None; grid.len()];
    for (arms, load) in which.of(ray.family) {
        let is_plain = (arms, load) == (ArmTask::Free, Load::None);
        let mut last: Option<Arc<Computed>> = None;
        let mut missed = 0;
        for (index, distance) in grid.iter().enumerate() {
            asked += 1;
            if missed >= GIVEN_UP_AFTER || (!is_plain && plain[index].is_none()) {
                continue;
            }
            let spec = MovementSpec { arms, load, ..ray.at(*distance) };
            let begun = last.as_ref().map(|c: &Arc<Computed>| &c.motion);
            let found = match &plain[index] {
                Some(there) => motion_beside(engine.body, engine.capacity, &spec, &there.motion, begun)
                    .map(|motion| Arc::new(Computed::of(engine, motion))),
                None => engine.near(&spec, begun),
            };
            missed = if found.is_some() { 0 } else { missed + 1 };
            if let Some(found) = found {
                if is_plain {
                    plain[index] = Some(Arc::clone(&found));
                }
                out.push(Arc::clone(&found));
                last = Some(found);
            }
        }
    }
    (out, asked)
}

impl FullSpace {
    /// How many of the movements both gates let pass for this person today: what is left to do when a
    /// finding changes that changes neither body nor strength. In the order of the movements.
    #[must_use]
    pub fn permitted(&self, person: &PersonToday<'_>) -> Vec<bool> {
        on_all_cores(&self.movements, |computed| {
            let Ok(screened) = person.allowed.screen(computed.motion.spec.clone()) else { return false };
            let (motion, moments, demands) = (&computed.motion, &computed.moments, &computed.demands);
            person.allowed.permit(screened, motion, moments, demands, person.today).is_ok()
        })
    }

    /// Key frames of all movements together.
    #[must_use]
    pub fn frames(&self) -> usize {
        self.movements.iter().map(|c| c.motion.frames.len()).sum()
    }
}
