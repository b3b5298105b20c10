//! Where each foot is in every frame of a way, how it is turned, and where it can press.

use anatomy::Side;
use movement::{MovementSpec, StanceFoot};
use nalgebra::{Matrix3, Rotation3};

use super::choices::choices;
use super::phases::Timeline;
use crate::body::Body;
use crate::constants::engine;
use crate::state::{Seg, State, V3};
use crate::statics::{Sole, heading};
use crate::swing::Swing;

/// Share of the loading by which a landed foot lies firm.
const FIRM_BY: f64 = 0.5;
/// Share of the swing after which the heel of the standing foot may rise.
const HEEL_FROM: f64 = 0.5;

/// A foot in space: one point of it, and its frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Placed {
    /// The point in the foot's frame.
    pub(crate) local: V3,
    pub(crate) point: V3,
    pub(crate) frame: Matrix3<f64>,
}

/// Places where a foot presses: heel, ball, toe tip; inner and outer side. Number and floor point.
pub(crate) type Places = Vec<(usize, V3)>;

/// Yaw clockwise seen from above, heel rise, roll.
#[derive(Clone, Copy, Debug)]
struct Turned {
    yaw: f64,
    rise: f64,
    roll: f64,
}

impl Turned {
    fn of(state: &State, side: Side) -> Self {
        let seg = Seg::Foot(side);
        let h = heading(state, side).0;
        let x = state.dir(seg, V3::x());
        let rise = (-x.y).clamp(-1.0, 1.0).asin();
        let yaw = h.z.atan2(h.x);
        let flat = Self { yaw, rise, roll: 0.0 }.frame();
        let z = state.dir(seg, V3::z());
        let roll = (-z.dot(&flat.column(1))).atan2(z.dot(&flat.column(2)));
        Self { yaw, rise, roll }
    }

    fn frame(self) -> Matrix3<f64> {
        let turn = |axis: V3, angle: f64| Rotation3::new(axis * angle);
        *(turn(-V3::y(), self.yaw) * turn(V3::z(), -self.rise) * turn(V3::x(), self.roll)).matrix()
    }

    fn times(self, s: f64) -> Self {
        Self { yaw: self.yaw * s, rise: self.rise * s, roll: self.roll * s }
    }
}

/// The plan of both feet for one way.
pub(crate) struct Feet<'a> {
    body: &'a Body,
    stance: Side,
    moves: bool,
    pivots: bool,
    far: [Turned; 2],
    far_sole: [Sole; 2],
    swing: Swing,
    far_carries: bool,
    /// How much higher the moving foot lands, metres.
    rise: f64,
}

fn sole_point(body: &Body, along: f64) -> V3 {
    V3::new(along - body.ankle_from_heel, -body.ankle_height, 0.0)
}

impl<'a> Feet<'a> {
    /// From the far posture; the start is flat, facing ahead.
    pub(crate) fn plan(
        body: &'a Body,
        spec: &MovementSpec,
        far: &State,
        far_sole: [Sole; 2],
        moves: bool,
        far_carries: bool,
    ) -> Self {
        let mover = spec.mover;
        let start = body.start_foot_centre(mover);
        let to = far.point(Seg::Foot(mover), sole_point(body, body.foot_length / 2.0));
        Self {
            body,
            stance: spec.stance(),
            moves,
            pivots: spec.stance_foot == StanceFoot::Pivoting && spec.crosses(),
            far: Side::BOTH.map(|side| Turned::of(far, side)),
            far_sole,
            swing: Swing::plan(body, spec, [start[0], 0.0, start[1]], [to.x, to.y, to.z]),
            far_carries,
            rise: spec.rise.in_m(),
        }
    }

    fn turned(&self, side: Side) -> Turned {
        self.far[side as usize]
    }

    /// How far the standing foot has turned and its heel has risen in a frame.
    fn stance_progress(&self, line: &Timeline, k: usize) -> f64 {
        let Some((off, on)) = line.swing else { return 0.0 };
        let (off, on) = (line.share[off], line.share[on]);
        if self.pivots || !self.far_carries {
            // The body turns while the other foot is on its way.
            line.between(k, off, (on + 1.0) / 2.0)
        } else {
            // The heel comes up as the other foot comes down.
            line.between(k, off + HEEL_FROM * (on - off), 1.0)
        }
    }

    /// Where a foot is in a frame.
    pub(crate) fn at(&self, line: &Timeline, k: usize, side: Side) -> Placed {
        let body = self.body;
        let start = body.start_foot_centre(side);
        if side == self.stance || !self.moves {
            let progress = self.stance_progress(line, k);
            let ahead = body.ball_from_heel - body.foot_length / 2.0;
            return Placed {
                local: sole_point(body, body.ball_from_heel),
                point: V3::new(start[0] + ahead, 0.0, start[1]),
                frame: self.turned(side).times(progress).frame(),
            };
        }
        let Some((off, on)) = line.swing else { unreachable!("a foot that moves has a swing") };
        let (off, on) = (line.share[off], line.share[on]);
        let s = ((line.share[k] - off) / (on - off)).clamp(0.0, 1.0);
        Placed {
            local: sole_point(body, body.foot_length / 2.0),
            point: V3::from(self.swing.at(s)),
            frame: self.turned(side).times(line.between(k, off, on)).frame(),
        }
    }

    /// How softly a foot keeps its turn in a frame: square radians, nothing where it stands. A foot on its
    /// way, and one that has just touched, may tilt as far as its ankle needs.
    pub(crate) fn soft_turn(&self, line: &Timeline, k: usize, side: Side) -> f64 {
        if side == self.stance || !self.moves {
            return 0.0;
        }
        let Some((off, on)) = line.swing else { return 0.0 };
        let (off, on) = (line.share[off], line.share[on]);
        let loose = line.between(k, off, f64::midpoint(off, on));
        let firm =
            if on < 1.0 { line.between(k, on, on + FIRM_BY * (1.0 - on)) } else { line.between(k, on, 1.0) };
        let tilt = choices().swing_tilt_deg.to_radians();
        loose * (1.0 - firm) * tilt * tilt
    }

    /// Where a foot can press in a frame; nothing while it is off the floor or only touches.
    pub(crate) fn places(&self, line: &Timeline, k: usize, side: Side) -> Places {
        let placed = self.at(line, k, side);
        let body = self.body;
        let stands = side == self.stance || !self.moves;
        let landed = line.swing.is_some_and(|(_, on)| k > on);
        let floor = if !stands && landed { self.rise } else { 0.0 };
        let on_floor = |local: V3| {
            let p = placed.point + placed.frame * (local - placed.local);
            V3::new(p.x, floor, p.z)
        };
        let half = V3::new(0.0, 0.0, body.foot_breadth / 2.0);
        let (heel, ball) = (sole_point(body, 0.0), sole_point(body, body.ball_from_heel));
        let ahead = placed.frame * V3::x();
        let ahead = V3::new(ahead.x, 0.0, ahead.z).normalize() * (body.foot_length - body.ball_from_heel);
        let first = side as usize * 6;
        let heels = [(first, on_floor(heel - half)), (first + 1, on_floor(heel + half))];
        let balls = [(first + 2, on_floor(ball - half)), (first + 3, on_floor(ball + half))];
        let toes = [(first + 4, balls[0].1 + ahead), (first + 5, balls[1].1 + ahead)];
        let lifted = (placed.point + placed.frame * (heel - placed.local)).y - floor > engine().heel_off;
        let forefoot = self.far_sole[side as usize] == Sole::Forefoot
            && if stands { self.stance_progress(line, k) > 0.0 } else { true };
        let before = line.swing.is_none_or(|(off, _)| k < off);
        let carries = stands || before || (landed && self.far_carries);
        if !carries {
            return Vec::new();
        }
        let mut places = Vec::with_capacity(6);
        if !lifted {
            places.extend(heels);
        }
        places.extend(balls);
        if forefoot && (stands || landed) {
            places.extend(toes);
        }
        places
    }
}
