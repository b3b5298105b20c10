//! Many looks at once: eight directions, or the best of several trials.

use super::confidence::Confidence;
use super::distribution::{normal, normal_upper};
use super::problem::{Problem, finished, not_negative};
use super::sample::{count, sum};

/// How the confidence of one of several comparisons is raised.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Correction {
    /// 1 − (1 − α)^(1/m): exact where the comparisons are independent, cautious where they go together.
    Sidak,
    /// α/m: holds whatever the comparisons have in common.
    Bonferroni,
}

/// The two-sided normal quantile for each of `comparisons`, so that all together keep the confidence.
/// Source: `sidak1967`.
///
/// # Errors
/// No comparison, or so many that nothing is left for each.
pub fn corrected_z(
    comparisons: usize,
    confidence: Confidence,
    correction: Correction,
) -> Result<f64, Problem> {
    let m = some("comparisons", comparisons)?;
    let all = 1.0 - confidence.in_share();
    let each = match correction {
        Correction::Sidak => -((-all).ln_1p() / m).exp_m1(),
        Correction::Bonferroni => all / m,
    };
    normal_upper(each / 2.0)
}

/// Probability that at least one of several unchanged, independent directions passes its threshold.
///
/// # Errors
/// No comparison.
pub fn chance_of_any(comparisons: usize, confidence: Confidence) -> Result<f64, Problem> {
    let m = some("comparisons", comparisons)?;
    Ok(-(m * confidence.in_share().ln()).exp_m1())
}

/// Expected largest of n independent standard normal values, E = ∫ z n φ(z) Φ(z)^(n−1) dz, over all z,
/// by the trapezoid rule, which is exact to rounding for such integrands.
///
/// # Errors
/// No value, or more than a million.
pub fn expected_largest(values: usize) -> Result<f64, Problem> {
    let n = some("values", values)?;
    if values > 1_000_000 {
        return Err(Problem::OutOfRange {
            what: "values",
            given: values.to_string(),
            accepted: "a number up to a million",
        });
    }
    const STEP: f64 = 1.0 / 32.0;
    // Integrated by parts over both halves: E = ∫₀^∞ (1 − Φ(z)^n − Φ(−z)^n) dz has no cancellation.
    let height = |z: f64| -> Result<f64, Problem> {
        let tails = normal(z)?;
        let missed = -(n * (-tails.upper).ln_1p()).exp_m1();
        Ok(missed - tails.upper.powf(n))
    };
    let mut heights = Vec::new();
    // It is even in z, so the sum over one half converges as fast as over the whole line.
    for i in 0..400_u32 {
        let z = f64::from(i) * STEP;
        heights.push(if i == 0 { 0.5 * height(z)? } else { height(z)? });
    }
    finished("expected largest", STEP * sum(heights.into_iter()))
}

/// How much the best of n trials is expected to lie above the mean of all trials: E[max of n] × SD
/// within a session. So a best of three and a best of six are never compared.
///
/// Assumes trials that are independent and normal; practice and fatigue are not in it.
///
/// # Errors
/// As [`expected_largest`], or a standard deviation below nought.
pub fn bias_of_best(trials: usize, sd_within: f64) -> Result<f64, Problem> {
    Ok(expected_largest(trials)? * not_negative("standard deviation between trials", sd_within)?)
}

fn some(what: &'static str, n: usize) -> Result<f64, Problem> {
    if n == 0 { Err(Problem::TooFew { what, given: 0, least: 1 }) } else { Ok(count(n)) }
}
