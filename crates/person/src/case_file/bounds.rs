//! The smallest and largest values a case file may give, read from the reference folder.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use quantity::reference::TableHead;
use serde::Deserialize;

use super::shape::{Bounds, Unit};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[allow(dead_code)]
    table: TableHead,
    bounds: BTreeMap<String, Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    least: End,
    most: End,
    default: Option<f64>,
}

/// One end of a range: a plain number, or a quantity with its unit.
#[derive(Deserialize)]
#[serde(untagged)]
enum End {
    Number(f64),
    Quantity(String),
}

fn file() -> &'static File {
    static FILE: OnceLock<File> = OnceLock::new();
    FILE.get_or_init(|| {
        toml::from_str(include_str!("../../../../reference/case_bounds.toml"))
            .expect("reference/case_bounds.toml parses")
    })
}

/// The bounds of one key.
///
/// # Panics
/// When the reference table lacks the key, which a test rules out.
pub(super) fn bounds(unit: Unit, key: &str) -> Bounds {
    let row = file().bounds.get(key).unwrap_or_else(|| panic!("no bounds for `{key}`"));
    let text = |end: &End| match end {
        End::Quantity(text) => text.clone(),
        End::Number(number) => number.to_string(),
    };
    let (least_text, most_text) = (text(&row.least), text(&row.most));
    let number = |text: &str| unit.read(text).unwrap_or_else(|error| panic!("bounds of `{key}`: {error}"));
    Bounds { least: number(&least_text), most: number(&most_text), least_text, most_text }
}

/// What is taken when a wish is left out.
pub(super) fn default(key: &str) -> f64 {
    file().bounds.get(key).and_then(|row| row.default).unwrap_or_else(|| panic!("no default for `{key}`"))
}
