//! What may not stand in any file of ours, and how a source file opens.

use tidy::source::{code, find_word};
use tidy::{files, none, text};

/// The lock file names the registry by itself; licences of others name their own addresses.
fn is_ours(path: &str) -> bool {
    path != "Cargo.lock" && !path.starts_with("assets/fonts/")
}

fn our_texts() -> Vec<(String, String)> {
    files("")
        .into_iter()
        .filter(|path| is_ours(path))
        .filter_map(|path| Some((path.clone(), text(&path)?)))
        .collect()
}

#[test]
fn no_file_names_a_registry_a_machine_or_where_an_idea_came_from() {
    // Written in two halves so that this file does not name them either.
    let forbidden = [
        concat!("seed ", "document"),
        concat!("../", "shared"),
        concat!("/work", "/"),
        concat!("/root", "/"),
        concat!("/home", "/"),
        concat!("/tmp/", "wt"),
        concat!("crates", ".io"),
        concat!("docs", ".rs/"),
        concat!("npmjs", ".com"),
        concat!("pypi", ".org"),
    ];
    let mut complaints = Vec::new();
    for (path, content) in our_texts() {
        for word in forbidden {
            if content.contains(word) {
                complaints.push(format!("`{path}` contains `{word}`"));
            }
        }
    }
    none("the project stands by itself", &complaints);
}

#[test]
fn no_code_waits_to_be_written_and_no_test_is_ignored() {
    let complaints: Vec<String> = our_texts()
        .into_iter()
        .filter(|(path, _)| path.ends_with(".rs"))
        .flat_map(|(path, content)| {
            let code = code(&content);
            ["todo!", "unimplemented!", "#[ignore", "dbg!"]
                .into_iter()
                .filter(|word| find_word(&code, word).is_some())
                .map(|word| format!("`{path}` contains `{word}`"))
                .collect::<Vec<_>>()
        })
        .collect();
    none("a stub pretends; an ignored test says nothing", &complaints);
}

#[test]
fn every_source_file_opens_with_its_sentence() {
    let complaints: Vec<String> = our_texts()
        .into_iter()
        .filter(|(path, _)| path.ends_with(".rs"))
        .filter_map(|(path, content)| {
            let first = content.lines().next().unwrap_or_default();
            let sentence = first.strip_prefix("//! ").unwrap_or_default().trim();
            (sentence.len() < 12).then(|| format!("`{path}` opens with `{first}`"))
        })
        .collect();
    none("a file opens with `//!` and what it is for", &complaints);
}

#[test]
fn a_source_file_stays_readable_in_one_sitting() {
    const MANY_LINES: usize = 800;
    let complaints: Vec<String> = our_texts()
        .into_iter()
        .filter(|(path, content)| path.ends_with(".rs") && content.lines().count() > MANY_LINES)
        .map(|(path, content)| format!("`{path}` has {} lines", content.lines().count()))
        .collect();
    none("split the file at its second sentence", &complaints);
}

#[test]
fn nothing_lies_about_at_the_root() {
    let known = [
        ".gitignore",
        "ARCHITECTURE.md",
        "CHANGELOG.md",
        "CONTRIBUTING.md",
        "Cargo.lock",
        "Cargo.toml",
        "DESIGN.md",
        "GLOSSARY.md",
        "LICENSE",
        "README.md",
        "clippy.toml",
        "justfile",
        "rustfmt.toml",
    ];
    let complaints: Vec<String> =
        files("").into_iter().filter(|path| !path.contains('/') && !known.contains(&path.as_str())).collect();
    none("a file at the root is one of the known ones", &complaints);
}
