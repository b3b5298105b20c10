//! The files of `reference/instruments/` that hold tests, parsed once.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use movement::{AnatomicalDirection, Family};
use quantity::reference::{HowRead, TableHead};
use serde::Deserialize;

use super::{Better, Instrument, InstrumentKey, LimbComparison, MadeFrom, Per, ScoreForm, directions};
use crate::protocol;
use crate::trial::InvalidReason;
use crate::unit::{Scale, Unit};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    instrument: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    key: String,
    name: String,
    unit: Unit,
    better: Better,
    per: Per,
    #[serde(default)]
    directions: Vec<AnatomicalDirection>,
    #[serde(default)]
    from: MadeFrom,
    #[serde(default)]
    trials: u8,
    most_trials: Option<u8>,
    #[serde(default)]
    practice: u8,
    rest_s: Option<f64>,
    rest_between_s: Option<f64>,
    stop_after_failed: Option<u8>,
    forms: Vec<ScoreForm>,
    normalise: Vec<Scale>,
    limbs: LimbComparison,
    least: f64,
    most: f64,
    cap: Option<f64>,
    #[serde(default)]
    whole: bool,
    #[serde(default)]
    skewed: bool,
    #[serde(default)]
    unable: bool,
    #[serde(default)]
    anchor_only: bool,
    #[serde(default)]
    invalid: Vec<InvalidReason>,
    needs: Vec<String>,
    movement: Option<Family>,
    #[serde(default)]
    not_for: String,
    source: String,
    read: HowRead,
    #[serde(default)]
    note: String,
}

const FILES: [(&str, &str); 7] = [
    ("reach", include_str!("../../../../reference/instruments/reach.toml")),
    ("hop", include_str!("../../../../reference/instruments/hop.toml")),
    ("range", include_str!("../../../../reference/instruments/range.toml")),
    ("balance", include_str!("../../../../reference/instruments/balance.toml")),
    ("strength", include_str!("../../../../reference/instruments/strength.toml")),
    ("mobility", include_str!("../../../../reference/instruments/mobility.toml")),
    ("reported", include_str!("../../../../reference/instruments/reported.toml")),
];

/// Every test by key.
///
/// # Panics
/// When a built-in table does not parse or names what does not exist, which a test rules out.
pub(super) fn all() -> &'static BTreeMap<String, Instrument> {
    static ALL: OnceLock<BTreeMap<String, Instrument>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut all = BTreeMap::new();
        for (file, text) in FILES {
            let table: Table =
                toml::from_str(text).unwrap_or_else(|e| panic!("reference/instruments/{file}.toml: {e}"));
            for row in table.instrument {
                let key = row.key.clone();
                let before = all.insert(key.clone(), instrument(row));
                assert!(before.is_none(), "test `{key}` stands twice");
            }
        }
        all
    })
}

fn instrument(row: Row) -> Instrument {
    let known = |key: &str| {
        protocol::field(key).unwrap_or_else(|| panic!("`{}` needs the unknown field `{key}`", row.key)).key
    };
    Instrument {
        needs: row.needs.iter().map(|key| known(key)).collect(),
        // The key outlives the program: tables are read once and never dropped.
        key: InstrumentKey(String::leak(row.key)),
        name: row.name,
        unit: row.unit,
        better: row.better,
        per: row.per,
        directions: directions(&row.directions),
        from: row.from,
        trials: row.trials,
        most_trials: row.most_trials.unwrap_or(row.trials),
        practice: row.practice,
        rest_s: row.rest_s,
        rest_between_s: row.rest_between_s,
        stop_after_failed: row.stop_after_failed,
        forms: row.forms,
        normalise: row.normalise,
        limbs: row.limbs,
        least: row.least,
        most: row.most,
        cap: row.cap,
        whole: row.whole,
        skewed: row.skewed,
        unable: row.unable,
        anchor_only: row.anchor_only,
        invalid: row.invalid,
        movement: row.movement,
        not_for: row.not_for,
        source: row.source,
        read: row.read,
        note: row.note,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::LimbComparison;

    #[test]
    fn every_test_is_complete_and_hangs_together() {
        assert!(all().len() >= 60, "{} tests", all().len());
        for (key, test) in all() {
            assert_eq!(key, test.key.as_str());
            assert!(!test.name.is_empty() && !test.forms.is_empty() && !test.needs.is_empty(), "{key}");
            assert!(test.least < test.most && test.least.is_finite() && test.most.is_finite(), "{key}");
            assert!(test.cap.is_none_or(|cap| cap == test.most), "{key}: nothing is measured beyond a cap");
            assert_eq!(test.per == Per::Direction, !test.directions.is_empty(), "{key}: directions");
            match test.from {
                MadeFrom::Trials => {
                    assert!(test.trials >= 1 && !test.invalid.is_empty() && test.unable, "{key}: trials");
                }
                MadeFrom::Items => assert!(test.trials < test.most_trials, "{key}: items"),
                MadeFrom::Answer | MadeFrom::Stored => {
                    assert_eq!(test.forms, [ScoreForm::Single], "{key}: one value");
                }
                MadeFrom::Derived => assert!(test.invalid.is_empty(), "{key}: derived"),
            }
        }
    }

    /// A time is worse when longer, so its ratio is inverted; every other ratio is not.
    #[test]
    fn exactly_the_ratios_of_tests_where_less_is_better_are_inverted() {
        for (key, test) in all() {
            match test.limbs {
                LimbComparison::Ratio => assert_eq!(test.better, Better::Higher, "{key}"),
                LimbComparison::InvertedRatio => assert_eq!(test.better, Better::Lower, "{key}"),
                LimbComparison::Difference | LimbComparison::None => {}
            }
            if test.limbs != LimbComparison::None {
                assert_ne!(test.per, Per::Person, "{key}: a person has no other limb");
            }
        }
    }

    #[test]
    fn every_field_and_every_reason_belongs_to_a_test() {
        for field in protocol::protocol_fields() {
            assert!(all().values().any(|test| test.needs.contains(&field.key)), "{}", field.key);
        }
        for reason in InvalidReason::all() {
            assert!(all().values().any(|test| test.invalid.contains(&reason)), "{reason}");
        }
    }
}
