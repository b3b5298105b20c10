//! Every letter is one page, in every language and on both papers, tagged for a screen reader.
#![cfg(feature = "pdf")]

use std::sync::OnceLock;

use app::{
    LetterBase, LetterSources, Measures, PracticeLog, letter_base, letter_case, read_measures, silent,
};
use document::language::Language;
use document::{LetterKind, Paper, PdfSettings, Tagging, letter_pdf};
use jiff::civil::{Date, date};
use person::CaseFile;
use progress::{Activity, SportKind};

/// The pages themselves, as a reader of PDF finds them.
fn pages(bytes: &[u8]) -> usize {
    hayro_syntax::Pdf::new(bytes.to_vec()).expect("a PDF").pages().len()
}

/// Somebody of whom letters are written, with what is worked out once for all of them.
struct Subject {
    file: &'static str,
    case: CaseFile,
    today: Date,
    measures: Option<Measures>,
    base: LetterBase,
}

/// Everybody but the one with a red flag, which goes before every letter.
fn people() -> &'static [Subject] {
    static PEOPLE: OnceLock<Vec<Subject>> = OnceLock::new();
    PEOPLE.get_or_init(|| {
        let series = |name: &str| {
            let found = app::demo_measures().iter().find(|one| one.file == format!("measures/{name}"));
            found.map(|one| one.text.to_owned()).ok_or_else(|| format!("no `{name}`"))
        };
        let subject = |demo: &'static app::DemoCase| {
            let case = demo.read().expect("a case of ours");
            let today = app::day_of(&case, None, date(2026, 2, 4));
            let base = letter_base(&case, today, &silent).ok()?;
            let file = format!("measures/{}", demo.file);
            let measures = app::demo_measures().iter().find(|one| one.file == file);
            let measures = measures.map(|one| {
                read_measures(one.file, one.text, &case, today, &series).expect("measures of ours")
            });
            Some(Subject { file: demo.file, case, today, measures, base })
        };
        app::demo_cases().iter().filter_map(subject).collect()
    })
}

fn each_letter_is_one_tagged_page(language: Language) {
    let log = PracticeLog::read(include_str!("../../../cases/practice/01-lighthouse-mechanic.json"))
        .expect("a log of ours");
    assert!(people().len() >= 10, "letters of {} people only", people().len());
    for Subject { file, case, today, measures, base } in people() {
        let from = LetterSources {
            case,
            today: *today,
            author: None,
            measures: measures.as_ref(),
            // The longest log, whoever it is: only its length matters here.
            log: Some(&log),
            activity: Activity::Sport(SportKind::Pivoting),
        };
        for kind in LetterKind::ALL {
            let letter = letter_case(kind, &from, base, language).expect("no red flag");
            for paper in [Paper::A4, Paper::Letter] {
                let name = format!("{file} {} {} {paper:?}", kind.key(), language.code());
                let bytes = letter_pdf(&letter, PdfSettings { paper, tagging: Tagging::Accessible })
                    .unwrap_or_else(|error| panic!("{name}: {error}"));
                assert_eq!(pages(&bytes), 1, "{name}");
                assert!(bytes.windows(7).any(|window| window == b"pdfuaid"), "{name}: PDF/UA");
            }
        }
    }
}

#[test]
fn a_letter_in_english_is_one_tagged_page_whoever_it_is_about() {
    each_letter_is_one_tagged_page(Language::English);
}

#[test]
fn a_letter_in_french_is_one_tagged_page_whoever_it_is_about() {
    each_letter_is_one_tagged_page(Language::French);
}

#[test]
fn a_letter_in_spanish_is_one_tagged_page_whoever_it_is_about() {
    each_letter_is_one_tagged_page(Language::Spanish);
}

#[test]
fn a_class_of_twelve_is_one_page() {
    let people: Vec<_> = app::demo_cases()
        .iter()
        .map(|demo| {
            let case = demo.read().expect("a case of ours");
            let today = app::day_of(&case, None, date(2026, 2, 4));
            app::class_member(&case, today, &silent)
        })
        .collect();
    assert!(people.len() >= 12, "a class of {}", people.len());
    let clinic = app::demo_cases()[0].read().expect("a case of ours").clinic;
    for language in Language::ALL {
        let letter = app::letter_class(&people, &clinic, date(2026, 2, 4), language);
        for paper in [Paper::A4, Paper::Letter] {
            let settings = PdfSettings { paper, tagging: Tagging::Accessible };
            let bytes = letter_pdf(&letter, settings).expect("one page");
            assert_eq!(pages(&bytes), 1, "{} {paper:?}", language.code());
        }
    }
}
