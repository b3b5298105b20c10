//! Decisions about what came home: what is written into a case reads back as it was decided; who may decide; what
//! a decision stores, and how it is taken back.

use std::sync::Arc;

use anatomy::Side;
use clinic::{
    AdaptationRecord, Admitted, AnsweredProposal, CaseRecord, CaseText, Clinic, DEMO_NAME, DEMO_PASSPHRASE,
    Decision, Desk, PersonId, ProgrammeRecord, Role,
};
use jiff::civil::{Date, date};
use movement::{Bearing, Crossing, Family, HandHeight, Load, MovementSpec, Support};
use person::{CaseFile, HowKnown, HurtAt, OrderedLimit, SurgeonOrder};
use progress::{Answer, Answered, Cleared, Verdict};
use quantity::{Length, Mass};

const DAY: Date = date(2026, 2, 4);

async fn clinic() -> (Arc<Clinic>, Desk, PersonId) {
    let clinic = Clinic::demo(Arc::new(|| DAY)).await.unwrap_or_else(|error| panic!("{error}"));
    let desk = signed_in(&clinic, DEMO_NAME, DEMO_PASSPHRASE).await;
    let people = desk.people().await.unwrap_or_else(|error| panic!("{error}"));
    let person = people.iter().find(|line| line.person.number == "H-006").expect("the sixth").id;
    (clinic, desk, person)
}

async fn signed_in(clinic: &Arc<Clinic>, name: &str, passphrase: &str) -> Desk {
    let Ok(Admitted::Welcome(desk)) = clinic.sign_in(name, passphrase).await else { panic!("{name}") };
    desk
}

fn hurt(mover: Side, pain: Option<u8>, on: Date) -> HurtAt {
    HurtAt {
        mover,
        bearing: Bearing::ALL[1],
        family: pain.map(|_| Family::BendAndReach),
        distance: Length::cm(31.0),
        pain,
        settled: None,
        spreads: false,
        on,
    }
}

fn decided(after: &CaseFile, before: &CaseFile, (text, on): (&str, Date)) -> CaseFile {
    let mut text = CaseText::of(text).expect("a case");
    text.take_over(before, after, on);
    let text = text.text();
    person::case_file::read("after", &text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

/// Every invented case: notes of pain that are alike, an order, and everything that was tolerated read back, and
/// nothing else changes.
#[test]
fn what_is_decided_reads_back_as_it_was_decided() {
    for demo in app::demo_cases() {
        let before = demo.read().unwrap_or_else(|error| panic!("{error}"));
        let mut after = before.clone();
        let day = before.planned_for.expect("every invented person names a day");
        let yesterday = day.yesterday().expect("a day before it");
        after.findings.hurt = vec![
            hurt(Side::Left, Some(3), yesterday),
            hurt(Side::Left, Some(3), yesterday),
            hurt(Side::Right, None, before.visit),
        ];
        after.findings.orders.push(SurgeonOrder {
            limit: OrderedLimit::LevelAtMost(2),
            side: None,
            by: "Tarn".to_owned(),
            known: HowKnown::SpokenToTeam,
            from: day,
            until: day.checked_add(jiff::ToSpan::days(28)).ok(),
        });
        after.last_programme.tolerated = tolerated();
        let read = decided(&after, &before, (demo.text, day));
        let name = demo.file;
        assert_eq!(read.findings.hurt, after.findings.hurt, "{name}");
        assert_eq!(read.findings.orders, after.findings.orders, "{name}");
        assert_eq!(read.last_programme, after.last_programme, "{name}");
        // What was found before is no younger than it was.
        assert_eq!(read.findings.pain_at_rest, before.findings.pain_at_rest, "{name}");
        assert_eq!(read.findings.red_flags, before.findings.red_flags, "{name}");
        assert_eq!(read.findings.weight_bearing, before.findings.weight_bearing, "{name}");
        assert_eq!(
            (read.person, read.home, read.wishes),
            (before.person, before.home, before.wishes),
            "{name}"
        );
    }
}

fn tolerated() -> Vec<MovementSpec> {
    let go = |family, mover, crossing, bearing: usize, cm: f64| {
        MovementSpec::bare(family, mover, Bearing::ALL[bearing], crossing, Length::cm(cm))
    };
    vec![
        go(Family::Reach, Side::Left, Crossing::None, 6, 40.0),
        MovementSpec {
            support: Support::BothHands,
            ..go(Family::Step, Side::Right, Crossing::None, 2, 25.5)
        },
        go(Family::Step, Side::Right, Crossing::Behind, 6, 20.0),
        MovementSpec {
            depth: Some(Length::cm(10.0)),
            load: Load::HandWeights { each: Mass::kg(2.5) },
            ..go(Family::Lunge, Side::Left, Crossing::None, 0, 70.0)
        },
        MovementSpec {
            hand_height: Some(HandHeight::Knee),
            support: Support::OneHand,
            ..go(Family::BendAndReach, Side::Left, Crossing::None, 0, 50.0)
        },
    ]
}

/// Notes that go are gone from the text, and what the format has no words for is left away.
#[test]
fn notes_that_go_are_gone_and_what_has_no_words_is_left_away() {
    let demo = app::demo_cases()[2];
    let first = demo.read().unwrap_or_else(|error| panic!("{error}"));
    let mut noted = first.clone();
    noted.findings.hurt =
        vec![hurt(Side::Left, Some(2), first.visit), hurt(Side::Right, Some(1), first.visit)];
    let mut text = CaseText::of(demo.text).expect("a case");
    text.take_over(&first, &noted, first.visit);
    let noted = person::case_file::read("noted", &text.text()).unwrap_or_else(|error| panic!("{error}"));
    let mut quiet = noted.clone();
    quiet.findings.hurt.clear();
    let heavy = Load::OnTrunk { mass: Mass::kg(5.0) };
    quiet.last_programme.tolerated =
        tolerated().into_iter().map(|spec| MovementSpec { load: heavy, ..spec }).collect();
    let read = decided(&quiet, &noted, (&text.text(), first.visit));
    assert!(read.findings.hurt.is_empty() && read.last_programme.tolerated.is_empty());
}

fn answered(verdict: Verdict, step_up: bool) -> AnsweredProposal {
    AnsweredProposal {
        key: "up-distance".to_owned(),
        step_up,
        answered: Answered {
            rules: vec!["LOG-CLEAN".to_owned()],
            proposed: "One step up.".to_owned(),
            instead: String::new(),
            answer: Answer::new(verdict, "Tarn", DAY, "a reason").unwrap_or_else(|error| panic!("{error}")),
        },
    }
}

fn adaptation(answers: Vec<AnsweredProposal>) -> AdaptationRecord {
    AdaptationRecord {
        on: DAY,
        programme_of: date(2026, 1, 20),
        of: "of this test".to_owned(),
        said: Vec::new(),
        answers,
        unanswered: Vec::new(),
        became: Vec::new(),
        cleared: None,
        asked_about: Vec::new(),
        takes_back: None,
        why: String::new(),
        engine: serde_json::Value::Null,
    }
}

fn programme(sentence: &str) -> ProgrammeRecord {
    ProgrammeRecord {
        for_day: DAY,
        use_until: date(2026, 3, 4),
        exercises: vec![vec![sentence.to_owned()]],
        json: serde_json::json!({ "exercises": [] }),
        why: String::new(),
        by_hand: false,
    }
}

async fn newest(desk: &Desk, person: PersonId) -> (CaseRecord, ProgrammeRecord) {
    let case = desk.newest::<CaseRecord>(person).await.expect("reads").expect("a case").body;
    (case, desk.newest::<ProgrammeRecord>(person).await.expect("reads").expect("a programme").body)
}

#[tokio::test]
async fn a_decision_is_stored_whole_and_taken_back_whole_and_both_stay_readable() {
    let (_, desk, person) = clinic().await;
    desk.append(person, &programme("before"), "the programme before it").await.expect("kept");
    let before = newest(&desk, person).await;
    let case = CaseRecord { text: format!("# decided\n{}", before.0.text), ..before.0.clone() };
    let decision = Decision {
        adaptation: adaptation(vec![answered(Verdict::Accepted, true)]),
        after: Some((case.clone(), programme("after"))),
    };
    for _ in 0..2 {
        // Sent twice, stored once.
        desk.decide(person, &decision, "a decision of this test").await.expect("decided");
    }
    assert_eq!(newest(&desk, person).await, (case, programme("after")));
    let [one] = desk.decisions(person).await.expect("reads").try_into().expect("one decision");
    assert_eq!(desk.earlier(person).await.expect("reads").last_step_up, Some(DAY));

    let no_reason = desk.take_back(person, (one.record, DAY, " "), "taken back without reason").await;
    assert!(no_reason.is_err_and(|error| error.to_string().contains("write in a few words why")));
    desk.take_back(person, (one.record, DAY, "the log was of somebody else"), "taken back in this test")
        .await
        .expect("taken back");
    let after = newest(&desk, person).await;
    assert_eq!((after.0.text, after.1.exercises), (before.0.text, before.1.exercises));
    assert!(after.1.why.contains("the log was of somebody else"));
    assert_eq!(desk.earlier(person).await.expect("reads").last_step_up, None, "it was taken back");
    let all = desk.decisions(person).await.expect("reads");
    assert_eq!(all.len(), 2, "both stay readable");
    let again =
        desk.take_back(person, (one.record, DAY, "once more"), "taken back twice, in this test").await;
    assert!(again.is_err(), "it does not stand any more");
}

#[tokio::test]
async fn what_was_changed_after_a_decision_is_not_undone_by_taking_it_back() {
    let (_, desk, person) = clinic().await;
    desk.append(person, &programme("before"), "the programme before it").await.expect("kept");
    let case = newest(&desk, person).await.0;
    let decision = Decision {
        adaptation: adaptation(vec![answered(Verdict::Accepted, false)]),
        after: Some((case, programme("after"))),
    };
    desk.decide(person, &decision, "a decision of this test").await.expect("decided");
    desk.append(person, &programme("by hand"), "changed by hand since").await.expect("kept");
    let [one] = desk.decisions(person).await.expect("reads").try_into().expect("one decision");
    let refused = desk.take_back(person, (one.record, DAY, "a reason"), "taken back in this test").await;
    assert!(refused.is_err_and(|error| error.to_string().contains("after which nothing was changed")));
    assert_eq!(newest(&desk, person).await.1, programme("by hand"));
}

#[tokio::test]
async fn a_case_that_cannot_be_read_stores_nothing_of_the_decision() {
    let (_, desk, person) = clinic().await;
    let decision = Decision {
        adaptation: adaptation(vec![answered(Verdict::Accepted, false)]),
        after: Some((CaseRecord { text: "no case".to_owned(), ..CaseRecord::default() }, programme("after"))),
    };
    assert!(desk.decide(person, &decision, "a decision of this test").await.is_err());
    assert!(desk.decisions(person).await.expect("reads").is_empty());
    assert!(desk.newest::<ProgrammeRecord>(person).await.expect("reads").is_none());
}

#[tokio::test]
async fn a_clinician_decides_a_student_awaits_a_countersignature_nobody_else_may() {
    let (clinic, desk, person) = clinic().await;
    const PASS: &str = "an invented passphrase";
    for (name, role) in [("Sorrel", Role::Assistant), ("Teasel", Role::Student), ("Vetch", Role::Reader)] {
        desk.create_account(name, role, PASS).await.expect("an account");
    }
    let decline = Decision { adaptation: adaptation(vec![answered(Verdict::Declined, true)]), after: None };
    for name in ["Sorrel", "Vetch"] {
        let other = signed_in(&clinic, name, PASS).await;
        assert!(other.decide(person, &decline, "a decision of this test").await.is_err(), "{name}");
    }
    assert!(desk.decisions(person).await.expect("reads").is_empty());
    let student = signed_in(&clinic, "Teasel", PASS).await;
    student.decide(person, &decline, "a decision of a student").await.expect("stored");
    let waiting = desk.awaiting_countersignature().await.expect("reads");
    assert!(waiting.iter().any(|one| one.kind() == "adaptation" && one.person() == person));
    assert_eq!(desk.earlier(person).await.expect("reads").last_step_up, None, "it was declined");
}

#[tokio::test]
async fn who_cleared_a_stop_is_known_until_it_is_taken_back() {
    let (_, desk, person) = clinic().await;
    let sign = progress::ToldSign { sign: progress::StopSign::Unwell, on: DAY, nth: 1 };
    let cleared =
        Cleared { by: "Tarn".to_owned(), on: DAY, why: "seen, nothing found".to_owned(), signs: vec![sign] };
    let adaptation = AdaptationRecord { cleared: Some(cleared.clone()), ..adaptation(Vec::new()) };
    desk.decide(person, &Decision { adaptation, after: None }, "cleared in this test").await.expect("stored");
    assert_eq!(desk.earlier(person).await.expect("reads").cleared, Some(cleared));
    let [one] = desk.decisions(person).await.expect("reads").try_into().expect("one");
    desk.take_back(person, (one.record, DAY, "it was another person"), "taken back in this test")
        .await
        .expect("taken back");
    assert_eq!(desk.earlier(person).await.expect("reads").cleared, None);
}
