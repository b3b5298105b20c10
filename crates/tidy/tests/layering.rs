//! A crate uses only what stands before it in the map.

use tidy::layers::{FORBIDDEN, ORDER};
use tidy::{crates, none, text};

fn manifest(name: &str) -> toml::Table {
    let path = format!("crates/{name}/Cargo.toml");
    text(&path).expect("a manifest is text").parse().unwrap_or_else(|error| panic!("`{path}`: {error}"))
}

/// Every dependency of a crate, whatever it is for, with the table it stands in.
fn dependencies(name: &str) -> Vec<(String, &'static str)> {
    let manifest = manifest(name);
    ["dependencies", "dev-dependencies", "build-dependencies"]
        .into_iter()
        .flat_map(|kind| {
            manifest
                .get(kind)
                .and_then(toml::Value::as_table)
                .into_iter()
                .flat_map(move |table| table.keys().map(move |key| (key.clone(), kind)))
                .collect::<Vec<_>>()
        })
        .collect()
}

fn place(name: &str) -> Option<usize> {
    ORDER.iter().position(|(known, _)| *known == name)
}

#[test]
fn the_order_names_every_crate_and_no_other() {
    let mut ordered: Vec<&str> = ORDER.iter().map(|(name, _)| *name).collect();
    ordered.sort_unstable();
    assert_eq!(ordered, crates());
}

#[test]
fn the_rings_of_the_order_only_rise() {
    assert!(ORDER.is_sorted_by_key(|(_, ring)| *ring));
}

#[test]
fn a_crate_uses_only_crates_that_stand_before_it() {
    let mut complaints = Vec::new();
    for (own, (name, _)) in ORDER.iter().enumerate() {
        for (used, kind) in dependencies(name) {
            if place(&used).is_some_and(|place| place >= own) {
                complaints.push(format!("`{name}` has `{used}` in [{kind}]"));
            }
        }
    }
    none("a crate may use lower rings and, in its ring, what stands before it", &complaints);
}

#[test]
fn the_physics_does_not_know_the_diagnosis() {
    let mut complaints = Vec::new();
    for (name, forbidden, reason) in FORBIDDEN {
        for (used, kind) in dependencies(name) {
            if used == forbidden {
                complaints.push(format!("`{name}` has `{used}` in [{kind}]: {reason}"));
            }
        }
    }
    none("forbidden although the order would allow it", &complaints);
}

#[test]
fn only_one_crate_sets_type_only_one_reads_the_command_line_and_only_one_knows_the_database() {
    let mut complaints = Vec::new();
    for (name, _) in ORDER {
        for (used, _) in dependencies(name) {
            let home = match used.as_str() {
                "clap" | "anyhow" => "cli",
                "sqlx" | "argon2" | "chacha20poly1305" => "store",
                "axum" | "maud" | "tower" | "tokio-rustls" | "rcgen" => "web",
                typst if typst.starts_with("typst") => "document",
                _ => continue,
            };
            if name != home {
                complaints.push(format!("`{name}` uses `{used}`, which belongs to `{home}`"));
            }
        }
    }
    none("a heavy library has one home", &complaints);
}

#[test]
fn every_dependency_takes_its_version_from_the_workspace() {
    let mut complaints = Vec::new();
    for (name, _) in ORDER {
        let manifest = manifest(name);
        for (used, kind) in dependencies(name) {
            let value = &manifest[kind][&used];
            let ours = value.get("path").and_then(toml::Value::as_str) == Some(&format!("../{used}"))
                && place(&used).is_some();
            let theirs = value.get("workspace").and_then(toml::Value::as_bool) == Some(true);
            if !ours && !theirs {
                complaints.push(format!("`{name}`: `{used}`"));
            }
        }
        if manifest.get("target").is_some() {
            complaints.push(format!("`{name}` has [target] dependencies, which this test does not read"));
        }
        if manifest.get("lints").and_then(|lints| lints.get("workspace")).and_then(toml::Value::as_bool)
            != Some(true)
        {
            complaints.push(format!("`{name}` does not take the lints of the workspace"));
        }
    }
    none("a dependency is `{ workspace = true }` or the path of one of our crates", &complaints);
}
