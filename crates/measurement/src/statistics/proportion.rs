//! Shares of a count, and two shares beside each other.

use serde::Serialize;

use super::confidence::Confidence;
use super::distribution::beta_upper;
use super::interval::Interval;
use super::problem::Problem;

/// More than this in a table and the sums would take too long.
const MOST: u64 = 10_000_000;

/// Clopper-Pearson: the interval that never promises too much. Source: `clopper_pearson1934`.
///
/// Limits are beta quantiles: B(α/2; k, n − k + 1) and B(1 − α/2; k + 1, n − k); 0 and 1 at the ends.
///
/// # Errors
/// Nobody counted, more hits than counted, or more than ten million.
pub fn clopper_pearson(hits: u64, of: u64, confidence: Confidence) -> Result<Interval, Problem> {
    let (k, n) = counted(hits, of)?;
    let tail = confidence.each_tail();
    let lower = if hits == 0 { 0.0 } else { beta_upper(1.0 - tail, k, n - k + 1.0)? };
    let upper = if hits == of { 1.0 } else { beta_upper(tail, k + 1.0, n - k)? };
    Ok(Interval { lower, upper })
}

/// Wilson's score interval: shorter, right on average. Source: `wilson1927`.
///
/// # Errors
/// As [`clopper_pearson`].
pub fn wilson(hits: u64, of: u64, confidence: Confidence) -> Result<Interval, Problem> {
    let (k, n) = counted(hits, of)?;
    let z = confidence.z();
    let square = z * z;
    let half = z * (k * (n - k) / n + square / 4.0).sqrt();
    let middle = k + square / 2.0;
    // At no hits and at all hits the limits are 0 and 1, which rounding would miss.
    let lower = if hits == 0 { 0.0 } else { (middle - half) / (n + square) };
    let upper = if hits == of { 1.0 } else { (middle + half) / (n + square) };
    Ok(Interval { lower, upper })
}

#[expect(clippy::cast_precision_loss, reason = "at most ten million")]
fn counted(hits: u64, of: u64) -> Result<(f64, f64), Problem> {
    if of == 0 {
        return Err(Problem::TooFew { what: "persons or trials counted", given: 0, least: 1 });
    }
    if hits > of || of > MOST {
        let accepted = "as many as were counted at most, and ten million,";
        return Err(Problem::OutOfRange { what: "hits", given: format!("{hits} of {of}"), accepted });
    }
    Ok((hits as f64, of as f64))
}

/// The odds of the first row over those of the second.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OddsRatio {
    /// a d/(b c).
    Is(f64),
    /// b or c is nought, a and d are not.
    Infinite,
    /// A whole row or column is nought.
    Undefined,
}

/// Fisher's exact test of a two by two table.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ExactTest {
    /// Of the sample.
    pub odds_ratio: OddsRatio,
    /// Two-sided: tables no likelier than this one, totals held.
    pub p: f64,
}

/// Fisher's exact test, two-sided by the sum of all tables that are no likelier (to 1e-12).
///
/// # Errors
/// More than ten million counted.
pub fn fisher_exact(table: [[u64; 2]; 2]) -> Result<ExactTest, Problem> {
    let [[a, b], [c, d]] = table;
    if [a, b, c, d].into_iter().any(|x| x > MOST) {
        let given = format!("{table:?}");
        return Err(Problem::OutOfRange { what: "counts", given, accepted: "each up to ten million" });
    }
    let (rows, columns) = ([a + b, c + d], [a + c, b + d]);
    if rows.contains(&0) || columns.contains(&0) {
        return Ok(ExactTest { odds_ratio: OddsRatio::Undefined, p: 1.0 });
    }
    let [a_, b_, c_, d_] = [a, b, c, d].map(number);
    let odds_ratio = if b == 0 || c == 0 { OddsRatio::Infinite } else { OddsRatio::Is(a_ / b_ * (d_ / c_)) };
    // ln of the likelihood of a' beside the observed a, by ratios of neighbours, both ways.
    let least = a.saturating_sub(d);
    let most = rows[0].min(columns[0]);
    let up = |x: f64| {
        // from x to x + 1: (r1 − x)(c1 − x)/((x + 1)(d − a + x + 1))
        ((number(rows[0]) - x) * (number(columns[0]) - x) / ((x + 1.0) * (d_ - a_ + x + 1.0))).ln()
    };
    let mut logs = vec![0.0];
    let mut log = 0.0;
    for x in a..most {
        log += up(number(x));
        logs.push(log);
    }
    log = 0.0;
    for x in (least..a).rev() {
        log -= up(number(x));
        logs.push(log);
    }
    let largest = logs.iter().copied().fold(0.0, f64::max);
    let mut weights: Vec<f64> = logs.iter().map(|log| (log - largest).exp()).collect();
    weights.sort_by(f64::total_cmp);
    let limit = (-largest).exp() * (1.0 + 1e-12);
    let all: f64 = weights.iter().sum();
    let no_likelier: f64 = weights.iter().filter(|w| **w <= limit).sum();
    Ok(ExactTest { odds_ratio, p: no_likelier / all })
}

#[expect(clippy::cast_precision_loss, reason = "at most twenty million")]
fn number(count: u64) -> f64 {
    count as f64
}
