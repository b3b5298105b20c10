//! Other conditions and medicines that tighten what is allowed, whatever somebody comes with.

use serde::Serialize;

/// Something beside the presentation that only tightens. Rows stand in `reference/presets/other_conditions.toml`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Comorbidity {
    Osteoporosis,
    Neuropathy,
    Anticoagulant,
    Vestibular,
    Pregnancy,
    Hypermobility,
    CognitiveImpairment,
    HeartOrBloodPressure,
}

impl Comorbidity {
    /// Every one.
    pub const ALL: [Self; 8] = [
        Self::Osteoporosis,
        Self::Neuropathy,
        Self::Anticoagulant,
        Self::Vestibular,
        Self::Pregnancy,
        Self::Hypermobility,
        Self::CognitiveImpairment,
        Self::HeartOrBloodPressure,
    ];

    /// The key used in case files and tables.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Osteoporosis => "osteoporosis",
            Self::Neuropathy => "neuropathy",
            Self::Anticoagulant => "anticoagulant",
            Self::Vestibular => "vestibular",
            Self::Pregnancy => "pregnancy",
            Self::Hypermobility => "hypermobility",
            Self::CognitiveImpairment => "cognitive_impairment",
            Self::HeartOrBloodPressure => "heart_or_blood_pressure",
        }
    }

    /// Finds one by its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.key() == key)
    }
}
