//! Goals written on one line.

use anatomy::{JointMotion, MuscleGroup};
use movement::{AnatomicalDirection, GoalTask};
use person::{Goal, GoalKind};

/// The grammar, as it is printed.
pub const GOALS_GRAMMAR: &str = "\
GOAL [, GOAL ...]
  strength:GROUP        hip_extensors | hip_flexors | hip_abductors | hip_adductors | knee_extensors |
                        knee_flexors | ankle_plantarflexors | ankle_dorsiflexors | trunk_extensors
  range:MOTION          such as ankle_dorsiflexion, knee_flexion, hip_extension
  control:DIRECTION     anterior | anterolateral | lateral | posterolateral | posterior |
                        posteromedial | medial | anteromedial, named from the moving limb
  balance
  task:TASK             pass | overhead_strike | forehand | backhand | lift_and_turn | carry_and_turn |
                        out_of_car | up_stair | turn_at_bench: how much of it is covered, as
                        `footrose bridge` tells
  *WEIGHT after a goal  how much it counts beside the others; 1 unless said
Example: strength:knee_extensors*2, control:lateral, task:up_stair";

/// Why a line of goals is not understood.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum WishError {
    /// A goal is not in the grammar.
    #[error("`{given}` is no goal; accepted:\n{GOALS_GRAMMAR}")]
    Goal {
        /// The goal as it was written.
        given: String,
    },
    /// A weight is not a number above zero.
    #[error("`{given}` has no usable weight; write a number above 0 and at most 100 after `*`")]
    Weight {
        /// The goal as it was written.
        given: String,
    },
}

/// Reads goals from one line. A goal that stands twice counts once with both weights together.
///
/// # Errors
/// Says which goal is not understood and what is accepted.
pub fn goals(line: &str) -> Result<Vec<Goal>, WishError> {
    let mut out: Vec<Goal> = Vec::new();
    for given in line.split(',').map(str::trim).filter(|part| !part.is_empty()) {
        let (kind, weight) = match given.split_once('*') {
            Some((kind, weight)) => {
                let weight = weight.trim().parse::<f64>().ok().filter(|w| *w > 0.0 && *w <= 100.0);
                (kind.trim(), weight.ok_or_else(|| WishError::Weight { given: given.to_owned() })?)
            }
            None => (given, 1.0),
        };
        let kind = one(kind).ok_or_else(|| WishError::Goal { given: given.to_owned() })?;
        match out.iter_mut().find(|known| known.kind == kind) {
            Some(known) => known.weight += weight,
            None => out.push(Goal { kind, weight }),
        }
    }
    if out.is_empty() { Err(WishError::Goal { given: line.to_owned() }) } else { Ok(out) }
}

fn one(text: &str) -> Option<GoalKind> {
    let (kind, what) = text.split_once(':').unwrap_or((text, ""));
    let what = what.trim().replace([' ', '-'], "_");
    match kind.trim() {
        "strength" => MuscleGroup::from_key(&what).map(|group| GoalKind::Strength { group }),
        "range" => JointMotion::from_key(&what).map(|motion| GoalKind::Range { motion }),
        "control" => AnatomicalDirection::from_name(&what).map(|direction| GoalKind::Control { direction }),
        "balance" if what.is_empty() => Some(GoalKind::Balance),
        "task" => GoalTask::from_key(&what).map(|task| GoalKind::Task { task }),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn goals_read_with_weights_and_the_same_goal_twice_counts_once() {
        let goals = goals("strength:knee_extensors*2, control:lateral, balance*0.5, strength:knee extensors")
            .unwrap_or_else(|e| panic!("{e}"));
        let strength = GoalKind::Strength { group: MuscleGroup::KneeExtensors };
        assert_eq!(goals[0], Goal { kind: strength, weight: 3.0 });
        assert_eq!(goals[1].kind, GoalKind::Control { direction: AnatomicalDirection::Lateral });
        assert_eq!(goals[2], Goal { kind: GoalKind::Balance, weight: 0.5 });
        assert_eq!(goals.len(), 3);
    }

    #[test]
    fn what_is_not_understood_is_named_with_what_is_accepted() {
        for line in ["strenght:knee_extensors", "strength:knee", "task:flying", "", "balance:much"] {
            let told = goals(line).expect_err("not a goal").to_string();
            assert!(told.contains(line) && told.contains("task:TASK"), "{told}");
        }
        for line in ["balance*0", "balance*-1", "balance*much", "balance*inf"] {
            assert!(matches!(goals(line), Err(WishError::Weight { .. })), "{line}");
        }
    }

    #[test]
    fn a_task_is_a_goal_of_its_own() {
        let goals = goals("task:up_stair*2, balance, task:up-stair").unwrap_or_else(|e| panic!("{e}"));
        let stair = GoalKind::Task { task: GoalTask::UpStair };
        assert_eq!(goals[0], Goal { kind: stair, weight: 3.0 });
        assert_eq!(goals.len(), 2);
    }
}
