//! What one posture must achieve, written as residuals and constraints for the solver.
//!
//! Minimise `Σ_j (τ_j / C_j(q_j))² + ε Σ_j ((q_j − n_j)/s_j)²` over joint coordinates `q` and foot
//! forces `u`, where `τ` are the internal moments and `C_j` this person's capacity in the
//! direction of the moment at that angle. Subject to: the six base rows (force and moment
//! balance), where each foot is, how far the pelvis sinks, where a hand goes, legs that do not
//! pass through each other, joint ranges as bounds, feet that only push within friction.
//! Load split, lean and centre of pressure come out; nobody types them.

use anatomy::Side;
use movement::{Place, Support};
use quantity::GRAVITY;

use crate::arms::{ArmPose, Carry, pack_place, places};
use crate::body::Body;
use crate::capacity::Capacity;
use crate::constants::engine;
use crate::obstacles::{self, Block};
use crate::rigid::{Part, together};
use crate::solve::{Problem, Rows};
use crate::state::{LIST, NQ, Seg, State, TILT, V3, YAW, leg};
use crate::statics::{N, Row, Setting, Sole, Statics, corners, effort_coordinates, foot_vars, heading};

/// What a foot does in one posture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum FootTask {
    /// Flat on the floor with the middle of its print here, turned so far (or free to turn).
    Flat { middle: [f64; 2], yaw: Option<f64> },
    /// On the ball, the heel free to rise; the ball stays where it stood.
    OnBall { ball: [f64; 2], yaw: Option<f64> },
    /// On the ball, landed so that the print's middle is here.
    LandedOnBall { middle: [f64; 2] },
    /// The toe tip touches here without weight.
    ToeTouch { tip: [f64; 2] },
    /// Off the floor, the middle of the sole above this point.
    Lifted { middle: [f64; 2], height: f64 },
}

impl FootTask {
    pub(crate) fn carries(self) -> bool {
        matches!(self, Self::Flat { .. } | Self::OnBall { .. } | Self::LandedOnBall { .. })
    }

    fn sole(self) -> Sole {
        match self {
            Self::OnBall { .. } | Self::LandedOnBall { .. } => Sole::Forefoot,
            _ => Sole::Flat,
        }
    }
}

/// Which way round the legs pass each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Passing {
    pub(crate) mover: Side,
    /// Direction from the standing to the moving leg where they come closest: floor frame.
    pub(crate) toward: V3,
    /// Feet may come close and are kept apart too.
    pub(crate) feet: bool,
}

/// A posture to find.
#[derive(Clone, Debug)]
pub(crate) struct Task {
    pub(crate) feet: [FootTask; 2],
    /// How much higher than the start the floor is under each foot, such as a tread.
    pub(crate) floor: [f64; 2],
    pub(crate) carry: Carry,
    pub(crate) min_drop: Option<f64>,
    pub(crate) square: bool,
    /// How far the trunk may lean from upright.
    pub(crate) lean: Option<f64>,
    /// Forward lean of the trunk that is asked for exactly, radians; usually it follows from effort.
    pub(crate) lean_asked: Option<f64>,
    /// How far the trunk stays leant at least.
    pub(crate) stay_bent: Option<f64>,
    /// The trunk faces at least so far to this side: sign of the side, angle from straight ahead.
    pub(crate) facing: Option<(f64, f64)>,
    pub(crate) passing: Passing,
    /// What the hands hold and where it stands: no leg passes through it; it carries nothing unless
    /// somebody stated a share.
    pub(crate) held: Option<(Support, Place)>,
}

/// A task for one body: bounds are prepared once.
pub(crate) struct PostureProblem<'a> {
    pub(crate) body: &'a Body,
    pub(crate) capacity: &'a Capacity,
    pub(crate) task: &'a Task,
    pub(crate) setting: Setting,
    blocks: Vec<Block>,
    lower: Row,
    upper: Row,
}

impl<'a> PostureProblem<'a> {
    pub(crate) fn new(body: &'a Body, capacity: &'a Capacity, task: &'a Task) -> Self {
        let e = engine();
        let mut lower = [0.0; N];
        let mut upper = [0.0; N];
        for i in 0..3 {
            lower[i] = -3.0;
            upper[i] = 3.0;
        }
        lower[YAW] = -e.pelvis_turn_limit;
        upper[YAW] = e.pelvis_turn_limit;
        lower[TILT] = -e.pelvis_forward_limit;
        upper[TILT] = e.pelvis_backward_limit;
        lower[LIST] = -e.pelvis_list_limit;
        upper[LIST] = e.pelvis_list_limit;
        for i in 6..NQ {
            (lower[i], upper[i]) = body.range(i);
        }
        for side in Side::BOTH {
            let first = foot_vars(side);
            if task.feet[side as usize].carries() {
                for k in 0..4 {
                    upper[first + k] = 2.0;
                }
                for k in 4..6 {
                    lower[first + k] = -e.friction;
                    upper[first + k] = e.friction;
                }
                lower[first + 6] = -e.torsion;
                upper[first + 6] = e.torsion;
            }
        }
        let setting = Setting { sole: Self::soles(task), carry: task.carry };
        let blocks = task.held.map_or_else(Vec::new, |(_, place)| Block::all(&place));
        Self { body, capacity, task, setting, blocks, lower, upper }
    }

    pub(crate) fn soles(task: &Task) -> [Sole; 2] {
        task.feet.map(FootTask::sole)
    }

    fn feet(&self, state: &State, out: &mut Rows) {
        let body = self.body;
        let e = engine();
        let y = -body.ankle_height;
        for side in Side::BOTH {
            let seg = Seg::Foot(side);
            let sole = |x: f64| V3::new(x - body.ankle_from_heel, y, 0.0);
            let middle_local = sole(body.foot_length / 2.0);
            let floor = self.task.floor[side as usize];
            match self.task.feet[side as usize] {
                FootTask::Flat { middle, yaw } => {
                    let p = state.point(seg, middle_local);
                    point_rows(state, seg, p, &[(0, middle[0]), (1, floor), (2, middle[1])], out);
                    level(state, seg, out);
                    self.turn(state, side, yaw, out);
                }
                FootTask::Lifted { middle, height } => {
                    let p = state.point(seg, middle_local);
                    point_rows(state, seg, p, &[(0, middle[0]), (1, floor + height), (2, middle[1])], out);
                    level(state, seg, out);
                    self.turn(state, side, Some(0.0), out);
                }
                FootTask::OnBall { ball, yaw } => {
                    let p = state.point(seg, sole(body.ball_from_heel));
                    point_rows(state, seg, p, &[(0, ball[0]), (1, floor), (2, ball[1])], out);
                    self.heel_up(state, seg, floor, out);
                    self.turn(state, side, yaw, out);
                }
                FootTask::LandedOnBall { middle } => {
                    let p = state.point(seg, sole(body.ball_from_heel));
                    let (h, d_h) = heading(state, side);
                    let back = body.ball_from_heel - body.foot_length / 2.0;
                    for (axis, want) in [(0, middle[0]), (2, middle[1])] {
                        let mut row = [0.0; N];
                        state.d_point(seg.last(), p, |i, v| row[i] += v[axis]);
                        for (i, v) in &d_h {
                            row[*i] -= v[axis] * back;
                        }
                        out.equal.push((p[axis] - h[axis] * back - want, row));
                    }
                    point_rows(state, seg, p, &[(1, floor)], out);
                    self.heel_up(state, seg, floor, out);
                    self.turn(state, side, None, out);
                }
                FootTask::ToeTouch { tip } => {
                    let p = state.point(seg, sole(body.foot_length));
                    point_rows(state, seg, p, &[(0, tip[0]), (1, floor), (2, tip[1])], out);
                    let heel = state.point(seg, sole(0.0));
                    let mut row = [0.0; N];
                    state.d_point(seg.last(), heel, |i, v| row[i] -= v.y);
                    out.at_most.push((floor - heel.y, row));
                    self.turn(state, side, None, out);
                    // A touching foot is kept from rolling over by a soft row: it bears nothing.
                    let z = state.dir(seg, V3::z());
                    let mut row = [0.0; N];
                    let w = e.comfort.sqrt() / e.roll_scale;
                    state.d_dir(seg.last(), z, |i, v| row[i] += v.y * w);
                    out.cost.push((z.y * w, row));
                }
            }
        }
    }

    /// The ball bears, the heel may rise but not sink, the toes may bend so far.
    fn heel_up(&self, state: &State, seg: Seg, floor: f64, out: &mut Rows) {
        let body = self.body;
        let z = state.dir(seg, V3::z());
        let mut row = [0.0; N];
        state.d_dir(seg.last(), z, |i, v| row[i] += v.y);
        out.equal.push((z.y, row));
        let heel = state.point(seg, V3::new(-body.ankle_from_heel, -body.ankle_height, 0.0));
        let mut row = [0.0; N];
        state.d_point(seg.last(), heel, |i, v| row[i] += v.y);
        let highest = engine().toe_bend_limit.sin() * body.ball_from_heel;
        out.at_most.push((heel.y - floor - highest, row));
        out.at_most.push((floor - heel.y, row.map(|d| -d)));
    }

    /// Foot turned as told, or as is comfortable.
    fn turn(&self, state: &State, side: Side, yaw: Option<f64>, out: &mut Rows) {
        let (h, d_h) = heading(state, side);
        let now = h.z.atan2(h.x);
        let mut row = [0.0; N];
        for (i, v) in &d_h {
            row[*i] = h.x * v.z - h.z * v.x;
        }
        if let Some(yaw) = yaw {
            out.equal.push((now - yaw, row));
        } else {
            let e = engine();
            let w = e.comfort.sqrt() / e.foot_turn_scale;
            out.cost.push((now * w, row.map(|d| d * w)));
            let outward = side.sign();
            for (limit, sign) in [(e.toe_out_limit, outward), (e.toe_in_limit, -outward)] {
                out.at_most.push((now * sign - limit, row.map(|d| d * sign)));
            }
        }
    }

    /// A reaching hand is no further than the arm is long, nor is a support that carries.
    fn arm_rows(&self, state: &State, side: Side, out: &mut Rows) {
        let body = self.body;
        let shoulder = state.point(Seg::Trunk, *body.shoulder_from_lumbar.get(side));
        let mut within = |target: V3, follows: [bool; 3]| {
            let to = shoulder - target;
            let length = to.norm().max(1e-6);
            let mut n = to / length;
            for k in 0..3 {
                if follows[k] {
                    n[k] = 0.0;
                }
            }
            let mut row = [0.0; N];
            state.d_point(Seg::Trunk.last(), shoulder, |i, v| row[i] += n.dot(&v));
            out.at_most.push((length - body.arm_reach, row));
        };
        if let ArmPose::Reaching { target } = self.task.carry.pose(side) {
            within(target, [false; 3]);
        }
        if let Some(prop) = self.task.carry.props[side as usize] {
            let (at, follows) = prop.hold(side, shoulder);
            within(at, follows);
        }
        if let ArmPose::Reaching { target } = self.task.carry.pose(side) {
            self.hand_clear(state, target, shoulder, out);
        }
    }

    /// The forearm of a reaching hand, taken along the line to its shoulder, stays out of both legs.
    fn hand_clear(&self, state: &State, target: V3, shoulder: V3, out: &mut Rows) {
        let body = self.body;
        let e = engine();
        let forearm = places().forearm_radius_of_stature;
        let line = shoulder - target;
        let length = line.norm().max(1e-6);
        let n = line / length;
        let fore = (body.arm_reach - body.upper_arm).min(length);
        for side in Side::BOTH {
            let parts = [
                (Seg::Thigh(side), *body.thigh.get(side), e.thigh_radius),
                (Seg::Shank(side), *body.shank.get(side), e.shank_radius),
            ];
            for (seg, long, radius) in parts {
                let gap = (radius + forearm) * body.stature;
                let down = V3::new(0.0, -long, 0.0);
                let (a0, a1) = (state.point(seg, V3::zeros()), state.point(seg, down));
                let (on_leg, on_arm) = closest(a0, a1, target, target + n * fore);
                let between = on_arm - on_leg;
                let far = between.norm();
                if far > gap + 0.08 || far < 1e-6 {
                    out.at_most.push((-1.0, [0.0; N]));
                    continue;
                }
                let u = between / far;
                let leg_point = state.point(seg, down * share(a0, a1, on_leg));
                let t = (on_arm - target).dot(&n);
                let mut row = [0.0; N];
                state.d_point(seg.last(), leg_point, |i, v| row[i] += u.dot(&v));
                state.d_point(Seg::Trunk.last(), shoulder, |i, v| {
                    row[i] -= u.dot(&((v - n * n.dot(&v)) * (t / length)));
                });
                out.at_most.push((gap - far, row));
            }
        }
    }

    /// Every clearance that may be used up: legs past each other, forearms past legs, legs past a support.
    pub(crate) fn clearances(&self, state: &State, out: &mut Rows) {
        for side in Side::BOTH {
            if let ArmPose::Reaching { target } = self.task.carry.pose(side) {
                let shoulder = state.point(Seg::Trunk, *self.body.shoulder_from_lumbar.get(side));
                self.hand_clear(state, target, shoulder, out);
            }
        }
        self.apart(state, out);
        obstacles::rows(self.body, state, &self.blocks, out);
    }

    fn apart(&self, state: &State, out: &mut Rows) {
        let body = self.body;
        let e = engine();
        let (m, s) = (self.task.passing.mover, self.task.passing.mover.other());
        let down = |l: f64| V3::new(0.0, -l, 0.0);
        let thigh = |side: Side| (Seg::Thigh(side), V3::zeros(), down(*body.thigh.get(side)));
        let shank = |side: Side| (Seg::Shank(side), V3::zeros(), down(*body.shank.get(side)));
        let foot = |side: Side| {
            let y = -body.ankle_height;
            (
                Seg::Foot(side),
                V3::new(-body.ankle_from_heel + body.foot_breadth / 2.0, y, 0.0),
                V3::new(body.foot_length - body.ankle_from_heel - body.foot_breadth / 2.0, y, 0.0),
            )
        };
        let h = body.stature;
        let mut pairs = vec![
            (thigh(m), thigh(s), 2.0 * e.thigh_radius * h),
            (shank(m), shank(s), 2.0 * e.shank_radius * h),
        ];
        if self.task.passing.feet {
            pairs.push((thigh(m), shank(s), (e.thigh_radius + e.shank_radius) * h));
            pairs.push((shank(m), thigh(s), (e.thigh_radius + e.shank_radius) * h));
            pairs.push((foot(m), foot(s), body.foot_breadth));
        }
        for (a, b, gap) in pairs {
            // Feet are kept apart as seen from above: a lifted heel does not stand on another foot.
            let seen = |p: V3| if matches!(a.0, Seg::Foot(_)) { V3::new(p.x, 0.0, p.z) } else { p };
            let (a0, a1) = (seen(state.point(a.0, a.1)), seen(state.point(a.0, a.2)));
            let (b0, b1) = (seen(state.point(b.0, b.1)), seen(state.point(b.0, b.2)));
            let (pa, pb) = closest(a0, a1, b0, b1);
            let (s_a, s_b) = (share(a0, a1, pa), share(b0, b1, pb));
            let (real_a, real_b) =
                (state.point(a.0, a.1 + (a.2 - a.1) * s_a), state.point(b.0, b.1 + (b.2 - b.1) * s_b));
            let between = pa - pb;
            let length = between.norm();
            if length > gap + 0.08 {
                out.at_most.push((-1.0, [0.0; N]));
                continue;
            }
            let toward = self.task.passing.toward;
            let mut n = if length > 1e-6 { between / length } else { toward };
            // Clearly on the wrong side: they have passed through each other.
            let mut signed = length;
            if n.dot(&toward) < -0.3 {
                n = -n;
                signed = -length;
            }
            let mut row = [0.0; N];
            state.d_point(a.0.last(), real_a, |i, v| row[i] -= n.dot(&v));
            state.d_point(b.0.last(), real_b, |i, v| row[i] += n.dot(&v));
            out.at_most.push((gap - signed, row));
        }
    }
}

fn point_rows(state: &State, seg: Seg, p: V3, wants: &[(usize, f64)], out: &mut Rows) {
    for (axis, want) in wants {
        let mut row = [0.0; N];
        state.d_point(seg.last(), p, |i, v| row[i] += v[*axis]);
        out.equal.push((p[*axis] - want, row));
    }
}

fn level(state: &State, seg: Seg, out: &mut Rows) {
    let up = state.dir(seg, V3::y());
    for axis in [0, 2] {
        let mut row = [0.0; N];
        state.d_dir(seg.last(), up, |i, v| row[i] += v[axis]);
        out.equal.push((up[axis], row));
    }
}

/// How far along a segment a point on it lies, 0 to 1.
fn share(from: V3, to: V3, on: V3) -> f64 {
    let line = to - from;
    let length = line.norm_squared();
    if length > 0.0 { (on - from).dot(&line) / length } else { 0.0 }
}

/// The closest points of two segments (Ericson, Real-Time Collision Detection, 5.1.9).
pub(crate) fn closest(a0: V3, a1: V3, b0: V3, b1: V3) -> (V3, V3) {
    let (d1, d2, r) = (a1 - a0, b1 - b0, a0 - b0);
    let (a, e, f) = (d1.dot(&d1), d2.dot(&d2), d2.dot(&r));
    let (b, c) = (d1.dot(&d2), d1.dot(&r));
    let denominator = a * e - b * b;
    let mut s = if denominator > 1e-12 { ((b * f - c * e) / denominator).clamp(0.0, 1.0) } else { 0.5 };
    let mut t = (b * s + f) / e;
    if t < 0.0 {
        t = 0.0;
        s = (-c / a).clamp(0.0, 1.0);
    } else if t > 1.0 {
        t = 1.0;
        s = ((b - c) / a).clamp(0.0, 1.0);
    }
    (a0 + d1 * s, b0 + d2 * t)
}

impl Problem for PostureProblem<'_> {
    fn rows(&self, x: &Row, out: &mut Rows) {
        let e = engine();
        let body = self.body;
        let state = State::new(body, &x[..NQ]);
        let statics = Statics::new(body, &state, x, &self.setting);

        for j in effort_coordinates() {
            let tau = statics.tau[j];
            let (capacity, slope) = self.capacity.for_posture(j, x[j], tau);
            let mut row = statics.d_tau[j].map(|d| d / capacity);
            row[j] -= tau / (capacity * capacity) * slope;
            out.cost.push((tau / capacity, row));
            let w = e.comfort.sqrt() / e.scale(j);
            out.single.push((j, (x[j] - e.neutral(j)) * w, w));
        }
        let w = e.comfort.sqrt();
        out.single.push((TILT, x[TILT] * w / e.pelvis_tilt_scale, w / e.pelvis_tilt_scale));
        out.single.push((LIST, x[LIST] * w / e.pelvis_list_scale, w / e.pelvis_list_scale));
        if !self.task.square {
            out.single.push((YAW, x[YAW] * w / e.pelvis_yaw_scale, w / e.pelvis_yaw_scale));
        }
        for side in Side::BOTH {
            let first = foot_vars(side);
            for k in 0..7 {
                // Without effort at stake forces spread evenly over a sole.
                let w = if k < 4 { e.even_pressure } else { e.even_shear };
                out.single.push((first + k, x[first + k] * w, w));
            }
        }

        for k in 0..6 {
            out.equal.push((statics.base[k], statics.d_base[k]));
        }
        self.feet(&state, out);
        if self.task.square {
            let mut row = [0.0; N];
            row[YAW] = 1.0;
            out.equal.push((x[YAW], row));
        }
        if let Some(drop) = self.task.min_drop {
            let mut row = [0.0; N];
            row[1] = 1.0;
            out.at_most.push((x[1] - (body.standing_hip_height() - drop), row));
        }
        if let Some(limit) = self.task.lean {
            let up = state.dir(Seg::Trunk, V3::y());
            let mut row = [0.0; N];
            state.d_dir(Seg::Trunk.last(), up, |i, v| row[i] -= v.y);
            out.at_most.push((limit.cos() - up.y, row));
            if self.task.lean_asked.is_none() {
                let ahead = state.dir(Seg::Trunk, V3::x());
                let mut row = [0.0; N];
                state.d_dir(Seg::Trunk.last(), ahead, |i, v| row[i] += v.y);
                out.at_most.push((ahead.y - e.backward_lean_limit.sin(), row));
            }
        }
        if let Some(asked) = self.task.lean_asked {
            // The trunk's forward axis sinks as the trunk leans: y = −sin(lean).
            let ahead = state.dir(Seg::Trunk, V3::x());
            let mut row = [0.0; N];
            state.d_dir(Seg::Trunk.last(), ahead, |i, v| row[i] += v.y);
            out.equal.push((ahead.y + asked.sin(), row));
        }
        if let Some(least) = self.task.stay_bent {
            let up = state.dir(Seg::Trunk, V3::y());
            let mut row = [0.0; N];
            state.d_dir(Seg::Trunk.last(), up, |i, v| row[i] += v.y);
            out.at_most.push((up.y - least.cos(), row));
        }
        if let Some((sign, angle)) = self.task.facing {
            let x = state.dir(Seg::Trunk, V3::x());
            let flat = (x.x * x.x + x.z * x.z).max(1e-9);
            let mut row = [0.0; N];
            state.d_dir(Seg::Trunk.last(), x, |i, v| row[i] -= sign * (x.x * v.z - x.z * v.x) / flat);
            out.at_most.push((angle - sign * x.z.atan2(x.x), row));
        }
        for side in Side::BOTH {
            self.arm_rows(&state, side, out);
        }
        self.apart(&state, out);
        obstacles::rows(body, &state, &self.blocks, out);
    }

    fn lower(&self) -> &Row {
        &self.lower
    }

    fn upper(&self) -> &Row {
        &self.upper
    }
}

/// A first guess: pelvis between the feet, legs bent so that the feet are about where they belong.
pub(crate) fn guess(body: &Body, task: &Task, lean: f64) -> Row {
    let mut x = [0.0; N];
    let ankle = |side: Side| -> V3 {
        let k = side as usize;
        let from_middle = body.foot_length / 2.0 - body.ankle_from_heel;
        let up = V3::y() * task.floor[k];
        up + match task.feet[k] {
            FootTask::Flat { middle, .. } => V3::new(middle[0] - from_middle, body.ankle_height, middle[1]),
            FootTask::LandedOnBall { middle } => {
                V3::new(middle[0] - from_middle, body.ankle_height + 0.05, middle[1])
            }
            FootTask::Lifted { middle, height } => {
                V3::new(middle[0] - from_middle, body.ankle_height + height, middle[1])
            }
            FootTask::OnBall { ball, .. } => V3::new(
                ball[0] - (body.ball_from_heel - body.ankle_from_heel),
                body.ankle_height + 0.03,
                ball[1],
            ),
            FootTask::ToeTouch { tip } => {
                V3::new(tip[0] - (body.foot_length - body.ankle_from_heel), body.ankle_height + 0.02, tip[1])
            }
        }
    };
    let (m, s) = (task.passing.mover, task.passing.mover.other());
    let both = task.feet.iter().all(|f| f.carries());
    let share = if both { 0.5 } else { 0.12 };
    let crossing = task.passing.feet;
    let (am, as_) = (ankle(m), ankle(s));
    let mid = as_ + (am - as_) * share;
    let yaw = if task.square || !crossing { 0.0 } else { lean * task.passing.toward.x.signum() * -m.sign() };
    x[YAW] = yaw;
    x[0] = mid.x;
    x[2] = mid.z;
    let reach = |hip_height: f64| {
        let horizontal = |a: V3, side: Side| {
            let hip_z = x[2] + side.sign() * body.half_hip_spacing * yaw.cos();
            ((a.x - x[0]).powi(2) + (a.z - hip_z).powi(2)).sqrt()
        };
        Side::BOTH.into_iter().all(|side| {
            let a = ankle(side);
            let l = (body.thigh.get(side) + body.shank.get(side)) * 0.985;
            (horizontal(a, side).powi(2) + (hip_height - a.y).powi(2)).sqrt() <= l
        })
    };
    let mut height = body.standing_hip_height() - task.min_drop.unwrap_or(0.0).max(0.01);
    while height > 0.35 * body.stature * 0.5 && !reach(height) {
        height -= 0.01;
    }
    x[1] = height;
    let state = State::new(body, &x[..NQ]);
    for side in Side::BOTH {
        let first = leg(side);
        let hip = state.origin[first];
        let local = ankle(side) - hip;
        let forward = state.dir(Seg::Pelvis, V3::x());
        let right = state.dir(Seg::Pelvis, V3::z());
        let v = V3::new(local.dot(&forward), local.y, local.dot(&right));
        let (t, h) = (*body.thigh.get(side), *body.shank.get(side));
        let d = v.norm().min((t + h) * 0.999).max((t - h).abs() + 0.05);
        let knee = std::f64::consts::PI - ((t * t + h * h - d * d) / (2.0 * t * h)).clamp(-1.0, 1.0).acos();
        let ahead = ((t * t + d * d - h * h) / (2.0 * t * d)).clamp(-1.0, 1.0).acos();
        let adduction = (-side.sign() * v.z / v.norm()).clamp(-1.0, 1.0).asin();
        let flexion = v.x.atan2(-v.y) + ahead;
        x[first] = flexion;
        x[first + 1] = adduction;
        x[first + 3] = knee;
        x[first + 5] = knee - flexion;
        x[first + 6] = -adduction;
        if task.feet[side as usize].carries() {
            let carried = if both { 0.5 } else { 1.0 };
            for k in 0..4 {
                x[foot_vars(side) + k] = carried / 4.0;
            }
        }
    }
    if task.carry.arms.iter().any(|arm| matches!(arm, ArmPose::Reaching { .. })) {
        x[6] = 0.6;
        x[TILT] = -0.6;
        for side in Side::BOTH {
            x[leg(side)] += 0.6;
        }
    }
    x
}

/// Centre of pressure of a solution on the floor, forward and right.
pub(crate) fn centre_of_pressure(body: &Body, state: &State, x: &Row, setting: &Setting) -> [f64; 2] {
    let mut sum = [0.0; 2];
    let mut total = 0.0;
    for side in Side::BOTH {
        for (k, (p, _)) in corners(body, state, side, setting.sole[side as usize]).into_iter().enumerate() {
            let n = x[foot_vars(side) + k];
            total += n;
            sum[0] += n * p.x;
            sum[1] += n * p.z;
        }
    }
    if total > 0.0 { [sum[0] / total, sum[1] / total] } else { sum }
}

/// The body with what it carries as point masses, hanging arms counted where they hang.
pub(crate) fn parts(body: &Body, state: &State, setting: &Setting) -> Vec<Part> {
    let mut parts: Vec<Part> = Seg::ALL
        .into_iter()
        .map(|seg| {
            let (mass, com) = body.segment(seg);
            Part::point(mass, state.point(seg, com))
        })
        .collect();
    for side in Side::BOTH {
        let shoulder = state.point(Seg::Trunk, *body.shoulder_from_lumbar.get(side));
        let (arm, hand) = setting.carry.arm_and_hand(body, side, shoulder, |p| state.point(Seg::Trunk, p));
        parts.push(Part::point(body.arm_mass, arm));
        parts.push(Part::point(setting.carry.in_hand[side as usize], hand));
    }
    parts.push(Part::point(setting.carry.on_trunk, state.point(Seg::Trunk, pack_place(body))));
    parts
}

/// Centre of mass of the body with what it carries.
pub(crate) fn centre_of_mass(body: &Body, state: &State, setting: &Setting) -> V3 {
    together(&parts(body, state, setting)).map_or_else(V3::zeros, |whole| whole.centre)
}

/// Whole weight in newtons.
pub(crate) fn body_weight(body: &Body) -> f64 {
    body.mass * GRAVITY
}
