//! The posture of one frame: nearest to the posture of least effort that keeps the feet in their
//! places and the centre of mass over the planned point.
//!
//! Minimise `½ Σ ((q_i − q̂_i)/s_i)²` subject to both feet placed and turned as planned (twelve rows), the
//! centre of mass over its planned point (two rows) and the joint ranges, where `q̂` is what lies
//! between the key postures and `s` the comfort scales. Gauss–Newton on the rows: with their
//! Jacobian `J`, `S = diag(s²)` and the miss `e`,
//!
//! `Δ = (q̂ − q) + S Jᵀ μ`, `(J S Jᵀ) μ = e − J (q̂ − q)`;
//!
//! a joint that would leave its range is held at the end of it and the others take over.

use anatomy::Side;
use nalgebra::{SMatrix, SVector};

use super::arms::{self, Hand};
use super::choices::choices;
use super::feet::Placed;
use crate::body::Body;
use crate::constants::engine;
use crate::state::{LIST, NQ, Seg, State, TILT, V3, YAW, leg, movers};
use crate::tree::{Carried, Segment};

/// The coordinates of the posture solver.
pub(crate) type Q = [f64; NQ];

const ROWS: usize = 14;
/// Square of a miss that costs as much as a joint at its scale: a millimetre. Keeps the small system
/// solvable where a leg is straight.
const GIVE: f64 = 1e-6;
/// How often a step that does not help is shortened.
const SHORTENINGS: usize = 4;
/// No coordinate moves further than this in one step.
const LONGEST_STEP: f64 = 0.35;
/// A miss smaller than this (metres, radians) is none.
const CLOSE: f64 = 1e-5;

/// What one frame must achieve.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Target {
    pub(crate) feet: [Placed; 2],
    /// Where the centre of mass is, forward and right.
    pub(crate) centre: [f64; 2],
    /// What lies between the key postures.
    pub(crate) near: Q,
    /// How softly each foot keeps its turn, square radians: nothing where it stands.
    pub(crate) soft_turn: [f64; 2],
    /// Knees are bent at least this much: coordinate, angle.
    pub(crate) lower: [(usize, f64); 2],
    pub(crate) hands: [Hand; 2],
}

/// A body with its loads, its scales and its bounds.
pub(crate) struct Tracker<'a> {
    body: &'a Body,
    /// `s²`.
    soft: Q,
    lower: Q,
    upper: Q,
    /// Mass of what hangs on the pelvis alone, and its first moment, in segment frames.
    segments: [(f64, V3); 8],
    /// Mass of one upper arm and of forearm, hand and load, with the centres along the straight arm.
    arm: [[(f64, f64); 2]; 2],
    whole: f64,
}

impl<'a> Tracker<'a> {
    pub(crate) fn new(body: &'a Body, carried: &[Carried]) -> Self {
        let (e, c) = (engine(), choices());
        let mut soft = [0.0; NQ];
        let (mut lower, mut upper) = ([f64::NEG_INFINITY; NQ], [f64::INFINITY; NQ]);
        for i in 0..NQ {
            let scale = match i {
                0 | 2 => c.pelvis_place_scale_m,
                1 => c.pelvis_height_scale_m,
                YAW => e.pelvis_yaw_scale,
                TILT => e.pelvis_tilt_scale,
                LIST => e.pelvis_list_scale,
                _ => {
                    (lower[i], upper[i]) = body.range(i);
                    e.scale(i)
                }
            };
            soft[i] = scale * scale;
        }
        (lower[YAW], upper[YAW]) = (-e.pelvis_turn_limit, e.pelvis_turn_limit);
        (lower[TILT], upper[TILT]) = (-e.pelvis_forward_limit, e.pelvis_backward_limit);
        (lower[LIST], upper[LIST]) = (-e.pelvis_list_limit, e.pelvis_list_limit);
        let mut segments = Seg::ALL.map(|seg| body.segment(seg));
        let mut arm = [[(0.0, 0.0); 2]; 2];
        for side in Side::BOTH {
            arm[side as usize] = arms::links(body);
        }
        for load in carried {
            let at = match load.segment {
                Segment::Pelvis => 0,
                Segment::Trunk => 1,
                Segment::Forearm(side) => {
                    let (m, c) = &mut arm[side as usize][1];
                    let along = -load.local.y;
                    *c = (*m * *c + load.mass * along) / (*m + load.mass);
                    *m += load.mass;
                    continue;
                }
                _ => continue,
            };
            let (m, c) = &mut segments[at];
            *c = (*c * *m + load.local * load.mass) / (*m + load.mass);
            *m += load.mass;
        }
        let whole =
            segments.iter().map(|(m, _)| m).sum::<f64>() + arm.iter().flatten().map(|(m, _)| m).sum::<f64>();
        Self { body, soft, lower, upper, segments, arm, whole }
    }

    /// Centre of one arm's mass and the mass.
    fn arm(&self, state: &State, side: Side, hand: Hand) -> (f64, V3) {
        let shoulder = arms::shoulder(self.body, state, side);
        let [(m1, c1), (m2, c2)] = self.arm[side as usize];
        let mass = m1 + m2;
        if hand == Hand::Hangs {
            let along = (m1 * c1 + m2 * (self.body.upper_arm + c2)) / mass;
            return (mass, shoulder - V3::y() * along);
        }
        let hand = hand.place(self.body, state, side);
        let a = arms::angles(self.body, state, side, hand);
        let s = side.sign();
        let (flexion, abduction) = (a[0], a[1]);
        let d =
            V3::new(flexion.sin() * abduction.cos(), -flexion.cos() * abduction.cos(), s * abduction.sin());
        let elbow = shoulder + state.dir(Seg::Trunk, d) * self.body.upper_arm;
        let fore = (hand - elbow).normalize();
        let first = shoulder + (elbow - shoulder) * (c1 / self.body.upper_arm);
        (mass, (first * m1 + (elbow + fore * c2) * m2) / mass)
    }

    /// Centre of mass with arms and loads.
    pub(crate) fn centre(&self, state: &State, hands: &[Hand; 2]) -> V3 {
        let mut sum = V3::zeros();
        for (seg, (mass, local)) in Seg::ALL.iter().zip(&self.segments) {
            sum += state.point(*seg, *local) * *mass;
        }
        for side in Side::BOTH {
            let (mass, at) = self.arm(state, side, hands[side as usize]);
            sum += at * mass;
        }
        sum / self.whole
    }

    /// Brings `q` to the target in at most `steps` steps; returns the largest miss left.
    pub(crate) fn track(&self, q: &mut Q, target: &Target, steps: usize) -> f64 {
        for (i, soft) in target.lower.iter() {
            q[*i] = q[*i].max(*soft);
        }
        let mut state = State::new(self.body, q);
        let mut e = self.misses(&state, target);
        let mut merit = self.merit(q, target, &e);
        for step in 0..steps {
            let off = (0..NQ).map(|i| (target.near[i] - q[i]).abs()).fold(0.0, f64::max);
            if worst(target, &e) < CLOSE && (step > 0 || off < CLOSE) {
                break;
            }
            let mut j = SMatrix::<f64, ROWS, NQ>::zeros();
            for side in Side::BOTH {
                foot_columns(&state, side, &target.feet[side as usize], &mut j);
            }
            self.centre_columns(&state, target, &mut j);
            let delta = self.step(q, target, &e, &j);
            let longest = delta.iter().map(|d| d.abs()).fold(0.0, f64::max);
            let mut share = if longest > LONGEST_STEP { LONGEST_STEP / longest } else { 1.0 };
            let mut better = false;
            for _ in 0..SHORTENINGS {
                let mut next = *q;
                for i in 0..NQ {
                    next[i] += delta[i] * share;
                }
                let there = State::new(self.body, &next);
                let left = self.misses(&there, target);
                let value = self.merit(&next, target, &left);
                if value < merit {
                    better = merit - value > 1e-12;
                    (*q, state, e, merit) = (next, there, left, value);
                    break;
                }
                share *= 0.35;
            }
            if !better {
                break;
            }
        }
        worst(target, &e)
    }

    fn merit(&self, q: &Q, target: &Target, e: &SVector<f64, ROWS>) -> f64 {
        let off: f64 = (0..NQ).map(|i| (q[i] - target.near[i]).powi(2) / self.soft[i]).sum();
        let missed: f64 = (0..ROWS).map(|k| e[k] * e[k] / give(target, k)).sum();
        missed + off
    }

    /// What is missing in every row.
    fn misses(&self, state: &State, target: &Target) -> SVector<f64, ROWS> {
        let mut e = SVector::<f64, ROWS>::zeros();
        for side in Side::BOTH {
            let (first, seg, placed) = (side as usize * 6, Seg::Foot(side), &target.feet[side as usize]);
            let miss = placed.point - state.point(seg, placed.local);
            let mut turn = V3::zeros();
            for (axis, wanted) in [V3::x(), V3::y(), V3::z()].iter().zip(placed.frame.column_iter()) {
                turn += state.dir(seg, *axis).cross(&wanted) * 0.5;
            }
            for k in 0..3 {
                e[first + k] = miss[k];
                e[first + 3 + k] = turn[k];
            }
        }
        let centre = self.centre(state, &target.hands);
        e[12] = target.centre[0] - centre.x;
        e[13] = target.centre[1] - centre.z;
        e
    }

    /// How the centre of mass moves with every coordinate.
    fn centre_columns(&self, state: &State, target: &Target, j: &mut SMatrix<f64, ROWS, NQ>) {
        // First moments of what hangs on each coordinate, from the ends inward.
        let at = |k: usize| {
            let (mass, local) = self.segments[k];
            (mass, state.point(Seg::ALL[k], local) * mass)
        };
        let plus = |a: (f64, V3), b: (f64, V3)| (a.0 + b.0, a.1 + b.1);
        // A hanging arm does not turn with the trunk: for its shoulder's way it counts as a point there.
        let mut turned = at(1);
        for side in Side::BOTH {
            let (mass, centre) = self.arm(state, side, target.hands[side as usize]);
            let moves = match target.hands[side as usize] {
                Hand::Hangs => arms::shoulder(self.body, state, side),
                Hand::At(_) | Hand::WithTrunk(_) => centre,
            };
            turned = plus(turned, (mass, moves * mass));
        }
        let mut whole = plus(at(0), turned);
        let mut set = |i: usize, (mass, first): (f64, V3)| {
            let d = state.axis[i].cross(&(first - state.origin[i] * mass)) / self.whole;
            (j[(12, i)], j[(13, i)]) = (d.x, d.z);
        };
        for i in 6..9 {
            set(i, turned);
        }
        for side in Side::BOTH {
            let k = Seg::Thigh(side).index();
            let foot = at(k + 2);
            let shank = plus(at(k + 1), foot);
            let thigh = plus(at(k), shank);
            let first = leg(side);
            for i in 0..7 {
                set(
                    first + i,
                    if i < 3 {
                        thigh
                    } else if i < 5 {
                        shank
                    } else {
                        foot
                    },
                );
            }
            whole = plus(whole, thigh);
        }
        for i in 3..6 {
            set(i, whole);
        }
        (j[(12, 0)], j[(13, 2)]) = (1.0, 1.0);
    }

    /// The Gauss–Newton step within the ranges.
    fn step(&self, q: &Q, target: &Target, e: &SVector<f64, ROWS>, j: &SMatrix<f64, ROWS, NQ>) -> Q {
        let mut lower = self.lower;
        for (i, soft) in &target.lower {
            lower[*i] = lower[*i].max(*soft);
        }
        let mut held: [Option<f64>; NQ] = [None; NQ];
        let mut delta = [0.0; NQ];
        for _ in 0..6 {
            let mut s = SMatrix::<f64, ROWS, ROWS>::zeros();
            let mut rhs = *e;
            for i in 0..NQ {
                let column = j.column(i);
                delta[i] = held[i].unwrap_or(target.near[i] - q[i]);
                rhs.axpy(-delta[i], &column, 1.0);
                if held[i].is_none() {
                    // Lower triangle of the sum of outer products; most columns are half empty.
                    for c in 0..ROWS {
                        let f = column[c] * self.soft[i];
                        if f != 0.0 {
                            for r in c..ROWS {
                                s[(r, c)] += f * column[r];
                            }
                        }
                    }
                }
            }
            for k in 0..ROWS {
                s[(k, k)] += give(target, k);
            }
            let Some(factor) = s.cholesky() else { return [0.0; NQ] };
            let mu = factor.solve(&rhs);
            let mut changed = false;
            for i in 0..NQ {
                if held[i].is_some() {
                    continue;
                }
                delta[i] += self.soft[i] * j.column(i).dot(&mu);
                let there = q[i] + delta[i];
                let end = there.clamp(lower[i], self.upper[i]);
                if (there - end).abs() > 1e-9 {
                    held[i] = Some(end - q[i]);
                    changed = true;
                }
            }
            if !changed {
                break;
            }
        }
        delta
    }
}

/// Square of the miss of a row that costs as much as a joint at its scale.
fn give(target: &Target, row: usize) -> f64 {
    if row < 12 && row % 6 >= 3 { GIVE + target.soft_turn[row / 6] } else { GIVE }
}

/// The largest miss of what must be met.
fn worst(target: &Target, e: &SVector<f64, ROWS>) -> f64 {
    let must = |row: usize| row >= 12 || row % 6 < 3 || target.soft_turn[row / 6] == 0.0;
    (0..ROWS).filter(|row| must(*row)).map(|row| e[row].abs()).fold(0.0, f64::max)
}

/// How a foot moves and turns with every coordinate.
fn foot_columns(state: &State, side: Side, placed: &Placed, j: &mut SMatrix<f64, ROWS, NQ>) {
    let (first, seg) = (side as usize * 6, Seg::Foot(side));
    let p = state.point(seg, placed.local);
    for k in 0..3 {
        j[(first + k, k)] = 1.0;
    }
    for i in movers(seg.last()) {
        let axis = state.axis[i];
        let moved = axis.cross(&(p - state.origin[i]));
        for k in 0..3 {
            j[(first + k, i)] = moved[k];
            j[(first + 3 + k, i)] = axis[k];
        }
    }
}
