//! What was measured, how reliable that test is, whether two results differ by more than its error.
//!
//! A test is a row of `reference/instruments/` ([`Instrument`]); what was tried becomes a [`Score`] by one
//! function ([`score()`]), with its raw trials kept. Nothing here knows a person: limb length, height and mass
//! are passed in.

#![forbid(unsafe_code)]

mod change;
mod composite;
mod direction;
mod figures;
mod important;
mod instrument;
mod item_text;
pub mod norm;
mod normalise;
mod population;
mod protocol;
mod reliability;
mod research;
mod score;
mod score_error;
pub mod series;
mod session;
pub mod statistics;
mod symmetry;
mod torque;
mod trend;
mod trial;
mod unit;

pub use change::{
    Change, Context, Estimate, NotComparable, Note, Pair, Verdict, Way, compare, compare_sessions,
    compare_together,
};
pub use composite::{CompositeError, composite};
pub use direction::StanceDirection;
pub use important::{ChangeSize, ImportantChange, important_change, important_changes};
pub use instrument::{
    Better, Instrument, InstrumentKey, LimbComparison, MadeFrom, Per, ScoreForm, UnknownInstrument,
};
pub use item_text::{ItemText, item_text};
pub use normalise::{BodyMeasures, Normalised, normalise};
pub use population::{Population, UnknownPopulation};
pub use protocol::{Protocol, ProtocolError, ProtocolField, ProtocolMatch, protocol_fields};
pub use reliability::{
    CannotSayError, Origin, OwnError, OwnErrorProblem, OwnRepeats, PublishedError, Question, Raters,
    Reliability, RowUse, StandardError, own_repeats, published_errors, reliability,
};
pub use research::{CutSide, ResearchCut, cuts_beside, research_cuts};
pub use score::{Attempts, Bound, Caution, Score, Scored, score, stored_score};
pub use score_error::ScoreError;
pub use session::{NoReading, Reading, Session, SessionError, Taken};
pub use symmetry::{
    Symmetry, SymmetryError, capacity_before_injury, hop_battery, share_of, symmetry, symmetry_interval,
};
pub use torque::{Torque, torque};
pub use trend::{Course, course};
pub use trial::{InvalidReason, Trial, UnknownReason};
pub use unit::{Scale, Unit};
