//! A clinic of 10,000 people with two million practice entries: how long everything takes.
//!
//! `cargo run -p store --example load -- [people] [entries of each] [file]`; the file is kept if it is
//! named, and used again if it is there.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use store::{First, KeyCost, Kind, NewRecord, Options, PersonId, Registry, Role, Session, SignIn, Store};

const NAME: &str = "Imre Blomqvist";
const PASSPHRASE: &str = "gravel lantern seven boats";
const ALL: &[Role] = &[Role::Clinician, Role::Assistant];

fn options() -> Options {
    let kinds =
        [Kind::new("summary", ALL).kept_in_memory(), Kind::new("finding", ALL), Kind::new("practice", ALL)];
    Options::new(Registry::new(kinds).expect("three kinds")).with_cost(KeyCost::recommended())
}

fn ms(since: Instant) -> f64 {
    since.elapsed().as_secs_f64() * 1000.0
}

/// A line of `/proc/self/status`, in MiB.
fn memory(name: &str) -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kib = status
        .lines()
        .find_map(|line| line.strip_prefix(name)?.split_whitespace().next()?.parse::<f64>().ok());
    kib.map_or("unknown".to_owned(), |kib| format!("{:.0} MiB", kib / 1024.0))
}

async fn sign_in(store: &Store) -> Session {
    match store.sign_in(NAME, PASSPHRASE).await.expect("the file answers") {
        SignIn::Welcome(session) => session,
        SignIn::Refused { .. } | SignIn::Wait { .. } => panic!("the passphrase is right"),
    }
}

async fn fill(path: &Path, people: usize, entries: usize) {
    let first = First { name: NAME, passphrase: PASSPHRASE };
    let (store, session, _) = Store::create(path, options(), first).await.expect("created");
    let begun = Instant::now();
    let names: Vec<String> = (0..people).map(|n| format!("person {n}")).collect();
    let persons = session.create_persons(&names).await.expect("created");
    println!("{people} people created in {:.1} s", ms(begun) / 1000.0);
    let begun = Instant::now();
    for (n, some) in persons.chunks(50).enumerate() {
        let mut records = Vec::with_capacity(some.len() * (entries + 4));
        for (m, person) in some.iter().enumerate() {
            let summary = format!(
                "{{\"name\":\"Invented Person {n} {m}\",\"born\":1960,\"note\":\"{}\"}}",
                "-".repeat(120)
            );
            records.push(NewRecord::new(*person, "summary", summary, "s"));
            for visit in 0..3 {
                records.push(NewRecord::new(*person, "finding", vec![b'f'; 800], format!("f{visit}")));
            }
            for day in 0..entries {
                let entry = format!("{{\"day\":{day},\"leg\":\"right\",\"done\":3,\"pain\":2}}");
                records.push(NewRecord::new(*person, "practice", entry, format!("p{day}")));
            }
        }
        session.append_many(records).await.expect("written");
    }
    let rows = people * (entries + 4);
    let seconds = ms(begun) / 1000.0;
    println!("{rows} records written in {seconds:.1} s ({:.1} µs each)", seconds * 1e6 / rows as f64);
    store.close().await.expect("closed");
}

/// Processor time of this process so far, in milliseconds: what a wait for other programs does not
/// lengthen.
fn processor() -> f64 {
    let tasks = std::fs::read_dir("/proc/self/task").into_iter().flatten().flatten();
    tasks
        .filter_map(|task| std::fs::read_to_string(task.path().join("schedstat")).ok())
        .filter_map(|text| text.split_whitespace().next()?.parse::<f64>().ok())
        .sum::<f64>()
        / 1e6
}

/// The 50th and the 95th percentile and the largest, in milliseconds.
fn spread(mut times: Vec<f64>) -> String {
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
    format!("median {:.2} ms, 95th percentile {:.2} ms, worst {:.2} ms", at(0.5), at(0.95), at(1.0))
}

async fn click(session: Session, persons: Vec<PersonId>, clinician: usize) -> (Vec<f64>, Vec<f64>, Vec<f64>) {
    let (mut today, mut person, mut write) = (Vec::new(), Vec::new(), Vec::new());
    for step in 0..15 {
        let whom = persons[(clinician * 7919 + step * 104_729) % persons.len()];
        let begun = Instant::now();
        session.latest("summary").await.expect("a list");
        today.push(ms(begun));
        let begun = Instant::now();
        session.read(whom).await.expect("a person");
        person.push(ms(begun));
        let begun = Instant::now();
        let record = NewRecord::new(
            whom,
            "practice",
            "done",
            format!("c{clinician} {step} {}", begun.elapsed().as_nanos()),
        );
        session.append(record).await.expect("written");
        write.push(ms(begun));
        // Nobody clicks faster than once a second; not all at the same moment either.
        tokio::time::sleep(Duration::from_millis(900 + clinician as u64 * 10)).await;
    }
    (today, person, write)
}

#[tokio::main]
async fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let number = |at: usize, otherwise| {
        words.get(at).map_or(otherwise, |word: &String| word.parse().expect("a number"))
    };
    let (people, entries) = (number(0, 10_000), number(1, 200));
    let named = words.get(2).map(PathBuf::from);
    let path = named
        .clone()
        .unwrap_or_else(|| std::env::temp_dir().join(format!("store-load-{}.records", std::process::id())));
    if !path.exists() {
        fill(&path, people, entries).await;
    }
    let size = std::fs::metadata(&path).expect("there").len();
    println!("the file has {:.0} MB", size as f64 / 1e6);

    let begun = Instant::now();
    let store = Store::open(&path, options()).await.expect("opens");
    println!("open: {:.0} ms", ms(begun));
    let (begun, used) = (Instant::now(), processor());
    let session = sign_in(&store).await;
    let used = processor() - used;
    println!("first sign-in, keys and what is kept in memory: {:.0} ms; processor {used:.0} ms", ms(begun));
    let (begun, used) = (Instant::now(), processor());
    drop(sign_in(&store).await);
    println!("second sign-in: {:.0} ms; processor {:.0} ms", ms(begun), processor() - used);
    println!("memory now {}, at most {}", memory("VmRSS:"), memory("VmHWM:"));

    for kind in ["summary", "finding", "practice"] {
        let mut times = Vec::new();
        let mut count = 0;
        let used = processor();
        for _ in 0..10 {
            let begun = Instant::now();
            count = session.latest(kind).await.expect("a list").len();
            times.push(ms(begun));
        }
        let used = (processor() - used) / 10.0;
        println!("newest `{kind}` of {count} people: {}; processor {used:.1} ms", spread(times));
    }
    let persons = session.persons().await.expect("a list");
    let mut times = Vec::new();
    let used = processor();
    for n in 0..200 {
        let begun = Instant::now();
        session.read(persons[n * 7919 % persons.len()]).await.expect("a person");
        times.push(ms(begun));
    }
    let used = (processor() - used) / 200.0;
    println!("one person, first look, with its audit entry: {}; processor {used:.1} ms", spread(times));

    let mut at_work = Vec::new();
    for clinician in 0..20 {
        let session = sign_in(&store).await;
        at_work.push(tokio::spawn(click(session, persons.clone(), clinician)));
    }
    let (mut today, mut person, mut write) = (Vec::new(), Vec::new(), Vec::new());
    for one in at_work {
        let (a, b, c) = one.await.expect("done");
        today.extend(a);
        person.extend(b);
        write.extend(c);
    }
    println!("20 at once, list of today: {}", spread(today));
    println!("20 at once, one person: {}", spread(person));
    println!("20 at once, one entry written: {}", spread(write));
    println!("memory now {}, at most {}", memory("VmRSS:"), memory("VmHWM:"));

    let folder = path.with_extension("backups");
    std::fs::create_dir_all(&folder).expect("a folder");
    let (begun, used) = (Instant::now(), processor());
    let backup = session.backup(&folder).await.expect("a backup");
    let used = (processor() - used) / 1000.0;
    println!(
        "backup of {} records, read back: {:.1} s; processor {used:.1} s",
        backup.records,
        ms(begun) / 1000.0
    );
    let begun = Instant::now();
    session.verify_audit().await.expect("an answer");
    println!("the audit walked, {} entries: {:.0} ms", backup.audit, ms(begun));
    println!("memory now {}, at most {}", memory("VmRSS:"), memory("VmHWM:"));
    let begun = Instant::now();
    store.close().await.expect("closed");
    println!("close: {:.0} ms", ms(begun));
    std::fs::remove_dir_all(&folder).expect("cleared away");
    if named.is_none() {
        std::fs::remove_file(&path).expect("cleared away");
    }
}
