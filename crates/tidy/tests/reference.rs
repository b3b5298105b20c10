//! Every table in `reference/` says where its figures come from.

use std::collections::BTreeSet;

use quantity::reference::{HowRead, TableHead, bibliography};
use tidy::{files, none, text};

const BIBLIOGRAPHY: &str = "reference/bibliography.toml";

fn tables() -> Vec<(String, toml::Table)> {
    files("reference")
        .into_iter()
        .filter(|path| path.ends_with(".toml") && path != BIBLIOGRAPHY)
        .map(|path| {
            let table = text(&path)
                .expect("a table is text")
                .parse::<toml::Table>()
                .unwrap_or_else(|error| panic!("`{path}` does not parse: {error}"));
            (path, table)
        })
        .collect()
}

/// Visits every table inside a value, with the path of keys that leads there.
fn visit(value: &toml::Value, at: &str, seen: &mut impl FnMut(&str, &toml::Table)) {
    match value {
        toml::Value::Table(table) => {
            seen(at, table);
            for (key, inner) in table {
                visit(inner, &format!("{at}.{key}"), seen);
            }
        }
        toml::Value::Array(items) => {
            for (index, inner) in items.iter().enumerate() {
                visit(inner, &format!("{at}[{index}]"), seen);
            }
        }
        _ => {}
    }
}

#[test]
fn every_table_has_a_head_that_says_what_it_holds_from_where_and_how_it_was_read() {
    assert!(tables().len() >= 9, "the tables were not found");
    let complaints: Vec<String> = tables()
        .into_iter()
        .filter_map(|(path, table)| {
            let Some(head) = table.get("table") else {
                return Some(format!("`{path}` has no [table] head"));
            };
            match head.clone().try_into::<TableHead>() {
                Err(error) => Some(format!("`{path}`: {error}")),
                Ok(head) if head.title.trim().is_empty() => Some(format!("`{path}` has an empty title")),
                Ok(_) => None,
            }
        })
        .collect();
    none("every table in reference/ opens with a complete [table] head", &complaints);
}

#[test]
fn every_source_named_in_a_table_stands_in_the_bibliography() {
    let mut complaints = Vec::new();
    for (path, table) in tables() {
        visit(&toml::Value::Table(table), "", &mut |at, inner| {
            if let Some(source) = inner.get("source") {
                let Some(key) = source.as_str() else {
                    complaints.push(format!("`{path}` at `{at}`: a source is a key, was `{source:?}`"));
                    return;
                };
                if !bibliography().contains_key(key) {
                    complaints.push(format!("`{path}` at `{at}`: `{key}` is not in {BIBLIOGRAPHY}"));
                }
            }
        });
    }
    none("a source is a key of the bibliography", &complaints);
}

#[test]
fn every_word_for_how_a_figure_was_read_is_one_of_the_seven() {
    let mut complaints = Vec::new();
    for (path, table) in tables() {
        visit(&toml::Value::Table(table), "", &mut |at, inner| {
            if let Some(read) = inner.get("read")
                && read.clone().try_into::<HowRead>().is_err()
            {
                complaints.push(format!("`{path}` at `{at}`: `read = {read:?}`"));
            }
        });
    }
    none("`read` is one of text, abstract, derived, secondary, memory, practice, own", &complaints);
}

#[test]
fn no_source_is_listed_that_no_table_uses() {
    let mut used = BTreeSet::new();
    for (_, table) in tables() {
        visit(&toml::Value::Table(table), "", &mut |_, inner| {
            if let Some(key) = inner.get("source").and_then(toml::Value::as_str) {
                used.insert(key.to_owned());
            }
        });
    }
    let complaints: Vec<String> =
        bibliography().keys().filter(|key| !used.contains(*key)).map(|key| format!("`{key}`")).collect();
    none("these entries of the bibliography are used by no table", &complaints);
}

#[test]
fn every_publication_says_what_of_it_was_seen() {
    let complaints: Vec<String> = bibliography()
        .iter()
        .filter(|(key, source)| !matches!(key.as_str(), "own" | "practice") && source.seen.trim().is_empty())
        .map(|(key, _)| format!("`{key}`"))
        .collect();
    none("these entries do not say what was read (`seen`)", &complaints);
}

#[test]
fn a_figure_read_as_own_or_practice_claims_no_publication() {
    let mut complaints = Vec::new();
    for (path, table) in tables() {
        visit(&toml::Value::Table(table), "", &mut |at, inner| {
            let word = |key| inner.get(key).and_then(toml::Value::as_str);
            if let (Some("own" | "practice"), Some(source)) = (word("read"), word("source"))
                && !matches!(source, "own" | "practice")
            {
                complaints.push(format!("`{path}` at `{at}`: source `{source}`"));
            }
        });
    }
    none("read = own or practice goes with source own or practice", &complaints);
}

#[test]
fn the_tables_point_nowhere_outside_the_repository() {
    let complaints: Vec<String> = files("reference")
        .into_iter()
        .filter(|path| text(path).is_some_and(|text| text.contains("../")))
        .collect();
    none("a reference file mentions a path outside its folder", &complaints);
}

/// de Leva 1996, Table 4: head, trunk and twice each limb make the whole body
/// (0.9999 for women and 1.0000 for men, to the four digits printed).
#[test]
fn the_segment_masses_of_each_sex_make_one_whole_body() {
    let (_, table) = tables()
        .into_iter()
        .find(|(path, _)| path.ends_with("segments_deleva1996.toml"))
        .expect("the segment table is there");
    let rows = table["row"].as_array().expect("rows").clone();
    for (sex, whole) in [("female", 0.9999), ("male", 1.0000)] {
        let sum: f64 = rows
            .iter()
            .filter(|row| row["sex"].as_str() == Some(sex))
            .map(|row| {
                let middle = matches!(
                    row["segment"].as_str(),
                    Some("head" | "upper_trunk" | "middle_trunk" | "lower_trunk")
                );
                row["mass"].as_float().expect("a mass") * if middle { 1.0 } else { 2.0 }
            })
            .sum();
        assert!((sum - whole).abs() < 1e-9, "{sex}: {sum}");
    }
}
