//! Two methods or raters beside each other: bias, limits of agreement, repeatability, typical error.

use serde::Serialize;

use super::confidence::Confidence;
use super::distribution::{student_t, student_t_upper};
use super::error_of_measurement::sd_interval;
use super::interval::Interval;
use super::problem::{Problem, finished, out_of_range};
use super::sample::{Moments, check_pairs, count, differences, sum};

/// A mean with its interval by Student's t.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Mean {
    /// The estimate, in the unit of the values.
    pub mean: f64,
    /// Standard deviation of the values, n − 1.
    pub sd: f64,
    /// How many values.
    pub n: usize,
    /// mean ± t s/√n.
    pub interval: Interval,
    /// At which confidence.
    pub confidence: Confidence,
}

/// mean ± t(n − 1) s/√n. Assumes independent values; repeated trials of one day are not.
///
/// # Errors
/// Fewer than two values, or values that do not differ.
pub fn mean_interval(values: &[f64], confidence: Confidence) -> Result<Mean, Problem> {
    let m = Moments::varying("values", values, "no interval of their mean can be given")?;
    of_moments(m, confidence)
}

fn of_moments(m: Moments, confidence: Confidence) -> Result<Mean, Problem> {
    let half = student_t_upper(confidence.each_tail(), m.degrees_of_freedom())? * m.sd / count(m.n).sqrt();
    let interval = Interval { lower: m.mean - half, upper: finished("interval", m.mean + half)? };
    Ok(Mean { mean: m.mean, sd: m.sd, n: m.n, interval, confidence })
}

/// Bias: mean of first less second, with its t interval. Swapping the two turns its sign.
///
/// Source: `bland_altman1986`.
///
/// # Errors
/// Lists of different length, fewer than two pairs, a value that is no number, or differences that
/// are all alike.
pub fn bias(first: &[f64], second: &[f64], confidence: Confidence) -> Result<Mean, Problem> {
    of_moments(varying_differences(first, second)?, confidence)
}

/// How many standard deviations the limits of agreement lie from the bias.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Width {
    /// The normal quantile of a confidence: 1.959964 at 95 %.
    Share(Confidence),
    /// Two, as in the paper's figures (95.4 % of a normal distribution).
    Two,
    /// 1.96, as most papers since.
    OneNinetySix,
}

impl Width {
    /// The number of standard deviations.
    #[must_use]
    pub fn deviations(self) -> f64 {
        match self {
            Self::Share(confidence) => confidence.z(),
            Self::Two => 2.0,
            Self::OneNinetySix => 1.96,
        }
    }
}

/// The standard error of a limit of agreement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LimitError {
    /// s √(3/n), as in the paper.
    ThreeOverN,
    /// s √(1/n + w²/(2(n − 1))), w the width: what the 3 stands for, written out. The exact interval
    /// by the non-central t distribution (Carkeet 2015) is not computed here.
    WrittenOut,
}

/// Limits of agreement with their intervals, in the unit of the values.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LimitsOfAgreement {
    /// First less second.
    pub bias: Mean,
    /// bias ± width × SD.
    pub limits: Interval,
    /// Interval of the lower limit.
    pub of_lower: Interval,
    /// Interval of the upper limit.
    pub of_upper: Interval,
    /// Standard error of either limit.
    pub standard_error: f64,
    /// Standard deviations from bias to limit.
    pub width: Width,
    /// Which standard error.
    pub limit_error: LimitError,
}

/// Between which values nearly all differences of two readings lie. Whether that is good enough is
/// a clinical question, not a statistical one.
///
/// Source: `bland_altman1986`. Assumes differences that are normal and no larger in large values
/// (look at the plot); one pair a person.
///
/// # Errors
/// As [`bias`].
pub fn limits_of_agreement(
    first: &[f64],
    second: &[f64],
    width: Width,
    limit_error: LimitError,
    confidence: Confidence,
) -> Result<LimitsOfAgreement, Problem> {
    let bias = bias(first, second, confidence)?;
    let (n, w) = (count(bias.n), width.deviations());
    let standard_error = bias.sd
        * match limit_error {
            LimitError::ThreeOverN => (3.0 / n).sqrt(),
            LimitError::WrittenOut => (1.0 / n + w * w / (2.0 * (n - 1.0))).sqrt(),
        };
    let half = student_t_upper(confidence.each_tail(), n - 1.0)? * standard_error;
    let limits = Interval { lower: bias.mean - w * bias.sd, upper: bias.mean + w * bias.sd };
    let around = |limit: f64| Interval { lower: limit - half, upper: limit + half };
    Ok(LimitsOfAgreement {
        bias,
        limits,
        of_lower: around(limits.lower),
        of_upper: around(limits.upper),
        standard_error: finished("standard error of a limit", standard_error)?,
        width,
        limit_error,
    })
}

/// Repeatability: width × √(Σd²/n), which most differences of two readings by one method stay
/// within. A bias counts as error. Source: `bland_altman1986` (width two).
///
/// # Errors
/// As [`bias`], but a constant difference is accepted unless it is nought.
pub fn repeatability(first: &[f64], second: &[f64], width: Width) -> Result<f64, Problem> {
    Ok(width.deviations() * 2.0_f64.sqrt() * zero_mean_error(first, second)?)
}

/// Within-person standard deviation with the bias left in: √(Σd²/2n).
///
/// # Errors
/// As [`repeatability`].
pub fn zero_mean_error(first: &[f64], second: &[f64]) -> Result<f64, Problem> {
    let d = differences("first and second reading", first, second, 1)?;
    let error = (sum(d.iter().map(|d| d * d)) / (2.0 * count(d.len()))).sqrt();
    if error > 0.0 { Ok(error) } else { Err(no_difference("repeatability cannot be estimated")) }
}

/// Typical error of one measurement, with its interval; a bias between the two is left out.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct TypicalError {
    /// SD of the differences over √2 = √MSE of two columns, in the unit of the values.
    pub error: f64,
    /// By chi-square, n − 1 degrees of freedom.
    pub interval: Interval,
    /// Persons.
    pub n: usize,
    /// At which confidence.
    pub confidence: Confidence,
}

/// TE = SD(d)/√2. Source: `hopkins2000`. Assumes errors alike in small and large values.
///
/// # Errors
/// As [`bias`].
pub fn typical_error(first: &[f64], second: &[f64], confidence: Confidence) -> Result<TypicalError, Problem> {
    let m = varying_differences(first, second)?;
    let error = m.sd / 2.0_f64.sqrt();
    let interval = sd_interval(error, m.degrees_of_freedom(), confidence)?;
    Ok(TypicalError { error, interval, n: m.n, confidence })
}

/// Typical error as a coefficient of variation, 100 (exp(TE of logarithms) − 1), in per cent, for
/// errors that grow with the value. Source: `hopkins2000`.
///
/// # Errors
/// As [`bias`], and a value that is not above nought.
pub fn typical_percent(
    first: &[f64],
    second: &[f64],
    confidence: Confidence,
) -> Result<TypicalError, Problem> {
    check_pairs("first and second reading", first, second, 2)?;
    if let Some(&low) = first.iter().chain(second).find(|x| **x <= 0.0) {
        return Err(out_of_range("a reading whose logarithm is needed", low, "a number above 0"));
    }
    let logs = |values: &[f64]| values.iter().map(|x| x.ln()).collect::<Vec<f64>>();
    let te = typical_error(&logs(first), &logs(second), confidence)?;
    let percent = |x: f64| finished("coefficient of variation", 100.0 * x.exp_m1());
    Ok(TypicalError {
        error: percent(te.error)?,
        interval: Interval { lower: percent(te.interval.lower)?, upper: percent(te.interval.upper)? },
        ..te
    })
}

/// How far a group moved between two dates, in standard deviations. Says nothing about one person.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Responsiveness {
    /// Mean change over SD before.
    pub effect_size: f64,
    /// Mean change over SD of the changes.
    pub standardised_response_mean: f64,
    /// Paired t, n − 1 degrees of freedom.
    pub t: f64,
    /// Two-sided probability of so large a t without change.
    pub p: f64,
}

/// Effect size, standardised response mean and paired t of after less before.
///
/// # Errors
/// As [`bias`], or values before that do not differ.
pub fn responsiveness(before: &[f64], after: &[f64]) -> Result<Responsiveness, Problem> {
    let change = varying_differences(after, before)?;
    let start = Moments::varying("values before", before, "an effect size cannot be given")?;
    let t = finished("t", change.mean / change.sd * count(change.n).sqrt())?;
    Ok(Responsiveness {
        effect_size: finished("effect size", change.mean / start.sd)?,
        standardised_response_mean: change.mean / change.sd,
        t,
        p: 2.0 * student_t(t.abs(), change.degrees_of_freedom())?.upper,
    })
}

/// Moments of first less second, which must vary.
fn varying_differences(first: &[f64], second: &[f64]) -> Result<Moments, Problem> {
    let d = differences("first and second reading", second, first, 2)?;
    Moments::varying("differences of first and second", &d, "nothing can be said of their spread")
}

fn no_difference(so: &'static str) -> Problem {
    Problem::NoSpread { what: "first and second reading", so }
}
