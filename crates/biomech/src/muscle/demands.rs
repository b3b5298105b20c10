//! What share of its strength each set of leg muscles gives, with a band.
//!
//! Estimate: the share with which least squared shares produce the joint moments. Band: from the
//! smaller of squares and cubes to the larger, widened by one standard deviation of strength and of
//! the moment (`reference/uncertainty.toml`), which add as squares.
//! Single units are never told apart outside this crate; the vasti are one set.

use anatomy::{Coordinate, JointMotion, LegMuscles, MuscleGroup, Side};
use quantity::{Mass, Moment, Share};
use serde::Serialize;

use super::frame::LegFrame;
use super::paths::{Blocked, first, paths};
use super::sharing::{Found, Power, Shares};
use super::strength::{SETS, Scaled, place, set_of_unit, sizes};
use super::units::{DOF, MOVED, UNITS, choices, moved, units};
use crate::body::Body;
use crate::capacity::Capacity;
use crate::uncertainty::moment_spread;

/// Why nothing is said about a set of muscles or a joint contact.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WhyUnknown {
    /// The strength of the motion the set is named for was neither measured nor published.
    NoCapacity {
        /// That motion.
        #[serde(serialize_with = "as_key")]
        motion: JointMotion,
    },
    /// A joint the set crosses is bent further than the muscle paths are known.
    OutsideRange {
        /// The motion that went too far.
        #[serde(serialize_with = "as_key")]
        motion: JointMotion,
    },
    /// The muscles that cross the joint cannot produce the moment in this posture.
    NotCarried {
        /// The motion the moment acts toward.
        #[serde(serialize_with = "as_key")]
        motion: JointMotion,
    },
}

fn as_key<S: serde::Serializer>(motion: &JointMotion, out: S) -> Result<S::Ok, S::Error> {
    out.serialize_str(&motion.key())
}

impl std::fmt::Display for WhyUnknown {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoCapacity { motion } => write!(f, "strength in {motion} was not measured"),
            Self::OutsideRange { motion } => {
                write!(f, "beyond the {motion} for which muscle paths are known")
            }
            Self::NotCarried { motion } => {
                write!(f, "muscles alone cannot hold the {motion} moment here")
            }
        }
    }
}

/// How far the levers of a set of muscles can be trusted in a posture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Arms {
    /// Two independent sets of muscle paths agree on what it does.
    Agreed,
    /// Some small lever of the set has another sign in the other paths: the share is less certain than
    /// its band says.
    Variable,
    /// In this posture the set has lost more than half of its lever for the motion it is named for, or
    /// turns the joint more about another axis (the gluteus medius of a bent hip rotates the thigh more
    /// than it abducts). The model lacks the short rotators that would balance this, so the share says
    /// little.
    Turned,
}

/// How hard one set of muscles works.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum MuscleDemand {
    /// Estimate: share of the set's strength, scaled to this person's joint capacity. May exceed one.
    Estimate {
        /// The estimate (squared shares).
        share: Share,
        /// Lower end of the band.
        low: Share,
        /// Upper end of the band.
        high: Share,
        /// How far the levers of the set can be trusted here.
        arms: Arms,
    },
    /// Nothing is said.
    Unknown {
        /// Why.
        why: WhyUnknown,
    },
}

impl MuscleDemand {
    /// The estimate, where there is one.
    #[must_use]
    pub fn share(self) -> Option<Share> {
        match self {
            Self::Estimate { share, .. } => Some(share),
            Self::Unknown { .. } => None,
        }
    }
}

/// Demands of every set of muscles of one leg at one moment.
///
/// The vasti are one set; there is no way to ask for one of them:
///
/// ```compile_fail
/// use anatomy::LegMuscles;
///
/// fn one_vastus(demands: &biomech::muscle::MuscleDemands) -> biomech::muscle::MuscleDemand {
///     demands.of(LegMuscles::VastusMedialis)
/// }
/// ```
///
/// ```
/// use anatomy::LegMuscles;
///
/// fn the_vasti(demands: &biomech::muscle::MuscleDemands) -> biomech::muscle::MuscleDemand {
///     demands.of(LegMuscles::Vasti)
/// }
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct MuscleDemands {
    sets: [MuscleDemand; SETS],
    /// Strength of each set after scaling, N: weights of a group.
    strength: [f64; SETS],
    /// Largest moment that the muscles left to the reserve, as a share of capacity.
    reserve: f64,
    /// Force of every unit, N; squares and cubes. Never public.
    pub(crate) force: [[f64; UNITS]; 2],
    /// Why nothing can be said about the hip.
    pub(crate) hip: Option<WhyUnknown>,
    /// Why nothing can be said about the knee.
    pub(crate) knee: Option<WhyUnknown>,
}

/// Multipliers of the last moment, one for each leg: neighbours in time start near their answer.
#[derive(Clone, Debug, Default)]
pub struct MuscleScratch {
    warm: [Option<[[f64; DOF]; 2]>; 2],
}

impl MuscleScratch {
    /// Nothing to start from yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }
}

/// How the muscles of one leg share its moments at one moment.
///
/// It answers: given these angles and internal moments, what share of its strength does each set
/// of muscles give when the sum of squared shares is least? It does not say what a person does who
/// moves otherwise, guards a joint or stiffens it; it does not measure.
///
/// Strength is this person's joint capacity at the angle and speed (see [`Capacity`]); muscles only
/// share the moment. Demand is unknown where that capacity is unknown, where a joint is bent beyond
/// the known muscle paths, and where muscles cannot hold the moment.
///
/// Sources: muscle units Rajagopal 2016, with our own length polynomials; the criterion of
/// Crowninshield & Brand, its exponents 2 and 3 as the band.
#[must_use]
pub fn share(body: &Body, capacity: &Capacity, side: Side, frame: &LegFrame) -> MuscleDemands {
    share_warm(body, capacity, side, frame, &mut MuscleScratch::new())
}

/// As [`share`], started from the neighbour that was solved last with this scratch. The answer is
/// the same to nine digits.
#[must_use]
pub fn share_warm(
    body: &Body,
    capacity: &Capacity,
    side: Side,
    frame: &LegFrame,
    scratch: &mut MuscleScratch,
) -> MuscleDemands {
    share_sized(capacity, side, frame, &sizes(body, side), scratch)
}

pub(crate) fn share_sized(
    capacity: &Capacity,
    side: Side,
    frame: &LegFrame,
    sizes: &[f64; UNITS],
    scratch: &mut MuscleScratch,
) -> MuscleDemands {
    let (held, outside) = paths().hold(&frame.moved_angles());
    let mut full = [[0.0; UNITS]; DOF];
    paths().arms(&held, &mut full);
    let scaled = Scaled::new(capacity, side, frame, &full, sizes);
    for row in &mut full {
        for ((b, size), strength) in row.iter_mut().zip(sizes).zip(&scaled.strength) {
            *b *= size * strength;
        }
    }
    let moment = frame.moved_moments();
    let choice = choices().sharing;
    let capable = |k: usize| scaled.joint[k][usize::from(moment[k] >= 0.0)].moment;
    let reserve: [f64; DOF] = std::array::from_fn(|k| choice.reserve * capable(k));
    let problem = Shares { full: &full, moment: &moment, reserve: &reserve };
    let warm = &mut scratch.warm[side as usize];
    let mut share = [[0.0; UNITS]; 2];
    let squares = problem.solve(Power::Squares, warm.map(|w| w[0]), &mut share[0]);
    let start = warm.map_or_else(|| Shares::<DOF, UNITS>::cubes_from_squares(&squares, &share[0]), |w| w[1]);
    let cubes = problem.solve(Power::Cubes, Some(start), &mut share[1]);
    *warm = Some([squares.multiplier, cubes.multiplier]);

    let left_to_reserve: [f64; DOF] = std::array::from_fn(|k| {
        let of = |found: &Found<DOF>| (found.reserve[k] + found.left[k]).abs();
        of(&squares).max(of(&cubes)) / capable(k).max(1e-9)
    });
    let not_carried: Blocked = std::array::from_fn(|k| {
        (left_to_reserve[k] > choice.reserve_limit).then(|| toward(MOVED[k], moment[k]))
    });
    let reserve = left_to_reserve.into_iter().fold(0.0, f64::max);

    let mut force = [[0.0; SETS]; 2];
    let mut pull = [[0.0; UNITS]; 2];
    let mut strength = [0.0; SETS];
    let places = set_of_unit();
    for (u, set) in places.iter().enumerate() {
        strength[*set] += scaled.strength[u];
        for p in 0..2 {
            let newton = share[p][u] * scaled.strength[u];
            pull[p][u] = newton;
            force[p][*set] += newton;
        }
    }
    let turned = scaled.turned(&full, sizes);
    let sets = LegMuscles::ALL.map(|set| {
        let i = place(set);
        let why = unknown(set, &outside, &not_carried, &scaled);
        why.map_or_else(
            || {
                let [squares, cubes] = [force[0][i] / strength[i], force[1][i] / strength[i]];
                let band = Band::of(set, &scaled, &moment, capacity.mass);
                MuscleDemand::Estimate {
                    share: Share::of_one(squares),
                    low: Share::of_one(band.low(squares.min(cubes))),
                    high: Share::of_one(band.high(squares.max(cubes))),
                    arms: arms_of(i, turned[i]),
                }
            },
            |why| MuscleDemand::Unknown { why },
        )
    });
    let why = |crossed: std::ops::Range<usize>| {
        first(&outside, |k| crossed.contains(&k)).map(|motion| WhyUnknown::OutsideRange { motion }).or_else(
            || first(&not_carried, |k| crossed.contains(&k)).map(|motion| WhyUnknown::NotCarried { motion }),
        )
    };
    MuscleDemands { sets, strength, reserve, force: pull, hip: why(0..3), knee: why(3..4) }
}

/// What else may be wrong with a share besides the power of the criterion.
struct Band {
    /// One standard deviation of strength, as a share.
    strength: f64,
    /// One standard deviation of the moment, as a share of strength.
    moment: f64,
}

/// A strength is not taken to be smaller than this share of its model, however wide its spread.
const WEAKEST: f64 = 0.2;

impl Band {
    fn of(set: LegMuscles, scaled: &Scaled, moment: &[f64; DOF], mass: f64) -> Self {
        let mut band = Self { strength: 0.0, moment: 0.0 };
        for motion in set.motions() {
            let strength = scaled.of(*motion);
            let acting = moved(motion.coordinate).map_or(0.0, |k| (moment[k] * motion.sign()).max(0.0));
            let spread = moment_spread(*motion, Moment::nm(acting), Mass::kg(mass)).whole();
            band.strength = band.strength.max(strength.spread);
            band.moment = band.moment.max(spread.in_nm() / strength.moment);
        }
        band
    }

    fn low(&self, share: f64) -> f64 {
        (share - self.moment.hypot(share - share / (1.0 + self.strength))).max(0.0)
    }

    fn high(&self, share: f64) -> f64 {
        share + self.moment.hypot(share / (1.0 - self.strength).max(WEAKEST) - share)
    }
}

/// The motion a moment of this sign acts toward.
pub(crate) fn toward(coordinate: Coordinate, signed: f64) -> JointMotion {
    if signed >= 0.0 { coordinate.positive() } else { coordinate.negative() }
}

fn unknown(set: LegMuscles, outside: &Blocked, not_carried: &Blocked, scaled: &Scaled) -> Option<WhyUnknown> {
    let crossed =
        |k: usize| set_of_unit().iter().enumerate().any(|(u, s)| *s == place(set) && paths().crosses(u, k));
    if let Some(motion) = first(outside, crossed) {
        return Some(WhyUnknown::OutsideRange { motion });
    }
    if let Some(motion) = first(not_carried, crossed) {
        return Some(WhyUnknown::NotCarried { motion });
    }
    let motion = *set.motions().iter().find(|m| !scaled.of(**m).known)?;
    Some(WhyUnknown::NoCapacity { motion })
}

fn arms_of(set: usize, turned: bool) -> Arms {
    let variable =
        || set_of_unit().iter().zip(units()).any(|(s, unit)| *s == set && !unit.variable.is_empty());
    if turned {
        Arms::Turned
    } else if variable() {
        Arms::Variable
    } else {
        Arms::Agreed
    }
}

impl MuscleDemands {
    /// The demand of one set of muscles.
    #[must_use]
    pub fn of(&self, set: LegMuscles) -> MuscleDemand {
        self.sets[place(set)]
    }

    /// Every set, hip first.
    pub fn all(&self) -> impl Iterator<Item = (LegMuscles, MuscleDemand)> + '_ {
        LegMuscles::ALL.into_iter().zip(self.sets)
    }

    /// The demand of a training group: its sets together, weighted by strength; unknown when one of
    /// them is. `None` for groups that are not of the leg.
    #[must_use]
    pub fn group(&self, group: MuscleGroup) -> Option<MuscleDemand> {
        let mut whole = 0.0;
        let mut sums = [0.0; 3];
        let mut all_arms = Arms::Agreed;
        for set in LegMuscles::ALL.into_iter().filter(|s| s.group() == Some(group)) {
            match self.of(set) {
                MuscleDemand::Unknown { why } => return Some(MuscleDemand::Unknown { why }),
                MuscleDemand::Estimate { share, low, high, arms } => {
                    let weight = self.strength[place(set)];
                    whole += weight;
                    for (sum, value) in sums.iter_mut().zip([share, low, high]) {
                        *sum += weight * value.in_one();
                    }
                    all_arms = all_arms.max(arms);
                }
            }
        }
        (whole > 0.0).then(|| MuscleDemand::Estimate {
            share: Share::of_one(sums[0] / whole),
            low: Share::of_one(sums[1] / whole),
            high: Share::of_one(sums[2] / whole),
            arms: all_arms,
        })
    }

    /// The largest moment that the muscles left to the reserve, as a share of the joint's capacity:
    /// how far the sum of muscle moments is from the moment asked.
    #[must_use]
    pub fn reserve(&self) -> Share {
        Share::of_one(self.reserve)
    }
}
