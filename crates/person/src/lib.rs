//! What was found in this patient: condition, operation, precautions, pain, irritability, goals.

#![forbid(unsafe_code)]

mod answer;
pub mod case_file;
mod comorbidity;
mod condition;
mod finding;
mod findings;
mod goals;
mod home;
mod last_programme;
mod order;
mod presentation;
mod red_flag;
mod redated;
mod senses;

pub use answer::{Answer, AnswerKind, Answered, Answers};
pub use comorbidity::Comorbidity;
pub use condition::{Condition, HipApproach, Involved, KneeSurgery, OtherCondition, PhaseConfirmation};
pub use finding::{Finding, Known, ShelfLife};
pub use findings::{Aid, CaseFile, Clinic, Findings, HurtAt, Person, Strength};
pub use goals::{Goal, GoalKind, Wishes};
pub use home::{Equipment, Home};
pub use last_programme::LastProgramme;
pub use order::{HowKnown, OrderedLimit, SurgeonOrder, WeightBearing, WeightBearingGrade};
pub use presentation::{Clock, Pattern, Presentation, Presented};
pub use red_flag::{RedFlag, Urgency};
pub use senses::{Footwear, Hearing, Sight};
