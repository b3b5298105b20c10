//! The mass matrix: composite rigid bodies.
//!
//! Everything that hangs on a coordinate moves as one rigid body when only that coordinate moves.
//! A unit rate about axis `a` gives that body the momentum `a × h` and, about its segment's origin,
//! the angular momentum `I a` (`h` its first moment, `I` its inertia about that origin); an entry of
//! the matrix is that momentum seen by a coordinate nearer to the pelvis.

use nalgebra::Matrix3;

use super::kinematics::Pose;
use super::topology::{ANGLES_FROM, PARENT, SEGMENTS, TREE_COORDINATES, TURNS};
use crate::state::V3;

/// The symmetric mass matrix, row by row: kg, kg m and kg m².
pub type MassMatrix = [[f64; TREE_COORDINATES]; TREE_COORDINATES];

/// `I` about a point displaced by `−r` from where it was taken, for a body of this mass and first
/// moment about the old point.
#[inline(always)]
fn moved(inertia: &Matrix3<f64>, mass: f64, first: V3, r: V3) -> Matrix3<f64> {
    let both = first + r * mass;
    let cross = first * r.transpose();
    inertia + Matrix3::identity() * (first.dot(&r) + both.dot(&r))
        - cross
        - cross.transpose()
        - r * r.transpose() * mass
}

impl Pose<'_> {
    /// Writes the mass matrix of this pose.
    pub fn mass_matrix(&self, matrix: &mut MassMatrix) {
        let s = self.s;
        let mut mass = [0.0; SEGMENTS];
        let mut first = [V3::zeros(); SEGMENTS];
        let mut inertia = [Matrix3::zeros(); SEGMENTS];
        *matrix = [[0.0; TREE_COORDINATES]; TREE_COORDINATES];
        for k in (0..SEGMENTS).rev() {
            let link = &self.tree.links[k];
            let rot = &s.rot[k];
            let c = rot * link.centre;
            mass[k] += link.mass;
            first[k] += c * link.mass;
            inertia[k] += rot * link.inertia * rot.transpose()
                + (Matrix3::identity() * c.norm_squared() - c * c.transpose()) * link.mass;
            let (from, to) = TURNS[k];
            for j in from..to {
                let axis = s.axis[j];
                let momentum = axis.cross(&first[k]);
                let mut turning = inertia[k] * axis;
                for i in from..=j {
                    let entry = s.axis[i].dot(&turning);
                    matrix[i][j] = entry;
                    matrix[j][i] = entry;
                }
                let mut at = k;
                while at > 0 {
                    let p = PARENT[at];
                    turning += (s.pos[at] - s.pos[p]).cross(&momentum);
                    let (from, to) = TURNS[p];
                    for i in from..to {
                        let entry = s.axis[i].dot(&turning);
                        matrix[i][j] = entry;
                        matrix[j][i] = entry;
                    }
                    at = p;
                }
                for i in 0..ANGLES_FROM {
                    matrix[i][j] = momentum[i];
                    matrix[j][i] = momentum[i];
                }
            }
            if k > 0 {
                let p = PARENT[k];
                let r = s.pos[k] - s.pos[p];
                let (m, f) = (mass[k], first[k]);
                mass[p] += m;
                first[p] += f + r * m;
                inertia[p] += moved(&inertia[k], m, f, r);
            }
        }
        for (i, row) in matrix.iter_mut().enumerate().take(ANGLES_FROM) {
            row[i] = mass[0];
        }
    }
}
