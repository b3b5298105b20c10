//! What can be said beside a norm, and the reasons when nothing can.

use quantity::reference::{HowRead, short_cite};
use serde::Serialize;

use super::rows::Norm;
use crate::instrument::Better;
use crate::session::Reading;
use crate::statistics::percentile::among_few;

/// The sample a norm comes from; always named beside what is said.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sample {
    /// Whom it describes.
    pub people: String,
    /// How many there were, where that is known.
    pub n: Option<u32>,
    /// Bibliography key.
    pub source: String,
    /// How it was read.
    pub read: HowRead,
    /// What to know about it.
    pub note: String,
}

impl Sample {
    pub(super) fn of(row: &Norm) -> Self {
        Self {
            people: row.people(),
            n: row.n,
            source: row.source.clone(),
            read: row.read,
            note: row.note.clone(),
        }
    }
}

impl std::fmt::Display for Sample {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let n = self.n.map_or(String::new(), |n| format!(", n = {n}"));
        write!(f, "{}{n} ({}, {})", self.people, short_cite(&self.source), self.read)
    }
}

/// Why no percentile is said although there is a norm.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "why", rename_all = "snake_case")]
pub enum NoZ {
    /// The reading is a lower limit.
    Capped {
        /// At least this.
        at_least: f64,
    },
    /// Values of this test are too skewed.
    Skewed,
    /// The spread of the sample was not read again.
    SpreadFromMemory,
    /// Nobody noted how many people there were.
    SampleUnknown,
}

/// A field of the protocol that is another, or unknown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OtherProtocol {
    /// The field in words.
    pub field: String,
    /// What the norm was found with.
    pub needed: String,
    /// What was recorded; none when nothing was.
    pub given: Option<String>,
}

/// What a norm says about a reading.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "norm", rename_all = "snake_case")]
pub enum NormAnswer {
    /// Per cent of the sample's population expected to do less well.
    Percentile {
        /// 0 to 100; higher is always better.
        percent: f64,
        /// How many standard deviations above the mean, better positive.
        z: f64,
        /// Whom.
        sample: Sample,
    },
    /// Half of the people lie between two values.
    MiddleHalf {
        /// Lower one.
        low: Option<f64>,
        /// Upper one.
        high: Option<f64>,
        /// The reading.
        value: f64,
        /// Whom.
        sample: Sample,
    },
    /// Only a mean, or limits of a mean, is known: nothing about people.
    MeanOnly {
        /// The mean.
        mean: Option<f64>,
        /// Lower limit of the mean.
        low: Option<f64>,
        /// Upper limit of the mean.
        high: Option<f64>,
        /// The reading.
        value: f64,
        /// Whom.
        sample: Sample,
    },
    /// A prediction from height, mass and age.
    Predicted {
        /// The prediction, on the scale of the reading.
        predicted: f64,
        /// The reading.
        value: f64,
        /// The reading in per cent of the prediction.
        percent: f64,
        /// Whom.
        sample: Sample,
    },
    /// There is a norm and no percentile.
    NoZ {
        /// Why.
        #[serde(flatten)]
        why: NoZ,
        /// Mean or median of the sample.
        mean: Option<f64>,
        /// Whom.
        sample: Sample,
    },
    /// There is a norm, from memory, which is not printed.
    FromMemory {
        /// Whom.
        sample: Sample,
    },
    /// Norms exist for other people only, or sex or age is not known.
    OtherPopulation {
        /// For whom.
        available: Vec<String>,
    },
    /// Norms of these people were found with another protocol.
    OtherProtocol(OtherProtocol),
    /// Something the norm needs was not measured.
    Missing {
        /// What, in words.
        what: String,
    },
    /// Nobody published a norm that we know of.
    NoNorm,
}

/// A percentile by Crawford and Howell's t, turned so that more is always better.
pub(super) fn percentile(reading: &Reading, mean: f64, sd: f64, n: u32, sample: Sample) -> NormAnswer {
    let value = reading.value;
    match (reading.instrument.instrument().better, among_few(value, mean, sd, n as usize)) {
        (Better::Neither, _) => {
            NormAnswer::MeanOnly { mean: Some(mean), low: None, high: None, value, sample }
        }
        (Better::Higher, Ok(place)) => {
            NormAnswer::Percentile { percent: 100.0 * place.share.lower, z: (value - mean) / sd, sample }
        }
        (Better::Lower, Ok(place)) => {
            NormAnswer::Percentile { percent: 100.0 * place.share.upper, z: (mean - value) / sd, sample }
        }
        (_, Err(_)) => NormAnswer::NoZ { why: NoZ::SampleUnknown, mean: Some(mean), sample },
    }
}

impl std::fmt::Display for NormAnswer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Percentile { percent, sample, .. } => {
                write!(f, "{} of 100 do less well among {sample}", said(*percent))
            }
            Self::MiddleHalf { low: Some(low), high: Some(high), value, sample } => {
                let place = if value < low {
                    "below"
                } else if value > high {
                    "above"
                } else {
                    "within"
                };
                write!(f, "{place} the middle half, {low:.0} to {high:.0}, of {sample}")
            }
            Self::MeanOnly { mean, low, high, sample, .. } => {
                f.write_str("beside a mean")?;
                if let Some(mean) = mean {
                    write!(f, " of {mean:.2}")?;
                }
                match (low, high) {
                    (Some(low), Some(high)) => write!(f, " (limits of the mean {low:.2} to {high:.2})")?,
                    (Some(low), None) => write!(f, " (lower limit of the mean {low:.2})")?,
                    (None, Some(high)) => write!(f, " (upper limit of the mean {high:.2})")?,
                    (None, None) => {}
                }
                write!(f, " of {sample}; that says nothing about how far people lie apart")
            }
            Self::MiddleHalf { sample, .. } => write!(f, "beside the middle half of {sample}"),
            Self::Predicted { predicted, percent, sample, .. } => {
                write!(f, "{percent:.0} % of the {predicted:.0} predicted from {sample}")
            }
            Self::NoZ { why, mean, sample } => {
                f.write_str("no percentile: ")?;
                match why {
                    NoZ::Capped { at_least } => {
                        write!(f, "the test was stopped, so the value is at least {at_least:.0}")?;
                    }
                    NoZ::Skewed => f.write_str("values of this test are skewed")?,
                    NoZ::SpreadFromMemory => f.write_str("the spread of the sample was not read again")?,
                    NoZ::SampleUnknown => f.write_str("the size of the sample is not known")?,
                }
                match mean {
                    Some(mean) => write!(f, "; middle {mean:.1} among {sample}"),
                    None => write!(f, "; sample {sample}"),
                }
            }
            Self::FromMemory { sample } => {
                write!(f, "a norm of {sample} exists and was not read again, so it is not printed")
            }
            Self::OtherPopulation { available } => {
                write!(
                    f,
                    "no norm of this population, sex and age; there are norms of: {}",
                    available.join("; ")
                )
            }
            Self::OtherProtocol(OtherProtocol { field, needed, given: Some(given) }) => {
                write!(f, "no norm for this protocol: {field} was {given}, the norm needs {needed}")
            }
            Self::OtherProtocol(OtherProtocol { field, needed, given: None }) => {
                write!(f, "no norm used: the {field} was not recorded, the norm needs {needed}")
            }
            Self::Missing { what } => f.write_str(what),
            Self::NoNorm => f.write_str("no norm is known for this test on this scale"),
        }
    }
}

/// A percentile in whole steps, and honest at its ends.
fn said(percent: f64) -> String {
    if percent < 1.0 {
        "fewer than 1".to_owned()
    } else if percent > 99.0 {
        "more than 99".to_owned()
    } else {
        format!("about {percent:.0}")
    }
}
