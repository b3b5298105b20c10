//! A finding, the day it was made, and how long it may be relied on.

use jiff::civil::Date;
use serde::Serialize;

/// Something that was found, or was not assessed. Unknown is a value of its own.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Finding<T> {
    /// Nobody has looked. Never opens anything.
    #[default]
    NotAssessed,
    /// This was found on that day.
    Found {
        /// What was found.
        value: T,
        /// The day it was found.
        on: Date,
    },
}

/// How long a kind of finding may be relied on, in days.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ShelfLife {
    /// Days; the finding still counts on the last of them.
    pub days: u16,
}

/// What a finding is worth today.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Known<'a, T> {
    /// Found and still within its shelf life.
    Current(&'a T),
    /// Found, but too long ago (or dated after today): counts as not assessed.
    Stale {
        /// The day it was found.
        on: Date,
    },
    /// Nobody has looked.
    NotAssessed,
}

impl<T> Finding<T> {
    /// What this finding is worth on `today`.
    #[must_use]
    pub fn on(&self, today: Date, life: ShelfLife) -> Known<'_, T> {
        match self {
            Self::NotAssessed => Known::NotAssessed,
            Self::Found { value, on } => {
                let age = today.since(*on).map(|span| i64::from(span.get_days()));
                match age {
                    Ok(days) if (0..=i64::from(life.days)).contains(&days) => Known::Current(value),
                    _ => Known::Stale { on: *on },
                }
            }
        }
    }
}

impl<'a, T> Known<'a, T> {
    /// The value, only when it is current.
    #[must_use]
    pub fn current(self) -> Option<&'a T> {
        match self {
            Self::Current(value) => Some(value),
            Self::Stale { .. } | Self::NotAssessed => None,
        }
    }
}
