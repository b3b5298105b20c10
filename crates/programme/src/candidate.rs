//! A permitted movement with what it asks of the joints and how long it takes.

use biomech::{Demands, JointMoments};
use quantity::Span;
use safety::PermittedMovement;

/// A movement that may be prescribed at exactly this distance.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// The movement, permitted for today, with the computed postures.
    pub permitted: PermittedMovement,
    /// Joint moments, frame by frame.
    pub moments: JointMoments,
    /// Demands: share of this person's capacity, where that is known.
    pub demands: Demands,
    /// Time of one such movement, out and back and still again.
    pub minutes: Span,
}
