//! The muscle units of one leg as they stand in `reference/`, parsed once.

use std::sync::OnceLock;

use anatomy::{Coordinate, LegMuscles};
use quantity::reference::TableHead;
use serde::Deserialize;

/// Muscle units of one leg.
pub(crate) const UNITS: usize = 40;

/// The coordinates that muscles move, in the order of every array of this module. The turning of
/// the shank is held by ligaments and has no muscle here.
pub(crate) const MOVED: [Coordinate; DOF] = [
    Coordinate::HipFlexion,
    Coordinate::HipAdduction,
    Coordinate::HipInternalRotation,
    Coordinate::KneeFlexion,
    Coordinate::AnkleDorsiflexion,
    Coordinate::SubtalarInversion,
];

/// How many coordinates muscles move.
pub(crate) const DOF: usize = 6;

/// Where a coordinate stands in [`MOVED`].
pub(crate) fn moved(coordinate: Coordinate) -> Option<usize> {
    MOVED.iter().position(|c| *c == coordinate)
}

/// One muscle unit. Never public: single units are model parts, not findings.
#[derive(Clone, Debug)]
pub(crate) struct Unit {
    pub(crate) name: String,
    pub(crate) set: LegMuscles,
    /// The straight line it is taken to pull along, for units of the hip.
    pub(crate) line: Option<String>,
    /// Greatest force along the tendon, N: greatest fibre force times cosine of pennation.
    pub(crate) strength: f64,
    /// Coordinates about which an independent set of lines gives the small arm another sign.
    pub(crate) variable: Vec<Coordinate>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    muscle: String,
    set: LegMuscles,
    line: Option<String>,
    greatest_force: f64,
    #[allow(dead_code, reason = "force by fibre length is left out of the sharing; the column is kept")]
    optimal_fibre: f64,
    #[allow(dead_code, reason = "as above")]
    tendon_slack: f64,
    pennation: f64,
    #[serde(default)]
    variable: Vec<Coordinate>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    row: Vec<Row>,
}

/// All units, in the order of every array of this module.
pub(crate) fn units() -> &'static [Unit; UNITS] {
    static ALL: OnceLock<[Unit; UNITS]> = OnceLock::new();
    ALL.get_or_init(|| {
        let file: File = toml::from_str(include_str!("../../../../reference/muscles_rajagopal2016.toml"))
            .unwrap_or_else(|e| panic!("reference/muscles_rajagopal2016.toml: {e}"));
        let rows: Vec<Unit> = file
            .row
            .into_iter()
            .map(|row| Unit {
                strength: row.greatest_force * row.pennation.cos(),
                name: row.muscle,
                set: row.set,
                line: row.line,
                variable: row.variable,
            })
            .collect();
        rows.try_into().unwrap_or_else(|rows: Vec<Unit>| {
            panic!("reference/muscles_rajagopal2016.toml: {} rows instead of {UNITS}", rows.len())
        })
    })
}

/// The named choices of sharing, contact and strength at speed.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Sharing {
    pub(crate) reserve: f64,
    pub(crate) reserve_limit: f64,
    pub(crate) generic_stature_m: f64,
}

/// Within which hip angles the straight lines are used, degrees.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct HipContact {
    pub(crate) flexion_low_deg: f64,
    pub(crate) flexion_high_deg: f64,
    pub(crate) adduction_low_deg: f64,
    pub(crate) adduction_high_deg: f64,
    pub(crate) rotation_low_deg: f64,
    pub(crate) rotation_high_deg: f64,
}

/// How strength at speed is held inside what can be believed.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Speed {
    pub(crate) lengthening_low: f64,
    pub(crate) lengthening_high: f64,
    pub(crate) fastest_rad_per_s: f64,
    pub(crate) shortening_floor: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Choices {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    pub(crate) sharing: Sharing,
    pub(crate) hip_contact: HipContact,
    pub(crate) speed: Speed,
}

/// The named choices.
pub(crate) fn choices() -> &'static Choices {
    static ALL: OnceLock<Choices> = OnceLock::new();
    ALL.get_or_init(|| {
        toml::from_str(include_str!("../../../../reference/muscle_choices.toml"))
            .unwrap_or_else(|e| panic!("reference/muscle_choices.toml: {e}"))
    })
}
