//! Letters in a browser: chosen, read, printed with a line in the audit, kept as given out; who signs.

mod common;

use axum::http::StatusCode;
use clinic::{Action, LetterRecord, Role};
use common::Workbench;

#[tokio::test]
async fn a_letter_is_read_in_another_language_printed_and_kept() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/letters");

    let page = browser.get(&path).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.body);
    assert!(page.body.contains("Progress note") && page.body.contains("What changed"), "{}", page.body);

    let asked = format!("{path}?kind=question&language=fr");
    let page = browser.get(&asked).await;
    assert!(
        page.body.contains("lang=\"fr\"") && page.body.contains("Question au chirurgien"),
        "{}",
        page.body
    );

    let text = browser.get(&format!("{path}/letter.txt?kind=cover&language=es")).await;
    assert_eq!(text.status, StatusCode::OK);
    assert!(
        text.body.starts_with("Harbour Lane Clinic") && text.body.contains("Qué no hacer"),
        "{}",
        text.body
    );
    let desk = workbench.desk().await;
    let printed = desk.audit(Some(person), 0, 200).await.expect("audit");
    assert!(
        printed.iter().any(|entry| entry.action == Action::Printed && entry.words.contains("cover, es")),
        "{printed:?}"
    );

    let fields = [("kind", "cover"), ("language", "es"), ("activity", "run")];
    let page = browser.send(&asked, &format!("{path}/give"), &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    let kept = desk.newest::<LetterRecord>(person).await.expect("reads").expect("a letter").body;
    assert_eq!((kept.kind.as_str(), kept.language.as_str()), ("cover", "es"));
    assert_eq!(kept.author.as_deref(), Some(clinic::DEMO_NAME));
    assert_eq!(kept.text, text.body, "what is kept is what was read");
    assert!(browser.get(&path).await.body.contains("Given out"));
}

#[tokio::test]
async fn what_a_student_prepares_carries_no_name_and_a_red_flag_lets_no_letter_out() {
    const PASSPHRASE: &str = "grey herons on the third pier";
    let workbench = Workbench::invented().await;
    let desk = workbench.desk().await;
    desk.create_account("Wren", Role::Student, PASSPHRASE).await.expect("an account");
    let mut browser = workbench.signed_in_as("Wren", PASSPHRASE).await;
    let person = workbench.person("H-001").await;
    let path = format!("/people/{person}/letters");
    let page = browser.get(&path).await;
    assert!(page.body.contains("not valid without a signature"), "{}", page.body);
    assert!(!page.body.contains("Prepared for"), "{}", page.body);

    let flagged = workbench.person("H-013").await;
    let page = browser.get(&format!("/people/{flagged}/letters")).await;
    assert!(page.body.contains("Red flag"), "{}", page.body);
    let page = browser.get(&format!("/people/{flagged}/letters/letter.txt?kind=referral")).await;
    assert_eq!(page.status, StatusCode::NOT_FOUND, "{}", page.body);
}
