//! Goals written on one line, and the goals that a task of the person's own stands for.

use anatomy::{JointMotion, MuscleGroup, Side};
use biomech::{Asked, Profile};
use movement::{AnatomicalDirection, GoalTask};
use person::{Goal, GoalKind};

use crate::PersonToday;

/// The grammar, as it is printed.
pub const GOALS_GRAMMAR: &str = "\
GOAL [, GOAL ...]
  strength:GROUP        hip_extensors | hip_flexors | hip_abductors | hip_adductors | knee_extensors |
                        knee_flexors | ankle_plantarflexors | ankle_dorsiflexors | trunk_extensors
  range:MOTION          such as ankle_dorsiflexion, knee_flexion, hip_extension
  control:DIRECTION     anterior | anterolateral | lateral | posterolateral | posterior |
                        posteromedial | medial | anteromedial, named from the moving limb
  balance
  task:TASK             what the task asks of this body: its hardest-working muscle groups and its
                        direction; such as up_stair (see `footrose help bridge`)
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
    /// This body cannot do the task, so it stands for nothing that could be trained.
    #[error("{task} to the {side} cannot be computed for this body: {why}")]
    Task {
        /// In words.
        task: &'static str,
        /// The leg that moves.
        side: Side,
        /// Why.
        why: String,
    },
}

/// Groups of a task that become goals: the hardest-working ones.
const GROUPS_OF_A_TASK: usize = 3;

/// Reads goals from one line. A goal that stands twice counts once with both weights together.
///
/// # Errors
/// Says which goal is not understood and what is accepted, or which task this body cannot do.
pub fn goals(person: &PersonToday<'_>, line: &str) -> Result<Vec<Goal>, WishError> {
    let mut out: Vec<Goal> = Vec::new();
    for given in line.split(',').map(str::trim).filter(|part| !part.is_empty()) {
        let (kind, weight) = match given.split_once('*') {
            Some((kind, weight)) => {
                let weight = weight.trim().parse::<f64>().ok().filter(|w| *w > 0.0 && *w <= 100.0);
                (kind.trim(), weight.ok_or_else(|| WishError::Weight { given: given.to_owned() })?)
            }
            None => (given, 1.0),
        };
        for goal in one(person, kind)?.ok_or_else(|| WishError::Goal { given: given.to_owned() })? {
            let weight = goal.weight * weight;
            match out.iter_mut().find(|known| known.kind == goal.kind) {
                Some(known) => known.weight += weight,
                None => out.push(Goal { weight, ..goal }),
            }
        }
    }
    if out.is_empty() { Err(WishError::Goal { given: line.to_owned() }) } else { Ok(out) }
}

fn one(person: &PersonToday<'_>, text: &str) -> Result<Option<Vec<Goal>>, WishError> {
    let (kind, what) = text.split_once(':').unwrap_or((text, ""));
    let what = what.trim().replace([' ', '-'], "_");
    let kind = match kind.trim() {
        "strength" => MuscleGroup::from_key(&what).map(|group| GoalKind::Strength { group }),
        "range" => JointMotion::from_key(&what).map(|motion| GoalKind::Range { motion }),
        "control" => AnatomicalDirection::from_name(&what).map(|direction| GoalKind::Control { direction }),
        "balance" if what.is_empty() => Some(GoalKind::Balance),
        "task" => {
            let Some(task) = GoalTask::ALL.into_iter().find(|task| task.key() == what) else {
                return Ok(None);
            };
            return of_task(person, task).map(Some);
        }
        _ => None,
    };
    Ok(kind.map(|kind| vec![Goal { kind, weight: 1.0 }]))
}

/// What a task stands for: control of its direction, and strength of the muscle groups that work
/// hardest in it, each weighted by its share beside the largest. Both legs count alike, as the task
/// is done to both sides. Groups that hardly work, and those of unknown capacity, are left out.
fn of_task(person: &PersonToday<'_>, task: GoalTask) -> Result<Vec<Goal>, WishError> {
    let mut shares: Vec<(MuscleGroup, f64)> = MuscleGroup::ALL.map(|group| (group, 0.0)).to_vec();
    let mut direction = AnatomicalDirection::Anterior;
    for side in Side::BOTH {
        let profile = Profile::of_goal(&person.body, &person.capacity, task, side)
            .map_err(|why| WishError::Task { task: task.name(), side, why: why.to_string() })?;
        direction = profile.spec.bearing.named_from(profile.spec.mover);
        for (group, share) in &mut shares {
            let legs = profile.parts().into_iter().filter(|(_, part, _)| *part == Asked::Group(*group));
            let most = legs.filter_map(|(_, _, share)| share).map(|s| s.in_one()).fold(0.0, f64::max);
            *share += most / 2.0;
        }
    }
    shares.retain(|(_, share)| *share >= programme::figures().smallest_share_named);
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    shares.truncate(GROUPS_OF_A_TASK);
    let largest = shares.first().map_or(1.0, |(_, share)| *share);
    let mut out = vec![Goal { kind: GoalKind::Control { direction }, weight: 1.0 }];
    out.extend(
        shares
            .into_iter()
            .map(|(group, share)| Goal { kind: GoalKind::Strength { group }, weight: share / largest }),
    );
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Result<Vec<Goal>, WishError> {
        let case = crate::demo_cases()[9].read().unwrap_or_else(|e| panic!("{e}"));
        let today = crate::day_of(&case, None, jiff::civil::date(2026, 2, 4));
        goals(&PersonToday::of(&case, today), line)
    }

    #[test]
    fn goals_read_with_weights_and_the_same_goal_twice_counts_once() {
        let goals = read("strength:knee_extensors*2, control:lateral, balance*0.5, strength:knee extensors")
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
            let told = read(line).expect_err("not a goal").to_string();
            assert!(told.contains(line) && told.contains("task:TASK"), "{told}");
        }
        for line in ["balance*0", "balance*-1", "balance*much", "balance*inf"] {
            assert!(matches!(read(line), Err(WishError::Weight { .. })), "{line}");
        }
    }

    #[test]
    fn a_stair_stands_for_going_forward_and_for_the_groups_that_work_hardest_on_it() {
        let goals = read("task:up_stair*2").unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(
            goals[0],
            Goal { kind: GoalKind::Control { direction: AnatomicalDirection::Anterior }, weight: 2.0 }
        );
        let weights: Vec<f64> = goals[1..].iter().map(|g| g.weight).collect();
        assert!((1..=GROUPS_OF_A_TASK).contains(&weights.len()), "{goals:?}");
        assert_eq!(weights[0], 2.0, "the hardest counts fully");
        assert!(weights.windows(2).all(|w| w[0] >= w[1] && w[1] > 0.0), "{weights:?}");
        // Who climbs lifts the body with the knee: a stair asks the knee extensors of everybody.
        let knee = GoalKind::Strength { group: MuscleGroup::KneeExtensors };
        assert!(goals.iter().any(|g| g.kind == knee), "{goals:?}");
    }
}
