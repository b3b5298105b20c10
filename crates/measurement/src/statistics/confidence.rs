//! How sure an interval or a threshold is meant to be.

use serde::{Serialize, Serializer};

use super::distribution::normal_upper;
use super::problem::{Problem, between};

/// A confidence such as 0.95: above one half, below one. Stored with every result made with it,
/// because a 90 % and a 95 % minimal detectable change are often confused.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Confidence(f64);

impl Confidence {
    /// Ninety per cent.
    pub const P90: Self = Self(0.90);
    /// Ninety-five per cent.
    pub const P95: Self = Self(0.95);

    /// A confidence as a share.
    ///
    /// # Errors
    /// Outside 0.5 to 0.999999, both excluded.
    pub fn share(share: f64) -> Result<Self, Problem> {
        between("confidence", share, 0.5, 0.999_999, "a share between 0.5 and 0.999999, such as 0.95")
            .map(Self)
    }

    /// As a share of one.
    #[must_use]
    pub fn in_share(self) -> f64 {
        self.0
    }

    /// The probability left outside on each side of a two-sided interval: 0.025 at 95 %.
    #[must_use]
    pub fn each_tail(self) -> f64 {
        (1.0 - self.0) / 2.0
    }

    /// The two-sided normal quantile: 1.959964 at 95 %, 1.644854 at 90 %.
    #[must_use]
    pub fn z(self) -> f64 {
        normal_upper(self.each_tail()).expect("the tail of a confidence lies between 0 and 1/4")
    }
}

impl Serialize for Confidence {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_f64(self.0)
    }
}
