//! What comes in from outside: why, under which licence, from where and how often.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use tidy::{crates, none, root, text};

fn list(section: &str) -> BTreeMap<String, toml::Value> {
    let all: toml::Table = text("crates/tidy/dependencies.toml")
        .expect("the list is text")
        .parse()
        .expect("dependencies.toml parses");
    all[section].as_table().expect("a section").clone().into_iter().collect()
}

fn locked() -> Vec<toml::Table> {
    let lock: toml::Table =
        text("Cargo.lock").expect("the lock file is text").parse().expect("Cargo.lock parses");
    lock["package"].as_array().expect("packages").iter().filter_map(|p| p.as_table().cloned()).collect()
}

#[test]
fn every_direct_dependency_has_a_reason_and_every_reason_a_dependency() {
    let workspace: toml::Table =
        text("Cargo.toml").expect("text").parse().expect("the workspace manifest parses");
    let wanted: BTreeSet<String> = workspace["workspace"]["dependencies"]
        .as_table()
        .expect("workspace dependencies")
        .keys()
        .cloned()
        .collect();
    let explained: BTreeSet<String> = list("direct").into_keys().collect();
    assert_eq!(wanted, explained, "crates/tidy/dependencies.toml and [workspace.dependencies] must agree");
    let empty: Vec<String> = list("direct")
        .into_iter()
        .filter(|(_, reason)| reason.as_str().is_none_or(|reason| reason.trim().is_empty()))
        .map(|(name, _)| name)
        .collect();
    none("a reason is a sentence", &empty);
}

#[test]
fn every_workspace_dependency_is_used_by_a_crate() {
    let mut used = BTreeSet::new();
    for name in crates() {
        let manifest: toml::Table =
            text(&format!("crates/{name}/Cargo.toml")).expect("text").parse().expect("a manifest parses");
        for kind in ["dependencies", "dev-dependencies", "build-dependencies"] {
            if let Some(table) = manifest.get(kind).and_then(toml::Value::as_table) {
                used.extend(table.keys().cloned());
            }
        }
    }
    let unused: Vec<String> = list("direct").into_keys().filter(|name| !used.contains(name)).collect();
    none("no crate uses these dependencies of the workspace", &unused);
}

#[test]
fn everything_comes_from_one_registry_and_nothing_from_a_branch() {
    let sources: BTreeSet<String> =
        locked().iter().filter_map(|package| package.get("source")?.as_str().map(str::to_owned)).collect();
    assert_eq!(sources.len(), 1, "more than one origin: {sources:?}");
    assert!(sources.iter().all(|source| source.starts_with("registry+")), "not a registry: {sources:?}");
}

#[test]
fn a_package_in_two_versions_is_known_and_has_a_reason() {
    let mut count: BTreeMap<String, usize> = BTreeMap::new();
    for package in locked() {
        *count.entry(package["name"].as_str().expect("a name").to_owned()).or_default() += 1;
    }
    let doubled: BTreeSet<String> =
        count.into_iter().filter(|(_, versions)| *versions > 1).map(|(name, _)| name).collect();
    let known: BTreeSet<String> = list("doubled").into_keys().collect();
    let new: Vec<String> = doubled.difference(&known).cloned().collect();
    let gone: Vec<String> = known.difference(&doubled).cloned().collect();
    none("now in more than one version: look what it costs, then list it with a reason", &new);
    none("no longer doubled: take it off the list", &gone);
}

/// The platform this test was built on, which is the one whose packages are here.
fn platform() -> String {
    let rustc = std::env::var("RUSTC").unwrap_or_else(|_| "rustc".to_owned());
    let output = Command::new(rustc).arg("-vV").output().expect("rustc runs");
    String::from_utf8_lossy(&output.stdout)
        .lines()
        .find_map(|line| line.strip_prefix("host: ").map(str::to_owned))
        .expect("rustc names its host")
}

#[test]
fn every_licence_that_comes_in_is_allowed() {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let output = Command::new(cargo)
        .args(["metadata", "--offline", "--locked", "--format-version", "1", "--filter-platform"])
        .arg(platform())
        .current_dir(root())
        .output()
        .expect("cargo runs");
    assert!(
        output.status.success(),
        "cargo knows the licence of a package only once it was downloaded; run `cargo fetch --locked` first\n{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let all: serde_json::Value = serde_json::from_slice(&output.stdout).expect("cargo writes JSON");
    let packages = all["packages"].as_array().expect("packages");
    assert!(packages.len() > 100, "only {} packages seen", packages.len());
    let allowed: Vec<String> = list("licences")["allowed"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|word| word.as_str().map(str::to_owned))
        .collect();
    let complaints: Vec<String> = packages
        .iter()
        .filter(|package| !package["license"].as_str().is_some_and(|text| permitted(text, &allowed)))
        .map(|package| format!("{} {}: {}", package["name"], package["version"], package["license"]))
        .collect();
    none("a licence outside the list in crates/tidy/dependencies.toml", &complaints);
}

/// Whether a licence expression can be met with the allowed ones: any side of an `OR` (or the old
/// `/`), every side of an `AND`.
fn permitted(expression: &str, allowed: &[String]) -> bool {
    let text = expression.trim();
    if let Some(sides) = split(text, &["AND"]) {
        // `OR` binds weaker than `AND`, so an expression with both on one level is split at `OR`.
        return match split(text, &["OR", "/"]) {
            Some(any) => any.iter().any(|side| permitted(side, allowed)),
            None => sides.iter().all(|side| permitted(side, allowed)),
        };
    }
    if let Some(any) = split(text, &["OR", "/"]) {
        return any.iter().any(|side| permitted(side, allowed));
    }
    match text.strip_prefix('(').and_then(|inner| inner.strip_suffix(')')) {
        Some(inner) => permitted(inner, allowed),
        None => allowed.iter().any(|known| known == text),
    }
}

/// The parts of an expression between the given words outside parentheses; `None` if there is one.
fn split(expression: &str, at: &[&str]) -> Option<Vec<String>> {
    let spaced = expression.replace('/', " / ").replace('(', " ( ").replace(')', " ) ");
    let mut parts = vec![Vec::new()];
    let mut depth = 0;
    for word in spaced.split_whitespace() {
        depth += i32::from(word == "(") - i32::from(word == ")");
        if depth == 0 && at.contains(&word) {
            parts.push(Vec::new());
        } else {
            parts.last_mut().expect("one part is always open").push(word);
        }
    }
    (parts.len() > 1).then(|| parts.iter().map(|part| part.join(" ")).collect())
}

#[test]
fn a_licence_expression_is_met_by_any_side_of_or_and_by_every_side_of_and() {
    let allowed = ["MIT".to_owned(), "Unicode-3.0".to_owned(), "A WITH B".to_owned()];
    for good in ["MIT", "GPL-3.0 OR MIT", "MIT/GPL-3.0", "(MIT OR X) AND Unicode-3.0", "A WITH B OR X"] {
        assert!(permitted(good, &allowed), "{good}");
    }
    for bad in ["GPL-3.0", "MIT AND GPL-3.0", "(X OR Y) AND MIT", "", "A", "mit"] {
        assert!(!permitted(bad, &allowed), "{bad}");
    }
}
