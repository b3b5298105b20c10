//! What was measured, how reliable that test is, whether two results differ by more than its error.
//!
//! A test is a row of `reference/instruments/` ([`Instrument`]); what was tried becomes a [`Score`] by one
//! function ([`score()`]), with its raw trials kept. Nothing here knows a person: limb length, height and mass
//! are passed in.
//!
//! From trials to a verdict, for one direction of a reach on the right leg six weeks apart:
//!
//! ```
//! use anatomy::{PerSide, Side};
//! use jiff::civil::{Date, date};
//! use measurement::*;
//! use movement::AnatomicalDirection;
//! use quantity::Length;
//!
//! let reach = InstrumentKey::find("star_reach").unwrap();
//! let on_the_day = |cm: [f64; 3], date: Date| {
//!     let tried = Attempts { unit: Unit::Cm, practice: Some(4), trials: cm.map(Trial::Valid).to_vec() };
//!     let limb = Some(Length::cm(90.0));
//!     let session = Session::new(Taken {
//!         side: Some(Side::Right),
//!         direction: Some(StanceDirection::named(AnatomicalDirection::Posteromedial)),
//!         date,
//!         protocol: Protocol::new([
//!             ("foot_placement", "foot_centred"),
//!             ("heel", "stays_down"),
//!             ("hands", "on_hips"),
//!             ("footwear", "barefoot"),
//!         ])
//!         .unwrap(),
//!         body: BodyMeasures { limb_length: PerSide { left: limb, right: limb }, ..BodyMeasures::NONE },
//!         rater: None,
//!         days: 1,
//!         scored: score(reach, &tried, ScoreForm::MeanOf(3)).unwrap(),
//!     });
//!     session.unwrap().reading(Scale::LimbLength).unwrap()
//! };
//! let first = on_the_day([79.0, 80.0, 81.0], date(2026, 1, 12));
//! let again = on_the_day([84.0, 85.0, 86.0], date(2026, 2, 23));
//!
//! let population = Population::find("after_knee_replacement").unwrap();
//! let error = reliability(&Question { reading: &first, population, raters: Raters::Same }, &[]);
//! let change = compare(&first, &again, error.as_ref(), None, &Context::ALONE);
//! // Five centimetres are 5.6 % of this limb, and up to 8.0 % are common without any change.
//! assert_eq!((change.verdict, change.way), (Verdict::ProbablyReal, Way::Better));
//! assert!(change.to_string().contains("up to 8.0 % are common (95 % level)"));
//! ```

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
mod reading;
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
pub use normalise::{BodyMeasures, Normalised, limb_length_drift, normalise};
pub use population::{Population, UnknownPopulation};
pub use protocol::{Protocol, ProtocolError, ProtocolField, ProtocolMatch, protocol_fields};
pub use reading::{ReadingOfAgreement, reading_of_agreement};
pub use reliability::{
    CannotSayError, Origin, OwnError, OwnErrorProblem, OwnRepeats, PublishedError, Question, Raters,
    Reliability, RowUse, StandardError, own_repeats, own_repeats_least, published_errors, reliability,
};
pub use research::{CutSide, ResearchCut, cuts_beside, research_cuts};
pub use score::{Attempts, Bound, Caution, Score, Scored, averaged, score, stored_score};
pub use score_error::ScoreError;
pub use session::{NoReading, Reading, Session, SessionError, Taken};
pub use symmetry::{
    Symmetry, SymmetryError, capacity_before_injury, hop_battery, share_of, symmetry, symmetry_interval,
};
pub use torque::{Torque, torque};
pub use trend::{Course, course};
pub use trial::{InvalidReason, Trial, UnknownReason};
pub use unit::{Scale, Unit};
