//! The published rules and the house rule, one case each.

use anatomy::Side;
use progress::{
    Adaptation, Carried, Circumstances, Cleared, Done, Effusion, Monitored, Morning, Rung, Session, Step,
    StopSign, Swelling, Whole, adapt, stop_signs,
};
use safety::Irritability;

use crate::{FROM, adapted, around, asked, cells, day, good, steps, with};

const HURT: Done = Done::Done { pain: Some(1), rung: Rung::Whole };

fn rules(of: &Adaptation) -> Vec<&'static str> {
    of.reasons.iter().map(|one| one.reason.rule).collect()
}

/// Strict, pain 1 in posterior: the distance times 0.75; again, times 0.5; again, left out and held.
#[test]
fn strict_pain_shortens_then_halves_then_leaves_out() {
    let posterior = 1;
    let mut log: Vec<Session> = (0..4).map(good).collect();
    for (after, expected) in [(4, Step::Shorten), (5, Step::Halve), (6, Step::LeaveOut)] {
        log.push(with(good(after), posterior, HURT));
        let now = adapted(&log);
        let all = steps(&now);
        assert_eq!(all[posterior], expected);
        assert!(all.iter().enumerate().all(|(at, step)| at == posterior || *step == Step::Hold), "{all:?}");
        assert_eq!(now.whole, Whole::Hold);
        assert_eq!(rules(&now), ["LOG-ONE-THING"]);
    }
}

/// The pain rule of the session itself counts: left out on the day is left out.
#[test]
fn what_the_session_came_to_is_where_it_stands() {
    for (rung, expected) in
        [(Rung::Shortened, Step::Shorten), (Rung::Supported, Step::Halve), (Rung::LeftOut, Step::LeaveOut)]
    {
        let told = Done::Done { pain: Some(3), rung };
        let log: Vec<Session> = (0..6).map(good).chain([with(good(6), 2, told)]).collect();
        assert_eq!(steps(&adapted(&log))[2], expected);
    }
}

#[test]
fn three_painless_sessions_in_a_row_bring_it_back_one_rung_but_not_within_a_week() {
    let swelling = Swelling::default();
    let step = |log: &[Session], today| {
        adapt(&asked(), log, &Circumstances { today: day(today), ..around(&swelling) }).cells[0].step
    };
    let mut log = vec![with(good(0), 0, HURT), good(1), good(2)];
    assert_eq!(step(&log, 8), Step::Shorten, "two quiet sessions");
    log.push(good(3));
    assert_eq!(step(&log, 7), Step::Shorten, "quiet, and only a week ago");
    assert_eq!(step(&log, 8), Step::Progress);
    let mut twice = vec![with(good(0), 0, HURT), with(good(1), 0, HURT), good(2), good(3), good(4)];
    assert_eq!(step(&twice, 8), Step::Halve, "within a week of the pain nothing comes back");
    assert_eq!(step(&twice, 9), Step::Shorten, "from the second rung to the first");
    let mut evening = with(good(0), 0, HURT);
    evening.nth = 2;
    assert_eq!(step(&[with(good(0), 0, HURT), evening], 3), Step::Shorten, "twice on one day is once");
    twice.extend([good(5), good(6), good(7)]);
    assert_eq!(step(&twice, 9), Step::Progress);
    // Carried from an earlier programme, and told that the notes may go.
    let cell = cells()[0];
    let carried = [Carried {
        mover: cell.mover,
        bearing: cell.bearing,
        family: Some(cell.family),
        rung: Rung::Shortened,
    }];
    let around = Circumstances { carried: &carried, ..around(&swelling) };
    let now = adapt(&asked(), &(0..7).map(good).collect::<Vec<_>>(), &around);
    assert!(now.cells[0].quiet_again && !now.cells[1].quiet_again);
    // The whole goes back, waits or holds: then the notes stay too.
    let stepped =
        Circumstances { irritability: Irritability::Moderate, last_step_up: Some(day(6)), ..around };
    let held = adapt(&asked(), &(0..7).map(good).collect::<Vec<_>>(), &stepped);
    assert_eq!((held.whole, held.cells[0].quiet_again), (Whole::Hold, false), "{:?}", held.reasons);
    // Carried and hurting once more goes to the next rung, not to the first again.
    let hurting = adapt(&asked(), &[good(0), with(good(1), 0, HURT)], &around);
    assert_eq!(hurting.cells[0].step, Step::Halve);
    let after_quiet = [good(0), good(1), good(2), good(3), with(good(4), 0, HURT)];
    assert_eq!(
        adapt(&asked(), &after_quiet, &around).cells[0].step,
        Step::Halve,
        "it hurt at the shortened distance"
    );
}

/// Monitored, pain 4 and the next morning at baseline: allowed, held.
#[test]
fn accepted_pain_that_settles_holds() {
    let accepted = Monitored::by("Tarn, physiotherapist", "tendon", FROM, 5).unwrap();
    let swelling = Swelling::default();
    let around = Circumstances { monitored: Some(&accepted), ..around(&swelling) };
    let told = |pain, morning| {
        let done = Done::Done { pain: Some(pain), rung: Rung::Whole };
        let log: Vec<Session> =
            (0..7).map(|after| Session { morning: Some(morning), ..with(good(after), 0, done) }).collect();
        adapt(&asked(), &log, &around)
    };
    assert_eq!(told(4, Morning::Same).cells[0].step, Step::Hold);
    assert_eq!(told(2, Morning::Same).cells[0].step, Step::Progress, "safe");
    assert_eq!(told(6, Morning::Same).cells[0].step, Step::LeaveOut, "more than was accepted, seven times");
    let unsettled = told(4, Morning::Worse(Some(1)));
    assert_eq!(unsettled.cells[0].step, Step::LeaveOut);
    assert_eq!(
        unsettled.whole,
        Whole::Hold,
        "a mild morning rests a day and repeats: {:?}",
        unsettled.reasons
    );
    assert!(told(4, Morning::Worse(Some(2))).backs_off());
    // The same log without anybody who accepted it is strict.
    let done = Done::Done { pain: Some(2), rung: Rung::Whole };
    assert_eq!(adapted(&[with(good(6), 0, done)]).cells[0].step, Step::Shorten);
}

/// Accepted since day 4: what hurt before was not accepted when it hurt.
#[test]
fn pain_is_not_accepted_backwards() {
    let accepted = Monitored::by("Tarn, physiotherapist", "tendon", day(4), 5).unwrap();
    let swelling = Swelling::default();
    let around = Circumstances { monitored: Some(&accepted), ..around(&swelling) };
    let hurt = |after| with(good(after), 0, Done::Done { pain: Some(3), rung: Rung::Whole });
    let mild = |after| Session { morning: Some(Morning::Worse(Some(1))), ..good(after) };
    let log = |other: Session| -> Vec<Session> {
        (0..7).map(|after| if other.on == day(after) { other.clone() } else { good(after) }).collect()
    };
    let step = |log: &[Session]| adapt(&asked(), log, &around).cells[0].step;
    assert_eq!(step(&log(hurt(3))), Step::Shorten);
    assert_eq!(step(&log(hurt(4))), Step::Progress);
    // A mild morning is one only since then, too.
    let rests = |log: &[Session]| !adapt(&asked(), log, &around).backs_off();
    assert!(!rests(&log(mild(3))[..6]) && rests(&log(mild(4))[..6]));
}

#[test]
fn monitored_pain_that_rises_from_week_to_week_holds() {
    let accepted = Monitored::by("Tarn", "tendon", FROM, 5).unwrap();
    let swelling = Swelling::default();
    let around = Circumstances { today: day(14), monitored: Some(&accepted), ..around(&swelling) };
    let pain = |after: i64| Done::Done { pain: Some(if after < 7 { 1 } else { 2 }), rung: Rung::Whole };
    let log: Vec<Session> = (0..14).map(|after| with(good(after), 0, pain(after))).collect();
    let now = adapt(&asked(), &log, &around);
    assert_eq!((now.whole, rules(&now)), (Whole::Hold, vec!["LOG-RISING"]));
}

/// Two plus holds; the third time it is referred.
#[test]
fn swelling_holds_and_the_third_time_refers() {
    let log: Vec<Session> = (0..7).map(good).collect();
    let grade = |after, grade| Effusion { on: day(after), side: Side::Right, grade };
    let with = |found: Vec<Effusion>, episodes_before| {
        let swelling = Swelling { found, episodes_before };
        adapt(&asked(), &log, &around(&swelling))
    };
    assert_eq!(with(vec![grade(6, 3)], 0).whole, Whole::Hold);
    assert_eq!(with(vec![grade(6, 3)], 2).whole, Whole::Refer);
    assert_eq!(with(vec![grade(2, 3), grade(4, 3), grade(6, 3)], 0).whole, Whole::Refer);
    assert_eq!(with(vec![grade(2, 3), grade(6, 2)], 0).whole, Whole::Hold, "one plus after two plus repeats");
    assert_eq!(with(vec![grade(2, 3), grade(6, 1)], 0).whole, Whole::Free, "trace goes on");
    assert_eq!(with(vec![grade(2, 0), grade(6, 2)], 0).whole, Whole::BackOff, "up a grade");
    assert_eq!(with(vec![grade(6, 2)], 0).whole, Whole::Free, "one plus goes on");
}

/// Swelling that was told of under the programme before counts to the third time as well.
#[test]
fn swelling_told_of_before_this_programme_counts_to_the_third_time() {
    let swollen = |after| Session { stopped: Some(StopSign::Swelling), ..good(after) };
    let log = [swollen(-20), swollen(-10), good(4), good(5), good(6)];
    let found = |grade: u8| {
        let swelling =
            Swelling { found: vec![Effusion { on: day(6), side: Side::Left, grade }], episodes_before: 0 };
        adapt(&asked(), &log, &around(&swelling)).whole
    };
    assert_eq!(found(3), Whole::Refer);
    assert_ne!(found(2), Whole::Refer, "twice");
    let to_come = [swollen(-20), swollen(3), swollen(9)];
    assert_ne!(adapted(&to_come).whole, Whole::Refer, "today is day 7");
    assert_eq!(adapted(&[swollen(-20), swollen(-10), swollen(3)]).whole, Whole::Refer);
}

#[test]
fn a_worse_morning_or_two_directions_go_back_one_level_until_it_was_quiet() {
    let morning = Session { morning: Some(Morning::Worse(Some(1))), ..good(3) };
    let two = with(with(good(3), 0, HURT), 4, HURT);
    for bad in [morning, two] {
        let mut log = vec![good(2), bad, good(4), good(5)];
        assert_eq!(adapted(&log).whole, Whole::BackOff);
        log.push(good(6));
        let now = adapted(&log);
        assert_eq!(now.whole, Whole::Hold, "three quiet sessions, and less than a week ago");
        assert!(!now.backs_off());
    }
}

/// A morning that nobody told is not a quiet one; one that nobody can have asked about yet neither counts nor spoils.
#[test]
fn an_untold_morning_is_not_quiet() {
    let worse = Session { morning: Some(Morning::Worse(Some(1))), ..good(1) };
    let untold = |after| Session { morning: None, ..good(after) };
    let whole = |log: &[Session]| adapted(log).whole;
    let quiet = [worse.clone(), good(2), good(3), good(4)];
    assert_eq!(whole(&quiet), Whole::Hold);
    assert_eq!(
        whole(&[worse.clone(), good(2), untold(3), good(4), good(5)]),
        Whole::BackOff,
        "two told since"
    );
    assert_eq!(whole(&[worse.clone(), untold(2), untold(3), untold(4)]), Whole::BackOff);
    assert_eq!(
        whole(&[worse.clone(), good(2), good(3), untold(6)]),
        Whole::BackOff,
        "yesterday is not told yet"
    );
    assert_eq!(whole(&[&quiet[..], &[untold(6), untold(7)]].concat()), Whole::Hold);
    // A session of which only the morning was told ends the row as well.
    let mut nothing_done = Session { morning: Some(Morning::Worse(None)), ..good(5) };
    nothing_done.cells.clear();
    assert_eq!(whole(&[&quiet[..], &[nothing_done]].concat()), Whole::BackOff);
    // What was left out is offered after as many sessions that were told.
    let right = movement::Bearing::ALL[2];
    let gone = Carried { mover: Side::Right, bearing: right, family: None, rung: Rung::LeftOut };
    let swelling = Swelling::default();
    let around = Circumstances { carried: &[gone], ..around(&swelling) };
    let offered = |log: &[Session]| adapt(&asked(), log, &around).offer_again.len();
    assert_eq!(offered(&[good(3), good(4), good(5)]), 1);
    assert_eq!(offered(&[untold(3), untold(4), untold(5)]), 0);
}

#[test]
fn stop_signs_stop_until_a_clinician_cleared_them() {
    let log = [Session { stopped: Some(StopSign::SeenToday), ..good(2) }, good(5), good(6)];
    let now = adapted(&log);
    assert_eq!((now.whole, now.cells.len()), (Whole::Stop, 0));
    assert!(
        now.reasons[0].reason.words.contains("call the surgical team or the clinic"),
        "{:?}",
        now.reasons
    );
    let swelling = Swelling::default();
    let whole = |told: &[Session], looked_at: &[Session]| {
        let cleared = Cleared {
            by: "Tarn".to_owned(),
            on: day(5),
            why: "calf examined, no clot".to_owned(),
            signs: stop_signs(looked_at),
        };
        adapt(&asked(), told, &Circumstances { cleared: Some(&cleared), ..around(&swelling) }).whole
    };
    assert_ne!(whole(&log, &log), Whole::Stop);
    assert_eq!(whole(&log, &[]), Whole::Stop, "nobody looked at that one");
    // What is told after somebody looked stops again: later that day, of a day before it, or a worse sign.
    let sign = |sign, after, nth| Session { stopped: Some(sign), nth, ..good(after) };
    for later in [
        sign(StopSign::SeenToday, 2, 2),
        sign(StopSign::SeenToday, 5, 1),
        sign(StopSign::Unwell, 1, 1),
        sign(StopSign::Emergency, 2, 1),
    ] {
        let told = [&log[..], std::slice::from_ref(&later)].concat();
        assert_eq!(whole(&told, &log), Whole::Stop, "{later:?}");
        assert_ne!(whole(&told, &told), Whole::Stop);
    }
}

/// Who looked at a calf has not undone that the joint swelled: that goes back a level until it was quiet.
#[test]
fn clearing_one_sign_waives_no_other() {
    let stop = Session { stopped: Some(StopSign::Unwell), ..good(2) };
    for other in [StopSign::PainStays, StopSign::Swelling, StopSign::Unsteady] {
        let log = [stop.clone(), Session { stopped: Some(other), ..good(5) }, good(6)];
        let cleared =
            Cleared { by: "Tarn".to_owned(), on: day(7), why: "seen".to_owned(), signs: stop_signs(&log) };
        let swelling = Swelling::default();
        let now = adapt(&asked(), &log, &Circumstances { cleared: Some(&cleared), ..around(&swelling) });
        assert_eq!(now.whole, Whole::BackOff, "{other:?}: {:?}", now.reasons);
    }
}

#[test]
fn a_step_up_needs_two_clean_days_effort_and_mornings() {
    let clean: Vec<Session> = (0..7).map(good).collect();
    let last = |change: &dyn Fn(&mut Session)| {
        let mut log = clean.clone();
        change(&mut log[6]);
        adapted(&log)
    };
    assert_eq!(last(&|_| {}).cells[0].step, Step::Progress);
    for (told, change) in [
        ("effort 7", &(|s: &mut Session| s.effort = Some(7)) as &dyn Fn(&mut Session)),
        ("effort not said", &|s| s.effort = None),
        ("morning not said", &|s| s.morning = None),
        ("not done", &|s| s.cells[0].1 = Done::NotDone),
        ("reduced", &|s| s.cells[0].1 = Done::Done { pain: Some(0), rung: Rung::Shortened }),
    ] {
        assert!(last(change).cells[0].step < Step::Progress, "{told}");
    }
    // One day of practice, twice: the second day is missing.
    let mut evening = good(6);
    evening.nth = 2;
    assert_eq!(adapted(&[good(6), evening]).cells[0].step, Step::Hold);
}

#[test]
fn no_second_step_up_in_a_week_while_irritability_is_moderate() {
    let log: Vec<Session> = (0..7).map(good).collect();
    let swelling = Swelling::default();
    let whole = |irritability, after| {
        let around = Circumstances { irritability, last_step_up: Some(day(after)), ..around(&swelling) };
        adapt(&asked(), &log, &around).whole
    };
    assert_eq!(whole(Irritability::Low, 3), Whole::Free);
    assert_eq!(whole(Irritability::Moderate, 3), Whole::Hold);
    assert_eq!(whole(Irritability::Moderate, 0), Whole::Free, "seven days");
}

#[test]
fn little_practice_holds_and_with_pain_goes_back() {
    let seldom = vec![good(5), good(6)];
    assert_eq!(adapted(&seldom).whole, Whole::Hold);
    assert_eq!(rules(&adapted(&seldom)), ["LOG-LITTLE"]);
    let painful = vec![with(good(5), 0, HURT), good(6)];
    assert_eq!(adapted(&painful).whole, Whole::BackOff);
    // Two days a week were asked for: two are enough.
    let swelling = Swelling::default();
    let around = Circumstances { days_a_week: 2, ..around(&swelling) };
    assert_eq!(adapt(&asked(), &seldom, &around).whole, Whole::Free);
}

#[test]
fn twelve_days_without_a_log_hold() {
    let swelling = Swelling::default();
    let around = Circumstances { today: day(14), ..around(&swelling) };
    let now = adapt(&asked(), &[good(0), good(1), good(2)], &around);
    assert_eq!(now.whole, Whole::Hold);
    assert!(rules(&now).contains(&"LOG-OLD"));
    assert!(now.reasons.iter().any(|one| one.reason.words == "Nothing was logged for 12 days: ask why before anything changes."));
}

#[test]
fn a_left_out_direction_is_offered_after_three_quiet_sessions_and_only_then() {
    // Left out, so not in the programme: the right leg to the side.
    let right = movement::Bearing::ALL[2];
    let gone = Carried { mover: Side::Right, bearing: right, family: None, rung: Rung::LeftOut };
    let swelling = Swelling::default();
    let around = Circumstances { carried: &[gone], ..around(&swelling) };
    let offered = |log: &[Session]| adapt(&asked(), log, &around).offer_again.len();
    assert_eq!(offered(&[good(5), good(6)]), 0);
    assert_eq!(offered(&[good(4), good(5), good(6)]), 1);
    assert_eq!(offered(&[good(4), good(5), good(6), with(good(7), 3, HURT)]), 0);
}

#[test]
fn a_halved_direction_is_offered_again_only_while_it_is_not_in_the_programme_and_once() {
    let step = movement::Family::Step;
    let of = |at: usize, family, rung| Carried {
        mover: Side::Right,
        bearing: movement::Bearing::ALL[at],
        family,
        rung,
    };
    let offered = |carried: &[Carried]| -> Vec<(u16, Option<movement::Family>)> {
        let swelling = Swelling::default();
        let around = Circumstances { carried, ..around(&swelling) };
        let now = adapt(&asked(), &[good(4), good(5), good(6)], &around);
        let of = |one: &progress::OfferAgain| (one.direction.bearing.degrees(), one.direction.family);
        now.offer_again.iter().map(of).collect()
    };
    // The right leg steps forward in this programme, and nowhere to the side.
    assert_eq!(offered(&[of(0, Some(step), Rung::Supported)]), []);
    assert_eq!(offered(&[of(2, Some(step), Rung::Supported)]), [(90, Some(step))]);
    assert_eq!(offered(&[of(0, Some(movement::Family::BendAndReach), Rung::Supported)]).len(), 1);
    assert_eq!(offered(&[of(2, Some(step), Rung::Shortened)]), []);
    // What is known of a family is told once, and what is known of all of them not beside it.
    let all =
        [of(2, None, Rung::Supported), of(2, Some(step), Rung::LeftOut), of(2, Some(step), Rung::Supported)];
    assert_eq!(offered(&all), [(90, Some(step))]);
    let now = {
        let swelling = Swelling::default();
        let around = Circumstances { carried: &all[2..], ..around(&swelling) };
        adapt(&asked(), &[good(4), good(5), good(6)], &around)
    };
    assert_eq!(
        now.offer_again[0].reason.words,
        "The right leg going right in a step hurt twice and is not in this programme; the last 3 sessions were free of pain: the therapist may offer it again, shorter."
    );
}

#[test]
fn pain_of_a_hand_carried_from_before_says_nothing_of_the_foot() {
    let cell = cells()[0];
    let carried = |family| {
        let one = Carried { mover: cell.mover, bearing: cell.bearing, family, rung: Rung::Shortened };
        let swelling = Swelling::default();
        let around = Circumstances { carried: &[one], ..around(&swelling) };
        adapt(&asked(), &[good(0), with(good(1), 0, HURT)], &around).cells[0].step
    };
    assert_eq!(carried(Some(movement::Family::BendAndReach)), Step::Shorten);
    assert_eq!(carried(Some(cell.family)), Step::Halve);
    assert_eq!(carried(None), Step::Halve, "nobody said which");
}

/// Two days were asked for twice a day, and the third day is not asked about; what is done today and after the last day
/// is no practice of the days before.
#[test]
fn sessions_of_today_and_after_the_last_day_do_not_make_up_for_days_without() {
    let swelling = Swelling::default();
    let share = |log: &[Session], until: i64, today: i64| {
        let asked = progress::Prescription { until: day(until), a_day: 2, ..asked() };
        let now = adapt(&asked, log, &Circumstances { today: day(today), ..around(&swelling) });
        (now.counted.sessions, now.counted.practised.map(|share| share.in_percent().round()))
    };
    let log: Vec<Session> = (0..14).map(good).collect();
    assert_eq!(share(&log, 6, 14), (14, Some(50.0)), "seven of fourteen, the last day counted");
    assert_eq!(share(&log, 27, 13), (14, Some(50.0)), "thirteen of twenty-six before today");
    assert_eq!(share(&log[..7], 27, 14), (7, Some(25.0)));
}
