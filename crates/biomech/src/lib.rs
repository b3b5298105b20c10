//! From body size and movement to posture, balance, joint moments and muscle demand.
//!
//! Axes of the floor frame: X forward, Y up, Z to the person's right, metres; the origin lies
//! on the floor midway between the feet at the start, the person facing +X.
//! This crate does not know the diagnosis: nothing in it may depend on `person`.

#![forbid(unsafe_code)]

mod arm_tasks;
mod arms;
mod balance;
mod body;
mod bridge;
mod capacity;
mod constants;
pub mod continuity;
pub mod course;
mod demand;
mod flight;
mod goals;
#[cfg(test)]
mod invariance;
mod mirror;
mod motion;
pub mod muscle;
mod obstacles;
mod posture;
mod result;
pub mod rigid;
mod search;
mod sensitivity;
mod set_slopes;
mod solve;
mod spread;
mod state;
mod statics;
mod step_up;
pub mod study;
mod swing;
pub mod synthetic;
mod tables;
mod task;
mod tasks;
pub mod tree;
#[cfg(test)]
mod two_routes;
mod uncertainty;

pub use body::Body;
pub use bridge::{
    AngleCoverage, ArmsCoverage, Asked, Coverage, Covered, DirectionCoverage, PartCoverage, Profile, Whole,
    covers,
};
pub use capacity::{Capacity, CapacityOrigin, MeasuredMoment};
pub use demand::{demand_at, demands, moments};
pub use flight::{Flight, GroundForce, LandingClass, LandingLoad, PushOff};
pub use goals::{goal_movement, goal_poses};
pub use motion::{motion, motion_beside, motion_leaning, motion_near};
pub use sensitivity::{Lever, NoSlope, Sensitivity, Slope, sensitivities};
pub use set_slopes::{SetSensitivity, SetSlope, set_sensitivities};
pub use spread::{BodyDraw, DoneDraw, StrengthDraw, done_differently};
pub use step_up::{StepOf, StepUp, smallest_step_up};
pub use tasks::landing_point;
pub use uncertainty::{Beside, Spread, about_the_same, moment_spread};

pub use result::{
    ArmState, BalanceMargin, CourseGap, Demand, Demands, FrameMoments, JointMoments, KeyFrame, Landmark,
    Motion, MotionError, Phase, Posture, Turn,
};
