//! Joints, their coordinates with signs, and the muscle groups named for what they do.
//!
//! ISB axes: X forward, Y up, Z to the person's right. Every angle is positive as its
//! coordinate is named, on both sides: hip adduction is positive when the thigh crosses
//! toward the midline, left and right alike. Internal moments carry the sign of the
//! coordinate they push toward (a knee extension moment is negative, because the
//! coordinate is flexion).

use serde::{Deserialize, Serialize};

/// A joint of the model.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Joint {
    Hip,
    Knee,
    Ankle,
    Subtalar,
    Lumbar,
}

/// A joint coordinate, positive as named.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Coordinate {
    /// Thigh forward of the pelvis.
    HipFlexion,
    /// Thigh toward and past the midline.
    HipAdduction,
    /// Thigh turned inward about its own length.
    HipInternalRotation,
    /// Shank folded behind the thigh.
    KneeFlexion,
    /// Shank turned inward below the thigh.
    TibialInternalRotation,
    /// Foot drawn up toward the shank (or shank leaning forward over the foot).
    AnkleDorsiflexion,
    /// Sole turned to face the midline.
    SubtalarInversion,
    /// Trunk bent forward on the pelvis.
    LumbarFlexion,
    /// Trunk bent to the person's right on the pelvis.
    LumbarSideBendRight,
    /// Trunk turned to the person's right on the pelvis.
    LumbarRotationRight,
}

impl Coordinate {
    /// The joint this coordinate belongs to.
    #[must_use]
    pub fn joint(self) -> Joint {
        match self {
            Self::HipFlexion | Self::HipAdduction | Self::HipInternalRotation => Joint::Hip,
            Self::KneeFlexion | Self::TibialInternalRotation => Joint::Knee,
            Self::AnkleDorsiflexion => Joint::Ankle,
            Self::SubtalarInversion => Joint::Subtalar,
            Self::LumbarFlexion | Self::LumbarSideBendRight | Self::LumbarRotationRight => Joint::Lumbar,
        }
    }

    /// The seven coordinates of one leg, hip first.
    pub const LEG: [Self; 7] = [
        Self::HipFlexion,
        Self::HipAdduction,
        Self::HipInternalRotation,
        Self::KneeFlexion,
        Self::TibialInternalRotation,
        Self::AnkleDorsiflexion,
        Self::SubtalarInversion,
    ];

    /// The three coordinates between pelvis and trunk.
    pub const TRUNK: [Self; 3] = [Self::LumbarFlexion, Self::LumbarSideBendRight, Self::LumbarRotationRight];

    /// The motion in the positive direction.
    #[must_use]
    pub fn positive(self) -> JointMotion {
        JointMotion { coordinate: self, positive: true }
    }

    /// The motion in the negative direction.
    #[must_use]
    pub fn negative(self) -> JointMotion {
        JointMotion { coordinate: self, positive: false }
    }
}

/// One direction of one coordinate, such as hip extension: what a limit or a strength is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct JointMotion {
    /// The coordinate.
    pub coordinate: Coordinate,
    /// Whether the positive direction is meant.
    pub positive: bool,
}

impl JointMotion {
    /// +1 or −1: multiplies the coordinate so that the result grows in this direction.
    #[must_use]
    pub fn sign(self) -> f64 {
        if self.positive { 1.0 } else { -1.0 }
    }

    /// The trade name of the motion, such as `hip extension`.
    #[must_use]
    pub fn name(self) -> &'static str {
        use Coordinate as C;
        match (self.coordinate, self.positive) {
            (C::HipFlexion, true) => "hip flexion",
            (C::HipFlexion, false) => "hip extension",
            (C::HipAdduction, true) => "hip adduction",
            (C::HipAdduction, false) => "hip abduction",
            (C::HipInternalRotation, true) => "hip internal rotation",
            (C::HipInternalRotation, false) => "hip external rotation",
            (C::KneeFlexion, true) => "knee flexion",
            (C::KneeFlexion, false) => "knee extension",
            (C::TibialInternalRotation, true) => "internal rotation of the shank",
            (C::TibialInternalRotation, false) => "external rotation of the shank",
            (C::AnkleDorsiflexion, true) => "ankle dorsiflexion",
            (C::AnkleDorsiflexion, false) => "ankle plantarflexion",
            (C::SubtalarInversion, true) => "subtalar inversion",
            (C::SubtalarInversion, false) => "subtalar eversion",
            (C::LumbarFlexion, true) => "trunk flexion",
            (C::LumbarFlexion, false) => "trunk extension",
            (C::LumbarSideBendRight, true) => "side bend to the right",
            (C::LumbarSideBendRight, false) => "side bend to the left",
            (C::LumbarRotationRight, true) => "trunk rotation to the right",
            (C::LumbarRotationRight, false) => "trunk rotation to the left",
        }
    }

    /// The key used in reference tables and case files, such as `hip_extension`.
    #[must_use]
    pub fn key(self) -> String {
        self.name().replace(' ', "_")
    }

    /// Every motion of leg and trunk.
    pub fn all() -> impl Iterator<Item = Self> {
        Coordinate::LEG.into_iter().chain(Coordinate::TRUNK).flat_map(|c| [c.positive(), c.negative()])
    }

    /// Finds a motion by its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::all().find(|motion| motion.key() == key)
    }
}

impl std::fmt::Display for JointMotion {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

/// A group of muscles named for the joint motion it produces. The vasti are never told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum MuscleGroup {
    HipExtensors,
    HipFlexors,
    HipAbductors,
    HipAdductors,
    KneeExtensors,
    KneeFlexors,
    AnklePlantarflexors,
    AnkleDorsiflexors,
    TrunkExtensors,
}

impl MuscleGroup {
    /// Every group.
    pub const ALL: [Self; 9] = [
        Self::HipExtensors,
        Self::HipFlexors,
        Self::HipAbductors,
        Self::HipAdductors,
        Self::KneeExtensors,
        Self::KneeFlexors,
        Self::AnklePlantarflexors,
        Self::AnkleDorsiflexors,
        Self::TrunkExtensors,
    ];

    /// The motion the group produces.
    #[must_use]
    pub fn motion(self) -> JointMotion {
        use Coordinate as C;
        match self {
            Self::HipExtensors => C::HipFlexion.negative(),
            Self::HipFlexors => C::HipFlexion.positive(),
            Self::HipAbductors => C::HipAdduction.negative(),
            Self::HipAdductors => C::HipAdduction.positive(),
            Self::KneeExtensors => C::KneeFlexion.negative(),
            Self::KneeFlexors => C::KneeFlexion.positive(),
            Self::AnklePlantarflexors => C::AnkleDorsiflexion.negative(),
            Self::AnkleDorsiflexors => C::AnkleDorsiflexion.positive(),
            Self::TrunkExtensors => C::LumbarFlexion.negative(),
        }
    }

    /// The trade name, such as `hip extensors`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::HipExtensors => "hip extensors",
            Self::HipFlexors => "hip flexors",
            Self::HipAbductors => "hip abductors",
            Self::HipAdductors => "hip adductors",
            Self::KneeExtensors => "knee extensors",
            Self::KneeFlexors => "knee flexors",
            Self::AnklePlantarflexors => "ankle plantarflexors",
            Self::AnkleDorsiflexors => "ankle dorsiflexors",
            Self::TrunkExtensors => "trunk extensors",
        }
    }

    /// The key used in case files, such as `hip_extensors`.
    #[must_use]
    pub fn key(self) -> String {
        self.name().replace(' ', "_")
    }

    /// Finds a group by its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|group| group.key() == key)
    }
}
