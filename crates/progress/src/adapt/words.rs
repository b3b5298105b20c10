//! Words of the reasons.

use movement::{Crossing, Family};

use super::Reason;
use crate::session::Cell;

pub(super) fn reason(rule: &'static str, words: String, source: &str) -> Reason {
    Reason { rule, words, source: source.to_owned() }
}

/// A direction of a limb in the trade's words, with the limb it is named from.
///
/// ```
/// use anatomy::Side;
/// use movement::{Bearing, Crossing, Family};
/// let cell = progress::Cell {
///     exercise: 1, mover: Side::Left, bearing: Bearing::ALL[0], crossing: Crossing::None, family: Family::Step,
/// };
/// assert_eq!(progress::cell_words(cell), "left leg step, anterior (named from the left leg)");
/// ```
#[must_use]
pub fn cell_words(cell: Cell) -> String {
    let limb = if cell.family == Family::BendAndReach { "hand" } else { "leg" };
    let from = cell.family.named_from(cell.mover);
    let crossing = match cell.crossing {
        Crossing::None => "",
        Crossing::InFront => ", crossing in front",
        Crossing::Behind => ", crossing behind",
    };
    format!(
        "{} {limb} {}, {} (named from the {from} {limb}){crossing}",
        cell.mover,
        cell.family,
        cell.bearing.named_from(from)
    )
}

pub(super) fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

pub(super) fn sessions(count: usize) -> String {
    if count == 1 { "1 session".to_owned() } else { format!("{count} sessions") }
}

/// `¾` of something, where it has a plain name.
pub(super) fn factor(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}
