//! A file written in an earlier format is opened by every later version.
//!
//! `format_1.records` was written once and is never written again: two people, five versions of three
//! entries, one account of a student, the cheapest key. `format_3.records` has a backup made by hand and one made
//! by itself, a device that is admitted, one that was sent away, and one that was refused. When a new format
//! comes, it gets a file of its own beside these.

mod common;

use std::fs;

use common::{Folder, NAME, PASSPHRASE, Time, bodies, options, welcome};
use store::{Action, Chain, Check, DeviceSecret, RecoveryKey, Role, Store};

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

/// What the device holds that was admitted when the file was created.
const DEVICE: &str = "141512878f2552675034f52f6cd97bb2df63b6caa43b55b7971470c2236f8bd1";

#[tokio::test]
async fn a_file_of_format_3_knows_its_devices_and_which_backups_nobody_asked_for() {
    let folder = Folder::new("format-3");
    let path = folder.file("copy.records");
    fs::write(&path, include_bytes!("format_3.records")).expect("copied");
    let store = Store::open(&path, options(&Time::new())).await.expect("opens");
    let marks: Vec<_> =
        store.admitted_devices().await.expect("a list").into_iter().map(|(mark, _)| mark).collect();
    assert_eq!(marks, [DeviceSecret::read(DEVICE).expect("as it was given").mark()]);
    let session = welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    let devices = session.devices().await.expect("a list");
    let told: Vec<_> = devices.iter().map(|one| (one.name.as_str(), one.ended.is_some())).collect();
    assert_eq!(told, [("lost phone", true), ("tablet by the window", false)]);
    let backups = session.backups().await.expect("a list");
    assert_eq!(backups.iter().map(|one| one.by_itself).collect::<Vec<_>>(), [true, false]);
    let person = session.persons().await.expect("a list")[0];
    assert_eq!(bodies(&session.read(person).await.expect("read")), ["knee bends 59", "done, pain 2"]);
    let audit = session.audit(None, 1, 100).await.expect("the audit");
    let refused = audit.iter().find(|entry| entry.action == Action::DeviceRefused).expect("refused");
    assert_eq!(refused.words, "a wrong code");
    let check = session.check().await.expect("an answer");
    assert!(matches!(check, Check::Sound { persons: 1, .. }), "{check:?}");
}
