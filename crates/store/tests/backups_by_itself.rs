//! Backups that nobody asked for: the newest are kept, nothing else is removed; and trying one.

mod common;

use std::fs;
use std::path::PathBuf;

use common::{Clinic, NAME, PASSPHRASE, options};
use store::{Action, Check, Destruction, Error, First, Moment, Role, Store};

async fn clinic(name: &str) -> (Clinic, PathBuf) {
    let clinic = Clinic::new(name).await;
    let folder = clinic.folder.file("backups");
    fs::create_dir(&folder).expect("a folder");
    (clinic, folder)
}

fn names(folder: &std::path::Path) -> Vec<String> {
    let all = fs::read_dir(folder).expect("the folder");
    let mut names: Vec<String> =
        all.map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[tokio::test]
async fn the_newest_made_by_itself_are_kept_and_nothing_that_it_did_not_make_so_is_removed() {
    let (clinic, folder) = clinic("thinned").await;
    let by_hand = clinic.session.backup(&folder).await.expect("by hand").file;
    // Another clinic's backup, under a name that ours could have.
    let other = Clinic::new("thinned-other").await;
    let elsewhere = other.folder.file("backups");
    fs::create_dir(&elsewhere).expect("a folder");
    let theirs = other.session.backup(&elsewhere).await.expect("theirs").file;
    let mut made = Vec::new();
    for number in 0..5 {
        clinic.time.pass_s(24 * 60 * 60);
        let done = clinic.session.backup_by_itself(&folder, 3).await.expect("by itself");
        if number == 1 {
            // Somebody put a foreign file in the place of one of ours.
            fs::copy(&theirs, &done.backup.file).expect("copied");
        }
        fs::write(folder.join("holiday.txt"), "not ours").expect("written");
        made.push(done);
    }
    let name = made[0].backup.file.file_name().expect("a name");
    let oldest = folder.canonicalize().expect("there").join(name);
    let removed: Vec<&PathBuf> = made.iter().flat_map(|done| &done.removed).collect();
    assert_eq!(removed, [&oldest]);
    let left = names(&folder);
    assert!(left.contains(&"holiday.txt".to_owned()) && left.contains(&"keys.ring".to_owned()), "{left:?}");
    assert!(by_hand.is_file(), "made by hand");
    assert!(made[1].backup.file.is_file(), "a file that is not ours under a name of ours");
    assert!(made[2..].iter().all(|done| done.backup.file.is_file()), "the newest three");
    let listed = clinic.session.backups().await.expect("a list");
    assert_eq!(listed.len(), 6);
    assert_eq!(
        listed.iter().map(|one| one.by_itself).collect::<Vec<_>>(),
        [true, true, true, true, true, false]
    );
    assert_eq!(listed.iter().filter(|one| one.there).count(), 5);
    let audit = clinic.session.audit(None, 1, 100).await.expect("the audit");
    let words: Vec<&str> = audit
        .iter()
        .filter(|entry| entry.action == Action::BackedUp)
        .map(|entry| entry.words.as_str())
        .collect();
    assert_eq!(words.iter().filter(|words| words.ends_with(", by itself")).count(), 5, "{words:?}");
    assert_eq!(words.iter().filter(|words| words.starts_with("removed for newer ones: records-")).count(), 1);
}

#[tokio::test]
async fn a_folder_that_vanished_or_takes_nothing_is_named_and_nothing_is_lost() {
    let (clinic, folder) = clinic("vanished").await;
    let first = clinic.session.backup_by_itself(&folder, 3).await.expect("by itself").backup;
    let away = clinic.folder.file("unplugged");
    fs::rename(&folder, &away).expect("unplugged");
    clinic.time.pass_s(60);
    let gone = clinic.session.backup_by_itself(&folder, 3).await.map(|_| ());
    let said = gone.expect_err("it is not there").to_string();
    assert!(said.contains("the folder is not there; create it, or plug the disk in"), "{said}");
    assert_eq!(
        clinic.store.last_backup().await.expect("answers"),
        Some(first.at),
        "the last good one counts"
    );
    fs::rename(&away, &folder).expect("plugged in again");
    clinic.session.backup_by_itself(&folder, 3).await.expect("it goes on");
    assert!(first.file.is_file());

    let file = clinic.folder.file("a-file");
    fs::write(&file, "").expect("written");
    let said = clinic.session.backup_by_itself(&file, 3).await.map(|_| ()).expect_err("a file").to_string();
    assert!(said.contains("it is a file; name a folder"), "{said}");
    if cfg!(target_os = "linux") {
        // A folder in which nobody can create a file, whoever runs the test.
        let said = clinic
            .session
            .backup_by_itself("/proc/self".as_ref(), 3)
            .await
            .map(|_| ())
            .expect_err("no file")
            .to_string();
        assert!(
            said.contains("nothing could be written there") && said.contains("choose another folder"),
            "{said}"
        );
    }
    let person = clinic.person("1").await;
    clinic.write(person, "finding", "work goes on", "a").await;
}

#[tokio::test]
async fn a_backup_that_is_tried_says_what_is_in_it_and_leaves_nothing_behind() {
    let (clinic, folder) = clinic("tried").await;
    let (stays, gone) = (clinic.person("1").await, clinic.person("2").await);
    clinic.write(stays, "finding", "seen", "a").await;
    clinic.write(gone, "finding", "to be forgotten", "b").await;
    let written = clinic.time.now();
    clinic.time.pass_s(60);
    let backup = clinic.session.backup_by_itself(&folder, 3).await.expect("by itself").backup;
    let before = (clinic.folder.list(), names(&folder), fs::read(&backup.file).expect("read"));
    let tried = clinic.session.try_backup(&backup.file).await.expect("tried");
    assert!(matches!(tried.check, Check::Sound { persons: 2, records: 3, .. }), "{tried:?}");
    assert_eq!(tried.newest, Some(Moment::unix_ms(written)));
    assert_eq!((clinic.folder.list(), names(&folder), fs::read(&backup.file).expect("read")), before);

    // Who was destroyed since is not in it any more, and it is whole all the same.
    let why =
        Destruction { reason: "over".to_owned(), retain_until: Moment::unix_ms(0), earlier_because: None };
    clinic.session.destroy(gone, why).await.expect("destroyed");
    let tried = clinic.session.try_backup(&backup.file).await.expect("tried");
    assert!(matches!(tried.check, Check::Sound { persons: 1, records: 2, .. }), "{tried:?}");

    // A byte that differs inside a sealed body is noticed.
    let mut bytes = fs::read(&backup.file).expect("read");
    let place = bytes.windows(7).position(|part| part == b"finding").expect("the kind stands unsealed");
    let end = (place + 120).min(bytes.len());
    bytes[place + 100..end].iter_mut().for_each(|byte| *byte ^= 0x55);
    let damaged = folder.join("damaged.backup");
    fs::write(&damaged, bytes).expect("written");
    match clinic.session.try_backup(&damaged).await {
        Ok(tried) => assert!(matches!(tried.check, Check::Unsound { .. }), "{tried:?}"),
        Err(error) => assert!(matches!(error, Error::Damaged { .. } | Error::Failed { .. }), "{error:?}"),
    }
    assert_eq!(clinic.folder.list(), before.0, "nothing is left behind");
}

#[tokio::test]
async fn trying_needs_a_role_that_manages_and_a_backup_of_these_records() {
    let (clinic, folder) = clinic("not-ours").await;
    let backup = clinic.session.backup(&folder).await.expect("a backup").file;
    clinic
        .session
        .create_account("Bo Quist", Role::Assistant, "the passphrase of Bo")
        .await
        .expect("an account");
    let assistant = clinic.sign_in("Bo Quist", "the passphrase of Bo").await;
    let tried = assistant.try_backup(&backup).await;
    assert!(matches!(tried, Err(Error::NotPermitted { .. })), "{tried:?}");
    // Making one needs none: whoever signs in first gives the key to read it back with.
    clinic.time.pass_s(1);
    assistant.backup_by_itself(&folder, 3).await.expect("by itself");

    let path = clinic.folder.file("other.records");
    let first = First { name: NAME, passphrase: PASSPHRASE };
    let (other, session, _) = Store::create(&path, options(&clinic.time), first).await.expect("another file");
    let said = session.try_backup(&backup).await.map(|_| ()).expect_err("of another file").to_string();
    assert!(said.contains("it is of another file of records"), "{said}");
    other.close().await.expect("closed");
}
