//! The muscles of one leg that are told apart.

use serde::{Deserialize, Serialize};

use crate::joint::{Coordinate, JointMotion, MuscleGroup};

/// A muscle, or a set of muscles, of one leg. The vasti are one: no model here can say which of
/// them works harder, so they are never told apart. The rectus femoris, which also crosses the
/// hip, stands by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LegMuscles {
    /// All parts of the gluteus maximus.
    GluteusMaximus,
    /// All parts of the gluteus medius.
    GluteusMedius,
    /// All parts of the gluteus minimus.
    GluteusMinimus,
    /// Tensor fasciae latae.
    TensorFasciaeLatae,
    /// Adductor longus, brevis, magnus, and gracilis.
    Adductors,
    /// Piriformis, the one short rotator of the model.
    Piriformis,
    /// Psoas and iliacus.
    Iliopsoas,
    /// Sartorius.
    Sartorius,
    /// Rectus femoris.
    RectusFemoris,
    /// Vastus lateralis, medialis and intermedius together.
    Vasti,
    /// Long head of the biceps femoris, semimembranosus and semitendinosus.
    Hamstrings,
    /// Short head of the biceps femoris.
    BicepsFemorisShortHead,
    /// Both heads of the gastrocnemius.
    Gastrocnemius,
    /// Soleus.
    Soleus,
    /// Tibialis posterior and the long flexors of the toes.
    DeepCalf,
    /// Peroneus longus and brevis.
    Peronei,
    /// Tibialis anterior and the long extensors of the toes.
    Dorsiflexors,
}

impl LegMuscles {
    /// Every set, hip first.
    pub const ALL: [Self; 17] = [
        Self::GluteusMaximus,
        Self::GluteusMedius,
        Self::GluteusMinimus,
        Self::TensorFasciaeLatae,
        Self::Adductors,
        Self::Piriformis,
        Self::Iliopsoas,
        Self::Sartorius,
        Self::RectusFemoris,
        Self::Vasti,
        Self::Hamstrings,
        Self::BicepsFemorisShortHead,
        Self::Gastrocnemius,
        Self::Soleus,
        Self::DeepCalf,
        Self::Peronei,
        Self::Dorsiflexors,
    ];

    /// The joint motions the set is named for, the first one first. What strength it has is judged
    /// by these.
    #[must_use]
    pub fn motions(self) -> &'static [JointMotion] {
        const fn to(coordinate: Coordinate) -> JointMotion {
            JointMotion { coordinate, positive: true }
        }
        const fn from(coordinate: Coordinate) -> JointMotion {
            JointMotion { coordinate, positive: false }
        }
        use Coordinate as C;
        const HIP_EXTENSION: JointMotion = from(C::HipFlexion);
        const KNEE_EXTENSION: JointMotion = from(C::KneeFlexion);
        match self {
            Self::GluteusMaximus => &[HIP_EXTENSION],
            Self::GluteusMedius | Self::GluteusMinimus | Self::TensorFasciaeLatae => {
                const { &[from(C::HipAdduction)] }
            }
            Self::Adductors => const { &[to(C::HipAdduction)] },
            Self::Piriformis => const { &[from(C::HipInternalRotation)] },
            Self::Iliopsoas | Self::Sartorius => const { &[to(C::HipFlexion)] },
            Self::RectusFemoris => const { &[KNEE_EXTENSION, to(C::HipFlexion)] },
            Self::Vasti => &[KNEE_EXTENSION],
            Self::Hamstrings => const { &[HIP_EXTENSION, to(C::KneeFlexion)] },
            Self::BicepsFemorisShortHead => const { &[to(C::KneeFlexion)] },
            Self::Gastrocnemius | Self::Soleus => const { &[from(C::AnkleDorsiflexion)] },
            Self::DeepCalf => const { &[to(C::SubtalarInversion)] },
            Self::Peronei => const { &[from(C::SubtalarInversion)] },
            Self::Dorsiflexors => const { &[to(C::AnkleDorsiflexion)] },
        }
    }

    /// The group a therapist trains it with; `None` where no group is named for its motion.
    #[must_use]
    pub fn group(self) -> Option<MuscleGroup> {
        let first = self.motions()[0];
        MuscleGroup::ALL.into_iter().find(|group| group.motion() == first)
    }

    /// The trade name, such as `gluteus maximus`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::GluteusMaximus => "gluteus maximus",
            Self::GluteusMedius => "gluteus medius",
            Self::GluteusMinimus => "gluteus minimus",
            Self::TensorFasciaeLatae => "tensor fasciae latae",
            Self::Adductors => "adductors",
            Self::Piriformis => "piriformis",
            Self::Iliopsoas => "iliopsoas",
            Self::Sartorius => "sartorius",
            Self::RectusFemoris => "rectus femoris",
            Self::Vasti => "vasti",
            Self::Hamstrings => "hamstrings",
            Self::BicepsFemorisShortHead => "short head of biceps femoris",
            Self::Gastrocnemius => "gastrocnemius",
            Self::Soleus => "soleus",
            Self::DeepCalf => "tibialis posterior and toe flexors",
            Self::Peronei => "peronei",
            Self::Dorsiflexors => "tibialis anterior and toe extensors",
        }
    }
}

impl std::fmt::Display for LegMuscles {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}
