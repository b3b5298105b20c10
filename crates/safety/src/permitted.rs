//! Movements that passed a gate. Only the gates can make them, and neither can be read from a file.

use biomech::{Demands, Motion};
use jiff::civil::Date;
use movement::MovementSpec;
use serde::Serialize;

use crate::Note;

/// A movement that passed gate A: everything that is known before the posture is computed.
#[derive(Clone, Debug, PartialEq)]
pub struct ScreenedMovement {
    pub(crate) spec: MovementSpec,
    pub(crate) level: u8,
    pub(crate) on: Date,
    pub(crate) notes: Vec<Note>,
}

impl ScreenedMovement {
    /// The movement.
    #[must_use]
    pub fn spec(&self) -> &MovementSpec {
        &self.spec
    }

    /// Its rung on the movement ladder.
    #[must_use]
    pub fn level(&self) -> u8 {
        self.level
    }

    /// What the therapist must know about it.
    #[must_use]
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }
}

/// A movement that passed both gates on one day. It is built only by [`crate::AllowedSpace::permit`]
/// and cannot be deserialised: a stored programme is permitted again when it is loaded.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PermittedMovement {
    pub(crate) spec: MovementSpec,
    pub(crate) motion: Motion,
    pub(crate) demands: Demands,
    pub(crate) level: u8,
    pub(crate) valid_on: Date,
    pub(crate) notes: Vec<Note>,
}

impl PermittedMovement {
    /// The movement.
    #[must_use]
    pub fn spec(&self) -> &MovementSpec {
        &self.spec
    }

    /// The computed postures that were checked.
    #[must_use]
    pub fn motion(&self) -> &Motion {
        &self.motion
    }

    /// The demands that were computed with the postures.
    #[must_use]
    pub fn demands(&self) -> &Demands {
        &self.demands
    }

    /// Its rung on the movement ladder.
    #[must_use]
    pub fn level(&self) -> u8 {
        self.level
    }

    /// The only day on which it may be used to make a programme.
    #[must_use]
    pub fn valid_on(&self) -> Date {
        self.valid_on
    }

    /// What the therapist must know about it.
    #[must_use]
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }
}
