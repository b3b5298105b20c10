//! Which rung of the movement ladder a movement stands on.

use movement::{ArmTask, Family, Load, MovementSpec, Support};

use crate::tables::ladder;

/// The rung of a movement, 0 to 9.
///
/// ```
/// use movement::{ArmTask, Family, Load, Support};
/// assert_eq!(safety::level_of(Family::Step, Support::BothHands, Load::None), 1);
/// assert_eq!(safety::level_of(Family::Reach, Support::None, Load::None), 4);
/// assert_eq!(safety::level_of(Family::TwoFootJump, Support::None, Load::None), 7);
/// ```
#[must_use]
pub fn level_of(family: Family, support: Support, load: Load) -> u8 {
    let plain = ladder()
        .rows
        .iter()
        .filter(|row| row.family == family && row.support.is_none_or(|s| s == support))
        .map(|row| row.level)
        .max()
        // A combination without a row is not on the ladder: as hard as anything.
        .unwrap_or(ladder().top.level);
    if load == Load::None { plain } else { plain.max(ladder().loaded.level) }
}

fn level_of_arms(arms: ArmTask) -> u8 {
    match arms {
        ArmTask::Free => 0,
        ArmTask::BendAndReturn { .. } | ArmTask::Turn { .. } | ArmTask::Overhead => {
            level_of(Family::BendAndReach, Support::None, Load::None)
        }
        ArmTask::Goal(_) => ladder().loaded.level,
    }
}

/// The rung of a whole movement.
#[must_use]
pub fn level(spec: &MovementSpec) -> u8 {
    level_of(spec.family, spec.support, spec.load).max(level_of_arms(spec.arms))
}

/// How much a support holds, for comparisons: none, fingertip, one hand, both hands.
pub(crate) fn firmness(support: Support) -> u8 {
    match support {
        Support::None => 0,
        Support::Fingertip => 1,
        Support::OneHand => 2,
        Support::BothHands => 3,
    }
}

/// The words of a support as something that is asked for.
pub(crate) fn support_words(support: Support) -> &'static str {
    match support {
        Support::None => "no support",
        Support::Fingertip => "a fingertip on a support",
        Support::OneHand => "one hand on a support",
        Support::BothHands => "both hands on a support",
    }
}
