//! From findings to the movements allowed today, with the reason for each that is not.

#![forbid(unsafe_code)]

mod alert;
mod body_measures;
mod condition_state;
mod criteria;
mod finding_key;
mod floor;
mod impact;
mod ladder;
mod levels;
mod limits;
mod longest;
mod look;
mod movements;
mod note;
mod ordered_caps;
mod other_tasks;
mod pain;
mod permit;
mod permitted;
mod preset;
mod questions;
mod ray;
mod refusal;
mod response;
mod returns;
mod rules;
mod scope;
mod screen;
mod service;
mod space;
mod survey;
mod tables;
mod weight;
mod words;

pub use alert::{Alert, AlertLine, red_flag_asked};
pub use condition_state::table_of;
pub use finding_key::FindingKey;
pub use ladder::{level, level_of};
pub use look::{FoundToday, Looked};
pub use movements::{Computed, Engine, Movements};
pub use note::{Note, NoteKind};
pub use other_tasks::Bend;
pub use permit::AngleCheck;
pub use permitted::{PermittedMovement, ScreenedMovement};
pub use preset::{Criterion, Edited};
pub use questions::{Question, Questions, questions};
pub use ray::{OpenTo, Ray, RayVerdict, Space, SurveyedRay};
pub use refusal::{Blocked, Layer, Refusal};
pub use response::{Irritability, PainRule, SwellingRule, pain_rule, swelling_rule};
pub use returns::{Cited, Readiness, ReturnToday};
pub use service::{ServiceError, ServicePreset};
pub use space::{AllowedSpace, PhaseToday, allowed_space, allowed_space_by, allowed_space_in};
pub use survey::{Setup, SurveyChoices, grid, rays};
pub use tables::shelf_life;
