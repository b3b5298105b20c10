//! What is read off a computed movement.

use anatomy::{Coordinate, JointMotion, LegMuscles, MuscleGroup, Side};
use biomech::course::{Course, TimedFrame};
use biomech::muscle::{Contact, JointLoads, LegFrame, MuscleDemand, MuscleDemands, contact, share};
use biomech::{Flight, Phase};
use quantity::AngularSpeed;
use serde::Deserialize;

use crate::asked::{Computed, Limb};
use crate::people::Person;

/// One quantity of one posture.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Measure {
    /// Joint angle in the direction of a motion, degrees.
    Angle {
        /// Key of the motion, such as `hip_flexion`.
        motion: String,
        /// Which leg; not looked at for the trunk.
        limb: Limb,
    },
    /// Internal moment in the direction of a motion, N·m per kg body mass.
    Moment {
        /// Key of the motion, such as `hip_extension`.
        motion: String,
        /// Which leg; not looked at for the trunk.
        limb: Limb,
    },
    /// The same as a share of this body's capacity at that angle.
    Share {
        /// Key of the motion.
        motion: String,
        /// Which leg; not looked at for the trunk.
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
    /// Share of its strength that a training group gives.
    Group {
        /// The group, such as `hip_abductors`.
        group: MuscleGroup,
        /// Which leg.
        limb: Limb,
    },
    /// Contact force of a joint, body weights.
    Contact {
        /// Which joint.
        joint: Pressed,
        /// Which leg.
        limb: Limb,
    },
    /// Time integral of the moment in the direction of a motion over the whole movement, N·m·s per kg.
    Impulse {
        /// Key of the motion.
        motion: String,
        /// Which leg; not looked at for the trunk.
        limb: Limb,
    },
    /// Work of a joint about the axis of a motion over the whole movement, lifting and lowering
    /// together, J per kg.
    Work {
        /// Key of a motion about that axis.
        motion: String,
        /// Which leg; not looked at for the trunk.
        limb: Limb,
    },
    /// Largest power there, of either sign, W per kg.
    Power {
        /// Key of a motion about that axis.
        motion: String,
        /// Which leg; not looked at for the trunk.
        limb: Limb,
    },
    /// Peak vertical force on landing, body weights, typical stiffness.
    LandingPeak,
    /// How far the centre of mass rises in the air, centimetres.
    FlightRise,
    /// Forward lean of the trunk from upright, degrees.
    Lean,
    /// How far the pelvis has sunk, centimetres.
    Drop,
    /// Balance margin, centimetres.
    Balance,
}

/// A joint whose contact force is estimated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Pressed {
    Hip,
    Knee,
    Patellofemoral,
}

/// At which moment of the movement a measure is read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum At {
    /// On both feet at the start.
    Start,
    /// On the standing leg alone, before the other goes out.
    SingleSupport,
    /// At the far point, as it is shown.
    #[default]
    Far,
    /// The largest value over these moments.
    Largest,
    /// The largest value over the whole movement in time; angle, moment, share and muscle only.
    InTime,
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
    ///
    /// `seconds` is the time of one way, for what needs the movement in time.
    pub(crate) fn of(&self, person: &Person, done: &Computed, at: At, seconds: f64) -> Result<f64, String> {
        if let Self::Impulse { .. } | Self::Work { .. } | Self::Power { .. } = self {
            return self.over(person, done, done.in_time(person, seconds)?);
        }
        let phase = |wanted: Phase| {
            done.motion
                .frames
                .iter()
                .position(|frame| frame.phase == wanted)
                .ok_or_else(|| "the movement has no such moment".to_owned())
        };
        match at {
            At::Far => self.in_frame(person, done, done.shown()),
            At::Start => self.in_frame(person, done, phase(Phase::Start)?),
            At::SingleSupport => self.in_frame(person, done, phase(Phase::SingleSupport)?),
            At::InTime => {
                done.in_time(person, seconds)?.frames.iter().try_fold(f64::NEG_INFINITY, |most, frame| {
                    Ok(self.at_time(person, done, frame)?.max(most))
                })
            }
            At::Largest => (0..done.motion.frames.len())
                .filter(|k| done.motion.frames[*k].phase != Phase::Far || *k == done.shown())
                .try_fold(f64::NEG_INFINITY, |most, k| Ok(self.in_frame(person, done, k)?.max(most))),
        }
    }

    /// What is summed up over a course.
    fn over(&self, person: &Person, done: &Computed, course: &Course) -> Result<f64, String> {
        let kg = person.mass.in_kg();
        match self {
            Self::Impulse { motion, limb } => {
                Ok(course.angular_impulse_nms(done.side(*limb), motion_of(motion)?) / kg)
            }
            Self::Work { motion, limb } => {
                let work = course.work(done.side(*limb), motion_of(motion)?.coordinate);
                Ok((work.positive_j + work.negative_j) / kg)
            }
            Self::Power { motion, limb } => {
                let (side, coordinate) = (done.side(*limb), motion_of(motion)?.coordinate);
                Ok(course.frames.iter().map(|f| f.power_w(side, coordinate).abs()).fold(0.0, f64::max) / kg)
            }
            _ => Err("this measure is not summed over time".to_owned()),
        }
    }

    /// What is read at one moment of a course.
    fn at_time(&self, person: &Person, done: &Computed, frame: &TimedFrame) -> Result<f64, String> {
        let moment_of =
            |motion: JointMotion, side: Side| frame.moment(side, motion.coordinate).in_nm() * motion.sign();
        match self {
            Self::Angle { motion, limb } => {
                let motion = motion_of(motion)?;
                Ok(frame.angle(done.side(*limb), motion.coordinate).in_deg() * motion.sign())
            }
            Self::Moment { motion, limb } => {
                Ok(moment_of(motion_of(motion)?, done.side(*limb)) / person.mass.in_kg())
            }
            Self::Share { motion, limb } => {
                let (motion, side) = (motion_of(motion)?, done.side(*limb));
                let speed = frame.speed_rad_s(side, motion.coordinate) * motion.sign();
                let (capacity, _) = person
                    .capacity
                    .at_speed(
                        side,
                        motion,
                        frame.angle(side, motion.coordinate),
                        AngularSpeed::rad_per_s(speed),
                    )
                    .ok_or_else(|| format!("the capacity of {motion} is unknown"))?;
                Ok(moment_of(motion, side).max(0.0) / capacity.in_nm())
            }
            Self::Muscle { muscles, limb } => {
                let side = done.side(*limb);
                let leg = LegFrame {
                    angles: Coordinate::LEG.map(|c| frame.angle(side, c)),
                    moments: Coordinate::LEG.map(|c| frame.moment(side, c)),
                    speeds: Coordinate::LEG.map(|c| AngularSpeed::rad_per_s(frame.speed_rad_s(side, c))),
                };
                mean_share(&share(&person.body, &person.assumed, side, &leg), muscles)
            }
            _ => Err("this measure is read in key postures only".to_owned()),
        }
    }

    fn in_frame(&self, person: &Person, done: &Computed, k: usize) -> Result<f64, String> {
        let frame = &done.motion.frames[k];
        let moment_of = |motion: JointMotion, side: Side| {
            done.moments.frames[k].moment(side, motion.coordinate).in_nm() * motion.sign()
        };
        match self {
            Self::Angle { motion, limb } => {
                Ok(frame.posture.excursion(done.side(*limb), motion_of(motion)?).in_deg())
            }
            Self::Moment { motion, limb } => {
                Ok(moment_of(motion_of(motion)?, done.side(*limb)) / person.mass.in_kg())
            }
            Self::Share { motion, limb } => {
                let (motion, side) = (motion_of(motion)?, done.side(*limb));
                let angle = frame.posture.angle(side, motion.coordinate);
                let (capacity, _) = person
                    .capacity
                    .at(side, motion, angle)
                    .ok_or_else(|| format!("the capacity of {motion} is unknown"))?;
                Ok(moment_of(motion, side).max(0.0) / capacity.in_nm())
            }
            Self::Carried { limb } => Ok(frame.load_share.get(done.side(*limb)).in_one()),
            Self::Muscle { muscles, limb } => mean_share(&shared(person, done, k, *limb), muscles),
            Self::MuscleRatio { muscles, over, limb } => {
                let shared = shared(person, done, k, *limb);
                let below = mean_share(&shared, over)?;
                if below < SILENT {
                    return Err("the muscles below the line are silent, so there is no ratio".to_owned());
                }
                Ok(mean_share(&shared, muscles)? / below)
            }
            Self::Group { group, limb } => match shared(person, done, k, *limb).group(*group) {
                Some(demand) => share_of(demand),
                None => Err(format!("{} are no muscles of the leg", group.name())),
            },
            Self::Contact { joint, limb } => {
                pressed(person, done, k, *joint, done.side(*limb)).map(|band| band.body_weights)
            }
            Self::Lean => Ok(frame.posture.trunk_lean().in_deg()),
            Self::Drop => Ok(frame.posture.pelvis_drop_m() * 100.0),
            Self::Balance => Ok(frame.balance.in_cm()),
            Self::LandingPeak => flight(done).map(|f| f.landing.peak.typical),
            Self::FlightRise => flight(done).map(|f| f.rise.in_cm()),
            Self::Impulse { .. } | Self::Work { .. } | Self::Power { .. } => {
                Err("this measure needs the movement in time".to_owned())
            }
        }
    }
}

fn shared(person: &Person, done: &Computed, k: usize, limb: Limb) -> MuscleDemands {
    let side = done.side(limb);
    let frame = LegFrame::of(&done.moments.frames[k], side);
    share(&person.body, &person.assumed, side, &frame)
}

fn flight(done: &Computed) -> Result<&Flight, String> {
    done.motion.flight.as_ref().ok_or_else(|| "this movement stays on the floor".to_owned())
}

fn share_of(demand: MuscleDemand) -> Result<f64, String> {
    match demand {
        MuscleDemand::Estimate { share, .. } => Ok(share.in_one()),
        MuscleDemand::Unknown { why } => Err(why.to_string()),
    }
}

fn mean_share(shared: &MuscleDemands, muscles: &[LegMuscles]) -> Result<f64, String> {
    let mut sum = 0.0;
    for set in muscles {
        sum += share_of(shared.of(*set))?;
    }
    Ok(sum / muscles.len() as f64)
}

/// A contact force in body weights with the model's own band.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Band {
    pub(crate) body_weights: f64,
    pub(crate) high: f64,
}

/// Contact force of one joint of one leg in one frame.
pub(crate) fn pressed(
    person: &Person,
    done: &Computed,
    k: usize,
    joint: Pressed,
    side: Side,
) -> Result<Band, String> {
    let leg = LegFrame::of(&done.moments.frames[k], side);
    let shared = share(&person.body, &person.assumed, side, &leg);
    let loads = JointLoads::held(&person.body, &done.motion.frames[k], side);
    let all = contact(&person.body, side, &leg, &loads, &shared);
    let one = match joint {
        Pressed::Hip => all.hip,
        Pressed::Knee => all.knee,
        Pressed::Patellofemoral => all.patellofemoral,
    };
    match one {
        Contact::Estimate { body_weights, high, .. } => Ok(Band { body_weights, high }),
        Contact::Unknown { why } => Err(why.to_string()),
    }
}
