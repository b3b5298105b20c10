//! From permitted movements and goals to at most three exercises that fit the time.

#![forbid(unsafe_code)]

mod candidate;
mod choose;
mod distance;
mod facts;
mod limits;
mod neighbours;
mod option;
mod plan;
mod programme;
mod reference;
mod trains;
mod words;

#[cfg(test)]
mod laws;

pub use candidate::Candidate;
pub use distance::{FurthestSetBy, floor_needed, prescribed_distance};
pub use limits::{ClearFloor, FootSize, Limits};
pub use neighbours::{
    Changed, StepCeilings, Way, chosen_by_a_therapist_only, step_ceilings, steps, to_other_sides,
};
pub use plan::plan;
pub use programme::{Dropped, Exercise, ExerciseMovement, LimbPart, NoProgramme, Programme};
pub use reference::{Figures, figures};
pub use trains::{Strong, Trained};
