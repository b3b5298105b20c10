//! From permitted movements and goals to at most three exercises that fit the time.

#![forbid(unsafe_code)]

mod candidate;
mod choose;
mod column;
mod conflict;
mod distance;
mod dose_rules;
mod facts;
mod in_place;
mod limits;
mod neighbours;
mod option;
mod plan;
mod programme;
mod reference;
mod substitute;
mod task;
mod trade;
mod trains;

pub mod trial;
mod words;

#[cfg(test)]
mod laws;
#[cfg(test)]
mod laws_of_search;
#[cfg(test)]
mod laws_of_tasks;

pub use candidate::{Available, Candidate, tempo_from, tempo_of};
pub use conflict::{Conflict, Wish};
pub use distance::{FurthestSetBy, floor_needed, prescribed_distance};
pub use dose_rules::{DoseError, DoseRules};
pub use in_place::{Held, HeldDirection, InPlace, Taken, in_its_place};
pub use limits::{ClearFloor, FootSize, Limits};
pub use neighbours::{
    Changed, StepCeilings, Way, chosen_by_a_therapist_only, step_ceilings, steps, to_other_sides,
};
pub use plan::{plan, propose, propose_around};
pub use programme::{
    Days, Dropped, Exercise, ExerciseMovement, LimbPart, NoProgramme, Offer, Programme, Proof, Proposal,
};
pub use reference::{Figures, figures};
pub use substitute::{Asks, AsksPart, Substitute, Substitution, substitute};
pub use task::{Aspect, Missing, TaskAsked, TaskCovered};
pub use trains::{Strong, Trained};
