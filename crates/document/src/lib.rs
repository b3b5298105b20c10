//! What is read: the sheet at home, its floor guide and practice page, the alert, and letters to colleagues.
//!
//! [`handout`] turns a programme into a [`Handout`], which is plain data with whole sentences;
//! [`pdf`], [`text`] and [`json`] only render it. Each sentence of the patient's part stands in
//! [`language`] and is held to a reading level by a test. [`page`] makes the practice page of the same programme: one
//! file for a phone.

#![forbid(unsafe_code)]

mod alert;
mod data;
mod guide;
pub mod language;
mod letter;
mod make;
mod page;
#[cfg(feature = "pdf")]
mod pdf;
mod reading;
mod render;
mod rules;
mod settings;
mod summary;

pub use alert::{AlertSheet, alert};
pub use data::{
    Contact, DistanceTo, DoseNumber, Edition, ExerciseSheet, Handout, Interpreter, LimbSheet, LogDay,
    LogFloor, LogGrid, RuleBlock, Section,
};
pub use guide::{FloorGuide, GuideLabels, Mark, Sheet, Tag, TagPage, Tiling, Ways, floor_guide, tags};
pub use language::{Language, Units, Wording};
pub use letter::{
    Block, Changed, Choice, ClassMember, Drawn, Hurt, Letter, LetterFacts, LetterKind, LetterPart,
    MeasuredFacts, MeasuredOnce, Opened, OrderAsked, Planned, Practised, Row, RuleBehind, ToAsk, Value, Way,
    class_list, letter, letter_json, letter_text,
};
pub use make::{ExerciseFacts, handout, handout_of};
pub use page::{
    PageOrder, PageSettings, PageStore, PracticePage, PracticeSite, page, page_of, practice_site, practised,
};
#[cfg(feature = "pdf")]
pub use pdf::{Paper, PdfError, PdfSettings, Tagging, floor_guide_pdf, letter_pdf, pdf, summary_pdf};
pub use reading::{Readability, readability, syllables};
pub use render::{json, text};
pub use rules::person_rules;
pub use settings::{ClosedDirection, SheetSettings};
pub use summary::{Summary, SummaryLine, SummarySection};
