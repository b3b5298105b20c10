//! A small clinic under the clicks of the load, over a real socket: every answer is a page, nothing is lost,
//! and what was entered stands on Today at once. How long it takes is measured by `benches/load.rs`.

#[allow(dead_code, reason = "the benchmark uses the rest")]
mod load;

use std::sync::Arc;
use std::time::Duration;

use clinic::{Clinic, Desk, First, Opening, PracticeRecord};
use load::clicks::{self, Mix};
use load::client::Browser;
use load::invented::{self, FIRST, PASSPHRASE, Size};

const SIZE: Size = Size { people: 130, logs: 3, clinicians: 3, silent_days: 60, seed: 7, programmes: false };

/// A file that is removed at the end.
struct Temporary(std::path::PathBuf);

impl Drop for Temporary {
    fn drop(&mut self) {
        for end in ["", "-wal", "-shm"] {
            let _ = std::fs::remove_file(format!("{}{end}", self.0.display()));
        }
    }
}

/// The clinic, somebody who is signed in, and the address of a server over it.
async fn served(name: &str) -> (Arc<Clinic>, Desk, String, Temporary) {
    let path = std::env::temp_dir().join(format!("web-load-{name}-{}.footrose", std::process::id()));
    let opening = Opening::invented(Arc::new(|| jiff::civil::date(2026, 2, 4)));
    let first = First { name: FIRST, passphrase: PASSPHRASE };
    let (clinic, desk, _) = Clinic::create(&path, opening, first).await.expect("created");
    invented::fill(&desk, SIZE, |_| ()).await;
    let served = web::serve(web::ServeOptions { clinic: clinic.clone(), port: 0, network: None })
        .await
        .expect("a port");
    let host = served.address().trim_start_matches("http://").trim_end_matches('/').to_owned();
    tokio::spawn(served.run(std::future::pending()));
    (clinic, desk, host, Temporary(path))
}

async fn apart<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    tokio::task::spawn_blocking(work).await.expect("a thread that ends")
}

/// Today once everybody is read.
async fn whole(desk: &Desk) -> clinic::AttentionList {
    loop {
        let list = desk.attention(0, usize::MAX).await.expect("Today");
        if list.reading.is_none() {
            return list;
        }
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
}

/// The page of Today once everybody is read.
fn today(browser: &mut Browser) -> load::client::Page {
    loop {
        let page = browser.get("/");
        if !page.body.contains("data-reading") {
            return page;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn clinicians_click_through_a_small_clinic_and_every_log_that_was_acknowledged_is_there() {
    let (_clinic, desk, host, _file) = served("clicks").await;
    let mix = Mix { last: Duration::from_secs(3), think: Duration::from_millis(5), compute: 0 };
    let figures = apart(move || clicks::click(&host, SIZE, mix, "2026-01-20")).await;
    let all = figures.all();
    let saved = all.iter().find(|(what, _)| *what == "A log saved").map_or(0, |(_, spread)| spread.count);
    assert!(saved > 0, "nobody wrote a log");
    let mut there = 0;
    for line in desk.people().await.expect("the list") {
        let logs = desk.read::<PracticeRecord>(line.id).await.expect("logs");
        there += logs.iter().filter(|log| log.body.remark == "told by telephone").count();
    }
    assert_eq!(there, saved);
}

/// What Today of the server says of a person; empty where it does not name them.
fn said_of(browser: &mut Browser, person: &str) -> String {
    let mut page = today(browser);
    loop {
        let link = format!("<a href=\"/people/{person}/findings\">");
        if let Some(of_them) = page.body.split("<h2>").find(|part| part.starts_with(&link)) {
            return of_them.to_owned();
        }
        let next = page.body.split("href=\"/?after=").nth(1).and_then(|rest| rest.split('"').next());
        match next.filter(|_| page.body.contains("Show the next")) {
            Some(after) => page = browser.get(&format!("/?after={after}")),
            None => return String::new(),
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_log_of_a_silent_person_stands_on_today_of_another_clinician_at_once() {
    let (_clinic, desk, host, _file) = served("today").await;
    let whole = whole(&desk).await.some;
    let silent = |one: &&clinic::Attention| {
        one.reasons.iter().any(|reason| matches!(reason, clinic::Reason::NothingLogged { .. }))
    };
    let person = whole.iter().find(silent).expect("somebody is silent").person.to_string();
    let (before, after) = apart(move || {
        let [mut one, mut two] = [1, 2].map(|number| clicks::signed_in(&host, number));
        let before = said_of(&mut two, &person);
        let at = format!("/people/{person}/home-log");
        let form = one.get(&at);
        let day =
            form.body.split(" max=\"").nth(1).and_then(|rest| rest.get(..10)).expect("a day").to_owned();
        let fields =
            [("on", day.as_str()), ("source", "told"), ("pain_before", "1"), ("remark", "none today")];
        assert_eq!(one.send(&form, &at, &fields).status, 303);
        (before, said_of(&mut two, &person))
    })
    .await;
    assert!(before.contains("Nothing logged"), "{before}");
    assert!(!after.contains("Nothing logged"), "{after}");
}

#[tokio::test(flavor = "multi_thread")]
async fn today_is_given_in_parts_of_fifty_with_how_many_there_are() {
    let (_clinic, desk, host, _file) = served("parts").await;
    let whole = whole(&desk).await;
    let (first, second) = apart(move || {
        let mut browser = clicks::signed_in(&host, 1);
        let first = today(&mut browser);
        let after = first.body.split("href=\"/?after=").nth(1).and_then(|rest| rest.split('"').next());
        let second = browser.get(&format!("/?after={}", after.expect("a way to the next")));
        (first, second)
    })
    .await;
    let needing = format!("1 to 50 of <strong>{}</strong>", whole.needing);
    assert!(first.body.contains(&needing) && first.body.contains("Show the next 50"), "{}", first.body);
    let ids = |from: usize, to: usize| -> Vec<String> {
        whole.some[from..to.min(whole.needing)].iter().map(|one| one.person.to_string()).collect()
    };
    assert_eq!(first.people(), ids(0, 50));
    assert_eq!(second.people(), ids(50, 100));
}
