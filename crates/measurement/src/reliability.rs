//! How far a test scatters when nothing changed, and which of several sources is used, in words.

mod choose;
mod own;
mod rows;

use quantity::reference::{HowRead, short_cite};
use serde::{Deserialize, Serialize};

use crate::instrument::ScoreForm;
use crate::population::Population;
use crate::protocol::Protocol;
use crate::unit::Scale;
use crate::{InstrumentKey, StanceDirection};

pub use choose::{CannotSayError, OwnRepeats, Question, reliability};
pub use own::{OwnError, OwnErrorProblem, own_repeats};
pub use rows::{PublishedError, RowUse, published_errors};

/// Whether one person measured both times.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Raters {
    /// One person both times.
    Same,
    /// Two people.
    Different,
    /// Nobody noted it.
    #[default]
    Unknown,
}

/// The standard error of one session, on the scale it was asked for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "error", rename_all = "snake_case")]
pub enum StandardError {
    /// The same for every value.
    Absolute {
        /// In the unit of the scale.
        sem: f64,
    },
    /// Grows with the value.
    OfValue {
        /// Per cent of the value.
        percent: f64,
    },
}

impl StandardError {
    /// The error at a value, in the unit of the scale.
    #[must_use]
    pub fn at(self, value: f64) -> f64 {
        match self {
            Self::Absolute { sem } => sem,
            Self::OfValue { percent } => value.abs() * percent / 100.0,
        }
    }
}

/// Where an error was found.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "origin", rename_all = "snake_case")]
pub enum Origin {
    /// The clinic's own repeated tests.
    Own {
        /// How many people were measured twice.
        people: usize,
    },
    /// The same group and, as far as it was said, the same protocol.
    SameGroup,
    /// Another group that stands in.
    NearGroup {
        /// The group that was studied.
        studied: Population,
    },
    /// Nothing nearer fits.
    Default,
}

/// An error of measurement that was chosen for a question.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reliability {
    /// The test.
    pub instrument: InstrumentKey,
    /// The direction it was found for; none when it stands for all.
    pub direction: Option<StanceDirection>,
    /// On which scale.
    pub scale: Scale,
    /// Score forms it was found for; empty when none was said.
    pub forms: Vec<ScoreForm>,
    /// The error of one session.
    pub error: StandardError,
    /// The level of the detectable change it was computed from, in per cent, where it was.
    pub from_level: Option<u8>,
    /// Where it was found.
    pub origin: Origin,
    /// Whom it was found in.
    pub population: Option<Population>,
    /// Whether one person measured both times.
    pub raters: Raters,
    /// The protocol it was found with, as far as it was said.
    pub protocol: Protocol,
    /// Bibliography key, or `own`.
    pub source: String,
    /// How it was read.
    pub read: HowRead,
    /// The choice in words, with what speaks against it.
    pub words: String,
}

/// How many people must stand behind the clinic's own error before it replaces a published one.
#[must_use]
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small count in the table
pub fn own_repeats_least() -> usize {
    crate::figures::figure("own_repeats_least") as usize
}

impl Reliability {
    /// The source in short, for a line beside a value.
    #[must_use]
    pub fn cite(&self) -> String {
        match self.origin {
            Origin::Own { people } => format!("own repeats of {people} people"),
            _ if self.read == HowRead::Own => self.read.to_string(),
            _ => format!("{}, {}", short_cite(&self.source), self.read),
        }
    }
}
