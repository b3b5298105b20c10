//! What the person wants back and what the therapist works on.

use anatomy::MuscleGroup;
use movement::{AnatomicalDirection, GoalTask};
use quantity::Span;
use serde::Serialize;

/// One thing to work on.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum GoalKind {
    /// Strength of a muscle group, both legs.
    Strength {
        /// Which group.
        group: MuscleGroup,
    },
    /// Range of a joint in one motion.
    Range {
        /// Which motion.
        motion: anatomy::JointMotion,
    },
    /// Control of position going out in a direction.
    Control {
        /// Which direction, named from the limb that moves.
        direction: AnatomicalDirection,
    },
    /// Balance on one leg and when weight moves.
    Balance,
    /// A task of the person's own sport, work or day, to both sides.
    Task {
        /// Which task.
        task: GoalTask,
    },
}

/// A goal with the weight the therapist gives it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Goal {
    /// What.
    #[serde(flatten)]
    pub kind: GoalKind,
    /// How much it counts beside the others; 1 is usual.
    pub weight: f64,
}

/// What the programme should achieve within which time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wishes {
    /// The person's own activities, in their words.
    pub activities: Vec<String>,
    /// What to work on.
    pub goals: Vec<Goal>,
    /// Longest time for all exercises together.
    pub minutes: Span,
    /// How many times a day.
    pub per_day: u8,
    /// How many exercises at most, 1 to 3.
    pub exercises: u8,
}
