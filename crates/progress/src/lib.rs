//! From what was logged and re-tested to the next step: progress, hold, back off, stop, or return.
//!
//! [`Session`] is what came home. [`decide`] sets what was measured, with its error, and what was found beside the
//! criteria of an activity. It never lets anybody return: a clinician does.

#![forbid(unsafe_code)]

mod check;
mod conflict;
mod criteria;
mod decide;
mod evidence;
mod measure;
mod session;
mod words;

pub use check::{Asks, Check, Measured, Standing};
pub use criteria::{Activity, Domain, SportKind, observations};
pub use decide::{BuildsOn, Counts, Decision, Outcome, decide};
pub use evidence::{Evidence, ExternalSupport, Observed, Tested};
pub use session::{Cell, Done, Morning, Prescription, Rung, Session, StopSign};
