//! What is wrong, or what was operated on, on which side and when.

use anatomy::Side;
use jiff::civil::Date;
use serde::Serialize;

use crate::{Finding, Presented};

/// Which side a condition is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Involved {
    /// The person's left.
    Left,
    /// The person's right.
    Right,
    /// Both sides.
    Both,
    /// The condition has no side (falls risk).
    General,
}

impl Involved {
    /// Whether this side is involved.
    #[must_use]
    pub fn includes(self, side: Side) -> bool {
        matches!((self, side), (Self::Both, _) | (Self::Left, Side::Left) | (Self::Right, Side::Right))
    }

    /// The same in a mirror.
    #[must_use]
    pub fn mirrored(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
            same => same,
        }
    }
}

/// How the hip was opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HipApproach {
    /// Posterior or posterolateral.
    Posterior,
    /// Direct anterior.
    Anterior,
    /// Direct lateral or anterolateral: the abductors were split and repaired.
    Lateral,
    /// Trochanteric osteotomy, abductor repair, fracture or revision.
    Trochanteric,
}

/// What was done to the knee.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum KneeSurgery {
    /// Total knee replacement.
    TotalReplacement,
}

/// A clinician's confirmation that the next phase may begin. Time alone never opens a phase.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PhaseConfirmation {
    /// The phase that was confirmed, 1 to 4.
    pub phase: u8,
    /// Who confirmed it.
    pub by: String,
    /// The day.
    pub on: Date,
}

/// A condition this tool has no preset for. Everything about it is the clinician's own word.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OtherCondition {
    /// The condition in the clinician's words.
    pub name: String,
    /// Side.
    pub involved: Involved,
    /// Highest rung of the movement ladder (0 to 6) that the clinician allows, who and when.
    pub ceiling: Finding<u8>,
    /// Who set the ceiling.
    pub ceiling_by: String,
}

/// A condition.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Condition {
    /// Total hip replacement.
    HipReplacement {
        /// Side or both.
        involved: Involved,
        /// How it was opened; unknown intersects all.
        approach: Finding<HipApproach>,
        /// Day of the operation; for both sides the later one.
        operated_on: Finding<Date>,
        /// Phases a clinician confirmed.
        confirmed: Vec<PhaseConfirmation>,
    },
    /// Total knee replacement.
    KneeReplacement {
        /// Side or both.
        involved: Involved,
        /// What was done.
        surgery: KneeSurgery,
        /// Day of the operation.
        operated_on: Finding<Date>,
        /// Phases a clinician confirmed.
        confirmed: Vec<PhaseConfirmation>,
    },
    /// Knee osteoarthritis.
    KneeOsteoarthritis {
        /// Side or both.
        involved: Involved,
        /// Varus thrust seen, or medial compartment disease.
        medial_or_varus_thrust: Finding<bool>,
        /// Phases a clinician confirmed.
        confirmed: Vec<PhaseConfirmation>,
    },
    /// An older adult at risk of falling.
    FallsRisk {
        /// Somebody else is at home.
        someone_at_home: Finding<bool>,
        /// The day the programme began, for the rule about the first two weeks.
        programme_began: Finding<Date>,
        /// A clinician waived the rule that somebody must be at home.
        alone_waived: Finding<bool>,
    },
    /// Any other presentation that has a preset.
    Presented(Presented),
    /// A condition without a preset.
    Other(OtherCondition),
}

impl Condition {
    /// The side it is on.
    #[must_use]
    pub fn involved(&self) -> Involved {
        match self {
            Self::HipReplacement { involved, .. }
            | Self::KneeReplacement { involved, .. }
            | Self::KneeOsteoarthritis { involved, .. } => *involved,
            Self::FallsRisk { .. } => Involved::General,
            Self::Presented(presented) => presented.involved,
            Self::Other(other) => other.involved,
        }
    }

    /// The day of the operation or of the injury, where it is known and counts.
    #[must_use]
    pub fn since(&self) -> Option<Date> {
        let day = |finding: &Finding<Date>| match finding {
            Finding::Found { value, .. } => Some(*value),
            Finding::NotAssessed => None,
        };
        match self {
            Self::HipReplacement { operated_on, .. } | Self::KneeReplacement { operated_on, .. } => {
                day(operated_on)
            }
            Self::Presented(presented) => day(&presented.since),
            Self::KneeOsteoarthritis { .. } | Self::FallsRisk { .. } | Self::Other(_) => None,
        }
    }

    /// The same condition on the other side.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let mut mirrored = self.clone();
        match &mut mirrored {
            Self::HipReplacement { involved, .. }
            | Self::KneeReplacement { involved, .. }
            | Self::KneeOsteoarthritis { involved, .. } => *involved = involved.mirrored(),
            Self::FallsRisk { .. } => {}
            Self::Presented(presented) => presented.involved = presented.involved.mirrored(),
            Self::Other(other) => other.involved = other.involved.mirrored(),
        }
        mirrored
    }
}
