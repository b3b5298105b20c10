//! What came home, with a programme and a day: what it may lead to, and what is written down of it.

use app::{
    Adapted, Earlier, Outcome, Proposal, adapt_programme, demo_cases, plan_case, prescription_of, silent,
};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use person::{CaseFile, HowKnown, OrderedLimit, SurgeonOrder};
use programme::Programme;
use progress::{Done, Morning, Session, StopSign, Whole};

const WELL: Done = Done::Done { pain: Some(0), rung: progress::Rung::Whole };

fn story(index: usize) -> (CaseFile, Date, Programme) {
    let case = demo_cases()[index].read().unwrap_or_else(|e| panic!("{e}"));
    let today = app::day_of(&case, None, date(2000, 1, 1));
    match plan_case(&case, today, &silent) {
        Outcome::Programme(plan) => (case, today, plan.programme),
        other => panic!("{other:?}"),
    }
}

fn later(day: Date, days: i64) -> Date {
    day.checked_add(days.days()).expect("a day")
}

/// A day of the programme on which all of it was done, nothing hurt, and the morning after was the same.
fn good(programme: &Programme, after: i64) -> Session {
    Session {
        on: later(programme.for_day, after),
        nth: 1,
        pain_before: Some(0),
        cells: prescription_of(programme).cells.into_iter().map(|cell| (cell, WELL)).collect(),
        stopped: None,
        effort: Some(4),
        morning: Some(Morning::Same),
    }
}

fn adapted(case: &CaseFile, programme: &Programme, (after, log): (i64, &[Session])) -> Adapted {
    let today = later(programme.for_day, after);
    adapt_programme(case, today, programme, log, &Earlier::default()).unwrap_or_else(|e| panic!("{e}"))
}

fn steps_up(adapted: &Adapted) -> Vec<&Proposal> {
    adapted.proposals.iter().filter(|one| one.variable.is_some()).collect()
}

/// A joint that was told of as swollen, today or on a day before, gets no step up, and the text says why.
#[test]
fn a_joint_that_was_told_of_as_swollen_gets_no_step_up() {
    let (case, _, programme) = story(11);
    let days: Vec<Session> = (0..5).map(|after| good(&programme, after)).collect();
    let well = adapted(&case, &programme, (5, &days));
    assert!(!steps_up(&well).is_empty(), "else the rest says nothing: {}", well.text());
    for after in 1..=5 {
        let mut log = days.clone();
        log.retain(|session| session.on != later(programme.for_day, after));
        log.push(Session { stopped: Some(StopSign::Swelling), ..good(&programme, after) });
        let now = adapted(&case, &programme, (5, &log));
        assert!(
            steps_up(&now).is_empty() && now.adaptation.whole < Whole::Free,
            "day {after}: {}",
            now.text()
        );
        assert!(now.text().contains("the joint swelled more"), "{}", now.text());
    }
}

/// An order accepts pain of both legs from its first day on, and as much as was accepted on each day.
#[test]
fn pain_is_monitored_by_an_order_of_both_legs_since_its_first_day() {
    let (case, _, programme) = story(11);
    let order = |pain, side, from| SurgeonOrder {
        limit: OrderedLimit::PainUpTo(pain),
        side,
        by: "Tarn, physiotherapist".to_owned(),
        known: HowKnown::SpokenToTeam,
        from: later(programme.for_day, from),
        until: None,
    };
    let monitored = |orders: Vec<SurgeonOrder>| {
        let mut case = case.clone();
        case.findings.orders.extend(orders);
        let now = adapted(&case, &programme, (5, &[good(&programme, 3)]));
        now.adaptation.monitored.map(|one| (one.up_to(), one.since()))
    };
    let since = |after| later(programme.for_day, after);
    assert_eq!(monitored(vec![order(4, None, 2)]), Some((4, since(2))));
    assert_eq!(monitored(vec![order(4, None, 6)]), None);
    for side in anatomy::Side::BOTH {
        assert_eq!(monitored(vec![order(4, Some(side), 2)]), None, "{side}");
        assert_eq!(monitored(vec![order(4, None, 2), order(2, Some(side), 3)]), Some((2, since(2))));
    }
    // Less was accepted until yesterday, so yesterday no more is.
    let less = SurgeonOrder { until: Some(since(3)), ..order(1, None, 0) };
    assert_eq!(monitored(vec![order(4, None, 2), less]), Some((4, since(4))));
}
