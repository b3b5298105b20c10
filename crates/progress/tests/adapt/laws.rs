//! Laws that hold for every log.

use anatomy::Side;
use movement::Bearing;
use progress::{
    Carried, Cleared, Done, Effusion, Monitored, Morning, Rung, Session, Step, StopSign, Swelling, Whole,
    adapt, stop_signs,
};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use safety::Irritability;

use crate::{FROM, around, asked, cells, day, steps};

fn config() -> Config {
    Config { cases: 500, rng_seed: RngSeed::Fixed(9), failure_persistence: None, ..Config::default() }
}

fn rung() -> impl Strategy<Value = Rung> {
    prop_oneof![
        12 => Just(Rung::Whole),
        2 => Just(Rung::Shortened),
        1 => Just(Rung::Supported),
        1 => Just(Rung::LeftOut),
    ]
}

fn done() -> impl Strategy<Value = Done> {
    let pain = prop_oneof![14 => Just(Some(0)), 2 => (1_u8..=8).prop_map(Some), 1 => Just(None)];
    prop_oneof![1 => Just(Done::NotDone), 14 => (pain, rung()).prop_map(|(pain, rung)| Done::Done { pain, rung })]
}

fn morning() -> impl Strategy<Value = Option<Morning>> {
    prop_oneof![
        1 => Just(None),
        2 => Just(Some(Morning::Better)),
        10 => Just(Some(Morning::Same)),
        1 => prop::option::of(1_u8..=4).prop_map(|by| Some(Morning::Worse(by))),
    ]
}

const SIGNS: [StopSign; 6] = [
    StopSign::PainStays,
    StopSign::Swelling,
    StopSign::Unsteady,
    StopSign::Unwell,
    StopSign::SeenToday,
    StopSign::Emergency,
];

fn session() -> impl Strategy<Value = Session> {
    session_in(-2..=8)
}

fn session_in(days: std::ops::RangeInclusive<i64>) -> impl Strategy<Value = Session> {
    (
        days,
        1_u8..=2,
        prop::option::of(0_u8..=8),
        prop::collection::vec(done(), cells().len()),
        prop_oneof![20 => Just(None), 1 => prop::sample::select(&SIGNS[..]).prop_map(Some)],
        prop_oneof![1 => Just(None), 8 => (2_u8..=6).prop_map(Some), 1 => Just(Some(8))],
        morning(),
    )
        .prop_map(|(after, nth, pain_before, told, stopped, effort, morning)| Session {
            on: day(after),
            nth,
            pain_before,
            cells: cells().into_iter().zip(told).collect(),
            stopped,
            effort,
            morning,
        })
}

fn log() -> impl Strategy<Value = Vec<Session>> {
    // Often nothing but good days at the end, so that steps up are met as well.
    (prop::collection::vec(session(), 0..8), 0_i64..=4).prop_map(|(mut sessions, good)| {
        let end = 7 - good;
        if good > 1 {
            sessions.retain(|session| session.on <= day(end));
        }
        sessions.extend((end + 1..=7).map(crate::good));
        sessions
    })
}

/// Up to three weeks with the week before the programme, up to day 20; often nothing but good days at the end.
fn weeks() -> impl Strategy<Value = Vec<Session>> {
    (prop::collection::vec(session_in(-9..=20), 0..14), 0_i64..=12).prop_map(|(mut sessions, good)| {
        let end = 20 - good;
        if good > 1 {
            sessions.retain(|session| session.on <= day(end));
        }
        sessions.extend((end + 1..=20).map(crate::good));
        sessions
    })
}

/// One entry of one session told worse than it was.
#[derive(Clone, Debug)]
enum Worse {
    Pain(usize, Option<u8>),
    Rung(usize, Rung),
    NotDone(usize),
    NothingDone,
    Morning(Option<u8>),
    MorningNotSaid,
    Effort(Option<u8>),
    Before(u8),
    Sign(StopSign),
}

fn worse() -> impl Strategy<Value = Worse> {
    let cell = 0..cells().len();
    prop_oneof![
        (cell.clone(), prop::option::of(1_u8..=10)).prop_map(|(cell, pain)| Worse::Pain(cell, pain)),
        (cell.clone(), rung()).prop_map(|(cell, rung)| Worse::Rung(cell, rung)),
        cell.prop_map(Worse::NotDone),
        Just(Worse::NothingDone),
        prop::option::of(1_u8..=5).prop_map(Worse::Morning),
        Just(Worse::MorningNotSaid),
        prop::option::of(7_u8..=10).prop_map(Worse::Effort),
        (1_u8..=10).prop_map(Worse::Before),
        prop::sample::select(&SIGNS[..]).prop_map(Worse::Sign),
    ]
}

/// How bad a morning is; what nobody said is worse than the same and better than worse.
fn bad(morning: Option<Morning>) -> u8 {
    match morning {
        Some(Morning::Better) => 0,
        Some(Morning::Same) => 1,
        None => 2,
        Some(Morning::Worse(Some(by))) => 3 + by,
        Some(Morning::Worse(None)) => u8::MAX,
    }
}

fn told_worse(session: &mut Session, how: &Worse) {
    let later = |a: Option<u8>, b: Option<u8>| a.zip(b).map(|(a, b)| a.max(b));
    match how {
        Worse::Pain(cell, worse) => {
            if let Done::Done { pain, .. } = &mut session.cells[*cell].1 {
                *pain = later(*pain, *worse);
            }
        }
        Worse::Rung(cell, worse) => {
            if let Done::Done { rung, .. } = &mut session.cells[*cell].1 {
                *rung = (*rung).max(*worse);
            }
        }
        // Only what went well: who skips what hurts does not do worse.
        Worse::NotDone(cell) => {
            if session.cells[*cell].1 == crate::WELL {
                session.cells[*cell].1 = Done::NotDone;
            }
        }
        Worse::NothingDone => {
            for (_, done) in session.cells.iter_mut().filter(|(_, done)| *done == crate::WELL) {
                *done = Done::NotDone;
            }
        }
        Worse::Morning(by) => {
            let worse = Some(Morning::Worse(*by));
            if bad(worse) > bad(session.morning) {
                session.morning = worse;
            }
        }
        Worse::MorningNotSaid => {
            if bad(session.morning) < bad(None) {
                session.morning = None;
            }
        }
        Worse::Effort(effort) => session.effort = later(session.effort, *effort),
        Worse::Before(pain) => session.pain_before = Some(session.pain_before.unwrap_or(0).max(*pain)),
        Worse::Sign(sign) => session.stopped = Some(session.stopped.map_or(*sign, |is| is.max(*sign))),
    }
}

fn irritability() -> impl Strategy<Value = Irritability> {
    prop::sample::select(vec![Irritability::Low, Irritability::Moderate, Irritability::High])
}

fn carried() -> impl Strategy<Value = Vec<Carried>> {
    let one = (0..cells().len(), any::<bool>(), rung()).prop_map(|(at, named, rung)| Carried {
        mover: cells()[at].mover,
        bearing: cells()[at].bearing,
        family: named.then_some(cells()[at].family),
        rung,
    });
    prop::collection::vec(one, 0..3)
}

/// The mirror image of a log.
fn mirrored(sessions: &[Session]) -> Vec<Session> {
    let mut out = sessions.to_vec();
    for (cell, _) in out.iter_mut().flat_map(|session| &mut session.cells) {
        cell.mover = cell.mover.other();
        cell.bearing = cell.bearing.mirrored();
    }
    out
}

proptest! {
    #![proptest_config(config())]

    /// The whole and every direction: never more after a worse entry, whenever it was. One thing may fall away, and
    /// only under monitored pain: that pain rose, when the earlier of the two weeks that are compared is told with a
    /// higher number. Every other rule that spoke before still speaks then.
    #[test]
    fn a_worse_log_never_leads_to_a_harder_step(
        (today, log) in prop_oneof![log().prop_map(|log| (7, log)), weeks().prop_map(|log| (20, log))],
        at in any::<prop::sample::Index>(),
        how in worse(),
        irritability in irritability(),
        carried in carried(),
        stepped in prop::option::of(-3_i64..=7),
        (monitored, since, cleared) in (any::<bool>(), -2_i64..=7, any::<bool>()),
    ) {
        prop_assume!(!log.is_empty());
        let at = at.index(log.len());
        let mut worse = log.clone();
        told_worse(&mut worse[at], &how);
        let accepted = Monitored::by("Tarn", "tendon", day(since), 4).unwrap();
        let swelling = Swelling::default();
        let by = |signs| Cleared { by: "Tarn".to_owned(), on: day(today), why: "seen".to_owned(), signs };
        let cleared = cleared.then(|| by(stop_signs(&log)));
        let around = progress::Circumstances {
            today: day(today),
            cleared: cleared.as_ref(),
            irritability,
            carried: &carried,
            last_step_up: stepped.map(day),
            monitored: monitored.then_some(&accepted),
            ..around(&swelling)
        };
        let (before, after) = (adapt(&asked(), &log, &around), adapt(&asked(), &worse, &around));
        let number_of_an_earlier_week =
            matches!(how, Worse::Pain(_, Some(_))) && log[at].on < day(today - 7) && monitored;
        if number_of_an_earlier_week && before.reasons.iter().any(|one| one.reason.rule == "LOG-RISING") {
            // Without the comparison: what the whole would be, and what every direction asks for by itself.
            let others = |of: &progress::Adaptation| {
                let means = of.reasons.iter().filter(|one| one.reason.rule != "LOG-RISING").map(|one| one.means);
                means.min().unwrap_or(Whole::Free)
            };
            prop_assert!(others(&after) <= others(&before), "{how:?}: {:?} to {:?}", before.reasons, after.reasons);
            for (was, is) in steps(&before).into_iter().zip(steps(&after)) {
                prop_assert!(is <= was || (was, is) == (Step::Hold, Step::Progress), "{how:?}: {was:?} to {is:?}");
            }
            return Ok(());
        }
        prop_assert!(after.whole <= before.whole, "{how:?}: {:?} to {:?}", before.reasons, after.reasons);
        for (place, (was, is)) in steps(&before).into_iter().zip(steps(&after)).enumerate() {
            prop_assert!(is <= was, "{how:?}, direction {place}: {was:?} to {is:?}\n{before:#?}\n{after:#?}");
        }
        for (was, is) in before.cells.iter().zip(&after.cells) {
            prop_assert!(was.quiet_again || !is.quiet_again, "{how:?}: quiet again\n{before:#?}\n{after:#?}");
        }
        prop_assert!(after.offer_again.len() <= before.offer_again.len());
        prop_assert!(!before.backs_off() || after.backs_off() || after.whole == Whole::Stop);
    }

    /// An older week than the one that is compared with is told worse: the comparison stays.
    #[test]
    fn only_the_last_earlier_week_of_the_log_is_compared_with(pain in 1_u8..=8, older in 14_i64..=20) {
        let told = |on: i64, pain| crate::with(crate::good(20 - on), 0, Done::Done { pain: Some(pain), rung: Rung::Whole });
        let log = |oldest| vec![told(older.max(15), oldest), told(9, 0), told(1, 2)];
        let accepted = Monitored::by("Tarn", "tendon", FROM, 4).unwrap();
        let swelling = Swelling::default();
        let around =
            progress::Circumstances { today: day(20), monitored: Some(&accepted), ..around(&swelling) };
        for oldest in [0, pain] {
            let now = adapt(&asked(), &log(oldest), &around);
            let rising = now.reasons.iter().find(|one| one.reason.rule == "LOG-RISING");
            let words = rising.map(|one| one.reason.words.as_str());
            prop_assert_eq!(words, Some("Pain rose from 0 to 2 of 10 from one week to the next: nothing goes up."));
        }
    }

    #[test]
    fn a_stop_sign_never_opens(log in log(), sign in prop::sample::select(&SIGNS[..]), after in -9_i64..=9) {
        let mut stopped = log.clone();
        stopped.push(Session { cells: Vec::new(), stopped: Some(sign), ..crate::good(after) });
        let swelling = Swelling::default();
        let (before, now) = (adapt(&asked(), &log, &around(&swelling)), adapt(&asked(), &stopped, &around(&swelling)));
        // A first entry of any kind ends that nothing was logged; it opens nothing.
        prop_assert!(now.whole <= before.whole);
        for (was, is) in steps(&before).into_iter().zip(steps(&now)) {
            prop_assert!(is <= was);
        }
        if matches!(sign, StopSign::Unwell | StopSign::SeenToday | StopSign::Emergency) {
            prop_assert_eq!(now.whole, Whole::Stop);
            prop_assert!(now.cells.is_empty() && now.reasons[0].reason.words.to_lowercase().contains("call"));
        }
    }

    #[test]
    fn the_order_of_the_sessions_does_not_matter(log in log(), carried in carried(), seed in any::<u64>()) {
        let mut shuffled = log.clone();
        let mut state = seed;
        for at in (1..shuffled.len()).rev() {
            state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            shuffled.swap(at, (state >> 33) as usize % (at + 1));
        }
        let swelling = Swelling::default();
        let around = progress::Circumstances { carried: &carried, ..around(&swelling) };
        prop_assert_eq!(adapt(&asked(), &log, &around), adapt(&asked(), &shuffled, &around));
    }

    #[test]
    fn the_mirrored_person_gets_the_mirrored_step(log in log(), grades in prop::collection::vec(0_u8..=4, 0..3)) {
        let swelling = |side| Swelling {
            found: grades
                .iter()
                .zip(0_i64..)
                .map(|(grade, after)| Effusion { on: day(after), side, grade: *grade })
                .collect(),
            episodes_before: 0,
        };
        let mut other = asked();
        for cell in &mut other.cells {
            cell.mover = cell.mover.other();
            cell.bearing = cell.bearing.mirrored();
        }
        let (left, right) = (swelling(Side::Left), swelling(Side::Right));
        let here = adapt(&asked(), &log, &around(&left));
        let there = adapt(&other, &mirrored(&log), &around(&right));
        prop_assert_eq!(here.whole, there.whole);
        prop_assert_eq!(steps(&here), steps(&there));
        let rules = |of: &progress::Adaptation| -> Vec<Vec<&'static str>> {
            of.cells.iter().map(|cell| cell.reasons.iter().map(|one| one.rule).collect()).collect()
        };
        prop_assert_eq!(rules(&here), rules(&there));
    }

    /// Whatever comes home, a direction that was left out is left out; at most the therapist is told to think of it.
    #[test]
    fn what_is_left_out_never_returns_by_itself(log in log(), which in 0_usize..6) {
        let cell = cells()[which];
        let carried =
            [Carried { mover: cell.mover, bearing: cell.bearing, family: Some(cell.family), rung: Rung::LeftOut }];
        let swelling = Swelling::default();
        let now = adapt(&asked(), &log, &progress::Circumstances { carried: &carried, ..around(&swelling) });
        prop_assert!(steps(&now)[which] <= Step::LeaveOut, "{now:#?}");
        for offered in &now.offer_again {
            prop_assert_eq!(offered.direction, carried[0]);
            prop_assert!(offered.reason.words.contains("therapist"));
        }
    }

    /// Notes of pain go only where a step up would be free as well: what comes back is a step up.
    #[test]
    fn nothing_is_quiet_again_unless_the_whole_is_free(log in log(), carried in carried(), stepped in prop::option::of(3_i64..=7)) {
        let swelling = Swelling::default();
        let around = progress::Circumstances {
            carried: &carried,
            irritability: Irritability::Moderate,
            last_step_up: stepped.map(day),
            ..around(&swelling)
        };
        let now = adapt(&asked(), &log, &around);
        prop_assert!(now.whole == Whole::Free || now.cells.iter().all(|cell| !cell.quiet_again), "{now:#?}");
    }

    #[test]
    fn every_step_has_a_reason_that_reads_as_a_sentence(log in log(), carried in carried()) {
        let swelling = Swelling::default();
        let now = adapt(&asked(), &log, &progress::Circumstances { carried: &carried, ..around(&swelling) });
        prop_assert_eq!(now.whole == Whole::Free, now.reasons.is_empty());
        for words in now.reasons.iter().map(|one| &one.reason.words).chain(
            now.cells.iter().flat_map(|cell| {
                assert!(!cell.reasons.is_empty());
                cell.reasons.iter().map(|one| &one.words)
            }),
        ) {
            prop_assert!(words.ends_with('.') && words.starts_with(|c: char| c.is_uppercase()), "{words}");
        }
    }
}

#[test]
fn an_empty_log_never_leads_to_progress() {
    for irritability in [Irritability::Low, Irritability::Moderate, Irritability::High] {
        for today in [-1, 0, 1, 7, 40] {
            let swelling = Swelling::default();
            let around = progress::Circumstances { today: day(today), irritability, ..around(&swelling) };
            let now = adapt(&asked(), &[], &around);
            assert_eq!(now.whole, Whole::Hold);
            assert!(steps(&now).iter().all(|step| *step == Step::Hold));
            assert!(now.reasons.iter().any(|one| one.reason.rule == "LOG-EMPTY"));
        }
    }
}

/// Steps up do happen, so that the laws above say something.
#[test]
fn good_days_lead_to_progress() {
    let log: Vec<Session> = (0..7).map(crate::good).collect();
    let now = crate::adapted(&log);
    assert_eq!(now.whole, Whole::Free, "{:?}", now.reasons);
    assert!(steps(&now).iter().all(|step| *step == Step::Progress));
    assert!(Bearing::ALL.len() == 8);
}
