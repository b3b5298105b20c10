//! Positions of every segment for one set of joint coordinates, with exact derivatives.
//!
//! The tree has 23 coordinates: 3 translations of the pelvis (its origin is the middle between
//! the hip centres), its yaw, tilt and list, 3 between pelvis and trunk, 7 in each leg. Every
//! rotation is about one axis `a_i` through one point `o_i`, so a point `p` further out moves
//! as `a_i × (p − o_i)` and a direction `v` as `a_i × v`. Nothing here knows forces.

use anatomy::Side;
use nalgebra::{Matrix3, Rotation3, Unit, Vector3};

use crate::body::Body;

/// A vector in the floor frame: forward, up, right.
pub(crate) type V3 = Vector3<f64>;

/// Number of coordinates.
pub(crate) const NQ: usize = 23;
/// First trunk coordinate.
pub(crate) const TRUNK: usize = 6;
/// Yaw of the pelvis, clockwise seen from above.
pub(crate) const YAW: usize = 3;
/// Backward tilt of the pelvis is positive (rotation about Z).
pub(crate) const TILT: usize = 4;
/// List of the pelvis (rotation about X).
pub(crate) const LIST: usize = 5;

/// First coordinate of a leg.
pub(crate) const fn leg(side: Side) -> usize {
    match side {
        Side::Left => 9,
        Side::Right => 16,
    }
}

/// A rigid segment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Seg {
    Pelvis,
    Trunk,
    Thigh(Side),
    Shank(Side),
    Foot(Side),
}

impl Seg {
    /// The last coordinate that moves this segment.
    pub(crate) const fn last(self) -> usize {
        match self {
            Self::Pelvis => 5,
            Self::Trunk => 8,
            Self::Thigh(side) => leg(side) + 2,
            Self::Shank(side) => leg(side) + 4,
            Self::Foot(side) => leg(side) + 6,
        }
    }

    pub(crate) const ALL: [Self; 8] = [
        Self::Pelvis,
        Self::Trunk,
        Self::Thigh(Side::Left),
        Self::Shank(Side::Left),
        Self::Foot(Side::Left),
        Self::Thigh(Side::Right),
        Self::Shank(Side::Right),
        Self::Foot(Side::Right),
    ];

    pub(crate) const fn index(self) -> usize {
        match self {
            Self::Pelvis => 0,
            Self::Trunk => 1,
            Self::Thigh(Side::Left) => 2,
            Self::Shank(Side::Left) => 3,
            Self::Foot(Side::Left) => 4,
            Self::Thigh(Side::Right) => 5,
            Self::Shank(Side::Right) => 6,
            Self::Foot(Side::Right) => 7,
        }
    }
}

/// The first coordinate of the chain that coordinate `last` belongs to.
const fn chain_start(last: usize) -> usize {
    if last < TRUNK {
        last + 1
    } else if last < 9 {
        TRUNK
    } else if last < 16 {
        9
    } else {
        16
    }
}

/// The rotations that move whatever hangs on coordinate `last`, base first.
pub(crate) fn movers(last: usize) -> impl Iterator<Item = usize> + Clone {
    let base_end = if last < TRUNK { last + 1 } else { TRUNK };
    (YAW..base_end).chain(chain_start(last)..=last)
}

/// Whether coordinate `i` moves coordinate `j`'s axis (strictly closer to the base on one chain).
pub(crate) fn moves(i: usize, j: usize) -> bool {
    i < j && (i < TRUNK || (chain_start(j) <= i))
}

/// Axes, joint centres and segment frames for one `q`.
#[derive(Clone)]
pub(crate) struct State {
    /// Unit axes in the floor frame; translations hold the coordinate directions.
    pub(crate) axis: [V3; NQ],
    /// A point on each axis.
    pub(crate) origin: [V3; NQ],
    rot: [Matrix3<f64>; 8],
    pos: [V3; 8],
}

fn turn(local: V3, angle: f64) -> Matrix3<f64> {
    *Rotation3::from_axis_angle(&Unit::new_unchecked(local), angle).matrix()
}

impl State {
    pub(crate) fn new(body: &Body, q: &[f64]) -> Self {
        let (x, y, z) = (V3::x(), V3::y(), V3::z());
        let mut axis = [V3::zeros(); NQ];
        let mut origin = [V3::zeros(); NQ];
        let mut rot = [Matrix3::identity(); 8];
        let mut pos = [V3::zeros(); 8];
        axis[0] = x;
        axis[1] = y;
        axis[2] = z;
        let pelvis = V3::new(q[0], q[1], q[2]);
        let mut chain = |r: &mut Matrix3<f64>, at: V3, first: usize, locals: &[V3]| {
            for (k, local) in locals.iter().enumerate() {
                axis[first + k] = *r * local;
                origin[first + k] = at;
                *r *= turn(*local, q[first + k]);
            }
        };
        let mut r = Matrix3::identity();
        chain(&mut r, pelvis, YAW, &[-y, z, x]);
        rot[0] = r;
        pos[0] = pelvis;

        let lumbar = pelvis + r * body.lumbar_from_mid_hip;
        let mut t = r;
        chain(&mut t, lumbar, TRUNK, &[-z, x, -y]);
        rot[1] = t;
        pos[1] = lumbar;

        for side in Side::BOTH {
            let s = side.sign();
            let first = leg(side);
            let hip = pelvis + r * V3::new(0.0, 0.0, s * body.half_hip_spacing);
            let mut m = r;
            chain(&mut m, hip, first, &[z, x * s, y * s]);
            let base = Seg::Thigh(side).index();
            rot[base] = m;
            pos[base] = hip;
            let knee = hip - m * y * *body.thigh.get(side);
            chain(&mut m, knee, first + 3, &[-z, y * s]);
            rot[base + 1] = m;
            pos[base + 1] = knee;
            let ankle = knee - m * y * *body.shank.get(side);
            chain(&mut m, ankle, first + 5, &[z, x * s]);
            rot[base + 2] = m;
            pos[base + 2] = ankle;
        }
        Self { axis, origin, rot, pos }
    }

    /// Where a point fixed in a segment is.
    pub(crate) fn point(&self, seg: Seg, local: V3) -> V3 {
        self.pos[seg.index()] + self.rot[seg.index()] * local
    }

    /// How a direction fixed in a segment points.
    pub(crate) fn dir(&self, seg: Seg, local: V3) -> V3 {
        self.rot[seg.index()] * local
    }

    /// Derivative of a point that hangs on coordinate `last`: calls back with each column.
    pub(crate) fn d_point(&self, last: usize, p: V3, mut each: impl FnMut(usize, V3)) {
        for i in 0..3 {
            each(i, self.axis[i]);
        }
        for i in movers(last) {
            each(i, self.axis[i].cross(&(p - self.origin[i])));
        }
    }

    /// Derivative of a direction that hangs on coordinate `last`.
    pub(crate) fn d_dir(&self, last: usize, v: V3, mut each: impl FnMut(usize, V3)) {
        for i in movers(last) {
            each(i, self.axis[i].cross(&v));
        }
    }
}
