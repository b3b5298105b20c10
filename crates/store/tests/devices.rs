//! Devices are admitted by clinicians, known by a hash while nobody is signed in, and sent away at once.

mod common;

use std::fs;

use common::{Clinic, NAME, PASSPHRASE, options, welcome};
use store::{Action, Chain, DeviceSecret, Error, Moment, Role, Store, restore};

const OTHER: &str = "the passphrase of Bo";

#[tokio::test]
async fn an_admitted_device_is_known_while_nobody_is_signed_in_until_it_is_sent_away() {
    let mut clinic = Clinic::new("devices").await;
    let (tablet, secret) = clinic.session.admit_device(" tablet by the window ").await.expect("admitted");
    let carried = secret.to_string();
    clinic.reopen().await;
    assert!(clinic.store.is_locked());
    let shown = DeviceSecret::read(&carried).expect("as it was given");
    assert_eq!(clinic.store.admitted_devices().await.expect("a list"), [(shown.mark(), tablet)]);
    clinic.time.pass_s(600);
    clinic.store.device_seen(tablet).await.expect("written");
    let session = clinic.sign_in(NAME, PASSPHRASE).await;
    let known = session.devices().await.expect("a list");
    assert_eq!(known.len(), 1);
    assert_eq!((known[0].name.as_str(), known[0].by), ("tablet by the window", session.account()));
    assert_eq!(known[0].seen.in_unix_ms() - known[0].added.in_unix_ms(), 600_000);
    for _ in 0..2 {
        session.end_device(tablet).await.expect("sent away");
    }
    assert!(clinic.store.admitted_devices().await.expect("a list").is_empty());
    assert!(session.devices().await.expect("a list")[0].ended.is_some());
    let audit = session.audit(None, 1, 100).await.expect("the audit");
    let words: Vec<&str> = audit
        .iter()
        .filter(|entry| entry.action == Action::Device)
        .map(|entry| entry.words.as_str())
        .collect();
    assert_eq!(words, ["admitted: tablet by the window", "sent away: tablet by the window"]);
}

#[tokio::test]
async fn neither_what_a_device_holds_nor_what_it_is_called_stands_in_the_file() {
    let clinic = Clinic::new("devices-sealed").await;
    let (_, secret) = clinic.session.admit_device("Marigold's tablet").await.expect("admitted");
    let carried = secret.to_string();
    clinic.store.close().await.expect("closed");
    let bytes = fs::read(clinic.path()).expect("read");
    let raw: Vec<u8> =
        (0..32).map(|at| u8::from_str_radix(&carried[2 * at..2 * at + 2], 16).expect("digits")).collect();
    for hidden in [b"Marigold".as_slice(), carried.as_bytes(), &raw] {
        assert!(!bytes.windows(hidden.len()).any(|part| part == hidden), "it can be read");
    }
}

#[tokio::test]
async fn only_a_clinician_admits_and_sends_away_and_a_name_is_asked_for() {
    let clinic = Clinic::new("devices-roles").await;
    let (tablet, _) = clinic.session.admit_device("tablet").await.expect("admitted");
    for (role, name) in
        [(Role::Assistant, "Bo Quist"), (Role::Student, "Cy Quist"), (Role::Reader, "Di Quist")]
    {
        clinic.session.create_account(name, role, OTHER).await.expect("an account");
        let session = clinic.sign_in(name, OTHER).await;
        let admitted = session.admit_device("phone").await.map(drop);
        assert!(matches!(admitted, Err(Error::NotPermitted { .. })), "{role}: {admitted:?}");
        let ended = session.end_device(tablet).await;
        assert!(matches!(ended, Err(Error::NotPermitted { .. })), "{role}: {ended:?}");
    }
    let long = "a".repeat(41);
    for name in ["", "  ", long.as_str()] {
        let admitted = clinic.session.admit_device(name).await.map(drop);
        assert!(matches!(admitted, Err(Error::BadDeviceName { .. })), "`{name}`: {admitted:?}");
    }
    for text in ["", "12", "é".repeat(32).as_str(), &"g".repeat(64), &"0".repeat(63)] {
        assert!(DeviceSecret::read(text).is_none(), "`{text}`");
    }
}

#[tokio::test]
async fn a_refusal_is_in_the_audit_with_or_without_somebody_signed_in_and_the_chain_holds() {
    let mut clinic = Clinic::new("devices-refused").await;
    clinic.store.device_refused("a wrong code").await.expect("written");
    clinic.reopen().await;
    clinic.store.device_refused("nobody could seal this").await.expect("written");
    let session = clinic.sign_in(NAME, PASSPHRASE).await;
    let audit = session.audit(None, 1, 100).await.expect("the audit");
    let words: Vec<&str> = audit
        .iter()
        .filter(|entry| entry.action == Action::DeviceRefused)
        .map(|entry| entry.words.as_str())
        .collect();
    assert_eq!(words, ["a wrong code", ""]);
    assert!(matches!(session.verify_audit().await.expect("an answer"), Chain::Intact { .. }));
}

#[tokio::test]
async fn what_comes_from_a_backup_admits_no_device() {
    let clinic = Clinic::new("devices-restored").await;
    clinic.session.admit_device("tablet").await.expect("admitted");
    let folder = clinic.folder.file("backups");
    fs::create_dir(&folder).expect("a folder");
    let backup = clinic.session.backup(&folder).await.expect("a backup").file;
    let to = clinic.folder.file("new.records");
    restore(&backup, &to, Moment::unix_ms(clinic.time.now())).await.expect("restored");
    let store = Store::open(&to, options(&clinic.time)).await.expect("opens");
    assert!(store.admitted_devices().await.expect("a list").is_empty());
    let session = welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    assert!(session.devices().await.expect("a list").is_empty());
}
