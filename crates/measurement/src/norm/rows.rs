//! The rows of `reference/norms.toml`.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use anatomy::Sex;
use movement::AnatomicalDirection;
use quantity::reference::{HowRead, TableHead};
use quantity::{Length, Mass};
use serde::{Deserialize, Serialize};

use super::Who;
use crate::instrument::ScoreForm;
use crate::population::Population;
use crate::protocol::Protocol;
use crate::unit::Scale;
use crate::{InstrumentKey, StanceDirection};

/// What a norm consists of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum NormKind {
    /// Mean and spread of people.
    Individuals,
    /// A mean alone.
    Mean,
    /// Limits of a mean: of the mean, not of people.
    MeanInterval,
    /// Half of the people lie within.
    MiddleHalf,
    /// A median.
    Median,
    /// A prediction from height, mass and age.
    Equation,
}

/// One norm.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the columns are explained in the head of the table")]
pub struct Norm {
    pub instrument: InstrumentKey,
    pub direction: Option<StanceDirection>,
    pub scale: Scale,
    pub kind: NormKind,
    pub forms: Vec<ScoreForm>,
    pub sex: Option<Sex>,
    pub age_from: u8,
    pub age_to: u8,
    pub population: Population,
    pub also: Vec<Population>,
    pub protocol: Protocol,
    pub mean: Option<f64>,
    pub sd: Option<f64>,
    pub n: Option<u32>,
    pub low: Option<f64>,
    pub high: Option<f64>,
    coefficients: Option<[f64; 4]>,
    pub source: String,
    pub read: HowRead,
    pub sd_read: HowRead,
    pub note: String,
}

impl Norm {
    /// Whether it describes this person. An unknown sex or age fits no norm that asks for it.
    pub(super) fn is_for(&self, who: &Who) -> bool {
        (self.population == who.population || self.also.contains(&who.population))
            && (self.sex.is_none() || self.sex == who.sex)
            && who.age.is_some_and(|age| (self.age_from..=self.age_to).contains(&age))
    }

    /// Whom it describes, in words.
    #[must_use]
    pub fn people(&self) -> String {
        let sex = match self.sex {
            Some(Sex::Female) => ", women",
            Some(Sex::Male) => ", men",
            None => "",
        };
        format!("{}{sex}, {} to {} years", self.population, self.age_from, self.age_to)
    }

    /// The prediction for a body.
    pub(super) fn predict(&self, height: Length, mass: Mass, age: u8) -> f64 {
        let [per_cm, per_year, per_kg, constant] = self.coefficients.unwrap_or_default();
        per_cm * height.in_cm() + per_year * f64::from(age) + per_kg * mass.in_kg() + constant
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    norm: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    instrument: InstrumentKey,
    direction: Option<AnatomicalDirection>,
    scale: Scale,
    kind: NormKind,
    #[serde(default)]
    forms: Vec<ScoreForm>,
    sex: Option<Sex>,
    age_from: u8,
    age_to: u8,
    population: Population,
    #[serde(default)]
    also: Vec<Population>,
    #[serde(default)]
    protocol: BTreeMap<String, String>,
    mean: Option<f64>,
    sd: Option<f64>,
    n: Option<u32>,
    low: Option<f64>,
    high: Option<f64>,
    per_cm: Option<f64>,
    per_year: Option<f64>,
    per_kg: Option<f64>,
    constant: Option<f64>,
    #[allow(dead_code, reason = "from memory, so it is kept and not printed")]
    below: Option<f64>,
    source: String,
    read: HowRead,
    sd_read: Option<HowRead>,
    #[serde(default)]
    note: String,
}

/// Every norm.
///
/// # Panics
/// When the built-in table does not parse, which a test rules out.
#[must_use]
pub fn norms() -> &'static [Norm] {
    static ROWS: OnceLock<Vec<Norm>> = OnceLock::new();
    ROWS.get_or_init(|| {
        toml::from_str::<Table>(include_str!("../../../../reference/norms.toml"))
            .unwrap_or_else(|e| panic!("reference/norms.toml: {e}"))
            .norm
            .into_iter()
            .map(norm)
            .collect()
    })
}

fn norm(row: Row) -> Norm {
    let pairs = row.protocol.iter().map(|(key, value)| (key.as_str(), value.as_str()));
    let coefficients = match (row.per_cm, row.per_year, row.per_kg, row.constant) {
        (Some(cm), Some(year), Some(kg), Some(constant)) => Some([cm, year, kg, constant]),
        _ => None,
    };
    Norm {
        instrument: row.instrument,
        direction: row.direction.map(StanceDirection::named),
        scale: row.scale,
        kind: row.kind,
        forms: row.forms,
        sex: row.sex,
        age_from: row.age_from,
        age_to: row.age_to,
        population: row.population,
        also: row.also,
        protocol: Protocol::new(pairs).unwrap_or_else(|e| panic!("reference/norms.toml: {e}")),
        mean: row.mean,
        sd: row.sd,
        n: row.n,
        low: row.low,
        high: row.high,
        coefficients,
        source: row.source,
        read: row.read,
        sd_read: row.sd_read.unwrap_or(row.read),
        note: row.note,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_norm_has_what_its_kind_needs() {
        assert!(norms().len() >= 100);
        for row in norms() {
            let test = row.instrument.instrument();
            let name = format!("{} ({})", row.instrument, row.source);
            assert!(test.offers(row.scale), "{name}: {:?}", row.scale);
            assert!(row.forms.iter().all(|form| test.forms.contains(form)), "{name}: forms");
            assert_eq!(row.direction.is_some(), !test.directions.is_empty(), "{name}: direction");
            assert!(row.protocol.recorded().all(|(key, _)| test.needs.contains(&key)), "{name}: protocol");
            assert!(row.age_from < row.age_to, "{name}: ages");
            let complete = match row.kind {
                NormKind::Individuals => row.mean.is_some() && row.sd.is_some_and(|sd| sd > 0.0),
                NormKind::Mean | NormKind::Median => row.mean.is_some(),
                NormKind::MeanInterval => row.low.is_some() || row.high.is_some(),
                NormKind::MiddleHalf => row.low.zip(row.high).is_some_and(|(low, high)| low < high),
                NormKind::Equation => row.coefficients.is_some(),
            };
            assert!(complete, "{name}: {:?} is not complete", row.kind);
            let known = match (row.low, row.mean, row.high) {
                (Some(low), Some(mean), Some(high)) => low < mean && mean < high,
                _ => true,
            };
            assert!(known, "{name}: the mean lies outside its limits");
        }
    }
}
