//! A clinician's word to do a refused test all the same, with reason, name and date.

use jiff::civil::Date;
use safety::Layer;
use serde::Serialize;

use super::{TestAnswer, TestToday};

/// Somebody decided to do one refused test today. It never opens a movement of a programme.
///
/// ```
/// use app::Override;
/// use jiff::civil::date;
/// let on = Some(date(2026, 2, 4));
/// assert!(Override::new("baseline before discharge", "Tarn, physiotherapist", on).is_ok());
/// let error = Override::new("  ", "Tarn, physiotherapist", on).unwrap_err();
/// assert!(error.to_string().contains("a reason"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Override {
    reason: String,
    name: String,
    date: Date,
    /// Who was informed, of those whose orders stand against it.
    informed: Vec<String>,
}

/// Why a test is not overridden.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum OverrideError {
    /// Something of the three is missing.
    #[error("an override needs {missing}; it was left blank. State why, who decides and the day")]
    Missing {
        /// What is missing.
        missing: &'static str,
    },
    /// It names another day.
    #[error("the override is of {given}, the test of {today}; an override holds for its own day only")]
    OtherDay {
        /// The day of the override.
        given: Date,
        /// The day of the answer.
        today: Date,
    },
    /// A red flag, or nobody asked for red flags.
    #[error("a red flag, or one that was not asked for, is not overridden: {reason}")]
    RedFlag {
        /// What stands against it.
        reason: String,
    },
    /// An order stands against it and its author was not named as informed.
    #[error(
        "the surgeon's orders come first: name {} as informed and agreed, or leave the test out",
        if .by.is_empty() { "whoever gives the orders".to_owned() } else { .by.join(" and ") }
    )]
    OrderStands {
        /// Whose orders.
        by: Vec<String>,
    },
    /// The test was not refused.
    #[error("`{test}` is offered today; there is nothing to override")]
    NotRefused {
        /// The test.
        test: String,
    },
}

impl Override {
    /// An override with its three parts.
    ///
    /// # Errors
    /// Names the part that is blank or missing.
    pub fn new(reason: &str, name: &str, date: Option<Date>) -> Result<Self, OverrideError> {
        let stated = |text: &str, missing: &'static str| {
            let text = text.trim();
            if text.is_empty() { Err(OverrideError::Missing { missing }) } else { Ok(text.to_owned()) }
        };
        Ok(Self {
            reason: stated(reason, "a reason")?,
            name: stated(name, "the name of who decides")?,
            date: date.ok_or(OverrideError::Missing { missing: "the date" })?,
            informed: Vec::new(),
        })
    }

    /// The same, where the author of an order was informed and agreed.
    ///
    /// # Errors
    /// The name is blank.
    pub fn informed(mut self, author: &str) -> Result<Self, OverrideError> {
        let author = author.trim();
        if author.is_empty() {
            return Err(OverrideError::Missing { missing: "the name of who was informed" });
        }
        self.informed.push(author.to_owned());
        Ok(self)
    }

    /// Why.
    #[must_use]
    pub fn reason(&self) -> &str {
        &self.reason
    }

    /// Who decided.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Who was informed and agreed, of those whose orders stand against it.
    #[must_use]
    pub fn who_knows(&self) -> &[String] {
        &self.informed
    }

    /// The day.
    #[must_use]
    pub fn date(&self) -> Date {
        self.date
    }
}

impl TestToday {
    /// The same test, overridden: every reason stays beside it.
    ///
    /// # Errors
    /// The test is offered anyway, the override is of another day, a red flag is present or was not asked
    /// for, or an order stands against it whose author was not named as informed.
    pub fn overridden(self, by: Override) -> Result<Self, OverrideError> {
        let (reasons, ordered_by, nearest) = match self.answer {
            TestAnswer::Refused { reasons, ordered_by, nearest }
            | TestAnswer::Overridden { reasons, ordered_by, nearest, .. } => (reasons, ordered_by, nearest),
            TestAnswer::Offered { .. } => {
                return Err(OverrideError::NotRefused { test: self.instrument.to_string() });
            }
        };
        if by.date != self.on {
            return Err(OverrideError::OtherDay { given: by.date, today: self.on });
        }
        if let Some(flag) = reasons.iter().find(|refusal| refusal.layer == Layer::RedFlag) {
            return Err(OverrideError::RedFlag { reason: flag.reason.clone() });
        }
        let ordered = reasons.iter().any(|refusal| refusal.layer == Layer::SurgeonOrder);
        let all_know = ordered_by.iter().all(|author| by.informed.contains(author));
        if ordered && (by.informed.is_empty() || !all_know) {
            return Err(OverrideError::OrderStands { by: ordered_by });
        }
        Ok(Self { answer: TestAnswer::Overridden { by, reasons, ordered_by, nearest }, ..self })
    }
}
