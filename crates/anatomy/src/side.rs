//! The two sides of a person, always from that person's own point of view.

use serde::{Deserialize, Serialize};

/// A side of the person's own body. The patient's left, never the observer's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// The person's own left.
    Left,
    /// The person's own right.
    Right,
}

impl Side {
    /// Both sides, left first.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// The opposite side.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// −1 for left, +1 for right: the sign of this side on the axis that points to the person's right.
    #[must_use]
    pub fn sign(self) -> f64 {
        match self {
            Self::Left => -1.0,
            Self::Right => 1.0,
        }
    }

    /// `L` or `R`, as drawn in a foot.
    #[must_use]
    pub fn letter(self) -> char {
        match self {
            Self::Left => 'L',
            Self::Right => 'R',
        }
    }
}

impl std::fmt::Display for Side {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Left => "left",
            Self::Right => "right",
        })
    }
}

/// What a leg does during a movement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LimbRole {
    /// The leg that leaves the start.
    Mover,
    /// The leg that stays and carries.
    Stance,
}

/// One value for each side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct PerSide<T> {
    /// The left side's value.
    pub left: T,
    /// The right side's value.
    pub right: T,
}

impl<T> PerSide<T> {
    /// Makes both from a function of the side.
    pub fn from_fn(mut make: impl FnMut(Side) -> T) -> Self {
        Self { left: make(Side::Left), right: make(Side::Right) }
    }

    /// The value of one side.
    pub fn get(&self, side: Side) -> &T {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }

    /// The value of one side, to change.
    pub fn get_mut(&mut self, side: Side) -> &mut T {
        match side {
            Side::Left => &mut self.left,
            Side::Right => &mut self.right,
        }
    }

    /// Applies a function to both.
    pub fn map<U>(self, mut f: impl FnMut(T) -> U) -> PerSide<U> {
        PerSide { left: f(self.left), right: f(self.right) }
    }

    /// The same values with left and right exchanged: the person in a mirror.
    #[must_use]
    pub fn mirrored(self) -> Self {
        Self { left: self.right, right: self.left }
    }
}
