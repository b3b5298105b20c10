//! The rules of this repository, as tests.
//!
//! This file finds and reads the files that the tests look at. Nothing here is part of the product. The folder is walked rather than asked of git, so the
//! rules also hold for files that were not yet added.

#![forbid(unsafe_code)]

pub mod layers;
pub mod source;

use std::path::{Path, PathBuf};

/// What lies at the top of a working copy and is no source of ours.
const NOT_OURS: [&str; 6] = ["target", "out", ".git", ".jj", "e2e/node_modules", "e2e/out"];

/// The top folder of the repository.
///
/// # Panics
/// When this crate does not lie two folders below it.
#[must_use]
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .nth(2)
        .expect("this crate lies in `crates/tidy`")
        .to_owned()
}

/// Every file below a folder of the repository (`""` for all), as paths from the root, sorted.
///
/// # Panics
/// When the folder cannot be read.
#[must_use]
pub fn files(below: &str) -> Vec<String> {
    let root = root();
    let mut found = Vec::new();
    let mut open = vec![root.join(below)];
    while let Some(folder) = open.pop() {
        let entries = std::fs::read_dir(&folder)
            .unwrap_or_else(|error| panic!("cannot read folder `{}`: {error}", folder.display()));
        for entry in entries {
            let path = entry.expect("a folder entry can be read").path();
            let Ok(short) = path.strip_prefix(&root) else { continue };
            let short = short.to_string_lossy().replace('\\', "/");
            if NOT_OURS.contains(&short.as_str()) {
                continue;
            }
            if path.is_dir() {
                open.push(path);
            } else {
                found.push(short);
            }
        }
    }
    found.sort();
    found
}

/// The text of a file, by its path from the root; `None` for a file that is not text.
///
/// # Panics
/// When the file cannot be read.
#[must_use]
pub fn text(path: &str) -> Option<String> {
    let bytes =
        std::fs::read(root().join(path)).unwrap_or_else(|error| panic!("cannot read `{path}`: {error}"));
    String::from_utf8(bytes).ok()
}

/// The names of all crates, sorted.
#[must_use]
pub fn crates() -> Vec<String> {
    files("crates")
        .iter()
        .filter_map(|path| path.strip_prefix("crates/")?.strip_suffix("/Cargo.toml").map(str::to_owned))
        .filter(|name| !name.contains('/'))
        .collect()
}

/// The source files of a crate that are part of the product: not those that a `#[cfg(test)]`
/// module declaration brings in.
#[must_use]
pub fn shipped_files(name: &str) -> Vec<String> {
    let all: Vec<String> =
        files(&format!("crates/{name}/src")).into_iter().filter(|path| path.ends_with(".rs")).collect();
    let mut for_tests = Vec::new();
    for path in &all {
        let code = source::code(&text(path).unwrap_or_default());
        let folder = match path.rsplit_once('/') {
            Some((folder, "lib.rs" | "main.rs" | "mod.rs")) => folder.to_owned(),
            _ => path.trim_end_matches(".rs").to_owned(),
        };
        for part in code.split("#[cfg(test)]").skip(1) {
            let Some(rest) = part.trim_start().strip_prefix("mod ") else { continue };
            if let Some((module, _)) = rest.split_once(';').filter(|(module, _)| !module.contains('{')) {
                for_tests.push(format!("{folder}/{module}.rs"));
                for_tests.push(format!("{folder}/{module}/"));
            }
        }
    }
    let only_for_tests =
        |path: &String| for_tests.iter().any(|t| path == t || t.ends_with('/') && path.starts_with(t));
    all.into_iter().filter(|path| !only_for_tests(path)).collect()
}

/// Fails with all complaints at once, one a line.
///
/// # Panics
/// When there is a complaint.
pub fn none(rule: &str, complaints: &[String]) {
    assert!(complaints.is_empty(), "{rule}\n  {}", complaints.join("\n  "));
}
