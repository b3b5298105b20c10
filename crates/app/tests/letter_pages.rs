//! Every letter is one page, in every language and on both papers, tagged for a screen reader.
#![cfg(feature = "pdf")]

use app::{LetterSources, PracticeLog, letter_base, letter_case, read_measures, silent};
use document::language::Language;
use document::{LetterKind, Paper, PdfSettings, Tagging, letter_pdf};
use jiff::civil::date;
use progress::{Activity, SportKind};

/// The pages themselves, as a reader of PDF finds them.
fn pages(bytes: &[u8]) -> usize {
    hayro_syntax::Pdf::new(bytes.to_vec()).expect("a PDF").pages().len()
}

#[test]
fn a_letter_is_one_tagged_page_whoever_it_is_about() {
    let series = |name: &str| {
        let found = app::demo_measures().iter().find(|one| one.file == format!("measures/{name}"));
        found.map(|one| one.text.to_owned()).ok_or_else(|| format!("no `{name}`"))
    };
    let log = PracticeLog::read(include_str!("../../../cases/practice/01-lighthouse-mechanic.json"))
        .expect("a log of ours");
    let mut people = 0;
    for demo in app::demo_cases() {
        let case = demo.read().expect("a case of ours");
        let today = app::day_of(&case, None, date(2026, 2, 4));
        // A red flag goes before every letter.
        let Ok(base) = letter_base(&case, today, &silent) else { continue };
        people += 1;
        let file = format!("measures/{}", demo.file);
        let measures = app::demo_measures()
            .iter()
            .find(|one| one.file == file)
            .map(|one| read_measures(one.file, one.text, &case, today, &series).expect("measures of ours"));
        let from = LetterSources {
            case: &case,
            today,
            author: None,
            measures: measures.as_ref(),
            // The longest log, whoever it is: only its length matters here.
            log: Some(&log),
            activity: Activity::Sport(SportKind::Pivoting),
        };
        for language in Language::ALL {
            for kind in LetterKind::ALL {
                let letter = letter_case(kind, &from, &base, language).expect("no red flag");
                for paper in [Paper::A4, Paper::Letter] {
                    let name = format!("{} {} {} {paper:?}", demo.file, kind.key(), language.code());
                    let bytes = letter_pdf(&letter, PdfSettings { paper, tagging: Tagging::Accessible })
                        .unwrap_or_else(|error| panic!("{name}: {error}"));
                    assert_eq!(pages(&bytes), 1, "{name}");
                    assert!(bytes.windows(7).any(|window| window == b"pdfuaid"), "{name}: PDF/UA");
                }
            }
        }
    }
    assert!(people >= 10, "letters of {people} people only");
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
