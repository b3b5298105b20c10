//! From what was logged and re-tested to the next step: progress, hold, back off, stop, or return.
//!
//! [`Session`] is what came home, and [`adapt`] says what it means for the next step; a therapist answers it
//! ([`Answer`]). [`decide`] sets what was measured, with its error, and what was found beside the
//! criteria of an activity. It never lets anybody return: a clinician does.

#![forbid(unsafe_code)]

mod adapt;
mod answer;
mod check;
mod conflict;
mod criteria;
mod decide;
mod evidence;
mod measure;
mod quantities;
mod session;
mod shared;
mod words;

pub use adapt::{
    AdaptFigures, Adaptation, Carried, CellStep, Circumstances, Cleared, Counted, Effusion, MonitorError,
    Monitored, OfferAgain, Reason, Step, Swelling, ToldSign, Whole, WholeReason, adapt, adapt_figures,
    cell_words, stop_signs,
};
pub use answer::{Answer, AnswerError, Answered, Verdict};
pub use check::{Asks, Check, Measured, Standing};
pub use criteria::{Activity, Domain, SportKind, observations};
pub use decide::{BuildsOn, Counts, Decision, Outcome, decide};
pub use evidence::{Evidence, ExternalSupport, Observed, Tested};
pub use quantities::{Bend, Quantity, quantities};
pub use session::{Cell, Done, Morning, Prescription, Rung, Session, StopSign};
pub use shared::{InCommon, Probe, Separates, Shared, Tried, shared};
