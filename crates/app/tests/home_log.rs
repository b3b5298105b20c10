//! What came home, with a programme and a day: what it may lead to, and what is written down of it.

use anatomy::Side;
use app::{
    Adapted, Earlier, Outcome, Proposal, adapt_programme, demo_cases, plan_case, prescription_of, silent,
    taken,
};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use movement::{Bearing, Family, MovementSpec};
use person::{CaseFile, HowKnown, HurtAt, OrderedLimit, SurgeonOrder};
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

/// The crane driver's left leg hurt once going forward, in a family or in one that nobody noted, and the programme
/// after it.
fn after_pain(family: Option<Family>) -> (CaseFile, Programme) {
    let (mut case, today, before) = story(11);
    let all = before.exercises.iter().flat_map(programme::Exercise::movements);
    let spec = all.map(|one| one.spec()).find(|spec| is_it(spec.family, spec.mover, spec.bearing));
    let spec = spec.expect("a step to the front").clone();
    case.findings.hurt.push(HurtAt {
        mover: spec.mover,
        bearing: spec.bearing,
        family,
        distance: spec.distance,
        pain: Some(3),
        settled: None,
        spreads: false,
        on: today,
    });
    match plan_case(&case, today, &silent) {
        Outcome::Programme(plan) => (case, plan.programme),
        other => panic!("{other:?}"),
    }
}

fn is_it(family: Family, mover: Side, bearing: Bearing) -> bool {
    (family, mover, bearing) == (Family::Step, Side::Left, Bearing::ALL[0])
}

/// A note goes where all that it counts for in the programme was done and is quiet, and only by the therapist's hand
/// where it names no movement.
#[test]
fn a_note_goes_only_where_all_it_counts_for_was_done_and_quiet() {
    let quiet = |family, skips: Option<Family>| {
        let (case, programme) = after_pain(family);
        let days: Vec<Session> = (0..5)
            .map(|after| {
                let mut session = good(&programme, after);
                let skipped = session.cells.iter_mut().filter(|(cell, _)| {
                    (cell.mover, cell.bearing) == (Side::Left, Bearing::ALL[0]) && Some(cell.family) == skips
                });
                skipped.for_each(|(_, done)| *done = Done::NotDone);
                session
            })
            .collect();
        let left = |family| {
            let all = prescription_of(&programme).cells;
            all.iter()
                .any(|one| (one.family, one.mover, one.bearing) == (family, Side::Left, Bearing::ALL[0]))
        };
        assert!(left(Family::Step) && left(Family::Reach), "the note counts for both: {programme:#?}");
        let now = adapted(&case, &programme, (5, &days));
        let of_notes = now.proposals.into_iter().filter(|one| one.rules == ["LOG-QUIET"]);
        of_notes.map(|one| one.only_offered).collect::<Vec<_>>()
    };
    let step = Some(Family::Step);
    assert_eq!(quiet(step, None), [false]);
    assert_eq!(quiet(step, Some(Family::Reach)), [false; 0], "the reach, which it counts for, was not done");
    assert_eq!(quiet(None, None), [true], "nobody noted in which movement");
}

/// Tolerated is what was done and did not hurt: not what stood on the sheet, nor what hurt and was not written down.
#[test]
fn what_was_not_done_or_hurt_is_not_called_tolerated() {
    let (case, _, programme) = story(11);
    let mut days: Vec<Session> = (0..5).map(|after| good(&programme, after)).collect();
    days.iter_mut().for_each(|day| day.cells[0].1 = Done::NotDone);
    days[3].cells[1].1 = Done::Done { pain: Some(2), rung: progress::Rung::Whole };
    let tolerated = |log: &[Session]| {
        let now = adapted(&case, &programme, (5, log));
        taken(&case, (&programme, &now), &[], "Tarn", &silent).case.last_programme.tolerated
    };
    let all: Vec<MovementSpec> = programme
        .exercises
        .iter()
        .flat_map(programme::Exercise::movements)
        .map(|one| MovementSpec { place: None, ..one.spec().clone() })
        .collect();
    assert_eq!(tolerated(&days), all[2..]);
    assert!(tolerated(&[]).is_empty(), "nothing was practised");
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
    for side in Side::BOTH {
        assert_eq!(monitored(vec![order(4, Some(side), 2)]), None, "{side}");
        assert_eq!(monitored(vec![order(4, None, 2), order(2, Some(side), 3)]), Some((2, since(2))));
    }
    // Less was accepted until yesterday, so yesterday no more is.
    let less = SurgeonOrder { until: Some(since(3)), ..order(1, None, 0) };
    assert_eq!(monitored(vec![order(4, None, 2), less]), Some((4, since(4))));
}
