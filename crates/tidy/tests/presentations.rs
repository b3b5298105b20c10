//! `docs/PRESENTATIONS.md` lists every row of the rule tables that was written from memory.

use std::collections::BTreeMap;

use tidy::{files, text};
use toml::{Table, Value};

/// The kinds of rows that carry how they were read.
const KINDS: [&str; 8] = ["phase", "limit", "pose", "rule", "impact", "range", "return", "note"];

fn word(row: &Table, key: &str) -> Option<String> {
    row.get(key).map(|value| match value {
        Value::String(text) => text.clone(),
        Value::Integer(number) => number.to_string(),
        Value::Float(number) => number.to_string(),
        Value::Boolean(yes) => yes.to_string(),
        Value::Datetime(_) | Value::Array(_) | Value::Table(_) => String::new(),
    })
}

/// `swelling at most 1`, from one criterion of a table.
fn criterion(value: &Value) -> String {
    let row = value.as_table().expect("a criterion is a table");
    let finding = word(row, "finding").expect("a criterion names a finding").replace('_', " ");
    let asks = ["is", "at_most", "at_least", "below", "above"]
        .into_iter()
        .filter_map(|key| word(row, key).map(|value| format!("{} {value}", key.replace('_', " "))));
    let or = row.get("or").and_then(Value::as_array).into_iter().flatten();
    let or: Vec<String> = or.map(|one| format!(" or {}", criterion(one))).collect();
    format!("{finding} {}{}", asks.collect::<Vec<_>>().join(" "), or.join(""))
}

/// What a row says, short enough to be checked by a clinician.
fn says(kind: &str, row: &Table) -> String {
    let criteria: Vec<String> =
        row.get("criteria").and_then(Value::as_array).into_iter().flatten().map(criterion).collect();
    let asks = if criteria.is_empty() { String::new() } else { format!(": {}", criteria.join(", ")) };
    let week = word(row, "from_week").filter(|week| week != "0");
    let week = week.map(|week| format!(" from week {week}")).unwrap_or_default();
    match kind {
        "phase" => format!("opens level {}{week}{asks}", word(row, "opens_level").unwrap_or_default()),
        "return" => format!("{}{week}{asks}", word(row, "activity").unwrap_or_default()),
        "limit" => {
            let motion = word(row, "motion").unwrap_or_default().replace('_', " ");
            let at_most = word(row, "at_most_deg").map_or_else(
                || {
                    format!(
                        "as measured, {}° before that",
                        word(row, "if_not_assessed_deg").unwrap_or_default()
                    )
                },
                |deg| format!("at most {deg}°"),
            );
            let ends = word(row, "before_phase").map(|phase| format!(" before phase {phase}"));
            format!(
                "{motion} {at_most}{}: {}",
                ends.unwrap_or_default(),
                word(row, "words").unwrap_or_default()
            )
        }
        _ => word(row, "words").unwrap_or_default(),
    }
}

/// Every row from memory as a line of the list, and how many rows there are of each kind of reading.
fn read() -> (Vec<String>, BTreeMap<String, usize>) {
    let (mut lines, mut counts) = (Vec::new(), BTreeMap::new());
    let mut presets = files("reference/presets");
    presets.sort();
    for path in presets.iter().filter(|path| path.ends_with(".toml")) {
        let table: Table = text(path).unwrap_or_default().parse().unwrap_or_else(|e| panic!("{path}: {e}"));
        let name = path.rsplit('/').next().unwrap_or_default().trim_end_matches(".toml");
        for kind in KINDS {
            let rows = table.get(kind).and_then(Value::as_array).into_iter().flatten();
            for row in rows.filter_map(Value::as_table) {
                let how = word(row, "read").unwrap_or_else(|| "unsaid".to_owned());
                *counts.entry(how.clone()).or_insert(0) += 1;
                if how != "memory" {
                    continue;
                }
                let rule = word(row, "rule")
                    .unwrap_or_else(|| format!("phase {}", word(row, "phase").unwrap_or_default()));
                let source = word(row, "source").unwrap_or_default();
                lines.push(format!("| {name} | {rule} | {} | {source} |", says(kind, row)));
            }
        }
    }
    (lines, counts)
}

#[test]
fn the_list_of_rows_from_memory_is_the_list_of_the_tables() {
    let (lines, counts) = read();
    assert!(lines.len() > 20, "the tables were not found");
    let document = text("docs/PRESENTATIONS.md").expect("docs/PRESENTATIONS.md");
    let there: Vec<&str> = document
        .split("<!-- rows from memory -->")
        .nth(1)
        .unwrap_or_default()
        .lines()
        .filter(|line| line.starts_with("| ") && !line.starts_with("| presentation"))
        .collect();
    let total: usize = counts.values().sum();
    let told = format!("{} of {total} rows", lines.len());
    assert!(document.contains(&told), "the document should say: {told}");
    assert_eq!(there, lines, "the list should be:\n{}", lines.join("\n"));
}
