//! What the rules propose after what came home: nothing changes without an answer, declining changes nothing, less is
//! never harder, who may not is refused, a red flag hides everything, and each answer leaves a trace.

mod common;

use anatomy::Side;
use axum::http::StatusCode;
use clinic::{
    CaseRecord, Desk, Done, LogSource, Newcomer, PersonId, PracticeItem, PracticeRecord, ProgrammeRecord,
    Role,
};
use common::{Browser, Page, Workbench};
use jiff::civil::{Date, date};
use movement::{Bearing, Crossing, Family};
use progress::Verdict;

/// Two directions of each leg, with both hands on the walking frame: exercise 1.
const SENTENCES: [&str; 4] = [
    "left leg step, anterior (named from the left leg), 25 cm, both hands held, walking frame",
    "left leg step, lateral (named from the left leg), 25 cm, both hands held, walking frame",
    "right leg step, anterior (named from the right leg), 25 cm, both hands held, walking frame",
    "right leg step, lateral (named from the right leg), 25 cm, both hands held, walking frame",
];

/// In the order of the sentences.
const WAYS: [(Side, u16); 4] = [(Side::Left, 0), (Side::Left, 270), (Side::Right, 0), (Side::Right, 90)];

/// Where the right leg going right hurts, in a log.
const HURTS: [Option<u8>; 4] = [Some(0), Some(0), Some(0), Some(3)];
const CLEAN: [Option<u8>; 4] = [Some(0); 4];

fn log(on: Date, pains: [Option<u8>; 4]) -> PracticeRecord {
    let item = |((mover, bearing), pain): ((Side, u16), Option<u8>)| PracticeItem {
        exercise: 1,
        family: Family::Step,
        mover,
        bearing: Bearing::try_from(bearing).expect("a bearing"),
        crossing: Crossing::None,
        distance_cm: Some(25.0),
        done: Done::Done,
        pain,
        rung: None,
        settled: None,
    };
    let items = WAYS.into_iter().zip(pains).map(item).collect();
    PracticeRecord { pain_before: Some(0), items, ..PracticeRecord::bare(on, LogSource::Paper) }
}

struct Story {
    workbench: Workbench,
    desk: Desk,
    person: PersonId,
}

impl Story {
    /// A programme of ten days ago and these logs.
    async fn told(number: &str, logs: &[PracticeRecord]) -> Self {
        let workbench = Workbench::invented().await;
        let person = workbench.person(number).await;
        let desk = workbench.desk().await;
        Self::with(workbench, desk, person, logs).await
    }

    /// As [`Story::told`], of somebody of whom nothing else was ever logged.
    async fn of_a_newcomer(like: &str, logs: &[PracticeRecord]) -> Self {
        let workbench = Workbench::invented().await;
        let desk = workbench.desk().await;
        let like = workbench.person(like).await;
        let case = desk.newest::<CaseRecord>(like).await.expect("reads").expect("found").body.text;
        let person = desk.person(like).await.expect("somebody").person;
        let newcomer = Newcomer {
            person: clinic::PersonRecord { number: "H-901".to_owned(), ..person },
            case: Some(case),
            measures: None,
            programme: None,
            logs: Vec::new(),
            once: "a newcomer".to_owned(),
        };
        let [person] = desk.bring_in(&[newcomer]).await.expect("kept").try_into().expect("one");
        Self::with(workbench, desk, person, logs).await
    }

    async fn with(workbench: Workbench, desk: Desk, person: PersonId, logs: &[PracticeRecord]) -> Self {
        let record = ProgrammeRecord {
            for_day: date(2026, 1, 25),
            use_until: date(2026, 2, 22),
            exercises: vec![SENTENCES.map(str::to_owned).to_vec()],
            json: serde_json::json!({ "exercises": [{ "why": "invented" }] }),
            why: String::new(),
            by_hand: false,
        };
        desk.append(person, &record, "the programme of this story").await.expect("kept");
        for (at, log) in logs.iter().enumerate() {
            desk.append(person, log, &format!("log {at} of this story")).await.expect("kept");
        }
        Self { workbench, desk, person }
    }

    fn at(&self, page: &str) -> String {
        format!("/people/{}/{page}", self.person)
    }

    async fn proposals(&self, browser: &mut Browser<'_>) -> Page {
        let page = browser.get(&self.at("home-log/next-step")).await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.body);
        page
    }

    /// Answers what stands on a page of proposals.
    async fn answer(&self, browser: &mut Browser<'_>, page: &Page, fields: &[(&str, &str)]) -> Page {
        let mut hidden = page.hidden();
        hidden.push(("key".to_owned(), value(&page.body, "key")));
        browser.post(&self.at("home-log/next-step"), &hidden, fields).await
    }

    async fn stored(&self) -> (usize, usize, usize) {
        (
            self.desk.read::<CaseRecord>(self.person).await.expect("reads").len(),
            self.desk.read::<ProgrammeRecord>(self.person).await.expect("reads").len(),
            self.desk.decisions(self.person).await.expect("reads").len(),
        )
    }
}

fn value(body: &str, name: &str) -> String {
    let before = format!("name=\"{name}\" value=\"");
    let at = body.find(&before).unwrap_or_else(|| panic!("no `{name}` in {body}")) + before.len();
    body[at..].split('"').next().unwrap_or_default().to_owned()
}

/// The names of the answers that a page asks for.
fn asked(body: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for part in body.split("name=\"answer:").skip(1) {
        let name = part.split('"').next().unwrap_or_default().to_owned();
        if !out.contains(&name) {
            out.push(name);
        }
    }
    out
}

fn days(pains: &[[Option<u8>; 4]]) -> Vec<PracticeRecord> {
    let first = date(2026, 1, 26);
    let day = |at: usize| first.saturating_add(jiff::ToSpan::days(i64::try_from(at).unwrap_or(0)));
    pains.iter().enumerate().map(|(at, pains)| log(day(at), *pains)).collect()
}

#[tokio::test]
async fn what_hurt_is_proposed_less_accepted_confirmed_and_stored_with_its_trace() {
    let story = Story::told("H-001", &days(&[CLEAN, CLEAN, CLEAN, HURTS])).await;
    let mut browser = story.workbench.signed_in().await;
    let before = story.stored().await;
    let page = story.proposals(&mut browser).await;
    assert!(
        page.body.contains("What the rules propose") && page.body.contains("<h3>Less</h3>"),
        "{}",
        page.body
    );
    let names = asked(&page.body);
    assert!(names.iter().any(|one| one == "less-1-R-90"), "{names:?}");

    // Nothing is changed without an answer, and none is given by silence.
    let nothing = story.answer(&mut browser, &page, &[]).await;
    assert_eq!(nothing.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(nothing.body.contains("Nothing was answered, so nothing is changed"), "{}", nothing.body);
    assert_eq!(story.stored().await, before);

    // Accepted: shown first, and still nothing is stored.
    let page = story.proposals(&mut browser).await;
    let sent = story.answer(&mut browser, &page, &[("answer:less-1-R-90", "accept")]).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    let place = sent.location().to_owned();
    let shown = browser.get(&place).await;
    assert_eq!(shown.status, StatusCode::OK, "{}", shown.body);
    assert!(
        shown.body.contains("Nothing is saved yet") && shown.body.contains("permitted"),
        "{}",
        shown.body
    );
    assert!(
        shown.body.contains("Right leg, going right, hurt at 25 cm on 29 January 2026, 3 of 10"),
        "{}",
        shown.body
    );
    assert_eq!(story.stored().await, before);

    // Saved: case, programme and trace together; sent twice, stored once.
    let mut hidden = shown.hidden();
    hidden.push(("of".to_owned(), value(&shown.body, "of")));
    for _ in 0..2 {
        let saved = browser.post(&story.at("home-log/next-step/save"), &hidden, &[]).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    }
    let (cases, programmes, decisions) = story.stored().await;
    assert_eq!((cases, programmes, decisions), (before.0 + 1, before.1 + 1, before.2 + 1));
    let kept = story.desk.newest::<ProgrammeRecord>(story.person).await.expect("reads").expect("kept").body;
    less_is_never_harder(&kept);
    let case = story.desk.newest::<CaseRecord>(story.person).await.expect("reads").expect("kept").body;
    let case = person::case_file::read("after", &case.text).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(case.findings.hurt.len(), 1);
    let audit = story.desk.audit(Some(story.person), 1, 1000).await.expect("the audit");
    let wrote = audit.iter().rfind(|entry| entry.action == clinic::Action::Wrote).expect("written");
    assert_eq!(wrote.kinds, ["adaptation", "case", "programme"]);
    let log = browser.get(&story.at("home-log")).await;
    assert!(log.body.contains("What was decided") && log.body.contains("Accepted. "), "{}", log.body);
}

/// Of every direction the new programme goes at most as far as before, with no less to hold on to.
fn less_is_never_harder(kept: &ProgrammeRecord) {
    let told = kept.exercises.iter().flatten();
    for sentence in told {
        let cm: f64 = sentence
            .split(", ")
            .find_map(|part| part.strip_suffix(" cm"))
            .and_then(|cm| cm.parse().ok())
            .unwrap_or_else(|| panic!("{sentence}"));
        assert!(cm <= 25.0 && sentence.contains("both hands held"), "{sentence}");
    }
    let right = kept.exercises.iter().flatten().find(|one| one.contains("right leg step, lateral"));
    assert!(right.is_none_or(|one| one.contains("18 cm")), "{right:?}: three quarters of 25 cm, or out");
}

#[tokio::test]
async fn declining_needs_a_reason_changes_neither_case_nor_programme_and_stays_readable() {
    let story = Story::told("H-001", &days(&[CLEAN, CLEAN, HURTS])).await;
    let mut browser = story.workbench.signed_in().await;
    let before = story.stored().await;
    let page = story.proposals(&mut browser).await;
    let decline = ("answer:less-1-R-90", "decline");
    let refused = story.answer(&mut browser, &page, &[decline]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.body.contains("declined without a reason"), "{}", refused.body);
    assert!(refused.body.contains("value=\"decline\" checked"), "what was tapped stays");
    assert_eq!(story.stored().await, before);

    let why = ("why:less-1-R-90", "it was the shoe, seen in the room");
    let page = story.proposals(&mut browser).await;
    let saved = story.answer(&mut browser, &page, &[decline, why]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    assert_eq!(story.stored().await, (before.0, before.1, before.2 + 1));
    let decided = story.desk.decisions(story.person).await.expect("reads");
    let answer = &decided[0].body.answers[0];
    assert_eq!((answer.answered.answer.verdict, answer.key.as_str()), (Verdict::Declined, "less-1-R-90"));
    let log = browser.get(&story.at("home-log")).await;
    assert!(log.body.contains("Declined. ") && log.body.contains("it was the shoe"), "{}", log.body);
}

#[tokio::test]
async fn something_less_is_taken_in_the_place_of_a_proposal_and_can_be_taken_back() {
    let story = Story::told("H-001", &days(&[CLEAN, CLEAN, HURTS])).await;
    let mut browser = story.workbench.signed_in().await;
    let page = story.proposals(&mut browser).await;
    let fields = [("answer:less-1-R-90", "instead:left-out"), ("why:less-1-R-90", "first it has to settle")];
    let sent = story.answer(&mut browser, &page, &fields).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    let shown = browser.get(sent.location()).await;
    let of = value(&shown.body, "of");
    let saved = browser.post(&story.at("home-log/next-step/save"), &shown.hidden(), &[("of", &of)]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    let kept = story.desk.newest::<ProgrammeRecord>(story.person).await.expect("reads").expect("kept").body;
    assert!(!kept.exercises.iter().flatten().any(|one| one.contains("right leg step, lateral")), "{kept:?}");

    let log = browser.get(&story.at("home-log")).await;
    assert!(log.body.contains("Changed. ") && log.body.contains("Taken instead:"), "{}", log.body);
    let decision = value(&log.body, "decision");
    let fields = [("decision", decision.as_str()), ("why", "the wrong leg was written down")];
    let back = browser.post(&story.at("home-log/next-step/back"), &log.hidden(), &fields).await;
    assert_eq!(back.status, StatusCode::SEE_OTHER, "{}", back.body);
    let kept = story.desk.newest::<ProgrammeRecord>(story.person).await.expect("reads").expect("kept").body;
    assert_eq!(kept.exercises, [SENTENCES.map(str::to_owned).to_vec()]);
    let log = browser.get(&story.at("home-log")).await;
    assert!(log.body.contains("taken back") && log.body.contains("the wrong leg"), "{}", log.body);
}

#[tokio::test]
async fn a_log_that_came_meanwhile_is_not_answered_unseen() {
    let story = Story::told("H-001", &days(&[CLEAN, CLEAN, HURTS])).await;
    let mut browser = story.workbench.signed_in().await;
    let page = story.proposals(&mut browser).await;
    let more = log(date(2026, 2, 3), HURTS);
    story.desk.append(story.person, &more, "a log that came meanwhile").await.expect("kept");
    let before = story.stored().await;
    let sent = story.answer(&mut browser, &page, &[("answer:less-1-R-90", "accept")]).await;
    assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(sent.body.contains("changed meanwhile"), "{}", sent.body);
    assert_eq!(story.stored().await, before);
}

/// What hurt on the day of a decision was answered by it: the programme that came of it is not made less for it again.
#[tokio::test]
async fn what_was_answered_today_does_not_count_against_the_programme_that_came_of_it() {
    let mut logs = days(&[CLEAN, CLEAN, CLEAN]);
    logs.push(log(date(2026, 2, 4), HURTS));
    let story = Story::told("H-001", &logs).await;
    let mut browser = story.workbench.signed_in().await;
    let page = story.proposals(&mut browser).await;
    let sent = story.answer(&mut browser, &page, &[("answer:less-1-R-90", "accept")]).await;
    let shown = browser.get(sent.location()).await;
    let of = value(&shown.body, "of");
    let saved = browser.post(&story.at("home-log/next-step/save"), &shown.hidden(), &[("of", &of)]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    let page = story.proposals(&mut browser).await;
    assert!(page.body.contains("Nothing was logged since") && asked(&page.body).is_empty(), "{}", page.body);
}

/// Storing the programme once more, as taking a decision back does, answers nothing of what hurt.
#[tokio::test]
async fn the_same_programme_stored_again_answers_nothing() {
    let story = Story::of_a_newcomer("H-001", &[log(date(2026, 1, 25), HURTS)]).await;
    let mut browser = story.workbench.signed_in().await;
    let page = story.proposals(&mut browser).await;
    assert!(asked(&page.body).contains(&"less-1-R-90".to_owned()), "{}", page.body);
    let again = story.desk.newest::<ProgrammeRecord>(story.person).await.expect("reads").expect("kept").body;
    story.desk.append(story.person, &again, "the same again").await.expect("kept");
    let page = story.proposals(&mut browser).await;
    assert!(asked(&page.body).contains(&"less-1-R-90".to_owned()), "{}", page.body);
}

/// A movement put in by hand is no answer to what hurt before, and what was clean before does not count for it.
#[tokio::test]
async fn a_change_by_hand_keeps_what_hurt_and_counts_what_is_clean_anew() {
    let story = Story::of_a_newcomer("H-001", &days(&[CLEAN, CLEAN, CLEAN, CLEAN, HURTS])).await;
    let mut browser = story.workbench.signed_in().await;
    let kept = story.desk.newest::<ProgrammeRecord>(story.person).await.expect("reads").expect("kept").body;
    let out = ("sentence", SENTENCES[0]);
    let changed = browser.send(&story.at("programme"), &story.at("programme/take-out"), &[out]).await;
    assert_eq!(changed.status, StatusCode::SEE_OTHER, "{}", changed.body);
    let now = story.desk.newest::<ProgrammeRecord>(story.person).await.expect("reads").expect("kept").body;
    assert!(now.by_hand && now.for_day == kept.for_day && now.exercises != kept.exercises, "{now:?}");
    let since = story.desk.since(story.person, now.for_day).await.expect("reads");
    let cells: Vec<_> = since.sessions.iter().flat_map(|one| &one.cells).collect();
    assert!(cells.iter().all(|(_, done)| done.hurt() == Some(true)) && cells.len() == 1, "{cells:?}");
    let page = story.proposals(&mut browser).await;
    assert!(asked(&page.body).contains(&"less-1-R-90".to_owned()), "{}", page.body);
    assert!(!page.body.contains("<h3>More</h3>"), "{}", page.body);
}

/// The pain of a typed code names no day and no exercise: it is asked about before anything goes up.
#[tokio::test]
async fn pain_in_a_typed_code_holds_every_step_up_until_somebody_asked() {
    let easy = |log: PracticeRecord| PracticeRecord {
        effort: Some(3),
        morning: Some(progress::Morning::Same),
        ..log
    };
    let logs: Vec<_> = days(&[CLEAN; 8]).into_iter().map(easy).collect();
    let story = Story::of_a_newcomer("H-001", &logs).await;
    let mut browser = story.workbench.signed_in().await;
    let page = story.proposals(&mut browser).await;
    assert!(page.body.contains("<h3>More</h3>"), "{}", page.body);
    let summary = exchange::typed::Summary {
        last: date(2026, 2, 3),
        or_later: false,
        sessions: 9,
        or_more: false,
        stopped: false,
        worst: vec![(
            Side::Right,
            Bearing::try_from(90).expect("a bearing"),
            exchange::typed::Worst::Moderate,
        )],
    };
    let mark = exchange::Mark::parse("0123456789abcdef").expect("a mark");
    let told = PracticeRecord::of_summary(summary, LogSource::Typed, mark);
    story.desk.append(story.person, &told, "a typed code").await.expect("kept");
    let page = story.proposals(&mut browser).await;
    assert!(page.body.contains("Nothing goes up before you asked"), "{}", page.body);
    assert!(!page.body.contains("<h3>More</h3>"), "{}", page.body);
    // A log of a day that the code does not count answers nothing, nor does one that does not say that it hurt there.
    story.desk.append(story.person, &log(date(2026, 1, 20), HURTS), "another day").await.expect("kept");
    let mut silent = log(date(2026, 2, 3), CLEAN);
    silent.items.retain(|item| (item.mover, item.bearing) != (Side::Right, Bearing::try_from(90).unwrap()));
    story.desk.append(story.person, &silent, "of elsewhere").await.expect("kept");
    story.desk.append(story.person, &log(date(2026, 2, 2), CLEAN), "clean").await.expect("kept");
    let page = story.proposals(&mut browser).await;
    assert!(page.body.contains("Nothing goes up before you asked"), "{}", page.body);
    // Asked, and entered: what hurt is less, and the line is gone.
    story.desk.append(story.person, &log(date(2026, 2, 3), HURTS), "what was asked").await.expect("kept");
    let page = story.proposals(&mut browser).await;
    assert!(!page.body.contains("Nothing goes up before you asked"), "{}", page.body);
    assert!(asked(&page.body).contains(&"less-1-R-90".to_owned()), "{}", page.body);
}

fn code_with_a_stop() -> PracticeRecord {
    let summary = exchange::typed::Summary {
        last: date(2026, 2, 3),
        or_later: false,
        sessions: 9,
        or_more: false,
        stopped: true,
        worst: Vec::new(),
    };
    let mark = exchange::Mark::parse("0123456789abcdef").expect("a mark");
    PracticeRecord::of_summary(summary, LogSource::Typed, mark)
}

/// A code that tells of a stop sign does not say which: everything stops until somebody asked. No log without a sign
/// answers it, nothing goes home, and accepting a programme does not lift it.
#[tokio::test]
async fn a_stop_sign_in_a_typed_code_stops_everything_until_somebody_asked_which() {
    let story = Story::of_a_newcomer("H-001", &days(&[CLEAN; 8])).await;
    let mut browser = story.workbench.signed_in().await;
    let sheet = story.at("programme/sheet.txt");
    assert_eq!(browser.get(&sheet).await.status, StatusCode::OK);
    story.desk.append(story.person, &code_with_a_stop(), "a typed code").await.expect("kept");
    let is_stopped = "up to 3 February 2026, and nobody said which";
    let page = story.proposals(&mut browser).await;
    assert!(page.body.contains("LOG-STOP-UNASKED") && page.body.contains("Whom to call"), "{}", page.body);
    assert!(page.body.contains(is_stopped) && asked(&page.body).is_empty(), "{}", page.body);
    for place in ["programme/sheet.txt", "teach"] {
        let body = browser.get(&story.at(place)).await.body;
        assert!(body.contains(is_stopped) && body.contains("a clinician has looked"), "{place}: {body}");
    }
    // A clean log of its days names no sign, and a programme that is accepted answers none.
    story.desk.append(story.person, &log(date(2026, 2, 2), CLEAN), "clean").await.expect("kept");
    let again = story.desk.newest::<ProgrammeRecord>(story.person).await.expect("reads").expect("kept").body;
    let again = ProgrammeRecord { exercises: again.exercises[..1].to_vec(), ..again };
    story.desk.append(story.person, &again, "another programme").await.expect("kept");
    let page = story.proposals(&mut browser).await;
    assert!(page.body.contains(is_stopped), "{}", page.body);
    // Asked: it was fainting. Now that sign is what a clinician looks at.
    let faint = PracticeRecord { stopped: Some(progress::StopSign::Unwell), ..log(date(2026, 2, 3), CLEAN) };
    story.desk.append(story.person, &faint, "what was asked").await.expect("kept");
    let page = story.proposals(&mut browser).await;
    assert!(
        page.body.contains("dizzy, sick or short of breath") && !page.body.contains(is_stopped),
        "{}",
        page.body
    );
    assert!(browser.get(&sheet).await.body.contains("A stop sign of 3 February 2026 was not looked at"));
}

/// A clinician who looked at a sign looked at that sign: the pain that a code told was not on the screen and stays open,
/// and writing down what was said of it answers it.
#[tokio::test]
async fn looking_at_a_stop_sign_answers_no_pain_of_a_code() {
    let story = Story::of_a_newcomer("H-001", &days(&[CLEAN; 8])).await;
    let mut browser = story.workbench.signed_in().await;
    let pain = (Side::Right, Bearing::try_from(90).expect("a bearing"), exchange::typed::Worst::Moderate);
    let mut code = code_with_a_stop();
    let told = code.summary.as_mut().expect("a summary");
    (told.stopped, told.worst) = (false, vec![pain]);
    let faint = PracticeRecord { stopped: Some(progress::StopSign::Unwell), ..log(date(2026, 2, 3), CLEAN) };
    story.desk.append(story.person, &faint, "a stop").await.expect("kept");
    story.desk.append(story.person, &code, "a typed code").await.expect("kept");
    for (asked, opened) in [("You have looked", true), ("You asked, and there is nothing to tap in", false)] {
        let page = story.proposals(&mut browser).await;
        assert!(page.body.contains(asked), "{asked}: {}", page.body);
        let key = value(&page.body, "key");
        let fields = [("key", key.as_str()), ("why", "seen and asked, nothing of it now")];
        let cleared = story.at("home-log/next-step/cleared");
        let done = browser.post(&cleared, &page.hidden(), &fields).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.body);
        let page = story.proposals(&mut browser).await;
        assert!(!page.body.contains("Stop: nothing is done"), "{}", page.body);
        assert_eq!(page.body.contains("Nothing goes up before you asked"), opened, "{}", page.body);
    }
}

/// What the clinician writes down answers it too: the sign that was told, and what was found.
#[tokio::test]
async fn a_clinician_who_asked_which_sign_it_was_lifts_the_stop_of_a_code() {
    let story = Story::of_a_newcomer("H-001", &days(&[CLEAN; 8])).await;
    story.desk.append(story.person, &code_with_a_stop(), "a typed code").await.expect("kept");
    let mut browser = story.workbench.signed_in().await;
    let page = story.proposals(&mut browser).await;
    assert!(page.body.contains("Which was it, and what was found?"), "{}", page.body);
    let key = value(&page.body, "key");
    let cleared = story.at("home-log/next-step/cleared");
    let fields = [("key", key.as_str()), ("why", "a twinge in the calf, gone by evening; soft, no swelling")];
    let done = browser.post(&cleared, &page.hidden(), &fields).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.body);
    let page = story.proposals(&mut browser).await;
    assert!(!page.body.contains("nobody said which"), "{}", page.body);
    assert_eq!(browser.get(&story.at("programme/sheet.txt")).await.status, StatusCode::OK);
}

#[tokio::test]
async fn assistant_and_reader_read_the_proposals_and_answer_none() {
    let story = Story::told("H-001", &days(&[CLEAN, CLEAN, HURTS])).await;
    const PASS: &str = "an invented passphrase";
    for (name, role) in [("Sorrel", Role::Assistant), ("Vetch", Role::Reader)] {
        story.desk.create_account(name, role, PASS).await.expect("an account");
    }
    let before = story.stored().await;
    for name in ["Sorrel", "Vetch"] {
        let mut browser = story.workbench.signed_in_as(name, PASS).await;
        let page = story.proposals(&mut browser).await;
        assert!(page.body.contains("<h3>Less</h3>") && asked(&page.body).is_empty(), "{name}: {}", page.body);
        for (place, fields) in [
            ("home-log/next-step", vec![("answer:less-1-R-90", "accept")]),
            ("home-log/next-step/save", vec![("of", "anything")]),
            ("home-log/next-step/back", vec![("decision", "anything"), ("why", "a reason")]),
        ] {
            let token = browser.get(&story.at("letters")).await.hidden();
            let refused = browser.post(&story.at(place), &token, &fields).await;
            assert_eq!(refused.status, StatusCode::FORBIDDEN, "{name}, {place}: {}", refused.body);
        }
        let token = browser.get(&story.at("letters")).await.hidden();
        let cleared = browser.post(&story.at("home-log/next-step/cleared"), &token, &[("why", "seen")]).await;
        assert!(cleared.status.is_client_error(), "{name}: {}", cleared.body);
    }
    assert_eq!(story.stored().await, before);
}

#[tokio::test]
async fn a_red_flag_hides_every_proposal() {
    let story = Story::told("H-013", &days(&[CLEAN, HURTS])).await;
    let mut browser = story.workbench.signed_in().await;
    for page in ["home-log", "home-log/next-step"] {
        let body = browser.get(&story.at(page)).await.body;
        assert!(body.contains("Red flag: no movement may be offered"), "{body}");
        assert!(!body.contains("answer:") && !body.contains("What the rules propose"), "{body}");
    }
}

#[tokio::test]
async fn the_home_log_does_not_wait_for_the_rules_and_says_what_is_missing_before_a_programme() {
    let story = Story::told("H-001", &days(&[CLEAN, HURTS])).await;
    let mut browser = story.workbench.signed_in().await;
    let log = browser.get(&story.at("home-log")).await;
    assert!(log.body.contains("data-later=") && !log.body.contains("answer:"), "{}", log.body);
    story.proposals(&mut browser).await;
    let log = browser.get(&story.at("home-log")).await;
    assert!(!log.body.contains("data-later=") && log.body.contains("answer:"), "worked out before");
    let nobody = story.workbench.person("H-002").await;
    let page = browser.get(&format!("/people/{nobody}/home-log")).await;
    assert!(page.body.contains("No programme was accepted yet"), "{}", page.body);
}
