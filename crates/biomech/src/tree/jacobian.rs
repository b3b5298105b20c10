//! How points and segments move with each coordinate.

use nalgebra::Vector3;

use super::kinematics::Pose;
use super::topology::{ANGLES_FROM, PARENT, SEGMENTS, Segment, TREE_COORDINATES, TURNS};
use crate::state::V3;

impl Pose<'_> {
    /// Calls back with every coordinate that moves a segment, pelvis last: coordinate, axis, a
    /// point on the axis.
    fn movers(&self, segment: Segment, mut each: impl FnMut(usize, V3, V3)) {
        let mut k = segment.index();
        loop {
            let (from, to) = TURNS[k];
            for i in from..to {
                each(i, self.s.axis[i], self.s.pos[k]);
            }
            if k == 0 {
                break;
            }
            k = PARENT[k];
        }
    }

    /// Derivative of a point of a segment (given in the floor frame) with respect to every
    /// coordinate: `a × (p − o)` for an angle about axis `a` through `o`; zero for coordinates that
    /// do not move it.
    pub fn point_jacobian(
        &self,
        segment: Segment,
        point: Vector3<f64>,
        columns: &mut [Vector3<f64>; TREE_COORDINATES],
    ) {
        *columns = [V3::zeros(); TREE_COORDINATES];
        columns[..ANGLES_FROM].copy_from_slice(&self.s.axis[..ANGLES_FROM]);
        self.movers(segment, |i, axis, at| columns[i] = axis.cross(&(point - at)));
    }

    /// Derivative of a segment's angular velocity with respect to every coordinate rate.
    pub fn turning_jacobian(&self, segment: Segment, columns: &mut [Vector3<f64>; TREE_COORDINATES]) {
        *columns = [V3::zeros(); TREE_COORDINATES];
        self.movers(segment, |i, axis, _| columns[i] = axis);
    }

    /// Derivative of the whole body's centre of mass with respect to every coordinate.
    pub fn centre_of_mass_jacobian(&self, columns: &mut [Vector3<f64>; TREE_COORDINATES]) {
        let whole = self.tree.mass();
        // Mass and first moment about the segment's origin of everything that hangs on it.
        let mut mass = [0.0; SEGMENTS];
        let mut first = [V3::zeros(); SEGMENTS];
        columns[..ANGLES_FROM].copy_from_slice(&self.s.axis[..ANGLES_FROM]);
        for k in (0..SEGMENTS).rev() {
            let link = &self.tree.links[k];
            mass[k] += link.mass;
            first[k] += self.s.rot[k] * link.centre * link.mass;
            let (from, to) = TURNS[k];
            for i in from..to {
                columns[i] = self.s.axis[i].cross(&first[k]) / whole;
            }
            if k > 0 {
                let p = PARENT[k];
                let (m, f) = (mass[k], first[k]);
                mass[p] += m;
                first[p] += f + (self.s.pos[k] - self.s.pos[p]) * m;
            }
        }
    }
}
