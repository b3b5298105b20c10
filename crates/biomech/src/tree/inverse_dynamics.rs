//! The generalized forces a motion needs: recursive Newton–Euler.
//!
//! Outward: the motion of every segment (`kinematics.rs`). Inward, for each segment with mass `m`,
//! centre `c` from its origin and inertia `I` about the centre: force `f = m (c̈ − g)` and moment
//! about the origin `n = I ω̇ + ω × I ω + c × f`, less what the outside supplies, plus what the
//! segments beyond need; a coordinate with axis `a` bears `a · n`.

use nalgebra::Vector3;

use super::kinematics::{Moving, Scratch};
use super::model::Tree;
use super::topology::{ANGLES_FROM, Coordinates, PARENT, SEGMENTS, Segment, TREE_COORDINATES, TURNS};
use crate::state::V3;

/// A force from outside on a segment, such as the floor under a foot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wrench {
    /// What it acts on.
    pub segment: Segment,
    /// Where it acts, floor frame, metres.
    pub point: Vector3<f64>,
    /// Newtons, floor frame.
    pub force: Vector3<f64>,
    /// A free moment besides, N·m, floor frame.
    pub couple: Vector3<f64>,
}

/// What a motion needs at every coordinate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forces {
    /// Newtons for the three translations, N·m for the angles: internal moments, positive in the
    /// sense of the coordinate. The first six are what the outside must still supply at the pelvis:
    /// all of it where contacts were left out, zero where they were complete and right.
    pub generalized: Coordinates,
    /// The force still missing, floor frame.
    pub force: Vector3<f64>,
    moment: V3,
    at: V3,
}

impl Forces {
    /// The moment still missing about a point of the floor frame, N·m. With [`Self::force`] this is
    /// the wrench that contacts left out of the call must supply together.
    #[must_use]
    pub fn moment_about(&self, point: Vector3<f64>) -> Vector3<f64> {
        self.moment + (self.at - point).cross(&self.force)
    }
}

impl Moving<'_> {
    /// The generalized forces that make this motion under gravity with these forces from outside.
    ///
    /// Says nothing about muscles that pull against each other, and takes forces from outside as given.
    #[must_use]
    pub fn inverse_dynamics(&self, outside: &[Wrench]) -> Forces {
        let (tree, s) = (self.tree, self.s);
        let mut force = [V3::zeros(); SEGMENTS];
        let mut moment = [V3::zeros(); SEGMENTS];
        for wrench in outside {
            let k = wrench.segment.index();
            force[k] -= wrench.force;
            moment[k] -= (wrench.point - s.pos[k]).cross(&wrench.force) + wrench.couple;
        }
        let mut generalized = [0.0; TREE_COORDINATES];
        for k in (0..SEGMENTS).rev() {
            let link = &tree.links[k];
            let (rot, spin, spin_rate) = (&s.rot[k], s.spin[k], s.spin_rate[k]);
            let c = rot * link.centre;
            let needed =
                (s.acc[k] + spin_rate.cross(&c) + spin.cross(&spin.cross(&c)) - tree.gravity) * link.mass;
            let (local_spin, local_rate) = (rot.tr_mul(&spin), rot.tr_mul(&spin_rate));
            let turning = link.inertia * local_rate + local_spin.cross(&(link.inertia * local_spin));
            let f = force[k] + needed;
            let n = moment[k] + rot * turning + c.cross(&needed);
            let (from, to) = TURNS[k];
            for i in from..to {
                generalized[i] = s.axis[i].dot(&n);
            }
            if k == 0 {
                generalized[..ANGLES_FROM].copy_from_slice(f.as_slice());
            } else {
                let p = PARENT[k];
                force[p] += f;
                moment[p] += n + (s.pos[k] - s.pos[p]).cross(&f);
            }
            force[k] = f;
            moment[k] = n;
        }
        Forces { generalized, force: force[0], moment: moment[0], at: s.pos[0] }
    }
}

impl Tree {
    /// The forces of gravity and of motion at constant coordinate rates: `τ = M(q) q̈ + bias`.
    pub fn bias_forces(&self, q: &Coordinates, v: &Coordinates, scratch: &mut Scratch) -> Coordinates {
        self.moving(q, v, &[0.0; TREE_COORDINATES], scratch).inverse_dynamics(&[]).generalized
    }
}
