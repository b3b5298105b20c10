//! The sorts of entry, each in its newest shape.
//!
//! A shape that changes gets a new number and a function from the one before in [`registry`]; a
//! function is never taken away, so that the oldest file can be read.

use jiff::civil::Date;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use store::{Kind, Registry, Role};

use crate::Error;
use crate::adaptation::AdaptationRecord;
use crate::handed::HandedOut;
use crate::people::PersonRecord;
use crate::practice::PracticeRecord;
use crate::teaching::{TapRecord, TeachRecord};

/// A sort of entry.
pub trait Shape: Serialize + DeserializeOwned + Send {
    /// The short name under which it is stored; it may be read in the file.
    const KIND: &'static str;
    /// Who may write it.
    const WRITERS: &'static [Role];
}

/// Whether somebody in this role may write entries of this sort.
///
/// ```
/// # use clinic::{ProgrammeRecord, PracticeRecord, Role, may_write};
/// assert!(may_write::<PracticeRecord>(Role::Assistant) && !may_write::<ProgrammeRecord>(Role::Assistant));
/// ```
#[must_use]
pub fn may_write<T: Shape>(role: Role) -> bool {
    T::WRITERS.contains(&role)
}

const DECIDES: &[Role] = &[Role::Clinician];
/// What a student finds, accepts, decides or writes awaits a clinician's countersignature and goes to nobody before it.
const FINDS: &[Role] = &[Role::Clinician, Role::Student];
const LOGS: &[Role] = &[Role::Clinician, Role::Assistant, Role::Student];

macro_rules! shape {
    ($type:ty = $kind:literal, $writers:ident) => {
        impl Shape for $type {
            const KIND: &'static str = $kind;
            const WRITERS: &'static [Role] = $writers;
        }
    };
}

shape!(PersonRecord = "person", LOGS);
shape!(CaseRecord = "case", FINDS);
shape!(MeasuresRecord = "measures", LOGS);
shape!(ProgrammeRecord = "programme", FINDS);
shape!(PracticeRecord = "practice", LOGS);
shape!(HandedOut = "handed-out", LOGS);
shape!(TeachRecord = "teach", LOGS);
shape!(TapRecord = "tap", LOGS);
shape!(AdaptationRecord = "adaptation", FINDS);
shape!(AdverseEvent = "adverse-event", LOGS);
shape!(LetterRecord = "letter", FINDS);
shape!(Settings = "settings", DECIDES);

fn kind<T: Shape>() -> Kind {
    Kind::new(T::KIND, T::WRITERS)
}

/// Every kind of entry the program knows, with who may write it.
pub(crate) fn registry() -> Result<Registry, store::Error> {
    Registry::new([
        kind::<PersonRecord>().kept_in_memory(),
        kind::<CaseRecord>(),
        kind::<MeasuresRecord>(),
        kind::<ProgrammeRecord>(),
        kind::<PracticeRecord>(),
        kind::<HandedOut>(),
        kind::<TeachRecord>(),
        kind::<TapRecord>(),
        kind::<AdaptationRecord>(),
        kind::<AdverseEvent>(),
        kind::<LetterRecord>(),
        kind::<Settings>().kept_in_memory(),
    ])
}

/// One whole version of what was found: the text of a case file.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct CaseRecord {
    /// The case file, in the format that `person::case_file` reads.
    pub text: String,
    /// Red flags, by key, that were asked for and absent while others were not asked yet. The text says
    /// nothing of them, so that nothing opens before all were asked.
    #[serde(default)]
    pub absent: Vec<String>,
    /// Why this version was written, where it was not simply saved.
    #[serde(default)]
    pub why: String,
}

/// Measures of one day or more: the text of a measures file, with the recordings it names.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MeasuresRecord {
    /// The measures file.
    pub text: String,
    /// Recordings by the name under which the text asks for them.
    #[serde(default)]
    pub recordings: Vec<(String, String)>,
}

/// A programme that a clinician accepted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ProgrammeRecord {
    /// The day it was made for.
    pub for_day: Date,
    /// Last day it may be used.
    pub use_until: Date,
    /// Its movements as sentences, each exercise on its own: both gates are asked again on loading.
    pub exercises: Vec<Vec<String>>,
    /// The programme as JSON, as it was accepted: for reading, never for permitting.
    pub json: serde_json::Value,
    /// Why it was chosen, changed or accepted.
    #[serde(default)]
    pub why: String,
    /// A change of the one before it, by hand: it is no answer to what hurt, and it is counted anew what is clean.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub by_hand: bool,
}

impl ProgrammeRecord {
    /// Its last day, read without the rest: ten thousand programmes are most of a gigabyte.
    pub(crate) fn last_day(body: &[u8]) -> Result<Date, Error> {
        #[derive(Deserialize)]
        struct LastDay {
            use_until: Date,
        }
        let read: Result<LastDay, _> = serde_json::from_slice(body);
        read.map(|read| read.use_until)
            .map_err(|error| Error::Body { kind: Self::KIND, why: error.to_string() })
    }
}

/// A letter as it was given out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LetterRecord {
    /// The day it is about.
    pub on: Date,
    /// Its key, such as `progress-note`.
    pub kind: String,
    /// Its title, in its language.
    pub title: String,
    /// Its language, as in `fr`.
    pub language: String,
    /// Who signs it; none where a student prepared it.
    pub author: Option<String>,
    /// The whole text.
    pub text: String,
}

/// Something that went wrong.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AdverseEvent {
    /// The day.
    pub on: Date,
    /// What happened.
    pub what: String,
    /// While doing what.
    #[serde(default)]
    pub during: String,
    /// What was done about it.
    #[serde(default)]
    pub then: String,
}

/// What the clinic set for itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// Name of the clinic, for sheets.
    #[serde(default)]
    pub clinic_name: String,
    /// Its telephone.
    #[serde(default)]
    pub phone: String,
    /// The https address of the clinic's practice site; empty where there is none.
    #[serde(default)]
    pub practice_site: String,
    /// Minutes without a touch after which a screen locks.
    pub lock_after_minutes: u32,
    /// Days without a log before a person is named.
    pub nothing_logged_days: i32,
    /// Days after which measures are due again.
    pub retest_days: i32,
    /// Folder in which backups are made by themselves; none are made while it is empty.
    #[serde(default)]
    pub backup_folder: String,
    /// Days after which the last good backup is too old.
    #[serde(default = "backup_every_days")]
    pub backup_every_days: u32,
    /// How many of those made by themselves are kept.
    #[serde(default = "backup_keep")]
    pub backup_keep: u32,
    /// The paper that sheets are printed on unless another is chosen.
    #[serde(default)]
    pub paper: Paper,
}

fn backup_every_days() -> u32 {
    crate::defaults().backup.every_days
}

fn backup_keep() -> u32 {
    crate::defaults().backup.keep
}

/// Paper for printing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Paper {
    /// 210 mm × 297 mm.
    #[default]
    A4,
    /// 8½ in × 11 in.
    Letter,
}

impl Settings {
    /// Before anything was set: the table of defaults.
    #[must_use]
    pub fn before_any() -> Self {
        let table = crate::defaults();
        Self {
            clinic_name: String::new(),
            phone: String::new(),
            practice_site: String::new(),
            lock_after_minutes: table.lock.after_minutes,
            nothing_logged_days: table.attention.nothing_logged_days,
            retest_days: table.attention.retest_days,
            backup_folder: String::new(),
            backup_every_days: table.backup.every_days,
            backup_keep: table.backup.keep,
            paper: Paper::default(),
        }
    }
}
