//! The shape of a measures file as it is written: `footrose-measures`, version 1, in TOML.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Deserialize;
use toml::Spanned;
use toml::value::Datetime;

/// The word in `format`.
pub(super) const FORMAT: &str = "footrose-measures";
/// The version that is read.
pub(super) const VERSION: u8 = 1;

/// A date as TOML has it.
pub(super) type TomlDate = Spanned<Datetime>;

/// The whole file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct File {
    pub format: Spanned<String>,
    pub version: Spanned<i64>,
    pub person: Option<Spanned<String>>,
    pub population: Option<Spanned<String>>,
    pub raters: Option<Spanned<String>>,
    #[serde(default)]
    pub protocol: BTreeMap<String, Spanned<String>>,
    #[serde(default)]
    pub own_error: Vec<OwnErrorRow>,
    #[serde(default)]
    pub day: Vec<Day>,
}

/// The clinic's own error of one test, as `footrose agreement` prints it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OwnErrorRow {
    pub test: Spanned<String>,
    pub direction: Option<Spanned<String>>,
    pub scale: Option<Spanned<String>>,
    pub form: Option<Spanned<String>>,
    #[serde(default)]
    pub protocol: BTreeMap<String, Spanned<String>>,
    pub people: Spanned<i64>,
    pub raters: Option<Spanned<String>>,
    pub standard_error: Spanned<f64>,
}

/// One day.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Day {
    pub date: TomlDate,
    pub by: Option<String>,
    #[serde(default)]
    pub protocol: BTreeMap<String, Spanned<String>>,
    pub body: Option<BodyRow>,
    #[serde(default)]
    pub observed: BTreeMap<String, Spanned<bool>>,
    #[serde(default)]
    pub test: Vec<Spanned<TestRow>>,
}

/// Body size on that day, in centimetres and kilograms.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BodyRow {
    pub limb_left_cm: Option<f64>,
    pub limb_right_cm: Option<f64>,
    pub height_cm: Option<f64>,
    pub mass_kg: Option<f64>,
}

/// One test of one limb.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TestRow {
    pub test: Spanned<String>,
    pub limb: Option<Spanned<String>>,
    pub direction: Option<Spanned<String>>,
    pub practice: Option<Spanned<i64>>,
    pub form: Option<Spanned<String>>,
    pub trials: Option<Vec<Spanned<toml::Value>>>,
    pub directions: Option<BTreeMap<String, Spanned<Vec<Spanned<toml::Value>>>>>,
    pub total: Option<Spanned<f64>>,
    pub series: Option<Vec<Spanned<String>>>,
    pub low_pass_hz: Option<Spanned<f64>>,
    pub error_toward_deg: Option<Vec<Spanned<i64>>>,
    pub daily: Option<Vec<Spanned<toml::Value>>>,
    #[serde(default)]
    pub protocol: BTreeMap<String, Spanned<String>>,
    pub support: Option<Spanned<String>>,
    pub about: Option<Spanned<String>>,
    #[serde(rename = "override")]
    pub over: Option<Spanned<OverrideRow>>,
}

/// Why a refused test was done all the same.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OverrideRow {
    pub reason: String,
    pub by: String,
    pub on: TomlDate,
    #[serde(default)]
    pub informed: Vec<String>,
}

/// The day of a TOML date; none when a time stands with it or there is no date.
pub(super) fn day_of(date: &TomlDate) -> Option<Date> {
    let given = date.get_ref();
    if given.time.is_some() || given.offset.is_some() {
        return None;
    }
    let of = given.date?;
    Date::new(i16::try_from(of.year).ok()?, i8::try_from(of.month).ok()?, i8::try_from(of.day).ok()?).ok()
}
