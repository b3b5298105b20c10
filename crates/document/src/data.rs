//! The home sheet as plain data: whole sentences, numbers and what to draw.

use anatomy::Side;
use drawing::{FigureInput, FloorInput};
use jiff::civil::Date;
use movement::{Bearing, Dose, Family, MovementSpec};
use programme::Days;
use quantity::{Length, Span};
use serde::Serialize;

use crate::language::Language;

/// For which reader the sheet is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Edition {
    /// Body text of 18 points, nothing under 16.
    Standard,
    /// Body text of 24 points, for poor sight.
    LargeType,
    /// Every sentence in the patient's language with the same sentence in the clinician's beside it.
    Bilingual {
        /// The clinician's language.
        beside: Language,
    },
    /// Pictures, numerals and arrows, each with a line for an interpreter's words; what keeps the
    /// patient safe stands in words all the same.
    Numerals,
}

/// A heading with sentences under it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Section {
    /// The heading.
    pub title: String,
    /// One action or sign each.
    pub sentences: Vec<String>,
}

/// Rules for this person because of what was operated on or found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RuleBlock {
    /// Whom or what it is about: `Your RIGHT hip is new.`
    pub title: String,
    /// One rule each.
    pub sentences: Vec<String>,
}

/// Whom to call; a rule to write on when the clinic has not told us.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Contact {
    /// Who.
    pub label: String,
    /// Number or name; `None` prints an empty line, never a guess.
    pub value: Option<String>,
}

/// A person who reads another language.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Interpreter {
    /// The language.
    pub language: String,
    /// What stands before the line to write on.
    pub label: String,
}

/// A big number of the dose with its words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DoseNumber {
    /// The number.
    pub number: String,
    /// What is counted.
    pub words: String,
}

/// How far in one direction.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DistanceTo {
    /// Plain words from the floor.
    pub direction: String,
    /// The distance.
    #[serde(serialize_with = "centimetres", rename = "distance_cm")]
    pub distance: Length,
    /// The distance as the patient reads it.
    pub written: String,
}

fn centimetres<S: serde::Serializer>(length: &Length, to: S) -> Result<S::Ok, S::Error> {
    // Rounded down, as it is written on the sheet.
    to.serialize_f64((length.in_cm() + 1e-6).floor())
}

/// What one limb does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LimbSheet {
    /// The limb that moves.
    pub mover: Side,
    /// `LEFT leg moves`.
    pub heading: String,
    /// Whole sentences for this side, in order.
    pub steps: Vec<String>,
    /// How far, in the order of doing.
    pub distances: Vec<DistanceTo>,
    /// Directions that stay closed, in plain words.
    pub closed: Vec<String>,
    /// The same as a sentence.
    pub do_not_go: Option<String>,
    /// The movements behind it, for the therapist.
    pub movements: Vec<MovementSpec>,
    /// What the floor shows, in words.
    pub floor_in_words: String,
    /// What the figures show, in words.
    pub figure_in_words: String,
    /// From where the two figures are seen, in words.
    pub figure_views: [String; 2],
    /// The floor.
    #[serde(skip)]
    pub floor: FloorInput,
    /// The figure from behind and from the side that moves.
    #[serde(skip)]
    pub figures: Vec<FigureInput>,
}

/// One exercise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExerciseSheet {
    /// Its number, from one.
    pub number: usize,
    /// What kind of movement it is.
    pub family: Family,
    /// The plain title.
    pub title: String,
    /// What the hands do, how fast, and what holds for both sides.
    pub how: Vec<String>,
    /// What each limb does; one that may not do it is absent.
    pub limbs: Vec<LimbSheet>,
    /// A sentence when a limb does none.
    pub missing_limb: Option<String>,
    /// On which days, for other programs.
    pub days: Days,
    /// The same in sentences; empty where every exercise of the sheet is for every day.
    pub days_sentences: Vec<String>,
    /// The dose in big numerals.
    pub numbers: Vec<DoseNumber>,
    /// The dose in sentences.
    pub dose_sentences: Vec<String>,
    /// What stands under the pictures.
    pub caption: Vec<String>,
    /// The dose, for other programs.
    pub dose: Dose,
    /// Time of this exercise.
    #[serde(serialize_with = "seconds", rename = "seconds")]
    pub time: Span,
    /// Why, in the therapist's words; not on the patient's pages.
    pub why: String,
}

fn seconds<S: serde::Serializer>(span: &Span, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_f64(span.in_s().round())
}

/// The whole sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Handout {
    /// Title of the document.
    pub title: String,
    /// Whom it is for.
    pub person: String,
    /// Language of the sentences.
    pub language: Language,
    /// The day it was made.
    pub made_on: Date,
    /// The same as a sentence, without the name.
    pub made_on_sentence: String,
    /// Whom it is for and when it was made, as a sentence.
    pub for_whom: String,
    /// Last day it may be used.
    pub use_until: Date,
    /// The same as a sentence.
    pub use_until_sentence: String,
    /// The same in few words, for the head of each page.
    pub use_until_short: String,
    /// For which reader it is set.
    pub edition: Edition,
    /// The mark of invented people, on every page.
    pub invented: Option<String>,
    /// Where the figures come from.
    pub estimate: String,
    /// The whole session in big numerals.
    pub at_a_glance: Vec<DoseNumber>,
    /// On which days, where some exercise is not for every day.
    pub days: Vec<String>,
    /// Rules for this person.
    pub rules: Vec<RuleBlock>,
    /// Before the exercises.
    pub before: Section,
    /// While doing them.
    pub during: Section,
    /// Whether a sound may pace the person; with poor hearing none is relied on.
    pub sound_may_pace: bool,
    /// How to read the pictures.
    pub pictures: Section,
    /// One page each.
    pub exercises: Vec<ExerciseSheet>,
    /// When to stop today.
    pub stop: Section,
    /// What to do after stopping.
    pub stopped: String,
    /// The next day.
    pub next_day: Section,
    /// Signs to be seen for today.
    pub seen_today: Section,
    /// Signs to call the emergency number for.
    pub emergency: Section,
    /// Whom to call for what.
    pub whom_to_call: Vec<String>,
    /// Numbers, or lines to write on.
    pub contacts: Vec<Contact>,
    /// Who comes first.
    pub authority: String,
    /// Set when an interpreter is needed: every exercise leaves a line to write on.
    pub interpreter: Option<Interpreter>,
    /// The grid to write on at home.
    pub log: LogGrid,
    /// The same sheet in the clinician's language, for the bilingual edition.
    pub beside: Option<Box<Handout>>,
}

/// The grid on paper for those without a phone: each session a row, each limb of each exercise a
/// small floor with a ring at the end of each direction.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LogGrid {
    /// How to fill it in.
    pub sentences: Vec<String>,
    /// Heading of each page.
    pub titles: Vec<String>,
    /// Head of the column to tick when done.
    pub done: String,
    /// Head of the column for pain before, 0 to 10.
    pub before: String,
    /// Head of the column for the next morning.
    pub morning: String,
    /// Before the line for a stop sign.
    pub stop_sign: String,
    /// One for each day, in order.
    pub days: Vec<LogDay>,
    /// The small floors of a row, in the order of doing.
    pub floors: Vec<LogFloor>,
}

/// One day of the grid.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LogDay {
    /// The day.
    pub on: Date,
    /// The same in few words.
    pub written: String,
    /// How many sessions.
    pub sessions: u8,
}

/// One small floor of the grid.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LogFloor {
    /// Number of the exercise.
    pub exercise: usize,
    /// The limb that moves.
    pub mover: Side,
    /// Its letter.
    pub letter: String,
    /// The directions that are done.
    pub bearings: Vec<Bearing>,
}
