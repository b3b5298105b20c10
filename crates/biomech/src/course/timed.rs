//! What a movement in time is: frames with times, angles, forces and margins.

use anatomy::{Coordinate, PerSide, Side};
use movement::{MovementSpec, Tempo};
use quantity::{Angle, Moment, Share, Span};
use serde::Serialize;

use super::phases::CoursePhase;
use crate::result::BalanceMargin;
use crate::state::{TRUNK, leg};
use crate::tree::Coordinates;

/// What the floor does to one foot.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FootGround {
    /// Ground reaction force, newtons: forward, up, right.
    pub force_n: [f64; 3],
    /// Centre of pressure under this foot, metres: forward, right; absent where it carries nothing.
    pub centre_of_pressure: Option<[f64; 2]>,
    /// Free moment about the vertical through it, N·m, positive counter-clockwise seen from above.
    pub twist_nm: f64,
}

/// What a frame needs and the feet cannot supply. Zero but for rounding in a course that is feasible.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Leftover {
    /// Force as a share of body weight.
    pub force: Share,
    /// Moment as a share of body weight times the named lever of `reference/course.toml`.
    pub moment: Share,
}

/// One moment of a movement in time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TimedFrame {
    /// Time since the start.
    pub time: Span,
    /// What happens.
    pub phase: CoursePhase,
    /// What the floor does to each foot.
    pub feet: PerSide<FootGround>,
    /// Share of what the floor carries on each foot.
    pub load_share: PerSide<Share>,
    /// Centre of mass, metres: forward, up, right.
    pub centre_of_mass: [f64; 3],
    /// Its velocity, metres per second.
    pub centre_of_mass_velocity: [f64; 3],
    /// Where the floor's reaction acts as a whole, metres: forward, right.
    pub zero_moment_point: [f64; 2],
    /// From the line of the centre of mass to the nearest edge of the feet that carry; negative when
    /// it is outside, as in any quick step.
    pub balance: BalanceMargin,
    /// From the zero-moment point to that edge; negative by no more than what `leftover` still allows, a
    /// few millimetres.
    pub pressure_margin: BalanceMargin,
    /// From the extrapolated centre of mass `ξ = c + v/ω`, `ω² = g/h` with `h` the height of the centre (Hof
    /// 2008), to that edge: negative when the foot that is on its way must land to stop the body.
    pub capture_margin: BalanceMargin,
    /// What the feet cannot supply.
    pub leftover: Leftover,
    /// Kinetic and potential energy, joules; the latter is zero where the centre of mass is on the floor.
    pub energy_j: [f64; 2],
    #[serde(skip)]
    pub(crate) q: Coordinates,
    #[serde(skip)]
    pub(crate) v: Coordinates,
    #[serde(skip)]
    pub(crate) a: Coordinates,
    #[serde(skip)]
    pub(crate) tau: Coordinates,
}

/// Where a coordinate of a leg or of the trunk stands in the tree; the side is ignored for the trunk.
pub(crate) fn index(side: Side, coordinate: Coordinate) -> Option<usize> {
    let leg_k = Coordinate::LEG.iter().position(|c| *c == coordinate);
    let trunk_k = Coordinate::TRUNK.iter().position(|c| *c == coordinate);
    leg_k.map(|k| leg(side) + k).or(trunk_k.map(|k| TRUNK + k))
}

impl TimedFrame {
    fn of(&self, values: &Coordinates, side: Side, coordinate: Coordinate) -> f64 {
        index(side, coordinate).map_or(0.0, |i| values[i])
    }

    /// The joint angle; the side is ignored for the trunk.
    #[must_use]
    pub fn angle(&self, side: Side, coordinate: Coordinate) -> Angle {
        Angle::rad(self.of(&self.q, side, coordinate))
    }

    /// The joint's angular velocity, radians per second, positive toward the positive angle.
    #[must_use]
    pub fn speed_rad_s(&self, side: Side, coordinate: Coordinate) -> f64 {
        self.of(&self.v, side, coordinate)
    }

    /// The internal joint moment, positive toward the positive angle.
    #[must_use]
    pub fn moment(&self, side: Side, coordinate: Coordinate) -> Moment {
        Moment::nm(self.of(&self.tau, side, coordinate))
    }

    /// The power of the internal moment, watts: positive lifts or speeds up, negative lowers or brakes.
    #[must_use]
    pub fn power_w(&self, side: Side, coordinate: Coordinate) -> f64 {
        self.of(&self.tau, side, coordinate) * self.of(&self.v, side, coordinate)
    }

    /// All coordinates of [`crate::tree`] with their velocities and accelerations.
    #[must_use]
    pub fn coordinates(&self) -> [&Coordinates; 3] {
        [&self.q, &self.v, &self.a]
    }

    /// The generalized forces of [`crate::tree`]: internal moments; the first six hold the leftover.
    #[must_use]
    pub fn generalized_forces(&self) -> &Coordinates {
        &self.tau
    }
}

/// A movement in time: out, held, back, through 60 frames — 27 out, 6 in the hold between, 27 back, evenly
/// spread within each phase; 54 when nothing is held, and one more at either end where the body waits.
///
/// It is an estimate of one smooth way of doing it, the centre of mass planned first: no impact when a
/// foot lands, no wobble, nothing that a person does of habit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Course {
    /// The movement.
    pub spec: MovementSpec,
    /// The tempo.
    pub tempo: Tempo,
    /// In order of time.
    pub frames: Vec<TimedFrame>,
}
