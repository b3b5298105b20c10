//! Kills a writing process again and again and looks for what was lost: `--example kill -- 200`.

#[path = "../tests/common/killing.rs"]
mod killing;

use std::path::PathBuf;
use std::process::Command;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    if let [word, path, seed] = words.as_slice()
        && word == "write"
    {
        killing::write_until_killed(&PathBuf::from(path), seed.parse().expect("a seed"));
        return;
    }
    let kills = words.first().map_or(200, |word| word.parse().expect("a number of kills"));
    let seed = words.get(1).map_or(1, |word| word.parse().expect("a seed"));
    let folder = std::env::temp_dir().join(format!("store-kill-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let outcome = killing::kill_again_and_again(&folder, kills, seed, |path, seed| {
        let mut command = Command::new(std::env::current_exe().expect("this program"));
        command.arg("write").arg(path).arg(seed.to_string());
        command
    });
    std::fs::remove_dir_all(&folder).expect("cleared away");
    println!(
        "{} kills, {} acknowledged writes, none lost; {} records and {} backups at the end",
        outcome.kills, outcome.acknowledged, outcome.records, outcome.backups
    );
}
