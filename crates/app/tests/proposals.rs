//! Distinct programmes of invented people: what each trades away, and which wish to drop.

use app::{Outcome, Plan, demo_cases, plan_case_with_others, silent};
use jiff::civil::date;
use person::CaseFile;
use programme::{Days, Proof, Strong, Trained};
use quantity::Span;

fn planned(case: &CaseFile) -> Box<Plan> {
    let today = app::day_of(case, None, date(2000, 1, 1));
    match plan_case_with_others(case, today, 3, &silent) {
        Outcome::Programme(plan) => plan,
        other => panic!("{other:?}"),
    }
}

/// The postal worker with the sprained ankle.
fn postal_worker() -> CaseFile {
    demo_cases()[4].read().unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn three_distinct_programmes_are_proven_and_say_what_they_trade() {
    let plan = planned(&postal_worker());
    assert_eq!(plan.proof, Proof::Proven);
    assert_eq!(plan.others.len(), 2);
    let kinds = |p: &programme::Programme| {
        let mut all: Vec<String> =
            p.exercises.iter().map(|e| format!("{} {:?} {:?}", e.family, e.support, e.load)).collect();
        all.sort();
        all
    };
    let mut told = vec![kinds(&plan.programme)];
    let mut score = plan.programme.score;
    for other in &plan.others {
        assert!(other.programme.score <= score + 1e-9);
        score = other.programme.score;
        assert!(!told.contains(&kinds(&other.programme)));
        told.push(kinds(&other.programme));
        assert!(other.trades.contains("% less well"), "{}", other.trades);
        assert!(other.programme.minutes <= Span::min_(5.0));
    }
}

#[test]
fn a_minute_that_cannot_serve_every_wish_says_which_to_drop_and_what_it_would_take() {
    let mut case = postal_worker();
    case.wishes.minutes = Span::s(20.0);
    let today = app::day_of(&case, None, date(2000, 1, 1));
    let told = match plan_case_with_others(&case, today, 1, &silent) {
        Outcome::Programme(plan) => plan.conflict.map(|c| c.to_string()).unwrap_or_default(),
        Outcome::NoProgramme(none) => none.to_string(),
        Outcome::Alert(alert) => panic!("{alert}"),
    };
    assert!(told.contains("No programme serves all wishes"), "{told}");
    assert!(told.contains("Give it") || told.contains("give it"), "{told}");
}

#[test]
fn what_is_called_strength_is_for_two_or_three_days_and_nothing_else_is() {
    for demo in [4, 9] {
        let case = demo_cases()[demo].read().unwrap_or_else(|e| panic!("{e}"));
        let plan = planned(&case);
        let others = plan.others.iter().map(|o| &o.programme);
        for exercise in others.chain([&plan.programme]).flat_map(|p| &p.exercises) {
            let strong = |t: &Trained| matches!(t, Trained::Muscles { strong: Strong::Strength, .. });
            let wanted = if exercise.trains.iter().any(strong) { Days::TwoOrThreeApart } else { Days::Every };
            assert_eq!(exercise.days, wanted, "{}", exercise.family);
        }
    }
}
