//! The drawn thickness of the body, read from `reference/figure_shape.toml`.

use std::sync::OnceLock;

use quantity::reference::TableHead;

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Radius {
    pub hip: f64,
    pub thigh_end: f64,
    pub knee: f64,
    pub calf: f64,
    pub ankle: f64,
    pub pelvis: f64,
    pub lumbar: f64,
    pub chest: f64,
    pub shoulder: f64,
    pub elbow: f64,
    pub wrist: f64,
    pub hand: f64,
    pub neck: f64,
    pub head_half_breadth: f64,
    pub head_half_height: f64,
    pub heel: f64,
    pub ball: f64,
    pub toe: f64,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PlaceOn {
    pub calf_at: f64,
    pub chest_at: f64,
    pub lumbar_aside: f64,
    pub chest_aside: f64,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Build {
    pub usual_index: f64,
    pub thinnest: f64,
    pub thickest: f64,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct FromAbove {
    pub shoulder_breadth: f64,
    pub shoulder_depth: f64,
    pub head_breadth: f64,
    pub head_length: f64,
    pub nose_length: f64,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ShapeTable {
    #[allow(dead_code)] // Read by the people who open the file.
    table: TableHead,
    pub radius: Radius,
    pub place: PlaceOn,
    pub build: Build,
    pub from_above: FromAbove,
}

/// The table, parsed once.
pub(crate) fn shape() -> &'static ShapeTable {
    static TABLE: OnceLock<ShapeTable> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../../../reference/figure_shape.toml"))
            .expect("reference/figure_shape.toml parses")
    })
}
