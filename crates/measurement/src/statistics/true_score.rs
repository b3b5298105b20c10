//! The true score behind an observed one, and what regression to the mean alone will do.

use serde::Serialize;

use super::confidence::Confidence;
use super::interval::Interval;
use super::problem::{Problem, number, out_of_range, positive};
use super::sample::count;

/// The group a person belongs to, as the test sees it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Group {
    /// Mean of observed scores, in the unit of the test.
    pub mean: f64,
    /// Standard deviation of observed scores of single measurements.
    pub sd: f64,
    /// Reliability of a single measurement in this group, 0 to 1.
    pub reliability: f64,
}

/// The most credible true score and what a retest would show.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct TrueScore {
    /// mean + w (observed − mean), in the unit of the test.
    pub estimate: f64,
    /// w: the reliability of what was observed.
    pub weight: f64,
    /// Standard deviation of the true score about the estimate.
    pub standard_error: f64,
    /// estimate ± z × standard error.
    pub interval: Interval,
    /// At which confidence.
    pub confidence: Confidence,
    /// Standard deviation of another single measurement about the estimate.
    pub retest_error: f64,
}

/// Kelley's estimate from the mean of k measurements (k = 1: a single one).
///
/// T̂ = M + w (X − M), w = k r/(1 + (k − 1) r), SE = SD √(r (1 − w)); a single retest adds its own
/// error, SD √(r(1 − w) + 1 − r), for k = 1 the textbook's SD √(1 − r²). Source: `kelley1947`.
/// Assumes normal scores and that the group is the person's own.
///
/// # Errors
/// A value that is no number, a standard deviation not above nought, a reliability outside 0 to 1,
/// or no measurement.
pub fn true_score(
    observed: f64,
    measurements: usize,
    group: Group,
    confidence: Confidence,
) -> Result<TrueScore, Problem> {
    let x = number("observed score", observed)?;
    let (mean, sd, r) = checked(group)?;
    let weight = spearman_brown(r, measurements)?;
    let estimate = mean + weight * (x - mean);
    let variance = r * (1.0 - weight);
    let standard_error = sd * variance.sqrt();
    let half = confidence.z() * standard_error;
    Ok(TrueScore {
        estimate,
        weight,
        standard_error,
        interval: Interval { lower: estimate - half, upper: estimate + half },
        confidence,
        retest_error: sd * (variance + 1.0 - r).sqrt(),
    })
}

/// Reliability of the mean of k measurements, k r/(1 + (k − 1) r).
///
/// # Errors
/// A reliability outside 0 to 1, or no measurement.
pub fn spearman_brown(reliability: f64, measurements: usize) -> Result<f64, Problem> {
    let r = share(reliability)?;
    if measurements == 0 {
        return Err(Problem::TooFew { what: "measurements", given: 0, least: 1 });
    }
    let k = count(measurements);
    Ok(k * r / (1.0 + (k - 1.0) * r))
}

/// What a single retest is expected to gain from regression to the mean alone: (1 − r)(M − X). Those
/// who were chosen because they did badly will do better untreated, by this much.
///
/// # Errors
/// As [`true_score`].
pub fn drift(observed: f64, group: Group) -> Result<f64, Problem> {
    let x = number("observed score", observed)?;
    let (mean, _, r) = checked(group)?;
    Ok((1.0 - r) * (mean - x))
}

fn checked(group: Group) -> Result<(f64, f64, f64), Problem> {
    let mean = number("mean of the group", group.mean)?;
    Ok((mean, positive("standard deviation of the group", group.sd)?, share(group.reliability)?))
}

fn share(reliability: f64) -> Result<f64, Problem> {
    if (0.0..=1.0).contains(&reliability) {
        Ok(reliability)
    } else {
        Err(out_of_range(
            "reliability",
            reliability,
            "a number from 0 to 1 (a negative correlation measures nothing)",
        ))
    }
}
