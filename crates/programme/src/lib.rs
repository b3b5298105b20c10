//! From permitted movements and goals to at most three exercises that fit the time.

#![forbid(unsafe_code)]

mod candidate;
mod limits;
mod programme;
mod trains;

pub use candidate::Candidate;
pub use limits::{ClearFloor, FootSize, Limits};
pub use programme::{Dropped, Exercise, ExerciseMovement, LimbPart, NoProgramme, Programme};
pub use trains::{Strong, Trained};
