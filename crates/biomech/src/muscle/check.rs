//! What the muscle model answers to the examples it can be checked by, as summaries.
//!
//! For a report that compares; single units stay inside this crate.

use std::collections::BTreeMap;

use nalgebra::Vector3;
use serde::Deserialize;

use super::paths::paths;
use super::sharing::Power;
use super::straight::{Lines, stance_forces};
use super::units::{DOF, UNITS, units};

/// How far the length polynomials are from the paths they were fitted to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArmErrors {
    /// Units times postures that were compared.
    pub vectors: usize,
    /// Mean difference of a moment arm, millimetres.
    pub mean_mm: f64,
    /// Largest difference of a moment arm, millimetres.
    pub worst_mm: f64,
    /// Largest difference of a length, millimetres.
    pub worst_length_mm: f64,
}

#[derive(Deserialize)]
struct Vectors {
    row: Vec<Vector>,
}

#[derive(Deserialize)]
struct Vector {
    angles: [f64; DOF],
    unit: BTreeMap<String, Vec<f64>>,
}

/// The polynomials against `reference/muscle_arm_vectors.toml`.
///
/// # Panics
/// When the built-in table does not parse or lacks a unit, which a test rules out.
#[must_use]
pub fn arm_errors() -> ArmErrors {
    let vectors: Vectors = toml::from_str(include_str!("../../../../reference/muscle_arm_vectors.toml"))
        .unwrap_or_else(|e| panic!("reference/muscle_arm_vectors.toml: {e}"));
    let mut errors = ArmErrors { vectors: 0, mean_mm: 0.0, worst_mm: 0.0, worst_length_mm: 0.0 };
    let (mut sum, mut count) = (0.0, 0.0);
    for vector in &vectors.row {
        let (held, _) = paths().hold(&vector.angles.map(f64::to_radians));
        let mut arms = [[0.0; UNITS]; DOF];
        paths().arms(&held, &mut arms);
        let lengths = paths().lengths(&held);
        for (u, unit) in units().iter().enumerate() {
            let want = &vector.unit[&unit.name];
            errors.vectors += 1;
            errors.worst_length_mm = errors.worst_length_mm.max((lengths[u] - want[0]).abs() * 1000.0);
            let crossed = (0..DOF).filter(|k| paths().crosses(u, *k));
            for (k, mm) in crossed.zip(&want[1..]) {
                let error = (arms[k][u] * 1000.0 - mm).abs();
                errors.worst_mm = errors.worst_mm.max(error);
                sum += error;
                count += 1.0;
            }
        }
    }
    errors.mean_mm = sum / count;
    errors
}

/// Hip contact force of a one-leg stance on the straight lines of Dostal & Andrews 1981.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinesStance {
    /// Force of the thigh on the pelvis with least squared shares, N: forward, up, to the right of a
    /// right hip.
    pub squares: [f64; 3],
    /// The same with least cubed shares.
    pub cubes: [f64; 3],
    /// Largest difference of a single line's force from the published solution, N, squares.
    pub worst_line_force: f64,
}

/// The straight lines, at neutral, hold `supported` newtons at `lever` metres inside the hip centre
/// in the frontal plane; the other two hip moments are zero.
#[must_use]
pub fn stance_on_lines(supported: f64, lever: f64) -> LinesStance {
    let moment = [0.0, -supported * lever, 0.0];
    let solve = |power| {
        let net = Vector3::new(0.0, supported, 0.0);
        Lines::new([0.0; 3], 1.0).press(&moment, net, &[0.0; 3], power)
    };
    let (squares, _, share) = solve(Power::Squares);
    let (cubes, ..) = solve(Power::Cubes);
    let worst_line_force = stance_forces()
        .zip(share)
        .map(|((strength, want), a)| (a * strength - want).abs())
        .fold(0.0, f64::max);
    LinesStance { squares: squares.into(), cubes: cubes.into(), worst_line_force }
}

/// Half the distance between the hip centres of the body the lines were measured on, metres.
#[must_use]
pub fn lines_half_hip_spacing() -> f64 {
    1.0 / Lines::size(1.0)
}
