//! The practice page: one file that shows, counts and asks, and keeps the log on the phone.
//!
//! Everything is inside the file: words, pictures, typeface, style and script. Its policy (CSP) forbids
//! every request. What script and style do stands in `assets/practice/`.

mod file;
mod general;
mod lean;
mod own;
mod pictures;
mod practised;
mod words;

use jiff::civil::Date;
use person::{Clinic, Person};
use programme::Programme;
use quantity::Span;
use serde_json::{Value, json};

use crate::language::{self, Language, Units, Wording};
use crate::make::{ExerciseFacts, before};
use crate::settings::SheetSettings;

/// In which order directions come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PageOrder {
    /// As they are listed.
    Round,
    /// The other way.
    Reverse,
    /// Called by chance, each as often as the others and after each of the others equally often.
    Called {
        /// Where chance begins; the same seed calls alike.
        seed: u32,
    },
}

/// Under which name a page keeps its log, and sealed with which key. Both come from chance, so that two
/// files on one phone never read one another's log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PageStore {
    name: String,
    key: [u8; 32],
}

impl PageStore {
    /// From bytes of chance: eight for the name, then the key.
    #[must_use]
    pub fn of(chance: [u8; 40]) -> Self {
        let (name, rest) = chance.split_at(8);
        let mut key = [0; 32];
        key.copy_from_slice(rest);
        Self { name: format!("footrose-{}", file::hex(name)), key }
    }
}

/// What a page needs beside the programme, the person and the clinic.
#[derive(Clone, Debug, PartialEq)]
pub struct PageSettings {
    /// Language of every word.
    pub language: Language,
    /// Units of every distance.
    pub units: Units,
    /// The order of the directions.
    pub order: PageOrder,
    /// Where the log is kept.
    pub store: PageStore,
}

/// A practice page, ready to write.
#[derive(Clone, Debug, PartialEq)]
pub struct PracticePage {
    /// The file.
    pub html: String,
    /// The programme as the page carries it, without words and drawings: what reads its log back must know it.
    pub programme: Value,
}

/// The files of a practice site, which any https address can host: nothing personal is in them.
#[derive(Clone, Debug, PartialEq)]
pub struct PracticeSite {
    /// Name and content of each file.
    pub files: Vec<(&'static str, String)>,
}

/// Makes the practice page of one programme.
#[must_use]
pub fn page(
    programme: &Programme,
    person: &Person,
    clinic: &Clinic,
    sheet: &SheetSettings,
    settings: &PageSettings,
) -> PracticePage {
    let facts: Vec<ExerciseFacts<'_>> = programme.exercises.iter().map(ExerciseFacts::from).collect();
    page_of(
        &facts,
        (programme.minutes, programme.for_day, programme.use_until),
        (person, clinic),
        sheet,
        settings,
    )
}

/// The programme as a page of these settings would carry it, without making the page: what reads a log back.
#[must_use]
pub fn practised(programme: &Programme, person: &Person, settings: &PageSettings) -> Value {
    let facts: Vec<ExerciseFacts<'_>> = programme.exercises.iter().map(ExerciseFacts::from).collect();
    practised::of(&facts, (programme.for_day, programme.use_until), person, settings)
}

/// Makes a page of exercises that are already known, with the time of one session, the first day and the last.
#[must_use]
pub fn page_of(
    exercises: &[ExerciseFacts<'_>],
    (minutes, from, until): (Span, Date, Date),
    (person, clinic): (&Person, &Clinic),
    sheet: &SheetSettings,
    settings: &PageSettings,
) -> PracticePage {
    let core = practised::of(exercises, (from, until), person, settings);
    let mut carried = core.clone();
    own::with_person(&mut carried, exercises, (minutes, until), clinic, sheet, settings);
    let wording = Wording { language: settings.language, units: settings.units };
    carried["drawings"] = pictures::of(exercises, person, wording);
    let before = before(settings.language, sheet.read_out, (sheet.footwear, sheet.numb_feet));
    carried["words"] = words::of(settings.language, &before);
    let store = json!({ "name": settings.store.name, "key": file::base64(&settings.store.key) });
    let data = [("programme", carried), ("store", store)];
    let html = file::html(&file::Parts {
        language: settings.language,
        title: &language::words(settings.language).sheet.title,
        data: &data,
        site: false,
    });
    PracticePage { html, programme: core }
}

/// Makes the practice site of a clinic: the programme comes in the fragment of the address.
#[must_use]
pub fn practice_site(clinic: &Clinic) -> PracticeSite {
    let languages: Value = Language::ALL
        .into_iter()
        .map(|language| {
            (language.code().to_owned(), words::of(language, &before(language, false, (None, false))))
        })
        .collect::<serde_json::Map<_, _>>()
        .into();
    let contacts: Value = Language::ALL
        .into_iter()
        .map(|language| (language.code().to_owned(), own::contacts(clinic, language, true, false)))
        .collect::<serde_json::Map<_, _>>()
        .into();
    let clinic = json!({ "emergency": clinic.emergency_number, "contacts": contacts });
    let data = [("languages", languages), ("clinic", clinic), ("drawings", general::drawings())];
    let html = file::html(&file::Parts {
        language: Language::English,
        title: &language::words(Language::English).sheet.title,
        data: &data,
        site: true,
    });
    let worker = file::worker(&html);
    PracticeSite {
        files: vec![
            ("index.html", html),
            ("sw.js", worker),
            (
                "manifest.webmanifest",
                include_str!("../../../assets/practice/manifest.webmanifest").to_owned(),
            ),
            ("icon.svg", include_str!("../../../assets/web/icon.svg").to_owned()),
        ],
    }
}
