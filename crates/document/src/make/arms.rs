//! What arms and trunk do, in sentences for one moving side.

use anatomy::Side;
use movement::{ArmTask, GoalTask, OnReturn, TurnToward};

use super::limb_steps::down_to;
use crate::language::Wording;

/// The sentences of an arm task, in the order of doing; none where the arms are free. Which arm swings and to which
/// side the trunk turns is that of the computed paths (`reference/goal_tasks.toml`).
pub(crate) fn arms(task: ArmTask, mover: Side, wording: Wording) -> Vec<String> {
    let words = wording.words();
    let arms = &words.arms;
    let turn = |side| arms.turn.of(side).to_owned();
    match task {
        ArmTask::Free => Vec::new(),
        ArmTask::BendAndReturn { to, then } => {
            let back = match then {
                OnReturn::Hang => &arms.hang,
                OnReturn::Curl => &arms.curl,
                OnReturn::Row => &arms.row,
                OnReturn::Press => &arms.press,
            };
            vec![arms.bend.clone(), down_to(to, &words.limb), back.clone()]
        }
        ArmTask::Turn { toward: TurnToward::SameSide } => vec![turn(mover)],
        ArmTask::Turn { toward: TurnToward::OtherSide } => vec![turn(mover.other())],
        ArmTask::Overhead => vec![arms.overhead.clone()],
        ArmTask::Goal(goal) => match goal {
            GoalTask::Pass => vec![arms.pass.clone()],
            GoalTask::OverheadStrike => vec![arms.strike.of(mover.other()).to_owned()],
            GoalTask::Forehand => vec![arms.forehand.of(mover).to_owned()],
            GoalTask::Backhand => vec![arms.backhand.of(mover).to_owned()],
            GoalTask::LiftAndTurn => vec![arms.lift.clone(), turn(mover)],
            GoalTask::CarryAndTurn => vec![arms.carry.clone(), turn(mover)],
            GoalTask::OutOfCar => vec![arms.out_of_car.clone()],
            GoalTask::UpStair => vec![arms.up_stair.clone()],
            GoalTask::TurnAtBench => vec![arms.set_down.clone()],
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use movement::HandHeight;

    /// Whatever arms may do is said, and a sentence that has a side names the side that it is about.
    #[test]
    fn every_arm_task_is_told_and_the_left_is_the_right_with_the_sides_changed() {
        let bends = HandHeight::ALL
            .into_iter()
            .flat_map(|to| OnReturn::ALL.into_iter().map(move |then| ArmTask::BendAndReturn { to, then }));
        let turns = [TurnToward::SameSide, TurnToward::OtherSide].map(|toward| ArmTask::Turn { toward });
        let goals = GoalTask::ALL.into_iter().map(ArmTask::Goal);
        for task in bends.chain(turns).chain(goals).chain([ArmTask::Overhead]) {
            let [left, right] = Side::BOTH.map(|mover| arms(task, mover, Wording::ENGLISH).join(" "));
            assert!(!left.is_empty(), "{task:?}");
            let turned = left.replace("LEFT", "here").replace("RIGHT", "LEFT").replace("here", "RIGHT");
            assert_eq!(turned, right, "{task:?}");
        }
        assert!(arms(ArmTask::Free, Side::Left, Wording::ENGLISH).is_empty());
    }

    #[test]
    fn a_turn_away_from_the_moving_leg_names_the_standing_side() {
        let away = ArmTask::Turn { toward: TurnToward::OtherSide };
        assert_eq!(arms(away, Side::Left, Wording::ENGLISH), ["Turn your chest to the RIGHT."]);
        // The arm that strikes is that of the standing side: reference/goal_tasks.toml, `arm = "other"`.
        let strike = ArmTask::Goal(GoalTask::OverheadStrike);
        assert_eq!(arms(strike, Side::Left, Wording::ENGLISH), ["Swing your RIGHT arm over your head."]);
    }
}
