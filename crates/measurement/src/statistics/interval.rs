//! An estimate that says how far off it may be.

use serde::Serialize;

/// Lower and upper limit of an estimate, at a stated confidence, in the unit of the estimate.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Interval {
    /// Lower limit.
    pub lower: f64,
    /// Upper limit, not below the lower one.
    pub upper: f64,
}

impl Interval {
    /// Whether a value lies within the limits, the limits included.
    #[must_use]
    pub fn contains(self, value: f64) -> bool {
        self.lower <= value && value <= self.upper
    }
}
