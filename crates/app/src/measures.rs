//! Measuring: from a file of trials to scores, changes, norms and criteria of return.

mod change;
mod change_charts;
mod change_words;
mod derived;
mod file;
mod gates;
mod own;
mod read;
mod read_test;
mod reader;
mod recorded;
mod report;
mod returning;
mod template;
mod trials;

pub(crate) use change::once_of;
pub use change::{ChangeReport, ChangedResult, ChangedTest, CourseRow, change_report};
pub use change_charts::ChangeChart;
pub use gates::{RefusedTest, gates_of};
pub use read::{SeriesFile, read_measures};
pub use recorded::{Entry, Measures};
pub(crate) use report::involved_of;
pub use report::{MeasureReport, MeasuredDay, MeasuredRow, OnScale, SymmetryRow, measure_report};
pub use returning::{ReturnReport, activity_of, return_report};
pub use template::{measures_template, tests_list};
