//! A file written in format 1 is opened by every later version.
//!
//! `format_1.records` was written once and is never written again: two people, five versions of three
//! entries, one account of a student, the cheapest key. When a new format comes, it gets a file of its own
//! beside this one.

mod common;

use std::fs;

use common::{Folder, NAME, PASSPHRASE, Time, bodies, options, welcome};
use store::{Action, Chain, Check, RecoveryKey, Role, Store};

/// The recovery key that was printed when the file was created.
const RECOVERY: &str = "ZMBBK-8D9YQ-Q2YP9-X2BKS-MQ3AQ-47FFE-JPMB4-ZSBHQ";

#[tokio::test]
async fn a_file_of_format_1_says_what_it_said_when_it_was_written() {
    let folder = Folder::new("format");
    let path = folder.file("copy.records");
    fs::write(&path, include_bytes!("format_1.records")).expect("copied");
    let store = Store::open(&path, options(&Time::new())).await.expect("opens");
    let session = welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    let persons = session.persons().await.expect("a list");
    assert_eq!(persons.len(), 2);
    let mut said = Vec::new();
    for person in &persons {
        for record in session.all(*person).await.expect("read") {
            said.push(format!(
                "{} {} {}",
                record.kind(),
                bodies(std::slice::from_ref(&record))[0],
                record.reason()
            ));
        }
    }
    said.sort();
    assert_eq!(
        said,
        [
            "finding knee bends 59 ",
            "finding knee bends 95 digits swapped",
            "log done, pain 2 ",
            "summary  entered twice",
            "summary the second person ",
        ]
    );
    let check = session.check().await.expect("an answer");
    assert!(matches!(check, Check::Sound { persons: 2, records: 7, .. }), "{check:?}");
    let roles: Vec<Role> = session.accounts().expect("accounts").iter().map(|account| account.role).collect();
    assert_eq!(roles, [Role::Clinician, Role::Student]);
    assert!(matches!(session.verify_audit().await.expect("an answer"), Chain::Intact { .. }));
    let audit = session.audit(None, 1, 1).await.expect("the audit");
    assert_eq!(audit[0].action, Action::Created);
    let key: RecoveryKey = RECOVERY.parse().expect("as printed");
    welcome(store.recover(&key).await.expect("answers"));
}
