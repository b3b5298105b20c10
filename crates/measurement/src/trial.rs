//! One attempt at a test: a value, not valid for a reason, stopped at the cap, or not possible.

use std::sync::OnceLock;

use quantity::reference::TableHead;
use serde::{Deserialize, Serialize};

/// What one attempt gave.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Trial {
    /// It counts, with its value in the unit of the test.
    Valid(f64),
    /// It does not count and is repeated.
    Invalid(InvalidReason),
    /// The test was stopped at its cap: the value is at least that.
    Capped,
    /// The person could not do it. Never a zero.
    Unable,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    reason: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    key: String,
    words: String,
}

fn rows() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let text = include_str!("../../../reference/instruments/invalid_reasons.toml");
        toml::from_str::<Table>(text)
            .unwrap_or_else(|e| panic!("reference/instruments/invalid_reasons.toml: {e}"))
            .reason
    })
}

/// Why a trial does not count: a key of `reference/instruments/invalid_reasons.toml`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct InvalidReason(&'static str);

/// A reason that no test has.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("reason `{given}` is not known; accepted: {accepted}")]
pub struct UnknownReason {
    /// What was given.
    pub given: String,
    /// Every reason there is.
    pub accepted: String,
}

impl<'de> Deserialize<'de> for InvalidReason {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::find(&String::deserialize(deserializer)?).map_err(serde::de::Error::custom)
    }
}

impl InvalidReason {
    /// Finds a reason by its key.
    ///
    /// # Errors
    /// Lists the reasons when none has this key.
    pub fn find(key: &str) -> Result<Self, UnknownReason> {
        rows().iter().find(|row| row.key == key).map(|row| Self(row.key.as_str())).ok_or_else(|| {
            UnknownReason {
                given: key.to_owned(),
                accepted: rows().iter().map(|row| row.key.as_str()).collect::<Vec<_>>().join(", "),
            }
        })
    }

    /// Every reason.
    pub fn all() -> impl Iterator<Item = Self> {
        rows().iter().map(|row| Self(row.key.as_str()))
    }

    /// The key as a file writes it.
    #[must_use]
    pub fn key(self) -> &'static str {
        self.0
    }

    /// The reason in words: `the heel lifted`.
    #[must_use]
    pub fn words(self) -> &'static str {
        rows().iter().find(|row| row.key == self.0).map_or(self.0, |row| row.words.as_str())
    }
}

impl std::fmt::Display for InvalidReason {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.words())
    }
}
