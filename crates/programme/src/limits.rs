//! What bounds a programme: time, number, clear floor, what is at home, and the day.

use jiff::civil::Date;
use movement::{Bearing, SupportKind};
use quantity::{Length, Mass, Span};
use serde::Serialize;

/// Clear floor from the centre on one bearing, and how we know it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "known")]
pub enum ClearFloor {
    /// Somebody measured it and the finding is current.
    Measured {
        /// From the centre between the feet to the first obstacle.
        length: Length,
    },
    /// Nobody measured it, or too long ago: no more than a named default is used.
    Assumed {
        /// The default.
        length: Length,
    },
}

impl ClearFloor {
    /// The length that may be used.
    #[must_use]
    pub fn length(self) -> Length {
        match self {
            Self::Measured { length } | Self::Assumed { length } => length,
        }
    }
}

/// The floor a foot takes beyond its middle.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FootSize {
    /// Heel to toe.
    pub length: Length,
    /// Across the ball.
    pub breadth: Length,
}

/// What bounds a programme.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Limits {
    /// The day it is made for.
    pub for_day: Date,
    /// Last day on which everything that permitted the movements still holds, where one is known.
    pub permitted_until: Option<Date>,
    /// Longest time for all exercises together.
    pub minutes: Span,
    /// Most exercises, never above three.
    pub exercises: u8,
    /// Most directions on each limb in one exercise, when pain is easily provoked.
    pub directions: Option<u8>,
    /// Most rounds of one exercise, when pain is easily provoked.
    pub rounds: Option<u8>,
    /// Clear floor at home, one for each of the eight bearings.
    pub clear_floor: Vec<(Bearing, ClearFloor)>,
    /// The person's foot.
    pub foot: FootSize,
    /// Supports that are at hand at home.
    pub supports: Vec<SupportKind>,
    /// Hand weights at home, each.
    pub hand_weights: Vec<Mass>,
    /// Whether the programme is for a person at risk of falling, for whom short bouts are an under-dose.
    pub falls_risk: bool,
}
