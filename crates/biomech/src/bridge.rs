//! What a task of sport, work or day asks of a body, and how much of it a set of movements covers.
//!
//! The parts `k` of a task are its joint motions and its muscle groups, each for one side. With `d_k`
//! the task's demand (largest share of capacity over its key postures) and `s_k` the largest demand
//! that any movement of the set makes there, part `k` is covered by
//!
//! `c_k = min(1, s_k / d_k)`, and the whole by `C = Σ d_k c_k / Σ d_k`,
//!
//! both sums over the parts whose demand is known. What weighs more in the task weighs more in `C`.
//! A part of unknown demand is never covered and never in `C`; it is counted beside it. The joint
//! angles are covered alike with excursions (degrees) in place of demands; they are always known.
//! A direction is covered by a movement of the same limb on the same bearing, by how much of the
//! distance it goes; a hand that goes out (bend and reach) does not stand for a leg. Arms and trunk
//! are practised by a movement with the same arm task, where the task asks anything of them.
//!
//! All of it compares estimates of one person with one another. Covered does not mean ready: speed,
//! impact, skill and confidence are not in it.

use std::collections::BTreeMap;

use anatomy::{Coordinate, JointMotion, MuscleGroup, PerSide, Side};
use movement::{AnatomicalDirection, ArmTask, Bearing, Crossing, Family, GoalTask, MovementSpec};
use quantity::{Angle, Length, Share};
use serde::Serialize;

use crate::body::Body;
use crate::capacity::Capacity;
use crate::demand::{demands, moments};
use crate::goals::{goal, goal_movement};
use crate::motion::motion;
use crate::muscle::{self, LegFrame, MuscleDemand, MuscleScratch};
use crate::result::{Demands, JointMoments, Motion, MotionError, Phase};

/// What one movement or task asks: estimates, the largest over its key postures.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// The movement.
    pub spec: MovementSpec,
    demands: Demands,
    groups: PerSide<BTreeMap<MuscleGroup, MuscleDemand>>,
    excursions: BTreeMap<(Option<Side>, JointMotion), Angle>,
}

/// Share of leg length of the step whose start is quiet standing; it ends where it began.
const SMALL_STEP: f64 = 0.2;

/// One part of a profile.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Asked {
    /// A joint motion.
    Motion(#[serde(serialize_with = "key")] JointMotion),
    /// A muscle group.
    Group(MuscleGroup),
}

fn key<S: serde::Serializer>(motion: &JointMotion, out: S) -> Result<S::Ok, S::Error> {
    out.serialize_str(&motion.key())
}

impl Asked {
    /// The trade name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Motion(motion) => motion.name(),
            Self::Group(group) => group.name(),
        }
    }
}

fn legs_and_trunk() -> impl Iterator<Item = (Option<Side>, Coordinate)> {
    Side::BOTH
        .into_iter()
        .flat_map(|side| Coordinate::LEG.map(|c| (Some(side), c)))
        .chain(Coordinate::TRUNK.map(|c| (None, c)))
}

fn groups(
    body: &Body,
    capacity: &Capacity,
    moments: &JointMoments,
    side: Side,
) -> BTreeMap<MuscleGroup, MuscleDemand> {
    let mut out: BTreeMap<MuscleGroup, MuscleDemand> = BTreeMap::new();
    let mut scratch = MuscleScratch::new();
    for frame in &moments.frames {
        let shared = muscle::share_warm(body, capacity, side, &LegFrame::of(frame, side), &mut scratch);
        for group in MuscleGroup::ALL {
            let Some(new) = shared.group(group) else { continue };
            // Unknown in one posture is unknown: the peak may lie there.
            let larger = out.get(&group).is_none_or(|old| match (old.share(), new.share()) {
                (None, _) => false,
                (Some(_), None) => true,
                (Some(old), Some(new)) => new > old,
            });
            if larger {
                out.insert(group, new);
            }
        }
    }
    out
}

impl Profile {
    /// The profile of a computed movement.
    #[must_use]
    pub fn of(body: &Body, capacity: &Capacity, found: &Motion) -> Self {
        let moments = moments(body, found);
        let mut excursions = BTreeMap::new();
        for (side, c) in legs_and_trunk() {
            for motion in [c.positive(), c.negative()] {
                let most = found
                    .frames
                    .iter()
                    .map(|f| f.posture.excursion(side.unwrap_or(Side::Left), motion))
                    .fold(Angle::ZERO, Angle::max);
                excursions.insert((side, motion), most);
            }
        }
        Self {
            spec: found.spec.clone(),
            demands: demands(&moments, capacity),
            groups: PerSide::from_fn(|side| groups(body, capacity, &moments, side)),
            excursions,
        }
    }

    /// The profile of a goal task with its base movement to one side.
    ///
    /// # Errors
    /// When this body cannot do the task's base movement; the error says what is missing.
    pub fn of_goal(
        body: &Body,
        capacity: &Capacity,
        task: GoalTask,
        mover: Side,
    ) -> Result<Self, MotionError> {
        let found = motion(body, capacity, &goal_movement(body, task, mover))?;
        Ok(Self::of(body, capacity, &found))
    }

    /// The profile of quiet standing with free hands, on both feet where every movement begins. It goes
    /// nowhere.
    ///
    /// # Errors
    /// When this body cannot stand so, or cannot make the smallest step from there.
    pub fn standing(body: &Body, capacity: &Capacity) -> Result<Self, MotionError> {
        let mut frames = Vec::new();
        let mut found = None;
        // Of both legs, so that a mirror changes nothing.
        for mover in Side::BOTH {
            let out = body.leg_length(mover).times(SMALL_STEP);
            let bearing = Bearing::of(AnatomicalDirection::Anterior, mover);
            let spec = MovementSpec::bare(Family::Step, mover, bearing, Crossing::None, out);
            let step = motion(body, capacity, &spec)?;
            frames.extend(step.of_phase(Phase::Start).cloned());
            found = Some(step);
        }
        let found = found.unwrap_or_else(|| unreachable!("there are two sides"));
        let spec = MovementSpec { distance: Length::ZERO, ..found.spec.clone() };
        Ok(Self::of(body, capacity, &Motion { spec, frames, ..found }))
    }

    /// Every part that acts, with its largest share of capacity where that is known: joint motions,
    /// then muscle groups; `None` for the trunk's side.
    #[must_use]
    pub fn parts(&self) -> Vec<(Option<Side>, Asked, Option<Share>)> {
        let mut out = Vec::new();
        for (side, c) in legs_and_trunk() {
            for motion in [c.positive(), c.negative()] {
                if let Some(demand) = self.demands.of(side.unwrap_or(Side::Left), motion) {
                    out.push((side, Asked::Motion(motion), demand.share()));
                }
            }
        }
        for side in Side::BOTH {
            let of_side = self.groups.get(side).iter();
            out.extend(of_side.map(|(group, d)| (Some(side), Asked::Group(*group), d.share())));
        }
        out
    }

    /// The largest known share of one part.
    fn share(&self, side: Option<Side>, asked: Asked) -> Option<Share> {
        match asked {
            Asked::Motion(motion) => self.demands.of(side.unwrap_or(Side::Left), motion)?.share(),
            Asked::Group(group) => self.groups.get(side?).get(&group)?.share(),
        }
    }

    /// The joint demands.
    #[must_use]
    pub fn demands(&self) -> &Demands {
        &self.demands
    }
}

/// How much of one part is covered.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Covered {
    /// Estimates.
    Share {
        /// What the task asks, share of capacity.
        asked: Share,
        /// The most that the set asks there; zero where nothing of it acts there or it is unknown.
        reached: Share,
        /// `min(1, reached / asked)`.
        covered: Share,
    },
    /// The task's demand is unknown; so is what would cover it.
    Unknown,
}

/// One part of a task with what covers it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PartCoverage {
    /// Which leg; `None` for the trunk.
    pub side: Option<Side>,
    /// Which motion or group.
    pub part: Asked,
    /// How much.
    pub covered: Covered,
}

/// One joint motion's angle with what covers it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct AngleCoverage {
    /// Which leg; `None` for the trunk.
    pub side: Option<Side>,
    /// Which motion.
    #[serde(serialize_with = "key")]
    pub motion: JointMotion,
    /// How far the task goes.
    pub asked: Angle,
    /// How far the set goes.
    pub reached: Angle,
}

/// The direction of a task with what covers it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DirectionCoverage {
    /// The limb.
    pub mover: Side,
    /// Where to.
    pub bearing: Bearing,
    /// How far the task goes.
    pub asked: Length,
    /// How far the set goes on this bearing with this limb; zero where it does not.
    pub reached: Length,
    /// `min(1, reached / asked)`.
    pub covered: Share,
    /// What the set does for arms and trunk.
    pub arms: ArmsCoverage,
}

/// Whether a movement of the set does the same with arms and trunk.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ArmsCoverage {
    /// The task asks nothing of them.
    NotAsked,
    /// One does.
    Practised,
    /// None does.
    NotPractised,
}

/// A weighted sum over what is known.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Whole {
    /// Estimate.
    Share {
        /// `C`.
        covered: Share,
        /// Parts that are not in it because their demand is unknown.
        unknown: usize,
    },
    /// Nothing of it is known.
    Unknown,
}

/// How much of a task a set of movements covers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Coverage {
    /// Joint motions and muscle groups, in the order of [`Profile::parts`].
    pub parts: Vec<PartCoverage>,
    /// Joint motions together.
    pub motions: Whole,
    /// Muscle groups together.
    pub groups: Whole,
    /// Joint angles that the task uses.
    pub angles: Vec<AngleCoverage>,
    /// Joint angles together.
    pub range: Share,
    /// The direction of the base movement.
    pub direction: DirectionCoverage,
}

impl Coverage {
    /// Parts of known demand that are not wholly covered, most missing first.
    #[must_use]
    pub fn missing(&self) -> Vec<PartCoverage> {
        let lack = |part: &PartCoverage| match part.covered {
            Covered::Share { asked, covered, .. } => asked.in_one() * (1.0 - covered.in_one()),
            Covered::Unknown => 0.0,
        };
        let mut out: Vec<PartCoverage> = self.parts.iter().copied().filter(|p| lack(p) > 0.0).collect();
        out.sort_by(|a, b| lack(b).total_cmp(&lack(a)));
        out
    }
}

fn whole<'a>(parts: impl Iterator<Item = &'a PartCoverage>) -> Whole {
    let (mut sum, mut of, mut unknown) = (0.0, 0.0, 0);
    for part in parts {
        match part.covered {
            Covered::Share { asked, covered, .. } => {
                sum += asked.in_one() * covered.in_one();
                of += asked.in_one();
            }
            Covered::Unknown => unknown += 1,
        }
    }
    if of > 0.0 { Whole::Share { covered: Share::of_one(sum / of), unknown } } else { Whole::Unknown }
}

/// How much of a task a set of movements covers; the formulas stand at the top of this file. An empty
/// set covers nothing. Both must come from the same body and capacity.
#[must_use]
pub fn covers(task: &Profile, set: &[Profile]) -> Coverage {
    let parts: Vec<PartCoverage> = task
        .parts()
        .into_iter()
        .map(|(side, part, asked)| {
            let covered = asked.map_or(Covered::Unknown, |asked| {
                let reached = set.iter().filter_map(|p| p.share(side, part)).fold(Share::ZERO, Share::max);
                let covered = if asked > reached { reached.ratio(asked) } else { 1.0 };
                Covered::Share { asked, reached, covered: Share::of_one(covered) }
            });
            PartCoverage { side, part, covered }
        })
        .collect();
    let angles: Vec<AngleCoverage> = task
        .excursions
        .iter()
        .filter(|(_, asked)| **asked > Angle::ZERO)
        .map(|(&(side, motion), &asked)| {
            let reached = set
                .iter()
                .filter_map(|p| p.excursions.get(&(side, motion)).copied())
                .fold(Angle::ZERO, Angle::max);
            AngleCoverage { side, motion, asked, reached }
        })
        .collect();
    let sum: f64 = angles.iter().map(|a| a.asked.in_rad()).sum();
    let reached: f64 = angles.iter().map(|a| a.asked.min(a.reached).in_rad()).sum();
    let range = Share::of_one(if sum > 0.0 { reached / sum } else { 1.0 });
    let is_motion = |p: &&PartCoverage| matches!(p.part, Asked::Motion(_));
    Coverage {
        motions: whole(parts.iter().filter(is_motion)),
        groups: whole(parts.iter().filter(|p| !is_motion(p))),
        parts,
        angles,
        range,
        direction: direction(&task.spec, set),
    }
}

fn direction(task: &MovementSpec, set: &[Profile]) -> DirectionCoverage {
    let by_hand = |spec: &MovementSpec| spec.family == Family::BendAndReach;
    let same_way = |p: &&Profile| {
        p.spec.mover == task.mover && p.spec.bearing == task.bearing && by_hand(&p.spec) == by_hand(task)
    };
    let reached = set.iter().filter(same_way).map(|p| p.spec.distance).fold(Length::ZERO, Length::max);
    let covered = if reached >= task.distance { 1.0 } else { reached.ratio(task.distance) };
    DirectionCoverage {
        mover: task.mover,
        bearing: task.bearing,
        asked: task.distance,
        reached,
        covered: Share::of_one(covered),
        arms: if !asks_arms(task.arms) {
            ArmsCoverage::NotAsked
        } else if set.iter().any(|p| p.spec.arms == task.arms) {
            ArmsCoverage::Practised
        } else {
            ArmsCoverage::NotPractised
        },
    }
}

fn asks_arms(arms: ArmTask) -> bool {
    match arms {
        ArmTask::Free => false,
        ArmTask::Goal(task) => goal(task).asks_arms(),
        ArmTask::BendAndReturn { .. } | ArmTask::Turn { .. } | ArmTask::Overhead => true,
    }
}
