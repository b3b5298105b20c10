//! What the engine computes: postures at key moments, balance, joint moments, demands.

use std::collections::BTreeMap;

use anatomy::{Coordinate, JointMotion, PerSide, Side};
use movement::{MovementSpec, SupportKind};
use quantity::{Angle, Length, Moment, Share, Span};
use serde::Serialize;

use crate::flight::{Flight, GroundForce};

/// A point of the body that drawings and checks use.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Landmark {
    /// Top of the head.
    Vertex,
    /// Base of the neck.
    Neck,
    /// The equivalent trunk joint.
    Lumbar,
    MidHip,
    Shoulder(Side),
    Elbow(Side),
    Wrist(Side),
    /// Where the hand holds or touches.
    Hand(Side),
    Hip(Side),
    Knee(Side),
    Ankle(Side),
    Heel(Side),
    /// Middle of the line across the heads of the metatarsals.
    Ball(Side),
    ToeTip(Side),
}

/// One posture: every joint angle and where every landmark is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Posture {
    /// Angles of each leg, by coordinate.
    pub(crate) legs: PerSide<BTreeMap<Coordinate, Angle>>,
    /// Angles between pelvis and trunk.
    pub(crate) trunk: BTreeMap<Coordinate, Angle>,
    /// Thigh against trunk, which is what a hip-flexion precaution is also judged by.
    pub(crate) trunk_to_thigh: PerSide<Angle>,
    /// Forward lean of the trunk from upright.
    #[serde(skip)]
    pub(crate) trunk_lean: Angle,
    /// Turn of the pelvis, clockwise from straight ahead seen from above.
    pub(crate) pelvis_yaw: Angle,
    /// How far the pelvis is below its standing height.
    pub(crate) pelvis_drop: f64,
    /// Direction of each foot, clockwise from straight ahead seen from above.
    pub(crate) foot_yaw: PerSide<Angle>,
    /// Whether each heel is off the floor.
    pub(crate) heel_lifted: PerSide<bool>,
    /// Landmarks in the floor frame, metres: forward, up, right.
    #[serde(skip)]
    pub(crate) landmarks: BTreeMap<Landmark, [f64; 3]>,
}

impl Posture {
    /// The angle of one coordinate; the side is ignored for the trunk.
    ///
    /// # Panics
    /// Never: every posture carries every coordinate.
    #[must_use]
    pub fn angle(&self, side: Side, coordinate: Coordinate) -> Angle {
        self.trunk
            .get(&coordinate)
            .or_else(|| self.legs.get(side).get(&coordinate))
            .copied()
            .unwrap_or(Angle::ZERO)
    }

    /// How far the joint has gone in the direction of a motion; negative when it is on the other side of neutral.
    #[must_use]
    pub fn excursion(&self, side: Side, motion: JointMotion) -> Angle {
        Angle::rad(self.angle(side, motion.coordinate).in_rad() * motion.sign())
    }

    /// Angle between trunk and thigh, positive in flexion.
    #[must_use]
    pub fn trunk_to_thigh(&self, side: Side) -> Angle {
        *self.trunk_to_thigh.get(side)
    }

    /// Forward lean of the trunk from upright: how far its forward axis points below level. A trunk
    /// that leans only sideways has none.
    #[must_use]
    pub fn trunk_lean(&self) -> Angle {
        self.trunk_lean
    }

    /// Turn of the pelvis, clockwise from straight ahead seen from above.
    #[must_use]
    pub fn pelvis_yaw(&self) -> Angle {
        self.pelvis_yaw
    }

    /// How far the pelvis is below its standing height, metres; negative when higher.
    #[must_use]
    pub fn pelvis_drop_m(&self) -> f64 {
        self.pelvis_drop
    }

    /// Direction of a foot, clockwise from straight ahead seen from above.
    #[must_use]
    pub fn foot_yaw(&self, side: Side) -> Angle {
        *self.foot_yaw.get(side)
    }

    /// Whether the heel is off the floor.
    #[must_use]
    pub fn heel_lifted(&self, side: Side) -> bool {
        *self.heel_lifted.get(side)
    }

    /// Where a landmark is: forward, up, right, in metres.
    ///
    /// # Panics
    /// Never: every posture carries every landmark.
    #[must_use]
    pub fn point(&self, landmark: Landmark) -> [f64; 3] {
        self.landmarks.get(&landmark).copied().unwrap_or([0.0; 3])
    }
}

/// One arm in a posture, from two-link geometry. The moments are estimates of what holds arm and
/// load still; who of the shoulder's or elbow's muscles does it is not said.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ArmState {
    /// Between the upper arm and the trunk's downward line.
    pub shoulder_elevation: Angle,
    /// Zero when the arm is straight.
    pub elbow_flexion: Angle,
    /// Size of the net holding moment about the shoulder.
    pub shoulder_moment: Moment,
    /// Size of the net holding moment about the elbow.
    pub elbow_moment: Moment,
}

impl ArmState {
    /// A straight arm beside the trunk that holds nothing.
    pub(crate) const AT_REST: Self = Self {
        shoulder_elevation: Angle::ZERO,
        elbow_flexion: Angle::ZERO,
        shoulder_moment: Moment::ZERO,
        elbow_moment: Moment::ZERO,
    };
}

/// Which moment of a movement a frame shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// Both feet at the start.
    Start,
    /// All weight on the standing leg, the other just off the floor beside it.
    SingleSupport,
    /// The deepest point before the push of a leap, jump or hop.
    TakeOff,
    /// The far point; for a movement through the air, the landing at its deepest.
    Far,
    /// Feet at the far point, both hands down at the chosen height.
    Bent,
    /// Still bent at the far point, the hands drawn up beside the ribs.
    Rowed,
    /// Back at the start with the arms as they end: hanging, curled or pressed overhead.
    Returned,
    /// Feet at the far point, the trunk turned to the side that was asked.
    TurnedTrunk,
    /// Feet at the far point, both hands over the head.
    Overhead,
    /// A key pose of a goal task, counted from zero; the engine's `goal_poses` names them.
    GoalPose(u8),
}

/// Two ways a body can face while it does the same; precautions are checked in both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Turn {
    /// The pelvis faces front.
    Square,
    /// The pelvis turns as least effort wants.
    Turned,
}

/// How much room there is before the person would have to move a foot.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BalanceMargin {
    /// Signed distance in metres from the vertical line through the centre of mass to the nearest
    /// edge of the base of support; negative outside. Where hands carry weight, from the centre of
    /// pressure of the feet.
    pub to_edge_m: f64,
    /// Direction of that edge, degrees clockwise from straight ahead.
    pub toward_deg: f64,
}

impl BalanceMargin {
    /// The margin in centimetres; negative when outside the base.
    #[must_use]
    pub fn in_cm(self) -> f64 {
        self.to_edge_m * 100.0
    }
}

/// One solved moment of a movement.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KeyFrame {
    /// Which moment.
    pub phase: Phase,
    /// Which way the body faces.
    pub turn: Turn,
    /// The posture.
    pub posture: Posture,
    /// Share of the whole weight (body and what it carries) on each foot; the hands have the rest.
    pub load_share: PerSide<Share>,
    /// Share of the whole weight on each hand, where hands carry.
    #[serde(skip)]
    pub on_hands: PerSide<Share>,
    /// How many times the still force the floor gives here; one but for take-off and landing.
    #[serde(skip)]
    pub force: GroundForce,
    /// Each arm, as an estimate.
    #[serde(skip)]
    pub arms: PerSide<ArmState>,
    /// Centre of pressure on the floor, metres: forward, right.
    pub centre_of_pressure: [f64; 2],
    /// Centre of mass, metres: forward, up, right.
    pub centre_of_mass: [f64; 3],
    /// Balance margin.
    pub balance: BalanceMargin,
    /// Internal joint moments in this posture, by coordinate.
    #[serde(skip)]
    pub(crate) moments: (PerSide<BTreeMap<Coordinate, Moment>>, BTreeMap<Coordinate, Moment>),
    /// Ends of iterations and what was left over, for `explain` and the benchmarks.
    pub(crate) iterations: usize,
    /// What the posture costs: half the sum of squared shares of capacity and comfort.
    pub(crate) cost: f64,
    /// What touches what.
    #[serde(skip)]
    pub contacts: crate::continuity::Contacts,
    /// The solver's own variables, to start a neighbour from.
    #[serde(skip)]
    pub(crate) x: Box<[f64; crate::statics::N]>,
    /// How the feet press and what the hands do.
    #[serde(skip)]
    pub(crate) setting: crate::statics::Setting,
}

impl KeyFrame {
    /// The internal moment toward a motion while this posture is held still; negative when it acts the
    /// other way.
    pub(crate) fn still_moment(&self, side: Side, motion: JointMotion) -> f64 {
        let signed = self.moments.0.get(side).get(&motion.coordinate).copied().unwrap_or(Moment::ZERO);
        signed.in_nm() * motion.sign()
    }

    /// How many iterations the solver took.
    #[must_use]
    pub fn iterations(&self) -> usize {
        self.iterations
    }

    /// What the posture costs: half the sum of squared shares of capacity, plus comfort.
    #[must_use]
    pub fn cost(&self) -> f64 {
        self.cost
    }
}

/// A movement of this body: its key moments.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Motion {
    /// The movement.
    pub spec: MovementSpec,
    /// Key moments in order; the far point in both turns.
    pub frames: Vec<KeyFrame>,
    /// What happens in the air, for leaps, jumps and hops.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flight: Option<Flight>,
    /// The support that the moving foot would pass through on its planned way, seen from above. The
    /// posture at the far point is free of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub barred_by: Option<SupportKind>,
}

impl Motion {
    /// The frame a drawing shows: the far point, square unless the standing foot pivots.
    ///
    /// # Panics
    /// Never: a motion always has a far frame.
    #[must_use]
    pub fn shown(&self) -> &KeyFrame {
        let pivots = self.spec.stance_foot == movement::StanceFoot::Pivoting;
        let wanted = if pivots { Turn::Turned } else { Turn::Square };
        self.frames
            .iter()
            .find(|f| f.phase == Phase::Far && f.turn == wanted)
            .or_else(|| self.frames.iter().find(|f| f.phase == Phase::Far))
            .unwrap_or_else(|| panic!("a motion always has a far frame"))
    }

    /// The frames of one phase.
    pub fn of_phase(&self, phase: Phase) -> impl Iterator<Item = &KeyFrame> {
        self.frames.iter().filter(move |f| f.phase == phase)
    }

    /// The smallest balance margin over the movement.
    #[must_use]
    pub fn least_balance(&self) -> BalanceMargin {
        self.frames
            .iter()
            .map(|f| f.balance)
            .min_by(|a, b| a.to_edge_m.total_cmp(&b.to_edge_m))
            .unwrap_or(BalanceMargin { to_edge_m: 0.0, toward_deg: 0.0 })
    }
}

/// Where the method that computes a movement in time ends without one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
#[serde(rename_all = "snake_case")]
pub enum CourseGap {
    /// The motion has no start posture to leave from.
    #[error("there is no start posture")]
    NoStart,
    /// No path of the centre of mass was found that keeps the pressure under the feet.
    #[error("no path of the centre of mass")]
    Plan,
    /// The joints could not follow the path of the centre of mass with the feet in their places.
    #[error("no joint angles that follow the path of the centre of mass")]
    Joints,
}

fn also_found(found: Option<Span>) -> String {
    found.map_or_else(String::new, |way| format!("; it finds one at {} s each way", way.in_s()))
}

/// Why a movement cannot be computed for this body. Never a silent fallback.
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
#[serde(tag = "cannot", rename_all = "snake_case")]
pub enum MotionError {
    /// The far point is further than this body can go.
    #[error("{movement}: out of reach by {} (asked {asked})", one_decimal(*.by))]
    OutOfReach {
        /// The movement in words.
        movement: String,
        /// The distance that was asked.
        asked: Length,
        /// How much nearer it would have to be.
        by: Length,
    },
    /// The foot would be put down where the standing foot is, or against it; further out there is room.
    #[error("{movement}: too near the standing foot at {asked}; there is room from {from} on")]
    TooNear {
        /// The movement in words.
        movement: String,
        /// The distance that was asked.
        asked: Length,
        /// The nearest distance that was found, to a centimetre.
        from: Length,
    },
    /// A posture exists, but not at the depth asked.
    #[error("{movement}: the pelvis cannot sink as asked; {} is missing", one_decimal(*.by))]
    DepthNotReached {
        /// The movement in words.
        movement: String,
        /// How much is missing.
        by: Length,
    },
    /// The hand that carries weight cannot reach the support.
    #[error("{movement}: the {hand} hand, which carries weight, does not reach the support")]
    SupportOutOfReach {
        /// The movement in words.
        movement: String,
        /// Which hand.
        hand: Side,
    },
    /// The push of a leap, jump or hop needs clearly more than the legs can hold.
    #[error(
        "{movement}: the push would need {needed} of body weight; the legs are estimated to hold {available}"
    )]
    PushTooWeak {
        /// The movement in words.
        movement: String,
        /// Mean force of the push as a share of the weight of body and load.
        needed: Share,
        /// What the extensors of the pushing legs could hold, same unit, an estimate.
        available: Share,
    },
    /// A leg would be inside the support at the far point.
    #[error("{movement}: the {} is in the way of the legs", .kind.name())]
    SupportInTheWay {
        /// The movement in words.
        movement: String,
        /// What stands there.
        kind: SupportKind,
    },
    /// The legs reach their places, the arms cannot do what was asked there.
    #[error("{movement}: no posture found for \"{pose}\"")]
    ArmTaskNotReached {
        /// The movement in words.
        movement: String,
        /// The key pose that fails.
        pose: String,
    },
    /// The feet cannot carry the movement at this tempo; a tempo at which they can was computed.
    #[error("{movement}: not feasible at this tempo; feasible at {} s each way", .feasible.in_s())]
    TempoNotFeasible {
        /// The movement in words.
        movement: String,
        /// A time for both ways that was computed and is feasible, in whole tenths of a second. Every longer
        /// one is feasible too; a shorter one may be.
        feasible: Span,
    },
    /// At every tempo that was tried the course that was found needs forces that the feet cannot supply.
    #[error("{movement}: no way there found that the feet can carry, not even in {} s", .slowest.in_s())]
    NoTempoFeasible {
        /// The movement in words.
        movement: String,
        /// The slowest way that was tried.
        slowest: Span,
    },
    /// The method found no course; this says nothing about whether the person can do the movement.
    #[error(
        "{movement}: this method found no course in time ({why}{}); that says nothing about the person",
        also_found(*.found)
    )]
    CourseNotFound {
        /// The movement in words.
        movement: String,
        /// Where the method ended.
        why: CourseGap,
        /// A time for both ways at which it does find one that the feet can carry.
        found: Option<Span>,
    },
    /// A leap, jump or hop: its time in the air is not the therapist's to choose.
    #[error("{movement}: goes through the air; it is computed as take-off, flight and landing")]
    ThroughTheAir {
        /// The movement in words.
        movement: String,
    },
}

fn one_decimal(length: Length) -> String {
    format!("{:.1} cm", length.in_cm())
}

/// Internal joint moments of one frame.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FrameMoments {
    /// Which moment of the movement.
    pub phase: Phase,
    /// Which way the body faces.
    pub turn: Turn,
    /// By coordinate; positive pushes toward the positive angle.
    pub(crate) legs: PerSide<BTreeMap<Coordinate, Moment>>,
    /// Between pelvis and trunk.
    pub(crate) trunk: BTreeMap<Coordinate, Moment>,
    /// The range of the floor's force, which the moments are given for at its typical value.
    #[serde(skip)]
    pub(crate) force: GroundForce,
    /// The leg angles at which they act.
    #[serde(skip)]
    pub(crate) angles: PerSide<BTreeMap<Coordinate, Angle>>,
}

impl FrameMoments {
    pub(crate) fn angle(&self, side: Side, coordinate: Coordinate) -> Angle {
        self.angles.get(side).get(&coordinate).copied().unwrap_or(Angle::ZERO)
    }

    /// The signed internal moment; the side is ignored for the trunk.
    #[must_use]
    pub fn moment(&self, side: Side, coordinate: Coordinate) -> Moment {
        self.trunk
            .get(&coordinate)
            .or_else(|| self.legs.get(side).get(&coordinate))
            .copied()
            .unwrap_or(Moment::ZERO)
    }
}

/// Joint moments of a whole movement.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JointMoments {
    /// One for each frame of the motion, in the same order.
    pub frames: Vec<FrameMoments>,
}

impl JointMoments {
    /// The largest internal moment in the direction of a motion over all frames, zero if it never acts.
    #[must_use]
    pub fn peak(&self, side: Side, motion: JointMotion) -> Moment {
        self.frames
            .iter()
            .map(|f| Moment::nm(f.moment(side, motion.coordinate).in_nm() * motion.sign()))
            .fold(Moment::ZERO, Moment::max)
    }
}

/// How hard a movement is for one joint motion of this person.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Demand {
    /// Estimate: share of this person's capacity, with the band (one standard deviation to each side)
    /// that the spread of body, of how the task is done and of strength give together.
    Estimate {
        /// The estimate.
        share: Share,
        /// Lower end of the band.
        low: Share,
        /// Upper end of the band.
        high: Share,
        /// How much of it comes from how the same person does the same movement (one standard
        /// deviation): what two movements of one person are compared with, see
        /// [`Demand::beside`].
        repeat: Share,
    },
    /// The capacity is not known, so neither is the demand.
    Unknown,
}

impl Demand {
    /// The estimate, when there is one.
    #[must_use]
    pub fn share(self) -> Option<Share> {
        match self {
            Self::Estimate { share, .. } => Some(share),
            Self::Unknown => None,
        }
    }
}

/// Demands of a movement, peak over its frames.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Demands {
    /// By side and motion; motions that never act are absent.
    pub(crate) legs: PerSide<BTreeMap<JointMotion, Demand>>,
    /// Trunk motions.
    pub(crate) trunk: BTreeMap<JointMotion, Demand>,
}

impl Demands {
    /// The demand of one motion; `None` when it never acts in this movement.
    #[must_use]
    pub fn of(&self, side: Side, motion: JointMotion) -> Option<Demand> {
        self.trunk.get(&motion).or_else(|| self.legs.get(side).get(&motion)).copied()
    }

    /// Every leg demand of one side.
    pub fn leg(&self, side: Side) -> impl Iterator<Item = (JointMotion, Demand)> + '_ {
        self.legs.get(side).iter().map(|(m, d)| (*m, *d))
    }
}
