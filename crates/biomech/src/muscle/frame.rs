//! One leg at one moment: angles, moments and speeds that its muscles have to serve.

use anatomy::{Coordinate, Side};
use quantity::{Angle, AngularSpeed, Moment};

use super::units::{DOF, MOVED};
use crate::course::TimedFrame;
use crate::result::FrameMoments;
use crate::tree::{Coordinates, Forces, leg_from};

/// One leg at one moment. Every array is in the order of [`Coordinate::LEG`]: hip flexion, hip
/// adduction, hip internal rotation, knee flexion, turning of the shank, ankle dorsiflexion,
/// subtalar inversion. The turning of the shank is held by ligaments here and is not looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LegFrame {
    /// Joint angles, positive as named.
    pub angles: [Angle; 7],
    /// Internal joint moments, positive toward the positive angle.
    pub moments: [Moment; 7],
    /// How fast each angle grows; zero for a posture that is held.
    pub speeds: [AngularSpeed; 7],
}

impl LegFrame {
    /// A posture that is held.
    #[must_use]
    pub fn held(angles: [Angle; 7], moments: [Moment; 7]) -> Self {
        Self { angles, moments, speeds: [AngularSpeed::ZERO; 7] }
    }

    /// One leg of a computed frame, held.
    #[must_use]
    pub fn of(frame: &FrameMoments, side: Side) -> Self {
        Self::held(
            Coordinate::LEG.map(|c| frame.angle(side, c)),
            Coordinate::LEG.map(|c| frame.moment(side, c)),
        )
    }

    /// One leg of the moving tree: its coordinates, their rates (rad/s) and the forces it needs.
    #[must_use]
    pub fn moving(q: &Coordinates, v: &Coordinates, forces: &Forces, side: Side) -> Self {
        let first = leg_from(side);
        Self {
            angles: std::array::from_fn(|k| Angle::rad(q[first + k])),
            moments: std::array::from_fn(|k| Moment::nm(forces.generalized[first + k])),
            speeds: std::array::from_fn(|k| AngularSpeed::rad_per_s(v[first + k])),
        }
    }

    /// One leg in one frame of a movement in time.
    #[must_use]
    pub fn in_course(frame: &TimedFrame, side: Side) -> Self {
        Self {
            angles: Coordinate::LEG.map(|c| frame.angle(side, c)),
            moments: Coordinate::LEG.map(|c| frame.moment(side, c)),
            speeds: Coordinate::LEG.map(|c| AngularSpeed::rad_per_s(frame.speed_rad_s(side, c))),
        }
    }

    /// Where a leg coordinate stands in the arrays.
    pub(crate) fn place(coordinate: Coordinate) -> usize {
        Coordinate::LEG.iter().position(|c| *c == coordinate).unwrap_or(0)
    }

    /// Angles that muscles depend on, radians.
    pub(crate) fn moved_angles(&self) -> [f64; DOF] {
        MOVED.map(|c| self.angles[Self::place(c)].in_rad())
    }

    /// Moments that muscles produce, N·m.
    pub(crate) fn moved_moments(&self) -> [f64; DOF] {
        MOVED.map(|c| self.moments[Self::place(c)].in_nm())
    }
}
