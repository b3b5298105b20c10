//! A second survey or plan with changed findings is the one that would be computed cold.

use app::{
    MotionCache, Outcome, PersonToday, demo_cases, plan_case, plan_case_again, silent, survey, survey_again,
};
use jiff::civil::{Date, date};
use person::CaseFile;

/// A person with much open space, and the same one with other findings.
fn two_visits() -> (CaseFile, CaseFile, Date) {
    let text = demo_cases()[9].text;
    let changed = text.replace("pain_in_movement = 2", "pain_in_movement = 4");
    assert_ne!(text, changed, "the case states this pain");
    let read = |text: &str| person::case_file::read("case", text).unwrap_or_else(|e| panic!("{e}"));
    let case = read(text);
    let today = app::day_of(&case, None, date(2000, 1, 1));
    (case, read(&changed), today)
}

#[test]
fn a_remembered_survey_is_the_cold_survey_to_the_last_digit_and_computes_less() {
    let (case, changed, today) = two_visits();
    let first = PersonToday::of(&case, today);
    let cache = MotionCache::of(&first);
    assert_eq!(survey_again(&first, &cache, &silent), survey(&first, &silent));
    let (kept, given) = (cache.len(), cache.given());
    let second = PersonToday::of(&changed, today);
    assert!(cache.fits(&second), "pain changes neither body nor strength");
    assert_eq!(survey_again(&second, &cache, &silent), survey(&second, &silent));
    let (computed, remembered) = (cache.len() - kept, cache.given() - given);
    assert!(remembered > 2 * computed, "{remembered} remembered, {computed} computed");
}

#[test]
fn a_cache_of_another_body_is_not_used() {
    let (case, _, today) = two_visits();
    let first = PersonToday::of(&case, today);
    let mut cache = MotionCache::of(&first);
    let other = demo_cases()[2].read().unwrap_or_else(|e| panic!("{e}"));
    let day = app::day_of(&other, None, today);
    assert!(!cache.fits(&PersonToday::of(&other, day)));
    let score = |outcome: Outcome| match outcome {
        Outcome::Programme(plan) => Some((plan.programme.score, plan.space)),
        Outcome::Alert(_) | Outcome::NoProgramme(_) => None,
    };
    let again = score(plan_case_again(&other, day, &mut cache, &silent));
    assert_eq!(again, score(plan_case(&other, day, &silent)));
    assert!(cache.fits(&PersonToday::of(&other, day)), "replaced");
}
