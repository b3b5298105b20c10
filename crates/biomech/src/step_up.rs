//! The smallest useful step up: the least change of distance, depth or load, direction unchanged,
//! whose demand is more than "about the same" as now.

use anatomy::{JointMotion, Side};
use movement::{Family, MovementSpec};
use quantity::Length;
use serde::Serialize;

use crate::body::Body;
use crate::capacity::Capacity;
use crate::demand::{demands, moments};
use crate::motion::motion_near;
use crate::result::{Demand, Motion};
use crate::sensitivity::{further, steps, with_more_load};
use crate::uncertainty::Beside;

/// What may be stepped up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StepOf {
    /// Further, centimetres.
    Distance,
    /// Deeper, centimetres; lunges only.
    Depth,
    /// Heavier, kilograms.
    Load,
}

impl StepOf {
    /// Every kind of step.
    pub const ALL: [Self; 3] = [Self::Distance, Self::Depth, Self::Load];
}

/// What came of looking for a step of one kind.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StepUp {
    /// The smallest step whose demand is more by more than the band of the difference.
    Found {
        /// By how much, in the unit of the kind.
        by: f64,
        /// The movement then.
        to: Box<MovementSpec>,
        /// Its demand, an estimate.
        demand: Demand,
    },
    /// Up to here the demand stays about the same or falls.
    NotWithin {
        /// How far it was tried, in the unit of the kind.
        tried: f64,
    },
    /// The body cannot do the next step; up to there the demand stays about the same or falls.
    OutOfReach {
        /// The last that was solved, in the unit of the kind; zero: none.
        after: f64,
    },
    /// The capacity is unknown, so nothing can be compared.
    DemandUnknown,
    /// This movement has no such measure.
    DoesNotApply,
}

fn changed(spec: &MovementSpec, kind: StepOf, by: f64) -> Option<MovementSpec> {
    match kind {
        StepOf::Distance => further(spec, by),
        StepOf::Load => with_more_load(spec, by),
        StepOf::Depth if spec.family == Family::Lunge => {
            let depth = spec.depth?.in_cm() + by;
            Some(MovementSpec { depth: Some(Length::cm(depth)), ..spec.clone() })
        }
        StepOf::Depth => None,
    }
}

/// The smallest useful step of each kind for the demand of one joint motion of a solved movement.
/// Whether a step is allowed is for the gates to say; this says only whether it would be felt.
/// Steps and the furthest that is tried stand in `reference/step_up.toml`.
#[must_use]
pub fn smallest_step_up(
    body: &Body,
    capacity: &Capacity,
    found: &Motion,
    side: Side,
    motion: JointMotion,
) -> [(StepOf, StepUp); 3] {
    StepOf::ALL.map(|kind| (kind, of_kind(body, capacity, found, (side, motion), kind)))
}

fn of_kind(
    body: &Body,
    capacity: &Capacity,
    found: &Motion,
    (side, motion): (Side, JointMotion),
    kind: StepOf,
) -> StepUp {
    if kind == StepOf::Depth && found.spec.family != Family::Lunge {
        return StepUp::DoesNotApply;
    }
    let demand_of = |m: &Motion| demands(&moments(body, m), capacity).of(side, motion);
    let Some(now @ Demand::Estimate { .. }) = demand_of(found) else { return StepUp::DemandUnknown };
    let own = steps();
    let (step, most) = match kind {
        StepOf::Distance => (own.step.distance_cm, own.most.distance_cm),
        StepOf::Depth => (own.step.depth_cm, own.most.depth_cm),
        StepOf::Load => (own.step.load_kg, own.most.load_kg),
    };
    let mut near = found.clone();
    let mut after = 0.0;
    let mut tried = step;
    while tried <= most + 1e-9 {
        let next = changed(&found.spec, kind, tried)
            .and_then(|spec| motion_near(body, capacity, &spec, Some(&near)));
        let Some(next) = next else { return StepUp::OutOfReach { after } };
        if let Some(then) = demand_of(&next)
            && then.beside(now) == Beside::More
        {
            return StepUp::Found { by: tried, to: Box::new(next.spec), demand: then };
        }
        near = next;
        after = tried;
        tried += step;
    }
    StepUp::NotWithin { tried: most }
}
