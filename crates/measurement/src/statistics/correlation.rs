//! How closely two lists go together; it says nothing about whether they agree.

use serde::Serialize;

use super::confidence::Confidence;
use super::interval::Interval;
use super::problem::{Problem, between};
use super::sample::{Moments, check_pairs, count, sum};

/// A correlation with its interval.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Correlation {
    /// Pearson's r, −1 to 1.
    pub r: f64,
    /// By Fisher's z.
    pub interval: Interval,
    /// Pairs.
    pub n: usize,
    /// At which confidence.
    pub confidence: Confidence,
}

/// Pearson's r of two lists with its interval. A high one does not mean agreement: two scales that
/// differ by ten everywhere correlate fully.
///
/// # Errors
/// Fewer than four pairs, a list that does not vary, a value that is no number, or points on a line
/// (no interval can be given).
pub fn correlation(first: &[f64], second: &[f64], confidence: Confidence) -> Result<Correlation, Problem> {
    check_pairs("first and second list", first, second, 4)?;
    let so = "a correlation has no meaning";
    let a = Moments::varying("values of the first list", first, so)?;
    let b = Moments::varying("values of the second list", second, so)?;
    let products = sum(first.iter().zip(second).map(|(x, y)| (x - a.mean) / a.sd * ((y - b.mean) / b.sd)));
    let r = products / a.degrees_of_freedom();
    Ok(Correlation { r, interval: fisher_interval(r, first.len(), confidence)?, n: first.len(), confidence })
}

/// tanh(atanh r ± z/√(n − 3)). Assumes two normal lists.
///
/// # Errors
/// r not strictly between −1 and 1, or fewer than four pairs.
pub fn fisher_interval(r: f64, pairs: usize, confidence: Confidence) -> Result<Interval, Problem> {
    let edge = 1.0 - 2.0 * f64::EPSILON;
    let r = between("correlation", r, -edge, edge, "a number above -1 and below 1")?;
    if pairs < 4 {
        return Err(Problem::TooFew { what: "pairs", given: pairs, least: 4 });
    }
    let half = confidence.z() / (count(pairs) - 3.0).sqrt();
    let z = r.atanh();
    Ok(Interval { lower: (z - half).tanh(), upper: (z + half).tanh() })
}
