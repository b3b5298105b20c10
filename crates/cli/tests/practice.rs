//! `footrose practice read` as a stranger runs it: a code that came home, shown, tabled, refused.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn run(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_footrose")).args(args).output().expect("the binary runs")
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// One of the vectors of the crate `exchange`, its programme in a file.
fn story(name: &str) -> (String, String, PathBuf) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../exchange/tests/vectors.json");
    let all: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(path).expect("the vectors")).expect("JSON");
    let one =
        all.as_array().expect("a list").iter().find(|one| one["name"] == name).expect("a vector").clone();
    let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{}.json", name.replace([' ', ','], "-")));
    std::fs::write(&file, one["programme"].to_string()).expect("written");
    let text = |key: &str| one[key].as_str().expect("text").to_owned();
    (text("log"), text("typed"), file)
}

#[test]
fn a_code_is_shown_then_tabled_then_adds_nothing() {
    let (log, typed, programme) = story("fourteen days, ten directions");
    let programme = programme.to_str().expect("text");
    let shown = run(&["practice", "read", &log, "--programme", programme]);
    assert_eq!(shown.status.code(), Some(0), "{}", err(&shown));
    assert!(
        out(&shown).contains(": new") && out(&shown).ends_with("Nothing was stored.\n"),
        "{}",
        out(&shown)
    );

    let table = run(&["practice", "read", &log, "--programme", programme, "--csv"]);
    let stored = Path::new(env!("CARGO_TARGET_TMPDIR")).join("stored.csv");
    std::fs::write(&stored, out(&table)).expect("written");
    let stored = stored.to_str().expect("text");
    let again = run(&["practice", "read", &log, "--programme", programme, "--stored", stored, "--json"]);
    let json: serde_json::Value = serde_json::from_str(&out(&again)).expect("JSON");
    let sessions = json["preview"]["sessions"].as_array().expect("sessions");
    assert!(!sessions.is_empty() && sessions.iter().all(|one| one["seen"] == "stored"), "{json}");
    let merged = run(&["practice", "read", &log, "--programme", programme, "--stored", stored, "--csv"]);
    assert_eq!(out(&merged), out(&table));

    let told = run(&["practice", "read", &typed, "--programme", programme, "--stored", stored]);
    assert!(out(&told).contains("Sessions in the fourteen days to"), "{}", out(&told));
}

#[test]
fn a_code_in_a_file_and_a_programme_in_a_page_are_read() {
    let (log, _, programme) = story("one day");
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let (code, page) = (folder.join("scanned.txt"), folder.join("page.html"));
    std::fs::write(&code, format!("{log}\r\n")).expect("written");
    let json = std::fs::read_to_string(programme).expect("there");
    let html = format!("<html><script type=\"application/json\" id=\"programme\">{json}</script></html>");
    std::fs::write(&page, html).expect("written");
    let shown =
        run(&["practice", "read", code.to_str().expect("text"), "--programme", page.to_str().expect("text")]);
    assert_eq!(shown.status.code(), Some(0), "{}", err(&shown));
}

#[test]
fn what_cannot_be_used_ends_with_ten_and_says_what_to_do() {
    let (log, typed, programme) = story("fourteen days, ten directions");
    let (.., other) = story("fourteen days, 48 directions");
    let (programme, other) = (programme.to_str().expect("text"), other.to_str().expect("text"));
    for (code, of, part) in [
        (log.as_str(), other, "another person's"),
        (typed.as_str(), other, "another person's"),
        (&log[..log.len() - 2], programme, "damaged"),
        ("https://example.org", programme, "not a code of the practice page"),
        ("ABCD-EFGH", programme, "accepted"),
    ] {
        let refused = run(&["practice", "read", code, "--programme", of]);
        assert_eq!(refused.status.code(), Some(10), "{code}");
        assert!(err(&refused).contains(part) && out(&refused).is_empty(), "{}", err(&refused));
    }
    let refused = run(&["practice", "read", "FOOTROSE9/AB", "--programme", programme, "--json"]);
    let json: serde_json::Value = serde_json::from_str(&out(&refused)).expect("JSON");
    assert_eq!(
        (&json["error"]["kind"], &json["error"]["refusal"]["kind"]),
        (&"practice_code".into(), &"newer_version".into())
    );
    let missing = run(&["practice", "read", &log, "--programme", "nowhere.json"]);
    assert_eq!(missing.status.code(), Some(13), "{}", err(&missing));
}
