//! Two results of one person beside the error of the test: how likely a true change is.

use serde::Serialize;

use super::distribution::{Tails, normal};
use super::problem::{Problem, finished, not_negative, number, positive};

/// A change beside its error, in the unit of the test. Which way is better is for the caller.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Change {
    /// After less before, less what practice alone would give.
    pub difference: f64,
    /// Standard deviation of such a difference where nothing changed.
    pub error: f64,
}

/// √(SEM₁² + SEM₂²): the error of a difference of two independent results, √2 SEM where both err alike.
///
/// # Errors
/// A standard error below nought, or both nought.
pub fn error_of_difference(sem_before: f64, sem_after: f64) -> Result<f64, Problem> {
    let before = not_negative("standard error of the first result", sem_before)?;
    let after = not_negative("standard error of the second result", sem_after)?;
    positive("error of the difference", before.hypot(after))
}

/// The change of one person. `practice` is what healthy people gain from doing the test again, 0 if
/// it is known to be none; `error` comes from [`error_of_difference`].
///
/// # Errors
/// A value that is no number, or an error not above nought.
pub fn change(before: f64, after: f64, practice: f64, error: f64) -> Result<Change, Problem> {
    let before = number("result before", before)?;
    let after = number("result after", after)?;
    let practice = number("practice effect", practice)?;
    Ok(Change { difference: after - before - practice, error: positive("error of the difference", error)? })
}

impl Change {
    /// Reliable change index: difference over its error; beyond ±1.96 one in twenty is chance.
    ///
    /// Source: `jacobson_truax1991`.
    ///
    /// # Errors
    /// An error too small for the difference.
    pub fn reliable_change_index(self) -> Result<f64, Problem> {
        finished("reliable change index", self.difference / self.error)
    }

    /// Two-sided probability of so large a difference from error alone.
    ///
    /// # Errors
    /// As [`Change::reliable_change_index`].
    pub fn p(self) -> Result<f64, Problem> {
        Ok(2.0 * normal(self.reliable_change_index()?.abs())?.upper)
    }

    /// Probability that the true change is above (`upper`) or below (`lower`) a threshold, nothing
    /// being known beforehand: Φ((difference − threshold)/error). With threshold 0, of its direction.
    ///
    /// Assumes normal error. What is known beforehand usually lowers it: see [`Change::with_prior`].
    ///
    /// # Errors
    /// A threshold that is no number.
    pub fn true_change_about(self, threshold: f64) -> Result<Tails, Problem> {
        about(self.difference, self.error, threshold)
    }

    /// The change drawn toward what such patients usually change by: normal prior, normal error.
    ///
    /// Weight w = s₀²/(s₀² + error²); mean m₀ + w (difference − m₀), sd √w · error. Right only for
    /// the patient's own reference group.
    ///
    /// # Errors
    /// A prior mean that is no number, or a prior standard deviation not above nought.
    pub fn with_prior(self, prior: Prior) -> Result<Shrunk, Problem> {
        let mean = number("usual change", prior.mean)?;
        let sd = positive("spread of the usual change", prior.sd)?;
        // 1/(1 + (error/s₀)²), which no size of the two overflows.
        let weight = 1.0 / (1.0 + (self.error / sd).powi(2));
        let shrunk =
            Shrunk { weight, mean: mean + weight * (self.difference - mean), sd: weight.sqrt() * self.error };
        positive("spread after the prior", shrunk.sd)?;
        Ok(shrunk)
    }
}

/// What patients of the same group change by in the same time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Prior {
    /// Mean change, in the unit of the test.
    pub mean: f64,
    /// Standard deviation of true change between patients.
    pub sd: f64,
}

/// What is to be believed of a true change after seeing the difference.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Shrunk {
    /// Share that the measurement has; the prior has the rest.
    pub weight: f64,
    /// Most credible true change, in the unit of the test.
    pub mean: f64,
    /// Its standard deviation.
    pub sd: f64,
}

impl Shrunk {
    /// Probability that the true change is above (`upper`) or below (`lower`) a threshold.
    ///
    /// # Errors
    /// A threshold that is no number.
    pub fn true_change_about(self, threshold: f64) -> Result<Tails, Problem> {
        about(self.mean, self.sd, threshold)
    }
}

fn about(mean: f64, sd: f64, threshold: f64) -> Result<Tails, Problem> {
    normal((number("threshold", threshold)? - mean) / sd)
}
