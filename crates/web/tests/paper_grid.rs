//! The paper grid as a form, without its module: what is said is stored once, what nobody said is never no pain.

mod common;

use axum::http::StatusCode;
use clinic::{Desk, LogSource, PersonId, PracticeRecord, ProgrammeRecord};
use common::{Browser, Page, Workbench};
use jiff::civil::{Date, date};
use progress::{Done, Session};

const FORWARD: &str =
    "left leg step, anterior (named from the left leg), 25 cm, both hands held, walking frame";
const ASIDE: &str =
    "right leg step, lateral (named from the right leg), 25 cm, both hands held, walking frame";

struct Story {
    workbench: Workbench,
    desk: Desk,
    person: PersonId,
}

impl Story {
    /// A programme of ten days ago with two directions, twice a day or once.
    async fn told(per_day: u8) -> Self {
        Self::of(vec![vec![FORWARD.to_owned(), ASIDE.to_owned()]], [per_day, 1]).await
    }

    /// These exercises, each so often a day.
    async fn of(exercises: Vec<Vec<String>>, per_day: [u8; 2]) -> Self {
        let workbench = Workbench::invented().await;
        let person = workbench.person("H-001").await;
        let desk = workbench.desk().await;
        let record = ProgrammeRecord {
            for_day: date(2026, 1, 25),
            use_until: date(2026, 2, 22),
            exercises,
            json: serde_json::json!({ "exercises": per_day.map(|times| serde_json::json!({ "dose": { "per_day": times } })) }),
            why: String::new(),
            by_hand: false,
        };
        desk.append(person, &record, "the programme of this story").await.expect("kept");
        Self { workbench, desk, person }
    }

    fn at(&self) -> String {
        format!("/people/{}/home-log/grid", self.person)
    }

    async fn sent(&self, browser: &mut Browser<'_>, fields: &[(&str, &str)]) -> Page {
        browser.send(&self.at(), &self.at(), fields).await
    }

    async fn logs(&self) -> Vec<PracticeRecord> {
        let all = self.desk.read::<PracticeRecord>(self.person).await.expect("reads");
        // The invented logs of the demonstration are of the day before and the one before that.
        all.into_iter().map(|entry| entry.body).filter(|log| log.on < date(2026, 2, 1)).collect()
    }

    async fn sessions(&self, on: Date) -> Vec<Session> {
        let all = self.desk.sessions(self.person).await.expect("reads");
        all.into_iter().filter(|one| one.on == on).collect()
    }
}

#[tokio::test]
async fn fourteen_days_stand_there_and_what_is_said_is_stored_once() {
    let story = Story::told(1).await;
    let mut browser = story.workbench.signed_in().await;
    let page = browser.get(&story.at()).await;
    assert_eq!(page.status, StatusCode::OK);
    // From the day of the programme up to today.
    assert_eq!(page.body.matches("class=\"grid-day\"").count(), 11, "{}", page.body);
    assert!(!page.body.contains("value=\"painless\" checked"), "nothing is said before anybody says it");
    let hidden = page.hidden();
    let fields = [
        ("source", "telephone"),
        ("day:2026-01-26", "painless"),
        ("day:2026-01-27", "not_said"),
        ("day:2026-01-28", "not_done"),
        ("day:2026-01-29", "painless"),
        ("ring:2026-01-29:1-R-90", "4"),
        ("ring:2026-01-29:1-L-0", "out"),
        ("before:2026-01-29", "1"),
        ("morning:2026-01-29", "worse"),
        ("day:2026-01-30", "painless"),
        ("ring:2026-01-30:1-R-90", "hurt"),
    ];
    for _ in 0..2 {
        let saved = browser.post(&story.at(), &hidden, &fields).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    }
    let logs = story.logs().await;
    assert_eq!(logs.len(), 5, "sent twice, stored once");
    assert!(logs.iter().all(|log| log.source == LogSource::Telephone));
    let done = |sessions: Vec<Session>| -> Vec<Done> {
        sessions.iter().flat_map(|one| one.cells.iter().map(|(_, done)| *done)).collect()
    };
    let whole = |pain| Done::Done { pain, rung: progress::Rung::Whole };
    assert_eq!(done(story.sessions(date(2026, 1, 26)).await), [whole(Some(0)), whole(Some(0))]);
    assert!(done(story.sessions(date(2026, 1, 27)).await).is_empty(), "nobody said whether it hurt");
    assert_eq!(done(story.sessions(date(2026, 1, 28)).await), [Done::NotDone, Done::NotDone]);
    assert_eq!(done(story.sessions(date(2026, 1, 29)).await), [Done::NotDone, whole(Some(4))]);
    assert_eq!(done(story.sessions(date(2026, 1, 30)).await), [whole(Some(0)), whole(None)]);
    let [told] = story.sessions(date(2026, 1, 29)).await.try_into().expect("one session");
    assert_eq!((told.pain_before, told.morning), (Some(1), Some(progress::Morning::Worse(None))));
    assert!(story.sessions(date(2026, 1, 31)).await.is_empty(), "a day without a tap is not written down");
}

#[tokio::test]
async fn what_was_done_but_not_said_to_be_painless_is_in_the_log_and_counts_neither_way() {
    let story = Story::told(1).await;
    let mut browser = story.workbench.signed_in().await;
    let fields = [("source", "paper"), ("day:2026-01-27", "not_said"), ("ring:2026-01-27:1-R-90", "2")];
    let saved = story.sent(&mut browser, &fields).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    let [log] = story.logs().await.try_into().expect("one log");
    let pains: Vec<_> = log.items.iter().map(|item| item.pain).collect();
    assert_eq!((log.items.len(), pains.contains(&Some(0)), log.worst_pain()), (2, false, Some(2)));
    let [told] = story.sessions(date(2026, 1, 27)).await.try_into().expect("one session");
    assert_eq!(told.cells.len(), 1);
}

/// In which of two sessions it hurt nobody said, so it counts in both: neither is a clean one.
#[tokio::test]
async fn twice_a_day_is_two_sessions_and_what_hurt_is_painless_in_neither() {
    let story = Story::told(2).await;
    let mut browser = story.workbench.signed_in().await;
    let fields = [
        ("source", "paper"),
        ("times", "2"),
        ("day:2026-01-27", "painless"),
        ("ring:2026-01-27:1-R-90", "5"),
        ("day:2026-01-28", "painless"),
        ("times:2026-01-28", "1"),
    ];
    let saved = story.sent(&mut browser, &fields).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    let hurt = |one: &Session| one.cells.iter().filter(|(_, done)| done.hurt() == Some(true)).count();
    let told = |all: Vec<Session>| -> Vec<(u8, usize, usize)> {
        all.iter().map(|one| (one.nth, one.cells.len(), hurt(one))).collect()
    };
    assert_eq!(told(story.sessions(date(2026, 1, 27)).await), [(1, 2, 1), (2, 2, 1)]);
    assert_eq!(told(story.sessions(date(2026, 1, 28)).await), [(1, 2, 0)], "the day says otherwise");
}

/// The line for a stop sign on the paper is entered where the day is: it is of its last session, and of no other day.
#[tokio::test]
async fn a_stop_sign_on_the_paper_is_one_of_its_session() {
    let story = Story::told(2).await;
    let mut browser = story.workbench.signed_in().await;
    let fields = [
        ("source", "telephone"),
        ("times", "2"),
        ("day:2026-01-27", "not_said"),
        ("stop:2026-01-27", "seen_today"),
        ("day:2026-01-28", "painless"),
    ];
    let saved = story.sent(&mut browser, &fields).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    let signs = |all: Vec<Session>| all.into_iter().map(|one| one.stopped).collect::<Vec<_>>();
    assert_eq!(signs(story.sessions(date(2026, 1, 27)).await), [None, Some(progress::StopSign::SeenToday)]);
    assert_eq!(signs(story.sessions(date(2026, 1, 28)).await), [None, None]);
    let page = browser.get(&format!("/people/{}/home-log/next-step", story.person)).await;
    assert!(page.body.contains("Stop: nothing is done until a clinician has looked"), "{}", page.body);
}

/// A session that nobody told of is none, however often a day was asked for.
#[tokio::test]
async fn where_nobody_said_how_often_it_counts_as_once() {
    let story = Story::told(2).await;
    let mut browser = story.workbench.signed_in().await;
    let fields = [("source", "paper"), ("day:2026-01-27", "painless")];
    let saved = story.sent(&mut browser, &fields).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    assert_eq!(story.sessions(date(2026, 1, 27)).await.len(), 1);
}

#[tokio::test]
async fn an_exercise_of_once_a_day_is_not_in_the_second_session() {
    let two = vec![vec![FORWARD.to_owned()], vec![ASIDE.to_owned()]];
    let story = Story::of(two, [2, 1]).await;
    let mut browser = story.workbench.signed_in().await;
    let fields = [("source", "paper"), ("times", "2"), ("day:2026-01-27", "painless")];
    let saved = story.sent(&mut browser, &fields).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    let sessions = story.sessions(date(2026, 1, 27)).await;
    let told: Vec<Vec<u8>> =
        sessions.iter().map(|one| one.cells.iter().map(|(cell, _)| cell.exercise).collect()).collect();
    assert_eq!(told, [vec![1, 2], vec![1]]);
}

#[tokio::test]
async fn what_is_to_be_mended_is_said_and_nothing_is_lost() {
    let story = Story::told(1).await;
    let mut browser = story.workbench.signed_in().await;
    let day = ("day:2026-01-26", "painless");
    for (fields, told) in [
        (vec![day], "Say how you know"),
        (vec![("source", "paper")], "Nothing was said of any day"),
        (vec![("source", "paper"), ("ring:2026-01-26:1-L-0", "3")], "not how the rest of that day went"),
        (
            vec![("source", "paper"), ("day:2026-01-26", "not_done"), ("ring:2026-01-26:1-L-0", "3")],
            "nothing was done, and yet a direction hurt",
        ),
        (vec![("source", "paper"), day, ("ring:2026-01-26:1-L-0", "11")], "cannot be `11`"),
        (
            vec![("source", "paper"), day, ("before:2026-01-26", "much")],
            "cannot be `much`; accepted: 0 to 10",
        ),
        (vec![("source", "paper"), day, ("times:2026-01-26", "9")], "cannot be `9`; accepted: 1 to 4"),
        (
            vec![("source", "paper"), day, ("stop:2026-01-26", "tired")],
            "stop sign of 26 January 2026 cannot be",
        ),
        (vec![("source", "paper"), ("stop:2026-01-26", "unwell")], "not how the rest of that day went"),
    ] {
        let page = story.sent(&mut browser, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}: {}", page.body);
        assert!(page.body.contains(told), "{told}: {}", page.body);
        let chosen = fields.contains(&day);
        assert_eq!(page.body.contains("value=\"painless\" checked"), chosen, "what was tapped stays");
    }
    assert!(story.logs().await.is_empty());
}

#[tokio::test]
async fn without_a_programme_there_is_no_grid_and_the_page_says_what_to_do() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-002").await;
    let mut browser = workbench.signed_in().await;
    let page = browser.get(&format!("/people/{person}/home-log/grid")).await;
    assert!(page.body.contains("No programme was accepted yet"), "{}", page.body);
}
