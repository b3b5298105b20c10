//! What arms and trunk do while the legs move.

use serde::{Deserialize, Serialize};

use crate::HandHeight;

/// What arms and trunk do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ArmTask {
    /// Arms hang, or hold what is carried where it hangs.
    Free,
    /// Bend until the hands pass a height, then do something on the way back.
    BendAndReturn {
        /// How low the hands go.
        to: HandHeight,
        /// What they do on the return.
        then: OnReturn,
    },
    /// Turn the trunk to a side with what is held in front of the chest.
    Turn {
        /// To which side.
        toward: TurnToward,
    },
    /// Both hands go up over the head.
    Overhead,
    /// A task of this person's sport, work or day.
    Goal(GoalTask),
}

/// What the arms do when the trunk comes up again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum OnReturn {
    Hang,
    Curl,
    Row,
    Press,
}

/// To which side the trunk turns, seen from the moving limb.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TurnToward {
    /// Toward the side of the moving limb.
    SameSide,
    /// Toward the other side.
    OtherSide,
}

/// Tasks that people come back to. Each is a parameterised path of hands and trunk.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GoalTask {
    /// Passing a ball from the chest.
    Pass,
    /// Striking overhead with one arm.
    OverheadStrike,
    /// A stroke on the side of the arm that swings.
    Forehand,
    /// A stroke across the body.
    Backhand,
    /// Lifting from low in front and turning.
    LiftAndTurn,
    /// Carrying in front and turning.
    CarryAndTurn,
    /// Getting out of a car, from a low seat to the side.
    OutOfCar,
    /// One step up a stair.
    UpStair,
    /// Turning at a bench with something held.
    TurnAtBench,
}

impl OnReturn {
    /// Every way of coming back.
    pub const ALL: [Self; 4] = [Self::Hang, Self::Curl, Self::Row, Self::Press];

    /// The trade name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Hang => "hang",
            Self::Curl => "curl",
            Self::Row => "row",
            Self::Press => "press",
        }
    }
}

impl GoalTask {
    /// Every goal task.
    pub const ALL: [Self; 9] = [
        Self::Pass,
        Self::OverheadStrike,
        Self::Forehand,
        Self::Backhand,
        Self::LiftAndTurn,
        Self::CarryAndTurn,
        Self::OutOfCar,
        Self::UpStair,
        Self::TurnAtBench,
    ];

    /// The key used in tables and case files.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::OverheadStrike => "overhead_strike",
            Self::Forehand => "forehand",
            Self::Backhand => "backhand",
            Self::LiftAndTurn => "lift_and_turn",
            Self::CarryAndTurn => "carry_and_turn",
            Self::OutOfCar => "out_of_car",
            Self::UpStair => "up_stair",
            Self::TurnAtBench => "turn_at_bench",
        }
    }

    /// Finds a task by its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|task| task.key() == key)
    }

    /// Plain words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pass => "passing a ball",
            Self::OverheadStrike => "striking overhead",
            Self::Forehand => "a forehand",
            Self::Backhand => "a backhand",
            Self::LiftAndTurn => "lifting and turning",
            Self::CarryAndTurn => "carrying and turning",
            Self::OutOfCar => "getting out of a car",
            Self::UpStair => "a step up a stair",
            Self::TurnAtBench => "turning at a bench",
        }
    }
}

impl ArmTask {
    /// The end of a movement's sentence, empty for free arms.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Free => String::new(),
            Self::BendAndReturn { to, then } => {
                format!(", hands to {} height and back with {}", to.name(), then.name())
            }
            Self::Turn { toward: TurnToward::SameSide } => ", turning toward the moving limb".to_owned(),
            Self::Turn { toward: TurnToward::OtherSide } => ", turning away from the moving limb".to_owned(),
            Self::Overhead => ", both hands overhead".to_owned(),
            Self::Goal(task) => format!(", as in {}", task.name()),
        }
    }
}
