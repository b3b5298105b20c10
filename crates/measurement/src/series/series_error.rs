//! What is wrong with a recorded series, with the line and column where there is one.

use serde::Serialize;

use super::columns::{Axis, Quantity, SeriesUnit};
use crate::statistics::Problem;

/// A series that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error, Serialize)]
#[serde(tag = "problem", rename_all = "snake_case")]
pub enum SeriesError {
    /// Something that has to be known stands neither in the file nor beside it.
    #[error(
        "{what} is not stated; write `# {key} = ...` above the header ({accepted}), or give it when reading"
    )]
    NotStated {
        /// What is missing.
        what: &'static str,
        /// Under which key a file states it.
        key: &'static str,
        /// What is accepted.
        accepted: &'static str,
    },
    /// The file says one thing and the caller another.
    #[error("{what}: the file says `{file}`, what was given with it says `{given}`; they must agree")]
    Contradiction {
        /// About what.
        what: &'static str,
        /// In the file.
        file: String,
        /// Given when reading.
        given: String,
    },
    /// A word in the lines above the header that is not known.
    #[error("line {line}: `{given}` given; {accepted} is accepted")]
    Statement {
        /// Line of the file, from 1.
        line: usize,
        /// As it stands there.
        given: String,
        /// What would do.
        accepted: &'static str,
    },
    /// The text has no header row or it names an unknown column.
    #[error(
        "line {line}, column {column}: header `{given}`; `ml`, `ap`, `vertical` and `time_s` are accepted, each once"
    )]
    Header {
        /// Line of the file.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// As it stands there.
        given: String,
    },
    /// A cell that is no number.
    #[error(
        "line {line}, column {column} (`{name}`): `{given}` given, a number such as 12.5 is accepted; do not fill gaps, cut the series before or after"
    )]
    Cell {
        /// Line of the file.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// Its header.
        name: String,
        /// As it stands there.
        given: String,
    },
    /// A line with more or fewer cells than the header.
    #[error("line {line}: {given} cells, the header has {expected}")]
    RaggedLine {
        /// Line of the file.
        line: usize,
        /// Cells on it.
        given: usize,
        /// Cells of the header.
        expected: usize,
    },
    /// A time that is not one step after the one before.
    #[error(
        "line {line}: {step} s after the line before, the steps are {usual} s; samples are missing or doubled, cut the series there"
    )]
    Step {
        /// Line of the file.
        line: usize,
        /// That step.
        step: String,
        /// The usual step.
        usual: String,
    },
    /// A unit of another quantity.
    #[error("{quantity:?} in {unit:?} makes no sense; {accepted} is accepted")]
    UnitOfOther {
        /// What was recorded.
        quantity: Quantity,
        /// The unit given.
        unit: SeriesUnit,
        /// A unit that would do.
        accepted: &'static str,
    },
    /// A rate that no instrument has.
    #[error("rate: `{given}` given, 1 to 10000 samples a second are accepted")]
    Rate {
        /// As given.
        given: String,
    },
    /// Nothing was recorded.
    #[error("no axis given; `ml`, `ap` or `vertical` is accepted")]
    NoAxis,
    /// One axis twice.
    #[error("{axis:?} given twice; name each axis once")]
    AxisTwice {
        /// Which.
        axis: Axis,
    },
    /// Columns of different length.
    #[error("{axis:?}: `{given}` samples, the first axis has {expected}")]
    Uneven {
        /// Which axis.
        axis: Axis,
        /// Its length.
        given: usize,
        /// Length of the first.
        expected: usize,
    },
    /// Too short or too long.
    #[error("`{given}` samples given, 2 to two million are accepted")]
    Length {
        /// How many.
        given: usize,
    },
    /// A sample that is no number.
    #[error("{axis:?}, sample {at}: `{given}` given, a number of size up to 1e9 is accepted")]
    Sample {
        /// Which axis.
        axis: Axis,
        /// Which sample, from 1.
        at: usize,
        /// As given.
        given: String,
    },
    /// The quantity or the axis that a figure needs was not recorded.
    #[error("{figure} needs {needed}")]
    Lacking {
        /// What was to be computed.
        figure: &'static str,
        /// What it is computed from.
        needed: &'static str,
    },
    /// A figure has no value.
    #[error(transparent)]
    Figure {
        /// Why.
        #[from]
        why: Problem,
    },
}
