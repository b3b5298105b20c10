//! What of a computed movement may have made it hurt: angles, loads, balance and distance, as plain numbers.
//!
//! All are the model's estimates for comparison between movements of one person, the largest over the key
//! postures. The force behind the kneecap is coarse (see `biomech::muscle::contact`) and missing where it is not
//! known. Nothing here ranks one vastus against another: the model cannot know.

use anatomy::{Coordinate, JointMotion, PerSide, Side};
use biomech::muscle::{JointLoads, LegFrame, contact, share};
use biomech::{Body, Capacity, JointMoments, KeyFrame, Motion};
use serde::Serialize;

/// Something computed of a movement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    /// How far a joint of a leg goes, degrees.
    Goes {
        /// The motion, by its key.
        motion: Bend,
        /// The leg.
        leg: Side,
    },
    /// Load behind the kneecap, body weights, coarse.
    Kneecap {
        /// The leg.
        leg: Side,
    },
    /// Share of the weight on a foot, per cent.
    OnFoot {
        /// The leg.
        leg: Side,
    },
    /// How far the trunk bends on the pelvis, degrees.
    TrunkBend,
    /// How little is left to the edge of the base, centimetres; less is more.
    BalanceMargin,
    /// How far it goes, centimetres.
    Distance,
    /// That this limb is the one that moves: no quantity of the model, but what every other one must beat.
    Moves {
        /// The limb.
        leg: Side,
    },
}

/// A motion of a leg that is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Bend {
    /// Ankle dorsiflexion.
    Ankle,
    /// Knee flexion.
    Knee,
    /// Hip flexion.
    Hip,
    /// Hip extension.
    HipExtension,
    /// Hip adduction.
    HipAdduction,
    /// Hip internal rotation.
    HipTurnIn,
}

impl Bend {
    const ALL: [Self; 6] =
        [Self::Ankle, Self::Knee, Self::Hip, Self::HipExtension, Self::HipAdduction, Self::HipTurnIn];

    fn motion(self) -> JointMotion {
        match self {
            Self::Ankle => Coordinate::AnkleDorsiflexion.positive(),
            Self::Knee => Coordinate::KneeFlexion.positive(),
            Self::Hip => Coordinate::HipFlexion.positive(),
            Self::HipExtension => Coordinate::HipFlexion.negative(),
            Self::HipAdduction => Coordinate::HipAdduction.positive(),
            Self::HipTurnIn => Coordinate::HipInternalRotation.positive(),
        }
    }
}

impl Quantity {
    /// Every quantity that is tried, in order.
    #[must_use]
    pub fn all() -> Vec<Self> {
        let legs = |of: fn(Side) -> Self| Side::BOTH.map(of).to_vec();
        let mut out: Vec<Self> = Bend::ALL
            .into_iter()
            .flat_map(|motion| Side::BOTH.map(|leg| Self::Goes { motion, leg }))
            .collect();
        out.extend(legs(|leg| Self::Kneecap { leg }));
        out.extend(legs(|leg| Self::OnFoot { leg }));
        out.extend([Self::TrunkBend, Self::BalanceMargin, Self::Distance]);
        out.extend(legs(|leg| Self::Moves { leg }));
        out
    }

    /// The quantity of the person in the mirror.
    #[must_use]
    pub fn mirrored(self) -> Self {
        match self {
            Self::Goes { motion, leg } => Self::Goes { motion, leg: leg.other() },
            Self::Kneecap { leg } => Self::Kneecap { leg: leg.other() },
            Self::OnFoot { leg } => Self::OnFoot { leg: leg.other() },
            Self::Moves { leg } => Self::Moves { leg: leg.other() },
            middle => middle,
        }
    }

    /// +1 where more of it is suspected, −1 where less is.
    #[must_use]
    pub fn sign(self) -> f64 {
        if self == Self::BalanceMargin { -1.0 } else { 1.0 }
    }

    /// In the trade's words.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Goes { motion, leg } => format!("{} of the {leg} leg", motion.motion().name()),
            Self::Kneecap { leg } => format!("load behind the {leg} kneecap"),
            Self::OnFoot { leg } => format!("weight on the {leg} foot"),
            Self::TrunkBend => "trunk flexion".to_owned(),
            Self::BalanceMargin => "little room to the edge of the base".to_owned(),
            Self::Distance => "distance".to_owned(),
            Self::Moves { leg } => format!("that the {leg} limb is the one that moves"),
        }
    }

    /// Two values in words, rounded as estimates are, and finer where they would read alike.
    #[must_use]
    pub fn say_both(self, a: f64, b: f64) -> (String, String) {
        let (plain_a, plain_b) = (self.say(a, 0), self.say(b, 0));
        if plain_a == plain_b { (self.say(a, 1), self.say(b, 1)) } else { (plain_a, plain_b) }
    }

    fn say(self, value: f64, finer: usize) -> String {
        let coarse = 1 + finer;
        match self {
            Self::Goes { .. } | Self::TrunkBend => format!("{value:.finer$}°"),
            Self::Kneecap { .. } => format!("{value:.coarse$} body weights"),
            Self::OnFoot { .. } => format!("{value:.finer$} %"),
            Self::BalanceMargin => format!("{value:.coarse$} cm"),
            Self::Distance => format!("{value:.finer$} cm"),
            Self::Moves { .. } => (if value > 0.5 { "yes" } else { "no" }).to_owned(),
        }
    }
}

/// Every quantity of a computed movement, in the order of [`Quantity::all`]; `None` where it is not known.
#[must_use]
pub fn quantities(
    body: &Body,
    capacity: &Capacity,
    motion: &Motion,
    moments: &JointMoments,
) -> Vec<Option<f64>> {
    let most = |of: &dyn Fn(&KeyFrame) -> f64| motion.frames.iter().map(of).reduce(f64::max);
    let kneecap = PerSide::from_fn(|leg| kneecap(body, capacity, motion, moments, leg));
    Quantity::all()
        .into_iter()
        .map(|quantity| match quantity {
            Quantity::Goes { motion, leg } => {
                most(&|frame| frame.posture.excursion(leg, motion.motion()).in_deg())
            }
            Quantity::Kneecap { leg } => *kneecap.get(leg),
            Quantity::OnFoot { leg } => most(&|frame| frame.load_share.get(leg).in_percent()),
            Quantity::TrunkBend => {
                let bend = Coordinate::LumbarFlexion.positive();
                most(&|frame| frame.posture.excursion(Side::Left, bend).in_deg())
            }
            Quantity::BalanceMargin => Some(motion.least_balance().in_cm()),
            Quantity::Distance => Some(motion.spec.distance.in_cm()),
            Quantity::Moves { leg } => Some(if motion.spec.mover == leg { 1.0 } else { 0.0 }),
        })
        .collect()
}

/// The largest load behind a kneecap; `None` where it is unknown in any posture.
fn kneecap(
    body: &Body,
    capacity: &Capacity,
    motion: &Motion,
    moments: &JointMoments,
    leg: Side,
) -> Option<f64> {
    let mut most: f64 = 0.0;
    for (frame, moments) in motion.frames.iter().zip(&moments.frames) {
        let held = LegFrame::of(moments, leg);
        let loads = JointLoads::held(body, frame, leg);
        let pressed = contact(body, leg, &held, &loads, &share(body, capacity, leg, &held));
        most = most.max(pressed.patellofemoral.body_weights()?);
    }
    Some(most)
}
