//! From findings to the movements allowed today, with the reason for each that is not.

#![forbid(unsafe_code)]

mod alert;
mod note;
mod permitted;
mod ray;
mod refusal;

pub use alert::{Alert, AlertLine};
pub use note::{Note, NoteKind};
pub use permitted::{PermittedMovement, ScreenedMovement};
pub use ray::{OpenTo, Ray, RayVerdict, Space, SurveyedRay};
pub use refusal::{Blocked, Layer, Refusal};
