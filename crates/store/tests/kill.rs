//! A process that is killed while it writes loses nothing it acknowledged.

#[path = "common/killing.rs"]
mod killing;

use std::path::PathBuf;
use std::process::Command;

/// The test starts itself once more as the writer, told by this where to write.
const WRITER: &str = "STORE_TEST_WRITER";

#[test]
fn a_process_killed_while_it_writes_loses_nothing_it_acknowledged() {
    if let Ok(told) = std::env::var(WRITER) {
        let (seed, path) = told.split_once(' ').expect("a seed and a path");
        killing::write_until_killed(&PathBuf::from(path), seed.parse().expect("a number"));
        return;
    }
    let folder = std::env::temp_dir().join(format!("store-kill-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let outcome = killing::kill_again_and_again(&folder, 8, 7, |path, seed| {
        let mut command = Command::new(std::env::current_exe().expect("this program"));
        command
            .args([
                "--exact",
                "a_process_killed_while_it_writes_loses_nothing_it_acknowledged",
                "--nocapture",
            ])
            .env(WRITER, format!("{seed} {}", path.display()));
        command
    });
    std::fs::remove_dir_all(&folder).expect("cleared away");
    assert!(outcome.kills == 8 && outcome.acknowledged > 50, "{} lines", outcome.acknowledged);
    assert!(outcome.records > 50 && outcome.backups < 100);
}
