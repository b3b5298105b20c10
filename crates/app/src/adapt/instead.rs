//! What may be taken in the place of a proposal: a smaller part of it, or less still. Never more than was proposed.

use std::collections::BTreeSet;

use anatomy::Side;
use progress::Cell;

use super::proposal::{Change, Proposal, Variable};

/// Something else in the place of a proposal.
#[derive(Clone, Debug, PartialEq)]
pub struct Instead {
    /// Its name among those of one proposal, such as `exercise-2`.
    pub key: String,
    /// What it is, as a proposal of its own.
    pub proposal: Proposal,
}

impl Proposal {
    /// What may be taken in its place; empty where it can only be taken or declined.
    ///
    /// A step up may be taken in one exercise or on one leg only; a direction that would go less far, or be replaced,
    /// may be left out; one level back may be two; where notes of pain go, the movement may stay as it is.
    #[must_use]
    pub fn instead(&self) -> Vec<Instead> {
        if self.only_offered {
            return Vec::new();
        }
        if let Some(variable) = self.variable {
            return self.parts(variable);
        }
        match self.changes.as_slice() {
            [Change::PlanUpTo { level }] if *level > 1 => vec![self.one_more_level(*level - 1)],
            changes if changes.iter().any(|one| matches!(one, Change::Fewer { .. })) => {
                self.only_the_notes().into_iter().collect()
            }
            _ if self.cells.len() == 1 => self.left_out().into_iter().collect(),
            _ => Vec::new(),
        }
    }

    fn part(&self, key: String, words: String, takes: impl Fn(&Change) -> bool, cells: Vec<Cell>) -> Instead {
        let changes = self.changes.iter().filter(|one| takes(one)).cloned().collect();
        Instead { key, proposal: Self { words, changes, cells, ..self.clone() } }
    }

    /// A step up in one exercise, or of one leg where every direction steps up by itself.
    fn parts(&self, variable: Variable) -> Vec<Instead> {
        let mut out = Vec::new();
        let exercises: BTreeSet<usize> = self.changes.iter().filter_map(exercise).collect();
        if exercises.len() > 1 {
            for at in exercises {
                let cells = self.cells.iter().filter(|cell| usize::from(cell.exercise) == at + 1);
                let words = format!("Only exercise {}: {} goes up there.", at + 1, variable.words());
                let takes = move |one: &Change| exercise(one) == Some(at);
                out.push(self.part(format!("exercise-{}", at + 1), words, takes, cells.copied().collect()));
            }
        }
        if variable == Variable::Distance && Side::BOTH.iter().all(|side| self.moves(*side)) {
            for side in Side::BOTH {
                let cells = self.cells.iter().filter(|cell| cell.mover == side).copied().collect();
                let words = format!("Only where the {side} limb moves: distance goes up there.");
                let takes =
                    move |one: &Change| matches!(one, Change::Movement { is, .. } if is.mover == side);
                out.push(self.part(format!("limb-{side}"), words, takes, cells));
            }
        }
        out
    }

    fn moves(&self, side: Side) -> bool {
        self.changes.iter().any(|one| matches!(one, Change::Movement { is, .. } if is.mover == side))
    }

    fn one_more_level(&self, level: u8) -> Instead {
        let words =
            format!("One level less still: a new programme is made with nothing above level {level}.");
        let changes = vec![Change::PlanUpTo { level }];
        Instead { key: format!("level-{level}"), proposal: Self { words, changes, ..self.clone() } }
    }

    fn only_the_notes(&self) -> Option<Instead> {
        let notes = |one: &Change| matches!(one, Change::Fewer { .. });
        let words = "Only the note of pain goes; the movement stays as it is.".to_owned();
        (!self.changes.iter().all(notes))
            .then(|| self.part("only-the-note".to_owned(), words, notes, self.cells.clone()))
    }

    fn left_out(&self) -> Option<Instead> {
        let was = self.changes.iter().find_map(|one| match one {
            Change::Movement { exercise, was, .. } => Some((*exercise, was.clone())),
            _ => None,
        });
        let (exercise, was) = was?;
        let hurt = self.changes.iter().filter(|one| matches!(one, Change::Hurt { .. })).cloned();
        let words = format!("{} is left out for now, and nothing takes its place.", was.sentence());
        let changes = hurt.chain([Change::Out { exercise, was }]).collect();
        Some(Instead { key: "left-out".to_owned(), proposal: Self { words, changes, ..self.clone() } })
    }
}

/// The exercise that a change is of.
fn exercise(change: &Change) -> Option<usize> {
    match change {
        Change::Movement { exercise, .. }
        | Change::In { exercise, .. }
        | Change::Out { exercise, .. }
        | Change::Repetitions { exercise, .. }
        | Change::Pace { exercise, .. } => Some(*exercise),
        Change::Hurt { .. } | Change::Fewer { .. } | Change::PlanUpTo { .. } | Change::PlanAgain => None,
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;
    use movement::{Bearing, Crossing, Family, MovementSpec};
    use person::HurtAt;
    use quantity::Length;

    use super::*;

    fn step(mover: Side, cm: f64) -> MovementSpec {
        MovementSpec::bare(Family::Step, mover, Bearing::ALL[0], Crossing::None, Length::cm(cm))
    }

    fn further(exercise: usize, mover: Side) -> Change {
        Change::Movement { exercise, was: Box::new(step(mover, 30.0)), is: Box::new(step(mover, 34.0)) }
    }

    fn cell(exercise: u8, mover: Side) -> Cell {
        Cell { exercise, mover, bearing: Bearing::ALL[0], crossing: Crossing::None, family: Family::Step }
    }

    fn proposal(variable: Option<Variable>, cells: Vec<Cell>, changes: Vec<Change>) -> Proposal {
        Proposal { variable, cells, words: String::new(), rules: Vec::new(), only_offered: false, changes }
    }

    #[test]
    fn a_part_of_a_step_up_has_no_change_that_the_step_up_has_not() {
        let cells = vec![cell(1, Side::Left), cell(1, Side::Right), cell(2, Side::Right)];
        let changes = vec![further(0, Side::Left), further(0, Side::Right), further(1, Side::Right)];
        let whole = proposal(Some(Variable::Distance), cells, changes);
        let parts = whole.instead();
        let keys: Vec<&str> = parts.iter().map(|one| one.key.as_str()).collect();
        assert_eq!(keys, ["exercise-1", "exercise-2", "limb-left", "limb-right"]);
        for part in &parts {
            assert!(part.proposal.changes.len() < whole.changes.len(), "{}", part.key);
            assert!(part.proposal.changes.iter().all(|one| whole.changes.contains(one)), "{}", part.key);
            assert_eq!(part.proposal.cells.len(), part.proposal.changes.len(), "{}", part.key);
        }
    }

    #[test]
    fn what_would_go_less_far_may_be_left_out_and_what_hurt_is_written_down_all_the_same() {
        let hurt = Change::Hurt {
            entry: HurtAt {
                mover: Side::Left,
                bearing: Bearing::ALL[0],
                family: Some(Family::Step),
                distance: Length::cm(30.0),
                pain: Some(3),
                settled: None,
                spreads: false,
                on: date(2026, 2, 3),
            },
        };
        let shorter = Change::Movement {
            exercise: 0,
            was: Box::new(step(Side::Left, 30.0)),
            is: Box::new(step(Side::Left, 22.0)),
        };
        let less = proposal(None, vec![cell(1, Side::Left)], vec![hurt.clone(), shorter]);
        let [out] = less.instead().try_into().expect("one thing in its place");
        let was = Box::new(step(Side::Left, 30.0));
        assert_eq!(out.proposal.changes, [hurt, Change::Out { exercise: 0, was }]);
    }

    #[test]
    fn one_level_back_may_be_two_and_never_below_the_first() {
        let back = |level| proposal(None, Vec::new(), vec![Change::PlanUpTo { level }]);
        assert_eq!(back(3).instead()[0].proposal.changes, [Change::PlanUpTo { level: 2 }]);
        assert!(back(1).instead().is_empty());
    }

    #[test]
    fn what_only_a_therapist_offers_is_taken_or_declined() {
        let fewer = Change::Fewer {
            mover: Side::Left,
            bearing: Bearing::ALL[0],
            family: Some(Family::Step),
            keep: 2,
        };
        let back_in = Change::In { exercise: 0, is: Box::new(step(Side::Left, 15.0)) };
        let offered = Proposal { only_offered: true, ..proposal(None, Vec::new(), vec![fewer, back_in]) };
        assert!(offered.instead().is_empty());
        assert_eq!(offered.key(), "again-L-0-step");
    }
}
