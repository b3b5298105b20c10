//! What the therapist answered to a proposal: the trace that stays beside it.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// What was said to a proposal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Taken as it stands.
    Accepted,
    /// Something else was done instead.
    Changed,
    /// Nothing was done.
    Declined,
}

/// One answer: what, by whom, when and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Answer {
    /// What was said.
    pub verdict: Verdict,
    /// Who said it.
    pub by: String,
    /// The day.
    pub on: Date,
    /// Why; needed for everything but plain acceptance.
    #[serde(default)]
    pub why: String,
}

/// Why an answer leaves no trace that somebody can follow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnswerError {
    /// Nobody said who answered.
    NoPerson,
    /// Changed or declined without a reason.
    NoReason,
}

impl std::fmt::Display for AnswerError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::NoPerson => "who answers was not given; sign in, or write the name",
            Self::NoReason => "a proposal was changed or declined without a reason; write why in a few words",
        })
    }
}

impl std::error::Error for AnswerError {}

impl Answer {
    /// An answer that can be followed.
    ///
    /// # Errors
    /// The person is blank, or the reason is and something was changed or declined.
    ///
    /// ```
    /// use jiff::civil::date;
    /// use progress::{Answer, AnswerError, Verdict};
    /// assert!(Answer::new(Verdict::Accepted, "Tarn", date(2026, 2, 9), "").is_ok());
    /// assert_eq!(Answer::new(Verdict::Declined, "Tarn", date(2026, 2, 9), " "), Err(AnswerError::NoReason));
    /// ```
    pub fn new(verdict: Verdict, by: &str, on: Date, why: &str) -> Result<Self, AnswerError> {
        if by.trim().is_empty() {
            return Err(AnswerError::NoPerson);
        }
        if verdict != Verdict::Accepted && why.trim().is_empty() {
            return Err(AnswerError::NoReason);
        }
        Ok(Self { verdict, by: by.trim().to_owned(), on, why: why.trim().to_owned() })
    }
}

/// A proposal with its answer, as both are kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Answered {
    /// The rules that led to the proposal.
    pub rules: Vec<String>,
    /// The proposal, as a sentence.
    pub proposed: String,
    /// What was done in its place, as a sentence; empty unless it was changed.
    #[serde(default)]
    pub instead: String,
    /// The answer.
    pub answer: Answer,
}
