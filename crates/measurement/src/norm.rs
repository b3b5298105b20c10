//! What others reached, used only where population, sex, age, score form and protocol are the same.

mod answer;
mod rows;

use anatomy::Sex;
use quantity::{Length, Mass};
use serde::Serialize;

use crate::population::Population;
use crate::protocol::ProtocolMatch;
use crate::score::Bound;
use crate::session::Reading;
use crate::statistics::true_score::Group;

pub use answer::{NoZ, NormAnswer, OtherProtocol, Sample};
pub use rows::{Norm, NormKind, norms};

/// Whom a reading belongs to, as far as norms ask.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Who {
    /// The group.
    pub population: Population,
    /// Sex, where it was said.
    pub sex: Option<Sex>,
    /// Age in years, where it was said.
    pub age: Option<u8>,
    /// Height, for equations.
    pub height: Option<Length>,
    /// Body mass, for equations.
    pub mass: Option<Mass>,
}

/// Sets a reading beside a norm of exactly its population and protocol, or says why there is none.
///
/// A percentile is said only for means and spreads of people that were read, are not skewed and not capped; from
/// a small sample by Crawford and Howell's t with n − 1 degrees of freedom, which is wider than the normal.
/// Norms never open or close anything.
#[must_use]
pub fn norm(reading: &Reading, who: &Who) -> NormAnswer {
    let of_test: Vec<&Norm> = norms()
        .iter()
        .filter(|row| {
            (row.instrument, row.scale, row.direction)
                == (reading.instrument, reading.scale, reading.direction)
        })
        .collect();
    if of_test.is_empty() {
        return NormAnswer::NoNorm;
    }
    let of_people: Vec<&Norm> = of_test.iter().copied().filter(|row| row.is_for(who)).collect();
    if of_people.is_empty() {
        let mut available: Vec<String> = of_test.iter().map(|row| row.people()).collect();
        available.dedup();
        return NormAnswer::OtherPopulation { available };
    }
    let mut refused = None;
    for row in of_people {
        match difference(row, reading) {
            None => return answer(row, reading, who),
            Some(other) => refused = refused.or(Some(other)),
        }
    }
    NormAnswer::OtherProtocol(refused.expect("every row of these people was refused"))
}

/// The group whose middle an extreme first value moves to by itself: people of exactly this population, sex, age
/// and protocol of whom mean and spread were read; none otherwise, since another group would mislead.
///
/// The reliability of one measurement among them is 1 − sem²/sd², `sem` being the error of one session on the
/// scale of the reading (`kelley1947`); none when the error is as large as the spread.
#[must_use]
pub fn group(reading: &Reading, who: &Who, sem: f64) -> Option<Group> {
    let usable = |row: &&Norm| {
        (row.instrument, row.scale, row.direction) == (reading.instrument, reading.scale, reading.direction)
            && row.is_for(who)
            && row.kind == NormKind::Individuals
            && !reading.instrument.instrument().skewed
            && difference(row, reading).is_none()
            && row.read != quantity::reference::HowRead::Memory
            && row.sd_read != quantity::reference::HowRead::Memory
    };
    let row = norms().iter().find(usable)?;
    let (mean, sd) = row.mean.zip(row.sd)?;
    let reliability = 1.0 - (sem / sd).powi(2);
    (reliability > 0.0 && reliability < 1.0).then_some(Group { mean, sd, reliability })
}

/// What of the protocol is another or unknown.
fn difference(row: &Norm, reading: &Reading) -> Option<OtherProtocol> {
    if !row.forms.is_empty() && !row.forms.contains(&reading.form) {
        return Some(OtherProtocol {
            field: "score form".to_owned(),
            needed: row.forms.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or "),
            given: Some(reading.form.to_string()),
        });
    }
    let fields = row.protocol.recorded().map(|(key, _)| key);
    match row.protocol.matches_in(&reading.protocol, fields) {
        ProtocolMatch::Same => None,
        ProtocolMatch::Differs { field, one, other } => {
            Some(OtherProtocol { field, needed: one, given: Some(other) })
        }
        ProtocolMatch::NotRecorded { field } => {
            let needed = row
                .protocol
                .recorded()
                .find(|(key, _)| reading.protocol.get(key).is_none())
                .map_or_else(String::new, |(_, value)| value.to_owned());
            Some(OtherProtocol { field, needed, given: None })
        }
    }
}

fn answer(row: &Norm, reading: &Reading, who: &Who) -> NormAnswer {
    let sample = Sample::of(row);
    if row.read == quantity::reference::HowRead::Memory {
        return NormAnswer::FromMemory { sample };
    }
    let value = reading.value;
    if reading.bound == Bound::AtLeast {
        return NormAnswer::NoZ { why: NoZ::Capped { at_least: value }, mean: row.mean, sample };
    }
    match row.kind {
        NormKind::Equation => predicted(row, value, who, sample),
        NormKind::MiddleHalf => NormAnswer::MiddleHalf { low: row.low, high: row.high, value, sample },
        NormKind::Median => NormAnswer::NoZ { why: NoZ::Skewed, mean: row.mean, sample },
        NormKind::Individuals if reading.instrument.instrument().skewed => {
            NormAnswer::NoZ { why: NoZ::Skewed, mean: row.mean, sample }
        }
        NormKind::Individuals => percentile(row, reading, sample),
        NormKind::Mean | NormKind::MeanInterval => {
            NormAnswer::MeanOnly { mean: row.mean, low: row.low, high: row.high, value, sample }
        }
    }
}

fn percentile(row: &Norm, reading: &Reading, sample: Sample) -> NormAnswer {
    let (Some(mean), Some(sd), Some(n)) = (row.mean, row.sd, row.n) else {
        return NormAnswer::NoZ { why: NoZ::SampleUnknown, mean: row.mean, sample };
    };
    if row.sd_read == quantity::reference::HowRead::Memory {
        return NormAnswer::NoZ { why: NoZ::SpreadFromMemory, mean: Some(mean), sample };
    }
    answer::percentile(reading, mean, sd, n, sample)
}

fn predicted(row: &Norm, value: f64, who: &Who, sample: Sample) -> NormAnswer {
    let (Some(height), Some(mass), Some(age)) = (who.height, who.mass, who.age) else {
        return NormAnswer::Missing { what: "height, mass and age are needed for the prediction".to_owned() };
    };
    let predicted = row.predict(height, mass, age);
    if predicted <= 0.0 {
        return NormAnswer::Missing {
            what: "the prediction is not positive; check height and mass".to_owned(),
        };
    }
    NormAnswer::Predicted { predicted, value, percent: 100.0 * value / predicted, sample }
}
