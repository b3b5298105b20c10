//! What the engine computes beside what was published, with a verdict for each figure.
//!
//! Nothing here may be used to tune the engine: a disagreement is printed as a disagreement with
//! its likely reason. Published figures stand in `reference/validation/`; [`report`] compares
//! them all, [`Orderings::judged`] also takes orderings that were kept aside.

#![forbid(unsafe_code)]

mod asked;
mod body;
mod claim;
mod contact;
mod landing;
mod lunge;
mod measure;
mod mechanics;
mod muscles;
mod orderings;
mod people;
mod planar;
mod reach;
mod render;
mod report;
mod row;
mod strength;
mod target;

pub use claim::{Claim, Expectation, Outcome, outcome};
pub use orderings::{Orderings, OrderingsError};
pub use report::{Count, Report, report};
pub use row::{Row, Topic, Verdict};
pub use target::{Target, targets};
