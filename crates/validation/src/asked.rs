//! Movements of an ordering: described by direction and size, asked of the engine for one body.

use std::cell::OnceCell;

use anatomy::Side;
use biomech::course::{Course, course};
use biomech::{JointMoments, Motion, MotionError, moments, motion, motion_leaning};
use movement::{
    AnatomicalDirection, ArmTask, Bearing, Crossing, Family, HandHeight, HandShare, Landing, Load,
    MovementSpec, Place, StanceFoot, Support, SupportKind, Tempo,
};
use quantity::{Angle, Length, Mass, Share, Span};
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
    /// What is carried, as a share of body mass.
    #[serde(default)]
    pub load_of_body_mass: f64,
    /// What each hand carries, kilograms, for weights that are the same for everybody; goes before a
    /// share of body mass.
    pub each_hand_kg: Option<f64>,
    /// How it is carried.
    #[serde(default)]
    pub carried: Carried,
    /// How far the trunk is asked to lean, degrees from upright.
    pub lean_deg: Option<f64>,
    /// This movement's own distance instead of the setting's.
    pub distance: Option<Distance>,
    /// This lunge's own depth, as a share of leg length, instead of the setting's.
    pub depth: Option<f64>,
    /// How much further than the setting it goes, as a share of leg length.
    #[serde(default)]
    pub further: f64,
    /// How much deeper than the setting this lunge sinks, as a share of leg length.
    #[serde(default)]
    pub deeper: f64,
    /// How low the hand goes, for bend and reach.
    pub hand_height: Option<HandHeight>,
    /// What the hands hold.
    pub support: Option<Support>,
    /// How much of the weight the hands take, as a share of body weight.
    pub hand_share: Option<f64>,
    /// What arms and trunk do.
    pub arms: Option<ArmTask>,
    /// How a leap, jump or hop ends.
    pub landing: Option<Landing>,
    /// How much higher than the floor the landing place is, centimetres, such as a stair tread.
    #[serde(default)]
    pub rise_cm: f64,
}

/// How a load is carried.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Carried {
    /// Half in each hand.
    #[default]
    InEachHand,
    /// One weight in both hands.
    InBothHands,
    /// On the trunk.
    OnTrunk,
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
    in_time: OnceCell<Result<Course, String>>,
}

impl Computed {
    /// The key postures with their moments; the course is computed when it is first asked for.
    pub(crate) fn of(person: &Person, motion: Motion) -> Self {
        let moments = moments(&person.body, &motion);
        Self { motion, moments, in_time: OnceCell::new() }
    }

    /// The movement in time, so many seconds out and as many back with nothing held between, or why
    /// there is none. The first tempo asked for is kept.
    pub(crate) fn in_time(&self, person: &Person, seconds: f64) -> Result<&Course, String> {
        let way = Span::s(seconds);
        let tempo = Tempo { out: way, hold: Span::ZERO, back: way, settle: Span::ZERO };
        self.in_time
            .get_or_init(|| {
                course(&person.body, &person.capacity, &self.motion, &tempo).map_err(|e| e.to_string())
            })
            .as_ref()
            .map_err(Clone::clone)
    }

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
    MovementSpec::bare(family, Side::Right, bearing, family.ways(bearing, Side::Right)[0], distance)
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
    /// A movement with nothing special, named from the moving leg.
    pub(crate) fn plain(id: &str, family: Family, direction: AnatomicalDirection) -> Self {
        Self {
            id: id.to_owned(),
            family,
            direction,
            named_from: Limb::Mover,
            crossing: None,
            pivots: false,
            load_of_body_mass: 0.0,
            each_hand_kg: None,
            carried: Carried::InEachHand,
            lean_deg: None,
            distance: None,
            depth: None,
            further: 0.0,
            deeper: 0.0,
            hand_height: None,
            support: None,
            hand_share: None,
            arms: None,
            landing: None,
            rise_cm: 0.0,
        }
    }

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
            spec.depth = Some(leg.times(self.depth.unwrap_or(depth) + self.deeper));
        }
        if self.load_of_body_mass > 0.0 {
            let mass = Mass::kg(person.mass.in_kg() * self.load_of_body_mass);
            spec.load = match self.carried {
                Carried::InEachHand => Load::HandWeights { each: mass.times(0.5) },
                Carried::InBothHands => Load::InBothHands { mass },
                Carried::OnTrunk => Load::OnTrunk { mass },
            };
        }
        if let Some(each) = self.each_hand_kg {
            spec.load = Load::HandWeights { each: Mass::kg(each) };
        }
        spec.hand_height = self.hand_height;
        if let Some(support) = self.support {
            spec.support = support;
            spec.place = Place::usual(SupportKind::Bench, person.body.size().stature()).into_iter().next();
        }
        if let Some(share) = self.hand_share {
            spec.hand_share = HandShare::Stated(Share::of_one(share));
        }
        if let Some(arms) = self.arms {
            spec.arms = arms;
        }
        spec.landing = self.landing;
        spec.rise = Length::cm(self.rise_cm.max(0.0));
        let distance = match self.distance.unwrap_or(at) {
            Distance::OfLegLength(share) => leg.times(share),
            Distance::OfFurthest(share) => furthest(person, &spec)?.times(share),
        };
        let distance = distance + leg.times(self.further);
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
        Ok(Computed::of(person, motion))
    }
}
