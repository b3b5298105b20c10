//! One movement, complete: who moves, how, where, how far, with what, on which support.

use anatomy::Side;
use quantity::{Length, Mass};
use serde::{Deserialize, Serialize};

use crate::{AnatomicalDirection, ArmTask, Bearing, Crossing, HandShare, Landing, Place, Support};

/// What kind of movement it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    /// Toe touch without weight; the standing leg carries everything.
    Reach,
    /// A step that takes weight, and back.
    Step,
    /// A wider step with knee bend to a chosen depth.
    Lunge,
    /// Off the standing foot through the air, landing on the other in a lunge.
    Leap,
    /// Off both feet and onto both feet.
    TwoFootJump,
    /// Off one foot and onto the same foot.
    Hop,
    /// Both feet stay; a hand goes out to a point at a chosen height.
    BendAndReach,
}

impl Family {
    /// Every family the engine computes, in the order of the screens.
    pub const ALL: [Self; 7] =
        [Self::Reach, Self::Step, Self::Lunge, Self::Leap, Self::TwoFootJump, Self::Hop, Self::BendAndReach];

    /// The families in which a foot is always on the floor.
    pub const GROUNDED: [Self; 4] = [Self::Reach, Self::Step, Self::Lunge, Self::BendAndReach];

    /// Whether both feet leave the floor at once.
    #[must_use]
    pub fn is_airborne(self) -> bool {
        matches!(self, Self::Leap | Self::TwoFootJump | Self::Hop)
    }

    /// The trade name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Reach => "reach",
            Self::Step => "step",
            Self::Lunge => "lunge",
            Self::Leap => "leap",
            Self::TwoFootJump => "two-foot jump",
            Self::Hop => "single-leg hop",
            Self::BendAndReach => "bend and reach",
        }
    }

    /// Finds a family by its name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|f| f.name() == name || f.name().replace([' ', '-'], "_") == name)
    }

    /// The ways in which a limb can go out in this family: legs may cross, hands do not.
    #[must_use]
    pub fn ways(self, bearing: Bearing, mover: Side) -> &'static [Crossing] {
        match self {
            // A hop takes the same foot along, a jump both: nothing is crossed.
            Self::BendAndReach | Self::TwoFootJump | Self::Hop => &[Crossing::None],
            Self::Reach | Self::Step | Self::Lunge | Self::Leap => Crossing::ways(bearing, mover),
        }
    }

    /// The side a direction of this family is named from: reaches from the stance limb, as the
    /// literature does; all others from the limb that moves.
    #[must_use]
    pub fn named_from(self, mover: Side) -> Side {
        match self {
            Self::Reach => mover.other(),
            Self::Step | Self::Lunge | Self::Leap | Self::TwoFootJump | Self::Hop | Self::BendAndReach => {
                mover
            }
        }
    }
}

impl std::fmt::Display for Family {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

/// What the standing foot does in a crossing movement. Chosen by rules, never by effort.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StanceFoot {
    /// Flat and facing front.
    Fixed,
    /// The heel lifts and the foot turns on its ball.
    Pivoting,
}

/// How low the hand goes, as a landmark of the standing person.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum HandHeight {
    Thigh,
    Knee,
    Shin,
    Ankle,
}

impl HandHeight {
    /// From the highest to the lowest.
    pub const ALL: [Self; 4] = [Self::Thigh, Self::Knee, Self::Shin, Self::Ankle];

    /// The plain name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Thigh => "thigh",
            Self::Knee => "knee",
            Self::Shin => "shin",
            Self::Ankle => "ankle",
        }
    }
}

/// What is carried.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Load {
    /// Nothing.
    None,
    /// One weight in each hand.
    HandWeights {
        /// Mass of each.
        each: Mass,
    },
    /// One ball or weight held in both hands.
    InBothHands {
        /// Its mass.
        mass: Mass,
    },
    /// A backpack or a weighted vest.
    OnTrunk {
        /// Its mass.
        mass: Mass,
    },
}

impl Load {
    /// The whole carried mass.
    #[must_use]
    pub fn total(self) -> Mass {
        match self {
            Self::None => Mass::ZERO,
            Self::HandWeights { each } => each.times(2.0),
            Self::InBothHands { mass } | Self::OnTrunk { mass } => mass,
        }
    }
}

/// One movement. Geometry is bearing, moving side and crossing; names are derived.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MovementSpec {
    /// What kind.
    pub family: Family,
    /// The limb that moves: a foot, or for bend and reach the hand's side.
    pub mover: Side,
    /// Where to, seen from above.
    pub bearing: Bearing,
    /// Whether and how it crosses the standing leg.
    pub crossing: Crossing,
    /// What the standing foot does.
    pub stance_foot: StanceFoot,
    /// From the centre between the feet to the middle of the moving foot's print (step, lunge),
    /// to the touching toe tip (reach), or to the hand's floor point (bend and reach).
    pub distance: Length,
    /// How far the pelvis sinks, for a lunge.
    pub depth: Option<Length>,
    /// How low the hand goes, for bend and reach.
    pub hand_height: Option<HandHeight>,
    /// What is carried.
    pub load: Load,
    /// What the hands do.
    pub support: Support,
    /// What is held and where it stands; it occupies floor even when nobody holds it.
    pub place: Option<Place>,
    /// How much weight the hands take off the feet.
    pub hand_share: HandShare,
    /// What arms and trunk do meanwhile.
    pub arms: ArmTask,
    /// What happens on landing, for families that leave the floor.
    pub landing: Option<Landing>,
    /// How much higher than the floor the landing place is, such as a stair tread.
    pub rise: Length,
}

/// Why a set of choices is not one movement.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SpecError {
    /// Crossing does not go with the bearing.
    #[error("a {mover} limb going {bearing} cannot have crossing `{given:?}`; accepted: {accepted:?}")]
    Crossing {
        /// The limb.
        mover: Side,
        /// Plain words of the bearing.
        bearing: &'static str,
        /// What was given.
        given: Crossing,
        /// What goes with it.
        accepted: &'static [Crossing],
    },
    /// A lunge has no depth.
    #[error("a lunge needs a depth: how far the pelvis sinks")]
    NoDepth,
    /// A bend and reach has no height.
    #[error("bend and reach needs a hand height: thigh, knee, shin or ankle")]
    NoHandHeight,
    /// Only crossing movements may pivot.
    #[error("only a crossing movement may pivot on the standing foot")]
    Pivot,
    /// The hand that reaches cannot hold.
    #[error("in bend and reach one hand reaches; accepted supports: none, fingertip, one hand")]
    ReachingHandHeld,
    /// Hands cannot hold a support and a load.
    #[error("hands that hold a support with both hands cannot carry a load or do an arm task")]
    HandsFull,
    /// A jump, leap or hop does not say how it lands.
    #[error("a {family} needs a landing: held or rebound")]
    NoLanding {
        /// The family.
        family: Family,
    },
    /// A movement on the floor has no landing.
    #[error(
        "a {family} stays on the floor and takes no landing; landings go with leap, two-foot jump and single-leg hop"
    )]
    NothingLands {
        /// The family.
        family: Family,
    },
    /// A two-foot jump has no moving side.
    #[error("a two-foot jump moves both feet; it is written with the right side as its mover")]
    JumpSide,
    /// A hand that reaches has no second arm task.
    #[error("in bend and reach the arms do the reaching; accepted arm task: free")]
    ArmsAlreadyReach,
}

impl MovementSpec {
    /// The movement with nothing else: standing foot fixed, nothing carried or held, arms free, on the
    /// floor. A lunge still needs its depth, bend and reach its height; add them with `..`.
    #[must_use]
    pub fn bare(family: Family, mover: Side, bearing: Bearing, crossing: Crossing, distance: Length) -> Self {
        Self {
            family,
            mover,
            bearing,
            crossing,
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

    /// Checks that the choices are one movement.
    ///
    /// # Errors
    /// Names the choice that does not fit.
    pub fn checked(self) -> Result<Self, SpecError> {
        let accepted = self.family.ways(self.bearing, self.mover);
        if !accepted.contains(&self.crossing) {
            return Err(SpecError::Crossing {
                mover: self.mover,
                bearing: self.bearing.plain_words(),
                given: self.crossing,
                accepted,
            });
        }
        if self.family == Family::Lunge && self.depth.is_none() {
            return Err(SpecError::NoDepth);
        }
        if self.family == Family::BendAndReach && self.hand_height.is_none() {
            return Err(SpecError::NoHandHeight);
        }
        if self.stance_foot == StanceFoot::Pivoting && self.crossing == Crossing::None {
            return Err(SpecError::Pivot);
        }
        if self.family == Family::BendAndReach && self.support == Support::BothHands {
            return Err(SpecError::ReachingHandHeld);
        }
        if self.support == Support::BothHands
            && (matches!(self.load, Load::HandWeights { .. } | Load::InBothHands { .. })
                || self.arms != ArmTask::Free)
        {
            return Err(SpecError::HandsFull);
        }
        if self.family == Family::BendAndReach && self.arms != ArmTask::Free {
            return Err(SpecError::ArmsAlreadyReach);
        }
        match (self.family.is_airborne(), self.landing) {
            (true, None) => return Err(SpecError::NoLanding { family: self.family }),
            (false, Some(_)) => return Err(SpecError::NothingLands { family: self.family }),
            _ => {}
        }
        if self.family == Family::TwoFootJump && self.mover != Side::Right {
            return Err(SpecError::JumpSide);
        }
        Ok(self)
    }

    /// The leg that stands. In a single-leg hop the leg that stands is the one that hops.
    #[must_use]
    pub fn stance(&self) -> Side {
        if self.family == Family::Hop { self.mover } else { self.mover.other() }
    }

    /// The limb this direction is named from.
    #[must_use]
    pub fn named_from(&self) -> Side {
        self.family.named_from(self.mover)
    }

    /// The trade's name of the direction.
    #[must_use]
    pub fn direction(&self) -> AnatomicalDirection {
        self.bearing.named_from(self.named_from())
    }

    /// Whether the moving leg crosses the standing leg.
    #[must_use]
    pub fn crosses(&self) -> bool {
        self.crossing != Crossing::None
    }

    /// The same movement in a mirror.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self {
            mover: if self.family == Family::TwoFootJump { self.mover } else { self.mover.other() },
            bearing: self.bearing.mirrored(),
            place: self.place.map(Place::mirrored),
            ..self.clone()
        }
    }

    /// The same movement at another distance.
    #[must_use]
    pub fn at(&self, distance: Length) -> Self {
        Self { distance, ..self.clone() }
    }

    /// One line a therapist reads, such as
    /// `right step, anterolateral (named from the right leg), 48 cm`.
    #[must_use]
    pub fn sentence(&self) -> String {
        let limb = if self.family == Family::BendAndReach { "hand" } else { "leg" };
        let mut out = if self.family == Family::TwoFootJump {
            format!("{}, {}", self.family, self.bearing.plain_words())
        } else {
            format!(
                "{} {} {}, {} (named from the {} {limb})",
                self.mover,
                limb,
                self.family,
                self.direction(),
                self.named_from(),
            )
        };
        match self.crossing {
            Crossing::None => {}
            Crossing::InFront => out.push_str(", crossing in front"),
            Crossing::Behind => out.push_str(", crossing behind"),
        }
        if self.crosses() {
            out.push_str(match self.stance_foot {
                StanceFoot::Fixed => ", standing foot fixed",
                StanceFoot::Pivoting => ", standing foot pivoting",
            });
        }
        out.push_str(&format!(", {}", self.distance));
        if let Some(depth) = self.depth {
            out.push_str(&format!(", pelvis sinking {depth}"));
        }
        if let Some(height) = self.hand_height {
            out.push_str(&format!(", hand to {} height", height.name()));
        }
        if self.rise > Length::ZERO {
            out.push_str(&format!(", landing {} higher", self.rise));
        }
        match self.landing {
            None => {}
            Some(Landing::Held) => out.push_str(", landing held"),
            Some(Landing::Rebound) => out.push_str(", straight back"),
        }
        match self.load {
            Load::None => {}
            Load::HandWeights { each } => out.push_str(&format!(", {each} in each hand")),
            Load::InBothHands { mass } => out.push_str(&format!(", {mass} held in both hands")),
            Load::OnTrunk { mass } => out.push_str(&format!(", {mass} on the back")),
        }
        out.push_str(&self.arms.words());
        match self.support {
            Support::None => {}
            Support::Fingertip => out.push_str(", fingertip support"),
            Support::OneHand => out.push_str(", one hand held"),
            Support::BothHands => out.push_str(", both hands held"),
        }
        match self.hand_share {
            HandShare::NotAssessed => {}
            HandShare::Usual => out.push_str(", hands carrying the usual share"),
            HandShare::Stated(share) => {
                out.push_str(&format!(", hands carrying {:.0} %", share.in_percent()));
            }
        }
        out
    }
}
