//! What a browser sees, what is stored, what stands in the audit.

mod common;

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use clinic::{Action, PracticeRecord};
use common::Workbench;

#[tokio::test]
async fn nobody_sees_anything_before_signing_in() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.browser();
    for path in ["/", "/people", "/clinic/audit", &format!("/people/{person}/findings")] {
        let page = browser.get(path).await;
        assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/sign-in"), "{path}");
        assert!(!page.body.contains("Anselm"));
    }
}

#[tokio::test]
async fn a_wrong_passphrase_keeps_the_name_and_says_what_to_do() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.browser();
    let page =
        browser.send("/sign-in", "/sign-in", &[("name", "Quill"), ("passphrase", "not this one")]).await;
    assert_eq!(page.status, StatusCode::FORBIDDEN);
    assert!(page.body.contains("value=\"Quill\"") && page.body.contains("Type both again"), "{}", page.body);
    assert!(!page.body.contains("not this one"));
}

#[tokio::test]
async fn today_names_reasons_with_a_link_to_where_they_are_looked_into() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-005").await;
    let page = workbench.signed_in().await.get("/").await;
    assert_eq!(page.status, StatusCode::OK);
    let link = format!("<a href=\"/people/{person}/home-log\">Pain rose from 2 to 5 of 10");
    assert!(page.body.contains(&link), "{}", page.body);
    assert!(page.body.contains("Invented people."));
}

#[tokio::test]
async fn every_answer_forbids_other_addresses_inline_code_and_keeping() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    for path in ["/", "/people", "/no-such-page", "/assets/footrose.css"] {
        let page = browser.get(path).await;
        let policy = page.headers[header::CONTENT_SECURITY_POLICY].to_str().expect("text");
        assert!(policy.starts_with("default-src 'none'") && !policy.contains("unsafe"), "{path}");
        assert!(!page.body.contains(" style=\"") && !page.body.contains(" onclick"), "{path}");
    }
    assert_eq!(browser.get("/").await.headers[header::CACHE_CONTROL], "no-store");
}

#[tokio::test]
async fn another_host_and_a_form_of_another_page_are_refused() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let page = browser.ask(Request::get("/").header(header::HOST, "elsewhere.invalid"), Body::empty()).await;
    assert_eq!(page.status, StatusCode::FORBIDDEN);
    let request = Request::post("/lock")
        .header(header::HOST, "127.0.0.1:8750")
        .header(header::ORIGIN, "http://elsewhere.invalid")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
    assert_eq!(browser.ask(request, Body::from("form=x&once=y")).await.status, StatusCode::FORBIDDEN);
    let forged = [("form".to_owned(), "0".repeat(48)), ("once".to_owned(), "0".repeat(48))];
    assert_eq!(browser.post("/lock", &forged, &[]).await.status, StatusCode::FORBIDDEN);
    assert_eq!(browser.get("/").await.status, StatusCode::OK, "it was not locked");
}

#[tokio::test]
async fn a_log_that_is_sent_twice_is_stored_once_and_stands_in_the_audit() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/home-log");
    let hidden = browser.get(&path).await.hidden();
    // The last form of the page is that of the hand-over; token and key are of the same kind.
    let fields = [("on", "2026-02-03"), ("source", "telephone"), ("remark", "backward ached")];
    for _ in 0..2 {
        let page = browser.post(&path, &hidden, &fields).await;
        assert_eq!(
            (page.status, page.location()),
            (StatusCode::SEE_OTHER, format!("{path}?saved=1").as_str())
        );
    }
    let desk = workbench.desk().await;
    let logs = desk.read::<PracticeRecord>(person).await.expect("logs");
    assert_eq!(logs.iter().filter(|log| log.body.remark == "backward ached").count(), 1);
    let audit = desk.audit(Some(person), 1, 1000).await.expect("the audit");
    let last = audit.iter().rfind(|entry| entry.action == Action::Wrote).expect("an entry");
    assert_eq!(last.kinds, ["practice"]);
}

#[tokio::test]
async fn a_form_with_something_to_mend_keeps_what_was_typed_and_stores_nothing() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/home-log");
    let fields = [("on", "2026-02-30"), ("source", "paper"), ("remark", "two of three <done>")];
    let page = browser.send(&path, &path, &fields).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.body.contains("two of three &lt;done&gt;") && page.body.contains("2026-02-30"));
    assert!(page.body.contains("accepted: a day such as"));
}

#[tokio::test]
async fn a_locked_screen_shows_nothing_and_opens_with_the_pin() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let page = browser.send("/", "/lock", &[]).await;
    assert_eq!(page.location(), "/locked");
    assert_eq!(browser.get("/people").await.location(), "/locked");
    let wrong = browser.send("/locked", "/unlock", &[("place", "0"), ("pin", "1111")]).await;
    assert!(wrong.body.contains("tries left: 2"), "{}", wrong.body);
    let right = browser.send("/locked", "/unlock", &[("place", "0"), ("pin", "2468")]).await;
    assert_eq!(right.location(), "/");
    assert_eq!(browser.get("/people").await.status, StatusCode::OK);
}

#[tokio::test]
async fn after_three_wrong_pins_only_the_passphrase_opens() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    browser.send("/", "/lock", &[]).await;
    let hidden = browser.get("/locked").await.hidden();
    for _ in 0..3 {
        browser.post("/unlock", &hidden, &[("place", "0"), ("pin", "1111")]).await;
    }
    let page = browser.post("/unlock", &hidden, &[("place", "0"), ("pin", "2468")]).await;
    assert!(page.body.contains("There is no PIN"), "{}", page.body);
    assert_eq!(browser.get("/locked").await.location(), "/sign-in");
}

#[tokio::test]
async fn a_screen_in_the_patients_hands_shows_that_person_only() {
    let workbench = Workbench::invented().await;
    // The red flag is the quickest plan: none.
    let person = workbench.person("H-013").await;
    let mut browser = workbench.signed_in().await;
    let page =
        browser.send(&format!("/people/{person}/letters"), &format!("/people/{person}/hand-over"), &[]).await;
    assert_eq!(page.location(), "/hand-over");
    for path in ["/", "/people", "/clinic", &format!("/people/{person}/findings")] {
        assert_eq!(browser.get(path).await.location(), "/hand-over", "{path}");
    }
    let page = browser.get("/hand-over").await;
    assert!(page.body.contains("Ask your therapist"), "{}", page.body);
    let page = browser.send("/hand-over", "/hand-over/end", &[]).await;
    assert_eq!(page.location(), "/locked");
}

#[tokio::test]
async fn signing_out_ends_the_session_of_that_browser() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    assert_eq!(browser.send("/", "/sign-out", &[]).await.location(), "/sign-in");
    assert_eq!(browser.get("/people").await.location(), "/sign-in");
}

#[tokio::test]
async fn what_takes_long_says_that_it_works_and_comes_in_the_end() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/programme");
    for _ in 0..1000 {
        let request =
            Request::get(&path).header(header::HOST, "127.0.0.1:8750").header(header::ACCEPT, "text/html");
        let page = browser.ask(request, Body::empty()).await;
        assert_eq!(page.status, StatusCode::OK);
        if !page.body.contains("data-again") {
            assert!(page.body.contains("Anselm: Programme"), "{}", page.body);
            return;
        }
        assert!(page.body.contains("Working out the programme for today"), "{}", page.body);
    }
    panic!("it never came");
}

/// What is typed goes to the account that typed it, through a lock, and is gone when it was saved.
#[tokio::test]
async fn what_is_typed_comes_back_after_a_lock_to_the_one_who_typed_it_until_it_is_saved() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/home-log");
    let hidden = browser.get(&path).await.hidden();
    let fields = [("on", "2026-02-03"), ("source", "telephone"), ("remark", "half a sen")];
    let kept = [&fields[..], &[("draft-to", path.as_str())]].concat();
    assert_eq!(browser.post("/draft", &hidden, &kept).await.status, StatusCode::NO_CONTENT);
    browser.send("/", "/lock", &[]).await;
    let asked = format!("/draft?to={path}");
    assert_eq!(browser.get(&asked).await.location(), "/locked", "nothing is shown while it is locked");
    browser.get(&path).await;
    browser.send("/locked", "/unlock", &[("place", "0"), ("pin", "2468")]).await;
    assert!(browser.get(&asked).await.body.contains("half a sen"));
    assert_eq!(workbench.signed_in().await.get(&asked).await.body, "[]", "another browser has none");
    let saved = browser.post(&path, &hidden, &fields).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    assert_eq!(browser.get(&asked).await.body, "[]");
    // A request that was on its way while it was saved keeps nothing.
    browser.post("/draft", &hidden, &kept).await;
    assert_eq!(browser.get(&asked).await.body, "[]");
}

#[tokio::test]
async fn a_page_that_takes_long_says_how_far_it_is_and_can_be_stopped() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-010").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/programme");
    let asked = |quiet: bool| {
        let request = Request::get(path.as_str())
            .header(header::HOST, "127.0.0.1:8750")
            .header(header::ACCEPT, "text/html");
        if quiet { request.header("x-footrose-quiet", "1") } else { request }
    };
    let page = browser.ask(asked(false), Body::empty()).await;
    assert!(page.body.contains("<h1>One moment</h1>"), "a plan takes longer: {}", page.body);
    assert!(page.body.contains("Working out the programme for today"), "{}", page.body);
    let far = browser.ask(asked(true), Body::empty()).await;
    assert_eq!(far.status, StatusCode::OK);
    assert!(far.body.starts_with("<p>") && !far.body.contains("<html"), "{}", far.body);
    let stop = format!("/people/{person}/stop");
    let sent = browser.post(&stop, &page.hidden(), &[("page", &path)]).await;
    assert_eq!(sent.location(), format!("/people/{person}/stopped?tab=programme"));
    let stopped = sent.location().to_owned();
    let stopped = browser.get(&stopped).await;
    assert!(stopped.body.contains(&format!("<a class=\"action\" href=\"{path}\">Work it out after all")));
    let far = browser.ask(asked(true), Body::empty()).await;
    assert_eq!(far.status, StatusCode::NO_CONTENT, "nothing is being worked out");
    let elsewhere = browser.post(&stop, &page.hidden(), &[("page", "/clinic")]).await;
    assert_eq!(elsewhere.status, StatusCode::NOT_FOUND);
}
