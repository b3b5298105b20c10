//! A process that writes until it is killed, and a look at what it left.
//!
//! The writer says what it is about to do and what was acknowledged, a line each; whoever killed it
//! opens the file and holds it against what was said.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use store::{
    Check, Destruction, Error, First, KeyCost, Kind, Moment, NewRecord, Options, PersonId, Registry, Role,
    Session, SignIn, Store, restore,
};

const NAME: &str = "Imre Blomqvist";
const PASSPHRASE: &str = "gravel lantern seven boats";

/// A small generator, so that a run can be repeated.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A number below `end`.
    pub fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }
}

fn options() -> Options {
    let kinds =
        [Kind::new("log", &[Role::Clinician]), Kind::new("summary", &[Role::Clinician]).kept_in_memory()];
    Options::new(Registry::new(kinds).expect("two kinds")).with_cost(KeyCost::cheap_for_tests_only())
}

async fn open(path: &Path) -> (Store, Session) {
    let store = Store::open(path, options()).await.expect("a file that was being written opens");
    match store.sign_in(NAME, PASSPHRASE).await.expect("the file answers") {
        SignIn::Welcome(session) => (store, session),
        SignIn::Refused { .. } | SignIn::Wait { .. } => panic!("the passphrase is right"),
    }
}

fn runtime() -> tokio::runtime::Runtime {
    tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build().expect("a runtime")
}

fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    writeln!(out, "@ {line}").and_then(|()| out.flush()).expect("somebody listens");
}

/// Writes without end: the part of the process that is killed.
pub fn write_until_killed(path: &Path, seed: u64) {
    runtime().block_on(async {
        let (_store, session) = open(path).await;
        let folder = path.with_file_name("backups");
        let mut chance = Chance::new(seed);
        let mut persons = session.persons().await.expect("a list");
        for step in 0_u64.. {
            let name = format!("{seed}-{step}");
            let filler = "x".repeat(usize::try_from(chance.below(3000)).expect("small"));
            let whom =
                persons.get(usize::try_from(chance.below(4)).expect("small") % persons.len().max(1)).copied();
            match (chance.below(100), whom) {
                (0..70, Some(person)) => {
                    let record = NewRecord::new(person, "log", format!("{name} {filler}"), &name);
                    session.append(record).await.expect("written");
                    say(&format!("one {person} {name}"));
                }
                (70..85, Some(person)) => {
                    let batch = (0..20).map(|n| {
                        NewRecord::new(person, "log", format!("{name}/{n} {filler}"), format!("{name}/{n}"))
                    });
                    session.append_many(batch.collect()).await.expect("written");
                    say(&format!("batch {person} {name}"));
                }
                (85..90, Some(person)) => {
                    let newest = session.latest_of(person, "log").await.expect("read");
                    if let Some(newest) = newest {
                        let body = format!("{name} {filler}");
                        session.correct(newest.id(), body, "a slip", &name).await.expect("corrected");
                        say(&format!("version {person} {name}"));
                    }
                }
                (90..92, Some(person)) if persons.len() > 3 => {
                    say(&format!("destroying {person}"));
                    let why = Destruction {
                        reason: "time is over".to_owned(),
                        retain_until: Moment::unix_ms(0),
                        earlier_because: None,
                    };
                    session.destroy(person, why).await.expect("destroyed");
                    persons.retain(|other| *other != person);
                    say(&format!("destroyed {person}"));
                }
                (92..94, _) => match session.backup(&folder).await {
                    Ok(backup) => say(&format!("backup {}", backup.file.display())),
                    // Two in one second have the same name.
                    Err(Error::Exists { .. }) => {}
                    Err(error) => panic!("{error}"),
                },
                _ => {
                    let person = session.create_person(&name).await.expect("created");
                    persons.insert(0, person);
                    say(&format!("person {person}"));
                }
            }
        }
    });
}

/// What was said before the end came.
#[derive(Default)]
struct Said {
    acknowledged: BTreeMap<PersonId, BTreeSet<String>>,
    batches: BTreeMap<PersonId, BTreeSet<String>>,
    doomed: BTreeSet<PersonId>,
    destroyed: BTreeSet<PersonId>,
    backups: Vec<PathBuf>,
    lines: usize,
}

impl Said {
    fn hear(&mut self, line: &str) {
        // A line that was cut off was not said.
        let words: Vec<&str> = line.trim_end_matches('\n').split(' ').collect();
        let (Some("@"), true) = (words.first().copied(), line.ends_with('\n')) else { return };
        self.lines += 1;
        let person = || words[2].parse::<PersonId>().expect("an id");
        match words[1] {
            "one" | "version" => {
                self.acknowledged.entry(person()).or_default().insert(words[3].to_owned());
            }
            "batch" => {
                self.batches.entry(person()).or_default().insert(words[3].to_owned());
            }
            "person" => {
                self.acknowledged.entry(person()).or_default();
            }
            "destroying" => {
                self.doomed.insert(person());
            }
            "destroyed" => {
                self.destroyed.insert(person());
            }
            "backup" => self.backups.push(PathBuf::from(words[2])),
            other => panic!("the writer said `{other}`"),
        }
    }
}

/// What a run of kills came to.
pub struct Outcome {
    /// Kills.
    pub kills: usize,
    /// What was acknowledged, in all.
    pub acknowledged: usize,
    /// Records in the file at the end.
    pub records: u64,
    /// Backups that were acknowledged.
    pub backups: usize,
}

/// Starts the writer so many times, kills each, and looks; `writer` starts one for a file and a seed.
pub fn kill_again_and_again(
    folder: &Path,
    kills: usize,
    seed: u64,
    writer: impl Fn(&Path, u64) -> Command,
) -> Outcome {
    let path = folder.join("clinic.records");
    std::fs::create_dir_all(folder.join("backups")).expect("a folder");
    runtime().block_on(async {
        let first = First { name: NAME, passphrase: PASSPHRASE };
        let (store, _, _) = Store::create(&path, options(), first).await.expect("created");
        store.close().await.expect("closed");
    });
    let mut chance = Chance::new(seed);
    let mut said = Said::default();
    let mut records = 0;
    for kill in 0..kills {
        let mut child = writer(&path, seed * 1000 + kill as u64)
            .stdout(Stdio::piped())
            .spawn()
            .expect("the writer starts");
        let mut out = BufReader::new(child.stdout.take().expect("its lines"));
        // Some are killed while they open, most after some lines, a moment into the next.
        let lines = chance.below(40);
        let mut line = String::new();
        for _ in 0..lines {
            line.clear();
            if out.read_line(&mut line).expect("a line") == 0 {
                let status = child.wait().expect("its end");
                panic!("the writer ended by itself: {status}");
            }
            said.hear(&line);
        }
        std::thread::sleep(Duration::from_micros(chance.below(30_000)));
        child.kill().expect("killed with signal 9");
        child.wait().expect("gone");
        loop {
            line.clear();
            if out.read_line(&mut line).expect("the rest") == 0 {
                break;
            }
            said.hear(&line);
        }
        records = runtime().block_on(look(&path, &said));
    }
    if let Some(last) = said.backups.last() {
        runtime().block_on(async {
            let to = folder.join("restored.records");
            restore(last, &to, Moment::unix_ms(0)).await.expect("restored");
            let (_store, session) = open(&to).await;
            let check = session.check().await.expect("an answer");
            assert!(matches!(check, Check::Sound { .. }), "{check:?}");
        });
    }
    Outcome { kills, acknowledged: said.lines, records, backups: said.backups.len() }
}

/// Holds the file against what was said.
async fn look(path: &Path, said: &Said) -> u64 {
    let (store, session) = open(path).await;
    let records = match session.check().await.expect("an answer") {
        Check::Sound { records, .. } => records,
        Check::Unsound { findings } => panic!("{findings:?}"),
    };
    let nothing = BTreeSet::new();
    let everybody: BTreeSet<&PersonId> = said.acknowledged.keys().chain(said.batches.keys()).collect();
    for person in everybody {
        let all = match session.all(*person).await {
            Ok(all) => all,
            Err(Error::Destroyed { .. }) if said.doomed.contains(person) => continue,
            Err(error) => panic!("{person}: {error}"),
        };
        assert!(!said.destroyed.contains(person), "{person} is back");
        let there: BTreeSet<String> = all
            .iter()
            .map(|record| {
                let body = String::from_utf8(record.body().to_vec()).expect("text");
                body.split(' ').next().unwrap_or_default().to_owned()
            })
            .collect();
        for name in said.acknowledged.get(person).unwrap_or(&nothing) {
            assert!(there.contains(name), "acknowledged and lost: {person} {name}");
        }
        for name in said.batches.get(person).unwrap_or(&nothing) {
            let all_twenty = (0..20).all(|n| there.contains(&format!("{name}/{n}")));
            assert!(all_twenty, "acknowledged and lost: {person} {name}");
        }
        let begun: BTreeSet<&str> = there.iter().filter_map(|name| Some(name.split_once('/')?.0)).collect();
        for batch in begun {
            let count = there.iter().filter(|name| name.starts_with(&format!("{batch}/"))).count();
            assert_eq!(count, 20, "half a batch: {person} {batch}");
        }
    }
    for backup in &said.backups {
        assert!(backup.exists(), "an acknowledged backup is gone");
    }
    store.close().await.expect("closed");
    records
}
