//! One test of one limb and direction on one day, and its value on a scale.

use anatomy::Side;
use jiff::civil::Date;
use serde::Serialize;

use crate::direction::StanceDirection;
use crate::instrument::{InstrumentKey, Per, ScoreForm};
use crate::normalise::{BodyMeasures, Normalised, normalise};
use crate::protocol::Protocol;
use crate::score::{Bound, Scored};
use crate::symmetry::symmetry;
use crate::unit::{Scale, Unit};

/// What is known of one test on one day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Taken {
    /// The limb, the STANDING one in a reach; none for a test of the whole person.
    pub side: Option<Side>,
    /// The direction, named from the standing limb.
    pub direction: Option<StanceDirection>,
    /// The day.
    pub date: Date,
    /// How it was done.
    pub protocol: Protocol,
    /// Body size on that day.
    pub body: BodyMeasures,
    /// Who measured.
    pub rater: Option<String>,
    /// Days whose results were averaged into this one; usually 1.
    pub days: u8,
    /// The score, or that it was not possible.
    pub scored: Scored,
}

/// One test on one day, checked to be complete.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Session(Taken);

/// Why a result cannot be stored.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SessionError {
    /// No limb where one is needed, or one where there is none.
    #[error("`{test}` belongs to {accepted}; {hint}")]
    Side {
        /// The test in words.
        test: String,
        /// What it belongs to.
        accepted: &'static str,
        /// What to do.
        hint: &'static str,
    },
    /// A direction that the test does not have.
    #[error("`{test}` has no direction `{given}`; accepted: {accepted}")]
    Direction {
        /// The test in words.
        test: String,
        /// What was given.
        given: String,
        /// Its directions.
        accepted: String,
    },
    /// No day at all.
    #[error("`0` days were averaged; give the number of days, usually 1")]
    Days,
}

/// A value with everything that must agree before two of them are compared. Only a [`Session`] makes one.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Reading {
    /// The test.
    pub instrument: InstrumentKey,
    /// How trials became the number.
    pub form: ScoreForm,
    /// On which scale.
    pub scale: Scale,
    /// The value, in `unit`.
    pub value: f64,
    /// Unit of the value.
    pub unit: Unit,
    /// Whether it is a lower limit.
    pub bound: Bound,
    /// The limb, the involved one where two are set beside each other; none for the whole person.
    pub side: Option<Side>,
    /// The direction.
    pub direction: Option<StanceDirection>,
    /// The day.
    pub date: Date,
    /// How it was done.
    pub protocol: Protocol,
    /// Who measured.
    pub rater: Option<String>,
    /// Days averaged.
    pub days: u8,
    /// Standard deviation of its trials on this scale, where there is more than one.
    pub trial_spread: Option<f64>,
}

/// Why there is no value.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "no_reading", rename_all = "snake_case")]
pub enum NoReading {
    /// It was not possible that day.
    NotPossible,
    /// Something it is divided by is missing or cannot be right, in words.
    Missing {
        /// What, in words.
        what: String,
    },
    /// The test is not said on this scale.
    NotOffered,
    /// The two limbs cannot be compared, in words.
    Limbs {
        /// Why, in words.
        why: String,
    },
}

impl std::fmt::Display for NoReading {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NotPossible => f.write_str("it was not possible that day"),
            Self::Missing { what } => write!(f, "{what} was not measured or cannot be right"),
            Self::NotOffered => f.write_str("the test is not said on this scale"),
            Self::Limbs { why } => f.write_str(why),
        }
    }
}

impl Session {
    /// Checks that limb and direction are those the test needs.
    ///
    /// # Errors
    /// Names what is missing or too much.
    pub fn new(taken: Taken) -> Result<Self, SessionError> {
        let test = key_of(&taken.scored).instrument();
        let name = || test.name.clone();
        if taken.days == 0 {
            return Err(SessionError::Days);
        }
        match (test.per, taken.side) {
            (Per::Person, Some(_)) => {
                let hint = "leave the side out";
                return Err(SessionError::Side { test: name(), accepted: "the whole person", hint });
            }
            (Per::Limb | Per::Direction, None) => {
                let hint = "say which one, in a reach the one that stands";
                return Err(SessionError::Side { test: name(), accepted: "one limb", hint });
            }
            _ => {}
        }
        let fits = match taken.direction {
            None => test.directions.is_empty(),
            Some(direction) => test.directions.contains(&direction),
        };
        if !fits {
            let listed = test.directions.iter().map(|d| d.name()).collect::<Vec<_>>().join(", ");
            return Err(SessionError::Direction {
                test: name(),
                given: taken.direction.map_or("none".to_owned(), |d| d.name().to_owned()),
                accepted: if listed.is_empty() { "none".to_owned() } else { listed },
            });
        }
        Ok(Self(taken))
    }

    /// What is known of it.
    #[must_use]
    pub fn taken(&self) -> &Taken {
        &self.0
    }

    /// The test.
    #[must_use]
    pub fn instrument(&self) -> InstrumentKey {
        key_of(&self.0.scored)
    }

    /// Its value on a scale of one limb.
    ///
    /// # Errors
    /// When it was not possible, something is missing, or the scale needs two limbs ([`Reading::of_limbs`]).
    pub fn reading(&self, scale: Scale) -> Result<Reading, NoReading> {
        let taken = &self.0;
        let score = taken.scored.score().ok_or(NoReading::NotPossible)?;
        let (value, unit) = match normalise(score, scale, taken.side, &taken.body) {
            Normalised::Value { value, unit, .. } => (value, unit),
            Normalised::Missing { what } | Normalised::Implausible { what } => {
                return Err(NoReading::Missing { what });
            }
            Normalised::NotOffered => return Err(NoReading::NotOffered),
        };
        let factor = (score.value != 0.0).then(|| value / score.value);
        Ok(Reading {
            instrument: score.instrument,
            form: score.form,
            scale,
            value,
            unit,
            bound: score.bound,
            side: taken.side,
            direction: taken.direction,
            date: taken.date,
            protocol: taken.protocol.clone(),
            rater: taken.rater.clone(),
            days: taken.days,
            trial_spread: score.spread().zip(factor).map(|(spread, factor)| spread * factor),
        })
    }
}

impl Reading {
    /// The involved limb beside the other, of one day: symmetry, or a difference where the test has no ratio.
    ///
    /// # Errors
    /// When one was not possible, the days or protocols differ, or the limbs cannot be compared.
    pub fn of_limbs(involved: &Session, uninvolved: &Session) -> Result<Self, NoReading> {
        let (one, other) = (involved.taken(), uninvolved.taken());
        let limbs = |why: &str| NoReading::Limbs { why: why.to_owned() };
        if one.side.is_none() || one.side == other.side {
            return Err(limbs("a left and a right limb are needed"));
        }
        if one.direction != other.direction {
            return Err(limbs("the two limbs were tested in different directions"));
        }
        if one.date != other.date {
            return Err(limbs("the two limbs were tested on different days"));
        }
        let (Some(score), Some(reference)) = (one.scored.score(), other.scored.score()) else {
            return Err(NoReading::NotPossible);
        };
        if !matches!(one.protocol.matches(&other.protocol, score.test()), crate::ProtocolMatch::Same) {
            return Err(limbs("the two limbs were not tested by the same recorded protocol"));
        }
        let result =
            symmetry(score, reference).map_err(|error| NoReading::Limbs { why: error.to_string() })?;
        Ok(Self {
            instrument: result.instrument,
            form: result.form,
            scale: result.scale,
            value: result.value,
            unit: result.unit,
            bound: Bound::Exact,
            side: one.side,
            direction: one.direction,
            date: one.date,
            protocol: one.protocol.clone(),
            rater: if one.rater == other.rater { one.rater.clone() } else { None },
            days: one.days.min(other.days),
            trial_spread: None,
        })
    }
}

fn key_of(scored: &Scored) -> InstrumentKey {
    match scored {
        Scored::Score(score) => score.instrument,
        Scored::Unable { instrument, .. } => *instrument,
    }
}
