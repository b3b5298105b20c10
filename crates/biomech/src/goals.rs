//! Goal tasks of sport, work and day: the base movement of each and its key poses, read from
//! `reference/goal_tasks.toml`.

use std::sync::OnceLock;

use anatomy::Side;
use movement::{
    AnatomicalDirection, ArmTask, Bearing, Family, GoalTask, HandHeight, HandShare, Load, MovementSpec,
    StanceFoot, Support,
};
use quantity::reference::TableHead;
use quantity::{Length, Mass};
use serde::Deserialize;

use crate::body::Body;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    task: Vec<Goal>,
}

/// One goal task.
#[allow(dead_code, reason = "read when the poses are solved")]
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Goal {
    task: GoalTask,
    family: Family,
    /// Named from the moving leg.
    direction: AnatomicalDirection,
    /// Share of leg length.
    distance: f64,
    /// How far the pelvis sinks at least, share of leg length; zero: not asked.
    drop: f64,
    rise_m: f64,
    pub(crate) arm: Arms,
    load: Carried,
    mass_kg: f64,
    pub(crate) pose: Vec<Pose>,
}

impl Goal {
    /// Whether some pose places a hand or turns the trunk.
    pub(crate) fn asks_arms(&self) -> bool {
        self.pose.iter().any(|p| p.hand.is_some() || p.hands_at.is_some() || p.turn_deg.is_some())
    }
}

/// Which arms take the pose; the other hangs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Arms {
    Both,
    /// The arm on the side of the moving leg.
    Mover,
    /// The arm on the other side.
    Other,
}

impl Arms {
    #[allow(dead_code, reason = "read when the poses are solved")]
    pub(crate) fn takes(self, side: Side, mover: Side) -> bool {
        match self {
            Self::Both => true,
            Self::Mover => side == mover,
            Self::Other => side != mover,
        }
    }
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Carried {
    None,
    InBothHands,
}

/// Where the feet are in a pose.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Feet {
    /// Both at the start.
    Start,
    /// The moving foot at its far place.
    Far,
    /// The moving foot at its far place carries all, the other has just left the floor.
    Over,
}

/// A hand in the trunk's frame, from its own shoulder, in shares of arm length.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct HandAt {
    pub(crate) ahead: f64,
    pub(crate) up: f64,
    /// Away from the midline; negative toward and across it.
    pub(crate) out: f64,
}

/// One key pose.
#[allow(dead_code, reason = "read when the poses are solved")]
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Pose {
    pub(crate) name: String,
    pub(crate) feet: Feet,
    /// Facing of the trunk, degrees toward the side of the moving leg.
    pub(crate) turn_deg: Option<f64>,
    pub(crate) hand: Option<HandAt>,
    pub(crate) hands_at: Option<HandHeight>,
    /// Height of the hip centres at most, metres.
    pub(crate) hip_height_m: Option<f64>,
}

/// The row of one goal task.
pub(crate) fn goal(task: GoalTask) -> &'static Goal {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE
        .get_or_init(|| {
            toml::from_str(include_str!("../../../reference/goal_tasks.toml"))
                .unwrap_or_else(|e| panic!("reference/goal_tasks.toml: {e}"))
        })
        .task
        .iter()
        .find(|row| row.task == task)
        .unwrap_or_else(|| panic!("goal task `{}` is in the table", task.key()))
}

/// The names of the key poses of a goal task, in order; a frame's `Phase::GoalPose(k)` is the k-th.
#[must_use]
pub fn goal_poses(task: GoalTask) -> Vec<&'static str> {
    goal(task).pose.iter().map(|pose| pose.name.as_str()).collect()
}

/// The base movement of a goal task for this body: where the given leg goes, how far, with what,
/// without support. Own choices of `reference/goal_tasks.toml`, scaled by the measured or modelled
/// length of that leg. Whether it may be done today is for the gates to say.
#[must_use]
pub fn goal_movement(body: &Body, task: GoalTask, mover: Side) -> MovementSpec {
    let row = goal(task);
    let leg = body.leg_length(mover);
    let bearing = Bearing::of(row.direction, row.family.named_from(mover));
    MovementSpec {
        family: row.family,
        mover,
        bearing,
        crossing: row.family.ways(bearing, mover)[0],
        stance_foot: StanceFoot::Fixed,
        distance: leg.times(row.distance),
        depth: (row.family == Family::Lunge).then(|| leg.times(row.drop)),
        hand_height: None,
        load: match row.load {
            Carried::None => Load::None,
            Carried::InBothHands => Load::InBothHands { mass: Mass::kg(row.mass_kg) },
        },
        support: Support::None,
        place: None,
        hand_share: HandShare::NotAssessed,
        arms: ArmTask::Goal(task),
        landing: None,
        rise: Length::m(row.rise_m),
    }
}

#[cfg(test)]
mod tests {
    use anatomy::{BodySize, PerSide, Sex};

    use super::*;

    #[test]
    fn every_goal_task_has_a_base_movement_that_is_one_movement_and_two_to_four_poses() {
        let size =
            BodySize::new(Length::cm(171.0), Mass::kg(74.0), Sex::Female, 47, PerSide::default()).unwrap();
        let body = Body::of(&size);
        for task in GoalTask::ALL {
            for mover in Side::BOTH {
                let spec = goal_movement(&body, task, mover);
                assert_eq!(spec.clone().checked(), Ok(spec.clone()), "{}", spec.sentence());
                let mirrored = goal_movement(&body, task, mover.other()).mirrored();
                assert_eq!(spec, mirrored, "{}", spec.sentence());
            }
            assert!((2..=4).contains(&goal_poses(task).len()), "{task:?}");
            for pose in &goal(task).pose {
                let length = pose.hand.map_or(0.0, |h| h.ahead.hypot(h.up).hypot(h.out));
                assert!(length < 0.99, "{task:?}, {}: the arm is not that long", pose.name);
            }
        }
    }
}
