//! `footrose adapt` as a stranger runs it: what the log of two invented people means, and what is said about a log
//! that cannot be used.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn run(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_footrose"))
        .args(args)
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases"))
        .output()
        .expect("the binary runs")
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A file of one test.
fn file(name: &str, text: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, text).expect("written");
    path
}

#[test]
fn a_clean_log_says_whose_it_is_first_then_that_one_variable_may_go_up() {
    // An invented case without a day is decided on the day after the last session.
    let done = run(&["adapt", "02-seamstress.toml", "logs/02-seamstress.json"]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let said = out(&done);
    assert!(said.starts_with("Odile, an invented person, 2026-02-09"), "{said}");
    let at = |what: &str| said.find(what).unwrap_or_else(|| panic!("no `{what}` in {said}"));
    assert!(at("FREE") < at("Logged: 8 sessions on 4 days") && at("Logged") < at("Proposed:"), "{said}");
    assert!(said.contains("one variable goes up"), "{said}");
}

#[test]
fn a_direction_that_hurt_is_shortened_and_the_note_names_the_movement() {
    let args = ["adapt", "12-crane-driver.toml", "logs/12-crane-driver.csv", "--json"];
    let done = run(&args);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let json: serde_json::Value = serde_json::from_str(&out(&done)).expect("parses");
    assert_eq!((json["person"].as_str(), json["invented"].as_bool()), (Some("Wendel"), Some(true)));
    let proposals = json["proposals"].as_array().expect("proposals");
    let changes: Vec<&serde_json::Value> =
        proposals.iter().filter_map(|one| one["changes"].as_array()).flatten().collect();
    let hurt: Vec<_> = changes.iter().filter(|one| one["change"] == "hurt").collect();
    assert_eq!(hurt.len(), 1, "{changes:#?}");
    assert_eq!(hurt[0]["entry"]["family"], "step");
    assert_eq!(hurt[0]["entry"]["on"], "2026-02-22");
    let up = proposals.iter().any(|one| !one["variable"].is_null());
    assert!(!up, "what hurt is made less, and nothing else more");
    let text = out(&run(&args[..3]));
    assert!(text.contains("LOG-PAIN-1") && text.contains("63 cm becomes"), "{text}");
}

#[test]
fn a_log_of_another_programme_or_of_no_form_says_what_is_accepted_and_ends_with_10() {
    let other = run(&["adapt", "02-seamstress.toml", "logs/12-crane-driver.csv"]);
    assert_eq!(other.status.code(), Some(10), "{}", err(&other));
    let said = err(&other);
    assert!(said.contains("is not in it") && said.contains("accepted:") && said.contains("--from"), "{said}");
    assert_eq!(out(&other), "");
    let none = file("no-log.json", "[{ \"on\": \"yesterday\" }]");
    let none = run(&["adapt", "12-crane-driver.toml", none.to_str().expect("a path that is text")]);
    assert_eq!(none.status.code(), Some(10), "{}", err(&none));
    assert!(err(&none).contains("line 1") && err(&none).contains("nothing was changed"), "{}", err(&none));
    // A log that lies before the programme says nothing about it, and that is said.
    let early = run(&["adapt", "12-crane-driver.toml", "logs/02-seamstress.json", "--today", "2026-02-20"]);
    assert!(
        out(&early).contains("8 sessions before that day tell of an earlier programme"),
        "{}",
        out(&early)
    );
    let missing = run(&["adapt", "12-crane-driver.toml", "logs/nobody.json"]);
    assert_eq!(missing.status.code(), Some(13), "{}", err(&missing));
}

#[test]
fn a_stop_sign_stops_everything_and_says_whom_to_call() {
    let log = std::fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases/logs/02-seamstress.json"),
    )
    .expect("a log");
    let stopped = file("stopped.json", &log.replacen("\"stopped\": null", "\"stopped\": \"seen_today\"", 1));
    let done = run(&["adapt", "02-seamstress.toml", stopped.to_str().expect("a path that is text")]);
    let said = out(&done);
    assert!(said.contains("STOP: nothing is done until a clinician has looked."), "{said}");
    assert!(said.contains("Clinic:") && !said.contains("Proposed"), "{said}");
}

/// A log opens no letter in one form and another command in another: all of them are one log.
#[test]
fn a_letter_reads_every_form_in_which_a_log_comes_home() {
    let text = std::fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases/practice/01-lighthouse-mechanic.json"),
    )
    .expect("a log");
    let with_prescription: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let mut saved = with_prescription.clone();
    saved["format"] = "footrose-practice-log".into();
    saved["version"] = 1.into();
    saved["mark"] = "0123456789abcdef".into();
    let list = with_prescription["sessions"].to_string();
    for (name, log) in [("saved.json", saved.to_string()), ("list.json", list), ("both.json", text)] {
        let log = file(name, &log);
        let log = log.to_str().expect("a path that is text");
        let done = run(&["letter", "progress-note", "01-lighthouse-mechanic.toml", "--log", log]);
        assert_eq!(done.status.code(), Some(0), "{name}: {}", err(&done));
        assert!(out(&done).contains("32 sessions on 20 days"), "{name}: {}", out(&done));
        assert_eq!(
            out(&done).contains("What was asked for did not come with the log."),
            name == "list.json",
            "{name}"
        );
    }
    let table =
        run(&["letter", "progress-note", "12-crane-driver.toml", "--log", "logs/12-crane-driver.csv"]);
    assert_eq!(table.status.code(), Some(0), "{}", err(&table));
    assert!(out(&table).contains("Logged from 19 February 2026"), "{}", out(&table));
    // A file whose sessions are not of what it says was asked for is damaged, and nothing is counted.
    saved["prescription"]["cells"].as_array_mut().expect("cells").truncate(1);
    let damaged = file("damaged.json", &saved.to_string());
    let damaged = damaged.to_str().expect("a path that is text");
    let refused = run(&["letter", "progress-note", "01-lighthouse-mechanic.toml", "--log", damaged]);
    assert_eq!(refused.status.code(), Some(10), "{}", out(&refused));
}
