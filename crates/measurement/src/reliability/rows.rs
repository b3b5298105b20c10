//! The rows of `reference/reliability.toml`.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use movement::AnatomicalDirection;
use quantity::reference::{HowRead, TableHead};
use serde::{Deserialize, Serialize};

use super::{Raters, StandardError};
use crate::instrument::ScoreForm;
use crate::population::Population;
use crate::protocol::Protocol;
use crate::statistics::Confidence;
use crate::unit::Scale;
use crate::{InstrumentKey, StanceDirection};

/// What a row is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum RowUse {
    /// Used where group and protocol fit.
    #[default]
    Fitting,
    /// Used where it fits and, where nothing does, by default.
    Default,
    /// Kept to be read, never used.
    Never,
}

/// One published error, as it stands in the table.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the columns are explained in the head of the table")]
pub struct PublishedError {
    pub instrument: InstrumentKey,
    pub direction: Option<StanceDirection>,
    pub scale: Scale,
    pub forms: Vec<ScoreForm>,
    pub sem: Option<f64>,
    pub sem_low: Option<f64>,
    pub sem_percent: Option<f64>,
    pub mdc: Option<f64>,
    pub mdc_low: Option<f64>,
    pub mdc_percent: Option<f64>,
    pub mdc_level: Option<u8>,
    pub icc: Option<f64>,
    pub icc_low: Option<f64>,
    pub icc_high: Option<f64>,
    pub population: Option<Population>,
    pub people: Option<u32>,
    pub raters: Raters,
    pub days: Option<u16>,
    pub protocol: Protocol,
    pub used: RowUse,
    pub source: String,
    pub read: HowRead,
    pub note: String,
}

impl PublishedError {
    /// The error of one session: as printed, else from the detectable change and its level. None where only
    /// agreement was printed.
    #[must_use]
    pub fn error(&self) -> Option<StandardError> {
        let root = |mdc: f64| Some(mdc / (std::f64::consts::SQRT_2 * self.level()?.z()));
        if let Some(sem) = self.sem.or_else(|| self.mdc.and_then(root)) {
            return Some(StandardError::Absolute { sem });
        }
        let percent = self.sem_percent.or_else(|| self.mdc_percent.and_then(root))?;
        Some(StandardError::OfValue { percent })
    }

    /// The level of the printed detectable change.
    #[must_use]
    pub fn level(&self) -> Option<Confidence> {
        Confidence::share(f64::from(self.mdc_level?) / 100.0).ok()
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    row: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    instrument: InstrumentKey,
    direction: Option<AnatomicalDirection>,
    scale: Scale,
    #[serde(default)]
    forms: Vec<ScoreForm>,
    sem: Option<f64>,
    sem_low: Option<f64>,
    sem_percent: Option<f64>,
    #[allow(dead_code, reason = "the smaller end is for readers of the table")]
    sem_percent_low: Option<f64>,
    mdc: Option<f64>,
    mdc_low: Option<f64>,
    mdc_percent: Option<f64>,
    #[allow(dead_code, reason = "the smaller end is for readers of the table")]
    mdc_percent_low: Option<f64>,
    mdc_level: Option<u8>,
    icc: Option<f64>,
    icc_low: Option<f64>,
    icc_high: Option<f64>,
    population: Option<Population>,
    n: Option<u32>,
    #[serde(default)]
    raters: Raters,
    days: Option<u16>,
    #[serde(default)]
    protocol: BTreeMap<String, String>,
    #[serde(default, rename = "use")]
    used: RowUse,
    source: String,
    read: HowRead,
    #[serde(default)]
    note: String,
}

/// Every published error.
///
/// # Panics
/// When the built-in table does not parse, which a test rules out.
#[must_use]
pub fn published_errors() -> &'static [PublishedError] {
    static ROWS: OnceLock<Vec<PublishedError>> = OnceLock::new();
    ROWS.get_or_init(|| {
        toml::from_str::<Table>(include_str!("../../../../reference/reliability.toml"))
            .unwrap_or_else(|e| panic!("reference/reliability.toml: {e}"))
            .row
            .into_iter()
            .map(published)
            .collect()
    })
}

fn published(row: Row) -> PublishedError {
    let pairs = row.protocol.iter().map(|(key, value)| (key.as_str(), value.as_str()));
    let protocol = Protocol::new(pairs).unwrap_or_else(|e| panic!("reference/reliability.toml: {e}"));
    PublishedError {
        instrument: row.instrument,
        direction: row.direction.map(StanceDirection::named),
        scale: row.scale,
        forms: row.forms,
        sem: row.sem,
        sem_low: row.sem_low,
        sem_percent: row.sem_percent,
        mdc: row.mdc,
        mdc_low: row.mdc_low,
        mdc_percent: row.mdc_percent,
        mdc_level: row.mdc_level,
        icc: row.icc,
        icc_low: row.icc_low,
        icc_high: row.icc_high,
        population: row.population,
        people: row.n,
        raters: row.raters,
        days: row.days,
        protocol,
        used: row.used,
        source: row.source,
        read: row.read,
        note: row.note,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_hangs_together() {
        assert!(published_errors().len() > 40);
        for row in published_errors() {
            let test = row.instrument.instrument();
            let name = &row.instrument;
            assert!(test.offers(row.scale), "{name}: {:?}", row.scale);
            assert!(row.forms.iter().all(|form| test.forms.contains(form)), "{name}: forms");
            assert!(row.direction.is_none_or(|d| test.directions.contains(&d)), "{name}: direction");
            assert!(row.protocol.recorded().all(|(key, _)| test.needs.contains(&key)), "{name}: protocol");
            assert_eq!(row.mdc.or(row.mdc_percent).is_some(), row.mdc_level.is_some(), "{name}: level");
            assert!(row.error().is_some() || row.icc.or(row.icc_low).is_some(), "{name}: says nothing");
            assert!(row.used != RowUse::Default || row.error().is_some(), "{name}: a default needs an error");
            assert!(row.used != RowUse::Never || !row.note.is_empty(), "{name}: why never");
            for icc in [row.icc, row.icc_low, row.icc_high].into_iter().flatten() {
                assert!((0.0..=1.0).contains(&icc), "{name}: {icc}");
            }
        }
    }

    /// Where both were printed they must be one figure: z·√2·SEM to the printed digits (1.65 was used for z at
    /// 90 % in one source, which is 0.3 % more).
    #[test]
    fn printed_errors_and_printed_detectable_changes_agree_at_their_level() {
        let mut compared = 0;
        for row in published_errors() {
            let (Some(sem), Some(mdc), Some(level)) = (row.sem, row.mdc, row.level()) else { continue };
            let expected = std::f64::consts::SQRT_2 * level.z() * sem;
            let off = (expected / mdc - 1.0).abs();
            assert!(off < 0.03, "{} ({}): {expected:.3} beside {mdc}", row.instrument, row.source);
            compared += 1;
        }
        assert!(compared >= 10);
    }

    /// The study whose detectable changes are several times smaller than everybody else's is never used.
    #[test]
    fn the_outlier_is_kept_and_never_used() {
        let never: Vec<&str> = published_errors()
            .iter()
            .filter(|row| row.used == RowUse::Never)
            .map(|row| row.source.as_str())
            .collect();
        assert!(never.contains(&"binsheeha2024"), "{never:?}");
    }
}
