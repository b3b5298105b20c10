//! Masses put together: common centre, inertia about any axis, moment of weights about a joint.

use nalgebra::{Matrix3, Vector3};
use quantity::GRAVITY;

use crate::tables::limb_fractions;

/// A rigid part, in any one frame. A negative mass takes a part away.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Kilograms.
    pub mass: f64,
    /// Centre of mass, metres.
    pub centre: Vector3<f64>,
    /// Inertia about its own centre, kg m².
    pub inertia: Matrix3<f64>,
}

impl Part {
    /// A mass at a point.
    #[must_use]
    pub fn point(mass: f64, centre: Vector3<f64>) -> Self {
        Self { mass, centre, inertia: Matrix3::zeros() }
    }

    /// A limb segment between two joints after the fractions of Winter 2009, Table 4.1: centre at
    /// `cm` from `from` toward `to`, inertia `m (r L)²` about every axis across it.
    ///
    /// Returns `None` for a segment the table does not hold.
    #[must_use]
    pub fn limb(name: &str, body_mass: f64, from: Vector3<f64>, to: Vector3<f64>) -> Option<Self> {
        let row = limb_fractions().iter().find(|row| row.segment == name)?;
        let mass = row.mass * body_mass;
        let line = to - from;
        let across = mass * (row.gyration * line.norm()).powi(2);
        let along = line.normalize();
        let inertia = (Matrix3::identity() - along * along.transpose()) * across;
        Some(Self { mass, centre: from + line * row.cm, inertia })
    }

    /// Inertia about another point (parallel-axis theorem).
    #[must_use]
    pub fn inertia_about(&self, point: Vector3<f64>) -> Matrix3<f64> {
        let r = self.centre - point;
        self.inertia + (Matrix3::identity() * r.norm_squared() - r * r.transpose()) * self.mass
    }
}

/// Parts as one. Parts whose masses sum to zero have no centre and give `None`.
#[must_use]
pub fn together(parts: &[Part]) -> Option<Part> {
    let mass: f64 = parts.iter().map(|p| p.mass).sum();
    if mass == 0.0 {
        return None;
    }
    let centre = parts.iter().map(|p| p.centre * p.mass).sum::<Vector3<f64>>() / mass;
    let inertia = parts.iter().map(|p| p.inertia_about(centre)).sum();
    Some(Part { mass, centre, inertia })
}

/// Internal moment (N·m) that holds these parts still against gravity (−Y) at a joint in `joint`.
#[must_use]
pub fn holding_moment(parts: &[Part], joint: Vector3<f64>) -> Vector3<f64> {
    -parts
        .iter()
        .map(|p| (p.centre - joint).cross(&Vector3::new(0.0, -p.mass * GRAVITY, 0.0)))
        .sum::<Vector3<f64>>()
}
