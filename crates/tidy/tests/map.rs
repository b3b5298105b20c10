//! The map does not lie: every crate, path and function that the documents name exists.

use std::collections::BTreeSet;

use tidy::layers::{ORDER, Ring};
use tidy::source::{code, find_word};
use tidy::{crates, files, none, root, text};

fn documents() -> Vec<(String, String)> {
    files("")
        .into_iter()
        .filter(|path| path.ends_with(".md") && !path.starts_with("assets/"))
        .map(|path| {
            let content = text(&path).expect("a document is text");
            (path, content)
        })
        .collect()
}

fn document(name: &str) -> String {
    text(name).expect("a document is text")
}

/// What stands between single backticks, outside blocks of code.
fn code_words(document: &str) -> Vec<String> {
    let mut in_block = false;
    let mut words = Vec::new();
    for line in document.lines() {
        if line.trim_start().starts_with("```") {
            in_block = !in_block;
        } else if !in_block {
            words.extend(line.split('`').skip(1).step_by(2).map(str::to_owned));
        }
    }
    words
}

#[test]
fn the_documents_of_the_repository_are_there() {
    for name in ["README", "ARCHITECTURE", "DESIGN", "GLOSSARY", "CONTRIBUTING", "CHANGELOG"] {
        assert!(root().join(format!("{name}.md")).is_file(), "`{name}.md` is missing");
    }
}

#[test]
fn the_map_lists_every_crate_in_order_with_its_ring_and_its_own_first_sentence() {
    let mut ring = None;
    let mut listed = Vec::new();
    for line in document("ARCHITECTURE.md").lines() {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        let ["", first, name, sentence, ""] = cells[..] else { continue };
        let Some(name) = name.strip_prefix('`').and_then(|name| name.strip_suffix('`')) else { continue };
        let number = first.chars().next();
        ring = match number {
            Some('0') => Some(Ring::Nouns),
            Some('1') => Some(Ring::Records),
            Some('2') => Some(Ring::Reasoning),
            Some('3') => Some(Ring::Words),
            Some('4') => Some(Ring::Edges),
            Some('–') => Some(Ring::Outside),
            _ => ring,
        };
        if ORDER.iter().any(|(known, _)| *known == name) {
            listed.push((name.to_owned(), ring, sentence.to_owned()));
        }
    }
    let names: Vec<&str> = listed.iter().map(|(name, _, _)| name.as_str()).collect();
    let ordered: Vec<&str> = ORDER.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, ordered, "the table of crates in ARCHITECTURE.md");
    let mut complaints = Vec::new();
    for ((name, ring, sentence), (_, right)) in listed.iter().zip(ORDER) {
        if *ring != Some(right) {
            complaints.push(format!("`{name}` stands in ring {ring:?}, belongs to {right:?}"));
        }
        let main = if name == "cli" { "main" } else { "lib" };
        let source = document(&format!("crates/{name}/src/{main}.rs"));
        let first = source.lines().next().unwrap_or_default().trim_start_matches("//! ");
        if first != sentence {
            complaints.push(format!("`{name}` says of itself: {first}"));
        }
    }
    none("ARCHITECTURE.md and the crates say the same", &complaints);
}

#[test]
fn every_path_that_a_document_names_exists() {
    let all: BTreeSet<String> = files("").into_iter().collect();
    let exists = |path: &str| {
        let path = path.trim_end_matches('/');
        all.contains(path)
            || all.iter().any(|file| file.starts_with(&format!("{path}/")))
            || (!path.contains('/') && all.iter().any(|file| file.ends_with(&format!("/{path}"))))
    };
    let looks_like_a_path = |word: &str| {
        let plain = word.chars().all(|c| c.is_ascii_alphanumeric() || "._-/".contains(c));
        let folder = word.split('/').next().is_some_and(|top| {
            word.contains('/') && ["crates", "reference", "cases", "assets", "docs", ".ci"].contains(&top)
        });
        let file =
            [".rs", ".md", ".toml", ".lock"].iter().any(|end| word.ends_with(end) && word.len() > end.len());
        plain && (folder || file)
    };
    let mut complaints = Vec::new();
    for (name, content) in documents() {
        let mut words = code_words(&content);
        // Links, and cases in the commands that the documents tell people to run.
        words.extend(content.split("](").skip(1).filter_map(|rest| {
            let link = rest.split(')').next()?.split('#').next()?;
            (!link.is_empty() && !link.contains(':')).then(|| link.to_owned())
        }));
        words.extend(content.split_whitespace().filter(|w| w.starts_with("cases/")).map(str::to_owned));
        for word in words {
            let word = word.trim_matches('`').trim_end_matches([',', '.', ';', ')']);
            let here = name.rsplit_once('/').map(|(folder, _)| format!("{folder}/{word}"));
            let there = exists(word) || here.is_some_and(|path| exists(&path));
            if looks_like_a_path(word) && !there {
                complaints.push(format!("`{name}` names `{word}`"));
            }
        }
    }
    none("these paths do not exist", &complaints);
}

#[test]
fn every_function_and_type_that_a_document_names_with_its_crate_exists() {
    let mut complaints = Vec::new();
    let crates = crates();
    for (name, content) in documents() {
        for word in code_words(&content) {
            let path = word.split('(').next().unwrap_or_default();
            let Some((home, rest)) = path.split_once("::") else { continue };
            let last = rest.rsplit("::").next().unwrap_or(rest);
            if !crates.iter().any(|known| known == home) {
                continue;
            }
            let found =
                files(&format!("crates/{home}/src")).iter().filter_map(|file| text(file)).any(|source| {
                    let code = code(&source);
                    ["fn", "struct", "enum", "trait", "mod", "const", "type"]
                        .iter()
                        .any(|kind| find_word(&code, &format!("{kind} {last}")).is_some())
                });
            if !found {
                complaints.push(format!("`{name}` names `{word}`"));
            }
        }
    }
    none("these do not exist in the crate they are said to be in", &complaints);
}
