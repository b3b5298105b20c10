//! The twelve who get a sheet, each for six simulated weeks with a stated behaviour: practise, log, adapt, answer,
//! practise again. Everything is invented and drawn with fixed seeds.

mod lives;
mod told;
mod weeks;

use lives::lives;
use weeks::six_weeks;

#[test]
fn twelve_people_over_six_weeks() {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases/snapshots"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    let lives = lives();
    assert_eq!(lives.len(), 12);
    // On as many threads as there are: each life is its own.
    let told: Vec<(String, String)> = std::thread::scope(|scope| {
        let running: Vec<_> = lives.iter().map(|life| scope.spawn(|| six_weeks(life))).collect();
        running.into_iter().map(|one| one.join().expect("a life that ends well")).collect()
    });
    for (name, text) in told {
        settings.bind(|| insta::assert_snapshot!(format!("{name}-six-weeks"), text));
    }
}
