//! What is read off a computed movement.

use anatomy::{JointMotion, LegMuscles};
use biomech::muscle::{LegFrame, MuscleDemand, share};
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
    /// Share of their strength that sets of muscles give, mean of the sets.
    Muscle {
        /// The sets, such as `vasti`.
        muscles: Vec<LegMuscles>,
        /// Which leg.
        limb: Limb,
    },
    /// The same of some sets over that of others.
    MuscleRatio {
        /// The sets above the line.
        muscles: Vec<LegMuscles>,
        /// The sets below it.
        over: Vec<LegMuscles>,
        /// Which leg.
        limb: Limb,
    },
}

/// Below this share a set of muscles counts as silent and no ratio is formed with it.
const SILENT: f64 = 0.005;

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
            Self::Muscle { muscles, limb } => mean_share(person, done, muscles, *limb),
            Self::MuscleRatio { muscles, over, limb } => {
                let below = mean_share(person, done, over, *limb)?;
                if below < SILENT {
                    return Err("the muscles below the line are silent, so there is no ratio".to_owned());
                }
                Ok(mean_share(person, done, muscles, *limb)? / below)
            }
            Self::Carried { limb } => Ok(done.motion.frames[k].load_share.get(done.side(*limb)).in_one()),
        }
    }
}

fn mean_share(person: &Person, done: &Computed, muscles: &[LegMuscles], limb: Limb) -> Result<f64, String> {
    let side = done.side(limb);
    let frame = LegFrame::of(&done.moments.frames[done.shown()], side);
    let shared = share(&person.body, &person.assumed, side, &frame);
    let mut sum = 0.0;
    for set in muscles {
        match shared.of(*set) {
            MuscleDemand::Estimate { share, .. } => sum += share.in_one(),
            MuscleDemand::Unknown { why } => return Err(why.to_string()),
        }
    }
    Ok(sum / muscles.len() as f64)
}
