//! Rings 0 to 3 do no I/O, read no clock and use no chance.

use tidy::layers::pure_crates;
use tidy::source::{find_word, line_of, shipped};
use tidy::{files, none, shipped_files, text};

/// What may not stand in shipped code of a pure crate, and why.
const FORBIDDEN: [(&str, &str); 22] = [
    ("std::fs", "reads or writes files"),
    ("std::net", "uses the network"),
    ("std::env", "reads the surroundings"),
    ("std::process", "starts or ends processes"),
    ("std::io", "reads or writes streams"),
    ("std::thread", "starts threads"),
    ("std::time", "reads the clock"),
    ("SystemTime", "reads the clock"),
    ("Instant", "reads the clock"),
    ("Zoned::now", "reads the clock"),
    ("Timestamp::now", "reads the clock"),
    ("println!", "writes to the terminal"),
    ("print!", "writes to the terminal"),
    ("eprintln!", "writes to the terminal"),
    ("eprint!", "writes to the terminal"),
    ("dbg!", "writes to the terminal"),
    ("rand", "uses chance"),
    ("fastrand", "uses chance"),
    ("getrandom", "uses chance"),
    ("HashMap", "is walked in a different order every time; use BTreeMap"),
    ("HashSet", "is walked in a different order every time; use BTreeSet"),
    ("async", "brings an async runtime"),
];

fn complaints_in(path: &str, source: &str) -> Vec<String> {
    let code = shipped(source);
    FORBIDDEN
        .iter()
        .filter_map(|(word, why)| {
            find_word(&code, word).map(|at| format!("{path}:{}: `{word}` {why}", line_of(&code, at)))
        })
        .collect()
}

#[test]
fn pure_crates_do_no_io_read_no_clock_and_use_no_chance() {
    let complaints: Vec<String> = pure_crates()
        .flat_map(shipped_files)
        .flat_map(|path| {
            let source = text(&path).expect("Rust source is text");
            complaints_in(&path, &source)
        })
        .collect();
    none("`today`, seeds and settings are arguments; files are read at the edge", &complaints);
}

#[test]
fn a_pure_crate_has_no_build_script() {
    let complaints: Vec<String> = pure_crates()
        .filter(|name| files(&format!("crates/{name}")).contains(&format!("crates/{name}/build.rs")))
        .map(str::to_owned)
        .collect();
    none("a build script would do at compile time what the code may not do", &complaints);
}

#[test]
fn the_scan_sees_what_it_must_see_and_nothing_else() {
    assert_eq!(complaints_in("x", "fn f() { let t = std::time::Instant::now(); }").len(), 2);
    assert_eq!(complaints_in("x", "// std::fs\nfn f() { g(\"std::fs\") }").len(), 0);
    assert_eq!(complaints_in("x", "#[cfg(test)] mod t { use std::fs; }").len(), 0);
}
