//! A permitted movement with what it asks of the joints and how long it takes.

use std::collections::BTreeMap;
use std::sync::Arc;

use anatomy::{Coordinate, JointMotion, Side};
use biomech::{Body, Capacity, Demands, JointMoments, Profile};
use movement::Tempo;
use quantity::{Angle, Span};
use safety::{Note, NoteKind, PermittedMovement};

use crate::figures;

/// How far this person's joints go: measured where that is known, else tabulated.
#[derive(Clone, Debug, PartialEq)]
pub struct Available(BTreeMap<(Side, JointMotion), Angle>);

impl Available {
    /// The ranges of one body.
    #[must_use]
    pub fn of_body(body: &Body) -> Self {
        let all = Side::BOTH.into_iter().flat_map(|side| {
            Coordinate::LEG
                .into_iter()
                .flat_map(|c| [c.positive(), c.negative()])
                .map(move |motion| ((side, motion), body.range_of(side, motion)))
        });
        Self(all.collect())
    }

    /// One range; zero for motions that are not of a leg.
    #[must_use]
    pub fn of(&self, side: Side, motion: JointMotion) -> Angle {
        self.0.get(&(side, motion)).copied().unwrap_or(Angle::ZERO)
    }
}

/// A movement that may be prescribed at exactly this distance.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// The movement, permitted for today, with the computed postures.
    pub permitted: PermittedMovement,
    /// Joint moments, frame by frame.
    pub moments: JointMoments,
    /// Demands: share of this person's capacity, where that is known.
    pub demands: Demands,
    /// How far this person's joints go; shared by the candidates of one person.
    pub available: Arc<Available>,
    /// Time of one such movement, out and back and still again.
    pub minutes: Span,
    /// What it asks, for the bridge to the person's own tasks; without it no task is covered.
    pub profile: Option<Profile>,
}

/// The tempo of `reference/dose.toml`; slower where the gates say so.
#[must_use]
pub fn tempo_of(notes: &[Note]) -> Tempo {
    tempo_from(figures().tempo, notes)
}

/// A tempo that was chosen; slower where the gates say so.
#[must_use]
pub fn tempo_from(chosen: Tempo, notes: &[Note]) -> Tempo {
    if notes.iter().any(|note| note.kind == NoteKind::Slower) {
        chosen.slower(figures().slower_times)
    } else {
        chosen
    }
}

impl Candidate {
    /// A candidate at the tempo that its notes ask for.
    #[must_use]
    pub fn new(permitted: PermittedMovement, moments: JointMoments, available: Arc<Available>) -> Self {
        let demands = permitted.demands().clone();
        let minutes = tempo_of(permitted.notes()).one_movement();
        Self { permitted, moments, demands, available, minutes, profile: None }
    }

    /// The same with its profile, computed from the very motion that was permitted.
    #[must_use]
    pub fn with_profile(self, body: &Body, capacity: &Capacity) -> Self {
        let profile = Profile::of(body, capacity, self.permitted.motion());
        Self { profile: Some(profile), ..self }
    }
}
