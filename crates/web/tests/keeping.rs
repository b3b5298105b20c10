//! A forgotten passphrase, and backups that are made by themselves: what the screens say and do.

mod common;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::Duration;

use axum::http::StatusCode;
use clinic::{Action, Admitted, Clinic, First, Moment, Opening};
use common::{Browser, Workbench};

const NAME: &str = "Imre Blomqvist";
const PASSPHRASE: &str = "gravel lantern seven boats";
const LONG: &str = "four boats seven lanterns";
const DAY_MS: i64 = 24 * 60 * 60 * 1000;

/// A folder that is gone when the test is over.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("web-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(path.join("backups")).expect("a folder for a test");
        Self(path)
    }

    fn backups(&self) -> PathBuf {
        self.0.join("backups")
    }

    fn made(&self) -> usize {
        let all = std::fs::read_dir(self.backups()).expect("the folder");
        all.filter(|one| {
            one.as_ref().is_ok_and(|one| one.path().extension().is_some_and(|end| end == "backup"))
        })
        .count()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A clinic of its own file, with a clock that a test moves, and its recovery key.
async fn clinic(folder: &Folder) -> (Workbench, Arc<AtomicI64>, String) {
    let time = Arc::new(AtomicI64::new(1_780_000_000_000));
    let clock = time.clone();
    let mut opening = Opening::invented(Arc::new(|| jiff::civil::date(2026, 5, 28)));
    opening.clock = Some(Arc::new(move || Moment::unix_ms(clock.load(Ordering::Relaxed))));
    let first = First { name: NAME, passphrase: PASSPHRASE };
    let (clinic, desk, key) =
        Clinic::create(&folder.0.join("a.footrose"), opening, first).await.expect("a clinic");
    desk.sign_out().await.expect("out");
    (Workbench::of(clinic), time, key.to_string())
}

/// Waits for what is done beside the work of the browser.
async fn until(what: &str, is_so: impl Fn() -> bool) {
    for _ in 0..500 {
        if is_so() {
            return;
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    panic!("waited in vain until {what}");
}

async fn set_folder(browser: &mut Browser<'_>, folder: &Path) -> common::Page {
    let place = folder.display().to_string();
    let fields = [("place", place.as_str()), ("every_days", "1"), ("keep", "3")];
    browser.send("/clinic/backup", "/clinic/backup/by-itself", &fields).await
}

#[tokio::test]
async fn the_recovery_key_sets_a_new_passphrase_and_nobody_stays_signed_in_with_it() {
    let folder = Folder::new("recovery");
    let (workbench, _, key) = clinic(&folder).await;
    let mut browser = workbench.browser();
    assert!(browser.get("/sign-in").await.body.contains("href=\"/recover\""));
    let spaced = key.to_lowercase().replace('-', " ");
    let typed = |name: &'static str, key: &str, passphrase: &'static str, again: &'static str| {
        [
            ("key", key.to_owned()),
            ("name", name.to_owned()),
            ("passphrase", passphrase.to_owned()),
            ("again", again.to_owned()),
        ]
    };
    async fn send(browser: &mut Browser<'_>, fields: &[(&str, String)]) -> common::Page {
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        browser.send("/recover", "/recover", &fields).await
    }
    // What is to be mended is said before the key is used, and the key is not typed again.
    let mut slipped = key.clone();
    slipped.replace_range(2..3, if &key[2..3] == "7" { "8" } else { "7" });
    for (fields, expected) in [
        (typed(NAME, &slipped, LONG, LONG), "group 1"),
        (typed(NAME, &key, LONG, "something else altogether"), "The two new passphrases differ"),
        (typed("", &key, LONG, LONG), "Type the name of the account"),
        (typed("Nobody", &key, LONG, LONG), "accepted: Imre Blomqvist"),
        (typed(NAME, &key, "short", "short"), "12 characters"),
    ] {
        let page = send(&mut browser, &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.body);
        assert!(page.body.contains(expected), "{expected}: {}", page.body);
        assert!(
            page.body.contains(&format!("value=\"{}\"", fields[0].1)) && !page.body.contains(LONG),
            "{}",
            page.body
        );
        assert!(workbench.clinic.is_locked(), "nobody stays signed in with the recovery key");
    }
    let page = send(&mut browser, &typed("imre blomqvist ", &spaced, LONG, LONG)).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.body);
    assert!(page.body.contains("The new passphrase is set"), "{}", page.body);
    assert!(workbench.clinic.is_locked());
    assert_eq!(browser.get("/").await.location(), "/sign-in");
    assert!(matches!(workbench.clinic.sign_in(NAME, PASSPHRASE).await, Ok(Admitted::Refused { .. })));
    let Ok(Admitted::Welcome(desk)) = workbench.clinic.sign_in(NAME, LONG).await else {
        panic!("the new one opens")
    };
    let audit = desk.audit(None, 1, 100).await.expect("the audit");
    let of = |action| audit.iter().filter(|entry| entry.action == action).count();
    assert_eq!(
        (of(Action::Recovered), of(Action::KeyChanged)),
        (3, 1),
        "used for a name, a weak one, and the right one"
    );
}

#[tokio::test]
async fn wrong_recovery_keys_have_to_wait_as_wrong_passphrases_do() {
    let folder = Folder::new("recovery-guessed");
    let (workbench, _, _) = clinic(&folder).await;
    let other = Folder::new("recovery-other");
    let (_, _, wrong) = clinic(&other).await;
    let mut browser = workbench.browser();
    let fields = [("key", wrong.as_str()), ("name", NAME), ("passphrase", LONG), ("again", LONG)];
    for expected in [StatusCode::FORBIDDEN, StatusCode::FORBIDDEN, StatusCode::FORBIDDEN] {
        let page = browser.send("/recover", "/recover", &fields).await;
        assert_eq!(page.status, expected, "{}", page.body);
        assert!(page.body.contains("does not open these records"), "{}", page.body);
    }
    for _ in 0..2 {
        let page = browser.send("/recover", "/recover", &fields).await;
        assert_eq!(page.status, StatusCode::TOO_MANY_REQUESTS);
        assert!(page.body.contains("Wait 2 seconds, then type the key again"), "{}", page.body);
    }
}

#[tokio::test]
async fn a_clinician_makes_a_new_recovery_key_which_is_shown_once() {
    let folder = Folder::new("recovery-new");
    let (workbench, _, before) = clinic(&folder).await;
    let mut browser = workbench.signed_in_as(NAME, PASSPHRASE).await;
    let page = browser.send("/clinic/accounts", "/clinic/accounts/recovery", &[]).await;
    let at = page.body.find("class=\"code\">").expect("a key") + 13;
    let fresh = page.body[at..at + 47].to_owned();
    assert!(!browser.get("/clinic/accounts").await.body.contains(&fresh));
    for (key, opens) in [(before, false), (fresh, true)] {
        let key = key.parse().expect("as shown");
        let came = workbench.clinic.recover(&key).await.expect("answers");
        assert_eq!(matches!(came, Admitted::Welcome(_)), opens);
    }
}

#[tokio::test]
async fn a_backup_is_made_at_the_first_sign_in_of_a_day_and_the_age_of_the_last_is_in_view() {
    let folder = Folder::new("daily");
    let (workbench, time, _) = clinic(&folder).await;
    let mut browser = workbench.signed_in_as(NAME, PASSPHRASE).await;
    for path in ["/", "/clinic"] {
        let page = browser.get(path).await;
        assert!(page.body.contains("No folder for backups is chosen"), "{path}: {}", page.body);
    }
    let page = set_folder(&mut browser, &folder.backups()).await;
    assert!(page.body.contains("The first one was made and read back"), "{}", page.body);
    assert_eq!(folder.made(), 1);
    for path in ["/", "/clinic", "/clinic/backup"] {
        let page = browser.get(path).await;
        assert!(page.body.contains("Last good backup: just now"), "{path}: {}", page.body);
        assert!(!page.body.contains("class=\"mend\""), "{path}: {}", page.body);
    }
    // The same day: none. The next: one, at unlocking.
    time.fetch_add(DAY_MS - 1, Ordering::Relaxed);
    browser.send("/", "/lock", &[]).await;
    browser.send("/locked", "/unlock", &[("place", "0"), ("pin", "2468")]).await;
    assert!(browser.get("/").await.body.contains("Last good backup: 23 hours ago"));
    tokio::time::sleep(Duration::from_millis(300)).await;
    assert_eq!(folder.made(), 1);
    time.fetch_add(1, Ordering::Relaxed);
    browser.send("/", "/lock", &[]).await;
    browser.send("/locked", "/unlock", &[("place", "0"), ("pin", "2468")]).await;
    until("the second backup is made", || folder.made() == 2).await;
    // And at signing in; the newest three stay.
    for expected in [3, 3, 3] {
        time.fetch_add(DAY_MS, Ordering::Relaxed);
        workbench.signed_in_as(NAME, PASSPHRASE).await;
        let newest = format!("records-{}", stamp(time.load(Ordering::Relaxed)));
        until("the newest is there", || {
            std::fs::read_dir(folder.backups()).expect("the folder").flatten().any(|one| {
                let name = one.file_name().to_string_lossy().into_owned();
                name.starts_with(&newest) && name.ends_with(".backup")
            }) && folder.made() == expected
        })
        .await;
    }
}

/// The day in the name of a backup.
fn stamp(ms: i64) -> String {
    jiff::Timestamp::from_millisecond(ms).expect("a moment").strftime("%Y-%m-%d").to_string()
}

#[tokio::test]
async fn a_folder_that_vanished_is_said_under_today_and_clinic_with_what_to_do_until_it_is_back() {
    let folder = Folder::new("gone");
    let (workbench, _, _) = clinic(&folder).await;
    let mut browser = workbench.signed_in_as(NAME, PASSPHRASE).await;
    let page = set_folder(&mut browser, &folder.0.join("not-there")).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.body.contains("is no folder on this machine. Create it"), "{}", page.body);
    assert!(page.body.contains("not-there\""), "what was typed stays");
    set_folder(&mut browser, &folder.backups()).await;
    let away = folder.0.join("unplugged");
    std::fs::rename(folder.backups(), &away).expect("unplugged");
    // Not yet due, and told all the same: there is a day to mend it.
    let mut second = workbench.signed_in_as(NAME, PASSPHRASE).await;
    let mut told = false;
    for _ in 0..200 {
        told = second.get("/").await.body.contains("No backup can be made by itself since");
        if told {
            break;
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    assert!(told, "{}", second.get("/").await.body);
    let page = second.get("/clinic").await;
    assert!(page.body.contains("the folder is not there; create it, or plug the disk in"), "{}", page.body);
    assert!(page.body.contains("Last good backup: just now"), "{}", page.body);
    std::fs::rename(&away, folder.backups()).expect("plugged in again");
    let mut third = workbench.signed_in_as(NAME, PASSPHRASE).await;
    for _ in 0..200 {
        if !third.get("/").await.body.contains("No backup can be made") {
            return;
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    panic!("{}", third.get("/").await.body);
}

#[tokio::test]
async fn trying_a_backup_says_what_is_in_it_or_what_is_wrong_with_it() {
    let folder = Folder::new("tried");
    let (workbench, _, _) = clinic(&folder).await;
    let mut browser = workbench.signed_in_as(NAME, PASSPHRASE).await;
    browser.send("/people/new", "/people/new", &[("name", "Somebody Invented")]).await;
    set_folder(&mut browser, &folder.backups()).await;
    let listed = browser.get("/clinic/backup").await.body;
    let at = listed.find("name=\"file\" value=\"").expect("a backup is listed") + 19;
    let file = listed[at..].split('"').next().expect("a path").to_owned();
    let page = browser.send("/clinic/backup", "/clinic/backup/try", &[("file", &file)]).await;
    assert!(
        page.body.contains("This backup is good.") && page.body.contains(": 1 person, "),
        "{}",
        page.body
    );
    let bytes = std::fs::read(&file).expect("read");
    std::fs::write(&file, &bytes[..bytes.len() / 2]).expect("cut short");
    let page = browser.send("/clinic/backup", "/clinic/backup/try", &[("file", &file)]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.body.contains("it was cut short"), "{}", page.body);
    std::fs::remove_file(&file).expect("removed");
    let page = browser.get("/clinic/backup").await;
    assert!(page.body.contains("not there now"), "{}", page.body);
}
