//! A letter of the person with most measures: written, and set as PDF.

use app::{LetterSources, Measures, letter_base, letter_case, read_measures, silent};
use divan::Bencher;
use document::language::Language;
use document::{LetterKind, Paper, PdfSettings, Tagging, letter_pdf};
use jiff::civil::{Date, date};
use person::CaseFile;
use progress::{Activity, SportKind};

fn main() {
    divan::main();
}

const PDF: PdfSettings = PdfSettings { paper: Paper::A4, tagging: Tagging::Accessible };

fn person() -> (CaseFile, Date, Measures) {
    let case = app::demo_cases()[3].read().expect("a case of ours");
    let today = app::day_of(&case, None, date(2026, 2, 4));
    let file = app::demo_measures().iter().find(|one| one.file.contains("04-")).expect("measures of ours");
    let none = |name: &str| Err(format!("no `{name}`"));
    let measures = read_measures(file.file, file.text, &case, today, &none).expect("measures of ours");
    (case, today, measures)
}

fn sources<'a>(case: &'a CaseFile, today: Date, measures: Option<&'a Measures>) -> LetterSources<'a> {
    let activity = Activity::Sport(SportKind::Pivoting);
    LetterSources { case, today, author: None, measures, log: None, activity }
}

fn keys() -> impl Iterator<Item = &'static str> {
    LetterKind::ALL.iter().map(|kind| kind.key())
}

#[divan::bench(args = keys(), sample_count = 5)]
fn a_written(bencher: Bencher, key: &str) {
    let (case, today, measures) = person();
    let base = letter_base(&case, today, &silent).expect("no red flag");
    let kind = LetterKind::from_key(key).expect("a kind");
    let from = sources(&case, today, Some(&measures));
    bencher.bench(|| letter_case(kind, &from, &base, Language::French));
}

/// A red flag stops every letter.
fn without_a_red_flag() -> impl Iterator<Item = usize> {
    let flagged = |at: &usize| {
        let case = app::demo_cases()[*at].read().expect("a case of ours");
        matches!(case.findings.red_flags, person::Finding::Found { value, .. } if !value.is_empty())
    };
    (0..app::demo_cases().len()).filter(move |at| !flagged(at))
}

/// The question to the surgeon, for every person of the demo: how long it takes depends on what was ordered.
#[divan::bench(args = without_a_red_flag(), sample_count = 5)]
fn c_question(bencher: Bencher, person: usize) {
    let case = app::demo_cases()[person].read().expect("a case of ours");
    let today = app::day_of(&case, None, case.visit);
    let base = letter_base(&case, today, &silent).expect("no red flag");
    let from = sources(&case, today, None);
    let written = || letter_case(LetterKind::QuestionToSurgeon, &from, &base, Language::English);
    bencher.bench(|| letter_pdf(&written().expect("no red flag"), PDF));
}

#[divan::bench(args = keys(), sample_count = 10)]
fn b_pdf(bencher: Bencher, key: &str) {
    let (case, today, measures) = person();
    let base = letter_base(&case, today, &silent).expect("no red flag");
    let kind = LetterKind::from_key(key).expect("a kind");
    let from = sources(&case, today, Some(&measures));
    let letter = letter_case(kind, &from, &base, Language::French).expect("no red flag");
    bencher.bench(|| letter_pdf(&letter, PDF));
}
