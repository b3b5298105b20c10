//! What an exercise trains, in the terms of the goals.

use anatomy::{JointMotion, MuscleGroup};
use movement::{AnatomicalDirection, GoalTask};
use quantity::{Angle, Share};
use serde::Serialize;

/// Whether work is called strength. A movement is called strength only where its demand reaches
/// the published threshold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Strong {
    /// The estimated demand reaches the threshold.
    Strength,
    /// It stays below: the muscles work, but it is not called strength.
    BelowThreshold,
    /// The capacity is not known, so nothing is claimed.
    Unknown,
}

/// One thing that an exercise trains. Every figure is an estimate.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Trained {
    /// A muscle group works.
    Muscles {
        /// Which group.
        group: MuscleGroup,
        /// Largest estimated share of capacity, mean of both legs; `None` when capacity is unknown.
        share: Option<Share>,
        /// Whether it is called strength.
        strong: Strong,
    },
    /// A joint goes through range.
    Range {
        /// Which motion.
        motion: JointMotion,
        /// Largest computed angle, mean of both legs.
        angle: Angle,
    },
    /// Position is controlled going out in a direction.
    Control {
        /// Named from the limb that moves.
        direction: AnatomicalDirection,
    },
    /// A task of the person's own is practised in part.
    Task {
        /// Which task.
        task: GoalTask,
        /// How much of it the movements cover, whatever their dose.
        covered: Share,
    },
    /// Balance is challenged.
    Balance {
        /// Smallest computed margin to the edge of the base, centimetres.
        margin_cm: f64,
    },
}
