//! Where every segment is, how fast it moves and how fast that changes.

use std::ops::Deref;

use nalgebra::{Matrix3, Vector3};

use super::model::Tree;
use super::topology::{AXES, Axis, Coordinates, PARENT, SEGMENTS, Segment, TREE_COORDINATES, TURNS};
use crate::state::V3;

/// Room for the results of one instant; make it once and use it for every frame.
#[derive(Clone, Debug)]
pub struct Scratch {
    /// Segment frames in the floor frame.
    pub(super) rot: [Matrix3<f64>; SEGMENTS],
    /// Segment origins.
    pub(super) pos: [V3; SEGMENTS],
    /// Unit axes in the floor frame.
    pub(super) axis: [V3; TREE_COORDINATES],
    /// Angular velocity and its rate.
    pub(super) spin: [V3; SEGMENTS],
    pub(super) spin_rate: [V3; SEGMENTS],
    /// Velocity and acceleration of the origins.
    pub(super) vel: [V3; SEGMENTS],
    pub(super) acc: [V3; SEGMENTS],
}

impl Scratch {
    /// Empty room.
    #[must_use]
    #[allow(clippy::new_without_default, reason = "nothing of it is a default of anything")]
    pub fn new() -> Self {
        let zero = [V3::zeros(); SEGMENTS];
        let mut axis = [V3::zeros(); TREE_COORDINATES];
        axis[..3].copy_from_slice(&[V3::x(), V3::y(), V3::z()]);
        Self {
            rot: [Matrix3::identity(); SEGMENTS],
            pos: zero,
            axis,
            spin: zero,
            spin_rate: zero,
            vel: zero,
            acc: zero,
        }
    }
}

/// Turns a frame by one coordinate about its own axis and gives that axis in the floor frame.
#[inline(always)]
pub(super) fn turn(rot: &mut Matrix3<f64>, coordinate: usize, angle: f64) -> V3 {
    let (axis, sense) = AXES[coordinate];
    let (sin, cos) = angle.sin_cos();
    let sin = sense * sin;
    let (x, y, z): (V3, V3, V3) = (
        rot.fixed_columns::<1>(0).into(),
        rot.fixed_columns::<1>(1).into(),
        rot.fixed_columns::<1>(2).into(),
    );
    // The new columns of R·R_axis: two of them turn in their plane.
    let (kept, columns) = match axis {
        Axis::X => (x, [x, y * cos + z * sin, z * cos - y * sin]),
        Axis::Y => (y, [x * cos - z * sin, y, z * cos + x * sin]),
        Axis::Z => (z, [x * cos + y * sin, y * cos - x * sin, z]),
    };
    *rot = Matrix3::from_columns(&columns);
    kept * sense
}

impl Tree {
    /// Places every segment for these coordinates.
    pub fn pose<'a>(&'a self, q: &Coordinates, scratch: &'a mut Scratch) -> Pose<'a> {
        for s in 0..SEGMENTS {
            let (mut rot, pos) = if s == 0 {
                (Matrix3::identity(), V3::new(q[0], q[1], q[2]))
            } else {
                let p = PARENT[s];
                (scratch.rot[p], scratch.pos[p] + scratch.rot[p] * self.links[s].offset)
            };
            let (from, to) = TURNS[s];
            for i in from..to {
                scratch.axis[i] = turn(&mut rot, i, q[i]);
            }
            scratch.rot[s] = rot;
            scratch.pos[s] = pos;
        }
        Pose { tree: self, s: scratch }
    }

    /// Places every segment and moves it with these coordinate velocities and accelerations.
    ///
    /// Angles turn about axes that move with what stands before them; with axis `a`, rate `q̇` and
    /// the spin `ω` before the joint: `ω' = ω + a q̇`, `ω̇' = ω̇ + a q̈ + ω × a q̇`; an origin at `r`
    /// in the parent accelerates by `ω̇ × r + ω × (ω × r)` on top of the parent's own.
    pub fn moving<'a>(
        &'a self,
        q: &Coordinates,
        v: &Coordinates,
        a: &Coordinates,
        scratch: &'a mut Scratch,
    ) -> Moving<'a> {
        for s in 0..SEGMENTS {
            let mut rot;
            let (pos, vel, acc, mut spin, mut spin_rate);
            if s == 0 {
                rot = Matrix3::identity();
                pos = V3::new(q[0], q[1], q[2]);
                vel = V3::new(v[0], v[1], v[2]);
                acc = V3::new(a[0], a[1], a[2]);
                spin = V3::zeros();
                spin_rate = V3::zeros();
            } else {
                let p = PARENT[s];
                rot = scratch.rot[p];
                spin = scratch.spin[p];
                spin_rate = scratch.spin_rate[p];
                let r = rot * self.links[s].offset;
                let turned = spin.cross(&r);
                pos = scratch.pos[p] + r;
                vel = scratch.vel[p] + turned;
                acc = scratch.acc[p] + spin_rate.cross(&r) + spin.cross(&turned);
            }
            let (from, to) = TURNS[s];
            for i in from..to {
                let axis = turn(&mut rot, i, q[i]);
                scratch.axis[i] = axis;
                let turned = axis * v[i];
                spin_rate += axis * a[i] + spin.cross(&turned);
                spin += turned;
            }
            scratch.rot[s] = rot;
            scratch.pos[s] = pos;
            scratch.vel[s] = vel;
            scratch.acc[s] = acc;
            scratch.spin[s] = spin;
            scratch.spin_rate[s] = spin_rate;
        }
        Moving { pose: Pose { tree: self, s: scratch } }
    }
}

/// Where every segment is.
#[derive(Clone, Copy, Debug)]
pub struct Pose<'a> {
    pub(super) tree: &'a Tree,
    pub(super) s: &'a Scratch,
}

impl Pose<'_> {
    /// Where a point fixed in a segment is.
    #[must_use]
    pub fn point(&self, segment: Segment, local: Vector3<f64>) -> Vector3<f64> {
        self.origin(segment) + self.direction(segment, local)
    }

    /// How a direction fixed in a segment points.
    #[must_use]
    pub fn direction(&self, segment: Segment, local: Vector3<f64>) -> Vector3<f64> {
        self.s.rot[segment.index()] * local
    }

    /// Where a segment's origin is.
    #[must_use]
    pub fn origin(&self, segment: Segment) -> Vector3<f64> {
        self.s.pos[segment.index()]
    }

    /// A segment's frame: its columns are the segment's axes in the floor frame.
    #[must_use]
    pub fn frame(&self, segment: Segment) -> Matrix3<f64> {
        self.s.rot[segment.index()]
    }

    /// The unit axis of a coordinate in the floor frame.
    ///
    /// # Panics
    /// For a coordinate that the tree does not have.
    #[must_use]
    pub fn axis(&self, coordinate: usize) -> Vector3<f64> {
        self.s.axis[coordinate]
    }
}

/// Where every segment is and how it moves; everything a [`Pose`] answers it answers too.
#[derive(Clone, Copy, Debug)]
pub struct Moving<'a> {
    pose: Pose<'a>,
}

impl<'a> Deref for Moving<'a> {
    type Target = Pose<'a>;

    fn deref(&self) -> &Self::Target {
        &self.pose
    }
}

impl Moving<'_> {
    /// Velocity of a point fixed in a segment, m/s: `v + ω × r`.
    #[must_use]
    pub fn velocity(&self, segment: Segment, local: Vector3<f64>) -> Vector3<f64> {
        let k = segment.index();
        self.s.vel[k] + self.s.spin[k].cross(&self.direction(segment, local))
    }

    /// Acceleration of a point fixed in a segment, m/s², without gravity.
    #[must_use]
    pub fn acceleration(&self, segment: Segment, local: Vector3<f64>) -> Vector3<f64> {
        let k = segment.index();
        let r = self.direction(segment, local);
        self.s.acc[k] + self.s.spin_rate[k].cross(&r) + self.s.spin[k].cross(&self.s.spin[k].cross(&r))
    }

    /// Angular velocity of a segment, rad/s.
    #[must_use]
    pub fn angular_velocity(&self, segment: Segment) -> Vector3<f64> {
        self.s.spin[segment.index()]
    }

    /// Angular acceleration of a segment, rad/s².
    #[must_use]
    pub fn angular_acceleration(&self, segment: Segment) -> Vector3<f64> {
        self.s.spin_rate[segment.index()]
    }
}
