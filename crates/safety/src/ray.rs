//! One ray of a person's movement space: a way of going out in one direction, with its verdict.

use anatomy::Side;
use jiff::civil::Date;
use movement::{
    AnatomicalDirection, Bearing, Crossing, Family, HandHeight, Load, MovementSpec, Place, StanceFoot,
    Support,
};
use quantity::Length;
use serde::Serialize;

use crate::{Alert, Note, PermittedMovement, Refusal};

/// Everything about a movement but how far it goes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Ray {
    /// What kind of movement.
    pub family: Family,
    /// The limb that moves.
    pub mover: Side,
    /// Where to.
    pub bearing: Bearing,
    /// Whether and how it crosses the standing leg.
    pub crossing: Crossing,
    /// What the standing foot does.
    pub stance_foot: StanceFoot,
    /// What the hands do.
    pub support: Support,
    /// What is held and where it stands.
    pub place: Option<Place>,
    /// How far the pelvis sinks, for a lunge.
    pub depth: Option<Length>,
    /// How low the hand goes, for bend and reach.
    pub hand_height: Option<HandHeight>,
}

impl Ray {
    /// The movement on this ray at one distance, without a load.
    #[must_use]
    pub fn at(&self, distance: Length) -> MovementSpec {
        MovementSpec {
            family: self.family,
            mover: self.mover,
            bearing: self.bearing,
            crossing: self.crossing,
            stance_foot: self.stance_foot,
            distance,
            depth: self.depth,
            hand_height: self.hand_height,
            load: Load::None,
            support: self.support,
            place: self.place,
            hand_share: movement::HandShare::NotAssessed,
            arms: movement::ArmTask::Free,
            landing: None,
            rise: quantity::Length::ZERO,
        }
    }

    /// The trade's name of the direction, and the limb it is named from.
    #[must_use]
    pub fn direction(&self) -> (AnatomicalDirection, Side) {
        let limb = self.family.named_from(self.mover);
        (self.bearing.named_from(limb), limb)
    }
}

/// What ends an open ray: never a rule.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "set_by", rename_all = "snake_case")]
pub enum OpenTo {
    /// The body itself goes no further; the sentence says by how much the next distance was missed.
    BodyReach {
        /// Why the next distance could not be computed.
        because: String,
    },
    /// Nothing stopped it up to the longest distance that was tried.
    LongestTried,
}

/// What today's findings make of one ray.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "verdict", rename_all = "snake_case")]
pub enum RayVerdict {
    /// No rule shortens it.
    Open {
        /// The furthest distance that passed.
        to: Length,
        /// What ends it.
        set_by: OpenTo,
    },
    /// Some rule shortens it.
    Limited {
        /// The furthest distance that passed.
        to: Length,
        /// Why the next distance did not.
        by: Vec<Refusal>,
    },
    /// No distance passed.
    Closed {
        /// Why.
        by: Vec<Refusal>,
    },
}

impl RayVerdict {
    /// How far this ray may be used; `None` when closed.
    #[must_use]
    pub fn to(&self) -> Option<Length> {
        match self {
            Self::Open { to, .. } | Self::Limited { to, .. } => Some(*to),
            Self::Closed { .. } => None,
        }
    }

    /// The reasons, empty when the ray is open.
    #[must_use]
    pub fn reasons(&self) -> &[Refusal] {
        match self {
            Self::Open { .. } => &[],
            Self::Limited { by, .. } | Self::Closed { by } => by,
        }
    }
}

/// One ray with its verdict and the furthest movement that both gates passed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SurveyedRay {
    /// The ray.
    pub ray: Ray,
    /// What today's findings make of it.
    pub verdict: RayVerdict,
    /// The furthest permitted movement, when there is one.
    pub furthest: Option<PermittedMovement>,
}

/// A person's movement space on one day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Space {
    /// The day.
    pub on: Date,
    /// A red flag closes everything.
    pub alert: Option<Alert>,
    /// What goes with the whole space, such as a surgeon's looser order.
    pub notes: Vec<Note>,
    /// Every ray that was surveyed, in a fixed order.
    pub rays: Vec<SurveyedRay>,
}
