//! The patient's languages: every sentence a patient reads, once for each language, as data.
//!
//! The sentences stand in `assets/language/`, one file a language, and are read into [`Words`]:
//! a key that one language lacks, or that nobody uses, does not load; of what the script of the practice page
//! asks for, tests say so. Sentences are whole, one for
//! each side and gender; only numbers, dates, names and adverbs of direction are put into them.

mod arms;
mod care;
mod frame;
mod guide;
mod leaf;
mod limbs;
mod phone;
mod write;

use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

pub use arms::ArmWords;
pub use care::{
    BeforeWords, CallWords, ContactWords, DuringWords, EmergencyWords, RuleWords, SectionWords,
    SeenTodayWords, StopWords,
};
pub use frame::{DayWords, DoseWords, LogWords, Names, SheetWords};
pub use guide::FloorGuideWords;
pub use leaf::{ByFurniture, BySide, BySideOrBoth, ByThing, Counted, Referred};
pub use limbs::{Directions, FamilyWords, FloorSentences, HandWords, LimbWords, Toward};
pub use phone::PageWords;
pub use write::fill;

/// A language of the patient.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Language {
    /// English.
    #[serde(rename = "en")]
    English,
    /// French.
    #[serde(rename = "fr")]
    French,
    /// Spanish.
    #[serde(rename = "es")]
    Spanish,
}

impl Language {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::English, Self::French, Self::Spanish];

    /// Its tag, as in `en`.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::French => "fr",
            Self::Spanish => "es",
        }
    }

    /// The file its sentences stand in.
    fn source(self) -> &'static str {
        match self {
            Self::English => include_str!("../../../assets/language/en.toml"),
            Self::French => include_str!("../../../assets/language/fr.toml"),
            Self::Spanish => include_str!("../../../assets/language/es.toml"),
        }
    }
}

impl fmt::Display for Language {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl FromStr for Language {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let found = Self::ALL.into_iter().find(|language| language.code() == text);
        found.ok_or_else(|| format!("there is no language `{text}`; accepted: en, fr, es"))
    }
}

/// Metric or imperial. What is stored is always SI; only what is read changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// Whole centimetres and tenths of a kilogram, both rounded down.
    Metric,
    /// Inches in quarters, pounds in halves, both rounded down.
    Imperial,
}

/// How a person is written to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Wording {
    /// The language.
    pub language: Language,
    /// The units.
    pub units: Units,
}

impl Wording {
    /// English with centimetres, for places that do not ask yet.
    pub const ENGLISH: Self = Self { language: Language::English, units: Units::Metric };
}

/// Every sentence of one language.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Words {
    /// Table `[names]`.
    pub names: Names,
    /// Table `[directions]`.
    pub directions: Directions,
    /// Table `[toward]`.
    pub toward: Toward,
    /// Table `[sheet]`.
    pub sheet: SheetWords,
    /// Table `[dose]`.
    pub dose: DoseWords,
    /// Table `[days]`.
    pub days: DayWords,
    /// Table `[before]`.
    pub before: BeforeWords,
    /// Table `[during]`.
    pub during: DuringWords,
    /// Table `[pictures]`.
    pub pictures: SectionWords,
    /// Table `[stop]`.
    pub stop: StopWords,
    /// Table `[next_day]`.
    pub next_day: SectionWords,
    /// Table `[seen_today]`.
    pub seen_today: SeenTodayWords,
    /// Table `[emergency]`.
    pub emergency: EmergencyWords,
    /// Table `[call]`.
    pub call: CallWords,
    /// Table `[contacts]`.
    pub contacts: ContactWords,
    /// Table `[families]`.
    pub families: FamilyWords,
    /// Table `[limb]`.
    pub limb: LimbWords,
    /// Table `[arms]`.
    pub arms: ArmWords,
    /// Table `[hands]`.
    pub hands: HandWords,
    /// Table `[floor]`.
    pub floor: FloorSentences,
    /// Table `[rules]`.
    pub rules: RuleWords,
    /// Table `[log]`.
    pub log: LogWords,
    /// Table `[floor_guide]`.
    pub floor_guide: FloorGuideWords,
    /// Table `[page]`.
    pub page: PageWords,
}

/// Every sentence of a language. Read once; the files are part of the program.
#[must_use]
pub fn words(language: Language) -> &'static Words {
    static ALL: LazyLock<[Words; 3]> = LazyLock::new(|| Language::ALL.map(read));
    match language {
        Language::English => &ALL[0],
        Language::French => &ALL[1],
        Language::Spanish => &ALL[2],
    }
}

fn read(language: Language) -> Words {
    // The file is embedded and a test reads all three, so that a person never meets this.
    toml::from_str(language.source())
        .unwrap_or_else(|error| panic!("the sentences in `{language}` do not load: {error}"))
}
