//! The standard error of measurement, and the smallest change that is more than it.

use serde::Serialize;

use super::anova::TwoWay;
use super::confidence::Confidence;
use super::distribution::chi_square_upper;
use super::interval::Interval;
use super::problem::{Problem, between, not_negative, out_of_range, positive};
use super::sample::count;

/// How a standard error of measurement was come by, which decides what it may be used for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// √MSE: raters' or sessions' levels are not in it. For one person seen again by the same rater,
    /// once a practice effect was taken off.
    Consistency,
    /// √(MSE + (MSC − MSE)/n): their levels are in it. For one person seen by different raters.
    Agreement,
    /// SD √(1 − ICC): as good as the match of the two samples it came from.
    FromCorrelation,
}

/// A standard error of measurement (of one measurement; not of a mean), in the unit of the test.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ErrorOfMeasurement {
    /// One standard deviation of error.
    pub sem: f64,
    /// How it was come by.
    pub method: Method,
    /// Its interval by chi-square, where there are degrees of freedom for one.
    pub interval: Option<Interval>,
    /// Those degrees of freedom; Satterthwaite's for agreement.
    pub degrees: Option<f64>,
}

/// √MSE with its chi-square interval, (n − 1)(k − 1) degrees of freedom.
///
/// Source: `hopkins2000`, `shrout_fleiss1979`. Assumes errors alike in small and large values.
///
/// # Errors
/// No error at all: a SEM of nought would call every change real.
pub fn consistency(table: &TwoWay, confidence: Confidence) -> Result<ErrorOfMeasurement, Problem> {
    let variance = table.error("an error of measurement cannot be estimated")?;
    with_interval(variance, table.residual_degrees(), Method::Consistency, confidence)
}

/// √(MSE + raters' variance), the latter (MSC − MSE)/n and not below nought, with a chi-square
/// interval on Satterthwaite's degrees of freedom.
///
/// Source: `mcgraw_wong1996`. With two or three raters the interval is wide, and rightly.
///
/// # Errors
/// No error at all.
pub fn agreement(table: &TwoWay, confidence: Confidence) -> Result<ErrorOfMeasurement, Problem> {
    let mse = table.error("an error of measurement cannot be estimated")?;
    if table.between_raters <= mse {
        return with_interval(mse, table.residual_degrees(), Method::Agreement, confidence);
    }
    let n = count(table.n);
    let (raters, rest) = (table.between_raters / n, mse * (1.0 - 1.0 / n));
    let variance = raters + rest;
    let degrees = variance * variance
        / (raters * raters / (count(table.k) - 1.0) + rest * rest / table.residual_degrees());
    with_interval(variance, degrees, Method::Agreement, confidence)
}

/// SD √(1 − ICC). Right only where standard deviation and correlation come from the same sample.
///
/// # Errors
/// A standard deviation not above nought, or a correlation outside −1 to 1; at 1 the error would be
/// nought and call every change real.
pub fn from_correlation(sd: f64, icc: f64) -> Result<ErrorOfMeasurement, Problem> {
    let sd = positive("standard deviation", sd)?;
    let icc = between("intraclass correlation", icc, -1.0, 1.0, "a number above -1 and below 1")?;
    let sem = sd * (1.0 - icc).sqrt();
    Ok(ErrorOfMeasurement { sem, method: Method::FromCorrelation, interval: None, degrees: None })
}

/// The smallest change of one person that is more than error at the stated confidence.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DetectableChange {
    /// z √2 SEM, in the unit of the test.
    pub change: f64,
    /// At which confidence; 90 and 95 per cent differ by a fifth.
    pub confidence: Confidence,
}

/// MDC = z √2 SEM: both measurements err. For the mean of m sessions give SEM/√m.
///
/// Source: `jacobson_truax1991`. Assumes normal errors, independent on the two days.
///
/// # Errors
/// A SEM that is not above nought.
pub fn detectable_change(sem: f64, confidence: Confidence) -> Result<DetectableChange, Problem> {
    let sem = positive("standard error of measurement", sem)?;
    Ok(DetectableChange { change: confidence.z() * 2.0_f64.sqrt() * sem, confidence })
}

/// MDC of the mean of a group of n: smaller by √n, and of no use for one person.
///
/// # Errors
/// As [`detectable_change`], or a group of none.
pub fn detectable_change_of_group(
    sem: f64,
    persons: usize,
    confidence: Confidence,
) -> Result<DetectableChange, Problem> {
    if persons == 0 {
        return Err(Problem::TooFew { what: "persons of the group", given: 0, least: 1 });
    }
    detectable_change(sem / count(persons).sqrt(), confidence)
}

/// The detectable change at another confidence: a published one at 90 % becomes one at 95 %.
///
/// # Errors
/// A change below nought.
pub fn restated(published: DetectableChange, confidence: Confidence) -> Result<DetectableChange, Problem> {
    let change = not_negative("detectable change", published.change)?;
    Ok(DetectableChange { change: change * confidence.z() / published.confidence.z(), confidence })
}

/// The error of the mean of m sessions, SEM/√m. Trials of one session share that day's error, so m
/// counts sessions.
///
/// # Errors
/// A SEM that is not above nought, or no session.
pub fn of_mean_of_sessions(sem: f64, sessions: usize) -> Result<f64, Problem> {
    if sessions == 0 {
        return Err(out_of_range("sessions", 0.0, "1 or more"));
    }
    Ok(positive("standard error of measurement", sem)? / count(sessions).sqrt())
}

fn with_interval(
    variance: f64,
    degrees: f64,
    method: Method,
    confidence: Confidence,
) -> Result<ErrorOfMeasurement, Problem> {
    let sem = variance.sqrt();
    let interval = sd_interval(sem, degrees, confidence)?;
    Ok(ErrorOfMeasurement { sem, method, interval: Some(interval), degrees: Some(degrees) })
}

/// s √(ν/χ²): the interval of a standard deviation with ν degrees of freedom.
pub(crate) fn sd_interval(sd: f64, degrees: f64, confidence: Confidence) -> Result<Interval, Problem> {
    let tail = confidence.each_tail();
    Ok(Interval {
        lower: sd * (degrees / chi_square_upper(tail, degrees)?).sqrt(),
        upper: sd * (degrees / chi_square_upper(1.0 - tail, degrees)?).sqrt(),
    })
}
