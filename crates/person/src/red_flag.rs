//! Signs that stop everything, and how fast somebody must look.

use serde::Serialize;

/// How fast the person must be seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Urgency {
    /// Stop the session; a clinician looks before the next.
    BeforeNextSession,
    /// The same day.
    SameDay,
    /// Now.
    EmergencyNow,
}

/// A red flag. The wording the therapist reads stands in `reference/red_flags.toml`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum RedFlag {
    DeepVeinThrombosis,
    PulmonaryEmbolism,
    Infection,
    HipDislocation,
    Fracture,
    TendonRupture,
    CaudaEquina,
    SeriousSpinalDisease,
    LockedKnee,
    NerveOrVessel,
    HeartOrCirculation,
    FallDuringExercise,
    NewNeurologicalSign,
}

impl RedFlag {
    /// Every red flag.
    pub const ALL: [Self; 13] = [
        Self::DeepVeinThrombosis,
        Self::PulmonaryEmbolism,
        Self::Infection,
        Self::HipDislocation,
        Self::Fracture,
        Self::TendonRupture,
        Self::CaudaEquina,
        Self::SeriousSpinalDisease,
        Self::LockedKnee,
        Self::NerveOrVessel,
        Self::HeartOrCirculation,
        Self::FallDuringExercise,
        Self::NewNeurologicalSign,
    ];

    /// The key used in case files and in `reference/red_flags.toml`.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::DeepVeinThrombosis => "deep_vein_thrombosis",
            Self::PulmonaryEmbolism => "pulmonary_embolism",
            Self::Infection => "infection",
            Self::HipDislocation => "hip_dislocation",
            Self::Fracture => "fracture",
            Self::TendonRupture => "tendon_rupture",
            Self::CaudaEquina => "cauda_equina",
            Self::SeriousSpinalDisease => "serious_spinal_disease",
            Self::LockedKnee => "locked_knee",
            Self::NerveOrVessel => "nerve_or_vessel",
            Self::HeartOrCirculation => "heart_or_circulation",
            Self::FallDuringExercise => "fall_during_exercise",
            Self::NewNeurologicalSign => "new_neurological_sign",
        }
    }

    /// Finds a red flag by its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|flag| flag.key() == key)
    }
}
