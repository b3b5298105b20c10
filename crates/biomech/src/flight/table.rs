//! The figures of `reference/landing.toml`.

use std::sync::OnceLock;

use quantity::reference::{HowRead, TableHead};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "the head is checked by the repository's own tests")]
    table: TableHead,
    stiffness: Vec<Stiffness>,
    bands: Bands,
    choices: Choices,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "where and how a figure was read is for the reader of the table")]
struct Stiffness {
    legs: u8,
    end: String,
    kn_m: f64,
    source: String,
    read: HowRead,
    #[serde(rename = "where")]
    place: String,
    note: String,
}

/// Bands of peak force.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Bands {
    pub(crate) low_below: f64,
    pub(crate) moderate_up_to: f64,
}

/// Our own choices.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Choices {
    pub(crate) least_rise_m: f64,
    pub(crate) crouch_one_leg_of_leg: f64,
    pub(crate) crouch_two_legs_of_leg: f64,
    pub(crate) heel_rise_of_foot: f64,
    pub(crate) trail_of_leg: f64,
    pub(crate) trail_height_m: f64,
    pub(crate) push_over_model: f64,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../../../../reference/landing.toml"))
            .unwrap_or_else(|e| panic!("reference/landing.toml: {e}"))
    })
}

pub(crate) fn bands() -> &'static Bands {
    &table().bands
}

pub(crate) fn choices() -> &'static Choices {
    &table().choices
}

/// Stiffness of so many legs, newtons per metre: `low`, `typical` or `high`.
pub(crate) fn stiffness(legs: u8, end: &str) -> f64 {
    table()
        .stiffness
        .iter()
        .find(|row| row.legs == legs && row.end == end)
        .unwrap_or_else(|| panic!("{end} stiffness of {legs} legs is in the table"))
        .kn_m
        * 1000.0
}
