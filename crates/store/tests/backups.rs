//! A backup is read back before it counts; damage is mended from it; the destroyed stay destroyed.

mod common;

use std::fs;

use common::{Clinic, NAME, PASSPHRASE, bodies, options, welcome};
use store::{Check, Destruction, Error, Moment, PersonId, Role, Session, SignIn, Store, restore};

async fn clinic(name: &str) -> (Clinic, std::path::PathBuf) {
    let clinic = Clinic::new(name).await;
    let folder = clinic.folder.file("backups");
    fs::create_dir(&folder).expect("a folder");
    (clinic, folder)
}

async fn destroy(session: &Session, person: PersonId) -> store::Destroyed {
    let why = Destruction {
        reason: "the time is over".to_owned(),
        retain_until: Moment::unix_ms(0),
        earlier_because: None,
    };
    session.destroy(person, why).await.expect("destroyed")
}

async fn restored(clinic: &Clinic, backup: &std::path::Path, name: &str) -> Store {
    let to = clinic.folder.file(name);
    restore(backup, &to, Moment::unix_ms(clinic.time.now())).await.expect("restored");
    Store::open(&to, options(&clinic.time)).await.expect("opens")
}

#[tokio::test]
async fn what_was_damaged_comes_back_from_the_backup() {
    let (clinic, folder) = clinic("mended").await;
    let person = clinic.person("1").await;
    clinic.write(person, "finding", "seen", "a").await;
    assert_eq!(clinic.store.last_backup().await.expect("answers"), None);
    let backup = clinic.session.backup(&folder).await.expect("a backup");
    assert_eq!(clinic.store.last_backup().await.expect("answers"), Some(backup.at));
    assert!(backup.file.ends_with("records-2026-05-28T202640Z.backup"), "{}", backup.file.display());
    let mut left: Vec<_> = fs::read_dir(&folder)
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    left.sort();
    assert_eq!(left, ["keys.ring", "records-2026-05-28T202640Z.backup"], "nothing unfinished stays");

    // Damage: a page of the file is overwritten.
    clinic.store.close().await.expect("closed");
    let mut bytes = fs::read(clinic.path()).expect("read");
    bytes[4096..4096 * 20].fill(0x55);
    fs::write(clinic.path(), &bytes).expect("damaged");
    let opened = Store::open(&clinic.path(), options(&clinic.time)).await;
    if let Ok(store) = opened {
        assert!(store.sign_in(NAME, PASSPHRASE).await.is_err(), "damage is noticed");
        store.close().await.ok();
    }

    let store = restored(&clinic, &backup.file, "mended.records").await;
    let session = welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    assert_eq!(bodies(&session.read(person).await.expect("read")), ["seen"]);
    let check = session.check().await.expect("checked");
    assert!(matches!(check, Check::Sound { persons: 1, .. }), "{check:?}");
    let audit = session.audit(None, 1, 100).await.expect("the audit");
    assert!(audit.iter().any(|entry| entry.action == store::Action::Restored));
}

#[tokio::test]
async fn a_backup_holds_no_keys_and_is_of_no_use_without_the_ring() {
    let (clinic, folder) = clinic("ringless").await;
    let backup = clinic.session.backup(&folder).await.expect("a backup");
    let elsewhere = clinic.folder.file("records-alone.backup");
    fs::copy(&backup.file, &elsewhere).expect("copied");
    let error = restore(&elsewhere, &clinic.folder.file("x.records"), Moment::unix_ms(0)).await;
    let Err(Error::Backup { why, .. }) = &error else { panic!("{error:?}") };
    assert!(why.contains("keys.ring"), "{why}");
    let opened = Store::open(&backup.file, options(&clinic.time)).await.map(|_| ());
    assert!(matches!(opened, Err(Error::Foreign { .. })), "a backup is restored, not opened");
}

#[tokio::test]
async fn who_was_destroyed_stays_destroyed_in_every_earlier_backup() {
    let (clinic, folder) = clinic("stays").await;
    let (gone, stays) = (clinic.person("1").await, clinic.person("2").await);
    clinic.write(gone, "finding", "to be forgotten", "a").await;
    clinic.write(stays, "finding", "to be kept", "b").await;
    let before = clinic.session.backup(&folder).await.expect("a backup");
    let done = destroy(&clinic.session, gone).await;
    assert_eq!(done.renewed, [folder.canonicalize().expect("there")]);
    assert!(done.unreached.is_empty());
    // Not even by hand: the key is in no file of the folder any more.
    let store = restored(&clinic, &before.file, "older.records").await;
    let session = welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    assert_eq!(session.persons().await.expect("persons"), [stays]);
    assert!(matches!(session.read(gone).await, Err(Error::Destroyed { .. })));
    assert_eq!(bodies(&session.read(stays).await.expect("read")), ["to be kept"]);
    assert_eq!(session.tombstones().await.expect("tombstones").len(), 1);
    let check = session.check().await.expect("checked");
    assert!(matches!(check, Check::Sound { .. }), "{check:?}");
}

#[tokio::test]
async fn a_folder_that_cannot_be_reached_is_named_and_mended_by_the_next_backup_there() {
    let (clinic, folder) = clinic("unreached").await;
    let person = clinic.person("1").await;
    clinic.write(person, "finding", "to be forgotten", "a").await;
    let backup = clinic.session.backup(&folder).await.expect("a backup");
    let away = clinic.folder.file("unplugged");
    fs::rename(&folder, &away).expect("unplugged");
    let done = destroy(&clinic.session, person).await;
    assert!(done.renewed.is_empty());
    assert_eq!(done.unreached.len(), 1);
    fs::rename(&away, &folder).expect("plugged in again");
    clinic.time.pass_s(60);
    clinic.session.backup(&folder).await.expect("a backup");
    let store = restored(&clinic, &backup.file, "older.records").await;
    let session = welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    assert!(matches!(session.read(person).await, Err(Error::Destroyed { .. })));
}

#[tokio::test]
async fn an_old_passphrase_and_a_later_account_do_not_open_an_old_backup() {
    let (clinic, folder) = clinic("later").await;
    let backup = clinic.session.backup(&folder).await.expect("a backup");
    let changed = "a passphrase of today";
    clinic.session.change_passphrase(PASSPHRASE, changed).await.expect("changed");
    clinic
        .session
        .create_account("Bo Quist", Role::Clinician, "the passphrase of Bo")
        .await
        .expect("an account");
    clinic.time.pass_s(60);
    clinic.session.backup(&folder).await.expect("a later one, which renews the ring");
    let store = restored(&clinic, &backup.file, "older.records").await;
    for (name, passphrase) in [(NAME, PASSPHRASE), ("Bo Quist", "the passphrase of Bo")] {
        let outcome = store.sign_in(name, passphrase).await.expect("answers");
        assert!(matches!(outcome, SignIn::Refused { .. }), "{name}");
    }
    welcome(store.sign_in(NAME, changed).await.expect("answers"));
}

#[tokio::test]
async fn a_folder_with_the_ring_of_another_file_is_not_touched() {
    let (clinic, folder) = clinic("ours").await;
    let other = Clinic::new("theirs").await;
    other.session.backup(&folder).await.expect("theirs first");
    let ring = fs::read(folder.join("keys.ring")).expect("read");
    clinic.time.pass_s(60);
    let refused = clinic.session.backup(&folder).await;
    assert!(matches!(refused, Err(Error::Backup { .. })), "{refused:?}");
    assert!(fs::read(folder.join("keys.ring")).expect("read") == ring, "not a byte of it changed");
    assert_eq!(clinic.store.last_backup().await.expect("answers"), None);
}

#[tokio::test]
async fn a_backup_that_was_cut_short_is_refused_and_creates_nothing() {
    let (clinic, folder) = clinic("short").await;
    let backup = clinic.session.backup(&folder).await.expect("a backup");
    let whole = fs::read(&backup.file).expect("read");
    fs::write(&backup.file, &whole[..whole.len() / 2]).expect("cut");
    let to = clinic.folder.file("new.records");
    let error = restore(&backup.file, &to, Moment::unix_ms(0)).await;
    assert!(matches!(error, Err(Error::Truncated { .. })), "{error:?}");
    assert!(!to.exists());
    assert_eq!(clinic.folder.list().iter().filter(|name| name.contains("unfinished")).count(), 0);
}

#[tokio::test]
async fn an_export_has_every_version_in_order_and_stands_in_the_audit() {
    let clinic = Clinic::new("export").await;
    let person = clinic.person("1").await;
    let first = clinic.write(person, "finding", "one", "a").await;
    clinic.write(person, "log", "two", "b").await;
    clinic.session.correct(first, "one, mended", "a slip", "c").await.expect("corrected");
    let export = clinic.session.export(person, "for the person").await.expect("exported");
    assert_eq!(bodies(&export.records), ["one", "two", "one, mended"]);
    assert_eq!(export.records[2].reason(), "a slip");
    assert_eq!(export.authors.len(), 1);
    let audit = clinic.session.audit(Some(person), 1, 100).await.expect("the audit");
    let last = audit.last().expect("entries");
    assert_eq!((last.action, last.words.as_str()), (store::Action::Exported, "for the person"));
}
