//! What a decision rests on: tests with their sessions, findings, what a clinician observed.

use jiff::civil::Date;
use measurement::{OwnRepeats, Population, Raters, Session};
use person::{Findings, Involved};
use safety::AllowedSpace;
use serde::Serialize;

use crate::criteria::Activity;

/// What was worn on the limb during a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ExternalSupport {
    /// A brace.
    Brace,
    /// Tape.
    Tape,
}

impl ExternalSupport {
    /// The word.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Brace => "a brace",
            Self::Tape => "tape",
        }
    }
}

/// One session of a test.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tested {
    /// The session.
    pub session: Session,
    /// What was worn; a result with it never meets a criterion.
    pub support: Option<ExternalSupport>,
    /// The activity an answer is about; none when it is about any.
    pub about: Option<Activity>,
}

/// Something a clinician observed, by a key of `reference/return_criteria.toml`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Observed {
    /// The key.
    pub key: String,
    /// Whether it was so.
    pub is: bool,
    /// The day.
    pub on: Date,
}

/// Everything a decision rests on.
#[derive(Clone, Copy, Debug)]
pub struct Evidence<'a> {
    /// What was found.
    pub findings: &'a Findings,
    /// What the rules allow today, with the times and criteria of the presentations.
    pub space: &'a AllowedSpace,
    /// Which legs are involved.
    pub involved: Involved,
    /// The group whose error of measurement is looked up.
    pub population: Population,
    /// Whether one person measured both times.
    pub raters: Raters,
    /// The clinic's own repeats.
    pub own: &'a [OwnRepeats],
    /// Every session there is.
    pub tested: &'a [Tested],
    /// Sessions of the uninvolved limb before the operation, where there were any.
    pub before: &'a [Session],
    /// What a clinician observed.
    pub observed: &'a [Observed],
}

impl Evidence<'_> {
    /// The day it is decided on.
    pub(crate) fn today(&self) -> Date {
        self.space.on()
    }
}
