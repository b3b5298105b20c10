//! Which movement is meant: family, direction, distance, load, task, tempo, order.

#![forbid(unsafe_code)]

mod arms;
mod direction;
mod dose;
mod landing;
mod repertoire;
mod spec;
mod support;

pub use arms::{ArmTask, GoalTask, OnReturn, TurnToward};
pub use direction::{AnatomicalDirection, Bearing, Crossing};
pub use dose::{Dose, Tempo};
pub use landing::Landing;
pub use repertoire::repertoire;
pub use spec::{Family, HandHeight, Load, MovementSpec, SpecError, StanceFoot};
pub use support::{HandShare, Place, Solid, Support, SupportKind};
