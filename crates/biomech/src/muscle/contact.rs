//! How hard muscles and load together press hip and knee: coarse estimates in body weights.
//!
//! Hip: the straight lines of an independent muscle set share the three hip moments and their pulls
//! are added to what the leg exerts on the pelvis; near neutral only, and without regard to what
//! two-joint muscles owe the knee. Beside it, for the band, the 40 units pull with the forces they
//! share along the same lines. Knee: forces of all units that cross it, taken parallel to the
//! shank, and the load along the shank. Behind the kneecap: quadriceps force times a ratio from
//! memory. Band: squares to cubes, at the hip of both sets. Never a measurement: wrapping, ligaments and co-contraction are
//! left out, so the true force is more likely larger.

use anatomy::{Coordinate, LegMuscles, PerSide, Side};
use nalgebra::Vector3;
use quantity::GRAVITY;
use serde::Serialize;

use super::demands::{MuscleDemands, WhyUnknown, toward};
use super::frame::LegFrame;
use super::paths::paths;
use super::quadriceps::behind_the_kneecap;
use super::sharing::Power;
use super::straight::Lines;
use super::units::{UNITS, choices, units};
use crate::body::Body;
use crate::course::TimedFrame;
use crate::result::KeyFrame;
use crate::state::{NQ, Seg, State, V3};
use crate::statics::foot_vars;
use crate::tree::{Moving, Scratch, Segment, Tree, Wrench};

/// What one leg exerts across its hip and knee without counting muscles twice: the net joint forces
/// of the mechanics, gravity and acceleration of the leg included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointLoads {
    /// Net force of the thigh on the pelvis, N, in pelvis axes: forward, up, to the person's right.
    pub hip: [f64; 3],
    /// Net force of the shank on the thigh along the shank, N, positive when it presses.
    pub knee: f64,
}

impl JointLoads {
    /// The loads of a posture that is held.
    #[must_use]
    pub fn held(body: &Body, frame: &KeyFrame, side: Side) -> Self {
        let state = State::new(body, &frame.x[..NQ]);
        let u = &frame.x[foot_vars(side)..foot_vars(side) + 7];
        let carried: f64 = u[..4].iter().sum();
        let foot = V3::new(u[4] * carried, carried, u[5] * carried) * (body.mass * GRAVITY);
        let weight = |seg: Seg| V3::new(0.0, -body.segment(seg).0 * GRAVITY, 0.0);
        let at_knee = foot + weight(Seg::Foot(side)) + weight(Seg::Shank(side));
        let at_hip = at_knee + weight(Seg::Thigh(side));
        let along = |axis: V3| state.dir(Seg::Pelvis, axis).dot(&at_hip);
        Self {
            hip: [along(V3::x()), along(V3::y()), along(V3::z())],
            knee: state.dir(Seg::Shank(side), V3::y()).dot(&at_knee),
        }
    }

    /// The loads of a body that moves: what acts on foot, shank and thigh from outside, and what
    /// these weigh and resist, `Σ F + m (g − c̈)`.
    #[must_use]
    pub fn moving(tree: &Tree, moving: &Moving<'_>, outside: &[Wrench], side: Side) -> Self {
        let bears = |segment: Segment| {
            let part = tree.part(segment);
            let own = (tree.gravity() - moving.acceleration(segment, part.centre)) * part.mass;
            let given = outside.iter().filter(|w| w.segment == segment).map(|w| w.force);
            own + given.sum::<V3>()
        };
        let at_knee = bears(Segment::Foot(side)) + bears(Segment::Shank(side));
        let at_hip = at_knee + bears(Segment::Thigh(side));
        let hip = moving.frame(Segment::Pelvis).transpose() * at_hip;
        Self { hip: hip.into(), knee: moving.direction(Segment::Shank(side), V3::y()).dot(&at_knee) }
    }
}

impl JointLoads {
    /// The loads of both legs in one frame of a movement in time; `tree` is that of the body, with or
    /// without what the hands hold.
    #[must_use]
    pub fn in_course(tree: &Tree, frame: &TimedFrame, room: &mut Scratch) -> PerSide<Self> {
        let [q, v, a] = frame.coordinates();
        let moving = tree.moving(q, v, a, room);
        PerSide::from_fn(|side| {
            // Only the force counts here, not where it acts.
            let floor = Wrench {
                segment: Segment::Foot(side),
                point: V3::zeros(),
                force: frame.feet.get(side).force_n.into(),
                couple: V3::zeros(),
            };
            Self::moving(tree, &moving, &[floor], side)
        })
    }
}

/// One joint contact force.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Contact {
    /// Coarse estimate, in body weights.
    Estimate {
        /// With least squared shares.
        body_weights: f64,
        /// The smallest by squares or cubes and, at the hip, by either set of muscles.
        low: f64,
        /// The largest of them.
        high: f64,
    },
    /// Nothing is said.
    Unknown {
        /// Why.
        why: WhyUnknown,
    },
}

impl Contact {
    /// From forces in newtons, the first of them the estimate.
    fn of(forces: &[f64], weight: f64) -> Self {
        let fold = |start: f64, better: fn(f64, f64) -> f64| forces.iter().copied().fold(start, better);
        Self::Estimate {
            body_weights: forces[0] / weight,
            low: fold(f64::INFINITY, f64::min) / weight,
            high: fold(f64::NEG_INFINITY, f64::max) / weight,
        }
    }

    /// The estimate in body weights, where there is one.
    #[must_use]
    pub fn body_weights(self) -> Option<f64> {
        match self {
            Self::Estimate { body_weights, .. } => Some(body_weights),
            Self::Unknown { .. } => None,
        }
    }
}

/// Contact forces of one leg, coarse.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ContactForces {
    /// Thigh bone against the socket of the pelvis; unknown away from neutral.
    pub hip: Contact,
    /// Thigh bone against shank, along the shank.
    pub knee: Contact,
    /// Kneecap against thigh bone; its ratio to the quadriceps is from memory.
    pub patellofemoral: Contact,
}

/// Contact forces of one leg at one moment, from its moments, net loads and shared muscle forces.
///
/// `demands` must be what [`super::share`] found for the same `frame`.
#[must_use]
pub fn contact(
    body: &Body,
    side: Side,
    frame: &LegFrame,
    loads: &JointLoads,
    demands: &MuscleDemands,
) -> ContactForces {
    let weight = body.mass * GRAVITY;
    let bent = frame.angles[LegFrame::place(Coordinate::KneeFlexion)].in_deg();
    let unknown = |why| Contact::Unknown { why };
    let sum = |counts: fn(usize) -> bool| {
        let of = |force: &[f64; UNITS]| (0..UNITS).filter(|u| counts(*u)).map(|u| force[u]).sum::<f64>();
        demands.force.each_ref().map(of)
    };
    let knee = demands.knee.map_or_else(
        || Contact::of(&sum(|u| paths().crosses(u, KNEE)).map(|f| f + loads.knee), weight),
        unknown,
    );
    let patellofemoral = match (demands.knee, behind_the_kneecap(bent)) {
        (Some(why), _) => unknown(why),
        (None, None) => unknown(WhyUnknown::OutsideRange { motion: toward(Coordinate::KneeFlexion, bent) }),
        (None, Some(ratio)) => Contact::of(&sum(of_the_quadriceps).map(|f| f * ratio), weight),
    };
    ContactForces { hip: hip(body, side, frame, loads, demands), knee, patellofemoral }
}

/// Where the knee stands among the coordinates that muscles move.
const KNEE: usize = 3;

fn of_the_quadriceps(unit: usize) -> bool {
    matches!(units()[unit].set, LegMuscles::Vasti | LegMuscles::RectusFemoris)
}

fn hip(body: &Body, side: Side, frame: &LegFrame, loads: &JointLoads, demands: &MuscleDemands) -> Contact {
    if let Some(why) = demands.hip {
        return Contact::Unknown { why };
    }
    let bounds = choices().hip_contact;
    let hip = [Coordinate::HipFlexion, Coordinate::HipAdduction, Coordinate::HipInternalRotation];
    let range = [
        (bounds.flexion_low_deg, bounds.flexion_high_deg),
        (bounds.adduction_low_deg, bounds.adduction_high_deg),
        (bounds.rotation_low_deg, bounds.rotation_high_deg),
    ];
    let angles = hip.map(|c| frame.angles[LegFrame::place(c)]);
    for ((coordinate, angle), (low, high)) in hip.into_iter().zip(angles).zip(range) {
        if !(low..=high).contains(&angle.in_deg()) {
            let motion = toward(coordinate, angle.in_deg());
            return Contact::Unknown { why: WhyUnknown::OutsideRange { motion } };
        }
    }
    let moment = hip.map(|c| frame.moments[LegFrame::place(c)].in_nm());
    let lines = Lines::new(angles.map(quantity::Angle::in_rad), Lines::size(body.half_hip_spacing));
    // The lines are those of a right hip; a left one is its mirror image.
    let net = Vector3::new(loads.hip[0], loads.hip[1], loads.hip[2] * side.sign());
    let choice = choices().sharing;
    let reserve = lines.whole().map(|m| m * choice.reserve);
    let mut force = [0.0; 4];
    for (force, power) in force.iter_mut().zip([Power::Squares, Power::Cubes]) {
        let (pressed, found, _) = lines.press(&moment, net, &reserve, power);
        let limit = lines.whole().map(|m| m * choice.reserve_limit);
        if let Some(k) = (0..3).find(|k| (found.reserve[*k] + found.left[*k]).abs() > limit[*k]) {
            let motion = toward(hip[k], moment[k]);
            return Contact::Unknown { why: WhyUnknown::NotCarried { motion } };
        }
        *force = pressed.norm();
    }
    for (force, units) in force[2..].iter_mut().zip(&demands.force) {
        *force = lines.press_with(units, net).norm();
    }
    Contact::of(&force, body.mass * GRAVITY)
}
