//! Balance of forces and internal joint moments in a static posture, with exact derivatives.
//!
//! Every force `F` acts at a point `p`. For a joint axis `a` through `o`, the internal moment
//! that holds what lies beyond it still is `τ = −a · Σ (p − o) × F` over the forces beyond it.
//! The six base rows are `Σ F` and `Σ p × F`, which must vanish.
//!
//! Each foot touches the floor in four corners that can only push up, `n₁…n₄` (in body
//! weights), plus shear `s_x, s_z` and torsion `s_t` as shares of what the foot carries, so
//! friction is a bound on a variable. Arms that hang free act as their weight at the shoulder;
//! an arm that reaches acts partly at the shoulder, partly at the hand; an arm held in the trunk's
//! frame acts at its own centre of mass. A hand that carries pushes the trunk up at the place held.

use anatomy::Side;
use quantity::GRAVITY;

use crate::arms::{ArmPose, Carry, pack_place};
use crate::body::Body;
use crate::state::{NQ, Seg, State, TRUNK, V3, leg, movers, moves};

/// Variables of the two feet together.
pub(crate) const NF: usize = 14;
/// All unknowns: joint coordinates, then left and right foot.
pub(crate) const N: usize = NQ + NF;

/// First force variable of a foot.
pub(crate) const fn foot_vars(side: Side) -> usize {
    match side {
        Side::Left => NQ,
        Side::Right => NQ + 7,
    }
}

/// Where a foot can press: flat on heel and ball, or on ball and toes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sole {
    Flat,
    Forefoot,
}

/// What the forces depend on besides the unknowns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Setting {
    pub(crate) sole: [Sole; 2],
    pub(crate) carry: Carry,
}

/// One row of derivatives.
pub(crate) type Row = [f64; N];

/// The internal moments, the base rows and their derivatives.
pub(crate) struct Statics {
    /// Internal moments, N·m, indexed by coordinate (from `TRUNK` up).
    pub(crate) tau: [f64; NQ],
    pub(crate) d_tau: Vec<Row>,
    /// Force (in body weights) and moment about the floor origin (in body weights × metre).
    pub(crate) base: [f64; 6],
    pub(crate) d_base: [Row; 6],
}

struct Push {
    p: V3,
    force: V3,
    couple: V3,
    /// Last coordinate of the segment it acts on.
    last: usize,
    /// How the point moves.
    d_p: Vec<(usize, V3)>,
    /// How force and couple change with a force variable.
    d_f: Vec<(usize, V3, V3)>,
}

fn hanging(state: &State, seg: Seg, local: V3, mass: f64) -> Push {
    let p = state.point(seg, local);
    let mut d_p = Vec::with_capacity(13);
    state.d_point(seg.last(), p, |i, v| d_p.push((i, v)));
    Push {
        p,
        force: V3::new(0.0, -mass * GRAVITY, 0.0),
        couple: V3::zeros(),
        last: seg.last(),
        d_p,
        d_f: Vec::new(),
    }
}

/// The four corners a foot can press on, and how each moves.
pub(crate) fn corners(body: &Body, state: &State, side: Side, sole: Sole) -> [(V3, Vec<(usize, V3)>); 4] {
    let seg = Seg::Foot(side);
    let half = body.foot_breadth / 2.0;
    let heel = -body.ankle_from_heel;
    let ball = body.ball_from_heel - body.ankle_from_heel;
    let y = -body.ankle_height;
    let fixed = |x: f64, z: f64| {
        let p = state.point(seg, V3::new(x, y, z));
        let mut d = Vec::with_capacity(13);
        state.d_point(seg.last(), p, |i, v| d.push((i, v)));
        (p, d)
    };
    match sole {
        Sole::Flat => [fixed(heel, -half), fixed(heel, half), fixed(ball, -half), fixed(ball, half)],
        Sole::Forefoot => {
            let toe = |z: f64| {
                let (p, d) = fixed(ball, z);
                let (h, d_h) = heading(state, side);
                let length = body.foot_length - body.ball_from_heel;
                let mut moved = d;
                for (i, v) in d_h {
                    if let Some(entry) = moved.iter_mut().find(|(k, _)| *k == i) {
                        entry.1 += v * length;
                    }
                }
                (p + h * length, moved)
            };
            [fixed(ball, -half), fixed(ball, half), toe(-half), toe(half)]
        }
    }
}

/// Horizontal direction of a foot, of unit length, and how it changes.
pub(crate) fn heading(state: &State, side: Side) -> (V3, Vec<(usize, V3)>) {
    let seg = Seg::Foot(side);
    let x = state.dir(seg, V3::x());
    let flat = V3::new(x.x, 0.0, x.z);
    let length = flat.norm().max(1e-9);
    let h = flat / length;
    let mut out = Vec::with_capacity(10);
    state.d_dir(seg.last(), x, |i, v| {
        let v = V3::new(v.x, 0.0, v.z);
        out.push((i, (v - h * h.dot(&v)) / length));
    });
    (h, out)
}

fn foot_push(body: &Body, state: &State, x: &[f64], side: Side, sole: Sole, out: &mut Vec<Push>) {
    let first = foot_vars(side);
    let weight = body.mass * GRAVITY;
    let u = &x[first..first + 7];
    let last = Seg::Foot(side).last();
    let corner = corners(body, state, side, sole);
    let carried: f64 = u[..4].iter().sum();
    let mut centre = V3::zeros();
    let mut d_centre: Vec<(usize, V3)> = Vec::new();
    for (k, (p, d_p)) in corner.into_iter().enumerate() {
        centre += p * 0.25;
        if d_centre.is_empty() {
            d_centre = d_p.iter().map(|(i, v)| (*i, v * 0.25)).collect();
        } else {
            for (into, (_, v)) in d_centre.iter_mut().zip(&d_p) {
                into.1 += v * 0.25;
            }
        }
        out.push(Push {
            p,
            force: V3::new(0.0, u[k] * weight, 0.0),
            couple: V3::zeros(),
            last,
            d_p,
            d_f: vec![(first + k, V3::new(0.0, weight, 0.0), V3::zeros())],
        });
    }
    let shear = |n: f64| V3::new(u[4] * n, 0.0, u[5] * n) * weight;
    let twist = |n: f64| V3::new(0.0, u[6] * n * body.foot_length, 0.0) * weight;
    let mut d_f: Vec<(usize, V3, V3)> = (0..4).map(|k| (first + k, shear(1.0), twist(1.0))).collect();
    d_f.push((first + 4, V3::new(carried * weight, 0.0, 0.0), V3::zeros()));
    d_f.push((first + 5, V3::new(0.0, 0.0, carried * weight), V3::zeros()));
    d_f.push((first + 6, V3::zeros(), V3::new(0.0, carried * weight * body.foot_length, 0.0)));
    out.push(Push { p: centre, force: shear(carried), couple: twist(carried), last, d_p: d_centre, d_f });
}

/// Weights of arms and loads, and what the hands take off the feet.
fn arm_pushes(body: &Body, state: &State, carry: &Carry, pushes: &mut Vec<Push>) {
    for side in Side::BOTH {
        let shoulder = *body.shoulder_from_lumbar.get(side);
        let load = carry.in_hand[side as usize];
        let weight = body.arm_mass + load;
        match carry.pose(side) {
            ArmPose::Hanging => pushes.push(hanging(state, Seg::Trunk, shoulder, weight)),
            ArmPose::Reaching { target } => {
                let at_hand = body.arm_mass * body.arm_com + load;
                pushes.push(hanging(state, Seg::Trunk, shoulder, weight - at_hand));
                pushes.push(Push {
                    p: target,
                    force: V3::new(0.0, -at_hand * GRAVITY, 0.0),
                    couple: V3::zeros(),
                    last: Seg::Trunk.last(),
                    d_p: Vec::new(),
                    d_f: Vec::new(),
                });
            }
            ArmPose::Fixed { hand, centre } => {
                pushes.push(hanging(state, Seg::Trunk, centre, body.arm_mass));
                if load > 0.0 {
                    pushes.push(hanging(state, Seg::Trunk, hand, load));
                }
            }
        }
        if let Some(prop) = carry.props[side as usize] {
            let at = state.point(Seg::Trunk, shoulder);
            let (p, follows) = prop.hold(side, at);
            let mut d_p = Vec::new();
            if follows.contains(&true) {
                state.d_point(Seg::Trunk.last(), at, |i, v| {
                    d_p.push((i, V3::from_fn(|k, _| if follows[k] { v[k] } else { 0.0 })));
                });
            }
            pushes.push(Push {
                p,
                force: V3::new(0.0, prop.share * body.mass * GRAVITY, 0.0),
                couple: V3::zeros(),
                last: Seg::Trunk.last(),
                d_p,
                d_f: Vec::new(),
            });
        }
    }
    if carry.on_trunk > 0.0 {
        pushes.push(hanging(state, Seg::Trunk, pack_place(body), carry.on_trunk));
    }
}

fn gather(body: &Body, state: &State, x: &[f64], setting: &Setting) -> Vec<Push> {
    let mut pushes = Vec::with_capacity(20);
    for seg in Seg::ALL {
        let (mass, com) = body.segment(seg);
        pushes.push(hanging(state, seg, com, mass));
    }
    arm_pushes(body, state, &setting.carry, &mut pushes);
    for (k, side) in Side::BOTH.into_iter().enumerate() {
        foot_push(body, state, x, side, setting.sole[k], &mut pushes);
    }
    pushes
}

impl Statics {
    pub(crate) fn new(body: &Body, state: &State, x: &[f64], setting: &Setting) -> Self {
        let pushes = gather(body, state, x, setting);
        let weight = body.mass * GRAVITY;
        let mut base = [0.0; 6];
        let mut d_base = [[0.0; N]; 6];
        for push in &pushes {
            let f = push.force / weight;
            let m = (push.p.cross(&push.force) + push.couple) / weight;
            for k in 0..3 {
                base[k] += f[k];
                base[3 + k] += m[k];
            }
            for (i, d) in &push.d_p {
                let dm = d.cross(&push.force) / weight;
                for k in 0..3 {
                    d_base[3 + k][*i] += dm[k];
                }
            }
            for (i, df, dc) in &push.d_f {
                let dm = (push.p.cross(df) + dc) / weight;
                for k in 0..3 {
                    d_base[k][*i] += df[k] / weight;
                    d_base[3 + k][*i] += dm[k];
                }
            }
        }

        let mut tau = [0.0; NQ];
        let mut d_tau = vec![[0.0; N]; NQ];
        for (j, row) in d_tau.iter_mut().enumerate().skip(TRUNK) {
            let (a, o) = (state.axis[j], state.origin[j]);
            let mut moment = V3::zeros();
            let mut force = V3::zeros();
            for push in pushes.iter().filter(|p| j == p.last || moves(j, p.last)) {
                let r = push.p - o;
                moment += r.cross(&push.force) + push.couple;
                force += push.force;
                // a · (d × F) = d · (F × a)
                let lever = push.force.cross(&a);
                for (i, d) in &push.d_p {
                    row[*i] -= d.dot(&lever);
                }
                for (i, df, dc) in &push.d_f {
                    row[*i] -= a.dot(&(r.cross(df) + dc));
                }
            }
            // The axis point moves too.
            let lever = force.cross(&a);
            for (entry, axis) in row.iter_mut().zip(&state.axis).take(3) {
                *entry += axis.dot(&lever);
            }
            for i in movers(j).filter(|i| *i != j) {
                let d_o = state.axis[i].cross(&(o - state.origin[i]));
                row[i] += d_o.dot(&lever);
            }
            for i in movers(j).filter(|i| *i != j) {
                row[i] -= state.axis[i].cross(&a).dot(&moment);
            }
            tau[j] = -a.dot(&moment);
        }
        Self { tau, d_tau, base, d_base }
    }
}

/// Coordinates whose moment counts as effort: trunk and both legs.
pub(crate) fn effort_coordinates() -> impl Iterator<Item = usize> {
    TRUNK..NQ
}

/// Which leg a coordinate belongs to.
pub(crate) fn side_of(coordinate: usize) -> Option<Side> {
    if coordinate >= leg(Side::Right) {
        Some(Side::Right)
    } else if coordinate >= leg(Side::Left) {
        Some(Side::Left)
    } else {
        None
    }
}
