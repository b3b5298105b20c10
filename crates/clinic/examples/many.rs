//! A clinic of many people: how long Today and a person take, and how much memory.
//!
//! `cargo run --release -p clinic --example many -- [people] [logs of each] [file]`; 10,000 and 20 by
//! default. A file that is named is kept, and used again if it is there.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use clinic::{
    Admitted, Clinic, Desk, First, LogSource, Newcomer, Opening, PersonRecord, PersonState, PracticeRecord,
};
use jiff::ToSpan;

const NAME: &str = "Imre";
const PASSPHRASE: &str = "gravel lantern seven boats";

fn ms(since: Instant) -> f64 {
    since.elapsed().as_secs_f64() * 1000.0
}

fn opening() -> Opening {
    Opening::invented(Arc::new(|| jiff::civil::date(2026, 2, 4)))
}

fn newcomer(n: usize, logs: usize) -> Newcomer {
    let cases = app::demo_cases();
    let today = jiff::civil::date(2026, 2, 4);
    let log = |ago: usize| PracticeRecord {
        on: today.saturating_sub(i64::try_from(ago + n % 5).unwrap_or(0).days()),
        source: LogSource::Paper,
        pain_before: Some(u8::try_from((n + ago) % 4).unwrap_or(0)),
        items: Vec::new(),
        remark: "all of it, nothing hurt".to_owned(),
    };
    let name = format!("Invented Person {n}");
    Newcomer {
        person: PersonRecord { name, born: None, number: format!("N-{n}"), state: PersonState::Open },
        case: Some(cases[n % cases.len()].text.to_owned()),
        logs: (0..logs).rev().map(log).collect(),
        once: format!("many-{n}"),
    }
}

async fn fill(path: &Path, people: usize, logs: usize) {
    let begun = Instant::now();
    let first = First { name: NAME, passphrase: PASSPHRASE };
    let (clinic, desk, _) = Clinic::create(path, opening(), first).await.expect("created");
    for start in (0..people).step_by(100) {
        let some: Vec<Newcomer> = (start..people.min(start + 100)).map(|n| newcomer(n, logs)).collect();
        desk.bring_in(&some).await.expect("brought in");
    }
    clinic.close().await.expect("closed");
    println!("{people} people with {logs} logs each written in {:.1} s", ms(begun) / 1000.0);
}

fn percentile_95(mut all: Vec<f64>) -> f64 {
    all.sort_by(f64::total_cmp);
    all.get(all.len() * 95 / 100).copied().unwrap_or(f64::NAN)
}

async fn measure(desk: &Desk) {
    let begun = Instant::now();
    let list = desk.attention().await.expect("Today");
    println!("Today, the first time: {:.0} ms, {} people named", ms(begun), list.len());
    let people = desk.people().await.expect("people");
    let (mut today, mut person) = (Vec::new(), Vec::new());
    for n in 0..200 {
        let id = people[(n * 7919) % people.len()].id;
        let begun = Instant::now();
        desk.standing(id).await.expect("a person");
        person.push(ms(begun));
        let log = newcomer(n, 1).logs.remove(0);
        desk.append(id, &log, &format!("later-{n}-{}", std::process::id())).await.expect("stored");
        let begun = Instant::now();
        desk.attention().await.expect("Today");
        today.push(ms(begun));
    }
    let (today, person) = (percentile_95(today), percentile_95(person));
    println!("95 of 100: Today after an entry {today:.1} ms, a person {person:.1} ms");
    let begun = Instant::now();
    desk.find_people("person 77", 200).await.expect("found");
    println!("finding by name: {:.1} ms", ms(begun));
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    for line in status.lines().filter(|line| line.starts_with("VmHWM") || line.starts_with("VmRSS")) {
        println!("{line}");
    }
}

fn main() {
    let args: Vec<String> = std::env::args().collect();
    let number = |at: usize, usual: usize| args.get(at).and_then(|text| text.parse().ok()).unwrap_or(usual);
    let (people, logs) = (number(1, 10_000), number(2, 20));
    let named = args.get(3).map(PathBuf::from);
    let own = || std::env::temp_dir().join(format!("many-{}.footrose", std::process::id()));
    let path = named.clone().unwrap_or_else(own);
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().expect("a runtime");
    runtime.block_on(async {
        if !path.exists() {
            fill(&path, people, logs).await;
        }
        let begun = Instant::now();
        let clinic = Clinic::open(&path, opening()).await.expect("opened");
        println!("opened in {:.0} ms", ms(begun));
        let begun = Instant::now();
        let Admitted::Welcome(desk) = clinic.sign_in(NAME, PASSPHRASE).await.expect("signed in") else {
            panic!("the passphrase of this file")
        };
        println!("signed in within {:.0} ms", ms(begun));
        measure(&desk).await;
        clinic.close().await.expect("closed");
    });
    if named.is_none() {
        let _ = std::fs::remove_file(&path);
    }
}
