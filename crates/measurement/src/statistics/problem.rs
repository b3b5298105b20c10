//! Why a statistic cannot be computed: what was given, what is accepted, what to do.

use serde::Serialize;

/// The largest size of a value: its square, summed over any sample, is still a number.
pub const LARGEST: f64 = 1e100;

/// A statistic that has no answer for what was given. Never a NaN instead.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error, Serialize)]
#[serde(tag = "problem", rename_all = "snake_case")]
pub enum Problem {
    /// Fewer values than the formula needs.
    #[error("{what}: `{given}` given, at least {least} needed; measure more before this can be said")]
    TooFew {
        /// What was counted.
        what: &'static str,
        /// How many there are.
        given: usize,
        /// The smallest number that is accepted.
        least: usize,
    },
    /// A value is NaN, infinite, or too large to square.
    #[error(
        "{what}, value {at}: `{given}` given, a number of size up to 1e100 is accepted; correct it or leave it out and say so"
    )]
    NotANumber {
        /// Which list.
        what: &'static str,
        /// Which value of it, counted from 1.
        at: usize,
        /// As it was given.
        given: String,
    },
    /// A parameter lies outside what its formula allows.
    #[error("{what}: `{given}` given, {accepted} is accepted")]
    OutOfRange {
        /// Which parameter.
        what: &'static str,
        /// As it was given.
        given: String,
        /// What would do.
        accepted: &'static str,
    },
    /// Nothing varies, so a ratio of variances or a standardised difference has no meaning.
    #[error(
        "{what} do not differ, so {so}; a scale that is capped or read too coarsely looks like this, look at the raw values"
    )]
    NoSpread {
        /// Which differences are all alike.
        what: &'static str,
        /// What cannot be said.
        so: &'static str,
    },
    /// Two lists that belong together have different lengths.
    #[error(
        "{what}: `{first}` and `{second}` values given, as many of one as of the other are accepted; pair them by person"
    )]
    Unequal {
        /// Which lists.
        what: &'static str,
        /// Length of the first.
        first: usize,
        /// Length of the second.
        second: usize,
    },
    /// A row of a table has another length than the first.
    #[error(
        "row {row}: `{given}` values given, the first row has {expected}; fill in or leave out that person"
    )]
    Ragged {
        /// Which row, counted from 1.
        row: usize,
        /// Its length.
        given: usize,
        /// The length of the first row.
        expected: usize,
    },
    /// A cell of a table is empty.
    #[error(
        "row {row}, column {column} is empty; every person needs every trial: leave out the person and say so, or measure again"
    )]
    Missing {
        /// Which row, counted from 1.
        row: usize,
        /// Which column, counted from 1.
        column: usize,
    },
    /// The formula has no value here although every input is acceptable.
    #[error("{what} is not defined: {because}")]
    Undefined {
        /// Which statistic.
        what: &'static str,
        /// Why.
        because: &'static str,
    },
}

/// The parameter, if it lies strictly between two bounds.
pub(crate) fn between(
    what: &'static str,
    given: f64,
    low: f64,
    high: f64,
    accepted: &'static str,
) -> Result<f64, Problem> {
    if given > low && given < high { Ok(given) } else { Err(out_of_range(what, given, accepted)) }
}

/// The parameter, if it is a number whose size is at most [`LARGEST`].
pub(crate) fn number(what: &'static str, given: f64) -> Result<f64, Problem> {
    if given.abs() <= LARGEST {
        Ok(given)
    } else {
        Err(out_of_range(what, given, "a number of size up to 1e100"))
    }
}

/// The parameter, if it is above nought and at most [`LARGEST`].
pub(crate) fn positive(what: &'static str, given: f64) -> Result<f64, Problem> {
    if given > 0.0 && given <= LARGEST {
        Ok(given)
    } else {
        Err(out_of_range(what, given, "a number above 0 and up to 1e100"))
    }
}

/// The parameter, if it is not below nought and at most [`LARGEST`].
pub(crate) fn not_negative(what: &'static str, given: f64) -> Result<f64, Problem> {
    if (0.0..=LARGEST).contains(&given) {
        Ok(given)
    } else {
        Err(out_of_range(what, given, "a number from 0 to 1e100"))
    }
}

/// The result, if it is a number: the last guard against a NaN or an infinity that arose on the way.
pub(crate) fn finished(what: &'static str, value: f64) -> Result<f64, Problem> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(Problem::Undefined { what, because: "the values given are too far apart in size to compute it" })
    }
}

pub(crate) fn out_of_range(what: &'static str, given: f64, accepted: &'static str) -> Problem {
    Problem::OutOfRange { what, given: format!("{given:?}"), accepted }
}
