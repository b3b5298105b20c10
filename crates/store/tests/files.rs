//! A file that cannot be used says why in words of its own, and is left as it was.

mod common;

use std::fs;

use common::{Clinic, Folder, NAME, PASSPHRASE, Time, options};
use store::{Error, First, NewRecord, Store};

async fn refusal(path: &std::path::Path) -> Error {
    match Store::open(path, options(&Time::new())).await {
        Ok(_) => panic!("`{}` was opened", path.display()),
        Err(error) => error,
    }
}

#[tokio::test]
async fn after_a_clean_close_one_file_is_left() {
    let clinic = Clinic::new("one").await;
    let person = clinic.person("1").await;
    clinic.write(person, "log", "x", "y").await;
    assert!(clinic.folder.list().len() > 1, "while it is open there is a log beside it");
    clinic.store.close().await.expect("closed");
    assert_eq!(clinic.folder.list(), ["clinic.records"]);
    let after = clinic.session.read(person).await;
    assert!(matches!(after, Err(Error::SessionEnded)), "{after:?}");
}

#[tokio::test]
async fn a_file_that_is_not_there_is_not_created() {
    let folder = Folder::new("missing");
    let error = refusal(&folder.file("none.records")).await;
    assert!(matches!(error, Error::Missing { .. }), "{error}");
    assert!(folder.list().is_empty());
}

#[tokio::test]
async fn creating_does_not_touch_a_file_that_is_there() {
    let folder = Folder::new("exists");
    let path = folder.file("letter.txt");
    fs::write(&path, "dear colleague").expect("written");
    let first = First { name: NAME, passphrase: PASSPHRASE };
    let made = Store::create(&path, options(&Time::new()), first).await;
    assert!(matches!(made.map(|_| ()), Err(Error::Exists { .. })));
    assert_eq!(fs::read_to_string(&path).expect("read"), "dear colleague");
}

#[tokio::test]
async fn foreign_files_are_refused_and_left_as_they_were() {
    let folder = Folder::new("foreign");
    let mut other = b"SQLite format 3\0".to_vec();
    other.resize(4096, 0);
    for (name, bytes) in
        [("letter.txt", b"dear colleague".to_vec()), ("empty", Vec::new()), ("other.db", other)]
    {
        let path = folder.file(name);
        fs::write(&path, &bytes).expect("written");
        let error = refusal(&path).await;
        assert!(matches!(error, Error::Foreign { .. }), "{name}: {error}");
        assert!(fs::read(&path).expect("read") == bytes, "{name} was changed");
    }
    assert_eq!(folder.list().len(), 3);
}

#[tokio::test]
async fn a_file_cut_short_is_refused_with_both_lengths() {
    let clinic = Clinic::new("cut").await;
    clinic.store.close().await.expect("closed");
    let whole = fs::read(clinic.path()).expect("read");
    for length in [50, 4096, whole.len() - 4096, whole.len() - 1] {
        fs::write(clinic.path(), &whole[..length]).expect("cut");
        let error = refusal(&clinic.path()).await;
        let Error::Truncated { found, .. } = error else { panic!("{length}: {error}") };
        assert_eq!(found, length as u64);
        assert!(fs::read(clinic.path()).expect("read") == whole[..length], "it was changed");
    }
    fs::write(clinic.path(), &whole).expect("whole again");
    let store = Store::open(&clinic.path(), options(&clinic.time)).await.expect("whole again");
    common::welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
}

#[tokio::test]
async fn a_file_of_a_newer_version_is_refused_and_left_as_it_was() {
    let clinic = Clinic::new("newer").await;
    clinic.store.close().await.expect("closed");
    let mut bytes = fs::read(clinic.path()).expect("read");
    // The format stands big-endian at byte 60 of a database.
    bytes[60..64].copy_from_slice(&99_u32.to_be_bytes());
    fs::write(clinic.path(), &bytes).expect("written");
    let error = refusal(&clinic.path()).await;
    assert!(matches!(error, Error::Newer { found: 99, .. }), "{error}");
    assert!(fs::read(clinic.path()).expect("read") == bytes, "it was changed");
}

#[tokio::test]
async fn a_second_opening_in_this_process_is_refused_and_the_first_goes_on() {
    let clinic = Clinic::new("second").await;
    let error = refusal(&clinic.path()).await;
    assert!(matches!(error, Error::InUse { .. }), "{error}");
    let person = clinic.person("1").await;
    clinic.write(person, "log", "still writing", "a").await;
}

#[tokio::test]
async fn a_file_that_another_process_holds_is_refused_and_the_other_way_round() {
    let clinic = Clinic::new("held").await;
    // A lock belongs to one opening of the file, so this handle stands for another process.
    let other = fs::File::open(clinic.path()).expect("opens");
    assert!(matches!(other.try_lock(), Err(fs::TryLockError::WouldBlock)), "the store holds the file");
    clinic.store.close().await.expect("closed");
    other.try_lock().expect("the store let go");
    let error = refusal(&clinic.path()).await;
    assert!(matches!(error, Error::InUse { .. }), "{error}");
    other.unlock().expect("let go");
    Store::open(&clinic.path(), options(&clinic.time)).await.expect("opens");
}

#[tokio::test]
async fn when_the_disk_is_full_the_entry_is_refused_and_all_earlier_ones_are_there() {
    let mut clinic = Clinic::new("full").await;
    let person = clinic.person("1").await;
    clinic.write(person, "log", "before", "a").await;
    let pages = fs::metadata(clinic.path()).expect("there").len() / 4096 + 40;
    clinic.store.close().await.expect("closed");
    let narrow = options(&clinic.time).at_most_pages(u32::try_from(pages).expect("few"));
    clinic.store = Store::open(&clinic.path(), narrow).await.expect("opens");
    clinic.session = clinic.sign_in(NAME, PASSPHRASE).await;
    let mut kept = 1;
    let error = loop {
        let record = NewRecord::new(person, "log", vec![7; 9000], format!("{kept}"));
        match clinic.session.append(record).await {
            Ok(_) => kept += 1,
            Err(error) => break error,
        }
        assert!(kept < 1000, "the disk never filled");
    };
    assert!(matches!(error, Error::DiskFull), "{error}");
    clinic.restart().await;
    assert_eq!(clinic.session.all(person).await.expect("read").len(), kept);
    clinic.write(person, "log", "after space was made", "z").await;
    let check = clinic.session.check().await.expect("checked");
    assert!(matches!(check, store::Check::Sound { .. }), "{check:?}");
}

#[tokio::test]
async fn an_error_says_what_was_given_and_what_to_do() {
    let folder = Folder::new("words");
    let path = folder.file("x.records");
    fs::write(&path, "hello").expect("written");
    let error = refusal(&path).await.to_string();
    assert!(
        error.contains("x.records") && error.contains("not touched") && error.contains("name a file"),
        "{error}"
    );
}
