//! How the muscles of a leg share its joint moments, and how hard they press its joints.
//!
//! Joint moments come from the mechanics; a model of 40 muscle units decides only how they are
//! shared. All figures are estimates with a band. Not claimed: forces of single muscles, anything
//! about one vastus beside another, anything about a person who moves otherwise than asked.

pub mod check;
mod contact;
mod demands;
mod frame;
#[cfg(test)]
mod oracle;
mod passive;
mod paths;
mod peaks;
mod quadriceps;
mod sharing;
mod straight;
mod strength;
mod units;

pub use contact::{Contact, ContactForces, JointLoads, contact};
pub use demands::{Arms, MuscleDemand, MuscleDemands, MuscleScratch, WhyUnknown, share, share_warm};
pub use frame::LegFrame;
pub use passive::{PassiveMoments, passive_moments};
pub use peaks::{LegPeaks, MusclePeaks, Peak, course_peaks, share_motion};
pub use quadriceps::quadriceps_lever;

/// How strength at speed is held inside what can be believed.
pub(crate) fn speed_choices() -> units::Speed {
    units::choices().speed
}
