//! What goes home: in the person's language and for the reader who needs it; on paper, as a file, as an address.

mod common;

use axum::http::{StatusCode, header};
use clinic::{Action, HandedForm, HandedOut, PersonId, ProgrammeRecord, Role};
use common::{Browser, Workbench};
use exchange::{Programme, fragment};
use jiff::civil::date;

/// Puts a step to the right into the programme.
async fn with_programme(browser: &mut Browser<'_>, person: PersonId) -> String {
    let path = format!("/people/{person}/programme");
    let token_page = format!("/people/{person}/letters");
    let asked = [
        ("mover", "right"),
        ("family", "step"),
        ("to", "90"),
        ("cm", "25"),
        ("support", "both"),
        ("held", "walking frame"),
    ];
    let answer = browser.send(&token_page, &format!("{path}/movement"), &asked).await;
    let answer: serde_json::Value = serde_json::from_str(&answer.body).expect("an answer");
    let sentence = answer["sentence"].as_str().unwrap_or_default().to_owned();
    let put = browser.send(&token_page, &format!("{path}/put"), &[("sentence", &sentence)]).await;
    assert_eq!(put.status, StatusCode::SEE_OTHER, "{}", put.body);
    path
}

/// Sends a form of the hand-out; the token comes from a page that computes nothing.
async fn send(browser: &mut Browser<'_>, path: &str, what: &str, fields: &[(&str, &str)]) -> common::Page {
    browser.send(&path.replace("/programme", "/letters"), &format!("{path}/{what}"), fields).await
}

#[tokio::test]
async fn the_sheet_speaks_each_language_in_each_unit_and_the_audit_says_which() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = with_programme(&mut browser, person).await;
    // 25 cm, rounded down to the quarter inch: 25 / 2.54 = 9.84.
    for (query, must_say) in [
        ("language=en&units=metric", "25 cm"),
        ("language=fr&units=metric", "25 cm"),
        ("language=es&units=imperial", "9¾"),
        ("language=en&edition=bilingual&beside=es", "25 cm"),
    ] {
        let sheet = browser.get(&format!("{path}/sheet.txt?{query}")).await;
        assert_eq!(sheet.status, StatusCode::OK, "{query}: {}", sheet.body);
        assert!(sheet.body.contains(must_say), "{query}: {}", sheet.body);
    }
    let english = browser.get(&format!("{path}/sheet.txt?language=en")).await.body;
    let french = browser.get(&format!("{path}/sheet.txt?language=fr")).await.body;
    assert!(french.contains("pied") && !english.contains("pied"), "{french}");
    let desk = workbench.desk().await;
    let audit = desk.audit(Some(person), 1, 1000).await.expect("the audit");
    let printed: Vec<&str> = audit
        .iter()
        .filter(|entry| entry.action == Action::Printed)
        .map(|entry| entry.words.as_str())
        .collect();
    assert!(printed.contains(&"home sheet, text, es, imperial"), "{printed:?}");
    assert!(printed.contains(&"home sheet, text, beside es"), "{printed:?}");
}

/// What is proposed and not accepted is nobody's order, and what is past its day was asked of the gates for other days.
#[tokio::test]
async fn there_is_no_sheet_before_a_programme_was_accepted_nor_after_its_last_day() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/programme");
    let before = browser.get(&format!("{path}/sheet.txt")).await;
    assert_eq!(before.status, StatusCode::NOT_FOUND);
    assert!(before.body.contains("No programme was accepted, so there is no sheet"), "{}", before.body);
    with_programme(&mut browser, person).await;
    assert_eq!(browser.get(&format!("{path}/sheet.txt")).await.status, StatusCode::OK);
    let desk = workbench.desk().await;
    let kept = desk.newest::<ProgrammeRecord>(person).await.expect("reads").expect("kept").body;
    let old = ProgrammeRecord { for_day: date(2026, 1, 20), use_until: date(2026, 2, 3), ..kept };
    desk.append(person, &old, "of two weeks ago").await.expect("kept");
    let past = browser.get(&format!("{path}/sheet.txt")).await;
    assert_eq!(past.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(past.body.contains("to be used until 3 February 2026, so there is no sheet"), "{}", past.body);
}

#[tokio::test]
async fn a_choice_that_there_is_not_says_which_there_are() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = with_programme(&mut browser, person).await;
    for (query, must_say) in [
        ("language=de", "accepted: en, fr, es"),
        ("units=feet", "accepted: metric, imperial"),
        ("edition=tiny", "accepted: standard, large, bilingual, numerals"),
        ("language=fr&edition=bilingual&beside=fr", "the same language twice"),
    ] {
        let page = browser.get(&format!("{path}/sheet.txt?{query}")).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
        assert!(page.body.contains(must_say), "{query}: {}", page.body);
    }
    let page = send(&mut browser, &path, "page.html", &[("order", "zigzag")]).await;
    assert!(page.body.contains("accepted: round, reverse, called"), "{}", page.body);
}

#[cfg(not(feature = "pdf"))]
#[tokio::test]
async fn without_typesetting_the_page_says_so_and_the_floor_guide_too() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = with_programme(&mut browser, person).await;
    let guide = browser.get(&format!("{path}/floor-guide.pdf")).await;
    assert_eq!(guide.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(guide.body.contains("built without typesetting"), "{}", guide.body);
}

#[tokio::test]
async fn a_page_is_remembered_once_for_each_programme_without_the_persons_name() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/programme");
    let none = send(&mut browser, &path, "page.html", &[]).await;
    assert_eq!(none.status, StatusCode::NOT_FOUND, "nothing goes home before something was accepted");
    let path = with_programme(&mut browser, person).await;
    for _ in 0..2 {
        let page = send(&mut browser, &path, "page.html", &[("language", "en")]).await;
        assert_eq!(page.headers[header::CONTENT_TYPE], "text/html; charset=utf-8");
        assert!(page.body.starts_with("<!DOCTYPE html>") || page.body.starts_with("<!doctype html>"));
    }
    send(&mut browser, &path, "page.html", &[("language", "fr")]).await;
    let desk = workbench.desk().await;
    let out = desk.read::<HandedOut>(person).await.expect("reads");
    assert_eq!(out.len(), 2, "one of each language");
    assert!(out.iter().all(|one| one.body.programme.person.is_empty() && one.body.form == HandedForm::Page));
    assert_ne!(out[0].body.programme.mark, out[1].body.programme.mark);
}

#[tokio::test]
async fn an_address_is_given_once_the_site_is_set_and_carries_the_programme_and_no_name() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = with_programme(&mut browser, person).await;
    let refused = send(&mut browser, &path, "address", &[]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.body.contains("Clinic, Settings"), "{}", refused.body);
    let settings = workbench.desk().await.settings().await.expect("settings");
    let set = |site: &'static str| {
        [
            ("lock_after_minutes", settings.lock_after_minutes.to_string()),
            ("nothing_logged_days", settings.nothing_logged_days.to_string()),
            ("retest_days", settings.retest_days.to_string()),
            ("practice_site", site.to_owned()),
        ]
    };
    for wrong in ["http://practice.example/", "practice.example", "https://practice.example/#x", "https://"] {
        let fields = set(wrong);
        let fields: Vec<(&str, &str)> = fields.iter().map(|(a, b)| (*a, b.as_str())).collect();
        let page = browser.send("/clinic/settings", "/clinic/settings", &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{wrong}");
        assert!(page.body.contains("accepted: an address such as https://"), "{}", page.body);
    }
    let fields = set("https://practice.example/p/");
    let fields: Vec<(&str, &str)> = fields.iter().map(|(a, b)| (*a, b.as_str())).collect();
    let page = browser.send("/clinic/settings", "/clinic/settings", &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    let page = send(&mut browser, &path, "address", &[("language", "es")]).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.body);
    let (_, behind) = page.body.split_once("data-text=\"https://practice.example/p/#").expect("the address");
    let programme: Programme =
        fragment::read(behind.split('"').next().unwrap_or_default()).expect("a programme");
    let out = workbench.desk().await.read::<HandedOut>(person).await.expect("reads");
    assert_eq!((out[0].body.programme.mark, out[0].body.form), (programme.mark, HandedForm::Address));
    assert!(programme.person.is_empty());
}

#[tokio::test]
async fn a_readers_hand_and_an_uncountersigned_programme_send_nothing_home() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let desk = workbench.desk().await;
    const PASS: &str = "an invented passphrase";
    for (name, role) in [("Teasel", Role::Student), ("Vetch", Role::Reader)] {
        desk.create_account(name, role, PASS).await.expect("an account");
    }
    let mut student = workbench.signed_in_as("Teasel", PASS).await;
    let path = with_programme(&mut student, person).await;
    let waits = send(&mut student, &path, "page.html", &[]).await;
    assert_eq!(waits.status, StatusCode::NOT_FOUND);
    assert!(waits.body.contains("countersignature"), "{}", waits.body);
    let waiting = desk.awaiting_countersignature().await.expect("a list");
    desk.countersign(waiting[0].id()).await.expect("countersigned");
    let mut reader = workbench.signed_in_as("Vetch", PASS).await;
    let page = send(&mut reader, &path, "page.html", &[]).await;
    assert_eq!(page.status, StatusCode::FORBIDDEN, "{}", page.body);
    assert!(desk.read::<HandedOut>(person).await.expect("reads").is_empty());
    let page = send(&mut student, &path, "page.html", &[]).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.body);
}
