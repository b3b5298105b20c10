//! Where a result lies among those of a reference sample.

use serde::Serialize;

use super::distribution::{Tails, normal, student_t};
use super::problem::{Problem, finished, number, positive};
use super::sample::count;

/// A place in a reference sample: the standardised distance, and the share below and above.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Place {
    /// z, or t where the sample is small and counted.
    pub score: f64,
    /// Share of the population below (`lower`) and above (`upper`); turn them where lower is better.
    pub share: Tails,
}

/// z = (x − M)/SD among a sample so large that its own error does not matter.
///
/// Not for capped or skewed scores (stance time, pain 0 to 10): a normal curve fits them badly.
///
/// # Errors
/// A value that is no number, or a standard deviation not above nought.
pub fn among_many(x: f64, mean: f64, sd: f64) -> Result<Place, Problem> {
    let score = standardised(x, mean, sd)?;
    Ok(Place { score, share: normal(score)? })
}

/// t = (x − M)/(SD √((n + 1)/n)), n − 1 degrees of freedom: the sample's own error counted. Source:
/// `crawford_howell1998`. With fifteen people far tails are several times what z would say.
///
/// # Errors
/// As [`among_many`], or a sample of fewer than two.
pub fn among_few(x: f64, mean: f64, sd: f64, sample: usize) -> Result<Place, Problem> {
    if sample < 2 {
        return Err(Problem::TooFew { what: "persons of the reference sample", given: sample, least: 2 });
    }
    let n = count(sample);
    let score = standardised(x, mean, sd)? / ((n + 1.0) / n).sqrt();
    Ok(Place { score, share: student_t(score, n - 1.0)? })
}

fn standardised(x: f64, mean: f64, sd: f64) -> Result<f64, Problem> {
    let apart = number("result", x)? - number("mean of the reference sample", mean)?;
    finished("standardised distance", apart / positive("standard deviation of the reference sample", sd)?)
}
