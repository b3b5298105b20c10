//! Statistics of measurement: plain numbers in, estimates with intervals out; nothing here knows a person.
//!
//! Which source each formula has, and how it was read, stands in `reference/statistics.toml`; the key in
//! a comment is its key there and in the bibliography. What cannot be computed is a [`Problem`], never a NaN.

pub mod agreement;
pub mod anova;
pub mod change;
mod confidence;
pub mod correlation;
pub mod distribution;
pub mod error_of_measurement;
pub mod icc;
mod interval;
pub mod kappa;
pub mod many;
pub mod percentile;
mod problem;
pub mod proportion;
pub mod ratio;
mod sample;
pub mod separation;
pub mod trend;
pub mod true_score;

pub use confidence::Confidence;
pub use interval::Interval;
pub use problem::{LARGEST, Problem};
pub use sample::{Moments, Scores};
