//! What the surgeon or treating team ordered for this one person.

use anatomy::{JointMotion, Side};
use jiff::civil::Date;
use quantity::{Angle, Length, Mass, Share};
use serde::Serialize;

/// How we know of an order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HowKnown {
    /// The letter was seen.
    LetterSeen,
    /// Spoken to the team.
    SpokenToTeam,
    /// The patient says so: this can only tighten.
    PatientSays,
}

impl HowKnown {
    /// Whether an order known in this way may make a limit looser.
    #[must_use]
    pub fn may_loosen(self) -> bool {
        !matches!(self, Self::PatientSays)
    }
}

/// What an order limits.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum OrderedLimit {
    /// A joint may go this far and no further.
    JointAngle {
        /// The motion that is limited.
        motion: JointMotion,
        /// How far, in the direction of the motion.
        at_most: Angle,
    },
    /// The usual hip precautions need not be kept; the danger pose is still avoided.
    NoPrecautions,
    /// The foot must not turn while the leg stands.
    NoPivot,
    /// No movement above this rung of the ladder.
    LevelAtMost(u8),
    /// This leg may go out this far and no further.
    DistanceAtMost(Length),
    /// No more than this may be carried.
    LoadAtMost(Mass),
    /// A landing may press with so many body weights at most.
    ImpactAtMost(f64),
    /// A rung that the presentation keeps shut for good may open once its criteria are met.
    MayOpenLevel(u8),
    /// Pain up to this number is accepted in an exercise, when it has settled by the next morning.
    PainUpTo(u8),
}

impl OrderedLimit {
    /// Whether it opens or accepts something and closes nothing.
    #[must_use]
    pub fn loosens(&self) -> bool {
        matches!(self, Self::NoPrecautions | Self::MayOpenLevel(_) | Self::PainUpTo(_))
    }
}

/// One order, with dates.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SurgeonOrder {
    /// What is limited.
    pub limit: OrderedLimit,
    /// The leg it is about; `None` for both.
    pub side: Option<Side>,
    /// Who ordered it.
    pub by: String,
    /// How we know.
    pub known: HowKnown,
    /// First day.
    pub from: Date,
    /// Last day, if one was given; without one it holds until it is withdrawn.
    pub until: Option<Date>,
}

impl SurgeonOrder {
    /// Whether it was given for this day: between its first and its last.
    #[must_use]
    pub fn holds_on(&self, day: Date) -> bool {
        self.from <= day && self.until.is_none_or(|last| day <= last)
    }

    /// Whether it counts on this day. What it closes stays closed after its last day too, until somebody takes it out or
    /// renews it; what it opens or accepts does not stay.
    #[must_use]
    pub fn counts_on(&self, day: Date) -> bool {
        self.holds_on(day) || (self.from <= day && !self.limit.loosens())
    }
}

/// Weight-bearing grades of the trade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WeightBearingGrade {
    /// Foot off the floor.
    NonWeightBearing,
    /// Foot touches for balance only.
    TouchWeightBearing,
    /// A stated share of body weight.
    PartialWeightBearing,
    /// As much as is comfortable.
    AsTolerated,
    /// No limit.
    Full,
}

/// A weight-bearing order for one leg.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeightBearing {
    /// The grade.
    pub grade: WeightBearingGrade,
    /// The ordered share, for partial weight bearing.
    pub share: Option<Share>,
    /// How we know.
    pub known: HowKnown,
    /// Who ordered it.
    pub by: String,
    /// Last day, if given.
    pub until: Option<Date>,
}
