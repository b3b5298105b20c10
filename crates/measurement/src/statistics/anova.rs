//! The two-way table of variance: how far persons, raters and the rest differ.

use serde::Serialize;

use super::problem::{Problem, finished};
use super::sample::{Scores, count, mean, sum};

/// Two-way analysis of variance without replication, n persons by k raters.
///
/// Assumes that person and rater add and that the rest is alike everywhere (no larger in large
/// values; otherwise take logarithms). Source: `shrout_fleiss1979`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct TwoWay {
    /// Persons.
    pub n: usize,
    /// Raters or trials.
    pub k: usize,
    /// Mean of all scores, in their unit.
    pub grand_mean: f64,
    /// Mean square between persons, n − 1 degrees of freedom, in the squared unit (as all here).
    pub between_persons: f64,
    /// Mean square between raters, k − 1 degrees of freedom.
    pub between_raters: f64,
    /// Mean square of the rest, (n − 1)(k − 1) degrees of freedom.
    pub residual: f64,
    /// Mean square within persons, n(k − 1) degrees of freedom: raters and rest together.
    pub within_persons: f64,
}

/// MSR, MSC, MSE and MSW of a table of scores. Each sum of squares is formed from its own
/// deviations, never as a difference of two others; what is only rounding of the scores is nought.
///
/// # Errors
/// Scores too far apart in size for their squares.
pub fn two_way(scores: &Scores) -> Result<TwoWay, Problem> {
    let rows = scores.rows();
    let (n, k) = (scores.persons(), scores.columns());
    // About the first score, so that a common level costs no digits.
    let level = rows[0][0];
    let rows: Vec<Vec<f64>> = rows.iter().map(|row| row.iter().map(|x| x - level).collect()).collect();
    let of_person: Vec<f64> = rows.iter().map(|row| mean(row)).collect();
    let of_rater: Vec<f64> = (0..k).map(|j| sum(rows.iter().map(|row| row[j])) / count(n)).collect();
    let grand = mean(&of_person);
    let cells =
        || rows.iter().enumerate().flat_map(|(i, row)| row.iter().enumerate().map(move |(j, x)| (i, j, x)));
    let between_persons = count(k) * sum(of_person.iter().map(|m| (m - grand).powi(2)));
    let between_raters = count(n) * sum(of_rater.iter().map(|m| (m - grand).powi(2)));
    let residual = sum(cells().map(|(i, j, x)| (x - of_person[i] - of_rater[j] + grand).powi(2)));
    let within = sum(cells().map(|(i, _, x)| (x - of_person[i]).powi(2)));
    let largest = cells().fold(level.abs(), |most, (_, _, x)| most.max((x + level).abs()));
    let rounding = (4.0 * f64::EPSILON * largest).powi(2) * count(n * k);
    let per = |squares: f64, degrees: usize| {
        finished("mean square", if squares <= rounding { 0.0 } else { squares / count(degrees) })
    };
    Ok(TwoWay {
        n,
        k,
        grand_mean: grand + level,
        between_persons: per(between_persons, n - 1)?,
        between_raters: per(between_raters, k - 1)?,
        residual: per(residual, (n - 1) * (k - 1))?,
        within_persons: per(within, n * (k - 1))?,
    })
}

impl TwoWay {
    /// Degrees of freedom of the residual, (n − 1)(k − 1).
    #[must_use]
    pub fn residual_degrees(&self) -> f64 {
        count((self.n - 1) * (self.k - 1))
    }

    /// The residual, where nothing can be said without error.
    pub(crate) fn error(&self, so: &'static str) -> Result<f64, Problem> {
        if self.residual > 0.0 {
            Ok(self.residual)
        } else {
            Err(Problem::NoSpread { what: "repeated scores, after the raters' levels are taken off,", so })
        }
    }
}
