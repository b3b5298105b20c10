//! What the hands hold, where it stands and how much floor it takes.

use quantity::Length;
use serde::{Deserialize, Serialize};

/// How the hands are supported.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Support {
    /// Nothing is held.
    None,
    /// One fingertip touches a fixed surface.
    Fingertip,
    /// One hand holds.
    OneHand,
    /// Both hands hold.
    BothHands,
}

/// What is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SupportKind {
    /// A fixed surface across the front, such as a kitchen bench.
    Bench,
    /// A walking frame around the front and sides.
    WalkingFrame,
    /// A heavy chair with its back toward the person.
    ChairBack,
}

impl SupportKind {
    /// The plain name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Bench => "bench",
            Self::WalkingFrame => "walking frame",
            Self::ChairBack => "chair back",
        }
    }
}

/// A rectangle on the floor, measured from the centre between the feet, that no foot may enter.
/// It stays where it is while the person moves.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Place {
    /// What stands there.
    pub kind: SupportKind,
    /// Forward of the centre: nearest edge, metres (negative is behind).
    pub front_from: f64,
    /// Forward of the centre: far edge, metres.
    pub front_to: f64,
    /// Toward the person's right: left edge, metres.
    pub right_from: f64,
    /// Toward the person's right: right edge, metres.
    pub right_to: f64,
    /// How high the hands hold it.
    pub hand_height: Length,
}

impl Place {
    /// The same support seen in a mirror that exchanges left and right.
    #[must_use]
    pub fn mirrored(self) -> Self {
        Self { right_from: -self.right_to, right_to: -self.right_from, ..self }
    }
}
