//! The shapes of a sentence that comes in several: by side, by number, by thing.

use anatomy::Side;
use movement::{Place, SupportKind};
use person::Involved;
use serde::{Deserialize, Serialize};

/// One whole sentence for each side; the key is the side that the sentence names.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BySide {
    /// It names the left.
    pub left: String,
    /// It names the right.
    pub right: String,
}

impl BySide {
    /// The sentence that names this side.
    #[must_use]
    pub fn of(&self, side: Side) -> &str {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }
}

/// One whole sentence for each side and one for both.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BySideOrBoth {
    /// The left alone.
    pub left: String,
    /// The right alone.
    pub right: String,
    /// Both, or the side is not told.
    pub both: String,
}

impl BySideOrBoth {
    /// The sentence for what is involved.
    #[must_use]
    pub fn of(&self, involved: Involved) -> &str {
        match involved {
            Involved::Left => &self.left,
            Involved::Right => &self.right,
            Involved::Both | Involved::General => &self.both,
        }
    }
}

/// Words after a number.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Counted {
    /// After 1.
    pub one: String,
    /// After every other number.
    pub many: String,
}

impl Counted {
    /// The words after this number.
    #[must_use]
    pub fn of(&self, number: usize) -> &str {
        if number == 1 { &self.one } else { &self.many }
    }
}

/// A sentence about this exercise, the one exercise of a sheet, or all of them.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Referred {
    /// On the page of an exercise.
    pub this: String,
    /// On the first page, of one exercise.
    pub it: String,
    /// On the first page, of several.
    pub them: String,
}

/// One for each thing that hands can hold.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ByThing<T> {
    /// A kitchen bench.
    pub bench: T,
    /// A walking frame.
    pub frame: T,
    /// The back of a chair.
    pub chair: T,
    /// Something that nobody named.
    pub support: T,
}

impl<T> ByThing<T> {
    /// The one for this place.
    #[must_use]
    pub fn of(&self, place: Option<&Place>) -> &T {
        match place.map(|p| p.kind) {
            Some(SupportKind::Bench) => &self.bench,
            Some(SupportKind::WalkingFrame) => &self.frame,
            Some(SupportKind::ChairBack) => &self.chair,
            None => &self.support,
        }
    }
}

/// One for each thing that is drawn on the floor.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ByFurniture {
    /// A kitchen bench.
    pub bench: String,
    /// A walking frame.
    pub frame: String,
    /// A chair.
    pub chair: String,
}

impl ByFurniture {
    /// The one for this place.
    #[must_use]
    pub fn of(&self, place: &Place) -> &str {
        match place.kind {
            SupportKind::Bench => &self.bench,
            SupportKind::WalkingFrame => &self.frame,
            SupportKind::ChairBack => &self.chair,
        }
    }
}
