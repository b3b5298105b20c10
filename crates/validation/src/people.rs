//! The invented bodies that the model is asked about.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use anatomy::{BodySize, JointMotion, PerSide, Sex, Side};
use biomech::{Body, Capacity, MeasuredMoment};
use quantity::reference::TableHead;
use quantity::{Length, Mass, Moment};
use serde::Deserialize;

/// One body with its strength.
pub(crate) struct Person {
    pub(crate) body: Body,
    pub(crate) capacity: Capacity,
    /// The same with the comparison strengths (from memory) entered for motions without a published
    /// one, so that muscles named for them can be compared with one another. Postures are the same.
    pub(crate) assumed: Capacity,
    pub(crate) mass: Mass,
}

impl Person {
    /// Someone of this size, strength after the published model.
    pub(crate) fn of(size: &BodySize) -> Self {
        Self {
            body: Body::of(size),
            capacity: Capacity::of(size, &[]),
            assumed: Capacity::of(size, &comparison(size)),
            mass: size.mass(),
        }
    }
}

#[derive(Deserialize)]
struct Comparison {
    row: Vec<ComparisonRow>,
}

#[derive(Deserialize)]
struct ComparisonRow {
    motion: String,
    sex: Sex,
    /// N·m per kg.
    low: f64,
    high: f64,
}

/// The middle of each comparison band as if it had been measured.
fn comparison(size: &BodySize) -> Vec<MeasuredMoment> {
    static TABLE: OnceLock<Comparison> = OnceLock::new();
    let table = TABLE.get_or_init(|| {
        toml::from_str(include_str!("../../../reference/strength_comparison.toml"))
            .unwrap_or_else(|e| panic!("reference/strength_comparison.toml: {e}"))
    });
    table
        .row
        .iter()
        .filter(|row| row.sex == size.sex())
        .filter_map(|row| Some((JointMotion::from_key(&row.motion)?, row)))
        .flat_map(|(motion, row)| {
            let moment = Moment::nm(f64::midpoint(row.low, row.high) * size.mass().in_kg());
            Side::BOTH.map(|side| MeasuredMoment { side, motion, moment, at_angle: None })
        })
        .collect()
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
