//! A lesson: taps that outlive everything, one entry, a correction where something else is said later.

use std::sync::Arc;

use anatomy::Side;
use clinic::{
    Admitted, Clinic, DEMO_NAME, DEMO_PASSPHRASE, Desk, Done, LogSource, PersonId, Steadiness, TapRecord,
    TaughtItem, TeachRecord,
};
use jiff::civil::{Date, date};
use movement::{Bearing, Crossing, Family};

const DAY: Date = date(2026, 2, 4);

async fn desk() -> (Desk, PersonId) {
    let clinic = Clinic::demo(Arc::new(|| DAY)).await.unwrap_or_else(|error| panic!("{error}"));
    let signed = clinic.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await;
    let Ok(Admitted::Welcome(desk)) = signed else { panic!("the invented clinic opens") };
    let people = desk.people().await.unwrap_or_else(|error| panic!("{error}"));
    let person = people.iter().find(|line| line.person.number == "H-006").expect("the sixth").id;
    (desk, person)
}

fn item(place: usize, was: Steadiness, pain: Option<u8>, shown_back: bool) -> TaughtItem {
    TaughtItem {
        exercise: 1,
        family: Some(Family::Step),
        mover: Side::Right,
        bearing: Bearing::ALL[place],
        crossing: Crossing::None,
        distance_cm: Some(35.0),
        was,
        pain,
        shown_back,
    }
}

#[tokio::test]
async fn a_lesson_is_one_entry_whatever_is_tapped_twice_or_saved_twice() {
    let (desk, person) = desk().await;
    let logs_before = desk.standing(person).await.expect("stands").log_count;
    let open = desk.open_lesson(person, DAY).await.expect("a lesson");
    assert!(open.items.is_empty());
    let tap = |item: TaughtItem| TapRecord { on: DAY, lesson: open.lesson.clone(), item };
    for (n, one) in [
        item(0, Steadiness::Hurt, Some(4), false),
        item(2, Steadiness::Corrected, None, false),
        item(2, Steadiness::Steady, None, false),
        item(0, Steadiness::Steady, None, true),
    ]
    .into_iter()
    .enumerate()
    {
        // Sent twice, as a browser does that had no answer.
        for _ in 0..2 {
            desk.tap(person, tap(one.clone()), &format!("a tap of this test {n}")).await.expect("tapped");
        }
    }
    let goes_on = desk.open_lesson(person, DAY).await.expect("a lesson");
    assert_eq!((goes_on.lesson.as_str(), goes_on.items.len()), (open.lesson.as_str(), 3));
    assert_eq!(
        desk.standing(person).await.expect("stands").log_count,
        logs_before + 1,
        "before it is finished"
    );

    let record = TeachRecord {
        on: DAY,
        lesson: open.lesson.clone(),
        items: Vec::new(),
        remark: "went well".to_owned(),
    };
    let first =
        desk.finish_lesson(person, record.clone(), "finished for the first time").await.expect("saved");
    let again = desk.finish_lesson(person, record.clone(), "finished, sent again").await.expect("saved");
    assert_eq!(first, again);
    let lessons = desk.lessons(person).await.expect("lessons");
    assert_eq!(lessons.len(), 1);
    assert_eq!(lessons[0].record.items.len(), 3, "what was tapped is in it");
    let standing = desk.standing(person).await.expect("stands");
    assert_eq!(standing.log_count, logs_before + 1);
    let log = standing.logs.iter().find(|log| log.source == LogSource::Taught).expect("in the log");
    assert_eq!(log.items.len(), 2, "each direction once");
    assert_eq!((log.worst_pain(), log.items[0].done), (Some(4), Done::Done), "shown back counts, pain stays");
    assert_eq!(log.items[0].distance_cm, Some(35.0));

    // From a page that was left open: a tap of the same lesson corrects it.
    desk.tap(person, tap(item(4, Steadiness::NotAble, None, false)), "a late tap of this test")
        .await
        .expect("tapped");
    let lessons = desk.lessons(person).await.expect("lessons");
    assert_eq!((lessons.len(), lessons[0].record.items.len()), (1, 4));
    assert_eq!(lessons[0].record.remark, "went well");
    let next = desk.open_lesson(person, DAY).await.expect("a lesson");
    assert_ne!(next.lesson, open.lesson, "the next lesson of the day is another one");
}

/// Lessons written before taps were: no name, no family, no distance.
#[test]
fn a_lesson_of_an_earlier_shape_is_read() {
    let text = r#"{"on":"2026-02-03","items":[{"exercise":1,"mover":"left","bearing":270,"was":"steady"}]}"#;
    let record: TeachRecord = serde_json::from_str(text).expect("reads");
    assert_eq!((record.lesson.as_str(), record.items[0].distance_cm), ("", None));
    assert!(record.as_log().items.is_empty(), "nobody knows which family it was");
}
