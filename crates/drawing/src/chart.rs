//! Charts of measures: agreement of two readings, the course of a result, reach at two dates.
//!
//! Plain numbers in: this module knows no test and no person. What is uncertain is drawn as a grey band
//! or whisker, labels stand at what they name, and left and right differ in line and mark besides ink.

mod agreement;
mod axis;
mod course;
mod reach;

pub use agreement::{AgreementChart, Band, agreement_chart};
pub use course::{CourseChart, CourseLine, CoursePoint, course_chart};
pub use reach::{ReachChart, ReachWords, reach_chart};
