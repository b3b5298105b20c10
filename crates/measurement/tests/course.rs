//! The course of more than two sessions.

mod common;

use common::{close, day, key, reach, reading};
use measurement::{Course, Population, Reading, Scale, ScoreForm, Verdict, Way, course, important_change};
use proptest::prelude::*;

/// Pain on ten days, 6 5 6 5 4 4 3 4 3 2: Theil and Sen −0.4 a day (−0.5714 to −0.25), p 0.0017748.
#[test]
fn ten_days_of_pain_fall_by_the_worked_slope() {
    let days: Vec<Reading> = [6.0, 5.0, 6.0, 5.0, 4.0, 4.0, 3.0, 4.0, 3.0, 2.0]
        .into_iter()
        .zip(0..)
        .map(|(pain, n)| reading("pain_0_10", pain, ScoreForm::Single, Scale::Raw, day(n)))
        .collect();
    let anyone = Population::find("low_back_pain").expect("a group");
    let matters = important_change(key("pain_0_10"), Scale::Raw, anyone);
    let Course::Slope { verdict, way, a_week, interval: Some(interval), direction, .. } =
        course(&days.iter().collect::<Vec<_>>(), matters, None)
    else {
        panic!("a slope");
    };
    close(a_week, -0.4 * 7.0);
    close(interval.lower, -0.571_428_571_428_571_4 * 7.0);
    close(interval.upper, -0.25 * 7.0);
    close(direction, 1.0 - 0.001_774_775_997_594_332_1 / 2.0);
    // 0.25 a day over nine days are 2.25, and two points matter.
    assert_eq!((verdict, way), (Verdict::RealAndLarge, Way::Better));
}

#[test]
fn two_sessions_are_no_course_and_three_can_hardly_be_one() {
    let days: Vec<Reading> = [(70.0, 0), (75.0, 20), (80.0, 40)].map(|(v, n)| reach(v, day(n))).to_vec();
    let all: Vec<&Reading> = days.iter().collect();
    assert_eq!(course(&all[..2], None, None), Course::TooFew { sessions: 2 });
    assert_eq!(course(&[], None, None), Course::TooFew { sessions: 0 });
    assert!(matches!(
        course(&all, None, None),
        Course::Slope { verdict: Verdict::WithinNoise, way: Way::Better, .. }
    ));
}

/// Three days on a line by luck, error 2.9: half width z·2.9/√Σ(t − t̄)² with t 0, 20/7, 40/7 weeks is 1.407.
#[test]
fn values_on_a_line_by_luck_are_no_surer_than_the_test() {
    let days: Vec<Reading> = [(70.0, 0), (71.0, 20), (72.0, 40)].map(|(v, n)| reach(v, day(n))).to_vec();
    let all: Vec<&Reading> = days.iter().collect();
    let Course::Slope { a_week, interval: Some(interval), direction, .. } = course(&all, None, Some(2.9))
    else {
        panic!("a slope")
    };
    close(a_week, 0.35);
    close(interval.upper - a_week, 1.959_963_984_540_054 * 2.9 / (2.0_f64 * (20.0_f64 / 7.0).powi(2)).sqrt());
    assert!(direction < 0.70, "{direction}");
    let Course::Slope { interval: None, .. } = course(&all, None, None) else { panic!("too few days") };
    let steady: Vec<Reading> = (0..9).map(|n| reach(6.14 + 0.01 * f64::from(n), day(n))).collect();
    let steady: Vec<&Reading> = steady.iter().collect();
    let Course::Slope { verdict, .. } = course(&steady, None, Some(0.44)) else { panic!("a slope") };
    assert_eq!(verdict, Verdict::WithinNoise, "a tenth of a millimetre a day is nothing a tape can show");
}

#[test]
fn a_session_that_does_not_fit_is_named() {
    let mut days: Vec<Reading> = [(70.0, 0), (75.0, 20), (80.0, 40)].map(|(v, n)| reach(v, day(n))).to_vec();
    days[2].date = day(20);
    let all: Vec<&Reading> = days.iter().collect();
    assert!(matches!(course(&all, None, None), Course::NotComparable { session: 3, .. }));
    let mut days: Vec<Reading> = [(70.0, 0), (75.0, 20), (80.0, 40)].map(|(v, n)| reach(v, day(n))).to_vec();
    days[1].protocol = measurement::Protocol::default();
    let all: Vec<&Reading> = days.iter().collect();
    let said = course(&all, None, None).to_string();
    assert!(said.contains("session 2") && said.contains("was not recorded"), "{said}");
}

#[test]
fn values_that_never_move_are_no_trend() {
    let days: Vec<Reading> = (0..6).map(|n| reach(70.0, day(n * 7))).collect();
    let found = course(&days.iter().collect::<Vec<_>>(), None, None);
    assert!(
        matches!(found, Course::Slope { verdict: Verdict::WithinNoise, way: Way::Neither, .. }),
        "{found}"
    );
}

proptest! {
    /// One wild session does not turn a steady course round.
    #[test]
    fn one_odd_day_does_not_turn_the_course(odd in 1usize..9, value in 0.0..200.0f64) {
        let days: Vec<Reading> = (0..10_u8)
            .map(|n| {
                let steady = 60.0 + f64::from(n);
                reach(if usize::from(n) == odd { value } else { steady }, day(n as i8 * 7))
            })
            .collect();
        let all: Vec<&Reading> = days.iter().collect();
        match course(&all, None, None) {
            Course::Slope { way, .. } => prop_assert_eq!(way, Way::Better),
            other => prop_assert!(false, "{}", other),
        }
    }
}
