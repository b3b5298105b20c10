//! The chain for one person, part by part and whole.

use app::{
    Outcome, PersonToday, demo_cases, handout_of_plan, page_of_plan, plan_case, practice_site, silent, survey,
};
use divan::Bencher;
use document::{Language, PageOrder, PageSettings, PageStore, Paper, PdfSettings, Tagging, Units};
use jiff::civil::{Date, date};
use person::CaseFile;

fn main() {
    divan::main();
}

/// The first, and the one with the largest open space.
const PEOPLE: [usize; 2] = [0, 9];

fn person(index: usize) -> (CaseFile, Date) {
    let case = demo_cases()[index].read().expect("a case of ours");
    let today = app::day_of(&case, None, date(2026, 2, 4));
    (case, today)
}

fn planned(index: usize) -> (CaseFile, Date, Box<app::Plan>) {
    let (case, today) = person(index);
    match plan_case(&case, today, &silent) {
        Outcome::Programme(plan) => (case, today, plan),
        other => panic!("{other:?}"),
    }
}

const PDF: PdfSettings = PdfSettings { paper: Paper::A4, tagging: Tagging::Accessible };

#[divan::bench(args = PEOPLE)]
fn a_parse(bencher: Bencher, index: usize) {
    bencher.bench(|| demo_cases()[index].read());
}

#[divan::bench(args = PEOPLE)]
fn b_allowed_space(bencher: Bencher, index: usize) {
    let (case, today) = person(index);
    bencher.bench(|| PersonToday::of(&case, today));
}

#[divan::bench(args = PEOPLE, sample_count = 5)]
fn c_survey(bencher: Bencher, index: usize) {
    let (case, today) = person(index);
    let person = PersonToday::of(&case, today);
    bencher.bench(|| survey(&person, &silent));
}

#[divan::bench(args = PEOPLE, sample_count = 5)]
fn d_survey_candidates_and_plan(bencher: Bencher, index: usize) {
    let (case, today) = person(index);
    bencher.bench(|| plan_case(&case, today, &silent));
}

#[divan::bench(args = PEOPLE)]
fn e_handout(bencher: Bencher, index: usize) {
    let (case, today, plan) = planned(index);
    bencher.bench(|| handout_of_plan(&plan, &case, today));
}

#[divan::bench(args = PEOPLE, sample_count = 10)]
fn f_pdf(bencher: Bencher, index: usize) {
    let (case, today, plan) = planned(index);
    let sheet = handout_of_plan(&plan, &case, today);
    bencher.bench(|| document::pdf(&sheet, PDF));
}

#[divan::bench(args = PEOPLE, sample_count = 5)]
fn g_whole_chain(bencher: Bencher, index: usize) {
    bencher.bench(|| {
        let (case, today, plan) = planned(index);
        let sheet = handout_of_plan(&plan, &case, today);
        [Paper::A4, Paper::Letter].map(|paper| document::pdf(&sheet, PdfSettings { paper, ..PDF }))
    });
}

/// Promised: below 100 ms.
#[divan::bench(args = PEOPLE, sample_count = 20)]
fn h_practice_page(bencher: Bencher, index: usize) {
    let (case, today, plan) = planned(index);
    let choice = PageSettings {
        language: Language::English,
        units: Units::Metric,
        order: PageOrder::Round,
        store: PageStore::of([7; 40]),
    };
    bencher.bench(|| page_of_plan(&plan, &case, today, &choice));
}

#[divan::bench(sample_count = 5)]
fn i_practice_site() {
    divan::black_box(practice_site(None));
}
