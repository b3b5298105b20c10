//! The ellipse and the hull around a cloud of points.

use std::f64::consts::PI;

use serde::Serialize;

use crate::statistics::distribution::f_upper;
use crate::statistics::{Confidence, Problem};

/// Where a point of the same sway is to be expected at the stated confidence, in the unit of the points.
///
/// Prediction ellipse of Schubert & Kirchner (`schubert_kirchner2014`): π χ² √(λ₁λ₂), with the
/// eigenvalues of the covariance over n − 1. Not the ellipse of the mean, which shrinks as the
/// recording goes on. Assumes points that spread normally; neighbours in time hang together, which
/// makes the area of a short recording too small.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Ellipse {
    /// Its area, in the squared unit.
    pub area: f64,
    /// The same for few independent points: π · 2(n + 1)(n − 1)/(n(n − 2)) F √(λ₁λ₂).
    pub area_exact: f64,
    /// Longer and shorter semi-axis of the first.
    pub semi_axes: [f64; 2],
    /// Longer axis, in degrees from medio-lateral toward antero-posterior, above −90 up to 90.
    pub angle_deg: f64,
    /// At which confidence.
    pub confidence: Confidence,
}

/// The ellipse of a covariance [s_mm, s_ma, s_aa] (m medio-lateral, a antero-posterior) of n points.
pub(super) fn ellipse(covariance: [f64; 3], n: f64, confidence: Confidence) -> Result<Ellipse, Problem> {
    let [across, both, along] = covariance;
    let tail = 1.0 - confidence.in_share();
    // χ² with two degrees of freedom is −2 ln of its upper tail.
    let chi_square = -2.0 * tail.ln();
    let f = f_upper(tail, 2.0, n - 2.0)?;
    let middle = 0.5 * (across + along);
    let apart = (0.5 * (across - along)).hypot(both);
    let larger = middle + apart;
    let determinant = (across * along - both * both).max(0.0);
    // The smaller eigenvalue from the determinant, which loses less than a difference.
    let smaller = if larger > 0.0 { determinant / larger } else { 0.0 };
    let root = determinant.sqrt();
    Ok(Ellipse {
        area: PI * chi_square * root,
        area_exact: PI * 2.0 * (n + 1.0) * (n - 1.0) / (n * (n - 2.0)) * f * root,
        semi_axes: [(chi_square * larger).sqrt(), (chi_square * smaller).sqrt()],
        angle_deg: (0.5 * (2.0 * both).atan2(across - along)).to_degrees(),
        confidence,
    })
}

/// Area of the smallest convex outline of the points; nought where they lie on a line. One far point
/// makes it large, and it grows with the length of a recording.
#[must_use]
pub fn hull_area(x: &[f64], y: &[f64]) -> f64 {
    let (Some(&x0), Some(&y0)) = (x.first(), y.first()) else { return 0.0 };
    let mut points: Vec<(f64, f64)> = x.iter().zip(y).map(|(x, y)| (x - x0, y - y0)).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let turn =
        |a: (f64, f64), b: (f64, f64), c: (f64, f64)| (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0);
    let chain = |points: &mut dyn Iterator<Item = (f64, f64)>| {
        let mut chain: Vec<(f64, f64)> = Vec::new();
        for p in points {
            while chain.len() > 1 && turn(chain[chain.len() - 2], chain[chain.len() - 1], p) <= 0.0 {
                chain.pop();
            }
            chain.push(p);
        }
        chain
    };
    let below = chain(&mut points.iter().copied());
    let above = chain(&mut points.iter().rev().copied());
    let outline: Vec<(f64, f64)> =
        below[..below.len() - 1].iter().chain(&above[..above.len() - 1]).copied().collect();
    let twice: f64 = (0..outline.len())
        .map(|i| (outline[i], outline[(i + 1) % outline.len()]))
        .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
        .sum();
    0.5 * twice.max(0.0)
}
