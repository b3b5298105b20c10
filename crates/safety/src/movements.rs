//! Where a survey gets its computed movements from: the engine itself, or something that remembers.

use std::sync::Arc;

use biomech::{
    Body, Capacity, Demands, JointMoments, Motion, MotionError, demands, moments, motion, motion_near,
};
use movement::MovementSpec;

/// A movement with all that the gates look at.
#[derive(Clone, Debug, PartialEq)]
pub struct Computed {
    /// Postures.
    pub motion: Motion,
    /// Internal joint moments.
    pub moments: JointMoments,
    /// Shares of capacity: estimates.
    pub demands: Demands,
}

/// What computes movements for a survey. Every implementation gives for the same arguments what
/// [`Engine`] gives; findings are not an argument.
pub trait Movements {
    /// The movement tried directly, from a neighbour where there is one, as
    /// [`biomech::motion_near`] does.
    fn near(&self, spec: &MovementSpec, neighbour: Option<&Motion>) -> Option<Arc<Computed>>;
    /// Why it cannot be done, as [`biomech::motion`] says; `None` when it can.
    fn why_not(&self, spec: &MovementSpec) -> Option<MotionError>;
}

/// The engine for one body.
#[derive(Clone, Copy, Debug)]
pub struct Engine<'a> {
    /// The body.
    pub body: &'a Body,
    /// Its strength.
    pub capacity: &'a Capacity,
}

impl Computed {
    /// Moments and demands of postures.
    #[must_use]
    pub fn of(engine: Engine<'_>, motion: Motion) -> Self {
        let moments = moments(engine.body, &motion);
        let demands = demands(&moments, engine.capacity);
        Self { motion, moments, demands }
    }
}

impl Movements for Engine<'_> {
    fn near(&self, spec: &MovementSpec, neighbour: Option<&Motion>) -> Option<Arc<Computed>> {
        let motion = motion_near(self.body, self.capacity, spec, neighbour)?;
        Some(Arc::new(Computed::of(*self, motion)))
    }

    fn why_not(&self, spec: &MovementSpec) -> Option<MotionError> {
        motion(self.body, self.capacity, spec).err()
    }
}
