//! What lies between the key postures: the posture, the pressure and the hands that least effort
//! suggests in every frame of a way.

use anatomy::Side;

use super::arms::Hand;
use super::centre::Floor;
use super::choices::choices;
use super::ground::{EDGES, WEIGHTS, Weights, weights_of};
use super::phases::{Timeline, WAY_FRAMES};
use super::track::{Q, Tracker};
use crate::arms::ArmPose;
use crate::body::Body;
use crate::capacity::Capacity;
use crate::constants::engine;
use crate::result::{KeyFrame, Motion, Phase};
use crate::search::attempt;
use crate::state::{NQ, State, V3, leg};
use crate::statics::{Setting, Sole, corners, foot_vars};
use crate::task::{PostureProblem, Task};
use crate::tasks::far_tasks;

/// Share of the swing after which nothing of standing on one leg beside the other foot is left.
const LEAVES_BY: f64 = 0.5;

/// Share of the way within which the knees become soft after the start and straight before the end.
const SOFT_WITHIN: f64 = 0.2;

/// One key posture.
#[derive(Clone)]
pub(crate) struct Key {
    pub(crate) q: Q,
    pub(crate) setting: Setting,
    weights: Weights,
}

impl Key {
    fn of(body: &Body, frame: &KeyFrame) -> Self {
        let mut q = [0.0; NQ];
        q.copy_from_slice(&frame.x[..NQ]);
        let state = State::new(body, &q);
        let mut weights = [0.0; WEIGHTS];
        for side in Side::BOTH {
            let u = &frame.x[foot_vars(side)..foot_vars(side) + 7];
            let sole = frame.setting.sole[side as usize];
            let first = side as usize * 6
                + match sole {
                    Sole::Flat => 0,
                    Sole::Forefoot => 2,
                };
            for (k, shear) in corner_shears(body, &state, side, sole, u).into_iter().enumerate() {
                let at = (first + k) * EDGES;
                weights[at..at + EDGES].copy_from_slice(&weights_of(u[k], shear, engine().friction));
            }
        }
        Self { q, setting: frame.setting, weights }
    }
}

/// The shear of every corner, as a share of its pressure, that together are the shear and twist with which
/// the posture solver loads a sole: `s + ω × (p − c)` about the centre of pressure `c`.
fn corner_shears(body: &Body, state: &State, side: Side, sole: Sole, u: &[f64]) -> [[f64; 2]; 4] {
    let points = corners(body, state, side, sole).map(|(p, _)| p);
    let carried: f64 = u[..4].iter().sum();
    let shear = V3::new(u[4], 0.0, u[5]);
    if carried <= 0.0 {
        return [[0.0; 2]; 4];
    }
    let middle = points.iter().sum::<V3>() / 4.0;
    let centre = points.iter().zip(u).map(|(p, n)| p * *n).sum::<V3>() / carried;
    let spread: f64 = points.iter().zip(u).map(|(p, n)| n * (p - centre).norm_squared()).sum();
    let twist = u[6] * carried * body.foot_length - (centre - middle).cross(&(shear * carried)).y;
    let turn = V3::new(0.0, if spread > 1e-9 { twist / spread } else { 0.0 }, 0.0);
    points.map(|p| {
        let s = shear + turn.cross(&(p - centre));
        [s.x, s.z]
    })
}

/// The key postures of a motion: the start, standing on one leg where there is a swing, both feet in their
/// places before the body sinks where a depth was asked, and the far point as it is shown.
pub(crate) struct Keys {
    pub(crate) start: Key,
    pub(crate) single: Option<Key>,
    pub(crate) touchdown: Option<Key>,
    pub(crate) far: Key,
}

/// The far posture without the depth that was asked: the same feet, least effort. From the far posture.
fn touchdown(body: &Body, capacity: &Capacity, motion: &Motion) -> Option<Key> {
    if motion.spec.depth.is_none_or(|depth| depth.in_m() <= 0.0) {
        return None;
    }
    let far = motion.shown();
    let same_feet = |task: &Task| PostureProblem::soles(task) == far.setting.sole;
    let task = far_tasks(body, &motion.spec).into_iter().find(same_feet)?;
    let task = Task { min_drop: Some(0.0), ..task };
    let x = attempt(body, capacity, &task, &[*far.x])?.x;
    let mut q = [0.0; NQ];
    q.copy_from_slice(&x[..NQ]);
    Some(Key { q, ..Key::of(body, far) })
}

impl Keys {
    /// `None` when the motion has no start.
    pub(crate) fn of(body: &Body, capacity: &Capacity, motion: &Motion) -> Option<Self> {
        let first = |phase: Phase| motion.of_phase(phase).next().map(|f| Key::of(body, f));
        Some(Self {
            start: first(Phase::Start)?,
            single: first(Phase::SingleSupport),
            touchdown: touchdown(body, capacity, motion),
            far: Key::of(body, motion.shown()),
        })
    }
}

/// What least effort suggests for one frame.
#[derive(Clone)]
pub(crate) struct Suggested {
    pub(crate) near: Q,
    pub(crate) weights: Weights,
    pub(crate) hands: [Hand; 2],
    /// Knees are bent at least this much on the way: coordinate, angle.
    pub(crate) soft_knees: [(usize, f64); 2],
    /// Where the pressure would lie if the postures were held.
    pub(crate) pressure: Floor,
}

fn mix<const M: usize>(parts: &[(f64, &[f64; M])]) -> [f64; M] {
    let mut sum = [0.0; M];
    for (share, part) in parts {
        for (s, p) in sum.iter_mut().zip(*part) {
            *s += share * p;
        }
    }
    sum
}

/// For every frame of a way.
pub(crate) fn suggest(body: &Body, tracker: &Tracker, keys: &Keys, line: &Timeline) -> Vec<Suggested> {
    let floor = |q: &Q, hands: &[Hand; 2]| {
        let c = tracker.centre(&State::new(body, q), hands);
        [c.x, c.z]
    };
    let hands = |key: &Key| {
        key.setting.carry.arms.map(|arm| match arm {
            ArmPose::Hanging => Hand::Hangs,
            ArmPose::Reaching { target } => Hand::At(target),
            ArmPose::Fixed { hand, .. } => Hand::WithTrunk(hand),
        })
    };
    let (start_hands, far_hands) = (hands(&keys.start), hands(&keys.far));
    let (at_start, at_far) = (floor(&keys.start.q, &start_hands), floor(&keys.far.q, &far_hands));
    let at_single = keys.single.as_ref().map(|k| floor(&k.q, &start_hands));
    (0..WAY_FRAMES)
        .map(|k| {
            let (mut near, weights, pressure, out);
            if let (Some(single), Some((off, on)), Some(at_single)) = (&keys.single, line.swing, at_single) {
                let (off, on) = (line.share[off], line.share[on]);
                let over = line.between(k, 0.0, off + LEAVES_BY * (on - off));
                // Who is to sink swings first, as low as the landing needs, and sinks on both feet.
                let landed = keys.touchdown.as_ref().unwrap_or(&keys.far);
                out = line.between(k, off, on);
                let sunk = line.between(k, on, 1.0);
                near = mix(&[
                    ((1.0 - over) * (1.0 - out), &keys.start.q),
                    (over * (1.0 - out), &single.q),
                    (out * (1.0 - sunk), &landed.q),
                    (out * sunk, &keys.far.q),
                ]);
                let shifted = line.between(k, 0.0, off);
                let loaded = if on < 1.0 { line.between(k, on, 1.0) } else { line.between(k, off, 1.0) };
                let parts = [(1.0 - shifted), shifted * (1.0 - loaded), loaded];
                weights = mix(&[
                    (parts[0], &keys.start.weights),
                    (parts[1], &single.weights),
                    (parts[2], &keys.far.weights),
                ]);
                pressure = mix(&[(parts[0], &at_start), (parts[1], &at_single), (parts[2], &at_far)]);
            } else {
                out = line.between(k, 0.0, 1.0);
                near = mix(&[(1.0 - out, &keys.start.q), (out, &keys.far.q)]);
                weights = mix(&[(1.0 - out, &keys.start.weights), (out, &keys.far.weights)]);
                pressure = mix(&[(1.0 - out, &at_start), (out, &at_far)]);
            }
            let state = State::new(body, &near);
            let hands = Side::BOTH.map(|side| {
                let (from, to) = (start_hands[side as usize], far_hands[side as usize]);
                if from == to {
                    return from;
                }
                let from = from.place(body, &state, side);
                Hand::At(from + (to.place(body, &state, side) - from) * out)
            });
            // Nobody moves on locked knees: between the ends they are soft.
            let soft = choices().soft_knee_deg.to_radians();
            let rise = line.between(k, 0.0, SOFT_WITHIN) * (1.0 - line.between(k, 1.0 - SOFT_WITHIN, 1.0));
            let soft_knees = Side::BOTH.map(|side| {
                let knee = leg(side) + 3;
                let ends = keys.start.q[knee] * (1.0 - out) + keys.far.q[knee] * out;
                (knee, ends.min(soft) * (1.0 - rise) + soft * rise)
            });
            for (knee, angle) in soft_knees {
                near[knee] = near[knee].max(angle);
            }
            Suggested { near, weights, hands, soft_knees, pressure }
        })
        .collect()
}
