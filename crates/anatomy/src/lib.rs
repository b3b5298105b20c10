//! Sides, limb roles, joints and their signs, muscle groups, body size.

#![forbid(unsafe_code)]

mod body_size;
mod joint;
mod muscles;
mod side;

pub use body_size::{BodySize, BodySizeError, Sex};
pub use joint::{Coordinate, Joint, JointMotion, MuscleGroup};
pub use muscles::LegMuscles;
pub use side::{LimbRole, PerSide, Side};
