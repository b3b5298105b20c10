//! Leaps, jumps and hops: flight between two solved postures, and what the landing costs.
//!
//! Definitions. A *leap* leaves the standing foot and lands on the moving foot, knee bent, the other
//! foot hanging behind; a *two-foot jump* takes both feet along; a *hop* starts on the hopping foot,
//! whose middle is at the centre, and lands on the same foot. Take-off posture (the deepest point
//! before the push) and landing posture (the deepest point after touch-down) come from the same
//! least effort as every posture. In between the centre of mass flies as a projectile over the asked
//! distance; nothing turns in the air, and the turn of the pelvis between the two postures is told as
//! the angular momentum it would take.

mod ballistic;
mod landing;
mod postures;
mod table;

use anatomy::{Coordinate, Side};
use movement::{Family, Landing, MovementSpec};
use quantity::{Angle, Length, Share, Span};
use serde::Serialize;

pub(crate) use ballistic::Throw;
pub(crate) use landing::{Spring, peak_in_weights};
pub(crate) use postures::{landing_tasks, start_middle, start_tasks, take_off_task};
pub(crate) use table::choices;

use crate::body::Body;
use crate::capacity::Capacity;
use crate::result::{KeyFrame, MotionError, Turn};
use table::stiffness;

/// How hard a landing is, by our own bands of the typical peak force.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum LandingClass {
    Low,
    Moderate,
    High,
}

/// The vertical force of the floor over the force of standing still: a factor on every moment of a
/// frame, as if all parts of the body were slowed alike. One for everything that is not a flight.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct GroundForce {
    /// Lower end.
    pub low: f64,
    /// Typical.
    pub typical: f64,
    /// Upper end.
    pub high: f64,
}

impl GroundForce {
    /// Standing still.
    pub const STILL: Self = Self { low: 1.0, typical: 1.0, high: 1.0 };
}

/// The push before the flight, as an estimate.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PushOff {
    /// How far the centre of mass is driven upward: the crouch and the rise of the heels.
    pub over: Length,
    /// Mean vertical force over that way, in weights of body and load.
    pub needed: f64,
    /// The most that hip, knee and ankle extensors of the pushing legs could hold in the take-off
    /// posture, in the same unit; `None` where a strength is unknown.
    pub available: Option<f64>,
}

/// The landing, as a class with a range. Published coefficients are thin and stiffness dominates:
/// no figure here is a prediction for one person.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LandingLoad {
    /// Vertical speed at touch-down, metres a second.
    pub touch_down_speed: f64,
    /// How many legs land.
    pub legs: u8,
    /// The class of the typical peak force.
    pub class: LandingClass,
    /// Peak vertical force in weights of body and load, for the stiffness that is published as low,
    /// typical and high.
    pub peak: GroundForce,
    /// How far a leg of typical stiffness gives way.
    pub gives_way: Length,
    /// Mean force when the fall is absorbed over the crouch of the landing posture, same unit.
    pub mean_over_crouch: f64,
}

/// What happens between take-off and landing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Flight {
    /// How far the centre of mass rises above take-off.
    pub rise: Length,
    /// Time in the air.
    pub time: Span,
    /// Speed of the centre of mass at take-off, metres a second.
    pub speed: f64,
    /// Direction of that speed above the horizontal.
    pub angle: Angle,
    /// The push.
    pub push: PushOff,
    /// The landing.
    pub landing: LandingLoad,
    /// Held or straight back. Both touch down alike; straight back asks for the same push again at once.
    pub then: Landing,
    /// Mean angular momentum about the vertical that the turn of the pelvis between the two postures
    /// would take, kg m² a second. A body in the air keeps the angular momentum it left with, here
    /// taken as none; the figure says how wrong that is.
    pub turning: f64,
}

/// How many legs push, and how many land.
pub(crate) fn legs(family: Family) -> u8 {
    if family == Family::TwoFootJump { 2 } else { 1 }
}

/// How far the pelvis sinks before the push and after the landing, metres.
pub(crate) fn crouch(body: &Body, spec: &MovementSpec) -> f64 {
    let c = choices();
    let share = if legs(spec.family) == 2 { c.crouch_two_legs_of_leg } else { c.crouch_one_leg_of_leg };
    spec.depth.map_or(body.leg_length(spec.mover).in_m() * share, Length::in_m)
}

/// The flight of a movement through the air from its take-off and landing frames; fills in how hard
/// both press on the floor.
///
/// # Errors
/// [`MotionError::PushTooWeak`] where the push would need clearly more than the legs can hold.
pub(crate) fn fly(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    take_off: &mut KeyFrame,
    landings: &mut [KeyFrame],
) -> Result<Flight, MotionError> {
    let c = choices();
    let throw = Throw::least(spec.distance.in_m(), spec.rise.in_m(), c.least_rise_m);
    let over = crouch(body, spec) + c.heel_rise_of_foot * body.foot_length;
    let needed = throw.mean_push(over);
    let pushing = match spec.family {
        Family::TwoFootJump => Side::BOTH.to_vec(),
        _ => vec![spec.stance()],
    };
    let available = available(capacity, take_off, &pushing);
    if let Some(available) = available
        && needed > available * c.push_over_model
    {
        return Err(MotionError::PushTooWeak {
            movement: spec.sentence(),
            needed: Share::of_one(needed),
            available: Share::of_one(available),
        });
    }
    let mass = body.mass + spec.load.total().in_kg();
    let landing = landing_load(body, spec, mass, throw.touch_down_speed());
    take_off.force = GroundForce {
        low: needed,
        typical: needed,
        // A push that swells and ebbs as half a sine has π/2 times its mean above the weight.
        high: 1.0 + (needed - 1.0) * std::f64::consts::FRAC_PI_2,
    };
    let mut turning = 0.0;
    for frame in landings.iter_mut() {
        frame.force = landing.peak;
        if frame.turn == Turn::Turned {
            let turn = frame.posture.pelvis_yaw().in_rad() - take_off.posture.pelvis_yaw().in_rad();
            turning = frame.inertia_about_vertical(body) * turn / throw.time();
        }
    }
    Ok(Flight {
        rise: Length::m(throw.rise()),
        time: Span::s(throw.time()),
        speed: throw.speed(),
        angle: Angle::rad(throw.angle()),
        push: PushOff { over: Length::m(over), needed, available },
        landing,
        then: spec.landing.unwrap_or(Landing::Held),
        turning,
    })
}

fn landing_load(body: &Body, spec: &MovementSpec, mass: f64, speed: f64) -> LandingLoad {
    let legs = legs(spec.family);
    let spring = |end: &str| Spring { stiffness: stiffness(legs, end), mass };
    let peak = |end: &str| peak_in_weights(&spring(end), speed);
    let peak = GroundForce { low: peak("low"), typical: peak("typical"), high: peak("high") };
    let bands = table::bands();
    let class = if peak.typical < bands.low_below {
        LandingClass::Low
    } else if peak.typical <= bands.moderate_up_to {
        LandingClass::Moderate
    } else {
        LandingClass::High
    };
    LandingLoad {
        touch_down_speed: speed,
        legs,
        class,
        peak,
        gives_way: Length::m(spring("typical").gives_way(speed)),
        mean_over_crouch: landing::mean_over(crouch(body, spec), speed),
    }
}

/// The weakest of hip, knee and ankle extension of the pushing legs: how many times the moments of
/// the still posture they could hold, at the strength model plus one standard deviation.
fn available(capacity: &Capacity, take_off: &KeyFrame, pushing: &[Side]) -> Option<f64> {
    let extensors = [
        Coordinate::HipFlexion.negative(),
        Coordinate::KneeFlexion.negative(),
        Coordinate::AnkleDorsiflexion.negative(),
    ];
    let mut least: Option<f64> = None;
    for side in pushing {
        for motion in extensors {
            let moment = take_off.still_moment(*side, motion);
            let angle = take_off.posture.angle(*side, motion.coordinate);
            let (strength, spread) = capacity.at(*side, motion, angle)?;
            if moment > 0.0 {
                let times = strength.in_nm() * (1.0 + spread) / moment;
                least = Some(least.map_or(times, |l| l.min(times)));
            }
        }
    }
    least
}
