//! What a new version of the findings opened and closed, limb by limb.

use anatomy::Side;
use app::{SpaceRow, SpaceTable};
use movement::{Crossing, Family};
use quantity::Length;

/// What became of one direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Became {
    Opened,
    Longer,
    Shorter,
    Closed,
}

impl Became {
    pub(super) const ALL: [Self; 4] = [Self::Opened, Self::Longer, Self::Shorter, Self::Closed];

    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Opened => "opened",
            Self::Longer => "longer",
            Self::Shorter => "shorter",
            Self::Closed => "closed",
        }
    }
}

/// One direction that changed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Change {
    pub family: Family,
    pub task: String,
    pub mover: Side,
    pub direction: String,
    pub became: Became,
    pub from: Option<Length>,
    pub to: Option<Length>,
    /// Why it ends where it does now.
    pub because: String,
}

/// Everything that changed, in the order of the table.
#[derive(Clone, Debug, PartialEq, Default)]
pub(super) struct Difference {
    pub changes: Vec<Change>,
    /// A red flag came or went.
    pub alert: Option<bool>,
    /// Directions that are open or limited now, and all.
    pub open: usize,
    pub all: usize,
}

/// Shorter changes are rounding of the search for the furthest distance.
const LEAST_CM: f64 = 0.5;

fn same_way(a: &SpaceRow, b: &SpaceRow) -> bool {
    (a.family, a.mover, a.bearing, a.crossing) == (b.family, b.mover, b.bearing, b.crossing)
        && a.task == b.task
}

pub(super) fn name(row: &SpaceRow) -> String {
    let way = match row.crossing {
        Crossing::None => "",
        Crossing::InFront => " across, in front",
        Crossing::Behind => " across, behind",
    };
    format!("{}{way}", row.direction)
}

/// Compares two spaces. A direction that is not in one of them counts as closed there.
pub(super) fn compare(before: &SpaceTable, after: &SpaceTable) -> Difference {
    let change = |row: &SpaceRow, from: Option<Length>, to: Option<Length>, because: String| {
        let became = match (from, to) {
            (None, Some(_)) => Became::Opened,
            (Some(_), None) => Became::Closed,
            (Some(a), Some(b)) if b.in_cm() - a.in_cm() >= LEAST_CM => Became::Longer,
            (Some(a), Some(b)) if a.in_cm() - b.in_cm() >= LEAST_CM => Became::Shorter,
            _ => return None,
        };
        let (family, task, mover) = (row.family, row.task.clone(), row.mover);
        Some(Change { family, task, mover, direction: name(row), became, from, to, because })
    };
    let first = |row: &SpaceRow| row.because.first().cloned().unwrap_or_default();
    let mut changes: Vec<Change> = after
        .rows
        .iter()
        .filter_map(|row| {
            let old = before.rows.iter().find(|old| same_way(old, row));
            change(row, old.and_then(|old| old.to), row.to, first(row))
        })
        .collect();
    let why = match (&after.alert, after.closed.first()) {
        (Some(alert), _) => alert.to_string(),
        (None, Some(refusal)) => refusal.to_string(),
        _ => String::new(),
    };
    let lost = before.rows.iter().filter(|old| !after.rows.iter().any(|row| same_way(old, row)));
    changes.extend(lost.filter_map(|old| change(old, old.to, None, why.clone())));
    Difference {
        changes,
        alert: match (&before.alert, &after.alert) {
            (None, Some(_)) => Some(true),
            (Some(_), None) => Some(false),
            _ => None,
        },
        open: after.rows.iter().filter(|row| row.to.is_some()).count(),
        all: after.rows.len(),
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;
    use person::Finding;

    use super::*;

    fn spaces(change: impl Fn(&mut person::CaseFile)) -> (SpaceTable, SpaceTable) {
        let mut case = app::demo_cases()[0].read().unwrap_or_else(|e| panic!("{e}"));
        let day = date(2026, 2, 4);
        let before = app::space_case(&case, day, &app::silent);
        change(&mut case);
        (before, app::space_case(&case, day, &app::silent))
    }

    #[test]
    fn a_case_compared_with_itself_has_changed_nothing() {
        let (before, after) = spaces(|_| {});
        let difference = compare(&before, &after);
        assert!(difference.changes.is_empty() && difference.alert.is_none());
        assert!(difference.open > 0 && difference.open < difference.all);
    }

    #[test]
    fn what_one_finding_closed_its_return_opens_again_to_the_same_distance() {
        let (before, after) = spaces(|case| case.findings.wound_dry = Finding::NotAssessed);
        let (there, back) = (compare(&before, &after), compare(&after, &before));
        assert!(!there.changes.is_empty(), "an unknown wound closes something after an operation");
        assert_eq!(there.changes.len(), back.changes.len());
        for change in &there.changes {
            assert!(matches!(change.became, Became::Closed | Became::Shorter), "{change:?}");
            assert!(!change.because.is_empty(), "{change:?}");
            let other = back.changes.iter().find(|one| {
                (one.family, &one.task, one.mover, &one.direction)
                    == (change.family, &change.task, change.mover, &change.direction)
            });
            assert_eq!(other.map(|one| (one.to, one.from)), Some((change.from, change.to)));
        }
    }

    #[test]
    fn a_red_flag_closes_all_that_was_open() {
        let (before, after) = spaces(|case| {
            let value = vec![person::RedFlag::Infection];
            case.findings.red_flags = Finding::Found { value, on: date(2026, 2, 4) };
        });
        let difference = compare(&before, &after);
        assert_eq!(difference.alert, Some(true));
        let was_open = before.rows.iter().filter(|row| row.to.is_some()).count();
        assert_eq!(difference.changes.len(), was_open);
        assert!(difference.changes.iter().all(|change| change.became == Became::Closed));
    }
}
