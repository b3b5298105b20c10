//! Counts the full space of an invented person and says how long it took and how much memory it holds.
//!
//! `cargo run --release -p app --no-default-features --example full_space [whole]`

use std::time::Instant;

use app::{MotionCache, PersonToday, Repertoire, demo_cases, full_space, silent, survey, survey_again};
use jiff::civil::date;
use movement::Family;

/// Resident memory in megabytes, where the system tells.
fn resident_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmRSS:")).unwrap_or("");
    line.split_whitespace().nth(1).and_then(|kb| kb.parse::<f64>().ok()).unwrap_or(0.0) / 1000.0
}

fn main() {
    let which = if std::env::args().nth(1).as_deref() == Some("whole") {
        Repertoire::Whole
    } else {
        Repertoire::Usual
    };
    let case = demo_cases()[9].read().expect("a case of ours");
    let today = app::day_of(&case, None, date(2026, 2, 4));
    let person = PersonToday::of(&case, today);
    let before = resident_mb();
    let watch = Instant::now();
    let space = full_space(&person, which);
    println!(
        "{which:?}: {} asked, {} found with {} key frames, {:.1} s, {:.0} MB",
        space.asked,
        space.movements.len(),
        space.frames(),
        watch.elapsed().as_secs_f64(),
        resident_mb() - before
    );
    for family in Family::GROUNDED {
        let count = space.movements.iter().filter(|c| c.motion.spec.family == family).count();
        println!("  {family}: {} pairs of arm task and load, {count} movements", which.of(family).len());
    }
    let watch = Instant::now();
    let passed = space.permitted(&person).into_iter().filter(|p| *p).count();
    println!("gates alone: {passed} permitted, {:.2} s", watch.elapsed().as_secs_f64());
    drop(space);

    let watch = Instant::now();
    let rays = survey(&person, &silent).rays.len();
    println!("survey cold: {rays} rays, {:.2} s", watch.elapsed().as_secs_f64());
    let cache = MotionCache::of(&person);
    let _ = survey_again(&person, &cache, &silent);
    let changed = demo_cases()[9].text.replace("pain_in_movement = 2", "pain_in_movement = 4");
    let changed = person::case_file::read("changed", &changed).expect("a case of ours");
    let watch = Instant::now();
    let rays = survey_again(&PersonToday::of(&changed, today), &cache, &silent).rays.len();
    println!(
        "survey with another finding: {rays} rays, {:.3} s; {} movements kept",
        watch.elapsed().as_secs_f64(),
        cache.len()
    );
}
