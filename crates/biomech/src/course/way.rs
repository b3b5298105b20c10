//! One way from the start to the far point in a given time: plan the centre of mass, follow it with
//! the joints, feed the true zero-moment point back, share the floor's reaction.
//!
//! Inverse dynamics is the same forward and backward in time, so a way back is a way out of its own
//! duration, read from its end.

use anatomy::Side;
use nalgebra::Vector3;
use quantity::GRAVITY;

use super::arms;
use super::between::{Keys, Suggested, suggest};
use super::centre::{Floor, Moment, Planned, half_planes, inner, plan};
use super::choices::choices;
use super::feet::{Feet, Placed, Places};
use super::ground::{EDGES, Ground, Wrench6, edges};
use super::phases::{Timeline, WAY_FRAMES};
use super::smooth::Smoother;
use super::spline::Spline;
use super::track::{Q, Target, Tracker};
use crate::arms::{Carry, Prop, pack_place};
use crate::balance::hull;
use crate::body::Body;
use crate::capacity::Capacity;
use crate::constants::engine;
use crate::result::Motion;
use crate::state::{NQ, State, V3, leg};
use crate::task::body_weight;
use crate::tree::{
    ANGLES_FROM, Carried, Coordinates, Scratch, Segment, TREE_COORDINATES, Tree, Wrench, arm_from,
};

/// Steps of the first tracking of a frame, and of later ones, which start close.
const FIRST_STEPS: usize = 8;
const LATER_STEPS: usize = 3;

/// The true zero-moment point is fed back at least so often.
const FEWEST_ROUNDS: usize = 1;

/// What the floor does to one foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Foot {
    /// Newtons: forward, up, right.
    pub(crate) force: V3,
    /// Centre of pressure; nothing where the foot carries nothing.
    pub(crate) pressure: Option<Floor>,
    /// Twist about the vertical through the centre of pressure, N·m.
    pub(crate) twist: f64,
}

/// One frame of a way.
#[derive(Clone, Debug)]
pub(crate) struct WayFrame {
    pub(crate) time: f64,
    pub(crate) q: Coordinates,
    pub(crate) v: Coordinates,
    pub(crate) a: Coordinates,
    /// Internal moments; the first six are zero but for what is left over.
    pub(crate) tau: Coordinates,
    pub(crate) feet: [Foot; 2],
    pub(crate) centre: V3,
    pub(crate) drift: V3,
    pub(crate) zero_moment_point: Floor,
    /// Force and moment that the feet cannot supply, as shares of body weight (times the lever).
    pub(crate) leftover: [f64; 2],
    pub(crate) kinetic: f64,
    pub(crate) potential: f64,
}

/// Why a way cannot be gone in its time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Failed {
    /// No course of the centre of mass keeps the zero-moment point in the base.
    NoPlan,
    /// In this frame the body cannot be where the plan needs it, by this much.
    Misses { frame: usize, by: f64 },
    /// In this frame the feet cannot supply this share of body weight.
    LeftOver { frame: usize, share: f64 },
}

/// Everything about one motion that does not depend on its duration.
pub(crate) struct Traveller<'a> {
    body: &'a Body,
    tree: Tree,
    tracker: Tracker<'a>,
    pub(crate) line: Timeline,
    suggested: Vec<Suggested>,
    placed: Vec<[Placed; 2]>,
    soft_turn: Vec<[f64; 2]>,
    places: Vec<[Places; 2]>,
    pub(crate) bases: Vec<Vec<Floor>>,
    props: [Option<Prop>; 2],
    smoother: Smoother,
}

/// What the hands hold and the trunk wears.
fn carried(body: &Body, carry: &Carry) -> Vec<Carried> {
    let palm = V3::new(0.0, -(body.arm_reach - body.upper_arm), 0.0);
    let mut all: Vec<Carried> = Side::BOTH
        .map(|side| Carried {
            segment: Segment::Forearm(side),
            local: palm,
            mass: carry.in_hand[side as usize],
        })
        .to_vec();
    all.push(Carried { segment: Segment::Trunk, local: pack_place(body), mass: carry.on_trunk });
    all.retain(|c| c.mass > 0.0);
    all
}

impl<'a> Traveller<'a> {
    /// Prepares a motion; `None` when it has no start.
    pub(crate) fn new(body: &'a Body, capacity: &Capacity, motion: &Motion) -> Option<Self> {
        let keys = Keys::of(body, capacity, motion)?;
        let loads = carried(body, &keys.far.setting.carry);
        let tree = Tree::of(body, &loads);
        let tracker = Tracker::new(body, &loads);
        let line = Timeline::of(motion.spec.family);
        let far = State::new(body, &keys.far.q);
        let far_carries = motion.spec.family != movement::Family::Reach;
        let feet =
            Feet::plan(body, &motion.spec, &far, keys.far.setting.sole, line.swing.is_some(), far_carries);
        let suggested = suggest(body, &tracker, &keys, &line);
        let placed = (0..WAY_FRAMES).map(|k| Side::BOTH.map(|side| feet.at(&line, k, side))).collect();
        let soft_turn =
            (0..WAY_FRAMES).map(|k| Side::BOTH.map(|side| feet.soft_turn(&line, k, side))).collect();
        let places: Vec<[Places; 2]> =
            (0..WAY_FRAMES).map(|k| Side::BOTH.map(|side| feet.places(&line, k, side))).collect();
        let bases = places
            .iter()
            .map(|feet| hull(feet.iter().flatten().map(|(_, p)| [p.x, p.z]).collect()))
            .collect();
        let smoother = Smoother::new(&line.share, choices().smooth_corner);
        Some(Self {
            body,
            tree,
            tracker,
            line,
            suggested,
            placed,
            soft_turn,
            places,
            bases,
            props: keys.far.setting.carry.props,
            smoother,
        })
    }

    /// The way in this many seconds.
    pub(crate) fn travel(&self, seconds: f64) -> Result<Vec<WayFrame>, Failed> {
        let c = choices();
        let times: Vec<f64> = self.line.share.iter().map(|s| s * seconds).collect();
        let spline = Spline::new(&times);
        let mut scratch = Scratch::new();

        let states: Vec<State> = self.suggested.iter().map(|s| State::new(self.body, &s.near)).collect();
        let centres: Vec<V3> =
            states.iter().zip(&self.suggested).map(|(x, s)| self.tracker.centre(x, &s.hands)).collect();
        let n = WAY_FRAMES - 1;
        let (start, end) = ([centres[0].x, centres[0].z], [centres[n].x, centres[n].z]);
        let (mut rate, mut rise) = ([0.0; WAY_FRAMES], [0.0; WAY_FRAMES]);
        spline.rates(|k| centres[k].y, &mut rate, &mut rise);
        let mut moments: Vec<Moment> = (0..WAY_FRAMES)
            .map(|k| Moment {
                time: times[k],
                reference: self.suggested[k].pressure,
                near: [centres[k].x, centres[k].z],
                closeness: c.closeness + c.touchdown_closeness * self.line.touchdown(k),
                lever: centres[k].y / (GRAVITY + rise[k]),
                added: [0.0; 2],
                base: if self.line.lands() && self.line.on_one_leg(k) {
                    half_planes(&inner(&self.bases[k], c.single_print_share), 0.0)
                } else {
                    half_planes(&self.bases[k], c.plan_inset_m)
                },
            })
            .collect();

        let mut q: Vec<Q> = self.suggested.iter().map(|s| s.near).collect();
        let mut near = q.clone();
        let mut worst = (0, f64::INFINITY);
        let mut best: Option<(f64, Vec<WayFrame>)> = None;
        let or_best = |best: Option<(f64, Vec<WayFrame>)>, failed| best.map(|b| b.1).ok_or(failed);
        for round in 0..=c.filter_rounds {
            let Some(planned) = plan(&moments, start, end, c.smoothness) else {
                return or_best(best, Failed::NoPlan);
            };
            let misses = self.follow(&planned, &near, &mut q, round == 0);
            near.clone_from(&q);
            self.smoother.smooth(&mut near);
            if let Some((frame, by)) = misses.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1))
                && *by > c.place_tolerance_m
            {
                return or_best(best, Failed::Misses { frame, by: *by });
            }
            let mut frames = self.dynamics(&times, &spline, &q, &mut scratch);
            if round >= FEWEST_ROUNDS {
                self.share(&mut frames);
                worst = worst_of(&frames);
                if worst.1 <= c.leftover_goal_share {
                    return Ok(frames);
                }
                if worst.1 <= c.leftover_share && best.as_ref().is_none_or(|b| worst.1 < b.0) {
                    best = Some((worst.1, frames.clone()));
                }
            }
            for k in 0..WAY_FRAMES {
                let m = &mut moments[k];
                let (p, true_point) = (&planned[k], frames[k].zero_moment_point);
                let pendulum = [0, 1].map(|way| p.position[way] - m.lever * p.acceleration[way]);
                m.added = [true_point[0] - pendulum[0], true_point[1] - pendulum[1]];
            }
        }
        or_best(best, Failed::LeftOver { frame: worst.0, share: worst.1 })
    }

    /// Joints that follow the planned centre of mass; returns by how much each frame misses.
    fn follow(&self, planned: &[Planned], near: &[Q], q: &mut [Q], first: bool) -> Vec<f64> {
        let mut misses = Vec::with_capacity(planned.len());
        for k in 0..planned.len() {
            let s = &self.suggested[k];
            if first && k > 0 {
                let (before, near_before) = (q[k - 1], &self.suggested[k - 1].near);
                for i in 0..NQ {
                    q[k][i] = before[i] + s.near[i] - near_before[i];
                }
            }
            let target = Target {
                feet: self.placed[k],
                centre: planned[k].position,
                near: near[k],
                soft_turn: self.soft_turn[k],
                lower: s.soft_knees,
                hands: s.hands,
            };
            let steps = if first { FIRST_STEPS } else { LATER_STEPS };
            misses.push(self.tracker.track(&mut q[k], &target, steps));
        }
        misses
    }

    /// Velocities, accelerations and what the motion needs, without the floor.
    fn dynamics(&self, times: &[f64], spline: &Spline, q: &[Q], scratch: &mut Scratch) -> Vec<WayFrame> {
        let frames = q.len();
        let mut all = vec![[0.0; TREE_COORDINATES]; frames];
        for (k, all) in all.iter_mut().enumerate() {
            all[..NQ].copy_from_slice(&q[k]);
            let state = State::new(self.body, &q[k]);
            for side in Side::BOTH {
                let hand = self.suggested[k].hands[side as usize].place(self.body, &state, side);
                let from = arm_from(side);
                all[from..from + 4].copy_from_slice(&arms::angles(self.body, &state, side, hand));
            }
        }
        let mut v = vec![[0.0; TREE_COORDINATES]; frames];
        let mut a = vec![[0.0; TREE_COORDINATES]; frames];
        let (mut rate, mut bend) = ([0.0; WAY_FRAMES], [0.0; WAY_FRAMES]);
        for i in 0..TREE_COORDINATES {
            spline.rates(|k| all[k][i], &mut rate, &mut bend);
            for k in 0..frames {
                v[k][i] = rate[k];
                a[k][i] = bend[k];
            }
        }
        (0..frames)
            .map(|k| {
                let moving = self.tree.moving(&all[k], &v[k], &a[k], scratch);
                let needed = moving.inverse_dynamics(&self.held(&q[k]));
                let about = needed.moment_about(Vector3::zeros());
                let up = needed.force.y;
                WayFrame {
                    time: times[k],
                    q: all[k],
                    v: v[k],
                    a: a[k],
                    tau: needed.generalized,
                    feet: [Foot { force: V3::zeros(), pressure: None, twist: 0.0 }; 2],
                    centre: moving.centre_of_mass(),
                    drift: moving.centre_of_mass_velocity(),
                    zero_moment_point: [about.z / up, -about.x / up],
                    leftover: [0.0; 2],
                    kinetic: moving.kinetic_energy(),
                    potential: moving.potential_energy(),
                }
            })
            .collect()
    }

    /// What hands that take weight off the feet do to the trunk.
    fn held(&self, q: &Q) -> Vec<Wrench> {
        if self.props.iter().all(Option::is_none) {
            return Vec::new();
        }
        let state = State::new(self.body, q);
        let hand = |side: Side| {
            self.props[side as usize].map(|prop| Wrench {
                segment: Segment::Trunk,
                point: prop.hold(side, arms::shoulder(self.body, &state, side)).0,
                force: V3::y() * (prop.share * body_weight(self.body)),
                couple: V3::zeros(),
            })
        };
        Side::BOTH.into_iter().filter_map(hand).collect()
    }

    /// Shares the floor's reaction between the feet and takes its moments off the joints.
    fn share(&self, frames: &mut [WayFrame]) {
        let (friction, weight) = (engine().friction, body_weight(self.body));
        let lever = choices().leftover_lever_of_foot_length * self.body.foot_length;
        let edges = edges(friction);
        let mut start = Wrench6::zeros();
        for (k, frame) in frames.iter_mut().enumerate() {
            // The pelvis rows give what is needed about the pelvis; move it to the centre of mass.
            let state = State::new(self.body, &frame.q[..NQ]);
            let force = V3::new(frame.tau[0], frame.tau[1], frame.tau[2]);
            let pelvis = V3::new(frame.q[0], frame.q[1], frame.q[2]);
            let moment = moment_from_rows(&state, &frame.tau) + (pelvis - frame.centre).cross(&force);
            let (f, m) = (force / weight, moment / (weight * lever));
            let w = Wrench6::new(f.x, f.y, f.z, m.x, m.y, m.z);
            let places: Vec<(usize, V3)> = self.places[k].iter().flatten().copied().collect();
            let ground = Ground::new(&places, frame.centre, friction, lever);
            let shared = ground.share(&w, &self.suggested[k].weights, &start);
            start = shared.missing;
            frame.leftover =
                [shared.missing.fixed_rows::<3>(0).norm(), shared.missing.fixed_rows::<3>(3).norm()];
            for side in Side::BOTH {
                let mut foot = Foot { force: V3::zeros(), pressure: None, twist: 0.0 };
                let mut about = V3::zeros();
                for (place, p) in &self.places[k][side as usize] {
                    let push: V3 =
                        (0..EDGES).map(|e| edges[e] * shared.weights[place * EDGES + e] * weight).sum();
                    foot.force += push;
                    about += p.cross(&push);
                }
                if foot.force.y > 1e-9 * weight {
                    let at = V3::new(about.z / foot.force.y, 0.0, -about.x / foot.force.y);
                    foot.pressure = Some([at.x, at.z]);
                    foot.twist = (about - at.cross(&foot.force)).y;
                    let twist = V3::new(0.0, foot.twist, 0.0);
                    for i in leg(side)..leg(side) + 7 {
                        let lever = at - state.origin[i];
                        frame.tau[i] -= state.axis[i].dot(&(lever.cross(&foot.force) + twist));
                    }
                }
                frame.feet[side as usize] = foot;
            }
            let missing: V3 = shared.missing.fixed_rows::<3>(0) * weight;
            let turn: V3 = shared.missing.fixed_rows::<3>(3) * (weight * lever);
            frame.tau[..ANGLES_FROM].copy_from_slice(missing.as_slice());
            let turn = turn + (frame.centre - pelvis).cross(&missing);
            for i in ANGLES_FROM..6 {
                frame.tau[i] = state.axis[i].dot(&turn);
            }
        }
    }
}

/// The frame in which most is left over, and how much.
fn worst_of(frames: &[WayFrame]) -> (usize, f64) {
    let left = frames.iter().map(|f| f.leftover[0].max(f.leftover[1]));
    left.enumerate().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0))
}

/// The moment about the pelvis origin whose parts along the three (oblique) pelvis axes are given.
fn moment_from_rows(state: &State, tau: &Coordinates) -> V3 {
    let rows = nalgebra::Matrix3::from_rows(&[
        state.axis[3].transpose(),
        state.axis[4].transpose(),
        state.axis[5].transpose(),
    ]);
    let parts = V3::new(tau[3], tau[4], tau[5]);
    rows.lu().solve(&parts).unwrap_or(parts)
}
