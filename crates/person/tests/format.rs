//! Schema, template, documentation and reader speak of the same keys.

mod schema_check;

use std::collections::BTreeSet;

use person::case_file;
use serde_json::Value;

const DOCUMENT: &str = include_str!("../../../docs/CASE_FILE.md");

/// Every key of a schema with its whole path; entries of lists and sides of findings included.
fn keys_of_schema(schema: &Value, path: &str, out: &mut BTreeSet<String>) {
    if let Some(properties) = schema["properties"].as_object() {
        let finding = properties.keys().eq(["value", "on"]);
        for (name, below) in properties {
            let full = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
            if !finding {
                out.insert(full.clone());
            }
            keys_of_schema(below, &full, out);
        }
    }
    for several in ["anyOf", "oneOf"] {
        for one in schema[several].as_array().into_iter().flatten() {
            keys_of_schema(one, path, out);
        }
    }
    if schema["items"].is_object() {
        keys_of_schema(&schema["items"], path, out);
    }
}

/// Every key that stands in a file.
fn keys_of_file(value: &toml::Value, path: &str, out: &mut BTreeSet<String>) {
    match value {
        toml::Value::Table(table) => {
            for (name, below) in table {
                let full = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
                out.insert(full.clone());
                keys_of_file(below, &full, out);
            }
        }
        toml::Value::Array(entries) => entries.iter().for_each(|entry| keys_of_file(entry, path, out)),
        _ => {}
    }
}

fn schema() -> Value {
    serde_json::from_str(&case_file::schema()).expect("the schema is JSON")
}

fn all_keys() -> BTreeSet<String> {
    let mut keys = BTreeSet::new();
    keys_of_schema(&schema(), "", &mut keys);
    assert!(keys.len() > 100, "only {} keys", keys.len());
    keys
}

fn as_json(text: &str) -> Value {
    fn json(value: toml::Value) -> Value {
        match value {
            toml::Value::Table(table) => table.into_iter().map(|(key, value)| (key, json(value))).collect(),
            toml::Value::Array(entries) => entries.into_iter().map(json).collect(),
            toml::Value::Datetime(date) => Value::String(date.to_string()),
            toml::Value::String(text) => Value::String(text),
            toml::Value::Integer(number) => number.into(),
            toml::Value::Float(number) => number.into(),
            toml::Value::Boolean(flag) => flag.into(),
        }
    }
    json(toml::Value::Table(text.parse().expect("TOML")))
}

#[test]
fn every_key_of_the_schema_stands_in_the_template_and_no_other() {
    let mut written = BTreeSet::new();
    keys_of_file(&toml::Value::Table(case_file::template().parse().expect("TOML")), "", &mut written);
    assert_eq!(written, all_keys());
}

#[test]
fn every_key_of_the_template_is_accepted_and_its_value_arrives() {
    let template = case_file::template();
    let whole = case_file::read("template.toml", &template).unwrap_or_else(|errors| panic!("{errors}"));
    // A line that can be taken out without changing the case would be a key that nobody reads.
    let lines: Vec<&str> = template.lines().collect();
    let mut silent = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        if line.starts_with('#') || !line.contains(" = ") {
            continue;
        }
        let mut fewer = lines.clone();
        fewer.remove(at);
        if case_file::read("template.toml", &fewer.join("\n")).is_ok_and(|case| case == whole) {
            silent.push(line.split(" = ").next().unwrap_or_default());
        }
    }
    // These say what is taken anyway when they are left out.
    let defaults = ["invented", "poor_sight", "surgery", "minutes", "exercises", "weight", "on"];
    silent.retain(|key| !defaults.contains(key));
    assert!(silent.is_empty(), "keys that change nothing: {silent:?}");
}

#[test]
fn every_key_stands_in_the_documentation() {
    for key in all_keys() {
        let name = key.rsplit('.').next().unwrap_or(&key);
        assert!(DOCUMENT.contains(&format!("`{name}`")) || ["left", "right"].contains(&name), "`{key}`");
    }
}

#[test]
fn the_tables_and_the_example_of_the_documentation_are_those_of_the_program() {
    for (what, made) in [("example", case_file::template()), ("tables", case_file::reference())] {
        if !DOCUMENT.contains(made.trim_end()) {
            println!("{made}");
            panic!("replace the {what} in docs/CASE_FILE.md by what is printed above");
        }
    }
}

#[test]
fn the_schema_accepts_what_the_reader_accepts() {
    let schema = schema();
    schema_check::check(&schema, &as_json(&case_file::template())).expect("the template");
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases");
    for entry in std::fs::read_dir(folder).expect("cases/ is there") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|end| end == "toml") {
            let text = std::fs::read_to_string(&path).expect("text");
            schema_check::check(&schema, &as_json(&text))
                .unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        }
    }
}

#[test]
fn schema_and_reader_refuse_the_same_slips() {
    let schema = schema();
    let template = case_file::template();
    for (from, to) in [
        ("version = 1", "version = 2"),
        ("stature = ", "height = "),
        ("\"176 cm\"", "176"),
        ("\"176 cm\"", "\"176\""),
        ("\"176 cm\"", "\"176 kg\""),
        ("sex = \"male\"", "sex = \"man\""),
        ("pain_at_rest = 1", "pain_at_rest = 12"),
        ("pain_at_rest = 1", "pain_at_rest = { value = 1, date = 2026-01-01 }"),
        ("red_flags = []", "red_flags = [\"dvt\"]"),
        ("direction = \"back-left\"", "direction = 100"),
        ("kind = \"falls_risk\"", "kind = \"fall_risk\""),
        ("task = \"up_stair\"", "task = \"up_stairs\""),
        ("poor_sight = false", "poor_sight = \"no\""),
        ("age = 71\n", ""),
    ] {
        assert!(template.contains(from), "the template has no `{from}`");
        let bad = template.replacen(from, to, 1);
        assert!(case_file::read("bad.toml", &bad).is_err(), "reader: {to}");
        assert!(schema_check::check(&schema, &as_json(&bad)).is_err(), "schema: {to}");
    }
}

#[test]
fn sizes_are_bounded_as_the_body_model_bounds_them() {
    let with = |key: &str, from: &str, to: &str| {
        // Without measured legs, which would have to fit the stature.
        let text: String = case_file::template()
            .lines()
            .filter(|line| !line.starts_with("leg_length"))
            .map(|line| format!("{line}\n"))
            .collect();
        let (old, new) = (format!("{key} = {from}"), format!("{key} = {to}"));
        assert!(text.contains(&old));
        case_file::read("size.toml", &text.replacen(&old, &new, 1)).is_ok()
    };
    let body = |stature: f64, mass: f64, age: u8| {
        anatomy::BodySize::new(
            quantity::Length::cm(stature),
            quantity::Mass::kg(mass),
            anatomy::Sex::Male,
            age,
            anatomy::PerSide::default(),
        )
        .is_ok()
    };
    for cm in [119.0, 119.9, 120.0, 121.0, 219.0, 220.0, 220.1, 221.0] {
        assert_eq!(with("stature", "\"176 cm\"", &format!("\"{cm} cm\"")), body(cm, 82.0, 71), "{cm} cm");
    }
    for kg in [24.9, 25.0, 250.0, 250.1] {
        assert_eq!(with("mass", "\"82 kg\"", &format!("\"{kg} kg\"")), body(176.0, kg, 71), "{kg} kg");
    }
    for years in [11, 12, 105, 106] {
        assert_eq!(with("age", "71", &years.to_string()), body(176.0, 82.0, years), "{years} years");
    }
}

#[test]
fn every_row_of_the_bounds_belongs_to_a_key() {
    let table: toml::Table =
        include_str!("../../../reference/case_bounds.toml").parse().expect("the bounds are TOML");
    let keys = all_keys();
    let bounds = table["bounds"].as_table().expect("bounds");
    for row in bounds.keys() {
        let (section, name) = row.rsplit_once('.').unwrap_or(("", row));
        let belongs = |key: &String| key.starts_with(section) && key.rsplit('.').next() == Some(name);
        assert!(keys.iter().any(belongs), "no key for `{row}`");
    }
}
