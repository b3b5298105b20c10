//! The full space of one person, cold and with a changed finding; a survey cold and again; tests of today.
//!
//! `cargo bench -p app --no-default-features --bench space`

use app::{
    MotionCache, PersonToday, Repertoire, demo_cases, full_space, one_test, silent, survey, survey_again,
    tests_today,
};
use divan::Bencher;
use jiff::civil::{Date, date};
use person::CaseFile;

fn main() {
    divan::main();
}

/// The person with the largest open space.
fn person() -> (CaseFile, Date) {
    let case = demo_cases()[9].read().expect("a case of ours");
    let today = app::day_of(&case, None, date(2026, 2, 4));
    (case, today)
}

/// The same with another finding: pain.
fn in_pain() -> CaseFile {
    let text = demo_cases()[9].text.replace("pain_in_movement = 2", "pain_in_movement = 4");
    person::case_file::read("changed", &text).expect("a case of ours")
}

#[divan::bench(sample_count = 3, sample_size = 1)]
fn a_full_space_cold(bencher: Bencher) {
    let (case, today) = person();
    let person = PersonToday::of(&case, today);
    bencher.bench(|| full_space(&person, Repertoire::Usual).movements.len());
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn b_full_space_with_another_finding(bencher: Bencher) {
    let (case, today) = person();
    let space = full_space(&PersonToday::of(&case, today), Repertoire::Usual);
    let changed = in_pain();
    bencher.bench(|| space.permitted(&PersonToday::of(&changed, today)));
}

#[divan::bench(sample_count = 3, sample_size = 1)]
fn c_survey_cold(bencher: Bencher) {
    let (case, today) = person();
    let person = PersonToday::of(&case, today);
    bencher.bench(|| survey(&person, &silent));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn d_survey_with_another_finding(bencher: Bencher) {
    let (case, today) = person();
    let person = PersonToday::of(&case, today);
    let changed = in_pain();
    bencher
        .with_inputs(|| {
            let cache = MotionCache::of(&person);
            let _ = survey_again(&person, &cache, &silent);
            cache
        })
        .bench_values(|cache| survey_again(&PersonToday::of(&changed, today), &cache, &silent));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn e_tests_today(bencher: Bencher) {
    let (case, today) = person();
    bencher.bench(|| tests_today(&case, today, &silent));
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn f_one_test(bencher: Bencher) {
    let (case, today) = person();
    let reach = measurement::InstrumentKey::find("star_reach").expect("a test");
    let back = measurement::StanceDirection::named(movement::AnatomicalDirection::Posteromedial);
    bencher.bench(|| one_test(&case, today, reach, Some(anatomy::Side::Left), Some(back)));
}
