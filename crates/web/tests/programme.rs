//! The programme in a browser: built, accepted, permitted again, taught; who may, and what is written.

mod common;

use axum::http::{StatusCode, header};
use clinic::{Action, ProgrammeRecord, Role, Steadiness, TeachRecord};
use common::{Browser, Workbench};

const STEP: &str = "mover=right&family=step&to=90&cm=25&support=both&held=walking+frame";

/// The fields of a question about one movement.
const ASKED: [(&str, &str); 6] = [
    ("mover", "right"),
    ("family", "step"),
    ("to", "90"),
    ("cm", "25"),
    ("support", "both"),
    ("held", "walking frame"),
];

async fn json(browser: &mut Browser<'_>, path: &str, fields: &[(&str, &str)]) -> serde_json::Value {
    let page =
        browser.send(&path.replace("/programme", "/letters"), &format!("{path}/movement"), fields).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.body);
    serde_json::from_str(&page.body).unwrap_or_else(|error| panic!("{error}: {}", page.body))
}

#[tokio::test]
async fn one_movement_is_answered_with_its_verdict_posture_and_demand() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/programme");
    let got = json(&mut browser, &path, &ASKED).await;
    assert_eq!(got["permitted"], true, "{got}");
    assert!(
        got["sentence"]
            .as_str()
            .is_some_and(|text| text.contains("right leg step, lateral") && text.ends_with("walking frame"))
    );
    let text = |key: &str| got[key].as_str().unwrap_or_default().to_owned();
    assert!(text("verdict").contains("Permitted today") && text("verdict").contains("balance margin"));
    assert!(
        text("bars").contains("Hip abductors") && text("bars").contains("class=\"band\""),
        "{}",
        text("bars")
    );
    assert_eq!(text("figures").matches("<svg").count(), 2);
    assert!(got.get("floor").is_none(), "a drag does not ask for the floor");
    // The same question turned asks for another picture of the same posture.
    let turned = json(&mut browser, &path, &[&ASKED[..], &[("view", "90")]].concat()).await;
    assert_ne!(turned["figures"], got["figures"]);
    assert_eq!(turned["bars"], got["bars"]);
}

#[tokio::test]
async fn a_crossing_step_on_a_new_hip_is_refused_with_its_rule_and_cannot_be_put_in() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/programme");
    let fields = [("mover", "right"), ("family", "step"), ("to", "270"), ("crossing", "front"), ("cm", "30")];
    let got = json(&mut browser, &path, &fields).await;
    assert_eq!(got["permitted"], false);
    assert!(
        got["verdict"]
            .as_str()
            .is_some_and(|text| text.contains("Not permitted today") && text.contains("Opens when"))
    );
    let sentence = got["sentence"].as_str().unwrap_or_default().to_owned();
    let page = browser
        .send(&format!("/people/{person}/letters"), &format!("{path}/put"), &[("sentence", &sentence)])
        .await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.body);
    let desk = workbench.desk().await;
    assert!(desk.newest::<ProgrammeRecord>(person).await.expect("reads").is_none());
}

/// What is put in by hand is kept as sentences, permitted again on the page, printed and taken out.
#[tokio::test]
async fn a_movement_is_put_in_taught_and_taken_out() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/programme");
    let token_page = format!("/people/{person}/letters");
    let sentence =
        json(&mut browser, &path, &ASKED).await["sentence"].as_str().unwrap_or_default().to_owned();
    let page = browser.send(&token_page, &format!("{path}/put"), &[("sentence", &sentence)]).await;
    assert_eq!(
        (page.status, page.location()),
        (StatusCode::SEE_OTHER, format!("{path}?saved=1").as_str()),
        "{}",
        page.body
    );
    let desk = workbench.desk().await;
    let kept = desk.newest::<ProgrammeRecord>(person).await.expect("reads").expect("kept");
    assert_eq!(kept.body.exercises, [[sentence.clone()]]);
    let audit = desk.audit(Some(person), 1, 1000).await.expect("the audit");
    assert_eq!(
        audit.iter().rfind(|entry| entry.action == Action::Wrote).expect("written").kinds,
        ["programme"]
    );

    // In the room: one tap, then nothing tapped.
    let teach = format!("/people/{person}/teach");
    let page = browser.get(&teach).await;
    assert!(
        page.body.contains("name=\"t1-R-90\"") && page.body.contains("name=\"b1-R-90\""),
        "{}",
        page.body
    );
    let hidden = page.hidden();
    let nothing = browser.post(&teach, &hidden, &[]).await;
    assert_eq!(nothing.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(nothing.body.contains("Nothing was tapped yet"));
    let taps = [("t1-R-90", "hurt"), ("t1-R-90-pain", "4"), ("b1-R-90", "corrected"), ("b1-R-90-pain", "9")];
    for _ in 0..2 {
        let saved = browser.post(&teach, &hidden, &taps).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    }
    let lessons = desk.read::<TeachRecord>(person).await.expect("reads");
    let [lesson] = lessons.as_slice() else { panic!("sent twice, stored once: {lessons:?}") };
    assert_eq!(lesson.body.items[0].distance_cm, Some(25.0), "how far it was taught");
    let told: Vec<_> = lesson.body.items.iter().map(|item| (item.was, item.pain, item.shown_back)).collect();
    assert_eq!(
        told,
        [(Steadiness::Hurt, Some(4), false), (Steadiness::Corrected, None, true)],
        "pain counts where it hurt"
    );
    let log = browser.get(&format!("/people/{person}/home-log")).await;
    assert!(log.body.contains("taught in the room") && log.body.contains("hurt, pain 4 of 10"));

    let page = browser.send(&token_page, &format!("{path}/take-out"), &[("sentence", &sentence)]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER);
    assert!(
        desk.newest::<ProgrammeRecord>(person).await.expect("reads").expect("kept").body.exercises.is_empty()
    );
}

/// The page of a person, a programme of whom holds a movement that is not permitted.
#[tokio::test]
async fn what_is_no_longer_permitted_is_named_and_neither_taught_nor_printed() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let desk = workbench.desk().await;
    let across =
        "right leg step, medial (named from the right leg), crossing in front, standing foot fixed, 30 cm";
    let aside = "right leg step, lateral (named from the right leg), 25 cm, both hands held, walking frame";
    let record = ProgrammeRecord {
        for_day: jiff::civil::date(2026, 2, 4),
        use_until: jiff::civil::date(2026, 3, 4),
        exercises: vec![vec![aside.to_owned()], vec![across.to_owned()]],
        json: serde_json::json!({}),
        why: String::new(),
        by_hand: false,
    };
    desk.append(person, &record, "a-key-of-sixteen-letters").await.expect("kept");
    let mut browser = workbench.signed_in().await;
    let teach = browser.get(&format!("/people/{person}/teach")).await;
    assert!(teach.body.contains("t1-R-90") && !teach.body.contains("t2-"), "{}", teach.body);
    assert!(teach.body.contains("1 of its movements are no longer permitted"));
    let page = browser.get(&format!("/people/{person}/programme?{STEP}")).await;
    assert!(page.body.contains("No longer permitted, and not on the sheet"), "{}", page.body);
    let sheet = browser.get(&format!("/people/{person}/programme/sheet.txt")).await;
    assert_eq!(sheet.headers[header::CONTENT_TYPE], "text/plain; charset=utf-8");
    assert!(sheet.body.contains("right") && !sheet.body.contains("Cross in front"), "{}", sheet.body);
}

#[tokio::test]
async fn a_red_flag_gives_the_alert_and_nothing_to_build_or_teach() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-013").await;
    let mut browser = workbench.signed_in().await;
    for page in ["programme", "teach"] {
        let page = browser.get(&format!("/people/{person}/{page}")).await;
        assert!(page.body.contains("Red flag") && !page.body.contains("id=\"builder\""), "{}", page.body);
        assert!(!page.body.contains("class=\"step"));
    }
    let sheet = browser.get(&format!("/people/{person}/programme/sheet.txt")).await;
    assert_eq!(sheet.status, StatusCode::NOT_FOUND);
}

/// An assistant is shown the programme without a way to change it; what a student accepts waits.
#[tokio::test]
async fn who_may_change_a_programme_and_whose_waits() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let desk = workbench.desk().await;
    const PASS: &str = "an invented passphrase";
    for (name, role) in [("Sorrel", Role::Assistant), ("Teasel", Role::Student), ("Vetch", Role::Reader)] {
        desk.create_account(name, role, PASS).await.expect("an account");
    }
    let path = format!("/people/{person}/programme");
    let token_page = format!("/people/{person}/letters");
    for name in ["Sorrel", "Vetch"] {
        let mut browser = workbench.browser();
        browser.get("/sign-in").await;
        browser.send("/sign-in", "/sign-in", &[("name", name), ("passphrase", PASS)]).await;
        let page = browser.get(&format!("{path}?{STEP}")).await;
        assert!(page.body.contains("Permitted today"), "{}", page.body);
        assert!(!page.body.contains("programme/put") && !page.body.contains("programme/accept"));
        let refused = browser.send(&token_page, &format!("{path}/accept"), &[("proposal", "0")]).await;
        assert_eq!(refused.status, StatusCode::FORBIDDEN, "{name}: {}", refused.body);
    }
    assert!(desk.newest::<ProgrammeRecord>(person).await.expect("reads").is_none());

    let mut student = workbench.browser();
    student.get("/sign-in").await;
    student.send("/sign-in", "/sign-in", &[("name", "Teasel"), ("passphrase", PASS)]).await;
    let page = student.send(&token_page, &format!("{path}/accept"), &[("proposal", "1")]).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    let kept = desk.newest::<ProgrammeRecord>(person).await.expect("reads").expect("kept");
    assert!(student.get(&path).await.body.contains("waiting for a countersignature"));
    assert_eq!(student.get(&format!("{path}/sheet.txt")).await.status, StatusCode::NOT_FOUND);
    assert!(student.get(&format!("/people/{person}/teach")).await.body.contains("waits for a clinician"));
    desk.countersign(kept.record).await.expect("countersigned");
    assert_eq!(student.get(&format!("{path}/sheet.txt")).await.status, StatusCode::OK);
}

/// A dose within the rules is kept and counted; one that is not is refused with what is accepted, and what
/// was typed stays on the page.
#[tokio::test]
async fn dose_and_pace_are_changed_within_the_rules() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/programme");
    let token_page = format!("/people/{person}/letters");
    let sentence =
        json(&mut browser, &path, &ASKED).await["sentence"].as_str().unwrap_or_default().to_owned();
    browser.send(&token_page, &format!("{path}/put"), &[("sentence", &sentence)]).await;
    let typed = |repetitions: &'static str, out: &'static str| {
        [
            ("repetitions", repetitions),
            ("rounds", "1"),
            ("per_day", "2"),
            ("out", out),
            ("hold", "2"),
            ("back", "3"),
        ]
    };
    let dose = format!("{path}/dose");
    let send = |repetitions, out| [&typed(repetitions, out)[..], &[("of", sentence.as_str())]].concat();
    let page = browser.send(&token_page, &dose, &send("4", "4")).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    let shown = browser.get(&path).await;
    let words = "4 times each direction on each limb, one round, twice a day";
    assert!(
        shown.body.contains(words) && shown.body.contains("4 s out, 2 s hold, 3 s back"),
        "{}",
        shown.body
    );
    for (repetitions, out, told) in [
        ("9", "3", "cannot be 9; accepted: 2 to 5"),
        ("4", "1", "The way out cannot be 1 s; accepted: 2 s to 10 s"),
        ("four", "3", "Repetitions cannot be `four`"),
    ] {
        let page = browser.send(&token_page, &dose, &send(repetitions, out)).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.body);
        assert!(page.body.contains(told), "{told}: {}", page.body);
        assert!(page.body.contains(&format!("value=\"{repetitions}\"")), "what was typed stays");
    }
    let desk = workbench.desk().await;
    let kept = desk.newest::<ProgrammeRecord>(person).await.expect("reads").expect("kept");
    assert_eq!(kept.body.json["exercises"][0]["dose"]["repetitions"], 4);
    assert!(kept.body.why.contains("4 repetitions"), "{}", kept.body.why);
}

/// Everything about a person holds the sheet of what was accepted; where there is none it says why.
#[tokio::test]
async fn everything_about_a_person_holds_the_sheet_or_says_why_not() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let taken = |person: clinic::PersonId| {
        (format!("/people/{person}/letters"), format!("/people/{person}/record/everything.zip"))
    };
    let flagged = taken(workbench.person("H-013").await);
    let archive = browser.send(&flagged.0, &flagged.1, &[]).await;
    assert!(archive.body.contains("There is no home sheet in it: No programme was accepted"), "no sheet");
    let person = workbench.person("H-001").await;
    let (page, zip) = taken(person);
    browser.send(&page, &format!("/people/{person}/programme/accept"), &[("proposal", "0")]).await;
    let archive = browser.send(&page, &zip, &[]).await;
    assert!(archive.body.contains("home-sheet.") && archive.body.contains("the home sheet of the accepted"));
}
