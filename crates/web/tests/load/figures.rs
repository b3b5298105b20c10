//! Times of many answers, and what is said of them.

use std::collections::BTreeMap;
use std::time::Duration;

/// How long answers took, by what was asked for.
#[derive(Default)]
pub struct Figures(BTreeMap<&'static str, Vec<f64>>);

/// A time below which a share of the answers stayed, in milliseconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// How many answers.
    pub count: usize,
    /// Half of them were quicker.
    pub p50: f64,
    /// 95 of 100 were quicker.
    pub p95: f64,
    /// 99 of 100 were quicker.
    pub p99: f64,
    /// The slowest.
    pub worst: f64,
}

impl Figures {
    /// One more answer.
    pub fn add(&mut self, what: &'static str, took: Duration) {
        self.0.entry(what).or_default().push(took.as_secs_f64() * 1000.0);
    }

    /// Those of somebody else beside these.
    pub fn join(&mut self, other: Self) {
        for (what, times) in other.0 {
            self.0.entry(what).or_default().extend(times);
        }
    }

    /// Everything that was asked for, with its spread.
    pub fn all(&self) -> Vec<(&'static str, Spread)> {
        self.0.iter().filter_map(|(what, times)| Some((*what, spread(times)?))).collect()
    }
}

/// The spread of times; none of no times.
pub fn spread(times: &[f64]) -> Option<Spread> {
    let mut times = times.to_vec();
    times.sort_by(f64::total_cmp);
    // The smallest time that so many of a hundred do not exceed.
    let at = |share: usize| times.get((times.len() * share).div_ceil(100).max(1) - 1).copied();
    Some(Spread { count: times.len(), p50: at(50)?, p95: at(95)?, p99: at(99)?, worst: at(100)? })
}

/// The middle of several runs.
pub fn median(of: &[f64]) -> f64 {
    spread(of).map_or(f64::NAN, |spread| spread.p50)
}
