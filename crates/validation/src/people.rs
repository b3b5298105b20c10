//! The invented bodies that the model is asked about.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use anatomy::{BodySize, PerSide, Sex};
use biomech::{Body, Capacity};
use quantity::reference::TableHead;
use quantity::{Length, Mass};
use serde::Deserialize;

/// One body with its strength.
pub(crate) struct Person {
    pub(crate) body: Body,
    pub(crate) capacity: Capacity,
    pub(crate) mass: Mass,
}

impl Person {
    /// Someone of this size, strength after the published model.
    pub(crate) fn of(size: &BodySize) -> Self {
        Self { body: Body::of(size), capacity: Capacity::of(size, &[]), mass: size.mass() }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BodyRow {
    id: String,
    sex: Sex,
    age: u8,
    /// Centimetres.
    stature: f64,
    /// Kilograms.
    mass: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    body: Vec<BodyRow>,
}

/// The body of a size, or why it cannot be one.
pub(crate) fn sized(stature: Length, mass: Mass, sex: Sex, age: u8) -> BodySize {
    BodySize::new(stature, mass, sex, age, PerSide::default()).unwrap_or_else(|e| panic!("{e}"))
}

/// Everybody in `reference/validation/bodies.toml`, by name.
pub(crate) fn people() -> &'static BTreeMap<String, Person> {
    static ALL: OnceLock<BTreeMap<String, Person>> = OnceLock::new();
    ALL.get_or_init(|| {
        let table: Table = toml::from_str(include_str!("../../../reference/validation/bodies.toml"))
            .unwrap_or_else(|e| panic!("reference/validation/bodies.toml: {e}"));
        table
            .body
            .into_iter()
            .map(|row| {
                let size = sized(Length::cm(row.stature), Mass::kg(row.mass), row.sex, row.age);
                (row.id, Person::of(&size))
            })
            .collect()
    })
}

/// One of them.
pub(crate) fn person(id: &str) -> &'static Person {
    people().get(id).unwrap_or_else(|| panic!("reference/validation/bodies.toml holds no `{id}`"))
}
