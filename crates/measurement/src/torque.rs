//! From a force at a lever to a torque.

use quantity::{Force, Length, Moment};
use serde::Serialize;

use crate::figures::figure;

/// A torque, or why there is none.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "torque", rename_all = "snake_case")]
pub enum Torque {
    /// Force times lever.
    Value {
        /// The torque, in newton metres.
        moment: Moment,
        /// The force is above what a tester can hold: the value measures the tester. Use a belt.
        tester_measured: bool,
    },
    /// The lever cannot be right.
    Implausible {
        /// What is wrong and what is accepted, in words.
        what: String,
    },
}

/// Torque = force · lever, the lever from the joint axis to the middle of the pad.
///
/// `tester_held` says whether a person held the device, with nothing fixed.
#[must_use]
pub fn torque(force: Force, lever: Length, tester_held: bool) -> Torque {
    let (least, most) = (figure("lever_least"), figure("lever_most"));
    if !(least..=most).contains(&lever.in_cm()) {
        return Torque::Implausible {
            what: format!("lever `{:.1} cm`; accepted: {least:.0} to {most:.0} cm", lever.in_cm()),
        };
    }
    Torque::Value {
        moment: Moment::nm(force.in_n() * lever.in_m()),
        tester_measured: tester_held && force.in_n() > figure("tester_held_most"),
    }
}
