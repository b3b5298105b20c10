//! The use cases: the arrows in order, with today's date.

#![forbid(unsafe_code)]

mod candidates;
mod demo;
mod explain;
mod person_today;
mod plan;
mod progress;
mod sentence;
mod sheet;
mod space;
mod survey;

pub use demo::{DemoCase, demo_cases};
pub use explain::{ExplainError, Explanation, Row, explain_case};
pub use person_today::{PersonToday, day_of};
pub use plan::{Outcome, Plan, plan_case};
pub use progress::{Part, Progress, silent};
pub use sentence::{GRAMMAR, SentenceError, SentenceReader};
pub use sheet::{handout_of_plan, programme_json, programme_text};
pub use space::{SpaceRow, SpaceTable, space_case, space_table};
pub use survey::survey;
