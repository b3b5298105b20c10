//! What lies on the disk says nothing about anybody, and cannot be moved or changed unnoticed.

mod common;

use std::fs;

use common::{Clinic, NAME, PASSPHRASE};
use sqlx::{Connection, Row, SqliteConnection};
use store::{Break, Chain, Check, Destruction, Error, Moment, Role};

/// Every byte of every file in the folder of a clinic.
fn bytes(clinic: &Clinic) -> Vec<u8> {
    clinic.folder.list().iter().flat_map(|name| fs::read(clinic.folder.file(name)).expect("read")).collect()
}

fn holds(bytes: &[u8], word: &str) -> bool {
    bytes.windows(word.len()).any(|window| window.eq_ignore_ascii_case(word.as_bytes()))
}

const SECRETS: [&str; 8] = [
    "Blomqvist",
    "gravel lantern",
    "Ottilie Vandersloot",
    "1961-03-09",
    "knee bends 95",
    "form-4711",
    "digits swapped",
    "Rasmus",
];

async fn busy(name: &str) -> (Clinic, store::PersonId) {
    let clinic = Clinic::new(name).await;
    let person = clinic.person("form-4711").await;
    clinic.write(person, "summary", "Ottilie Vandersloot, born 1961-03-09", "form-4711").await;
    let finding = clinic.write(person, "finding", "knee bends 59", "form-4711").await;
    clinic
        .session
        .correct(finding, "knee bends 95", "digits swapped", "form-4711 b")
        .await
        .expect("corrected");
    clinic
        .session
        .create_account("Rasmus Thorne", Role::Student, "another passphrase here")
        .await
        .expect("an account");
    clinic.session.note(store::Action::Printed, person, "sheet of Ottilie Vandersloot").await.expect("noted");
    (clinic, person)
}

#[tokio::test]
async fn no_name_date_finding_reason_or_account_can_be_read_in_the_file_or_its_log() {
    let (clinic, person) = busy("unreadable").await;
    let open = bytes(&clinic);
    assert!(clinic.folder.list().iter().any(|name| name.ends_with("-wal")), "the log is looked at too");
    clinic.store.close().await.expect("closed");
    let closed = bytes(&clinic);
    for word in SECRETS {
        assert!(!holds(&open, word) && !holds(&closed, word), "`{word}` can be read");
    }
    // The search would find what is there: kinds are not secret.
    assert!(holds(&closed, "finding") && holds(&open, "store.account"));
    assert!(!format!("{person:?}").is_empty());
}

/// Changes the closed file as somebody without keys would, through the database itself.
async fn tamper(clinic: &Clinic, statements: &[&'static str]) {
    clinic.store.close().await.expect("closed");
    let name = format!("sqlite://{}", clinic.path().display());
    let mut conn = SqliteConnection::connect(&name).await.expect("a database");
    for statement in statements {
        sqlx::query(*statement).execute(&mut conn).await.expect("changed");
    }
    conn.close().await.expect("closed");
}

async fn check_after(clinic: &mut Clinic, statements: &[&'static str]) -> Vec<String> {
    tamper(clinic, statements).await;
    clinic.restart().await;
    match clinic.session.check().await.expect("an answer") {
        Check::Sound { .. } => Vec::new(),
        Check::Unsound { findings } => findings,
    }
}

#[tokio::test]
async fn an_untouched_file_is_sound() {
    let (mut clinic, _) = busy("sound").await;
    assert_eq!(check_after(&mut clinic, &[]).await, Vec::<String>::new());
}

#[tokio::test]
async fn a_changed_moved_or_removed_record_is_noticed() {
    let swaps = [
        (
            "body of another place",
            "UPDATE record SET sealed = (SELECT sealed FROM record WHERE seq = 2 AND kind = 'finding') WHERE seq = 1 AND kind = 'summary'",
        ),
        ("another kind", "UPDATE record SET kind = 'log' WHERE kind = 'finding' AND seq = 2"),
        ("another time", "UPDATE record SET at = at + 1 WHERE kind = 'summary'"),
        ("another author", "UPDATE record SET role = 'student' WHERE kind = 'summary'"),
        ("the last one gone", "DELETE FROM record WHERE kind = 'finding' AND seq = 3"),
        ("one from the middle gone", "DELETE FROM record WHERE kind = 'finding' AND seq = 2"),
        (
            "a correction made an original",
            "UPDATE record SET origin = seq WHERE kind = 'finding' AND seq = 3",
        ),
    ];
    for (what, statement) in swaps {
        let (mut clinic, _) = busy("tampered").await;
        let findings = match tamper_and_sign_in(&mut clinic, statement).await {
            Ok(findings) => findings,
            Err(error) => vec![error.to_string()],
        };
        assert!(!findings.is_empty(), "{what} was not noticed");
    }
}

async fn tamper_and_sign_in(clinic: &mut Clinic, statement: &'static str) -> Result<Vec<String>, Error> {
    tamper(clinic, &[statement]).await;
    clinic.store = store::Store::open(&clinic.path(), common::options(&clinic.time)).await?;
    clinic.session = common::welcome(clinic.store.sign_in(NAME, PASSPHRASE).await?);
    match clinic.session.check().await? {
        Check::Sound { .. } => Ok(Vec::new()),
        Check::Unsound { findings } => Ok(findings),
    }
}

async fn chain_after(statements: &[&'static str]) -> Chain {
    let (mut clinic, _) = busy("chain").await;
    tamper(&clinic, statements).await;
    clinic.reopen_closed().await;
    clinic.session.verify_audit().await.expect("an answer")
}

#[tokio::test]
async fn the_chain_says_at_which_entry_it_is_broken_and_how() {
    let intact = chain_after(&[]).await;
    assert!(
        matches!(&intact, Chain::Intact { length, head } if *length > 5 && head.len() == 64),
        "{intact:?}"
    );
    let changed = chain_after(&["UPDATE audit SET at = at + 1 WHERE seq = 4"]).await;
    assert_eq!(changed, Chain::Broken { at: 4, how: Break::Changed });
    let missing = chain_after(&["DELETE FROM audit WHERE seq = 3"]).await;
    assert_eq!(missing, Chain::Broken { at: 3, how: Break::Missing });
}

#[tokio::test]
async fn a_chain_that_lost_its_end_does_not_accept_a_new_one() {
    // The last entries are removed and the end is set back to match: the sealed end still knows.
    let cut = "DELETE FROM audit WHERE seq > 4";
    let back = "UPDATE audit_head SET length = 4, hash = (SELECT hash FROM audit WHERE seq = 4)";
    let shortened = chain_after(&[cut, back]).await;
    assert!(matches!(shortened, Chain::Broken { .. }), "{shortened:?}");
    let forged =
        "UPDATE audit_head SET length = 4, sealed_length = 4, hash = (SELECT hash FROM audit WHERE seq = 4)";
    let forged = chain_after(&[cut, forged]).await;
    assert!(matches!(forged, Chain::Broken { .. }), "{forged:?}");
}

#[tokio::test]
async fn a_destroyed_person_is_gone_from_the_file_and_its_log_and_leaves_a_tombstone() {
    let (mut clinic, person) = busy("destroyed").await;
    let other = clinic.person("other").await;
    clinic.write(other, "log", "somebody else", "k").await;
    // What must be gone: the wrapped key and a sealed body, as they lie on the disk.
    let mut conn =
        SqliteConnection::connect(&format!("sqlite://{}", clinic.path().display())).await.expect("open");
    let id: Vec<u8> = person
        .to_string()
        .replace('-', "")
        .as_bytes()
        .chunks(2)
        .map(|two| u8::from_str_radix(std::str::from_utf8(two).expect("digits"), 16).expect("hexadecimal"))
        .collect();
    let wrapped: Vec<u8> = sqlx::query("SELECT wrapped FROM person WHERE person = ?1")
        .bind(&id)
        .fetch_one(&mut conn)
        .await
        .expect("a row")
        .get(0);
    let body: Vec<u8> = sqlx::query("SELECT sealed FROM record WHERE person = ?1")
        .bind(&id)
        .fetch_one(&mut conn)
        .await
        .expect("a row")
        .get(0);
    conn.close().await.expect("closed");
    let there = |bytes: &[u8], part: &[u8]| bytes.windows(part.len()).any(|window| window == part);
    assert!(
        there(&bytes(&clinic), &wrapped) && there(&bytes(&clinic), &body),
        "the search finds what is there"
    );

    let now = clinic.time.now();
    let why = |earlier: Option<&str>| Destruction {
        reason: "asked for in writing".to_owned(),
        retain_until: Moment::unix_ms(now + 1),
        earlier_because: earlier.map(str::to_owned),
    };
    let early = clinic.session.destroy(person, why(None)).await;
    assert!(matches!(early, Err(Error::KeptLonger { .. })), "{early:?}");
    assert_eq!(clinic.session.read(person).await.expect("still there").len(), 2);
    clinic.session.destroy(person, why(Some("entered for the wrong clinic"))).await.expect("destroyed");

    let left = bytes(&clinic);
    assert!(!there(&left, &wrapped), "the wrapped key can still be found");
    assert!(!there(&left, &body), "a sealed body can still be found");
    let gone = clinic.session.read(person).await;
    assert!(matches!(gone, Err(Error::Destroyed { .. })), "{gone:?}");
    clinic.restart().await;
    assert_eq!(clinic.session.persons().await.expect("persons"), [other]);
    let stones = clinic.session.tombstones().await.expect("tombstones");
    assert_eq!(stones[0].reason, "asked for in writing");
    assert_eq!(stones[0].earlier_because.as_deref(), Some("entered for the wrong clinic"));
    assert!(!holds(&bytes(&clinic), "asked for"));
    let check = clinic.session.check().await.expect("an answer");
    assert!(matches!(check, Check::Sound { persons: 1, .. }), "{check:?}");
}
