//! Which movements a note of pain counts for: its own, and what asks as much of the same limb or more.
//!
//! Nobody notes which tissue hurt, so the answer leans to closing. A note that names no family counts for every
//! movement that way; one of pain that spreads does so too, whatever it names. Which families count beside the one
//! that is named stands in `reference/safety_margins.toml`, with the reason. A two-foot jump moves both legs: it is
//! held by a note of either, and a note that may be of one holds what leaves the floor with either leg. When a hand
//! bends and reaches both legs stand and bend: a note that may be of it holds what it counts for on both sides.

use movement::{ArmTask, Family, MovementSpec};
use person::HurtAt;

use crate::tables::margins;

/// Whether a note counts for a movement, whatever its distance.
///
/// ```
/// use anatomy::Side;
/// use jiff::civil::date;
/// use movement::{Bearing, Crossing, Family, MovementSpec};
/// use quantity::Length;
/// let forward = Bearing::ALL[0];
/// let (distance, on) = (Length::cm(40.0), date(2026, 2, 3));
/// let note = |family| person::HurtAt {
///     mover: Side::Left, bearing: forward, family, distance, pain: Some(2), settled: None, spreads: false, on,
/// };
/// let movement = |family| MovementSpec::bare(family, Side::Left, forward, Crossing::None, distance);
/// assert!(safety::counts_for(&note(Some(Family::Step)), &movement(Family::Lunge)));
/// assert!(!safety::counts_for(&note(Some(Family::BendAndReach)), &movement(Family::Step)));
/// assert!(safety::counts_for(&note(None), &movement(Family::Step)));
/// let of_the_right = MovementSpec { mover: Side::Right, ..movement(Family::Lunge) };
/// assert!(safety::counts_for(&note(Some(Family::BendAndReach)), &of_the_right));
/// assert!(!safety::counts_for(&note(Some(Family::Step)), &of_the_right));
/// ```
#[must_use]
pub fn counts_for(note: &HurtAt, spec: &MovementSpec) -> bool {
    let family = note.family.filter(|_| !note.spreads);
    let may_be_a_jump = family.is_none_or(|family| family == Family::TwoFootJump);
    let as_much_as_bending = as_much_as(Family::BendAndReach).contains(&spec.family) || bends(spec.arms);
    let may_be_bending = note.family.is_none_or(|family| family == Family::BendAndReach);
    let limb = note.mover == spec.mover
        || spec.family == Family::TwoFootJump
        || may_be_a_jump && spec.family.is_airborne()
        || may_be_bending && (as_much_as_bending || note.spreads);
    let kind = family.is_none_or(|family| {
        as_much_as(family).contains(&spec.family) || family == Family::BendAndReach && as_much_as_bending
    });
    note.bearing == spec.bearing && limb && kind
}

/// The family with those that ask as much of the same limb, or more.
#[must_use]
pub fn as_much_as(family: Family) -> &'static [Family] {
    // A family without a row would count for nothing, so the tests ask for a row of each.
    margins().pain.counts_for.iter().find(|row| row.family == family).map_or(&[], |row| &row.counts_for)
}

/// Whether the trunk goes down with the hands, or may: a goal task is a whole job of work.
fn bends(arms: ArmTask) -> bool {
    match arms {
        ArmTask::BendAndReturn { .. } | ArmTask::Goal(_) => true,
        ArmTask::Free | ArmTask::Turn { .. } | ArmTask::Overhead => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_family_counts_for_itself_and_what_it_counts_for_counts_for_no_more() {
        for family in Family::ALL {
            assert!(as_much_as(family).contains(&family), "{family}");
            for other in as_much_as(family) {
                for further in as_much_as(*other) {
                    assert!(as_much_as(family).contains(further), "{family} to {other} to {further}");
                }
            }
        }
    }

    /// Of one kind, a family higher on the movement ladder never stays open above one that hurts.
    #[test]
    fn what_stands_higher_on_the_ladder_counts_with_what_stands_lower() {
        use movement::{Load, Support};
        let level = |family| crate::level_of(family, Support::None, Load::None);
        let feet = || Family::ALL.into_iter().filter(|family| *family != Family::BendAndReach);
        for (lower, higher) in feet().flat_map(|a| feet().map(move |b| (a, b))) {
            if level(lower) <= level(higher) {
                assert!(as_much_as(lower).contains(&higher), "{lower} hurts and {higher} stays open");
            }
        }
    }
}
