//! What the patient reads at home: the sheet, as data, PDF, text and JSON, and the alert that replaces it.
//!
//! [`handout`] turns a programme into a [`Handout`], which is plain data with whole sentences;
//! [`pdf`], [`text`] and [`json`] only render it. Each sentence of the patient's part stands in
//! [`words`] and is held to a reading level by a test.

#![forbid(unsafe_code)]

mod alert;
mod data;
pub mod language;
mod letter;
mod make;
#[cfg(feature = "pdf")]
mod pdf;
mod reading;
mod render;
mod rules;
mod settings;
pub mod words;

pub use alert::{AlertSheet, alert};
pub use data::{
    Contact, DistanceTo, DoseNumber, Edition, ExerciseSheet, Handout, Interpreter, LimbSheet, RuleBlock,
    Section,
};
pub use letter::{
    Block, Changed, Choice, ClassMember, Drawn, Hurt, Letter, LetterFacts, LetterKind, LetterPart,
    MeasuredFacts, MeasuredOnce, Opened, OrderAsked, Planned, Practised, Row, RuleBehind, SurgeonQuestion,
    ToAsk, Value, Way, class_list, letter, letter_json, letter_text,
};
pub use make::{ExerciseFacts, handout, handout_of};
#[cfg(feature = "pdf")]
pub use pdf::{Paper, PdfError, PdfSettings, Tagging, letter_pdf, pdf};
pub use reading::{Readability, readability};
pub use render::{json, text};
pub use rules::person_rules;
pub use settings::{ClosedDirection, SheetSettings};
