//! A log holds a whole session: what the practice page knows comes out of the records as it went in.

use std::sync::Arc;

use anatomy::Side;
use clinic::{Admitted, Clinic, DEMO_NAME, DEMO_PASSPHRASE, Desk, LogSource, PersonId, PracticeRecord};
use exchange::typed::{Summary, Worst};
use exchange::{Mark, typed};
use jiff::civil::{Date, date};
use movement::{Bearing, Crossing, Family};
use progress::{Cell, Done, Morning, Rung, Session, StopSign};
use proptest::prelude::*;

const RUNGS: [Rung; 4] = [Rung::Whole, Rung::Shortened, Rung::Supported, Rung::LeftOut];
const SIGNS: [StopSign; 6] = [
    StopSign::PainStays,
    StopSign::Swelling,
    StopSign::Unsteady,
    StopSign::Unwell,
    StopSign::SeenToday,
    StopSign::Emergency,
];

fn score() -> impl Strategy<Value = Option<u8>> {
    proptest::option::of(0_u8..=10)
}

fn cell() -> impl Strategy<Value = Cell> {
    let crossings = [Crossing::None, Crossing::InFront, Crossing::Behind];
    let families = [Family::Reach, Family::Step, Family::Lunge, Family::Leap];
    (1_u8..=3, any::<bool>(), 0_usize..8, 0_usize..3, 0_usize..4).prop_map(
        move |(exercise, left, to, how, of)| Cell {
            exercise,
            mover: if left { Side::Left } else { Side::Right },
            bearing: Bearing::ALL[to],
            crossing: crossings[how],
            family: families[of],
        },
    )
}

fn done() -> impl Strategy<Value = Done> {
    prop_oneof![
        Just(Done::NotDone),
        (score(), 0_usize..4).prop_map(|(pain, rung)| Done::Done { pain, rung: RUNGS[rung] }),
    ]
}

fn morning() -> impl Strategy<Value = Option<Morning>> {
    proptest::option::of(prop_oneof![
        Just(Morning::Better),
        Just(Morning::Same),
        score().prop_map(Morning::Worse)
    ])
}

fn session() -> impl Strategy<Value = Session> {
    let cells = proptest::collection::vec((cell(), done()), 0..49);
    let sign = proptest::option::of((0_usize..6).prop_map(|at| SIGNS[at]));
    (0_i16..400, 1_u8..=131, score(), cells, sign, score(), morning()).prop_map(
        |(day, nth, pain_before, cells, stopped, effort, morning)| Session {
            on: date(2026, 1, 1).saturating_add(jiff::Span::new().days(day)),
            nth,
            pain_before,
            cells,
            stopped,
            effort,
            morning,
        },
    )
}

fn mark() -> Mark {
    Mark::parse("0123456789abcdef").expect("sixteen digits")
}

proptest! {
    #[test]
    fn any_session_is_the_same_after_it_was_stored_and_read(session in session()) {
        let record = PracticeRecord::of_session(&session, LogSource::Page, Some(mark()));
        let stored = serde_json::to_vec(&record).expect("a log is written");
        let read: PracticeRecord = serde_json::from_slice(&stored).expect("a log is read");
        prop_assert_eq!(read.programme, Some(mark()));
        prop_assert_eq!(read.session(), Some(session));
        prop_assert_eq!(read, record);
    }

    #[test]
    fn pain_that_was_not_said_is_never_pain_0(session in session()) {
        let record = PracticeRecord::of_session(&session, LogSource::Page, None);
        let back = record.session().expect("a session");
        for ((_, was), (_, now)) in session.cells.iter().zip(&back.cells) {
            prop_assert_eq!(was.hurt(), now.hurt());
        }
        let told = session.cells.iter().filter_map(|(_, done)| match done {
            Done::Done { pain, .. } => *pain,
            Done::NotDone => None,
        });
        prop_assert_eq!(record.worst_pain(), told.max());
    }
}

/// As the version before wrote it.
const OLD: &str = r#"{"on":"2026-02-03","source":"paper","pain_before":1,"items":[
    {"exercise":1,"family":"step","mover":"left","bearing":0,"crossing":"none","distance_cm":30.0,"done":"done","pain":2,"settled":null},
    {"exercise":1,"family":"step","mover":"left","bearing":45,"crossing":"none","distance_cm":30.0,"done":"done","pain":null,"settled":null},
    {"exercise":1,"family":"step","mover":"left","bearing":90,"distance_cm":null,"done":"in_part","pain":4},
    {"exercise":1,"family":"step","mover":"left","bearing":135,"done":"in_part"},
    {"exercise":1,"family":"step","mover":"right","bearing":0,"done":"left_out","pain":5}],"remark":""}"#;

fn old() -> PracticeRecord {
    serde_json::from_str(OLD).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn a_log_of_the_version_before_reads_and_what_nobody_said_stays_unsaid() {
    let log = old();
    assert_eq!(
        (log.nth, log.stopped, log.effort, log.morning, log.programme),
        (None, None, None, None, None)
    );
    let session = log.session().expect("it tells directions");
    let told: Vec<(u16, Done)> =
        session.cells.iter().map(|(cell, done)| (cell.bearing.degrees(), *done)).collect();
    // Of 45° and 135° nobody said whether it hurt; why 0° of the right leg was left out nobody said either.
    let expected = [
        (0, Done::Done { pain: Some(2), rung: Rung::Whole }),
        (90, Done::Done { pain: Some(4), rung: Rung::Shortened }),
        (0, Done::NotDone),
    ];
    assert_eq!(told, expected);
    assert_eq!(log.worst_pain(), Some(5));
}

#[test]
fn a_remark_and_a_typed_summary_are_no_session() {
    let remark = PracticeRecord {
        remark: "went well".to_owned(),
        ..PracticeRecord::bare(date(2026, 2, 3), LogSource::Told)
    };
    assert_eq!(remark.session(), None);
    let summary = Summary {
        last: date(2026, 2, 3),
        or_later: false,
        sessions: 9,
        or_more: false,
        worst: vec![(Side::Left, Bearing::ALL[1], Worst::Moderate)],
        stopped: false,
    };
    let log = PracticeRecord::of_summary(summary, LogSource::Telephone, mark());
    assert_eq!(log.session(), None);
    // The band of 3 to 5.
    assert_eq!(log.worst_pain(), Some(3));
    let read: PracticeRecord =
        serde_json::from_slice(&serde_json::to_vec(&log).expect("written")).expect("read");
    assert_eq!(read, log);
}

#[test]
fn a_summary_without_pain_told_has_no_worst_pain() {
    let cells = vec![Cell {
        exercise: 1,
        mover: Side::Left,
        bearing: Bearing::ALL[0],
        crossing: Crossing::None,
        family: Family::Step,
    }];
    let prescription =
        progress::Prescription { from: date(2026, 2, 1), until: date(2026, 3, 1), a_day: 1, cells };
    let code = typed::encode(mark(), &prescription, &[]).expect("a code");
    let known = exchange::Known { mark: mark(), prescription, stored: Vec::new(), replaced: false };
    let Ok(exchange::Preview::Typed(told)) = exchange::read(&code, &[known]) else { panic!("a typed code") };
    assert_eq!(PracticeRecord::of_summary(told.summary, LogSource::Typed, mark()).worst_pain(), None);
}

async fn desk() -> (Arc<Clinic>, Desk, PersonId) {
    let clinic = Clinic::demo(Arc::new(|| date(2026, 2, 4))).await.expect("the invented clinic");
    let Admitted::Welcome(desk) = clinic.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await.expect("readable") else {
        panic!("the passphrase of the invented clinic")
    };
    let people = desk.people().await.expect("the list");
    let quiet = people.iter().find(|line| line.person.number == "H-004").expect("somebody");
    (clinic, desk.clone(), quiet.id)
}

#[tokio::test]
async fn sessions_of_a_person_are_whole_and_in_the_order_of_their_days() {
    let (_clinic, desk, person) = desk().await;
    let before = desk.sessions(person).await.expect("sessions").len();
    let of = |on: Date, nth: u8| Session {
        on,
        nth,
        pain_before: None,
        cells: Vec::new(),
        stopped: Some(StopSign::Swelling),
        effort: Some(7),
        morning: Some(Morning::Worse(None)),
    };
    let (later, earlier) = (of(date(2027, 2, 3), 2), of(date(2027, 2, 2), 1));
    for (session, once) in [(&later, "a"), (&earlier, "b")] {
        let log = PracticeRecord::of_session(session, LogSource::Page, Some(mark()));
        desk.append(person, &log, once).await.expect("stored");
    }
    let told = PracticeRecord { on: later.on, ..old() };
    desk.append(person, &told, "c").await.expect("stored");
    desk.append(person, &told, "d").await.expect("stored");
    let sessions = desk.sessions(person).await.expect("sessions").split_off(before);
    // The two that nobody counted take the first and the third place of a day whose second is taken.
    let places: Vec<(Date, u8)> = sessions.iter().map(|one| (one.on, one.nth)).collect();
    assert_eq!(places, [(earlier.on, 1), (later.on, 1), (later.on, 2), (later.on, 3)]);
    assert_eq!((&sessions[0], &sessions[2]), (&earlier, &later));
    let logged = desk.logged(person).await.expect("logs").split_off(before);
    let of_the_programme: Vec<Option<Mark>> = logged.iter().map(|one| one.programme).collect();
    assert_eq!(of_the_programme, [Some(mark()), None, Some(mark()), None]);
}

/// A form, a table and a file call a sign the same.
#[test]
fn a_stop_sign_has_one_name_wherever_it_is_written() {
    for sign in progress::StopSign::ALL {
        assert_eq!(serde_json::to_value(sign).expect("a word"), serde_json::json!(sign.key()));
    }
}
