//! A permitted movement with what it asks of the joints and how long it takes.

use biomech::{Demands, JointMoments};
use quantity::Span;
use safety::PermittedMovement;

use crate::figures;

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

impl Candidate {
    /// A candidate at the tempo of `reference/dose.toml`.
    #[must_use]
    pub fn new(permitted: PermittedMovement, moments: JointMoments) -> Self {
        let demands = permitted.demands().clone();
        Self { permitted, moments, demands, minutes: figures().tempo.one_movement() }
    }
}
