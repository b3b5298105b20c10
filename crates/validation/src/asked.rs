//! Movements of an ordering: described by direction and size, asked of the engine for one body.

use anatomy::Side;
use biomech::{JointMoments, Motion, MotionError, moments, motion, motion_leaning};
use movement::{
    AnatomicalDirection, ArmTask, Bearing, Crossing, Family, HandShare, Load, MovementSpec, StanceFoot,
    Support,
};
use quantity::{Angle, Length, Mass};
use serde::Deserialize;

use crate::people::Person;

/// One of the two legs of a movement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Limb {
    /// The leg that goes out.
    Mover,
    /// The leg that stays.
    Stance,
}

/// One movement of an ordering; distance and depth come from the setting.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// Short name, unique in the file.
    pub id: String,
    /// Family.
    pub family: Family,
    /// Direction, as the source names it.
    pub direction: AnatomicalDirection,
    /// Which leg the source names it from.
    pub named_from: Limb,
    /// How it passes the standing leg; the first way when not given.
    pub crossing: Option<Crossing>,
    /// Whether the standing foot pivots.
    #[serde(default)]
    pub pivots: bool,
    /// What both hands carry together, as a share of body mass.
    #[serde(default)]
    pub load_of_body_mass: f64,
    /// How far the trunk is asked to lean, degrees from upright.
    pub lean_deg: Option<f64>,
}

/// How far and how deep; one of the settings in which an ordering is tried.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Distance {
    /// A share of the moving leg's length.
    OfLegLength(f64),
    /// A share of the furthest distance the engine finds for this movement.
    OfFurthest(f64),
}

/// A movement that was computed.
pub(crate) struct Computed {
    pub(crate) motion: Motion,
    pub(crate) moments: JointMoments,
}

impl Computed {
    /// The side of a leg of this movement.
    pub(crate) fn side(&self, limb: Limb) -> Side {
        match limb {
            Limb::Mover => self.motion.spec.mover,
            Limb::Stance => self.motion.spec.stance(),
        }
    }

    /// Where in the motion the frame stands that is shown.
    pub(crate) fn shown(&self) -> usize {
        let shown = self.motion.shown();
        self.motion.frames.iter().position(|f| std::ptr::eq(f, shown)).unwrap_or(0)
    }
}

/// Further than anybody reaches: what is asked to learn how far a body gets.
const BEYOND_REACH_M: f64 = 2.5;

/// A movement of the right leg with everything else plain.
pub(crate) fn plain(family: Family, bearing: Bearing, distance: Length) -> MovementSpec {
    MovementSpec {
        family,
        mover: Side::Right,
        bearing,
        crossing: family.ways(bearing, Side::Right)[0],
        stance_foot: StanceFoot::Fixed,
        distance,
        depth: None,
        hand_height: None,
        load: Load::None,
        support: Support::None,
        place: None,
        hand_share: HandShare::NotAssessed,
        arms: ArmTask::Free,
        landing: None,
        rise: Length::ZERO,
    }
}

/// The furthest distance of a movement that the engine finds, or why there is none.
pub(crate) fn furthest(person: &Person, spec: &MovementSpec) -> Result<Length, String> {
    match motion(&person.body, &person.capacity, &spec.at(Length::m(BEYOND_REACH_M))) {
        Ok(_) => Ok(Length::m(BEYOND_REACH_M)),
        Err(MotionError::OutOfReach { asked, by, .. }) if asked > by => {
            Ok(Length::m(asked.in_m() - by.in_m()))
        }
        Err(error) => Err(error.to_string()),
    }
}

impl Asked {
    /// The movement of this body at this distance and depth.
    ///
    /// # Errors
    /// Says why it is no movement.
    pub(crate) fn spec(&self, person: &Person, at: Distance, depth: f64) -> Result<MovementSpec, String> {
        let mover = Side::Right;
        let named_from = match self.named_from {
            Limb::Mover => mover,
            Limb::Stance => mover.other(),
        };
        let leg = person.body.leg_length(mover);
        let mut spec = plain(self.family, Bearing::of(self.direction, named_from), leg);
        if let Some(crossing) = self.crossing {
            spec.crossing = crossing;
        }
        if self.pivots {
            spec.stance_foot = StanceFoot::Pivoting;
        }
        if self.family == Family::Lunge {
            spec.depth = Some(leg.times(depth));
        }
        if self.load_of_body_mass > 0.0 {
            spec.load =
                Load::HandWeights { each: Mass::kg(person.mass.in_kg() * self.load_of_body_mass / 2.0) };
        }
        let distance = match at {
            Distance::OfLegLength(share) => leg.times(share),
            Distance::OfFurthest(share) => furthest(person, &spec)?.times(share),
        };
        spec.at(distance).checked().map_err(|e| e.to_string())
    }

    /// The movement, computed.
    ///
    /// # Errors
    /// As [`Self::spec`], or what the engine says is missing.
    pub(crate) fn compute(&self, person: &Person, at: Distance, depth: f64) -> Result<Computed, String> {
        let spec = self.spec(person, at, depth)?;
        let motion = match self.lean_deg {
            None => motion(&person.body, &person.capacity, &spec).map_err(|e| e.to_string())?,
            Some(lean) => {
                let plain = motion(&person.body, &person.capacity, &spec).map_err(|e| e.to_string())?;
                let lean = Angle::deg(lean);
                motion_leaning(&person.body, &person.capacity, &spec, lean, Some(&plain))
                    .ok_or_else(|| format!("{}: no posture leans {lean}", spec.sentence()))?
            }
        };
        let moments = moments(&person.body, &motion);
        Ok(Computed { motion, moments })
    }
}
