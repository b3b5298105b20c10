//! What is read off a computed movement.

use anatomy::JointMotion;
use serde::Deserialize;

use crate::asked::{Computed, Limb};
use crate::people::Person;

/// One quantity of one leg in the far posture.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Measure {
    /// Joint angle in the direction of a motion, degrees.
    Angle {
        /// Key of the motion, such as `hip_flexion`.
        motion: String,
        /// Which leg.
        limb: Limb,
    },
    /// Internal moment in the direction of a motion, N·m per kg body mass.
    Moment {
        /// Key of the motion, such as `hip_extension`.
        motion: String,
        /// Which leg.
        limb: Limb,
    },
    /// The same as a share of this body's capacity at that angle.
    Share {
        /// Key of the motion.
        motion: String,
        /// Which leg.
        limb: Limb,
    },
    /// Share of the weight on a leg.
    Carried {
        /// Which leg.
        limb: Limb,
    },
}

fn motion_of(key: &str) -> Result<JointMotion, String> {
    JointMotion::from_key(key).ok_or_else(|| {
        let known: Vec<String> = JointMotion::all().map(JointMotion::key).collect();
        format!("`{key}` is no joint motion; accepted: {}", known.join(", "))
    })
}

impl Measure {
    /// The value, or why there is none.
    pub(crate) fn of(&self, person: &Person, done: &Computed) -> Result<f64, String> {
        let k = done.shown();
        match self {
            Self::Angle { motion, limb } => {
                Ok(done.motion.frames[k].posture.excursion(done.side(*limb), motion_of(motion)?).in_deg())
            }
            Self::Moment { motion, limb } => {
                let motion = motion_of(motion)?;
                let moment = done.moments.frames[k].moment(done.side(*limb), motion.coordinate).in_nm();
                Ok(moment * motion.sign() / person.mass.in_kg())
            }
            Self::Share { motion, limb } => {
                let (motion, side) = (motion_of(motion)?, done.side(*limb));
                let moment = done.moments.frames[k].moment(side, motion.coordinate).in_nm() * motion.sign();
                let angle = done.motion.frames[k].posture.angle(side, motion.coordinate);
                let (capacity, _) = person
                    .capacity
                    .at(side, motion, angle)
                    .ok_or_else(|| format!("the capacity of {motion} is unknown"))?;
                Ok(moment.max(0.0) / capacity.in_nm())
            }
            Self::Carried { limb } => Ok(done.motion.frames[k].load_share.get(done.side(*limb)).in_one()),
        }
    }
}
