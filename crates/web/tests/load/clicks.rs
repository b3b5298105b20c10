//! What clinicians click: Today, finding somebody, the tabs, a log now and then, and the tabs that compute.

use std::time::{Duration, Instant};

use super::client::{Browser, Page};
use super::figures::Figures;
use super::invented::{Chance, PASSPHRASE, Size, clinician};

/// How a clinic is clicked through.
#[derive(Clone, Copy)]
pub struct Mix {
    /// How long.
    pub last: Duration,
    /// The shortest time between two clicks of one clinician; the longest is three times that.
    pub think: Duration,
    /// Of a hundred persons opened, how many have a tab opened that computes.
    pub compute: u64,
}

/// A file that only lies there: what the server and the client need for any answer.
pub const PEER: &str = "/assets/footrose.css";

/// Everybody at once, each in a browser of their own; every answer must be a page.
pub fn click(host: &str, size: Size, mix: Mix, today: &str) -> Figures {
    let mut all = Figures::default();
    std::thread::scope(|scope| {
        let at_work: Vec<_> = (1..=size.clinicians)
            .map(|number| scope.spawn(move || one(&mut signed_in(host, number), number, size, mix, today)))
            .collect();
        for one in at_work {
            all.join(one.join().expect("a clinician who clicks to the end"));
        }
    });
    all
}

/// A browser in which this clinician signed in.
pub fn signed_in(host: &str, number: usize) -> Browser {
    let mut browser = Browser::new(host);
    browser.sign_in(&clinician(number), PASSPHRASE);
    browser
}

struct AtWork<'a> {
    browser: &'a mut Browser,
    chance: Chance,
    figures: Figures,
    think: Duration,
    /// What the module of the page asks for beside it.
    beside: Option<std::net::TcpStream>,
}

impl AtWork<'_> {
    fn pause(&mut self) {
        let more = self.chance.below(2001);
        std::thread::sleep(self.think + self.think.mul_f64(more as f64 / 1000.0));
    }

    /// Opens a page and notes how long it took.
    fn open(&mut self, what: &'static str, path: &str) -> Page {
        self.pause();
        self.beside = None;
        let page = self.browser.get(path);
        self.beside = page.beside().and_then(|path| self.browser.beside(&path));
        self.figures.add(what, page.took);
        if page.is_waiting() {
            self.figures.add("A page that says One moment", page.took);
        }
        assert!(matches!(page.status, 200 | 303), "{path}: {} {}", page.status, page.body);
        page
    }

    /// Opens a page that may have to be worked out, and looks again each second, as the page itself does.
    fn wait_for(&mut self, (first, there): (&'static str, &'static str), path: &str) {
        let mut page = self.open(first, path);
        let begun = Instant::now();
        let mut took = page.took;
        while page.is_waiting() {
            std::thread::sleep(Duration::from_secs(1));
            page = self.browser.get(path);
            took = begun.elapsed();
        }
        self.figures.add(there, took);
        assert_eq!(page.status, 200, "{path}: {}", page.body);
    }
}

fn one(browser: &mut Browser, number: usize, size: Size, mix: Mix, day: &str) -> Figures {
    let chance = Chance::new(size.seed ^ 0xc11c ^ (number as u64) << 32);
    let mut me = AtWork { browser, chance, figures: Figures::default(), think: mix.think, beside: None };
    let end = Instant::now() + mix.last;
    while Instant::now() < end {
        let today = me.open("Today", "/");
        let people = today.people();
        let person = match me.chance.below(4) {
            0 | 1 if !people.is_empty() => people[me.chance.below(people.len() as u64) as usize].clone(),
            0..=2 => {
                let who = format!("/people?q=N-{}", me.chance.below(size.people as u64));
                let found = me.open("Find by number", &who);
                let to = found.location.split('/').nth(2).map(str::to_owned);
                to.or_else(|| found.people().first().cloned()).expect("whoever has this number")
            }
            _ => {
                let who = ["ash", "gorse", "piet oak", "linnea", "ing"][me.chance.below(5) as usize];
                let found = me.open("Find by name", &format!("/people?q={}", who.replace(' ', "+")));
                let to = found.location.split('/').nth(2).map(str::to_owned);
                to.or_else(|| found.people().first().cloned()).expect("somebody of this name")
            }
        };
        let at = |tab: &str| format!("/people/{person}/{tab}");
        me.open("Person: Findings", &at("findings"));
        for (what, tab) in
            [("Person: Measures", "measures"), ("Person: Letters", "letters"), ("Person: Record", "record")]
        {
            if me.chance.below(4) == 0 {
                me.open(what, &at(tab));
            }
        }
        let log = me.open("Person: Home log", &at("home-log"));
        if me.chance.below(4) == 0 && !log.is_waiting() {
            me.pause();
            let fields =
                [("on", day), ("source", "telephone"), ("pain_before", "3"), ("remark", "told by telephone")];
            let sent = me.browser.send(&log, &at("home-log"), &fields);
            me.figures.add("A log saved", sent.took);
            assert_eq!(sent.status, 303, "{}", sent.body);
        }
        if me.chance.below(100) < mix.compute {
            if me.chance.below(2) == 0 {
                me.wait_for(("Movement space: an answer", "Movement space: there"), &at("space"));
            } else {
                me.wait_for(("Programme: an answer", "Programme: there"), &at("programme"));
            }
        }
        let peer = me.browser.get(PEER);
        me.figures.add("A file of style", peer.took);
    }
    me.figures
}
