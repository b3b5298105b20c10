//! What is known beside the log: the day, what a therapist set, how swollen, where each direction stood before.

use std::collections::BTreeSet;

use anatomy::Side;
use jiff::civil::Date;
use movement::{Bearing, Family};
use safety::{Irritability, day_in_words as day};
use serde::{Deserialize, Serialize};

use crate::adapt::adapt_figures;
use crate::session::{Cell, Rung, Session, StopSign};

/// What is known beside the log.
#[derive(Clone, Copy, Debug)]
pub struct Circumstances<'a> {
    /// The day it is decided on.
    pub today: Date,
    /// Pain that a therapist accepts for this person; strict where there is none.
    pub monitored: Option<&'a Monitored>,
    /// By what was found; the log can only raise it.
    pub irritability: Irritability,
    /// How swollen the knees were found.
    pub swelling: &'a Swelling,
    /// Where directions stood before this programme, because they had hurt.
    pub carried: &'a [Carried],
    /// The day of the last step up; none where there was none.
    pub last_step_up: Option<Date>,
    /// Who cleared which stop signs.
    pub cleared: Option<&'a Cleared>,
    /// Days a week on which something is asked, 1 to 7.
    pub days_a_week: u8,
}

/// Pain that a therapist accepts for one person from a day on. Only a person can set it, with a reason.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Monitored {
    up_to: u8,
    by: String,
    why: String,
    on: Date,
}

/// Why pain cannot be monitored so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MonitorError {
    /// Nobody said who sets it.
    NoPerson,
    /// Nobody said why.
    NoReason,
    /// More pain than can be accepted.
    TooMuch {
        /// Of 10.
        given: u8,
    },
}

impl std::fmt::Display for MonitorError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoPerson => {
                f.write_str("who accepts this pain was not given; write the name of the therapist")
            }
            Self::NoReason => f.write_str("why this pain is accepted was not given; write the reason"),
            Self::TooMuch { given } => {
                write!(f, "`{given}` of 10 cannot be accepted; accepted: 0 to {}", adapt_figures().most_pain)
            }
        }
    }
}

impl std::error::Error for MonitorError {}

impl Monitored {
    /// Accepts pain up to a number of 10, settled by the next morning.
    ///
    /// # Errors
    /// Person or reason is blank, or the number is larger than anybody may accept.
    ///
    /// ```
    /// use jiff::civil::date;
    /// use progress::{MonitorError, Monitored};
    /// assert!(Monitored::by("Tarn, physiotherapist", "tendon", date(2026, 2, 9), 5).is_ok());
    /// assert_eq!(Monitored::by("", "tendon", date(2026, 2, 9), 5), Err(MonitorError::NoPerson));
    /// ```
    pub fn by(person: &str, why: &str, on: Date, up_to: u8) -> Result<Self, MonitorError> {
        if person.trim().is_empty() {
            return Err(MonitorError::NoPerson);
        }
        if why.trim().is_empty() {
            return Err(MonitorError::NoReason);
        }
        if up_to > adapt_figures().most_pain {
            return Err(MonitorError::TooMuch { given: up_to });
        }
        Ok(Self { up_to, by: person.trim().to_owned(), why: why.trim().to_owned(), on })
    }

    /// The most pain of 10.
    #[must_use]
    pub fn up_to(&self) -> u8 {
        self.up_to
    }

    /// The first day on which it is accepted; what hurt before is not.
    #[must_use]
    pub fn since(&self) -> Date {
        self.on
    }

    /// In one sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let Self { up_to, by, why, on } = self;
        format!(
            "Pain up to {up_to} of 10 that has settled by the next morning is accepted by {by} since {}: {why}.",
            day(*on)
        )
    }
}

/// A grade of swelling that a clinician found, by the stroke test: 0 none, 1 trace, 2 one plus, 3 two plus,
/// 4 three plus.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Effusion {
    /// The day.
    pub on: Date,
    /// The knee.
    pub side: Side,
    /// The grade.
    pub grade: u8,
}

/// How swollen the knees were found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Swelling {
    /// What was found, in any order.
    pub found: Vec<Effusion>,
    /// How many times before those it was two plus or more, as the case says.
    pub episodes_before: usize,
}

/// Where a direction of a limb stood before this programme, because it had hurt: in one family of movements, or
/// in all of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Carried {
    /// The limb that moves.
    pub mover: Side,
    /// Where to.
    pub bearing: Bearing,
    /// In which family; none where the notes do not say, which counts for all.
    pub family: Option<Family>,
    /// How far down the pain rule it is.
    pub rung: Rung,
}

impl Carried {
    /// Whether this is about a direction of a programme.
    #[must_use]
    pub fn is_of(self, cell: Cell) -> bool {
        self.mover == cell.mover
            && self.bearing == cell.bearing
            && self.family.is_none_or(|family| family == cell.family)
    }
}

/// A clinician looked at stop signs that had been told of and lets the person go on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cleared {
    /// Who.
    pub by: String,
    /// The day.
    pub on: Date,
    /// What was found.
    pub why: String,
    /// What was looked at: these signs and no others, whatever their day. Where it is not known, none.
    #[serde(default)]
    pub signs: Vec<ToldSign>,
}

/// A stop sign as it was told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct ToldSign {
    /// Which.
    pub sign: StopSign,
    /// The day of its session.
    pub on: Date,
    /// Which session of that day, from 1.
    pub nth: u8,
}

/// The signs of a log that stop everything until a clinician has looked, each once.
///
/// ```
/// use jiff::civil::date;
/// use progress::{Session, StopSign, stop_signs};
/// let told = |stopped| Session {
///     on: date(2026, 2, 9), nth: 1, pain_before: None, cells: Vec::new(), stopped, effort: None, morning: None,
/// };
/// assert_eq!(stop_signs(&[told(Some(StopSign::Unwell))]).len(), 1);
/// assert!(stop_signs(&[told(None), told(Some(StopSign::Unsteady))]).is_empty());
/// ```
#[must_use]
pub fn stop_signs(sessions: &[Session]) -> Vec<ToldSign> {
    let told = |session: &Session| {
        let sign = session.stopped.filter(|sign| sign.stops_everything())?;
        Some(ToldSign { sign, on: session.on, nth: session.nth })
    };
    let signs: BTreeSet<ToldSign> = sessions.iter().filter_map(told).collect();
    signs.into_iter().collect()
}
