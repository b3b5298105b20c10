//! More than two sessions: is there a trend, how steep, and which values stand out.

use std::cmp::Ordering;

use serde::Serialize;

use super::confidence::Confidence;
use super::distribution::normal;
use super::interval::Interval;
use super::problem::{Problem, finished, out_of_range};
use super::sample::{Moments, check, check_pairs, count, median_of_sorted};

/// Longest series that is compared pair by pair.
const MOST: usize = 5000;

/// A test of monotone trend over time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Trend {
    /// Rising pairs less falling pairs.
    pub s: i64,
    /// Variance of `s` without trend, ties of values and of times taken off.
    pub variance: f64,
    /// (|s| − 1)/√variance with the sign of s: Mann-Kendall's, corrected for continuity.
    pub z: f64,
    /// Two-sided, from `z`.
    pub p: f64,
    /// Kendall's τ-b: s over the geometric mean of pairs untied in time and untied in value, −1 to 1.
    pub tau_b: f64,
}

/// Mann-Kendall test and Kendall's τ-b of values over times.
///
/// Source: `kendall1975`. Assumes sessions independent of each other; a good week that carries over
/// to the next makes p too small. Below ten sessions the normal approximation is rough.
///
/// # Errors
/// Fewer than three sessions, more than 5000, a value that is no number, all times or all values alike.
pub fn trend(times: &[f64], values: &[f64]) -> Result<Trend, Problem> {
    check_series(times, values)?;
    let n = times.len();
    let mut s = 0_i64;
    for (i, j) in pairs(n) {
        s += sign(times[j], times[i]) * sign(values[j], values[i]);
    }
    let (in_time, in_value) = (ties(times), ties(values));
    let number = count(n);
    let of = |t: f64| t * (t - 1.0) * (2.0 * t + 5.0);
    let of_time: f64 = in_time.iter().map(|t| of(*t)).sum();
    let of_value: f64 = in_value.iter().map(|t| of(*t)).sum();
    // The two further terms are nought unless both lists have ties (Kendall 1975, chapter 4).
    let two = |list: &[f64]| list.iter().map(|t| t * (t - 1.0)).sum::<f64>();
    let three = |list: &[f64]| list.iter().map(|t| t * (t - 1.0) * (t - 2.0)).sum::<f64>();
    let all = number * (number - 1.0);
    let variance = (of(number) - of_time - of_value) / 18.0
        + two(&in_time) * two(&in_value) / (2.0 * all)
        + three(&in_time) * three(&in_value) / (9.0 * all * (number - 2.0));
    let untied = |list: &[f64]| (all - two(list)) / 2.0;
    #[expect(clippy::cast_precision_loss, reason = "at most 12.5 million pairs")]
    let size = s as f64;
    let z = if s == 0 { 0.0 } else { (size.abs() - 1.0) / variance.sqrt() * size.signum() };
    let z = finished("z of the trend", z)?;
    Ok(Trend {
        s,
        variance,
        z,
        p: (2.0 * normal(z.abs())?.upper).min(1.0),
        tau_b: size / (untied(&in_time) * untied(&in_value)).sqrt(),
    })
}

/// A slope that a few odd sessions do not turn.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Slope {
    /// Median of the slopes of all pairs of sessions at different times, value unit per time unit.
    pub slope: f64,
    /// Its interval from ranks of those slopes.
    pub interval: Interval,
    /// Median value less slope × median time.
    pub intercept: f64,
    /// Pairs used.
    pub pairs: usize,
    /// At which confidence.
    pub confidence: Confidence,
}

/// Theil-Sen slope with Sen's interval.
///
/// Source: `sen1968`. The limits are the slopes of rank (N ∓ z√V)/2, V = [n(n−1)(2n+5) − Σ t(t−1)(2t+5)
/// over ties of times and of values]/18, ranks rounded to the nearest (halves to even) and kept within 1
/// to N. Assumptions as [`trend`].
///
/// # Errors
/// As [`trend`], but values may all be alike.
pub fn theil_sen(times: &[f64], values: &[f64], confidence: Confidence) -> Result<Slope, Problem> {
    check_pairs("times and values", times, values, 3)?;
    few_enough(times)?;
    let mut slopes = Vec::new();
    for (i, j) in pairs(times.len()) {
        let apart = times[j] - times[i];
        if apart != 0.0 {
            slopes.push(finished("slope", (values[j] - values[i]) / apart)?);
        }
    }
    if slopes.is_empty() {
        return Err(Problem::NoSpread { what: "times", so: "no slope can be given" });
    }
    slopes.sort_by(f64::total_cmp);
    let n = count(times.len());
    let of = |t: f64| t * (t - 1.0) * (2.0 * t + 5.0);
    let tied: f64 = ties(times).into_iter().chain(ties(values)).map(of).sum();
    let spread = confidence.z() * ((of(n) - tied).max(0.0) / 18.0).sqrt();
    let pairs = count(slopes.len());
    let last = slopes.len() - 1;
    let rank = |x: f64, back: f64| index(x.round_ties_even() - back, last);
    let interval = Interval {
        lower: slopes[rank((pairs - spread) / 2.0, 1.0)],
        upper: slopes[rank((pairs + spread) / 2.0, 0.0)],
    };
    let median = |list: &[f64]| {
        let mut sorted = list.to_vec();
        sorted.sort_by(f64::total_cmp);
        median_of_sorted(&sorted)
    };
    let slope = median_of_sorted(&slopes);
    let intercept = finished("intercept", median(values) - slope * median(times))?;
    Ok(Slope { slope, interval, intercept, pairs: slopes.len(), confidence })
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the list")]
fn index(rank: f64, last: usize) -> usize {
    rank.clamp(0.0, count(last)) as usize
}

/// Limits within which a series without special cause stays.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ControlLimits {
    /// Mean of the series, in its unit.
    pub mean: f64,
    /// Mean size of the step from one session to the next.
    pub mean_step: f64,
    /// mean ± 2.66 × mean step (three standard deviations, each step being 1.128 of them).
    pub limits: Interval,
}

/// XmR chart. Source: common practice. A trend widens the steps little and moves the mean, so take
/// a trend off first; values that hang together from one to the next make the limits too narrow.
///
/// # Errors
/// Fewer than two values, a value that is no number, or all alike.
pub fn control_limits(values: &[f64]) -> Result<ControlLimits, Problem> {
    let m = Moments::varying("values", values, "no limits can be drawn")?;
    let mean_step = values.windows(2).map(|w| (w[1] - w[0]).abs()).sum::<f64>() / m.degrees_of_freedom();
    let half = 2.66 * mean_step;
    Ok(ControlLimits {
        mean: m.mean,
        mean_step,
        limits: Interval { lower: m.mean - half, upper: m.mean + half },
    })
}

fn check_series(times: &[f64], values: &[f64]) -> Result<(), Problem> {
    check_pairs("times and values", times, values, 3)?;
    few_enough(times)?;
    for (what, list) in [("times", times), ("values", values)] {
        check(what, list, 3)?;
        if list.iter().all(|x| *x == list[0]) {
            return Err(Problem::NoSpread { what, so: "a trend has no meaning" });
        }
    }
    Ok(())
}

fn few_enough(list: &[f64]) -> Result<(), Problem> {
    if list.len() > MOST {
        return Err(out_of_range("sessions", count(list.len()), "at most 5000"));
    }
    Ok(())
}

fn pairs(n: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..n).flat_map(move |i| (i + 1..n).map(move |j| (i, j)))
}

fn sign(a: f64, b: f64) -> i64 {
    match a.partial_cmp(&b) {
        Some(Ordering::Greater) => 1,
        Some(Ordering::Less) => -1,
        _ => 0,
    }
}

/// How many values each group of equal ones has, groups of two and more.
fn ties(list: &[f64]) -> Vec<f64> {
    let mut sorted: Vec<f64> = list.iter().map(|x| x + 0.0).collect();
    sorted.sort_by(f64::total_cmp);
    sorted.chunk_by(|a, b| a == b).filter(|group| group.len() > 1).map(|group| count(group.len())).collect()
}
