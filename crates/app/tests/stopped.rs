//! Whoever watches a computation is told how far it is, and may stop it: it stops, and nothing is lost.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use app::{MotionCache, Part, PersonToday, Watch, demo_cases, space_table, survey, survey_watched};
use jiff::civil::date;

/// Stops at a count of calls and remembers what it was told.
struct StopsAt {
    at: usize,
    calls: AtomicUsize,
    told: Mutex<Vec<Part>>,
}

impl StopsAt {
    fn new(at: usize) -> Self {
        Self { at, calls: AtomicUsize::new(0), told: Mutex::default() }
    }
}

impl Watch for StopsAt {
    type Stop = &'static str;

    fn on(&self, part: Part) -> Result<(), &'static str> {
        self.told.lock().unwrap().push(part);
        let calls = self.calls.fetch_add(1, Ordering::Relaxed) + 1;
        if calls >= self.at { Err("stopped") } else { Ok(()) }
    }
}

#[test]
fn a_survey_that_is_stopped_ends_within_one_way_on_each_core_and_goes_on_to_the_same_space() {
    let case = demo_cases()[2].read().expect("a case of ours");
    let day = app::day_of(&case, None, date(2026, 2, 4));
    let person = PersonToday::of(&case, day);
    let cache = MotionCache::of(&person);
    let watch = StopsAt::new(30);
    assert_eq!(survey_watched(&person, &cache, &watch).err(), Some("stopped"));
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let calls = watch.calls.load(Ordering::Relaxed);
    assert!((30..30 + cores).contains(&calls), "{calls} calls on {cores} cores");
    let known = cache.len();
    assert!(known > 0, "what was computed is kept");
    let patient = StopsAt::new(usize::MAX);
    let space = survey_watched(&person, &cache, &patient).expect("nobody stops it");
    assert!(cache.given() > 0, "and is not computed again");
    assert_eq!(
        space_table(&case, &space, day),
        space_table(&case, &survey(&person, &app::silent), day),
        "the space of a computation that was never stopped"
    );
}

#[test]
fn what_is_told_counts_each_way_once_and_never_more_than_there_are() {
    let case = demo_cases()[2].read().expect("a case of ours");
    let day = app::day_of(&case, None, date(2026, 2, 4));
    let watch = StopsAt::new(usize::MAX);
    app::ask_watched(&case, day, &watch).expect("nobody stops it");
    let mut told: Vec<usize> = Vec::new();
    let mut all = 0;
    for part in watch.told.into_inner().unwrap() {
        let Part::Movements { done, of } = part else { panic!("{part:?}") };
        all = of;
        told.push(done);
    }
    told.sort_unstable();
    assert_eq!(told, (1..=all).collect::<Vec<_>>());
}
