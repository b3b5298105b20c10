//! How often, how fast and how long.

use quantity::Span;
use serde::Serialize;

/// The pace of one movement.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tempo {
    /// Time to go out.
    pub out: Span,
    /// Time held at the far point.
    pub hold: Span,
    /// Time to come back.
    pub back: Span,
    /// Time to stand still in the middle before the next one.
    pub settle: Span,
}

impl Tempo {
    /// One whole movement, out and back, with the stillness after it.
    #[must_use]
    pub fn one_movement(&self) -> Span {
        self.out + self.hold + self.back + self.settle
    }

    /// The same movement with the ways out and back taking `times` as long; held and still as before.
    #[must_use]
    pub fn slower(self, times: f64) -> Self {
        Self { out: self.out.times(times), back: self.back.times(times), ..self }
    }
}

/// How much of an exercise is done.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Dose {
    /// How many times each direction is done on each limb before changing.
    pub repetitions: u8,
    /// How many times the whole is done.
    pub rounds: u8,
    /// Rest between rounds.
    pub rest: Span,
    /// How many times a day.
    pub per_day: u8,
}
