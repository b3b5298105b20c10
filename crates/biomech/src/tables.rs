//! The published body tables of `reference/`, parsed once.

use std::sync::OnceLock;

use anatomy::Sex;
use quantity::reference::{HowRead, TableHead};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table<R> {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    row: Vec<R>,
}

fn parse<R: for<'a> Deserialize<'a>>(name: &str, text: &str) -> Vec<R> {
    let table: Table<R> = toml::from_str(text).unwrap_or_else(|e| panic!("reference/{name}: {e}"));
    table.row
}

macro_rules! table {
    ($(#[$doc:meta])* $name:ident, $row:ty, $file:literal) => {
        $(#[$doc])*
        pub(crate) fn $name() -> &'static [$row] {
            static ROWS: OnceLock<Vec<$row>> = OnceLock::new();
            ROWS.get_or_init(|| parse($file, include_str!(concat!("../../../reference/", $file))))
        }
    };
}

/// Which body table a row belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum ForSex {
    Female,
    Male,
    Any,
}

impl ForSex {
    pub(crate) fn fits(self, sex: Sex) -> bool {
        match self {
            Self::Any => true,
            Self::Female => sex == Sex::Female,
            Self::Male => sex == Sex::Male,
        }
    }
}

#[derive(Deserialize)]
pub(crate) struct SegmentRow {
    pub(crate) segment: String,
    pub(crate) sex: ForSex,
    pub(crate) mass: f64,
    pub(crate) cm: f64,
    pub(crate) r_sagittal: f64,
    pub(crate) r_transverse: f64,
    pub(crate) r_longitudinal: f64,
    pub(crate) length: f64,
}

#[derive(Deserialize)]
pub(crate) struct HeightRow {
    pub(crate) key: String,
    pub(crate) fraction: f64,
}

#[derive(Deserialize)]
pub(crate) struct FootHipRow {
    pub(crate) key: String,
    pub(crate) sex: ForSex,
    pub(crate) value: f64,
}

#[derive(Deserialize)]
pub(crate) struct RangeRow {
    pub(crate) motion: String,
    pub(crate) state: String,
    pub(crate) sex: ForSex,
    pub(crate) age_from: Option<u8>,
    pub(crate) age_to: Option<u8>,
    pub(crate) degrees: f64,
}

#[derive(Deserialize)]
pub(crate) struct StrengthRow {
    pub(crate) joint: String,
    pub(crate) direction: String,
    pub(crate) sex: ForSex,
    pub(crate) age_from: u8,
    pub(crate) age_to: u8,
    pub(crate) c1: f64,
    pub(crate) c1_sd: f64,
    pub(crate) c2: f64,
    pub(crate) c3: f64,
    pub(crate) c4: f64,
    pub(crate) c5: f64,
    pub(crate) c6: f64,
}

#[derive(Deserialize)]
pub(crate) struct LimbRow {
    pub(crate) segment: String,
    pub(crate) mass: f64,
    pub(crate) cm: f64,
    pub(crate) gyration: f64,
}

#[derive(Deserialize)]
pub(crate) struct ComparisonRow {
    pub(crate) motion: String,
    pub(crate) sex: ForSex,
    pub(crate) low: f64,
    pub(crate) high: f64,
    #[allow(dead_code, reason = "how it was read is shown by the reference page")]
    pub(crate) read: HowRead,
}

table!(
    /// Mass, centre of mass and lengths of segments.
    segments, SegmentRow, "segments_deleva1996.toml"
);
table!(
    /// Joint heights as fractions of stature.
    heights, HeightRow, "heights_drillis_contini.toml"
);
table!(
    /// Foot geometry and hip spacing.
    feet_and_hips, FootHipRow, "foot_and_hip.toml"
);
table!(
    /// Ranges of motion.
    ranges, RangeRow, "joint_range.toml"
);
table!(
    /// Strength by angle.
    strengths, StrengthRow, "strength_anderson2007.toml"
);
table!(
    /// Limb fractions of the second published set.
    limb_fractions, LimbRow, "segments_winter2009.toml"
);
table!(
    /// Comparison capacities for posture.
    comparisons, ComparisonRow, "strength_comparison.toml"
);

/// One segment of one sex.
pub(crate) fn segment(name: &str, sex: Sex) -> &'static SegmentRow {
    segments()
        .iter()
        .find(|row| row.segment == name && row.sex.fits(sex))
        .unwrap_or_else(|| panic!("segment `{name}` is in the table"))
}

/// One height or length as a fraction of stature.
pub(crate) fn height(key: &str) -> f64 {
    heights()
        .iter()
        .find(|row| row.key == key)
        .unwrap_or_else(|| panic!("height `{key}` is in the table"))
        .fraction
}

/// One value of the foot and hip table.
pub(crate) fn foot_hip(key: &str, sex: Sex) -> f64 {
    feet_and_hips()
        .iter()
        .find(|row| row.key == key && row.sex.fits(sex))
        .unwrap_or_else(|| panic!("`{key}` is in the table"))
        .value
}

/// The range of one motion for a person: the weight-bearing row where there is one, else the
/// nearest age group.
pub(crate) fn range(motion: &str, sex: Sex, age: u8) -> Option<f64> {
    let fitting = || ranges().iter().filter(|row| row.motion == motion && row.sex.fits(sex));
    if let Some(row) = fitting().find(|row| row.state == "weight_bearing") {
        return Some(row.degrees);
    }
    fitting()
        .min_by_key(|row| {
            let from = row.age_from.unwrap_or(0);
            let to = row.age_to.unwrap_or(u8::MAX);
            from.saturating_sub(age).max(age.saturating_sub(to))
        })
        .map(|row| row.degrees)
}
