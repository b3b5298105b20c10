//! What came home from the last programme.

use jiff::civil::Date;
use movement::MovementSpec;
use serde::Serialize;

/// What the person did since the last programme was made. It bounds and orders the choice of the next
/// one; it permits nothing.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct LastProgramme {
    /// The last day on which leaps, jumps or hops were done; none known.
    pub last_jumps: Option<Date>,
    /// Movements that were done and tolerated, without the place of what was held; empty when there was
    /// no last programme or nobody asked.
    pub tolerated: Vec<MovementSpec>,
}
