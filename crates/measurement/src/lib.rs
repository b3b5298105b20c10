//! What was measured, how reliable that test is, whether two results differ by more than its error.
//!
//! A test is a row of `reference/instruments/` ([`Instrument`]); what was tried becomes a [`Score`] by one
//! function ([`score()`]), with its raw trials kept. Nothing here knows a person: limb length, height and mass
//! are passed in.

#![forbid(unsafe_code)]

mod composite;
mod direction;
mod figures;
mod instrument;
mod item_text;
mod normalise;
mod protocol;
mod score;
mod score_error;
pub mod statistics;
mod symmetry;
mod torque;
mod trial;
mod unit;

pub use composite::{CompositeError, composite};
pub use direction::StanceDirection;
pub use instrument::{
    Better, Instrument, InstrumentKey, LimbComparison, MadeFrom, Per, ScoreForm, UnknownInstrument,
};
pub use item_text::{ItemText, item_text};
pub use normalise::{BodyMeasures, Normalised, normalise};
pub use protocol::{Protocol, ProtocolError, ProtocolField, ProtocolMatch, protocol_fields};
pub use score::{Attempts, Bound, Caution, Score, Scored, score, stored_score};
pub use score_error::ScoreError;
pub use symmetry::{Symmetry, SymmetryError, capacity_before_injury, hop_battery, share_of, symmetry};
pub use torque::{Torque, torque};
pub use trial::{InvalidReason, Trial, UnknownReason};
pub use unit::{Scale, Unit};
