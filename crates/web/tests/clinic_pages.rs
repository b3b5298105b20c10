//! What a clinic does around its patients: colleagues and their roles, a person's record, backups.

mod common;

use axum::http::StatusCode;
use clinic::{Action, AdverseEvent, PersonState, ProgrammeRecord};
use common::Workbench;

const LONG: &str = "four boats seven lanterns";

/// A second account, made by the first.
async fn colleague(workbench: &Workbench, name: &str, role: &str) {
    let mut browser = workbench.signed_in().await;
    let fields = [("name", name), ("role", role), ("passphrase", LONG), ("again", LONG)];
    let page = browser.send("/clinic/accounts", "/clinic/accounts", &fields).await;
    assert_eq!(page.location(), "/clinic/accounts?saved=1", "{}", page.body);
}

#[tokio::test]
async fn an_assistant_logs_and_does_not_decide() {
    let workbench = Workbench::invented().await;
    colleague(&workbench, "Imre", "assistant").await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in_as("Imre", LONG).await;
    let path = format!("/people/{person}/home-log");
    let fields = [("on", "2026-02-03"), ("source", "told"), ("remark", "twice")];
    let page = browser.send(&path, &path, &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    let fields = [
        ("clinic_name", "Mine"),
        ("lock_after_minutes", "5"),
        ("nothing_logged_days", "4"),
        ("retest_days", "42"),
    ];
    let page = browser.send("/clinic/settings", "/clinic/settings", &fields).await;
    assert_eq!(page.status, StatusCode::FORBIDDEN);
    assert!(page.body.contains("The role assistant may not write"), "{}", page.body);
    assert!(workbench.desk().await.settings().await.expect("settings").clinic_name.is_empty());
    let page = browser.get("/clinic/audit").await;
    assert_eq!(page.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn a_student_enters_and_a_clinician_countersigns() {
    let workbench = Workbench::invented().await;
    colleague(&workbench, "Noor", "student").await;
    let person = workbench.person("H-002").await;
    let mut student = workbench.signed_in_as("Noor", LONG).await;
    let path = format!("/people/{person}/home-log");
    student.send(&path, &path, &[("on", "2026-02-03"), ("source", "told"), ("remark", "once")]).await;
    let mut clinician = workbench.signed_in().await;
    let page = clinician.get("/clinic/countersign").await;
    assert!(page.body.contains("practice of Noor"), "{}", page.body);
    let at = page.body.find("name=\"record\" value=\"").expect("an entry") + 21;
    let record = page.body[at..at + 36].to_owned();
    let page = clinician.send("/clinic/countersign", "/clinic/countersign", &[("record", &record)]).await;
    assert_eq!(page.location(), "/clinic/countersign?saved=1", "{}", page.body);
    assert!(clinician.get("/clinic/countersign").await.body.contains("Nothing waits"));
}

#[tokio::test]
async fn two_people_at_one_browser_change_places_with_their_pins() {
    let workbench = Workbench::invented().await;
    colleague(&workbench, "Imre", "clinician").await;
    let mut browser = workbench.signed_in().await;
    browser.send("/", "/lock", &[]).await;
    browser.send("/sign-in", "/sign-in", &[("name", "Imre"), ("passphrase", LONG), ("pin", "13579")]).await;
    assert!(browser.get("/").await.body.contains("<summary>Imre</summary>"));
    browser.send("/", "/lock", &[]).await;
    let page = browser.get("/locked").await;
    assert!(page.body.contains("PIN of Tarn") && page.body.contains("PIN of Imre"), "{}", page.body);
    browser.send("/locked", "/unlock", &[("place", "0"), ("pin", "2468")]).await;
    assert!(browser.get("/").await.body.contains("<summary>Tarn</summary>"));
}

#[tokio::test]
async fn two_passphrases_that_differ_make_no_account_and_are_not_sent_back() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let fields =
        [("name", "Imre"), ("role", "reader"), ("passphrase", LONG), ("again", "another one altogether")];
    let page = browser.send("/clinic/accounts", "/clinic/accounts", &fields).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.body.contains("value=\"Imre\"") && !page.body.contains(LONG), "{}", page.body);
    assert_eq!(workbench.desk().await.accounts().expect("accounts").len(), 1);
}

#[tokio::test]
async fn a_changed_name_needs_a_reason_and_the_earlier_one_stays_readable() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-003").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/record");
    let page = browser.send(&path, &path, &[("name", "Brano K."), ("number", "H-003"), ("born", "")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.body.contains("needs a reason") && page.body.contains("Brano K."), "{}", page.body);
    let fields = [("name", "Brano K."), ("number", "H-003"), ("born", ""), ("reason", "two of that name")];
    assert_eq!(browser.send(&path, &path, &fields).await.location(), format!("{path}?saved=1"));
    let desk = workbench.desk().await;
    let line = desk.person(person).await.expect("the person");
    let versions = desk.versions::<clinic::PersonRecord>(line.record).await.expect("versions");
    let names: Vec<&str> = versions.iter().map(|entry| entry.body.name.as_str()).collect();
    assert_eq!(names, ["Brano", "Brano K."]);
    assert_eq!(versions[1].reason, "two of that name");
}

#[tokio::test]
async fn closed_records_leave_today_and_are_destroyed_only_by_name_and_with_reasons() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-005").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/record");
    assert!(browser.get("/").await.body.contains("Ibbe"));
    browser.send(&path, &format!("{path}/close"), &[("reason", "discharged")]).await;
    let line = workbench.desk().await.person(person).await.expect("the person");
    assert_eq!(line.person.state, PersonState::Closed { retain_until: jiff::civil::date(2036, 2, 4) });
    assert!(!browser.get("/").await.body.contains("Ibbe"));
    let destroy = format!("{path}/destroy");
    let page = browser.send(&path, &destroy, &[("name_again", "Iben"), ("reason", "asked for")]).await;
    assert!(page.body.contains("Nothing was destroyed"), "{}", page.body);
    let page = browser.send(&path, &destroy, &[("name_again", "Ibbe"), ("reason", "asked for")]).await;
    assert!(page.body.contains("still to be kept"), "{}", page.body);
    let fields = [("name_again", "Ibbe"), ("reason", "asked for"), ("earlier", "never a patient here")];
    assert_eq!(browser.send(&path, &destroy, &fields).await.location(), "/people?saved=1");
    assert_eq!(browser.get(&path).await.status, StatusCode::NOT_FOUND);
    let audit = workbench.desk().await.audit(Some(person), 1, 1000).await.expect("the audit");
    assert!(audit.iter().any(|entry| entry.action == Action::Destroyed));
}

#[tokio::test]
async fn everything_about_a_person_is_one_archive_and_the_audit_says_that_it_was_taken() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let page = browser
        .send(&format!("/people/{person}/record"), &format!("/people/{person}/record/everything.zip"), &[])
        .await;
    assert_eq!(page.headers["content-type"], "application/zip");
    for part in ["entries.json", "entries.csv", "case-0002.toml", "README.txt", "lighthouse mechanic"] {
        assert!(page.body.contains(part), "{part}");
    }
    let audit = workbench.desk().await.audit(Some(person), 1, 1000).await.expect("the audit");
    assert!(audit.iter().any(|entry| entry.action == Action::Exported));
}

#[tokio::test]
async fn an_adverse_event_stands_with_the_person_and_in_the_list_of_the_clinic() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-009").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/adverse");
    let fields =
        [("on", "2026-02-17"), ("what", "stumbled"), ("during", "a step back"), ("then", "sat down")];
    assert_eq!(
        browser.send(&path, &path, &fields).await.location(),
        format!("/people/{person}/record?saved=1")
    );
    assert!(browser.get("/clinic/adverse").await.body.contains("stumbled, during a step back"));
    let stored = workbench.desk().await.read::<AdverseEvent>(person).await.expect("events");
    assert_eq!(stored[0].body.then, "sat down");
}

#[tokio::test]
async fn a_backup_into_a_folder_that_is_not_there_says_what_to_do_and_one_that_is_there_counts() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let page = browser.send("/clinic/backup", "/clinic/backup", &[("folder", "/not/there")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.body.contains("create it, or plug the disk in") && page.body.contains("/not/there"));
    let folder = workbench.clinic.path().parent().expect("a folder").join("backups");
    std::fs::create_dir(&folder).expect("a folder");
    let folder = folder.to_string_lossy().into_owned();
    let page = browser.send("/clinic/backup", "/clinic/backup", &[("folder", &folder)]).await;
    assert!(page.body.contains("read back whole"), "{}", page.body);
    assert!(browser.get("/clinic").await.body.contains("Last good backup: just now"));
    let page = browser.send("/clinic/backup", "/clinic/backup/check", &[]).await;
    assert!(page.body.contains("All is sound: 13 people"), "{}", page.body);
}

#[tokio::test]
async fn an_accepted_programme_is_stored_once_as_sentences_that_can_be_permitted_again() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/programme");
    let hidden = browser.get(&path).await.hidden();
    for _ in 0..2 {
        let page = browser.post(&format!("{path}/accept"), &hidden, &[]).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    }
    let desk = workbench.desk().await;
    let stored = desk.read::<ProgrammeRecord>(person).await.expect("programmes");
    assert_eq!(stored.len(), 1);
    let standing = desk.standing(person).await.expect("a standing");
    assert_eq!(standing.programme.as_ref().map(|programme| programme.for_day), Some(standing.day));
    assert!(stored[0].body.exercises.iter().flatten().all(|sentence| sentence.contains("leg")));
}
