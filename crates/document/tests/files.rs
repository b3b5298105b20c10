//! The PDF and JSON files: the same bytes every time, every mark in place, nothing too small.
#![cfg(feature = "pdf")]

mod common;

use std::collections::BTreeSet;

use common::{Plan, closed_crossings, person, settings, sheet, three_exercises};
use document::{
    Edition, Handout, Language, Paper, PdfError, PdfSettings, SheetSettings, Summary, SummaryLine,
    SummarySection, Tagging, Units, Wording, json, pdf, summary_pdf,
};
use movement::{AnatomicalDirection, Family};
use person::Clinic;

const ACCESSIBLE: PdfSettings = PdfSettings { paper: Paper::A4, tagging: Tagging::Accessible };

fn simple(name: &str) -> Handout {
    let plan = Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, 40.0)]);
    sheet(&[plan], &person(name), &Clinic::default(), &settings(Vec::new()))
}

fn contains(bytes: &[u8], text: &str) -> bool {
    bytes.windows(text.len()).any(|window| window == text.as_bytes())
}

/// Pages as the page tree states them; it stands uncompressed.
fn pages(bytes: &[u8]) -> usize {
    let text = String::from_utf8_lossy(bytes);
    let (_, rest) = text.split_once("/Type/Pages/Count ").expect("a page tree");
    rest.chars().take_while(char::is_ascii_digit).collect::<String>().parse().expect("a number")
}

#[test]
fn the_same_sheet_has_the_same_bytes() {
    let handout = simple("Tomas Quill");
    assert_eq!(pdf(&handout, ACCESSIBLE), pdf(&handout, ACCESSIBLE));
}

#[test]
fn the_file_says_that_it_is_accessible_and_what_it_is() {
    let bytes = pdf(&simple("Tomas Quill"), ACCESSIBLE).expect("a sheet");
    assert!(bytes.starts_with(b"%PDF-"));
    assert!(contains(&bytes, "pdfuaid"), "PDF/UA identification");
    assert!(contains(&bytes, "Your home exercises, Tomas Quill"), "title");
    let plain = PdfSettings { tagging: Tagging::Untagged, ..ACCESSIBLE };
    assert!(!contains(&pdf(&simple("Tomas Quill"), plain).expect("a sheet"), "pdfuaid"));
}

#[test]
fn one_page_to_begin_one_for_each_exercise_one_to_end_and_two_for_the_grid() {
    let handout = sheet(
        &three_exercises(),
        &person("Tomas Quill"),
        &Clinic::default(),
        &settings(closed_crossings(Family::Step)),
    );
    for paper in [Paper::A4, Paper::Letter] {
        let bytes = pdf(&handout, PdfSettings { paper, ..ACCESSIBLE }).expect("a sheet");
        assert_eq!(pages(&bytes), 7, "{paper:?}");
    }
}

#[test]
fn poor_sight_gets_large_type_on_more_pages() {
    let mut large = settings(Vec::new());
    large.edition = Edition::LargeType;
    let plan = Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, 40.0)]);
    let handout = sheet(&[plan], &person("Tomas Quill"), &Clinic::default(), &large);
    let bytes = pdf(&handout, ACCESSIBLE).expect("a sheet");
    assert!(pages(&bytes) > pages(&pdf(&simple("Tomas Quill"), ACCESSIBLE).expect("a sheet")));
}

#[test]
fn letters_that_cannot_be_set_are_named_and_an_untagged_sheet_is_offered() {
    let handout = simple("Tomas 木 Quill");
    let error = pdf(&handout, ACCESSIBLE).expect_err("a letter is missing");
    assert!(matches!(&error, PdfError::MissingLetters { letters, .. } if letters == "`木`"), "{error}");
    assert!(error.to_string().contains("untagged"));
    assert!(pdf(&handout, PdfSettings { tagging: Tagging::Untagged, ..ACCESSIBLE }).is_ok());
}

#[test]
fn names_are_values_and_never_source() {
    // What would be code or markup in the template's language stays text.
    let handout = simple("#panic(\"x\") *b* $x$ ] }");
    let bytes = pdf(&handout, ACCESSIBLE).expect("a sheet");
    assert!(contains(&bytes, "panic"), "the name stands in the title of the document");
}

#[test]
fn the_json_carries_the_movements_and_the_words() {
    let value = json(&simple("Tomas Quill"));
    assert_eq!(value["exercises"][0]["limbs"][0]["mover"], "left");
    assert_eq!(value["exercises"][0]["limbs"][0]["distances"][0]["distance_cm"], 40.0);
    assert_eq!(value["exercises"][0]["limbs"][0]["movements"][0]["bearing"], 270);
    assert_eq!(value["invented"], "Invented person, for demonstration");
    assert_eq!(value["use_until"], "2026-12-09");
}

#[test]
fn where_two_floors_would_be_too_small_each_limb_gets_a_page() {
    use AnatomicalDirection::{Anterior, Anterolateral, Lateral, Posterior, Posterolateral};
    let five = [Anterior, Anterolateral, Lateral, Posterolateral, Posterior].map(|d| (d, 30.0));
    let mut crowded = Plan::of(Family::Step, &five);
    crowded.support = movement::Support::BothHands;
    crowded.place = Some(common::frame());
    let mut reader = person("Nadia Osei");
    let settings = settings(closed_crossings(Family::Step));
    let count = |reader: &person::Person| {
        let handout = sheet(&[crowded.clone()], reader, &Clinic::default(), &settings);
        pages(&pdf(&handout, PdfSettings { paper: Paper::Letter, ..ACCESSIBLE }).expect("a sheet"))
    };
    assert_eq!(count(&reader), 5);
    // The line for an interpreter takes the room that the floors need on the shorter paper.
    reader.interpreter = Some("a language whose name is so long that it takes several lines ".repeat(4));
    assert!(count(&reader) >= 6);
}

#[test]
fn every_edition_is_accessible_in_every_language() {
    for language in Language::ALL {
        let beside = if language == Language::English { Language::Spanish } else { Language::English };
        for edition in
            [Edition::Standard, Edition::LargeType, Edition::Bilingual { beside }, Edition::Numerals]
        {
            let own = SheetSettings {
                wording: Wording { language, units: Units::Metric },
                edition,
                rules_beside: settings(Vec::new()).rules,
                ..settings(Vec::new())
            };
            let plan = Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, 40.0)]);
            let handout = sheet(&[plan], &person("Tomas Quill"), &Clinic::default(), &own);
            let bytes = pdf(&handout, ACCESSIBLE).expect("a sheet");
            assert!(contains(&bytes, "pdfuaid"), "PDF/UA identification");
            assert_eq!(languages(&bytes), languages_of(language, edition), "{language}, {edition:?}");
        }
    }
}

/// The languages that the file tags its pieces with, and its own.
fn languages(bytes: &[u8]) -> BTreeSet<String> {
    let pdf = hayro_syntax::Pdf::new(bytes.to_vec()).expect("a PDF");
    let mut out = BTreeSet::new();
    for object in pdf.objects() {
        if let hayro_syntax::object::Object::Dict(dict) = object
            && let Some(tag) = dict.get::<hayro_syntax::object::String<'_>>(&b"Lang"[..])
        {
            out.insert(String::from_utf8_lossy(&tag).into_owned());
        }
    }
    out
}

fn languages_of(language: Language, edition: Edition) -> BTreeSet<String> {
    let mut out = BTreeSet::from([language.code().to_owned()]);
    if let Edition::Bilingual { beside } = edition {
        out.insert(beside.code().to_owned());
    }
    out
}

/// Whatever stands in a record comes out: markup stays text, a letter that is missing stops nothing.
#[test]
fn a_summary_of_a_record_is_set_whatever_stands_in_it() {
    let of = |words: &str| Summary {
        title: "Summary of the record".to_owned(),
        person: "Tomas Quill".to_owned(),
        made_on: jiff::civil::date(2026, 11, 25),
        invented: true,
        sections: vec![SummarySection {
            title: "Findings".to_owned(),
            lines: vec![SummaryLine { label: "Remark".to_owned(), words: words.to_owned() }],
            empty: "Nothing was found yet.".to_owned(),
        }],
    };
    let plain = summary_pdf(&of("#panic() *b* $x$ ]"), Paper::A4).expect("a summary");
    assert!(plain.starts_with(b"%PDF-") && contains(&plain, "pdfuaid"));
    assert_eq!(pages(&plain), 1);
    assert_eq!(plain, summary_pdf(&of("#panic() *b* $x$ ]"), Paper::A4).expect("the same bytes"));
    let boxes = summary_pdf(&of("木"), Paper::Letter).expect("a summary with a box");
    assert!(boxes.starts_with(b"%PDF-") && !contains(&boxes, "pdfuaid"));
    assert!(pages(&summary_pdf(&of(&"word ".repeat(4000)), Paper::A4).expect("long")) > 2);
}
