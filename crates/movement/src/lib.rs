//! Which movement is meant: family, direction, distance, load, task, tempo, order.

#![forbid(unsafe_code)]

mod direction;
mod dose;
mod spec;
mod support;

pub use direction::{AnatomicalDirection, Bearing, Crossing};
pub use dose::{Dose, Tempo};
pub use spec::{Family, HandHeight, Load, MovementSpec, SpecError, StanceFoot};
pub use support::{Place, Solid, Support, SupportKind};
