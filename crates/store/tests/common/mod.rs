//! An invented clinic in a folder of its own, with a clock that stands still until it is moved.
#![allow(dead_code)]

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, AtomicU64, Ordering};

use store::{
    First, KeyCost, Kind, Moment, NewRecord, Options, PersonId, RecoveryKey, Registry, Role, Session, SignIn,
    Store,
};

/// The first account of every invented clinic.
pub const NAME: &str = "Imre Blomqvist";
/// Its passphrase.
pub const PASSPHRASE: &str = "gravel lantern seven boats";
/// A moment in 2026.
pub const START: i64 = 1_780_000_000_000;

/// A folder that is gone when the test is over.
pub struct Folder(PathBuf);

impl Folder {
    pub fn new(name: &str) -> Self {
        static COUNT: AtomicU64 = AtomicU64::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let path = std::env::temp_dir().join(format!("store-{name}-{}-{count}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).expect("a folder for a test");
        Self(path)
    }

    pub fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    /// The names of what lies in it.
    pub fn list(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(&self.0)
            .expect("the folder is there")
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A clock that a test moves.
#[derive(Clone)]
pub struct Time(Arc<AtomicI64>);

impl Time {
    pub fn new() -> Self {
        Self(Arc::new(AtomicI64::new(START)))
    }

    pub fn pass_s(&self, seconds: i64) {
        self.0.fetch_add(seconds * 1000, Ordering::Relaxed);
    }

    pub fn now(&self) -> i64 {
        self.0.load(Ordering::Relaxed)
    }
}

pub const WRITERS: &[Role] = &[Role::Clinician, Role::Student];
pub const LOGGERS: &[Role] = &[Role::Clinician, Role::Assistant, Role::Student];

pub fn registry() -> Registry {
    Registry::new([
        Kind::new("summary", WRITERS).kept_in_memory(),
        Kind::new("finding", WRITERS),
        Kind::new("programme", &[Role::Clinician]),
        Kind::new("log", LOGGERS),
    ])
    .expect("the kinds of the tests")
}

pub fn options(time: &Time) -> Options {
    let time = time.clone();
    Options::new(registry())
        .with_clock(Arc::new(move || Moment::unix_ms(time.now())))
        .with_cost(KeyCost::cheap_for_tests_only())
}

/// A clinic with one clinician signed in.
pub struct Clinic {
    pub folder: Folder,
    pub time: Time,
    pub store: Store,
    pub session: Session,
    pub recovery: RecoveryKey,
}

impl Clinic {
    pub async fn new(name: &str) -> Self {
        let (folder, time) = (Folder::new(name), Time::new());
        let first = First { name: NAME, passphrase: PASSPHRASE };
        let (store, session, recovery) = Store::create(&folder.file("clinic.records"), options(&time), first)
            .await
            .expect("a clinic is created");
        Self { folder, time, store, session, recovery }
    }

    pub fn path(&self) -> PathBuf {
        self.folder.file("clinic.records")
    }

    /// Closes the file and opens it again, with nobody signed in.
    pub async fn reopen(&mut self) {
        self.store.close().await.expect("it closes");
        self.store = Store::open(&self.path(), options(&self.time)).await.expect("it opens again");
    }

    /// Opens a file that was closed, and signs in.
    pub async fn reopen_closed(&mut self) {
        self.store = Store::open(&self.path(), options(&self.time)).await.expect("it opens again");
        self.session = self.sign_in(NAME, PASSPHRASE).await;
    }

    /// Closes the file, opens it again, and signs in.
    pub async fn restart(&mut self) {
        self.reopen().await;
        self.session = self.sign_in(NAME, PASSPHRASE).await;
    }

    pub async fn sign_in(&self, name: &str, passphrase: &str) -> Session {
        welcome(self.store.sign_in(name, passphrase).await.expect("the file answers"))
    }

    pub async fn person(&self, once: &str) -> PersonId {
        self.session.create_person(once).await.expect("a person is created")
    }

    pub async fn write(&self, person: PersonId, kind: &str, body: &str, once: &str) -> store::RecordId {
        self.session.append(NewRecord::new(person, kind, body, once)).await.expect("a record is written").id()
    }
}

pub fn welcome(outcome: SignIn) -> Session {
    match outcome {
        SignIn::Welcome(session) => session,
        SignIn::Refused { .. } => panic!("refused"),
        SignIn::Wait { wait } => panic!("has to wait {wait:?}"),
    }
}

/// What records say, in order.
pub fn bodies(records: &[store::Record]) -> Vec<String> {
    records.iter().map(|record| String::from_utf8_lossy(record.body()).into_owned()).collect()
}
