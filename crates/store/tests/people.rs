//! Who may sign in, how often, and what each role may do.

mod common;

use std::time::Duration;

use common::{Clinic, NAME, PASSPHRASE, welcome};
use store::{AccountId, Action, Chain, Error, NewRecord, RecoveryKey, Role, SignIn};

const OTHER: &str = "another passphrase here";

async fn refused(clinic: &Clinic, name: &str, passphrase: &str) -> SignIn {
    let outcome = clinic.store.sign_in(name, passphrase).await.expect("the file answers");
    assert!(!matches!(outcome, SignIn::Welcome(_)), "{name} was let in");
    outcome
}

#[tokio::test]
async fn a_wrong_passphrase_an_unknown_name_and_a_disabled_account_look_the_same() {
    let clinic = Clinic::new("refused").await;
    let id = clinic.session.create_account("Rasmus Thorne", Role::Reader, OTHER).await.expect("an account");
    clinic.session.disable_account(id, "left").await.expect("disabled");
    for (name, passphrase) in
        [(NAME, OTHER), ("Nobody Here", PASSPHRASE), ("Rasmus Thorne", OTHER), ("Rasmus Thorne", PASSPHRASE)]
    {
        assert!(matches!(refused(&clinic, name, passphrase).await, SignIn::Refused { .. }), "{name}");
    }
    welcome(clinic.store.sign_in(" imre BLOMQVIST ", PASSPHRASE).await.expect("answers"));
}

#[tokio::test]
async fn every_further_failure_waits_longer_and_a_restart_does_not_make_it_shorter() {
    let mut clinic = Clinic::new("slow").await;
    let mut waits = Vec::new();
    for _ in 0..14 {
        let SignIn::Refused { wait } = refused(&clinic, NAME, OTHER).await else { panic!("waits") };
        waits.push(wait.as_secs());
        if wait > Duration::ZERO {
            clinic.reopen().await;
            let early = clinic.store.sign_in(NAME, PASSPHRASE).await.expect("answers");
            assert!(matches!(early, SignIn::Wait { wait: left } if left == wait), "after a restart");
            clinic.time.pass_s(i64::try_from(wait.as_secs()).expect("short"));
        }
    }
    assert_eq!(waits, [0, 0, 0, 2, 4, 8, 16, 32, 64, 128, 256, 300, 300, 300]);
    welcome(clinic.store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    let SignIn::Refused { wait } = refused(&clinic, NAME, OTHER).await else { panic!("waits") };
    assert_eq!(wait, Duration::ZERO, "a success sets the count back");
}

#[tokio::test]
async fn failures_are_in_the_audit_although_nobody_was_signed_in_and_the_chain_holds() {
    let mut clinic = Clinic::new("failures").await;
    clinic.reopen().await;
    assert!(clinic.store.is_locked());
    refused(&clinic, NAME, OTHER).await;
    refused(&clinic, NAME, OTHER).await;
    clinic.session = clinic.sign_in(NAME, PASSPHRASE).await;
    let audit = clinic.session.audit(None, 1, 100).await.expect("the audit");
    let failed = audit.iter().filter(|entry| entry.action == Action::SignInFailed);
    assert_eq!(failed.clone().count(), 2);
    assert!(failed.clone().all(|entry| entry.account == AccountId::NOBODY));
    assert!(matches!(clinic.session.verify_audit().await.expect("an answer"), Chain::Intact { .. }));
}

#[tokio::test]
async fn there_is_no_passphrase_shorter_than_twelve_and_none_that_is_the_name() {
    let clinic = Clinic::new("weak").await;
    for weak in ["", "elevenchars", "aaaabbbbcccc", "rasmus b. thorne"] {
        let made = clinic.session.create_account("Rasmus B. Thorne", Role::Reader, weak).await;
        assert!(matches!(made, Err(Error::WeakPassphrase { .. })), "`{weak}`");
    }
    clinic
        .session
        .create_account("Rasmus B. Thorne", Role::Reader, "twelve chars")
        .await
        .expect("long enough");
    let again = clinic.session.create_account("RASMUS b. thorne ", Role::Reader, OTHER).await;
    assert!(matches!(again, Err(Error::BadName { .. })), "{again:?}");
}

#[tokio::test]
async fn each_role_writes_what_is_open_to_it_and_no_more() {
    let clinic = Clinic::new("roles").await;
    let person = clinic.person("1").await;
    let finding = clinic.write(person, "finding", "seen", "f").await;
    for (role, name, may) in [
        (Role::Clinician, "Ada Quist", ["log", "finding", "programme"].as_slice()),
        (Role::Assistant, "Bo Quist", &["log"]),
        (Role::Student, "Cy Quist", &["log", "finding"]),
        (Role::Reader, "Di Quist", &[]),
    ] {
        clinic.session.create_account(name, role, OTHER).await.expect("an account");
        let session = clinic.sign_in(name, OTHER).await;
        for kind in ["log", "finding", "programme"] {
            let wrote = session.append(NewRecord::new(person, kind, "x", name)).await;
            assert_eq!(wrote.is_ok(), may.contains(&kind), "{role} and {kind}: {wrote:?}");
        }
        let manages = role == Role::Clinician;
        let made = session.create_account("Ed Quist", Role::Reader, "the passphrase of Ed").await;
        assert_eq!(made.is_ok(), manages, "{role}: {made:?}");
        let corrected = session.correct(finding, "changed", "why", name).await;
        assert_eq!(
            matches!(corrected, Err(Error::NotPermitted { .. })),
            !may.contains(&"finding"),
            "{role}: {corrected:?}"
        );
        assert_eq!(session.audit(None, 1, 1).await.is_ok(), manages, "{role} reads the audit");
        assert!(session.read(person).await.is_ok(), "{role} reads");
        let forged = session.append(NewRecord::new(person, "store.countersigned", "x", name)).await;
        assert!(matches!(forged, Err(Error::NotPermitted { .. })), "{forged:?}");
    }
}

#[tokio::test]
async fn a_students_entry_waits_for_a_clinician_who_is_not_the_student() {
    let clinic = Clinic::new("student").await;
    let person = clinic.person("1").await;
    clinic.session.create_account("Cy Quist", Role::Student, OTHER).await.expect("an account");
    let student = clinic.sign_in("Cy Quist", OTHER).await;
    let entry =
        student.append(NewRecord::new(person, "finding", "swelling 1", "a")).await.expect("written").id();
    let waiting = clinic.session.awaiting_countersignature().await.expect("a list");
    assert_eq!(waiting.iter().map(store::Record::id).collect::<Vec<_>>(), [entry]);
    let own = student.countersign(entry).await;
    assert!(matches!(own, Err(Error::NotPermitted { .. })), "{own:?}");
    clinic.session.countersign(entry).await.expect("countersigned");
    clinic.session.countersign(entry).await.expect("a second click changes nothing");
    assert!(clinic.session.awaiting_countersignature().await.expect("a list").is_empty());
    assert_eq!(clinic.session.all(person).await.expect("all").len(), 2, "the countersignature is a record");

    // A new version by the student waits again; one by a clinician does not.
    let second = student.correct(entry, "swelling 2", "looked again", "b").await.expect("corrected").id();
    let waiting = clinic.session.awaiting_countersignature().await.expect("a list");
    assert_eq!(waiting.iter().map(store::Record::id).collect::<Vec<_>>(), [second]);
    clinic.session.correct(second, "swelling 1 after all", "measured", "c").await.expect("corrected");
    assert!(clinic.session.awaiting_countersignature().await.expect("a list").is_empty());
}

#[tokio::test]
async fn a_disabled_account_stops_at_once_and_the_last_clinician_stays() {
    let clinic = Clinic::new("disabled").await;
    let id = clinic.session.create_account("Bo Quist", Role::Assistant, OTHER).await.expect("an account");
    let assistant = clinic.sign_in("Bo Quist", OTHER).await;
    let person = clinic.person("1").await;
    clinic.session.disable_account(id, "left the clinic").await.expect("disabled");
    let read = assistant.read(person).await;
    assert!(matches!(read, Err(Error::SessionEnded)), "{read:?}");
    let last = clinic.session.disable_account(clinic.session.account(), "a mistake").await;
    assert!(matches!(last, Err(Error::LastClinician)), "{last:?}");
    let demoted = clinic.session.change_role(clinic.session.account(), Role::Reader, "a mistake").await;
    assert!(matches!(demoted, Err(Error::LastClinician)), "{demoted:?}");
}

#[tokio::test]
async fn a_changed_passphrase_opens_and_the_one_before_does_not() {
    let clinic = Clinic::new("changed").await;
    let wrong = clinic.session.change_passphrase("not the present one", OTHER).await;
    assert!(matches!(wrong, Err(Error::WrongPassphrase)), "{wrong:?}");
    clinic.session.change_passphrase(PASSPHRASE, OTHER).await.expect("changed");
    refused(&clinic, NAME, PASSPHRASE).await;
    clinic.sign_in(NAME, OTHER).await;
}

#[tokio::test]
async fn the_recovery_key_lets_the_only_clinician_in_again_and_stands_in_the_audit() {
    let mut clinic = Clinic::new("recovery").await;
    let person = clinic.person("1").await;
    clinic.write(person, "finding", "seen", "f").await;
    let (me, printed) = (clinic.session.account(), clinic.recovery.to_string());
    clinic.reopen().await;
    let key: RecoveryKey = printed.to_lowercase().replace('-', " ").parse().expect("as printed");
    let session = welcome(clinic.store.recover(&key).await.expect("answers"));
    assert_eq!(session.read(person).await.expect("reads").len(), 1);
    let wrote = session.append(NewRecord::new(person, "log", "x", "y")).await;
    assert!(matches!(wrote, Err(Error::NotPermitted { .. })), "{wrote:?}");
    session.reset_passphrase(me, OTHER).await.expect("reset");
    let fresh = session.new_recovery_key().await.expect("a new one");
    session.sign_out().await.expect("out");
    assert!(clinic.store.is_locked(), "the last one out locks");
    assert!(matches!(clinic.store.recover(&key).await.expect("answers"), SignIn::Refused { .. }));
    welcome(clinic.store.recover(&fresh).await.expect("answers"));
    refused(&clinic, NAME, PASSPHRASE).await;
    let session = clinic.sign_in(NAME, OTHER).await;
    let audit = session.audit(None, 1, 100).await.expect("the audit");
    let recovered: Vec<AccountId> =
        audit.iter().filter(|entry| entry.action == Action::Recovered).map(|entry| entry.account).collect();
    assert_eq!(recovered, [AccountId::RECOVERY; 2]);
    let other = session.reset_passphrase(me, PASSPHRASE).await;
    assert!(matches!(other, Err(Error::NotPermitted { .. })), "a clinician does not reset: {other:?}");
}

#[tokio::test]
async fn wrong_recovery_keys_are_slowed_down_as_wrong_passphrases_are_and_hold_nobody_else_up() {
    let clinic = Clinic::new("guessed").await;
    let other = Clinic::new("guessed-other").await.recovery;
    for wait in [0, 0, 0, 2] {
        let SignIn::Refused { wait: told } = clinic.store.recover(&other).await.expect("answers") else {
            panic!("a key of another file opened this one")
        };
        assert_eq!(told.as_secs(), wait);
    }
    let SignIn::Wait { wait } = clinic.store.recover(&clinic.recovery).await.expect("answers") else {
        panic!("the wait was not kept")
    };
    assert!(wait.as_secs() <= 2 && !wait.is_zero());
    clinic.sign_in(NAME, PASSPHRASE).await;
    clinic.time.pass_s(2);
    welcome(clinic.store.recover(&clinic.recovery).await.expect("answers"));
    assert!(
        matches!(clinic.store.recover(&other).await.expect("answers"), SignIn::Refused { wait } if wait.is_zero())
    );
    let audit = clinic.session.audit(None, 1, 100).await.expect("the audit");
    assert_eq!(audit.iter().filter(|entry| entry.action == Action::SignInFailed).count(), 5);
}

#[tokio::test]
async fn a_recovery_key_with_any_one_wrong_character_or_two_swapped_is_noticed_before_it_is_tried() {
    let clinic = Clinic::new("typed").await;
    let printed = clinic.recovery.to_string();
    assert_eq!(printed.len(), 47, "eight groups of five");
    assert_eq!(printed.parse::<RecoveryKey>().expect("as printed"), clinic.recovery);
    let letters: Vec<char> = printed.chars().collect();
    let (mut tried, mut swapped) = (0, 0);
    for at in (0..letters.len()).filter(|at| letters[*at] != '-') {
        for other in "0123456789ABCDEFGHJKMNPQRSTVWXYZ".chars().filter(|other| *other != letters[at]) {
            let mut wrong = letters.clone();
            wrong[at] = other;
            assert!(wrong.iter().collect::<String>().parse::<RecoveryKey>().is_err(), "{at} {other}");
            tried += 1;
        }
        let mut wrong = letters.clone();
        if at + 1 < wrong.len() && wrong[at + 1] != '-' && wrong[at] != wrong[at + 1] {
            wrong.swap(at, at + 1);
            assert!(wrong.iter().collect::<String>().parse::<RecoveryKey>().is_err(), "{at} swapped");
            swapped += 1;
        }
    }
    assert!(tried == 40 * 31 && swapped > 15);
    let mut groups: Vec<&str> = printed.split('-').collect();
    groups.swap(2, 5);
    assert!(groups.join("-").parse::<RecoveryKey>().is_err(), "two groups swapped");
    let error = "O".repeat(39).parse::<RecoveryKey>().expect_err("too short").to_string();
    assert!(error.contains("eight groups"), "{error}");
}

#[tokio::test]
async fn looking_is_in_the_audit_once_in_five_minutes() {
    let clinic = Clinic::new("views").await;
    let person = clinic.person("1").await;
    let views = async || {
        let audit = clinic.session.audit(Some(person), 1, 100).await.expect("the audit");
        audit.iter().filter(|entry| entry.action == Action::Viewed).count()
    };
    for _ in 0..3 {
        clinic.session.read(person).await.expect("read");
    }
    assert_eq!(views().await, 1);
    clinic.time.pass_s(5 * 60);
    clinic.session.read(person).await.expect("read");
    assert_eq!(views().await, 2);
    let other = clinic.sign_in(NAME, PASSPHRASE).await;
    other.read(person).await.expect("read");
    assert_eq!(views().await, 3, "another session is another look");
}

#[tokio::test]
async fn locking_ends_every_session_at_once() {
    let clinic = Clinic::new("locking").await;
    let second = clinic.sign_in(NAME, PASSPHRASE).await;
    let person = clinic.person("1").await;
    clinic.store.lock().await.expect("locked");
    for session in [&clinic.session, &second] {
        let read = session.read(person).await;
        assert!(matches!(read, Err(Error::SessionEnded)), "{read:?}");
    }
    let again = clinic.sign_in(NAME, PASSPHRASE).await;
    let audit = again.audit(None, 1, 100).await.expect("the audit");
    assert!(audit.iter().any(|entry| entry.action == Action::Locked));
    assert!(matches!(clinic.session.role(), Err(Error::SessionEnded)), "an old session stays ended");
}
