//! How much change matters to the people it happened to.

use std::sync::OnceLock;

use quantity::reference::{HowRead, TableHead};
use serde::{Deserialize, Serialize};

use crate::InstrumentKey;
use crate::population::Population;
use crate::unit::Scale;

/// How large a change the figure speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ChangeSize {
    /// A medium one where several sizes were printed.
    Medium,
    /// A large or substantial one.
    Large,
}

/// A change that matters, found by asking people.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ImportantChange {
    /// The test.
    pub instrument: InstrumentKey,
    /// On which scale.
    pub scale: Scale,
    /// The amount, the larger end where a range was printed.
    #[serde(default)]
    pub amount: Option<f64>,
    /// The smaller end.
    #[serde(default)]
    pub amount_low: Option<f64>,
    /// Per cent of the first value.
    #[serde(default)]
    pub percent: Option<f64>,
    /// Least amount beside a percentage.
    #[serde(default)]
    pub floor: Option<f64>,
    /// Whom it was found in; none when it is used for everybody.
    #[serde(default)]
    pub population: Option<Population>,
    /// Which of several sizes.
    #[serde(default)]
    pub size: Option<ChangeSize>,
    /// Whether a change is judged by it.
    #[serde(default, rename = "use")]
    pub used: bool,
    /// Bibliography key.
    pub source: String,
    /// How it was read.
    pub read: HowRead,
    /// What to know about it.
    #[serde(default)]
    pub note: String,
}

impl ImportantChange {
    /// The amount that matters for somebody who began at `baseline`: the larger of percentage, floor and
    /// amount, never negative.
    #[must_use]
    pub fn from_baseline(&self, baseline: f64) -> f64 {
        let share = self.percent.map(|percent| baseline.abs() * percent / 100.0);
        [share, self.floor, self.amount].into_iter().flatten().fold(0.0, f64::max)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    row: Vec<ImportantChange>,
}

/// Every change that was found to matter.
///
/// # Panics
/// When the built-in table does not parse, which a test rules out.
#[must_use]
pub fn important_changes() -> &'static [ImportantChange] {
    static ROWS: OnceLock<Vec<ImportantChange>> = OnceLock::new();
    ROWS.get_or_init(|| {
        toml::from_str::<Table>(include_str!("../../../reference/important_change.toml"))
            .unwrap_or_else(|e| panic!("reference/important_change.toml: {e}"))
            .row
    })
}

/// The change that matters for a test, scale and group: that of the group, else that of a group that stands in,
/// else that for everybody; none where nobody asked people.
#[must_use]
pub fn important_change(
    instrument: InstrumentKey,
    scale: Scale,
    population: Population,
) -> Option<&'static ImportantChange> {
    important_changes()
        .iter()
        .filter(|row| row.used && (row.instrument, row.scale) == (instrument, scale))
        .filter_map(|row| match row.population {
            Some(studied) => population.distance(studied).map(|distance| (distance, row)),
            None => Some((usize::MAX, row)),
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, row)| row)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_says_an_amount_on_a_scale_of_its_test() {
        for row in important_changes() {
            let key = row.instrument;
            assert!(key.instrument().offers(row.scale), "{key}");
            assert!(row.from_baseline(key.instrument().most) > 0.0, "{key}");
            assert!(row.amount_low.is_none_or(|low| row.amount.is_some_and(|amount| low < amount)), "{key}");
        }
    }

    /// Farrar 2001: 30 % of the first value, at least two points.
    #[test]
    fn pain_must_fall_by_a_third_nearly_and_by_two_points_at_least() {
        let find = |key: &str| InstrumentKey::find(key).expect("a test");
        let anyone = Population::find("low_back_pain").expect("a group");
        let pain = important_change(find("pain_0_10"), Scale::Raw, anyone).expect("a figure");
        assert_eq!(pain.from_baseline(10.0), 3.0);
        assert_eq!(pain.from_baseline(4.0), 2.0);
        let young = Population::find("healthy_young").expect("a group");
        assert!(important_change(find("star_reach"), Scale::Raw, young).is_none());
    }
}
