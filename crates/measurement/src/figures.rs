//! Named figures of measuring that belong to no single test, from `reference/measuring.toml`.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use quantity::reference::{HowRead, TableHead};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "provenance is read by people and by the repository's tests")]
struct Table {
    table: TableHead,
    row: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "provenance is read by people and by the repository's tests")]
struct Row {
    key: String,
    value: f64,
    unit: String,
    source: String,
    read: HowRead,
    #[serde(default)]
    note: String,
}

fn all() -> &'static BTreeMap<String, f64> {
    static ALL: OnceLock<BTreeMap<String, f64>> = OnceLock::new();
    ALL.get_or_init(|| {
        let text = include_str!("../../../reference/measuring.toml");
        toml::from_str::<Table>(text)
            .unwrap_or_else(|e| panic!("reference/measuring.toml: {e}"))
            .row
            .into_iter()
            .map(|row| (row.key, row.value))
            .collect()
    })
}

/// One figure.
///
/// # Panics
/// When the table lacks the key, which a test rules out.
pub(crate) fn figure(key: &str) -> f64 {
    *all().get(key).unwrap_or_else(|| panic!("reference/measuring.toml lacks `{key}`"))
}
