//! A ratio of two limbs with its error.

use serde::Serialize;

use super::confidence::Confidence;
use super::interval::Interval;
use super::problem::{Problem, finished, not_negative, number, out_of_range};

/// A result with its standard error, both in one unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// The result.
    pub value: f64,
    /// One standard deviation of its error.
    pub error: f64,
}

/// A ratio and its intervals, as a share of one (times 100 for a limb symmetry index).
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Ratio {
    /// First over second.
    pub ratio: f64,
    /// Its standard error by the delta method.
    pub standard_error: f64,
    /// ratio ± z SE: symmetric, too sure of itself where the second limb's error is large.
    pub delta: Interval,
    /// By Fieller's theorem: to be preferred.
    pub fieller: Fieller,
    /// At which confidence.
    pub confidence: Confidence,
}

/// All ratios that the two results do not contradict.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fieller {
    /// From lower to upper.
    Bounded(Interval),
    /// All but what lies strictly between these two: the second result might be nought, the first not.
    AllBut(Interval),
    /// Every ratio: both might be nought. Nothing can be said of symmetry.
    Any,
}

/// First over second with independent normal errors.
///
/// Delta: SE = |ratio| √((s₁/x₁)² + (s₂/x₂)²). Fieller (`fieller1954`): the ratios θ with
/// (x₁ − θ x₂)² ≤ z² (s₁² + θ² s₂²). Errors of one day that both limbs share are not in it.
///
/// # Errors
/// A value that is no number, an error below nought, or a second result of nought.
pub fn ratio(first: Measured, second: Measured, confidence: Confidence) -> Result<Ratio, Problem> {
    let x = number("first result", first.value)?;
    let y = number("second result", second.value)?;
    let sx = not_negative("error of the first result", first.error)?;
    let sy = not_negative("error of the second result", second.error)?;
    if y == 0.0 {
        return Err(out_of_range("second result", y, "a number other than 0; it is divided by"));
    }
    let ratio = finished("ratio", x / y)?;
    let standard_error = finished("standard error of the ratio", (sx / y).hypot(ratio * (sy / y)))?;
    let half = confidence.z() * standard_error;
    Ok(Ratio {
        ratio,
        standard_error,
        delta: Interval { lower: ratio - half, upper: ratio + half },
        fieller: fieller(ratio, sx / y.abs(), sy / y.abs(), confidence.z())?,
        confidence,
    })
}

/// Roots of θ²(1 − g) − 2θr + r² − h = 0 with g = (z s₂/y)², h = (z s₁/y)².
fn fieller(r: f64, sx: f64, sy: f64, z: f64) -> Result<Fieller, Problem> {
    let g = (z * sy).powi(2);
    let h = (z * sx).powi(2);
    // (discriminant) r² − (1 − g)(r² − h), without the cancellation of r².
    let inside = g * (r * r) + h * (1.0 - g);
    if inside < 0.0 || (g >= 1.0 && inside == 0.0) {
        return Ok(Fieller::Any);
    }
    let root = inside.sqrt();
    if g == 1.0 {
        // One root has gone to infinity and a half-line is left, which no measured value meets exactly.
        return Ok(Fieller::Any);
    }
    let one = finished("Fieller's limit", (r - root) / (1.0 - g))?;
    let other = finished("Fieller's limit", (r + root) / (1.0 - g))?;
    let interval = Interval { lower: one.min(other), upper: one.max(other) };
    Ok(if g < 1.0 { Fieller::Bounded(interval) } else { Fieller::AllBut(interval) })
}
