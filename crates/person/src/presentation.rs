//! The presentations that have rules of their own in `reference/presets`, beside the replaced joints.

use anatomy::Side;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::{Finding, Involved, PhaseConfirmation};

/// What somebody comes with. Its limits, phases and criteria stand in `reference/presets/KEY.toml`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Presentation {
    HipOsteoarthritis,
    PatellofemoralPain,
    AclReconstruction,
    AclWithoutOperation,
    MeniscusRepair,
    AnkleSprain,
    AchillesTendinopathy,
    AchillesRepair,
    LowBackPain,
    GlutealTendinopathy,
    HealthyAthlete,
}

/// A form of a presentation that has rules of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Pattern {
    HamstringGraft,
    OtherGraft,
    Vertical,
    RadialRootOrComplex,
    FirstSprain,
    ChronicInstability,
    MidPortion,
    Insertional,
}

/// What the weeks are counted from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Clock {
    /// The day of the operation.
    Operation,
    /// The day of the injury.
    Injury,
    /// Nothing: only criteria and a clinician's confirmation open.
    None,
}

impl Presentation {
    /// Every presentation.
    pub const ALL: [Self; 11] = [
        Self::HipOsteoarthritis,
        Self::PatellofemoralPain,
        Self::AclReconstruction,
        Self::AclWithoutOperation,
        Self::MeniscusRepair,
        Self::AnkleSprain,
        Self::AchillesTendinopathy,
        Self::AchillesRepair,
        Self::LowBackPain,
        Self::GlutealTendinopathy,
        Self::HealthyAthlete,
    ];

    /// The key used in case files and as the name of its table.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::HipOsteoarthritis => "hip_osteoarthritis",
            Self::PatellofemoralPain => "patellofemoral_pain",
            Self::AclReconstruction => "acl_reconstruction",
            Self::AclWithoutOperation => "acl_without_operation",
            Self::MeniscusRepair => "meniscus_repair",
            Self::AnkleSprain => "ankle_sprain",
            Self::AchillesTendinopathy => "achilles_tendinopathy",
            Self::AchillesRepair => "achilles_repair",
            Self::LowBackPain => "low_back_pain",
            Self::GlutealTendinopathy => "gluteal_tendinopathy",
            Self::HealthyAthlete => "healthy_athlete",
        }
    }

    /// Finds a presentation by its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.key() == key)
    }

    /// The presentation in the trade's words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::HipOsteoarthritis => "hip osteoarthritis",
            Self::PatellofemoralPain => "patellofemoral pain",
            Self::AclReconstruction => "reconstruction of the anterior cruciate ligament",
            Self::AclWithoutOperation => "injury of the anterior cruciate ligament, not operated",
            Self::MeniscusRepair => "repair of a meniscus",
            Self::AnkleSprain => "lateral ankle sprain or instability",
            Self::AchillesTendinopathy => "Achilles tendinopathy",
            Self::AchillesRepair => "rupture of the Achilles tendon, sewn or treated in a boot",
            Self::LowBackPain => "low back pain in rehabilitation",
            Self::GlutealTendinopathy => "gluteal tendinopathy (greater trochanteric pain)",
            Self::HealthyAthlete => "healthy athlete",
        }
    }

    /// Whether it is on a leg.
    #[must_use]
    pub fn has_side(self) -> bool {
        !matches!(self, Self::LowBackPain | Self::HealthyAthlete)
    }

    /// What its weeks are counted from.
    #[must_use]
    pub fn clock(self) -> Clock {
        match self {
            Self::AclReconstruction | Self::MeniscusRepair => Clock::Operation,
            Self::AnkleSprain | Self::AchillesRepair => Clock::Injury,
            Self::HipOsteoarthritis
            | Self::AclWithoutOperation
            | Self::PatellofemoralPain
            | Self::AchillesTendinopathy
            | Self::LowBackPain
            | Self::GlutealTendinopathy
            | Self::HealthyAthlete => Clock::None,
        }
    }

    /// Its forms with rules of their own; empty where there is only one.
    #[must_use]
    pub fn patterns(self) -> &'static [Pattern] {
        match self {
            Self::AclReconstruction => &[Pattern::HamstringGraft, Pattern::OtherGraft],
            Self::MeniscusRepair => &[Pattern::Vertical, Pattern::RadialRootOrComplex],
            Self::AnkleSprain => &[Pattern::FirstSprain, Pattern::ChronicInstability],
            Self::AchillesTendinopathy => &[Pattern::MidPortion, Pattern::Insertional],
            _ => &[],
        }
    }
}

impl Pattern {
    /// The key used in case files and tables.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::HamstringGraft => "hamstring_graft",
            Self::OtherGraft => "other_graft",
            Self::Vertical => "vertical",
            Self::RadialRootOrComplex => "radial_root_or_complex",
            Self::FirstSprain => "first_sprain",
            Self::ChronicInstability => "chronic_instability",
            Self::MidPortion => "mid_portion",
            Self::Insertional => "insertional",
        }
    }
}

impl Pattern {
    /// The form in the trade's words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::HamstringGraft => "hamstring graft",
            Self::OtherGraft => "another graft",
            Self::Vertical => "vertical or peripheral tear",
            Self::RadialRootOrComplex => "radial, root or complex tear",
            Self::FirstSprain => "first sprain",
            Self::ChronicInstability => "chronic instability",
            Self::MidPortion => "mid-portion",
            Self::Insertional => "insertional",
        }
    }
}

impl Clock {
    /// The key of the day in a case file; `None` when no day counts.
    #[must_use]
    pub fn key(self) -> Option<&'static str> {
        match self {
            Self::Operation => Some("operated_on"),
            Self::Injury => Some("injured_on"),
            Self::None => None,
        }
    }

    /// The day in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Operation => "the day of the operation",
            Self::Injury => "the day of the injury",
            Self::None => "no day",
        }
    }
}

/// One presentation of one person.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Presented {
    /// Which.
    pub presentation: Presentation,
    /// Side or both; general where it has none.
    pub involved: Involved,
    /// Its form; unknown keeps the rules of every form.
    pub pattern: Finding<Pattern>,
    /// The day its weeks are counted from; unknown keeps the first phase.
    pub since: Finding<Date>,
    /// Phases a clinician confirmed.
    pub confirmed: Vec<PhaseConfirmation>,
}

impl Presented {
    /// Whether two entries are about the same joint.
    #[must_use]
    pub fn shares_joint_with(&self, other: &Self) -> bool {
        self.presentation == other.presentation
            && (self.involved == other.involved
                || Side::BOTH.into_iter().any(|s| self.involved.includes(s) && other.involved.includes(s)))
    }
}
