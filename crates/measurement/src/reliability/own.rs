//! The clinic's own error of measurement, from people who were measured again when nothing had changed.

use serde::Serialize;

use super::{OwnRepeats, Raters};
use crate::protocol::ProtocolMatch;
use crate::score::Bound;
use crate::session::Reading;
use crate::statistics::anova::two_way;
use crate::statistics::error_of_measurement::{agreement, consistency};
use crate::statistics::{Confidence, Interval, Problem, Scores};

/// The clinic's own error with how sure it is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OwnError {
    /// The repeats, as [`crate::reliability()`] takes them.
    pub repeats: OwnRepeats,
    /// The 95 % interval of the error.
    pub interval: Option<Interval>,
    /// The last column less the first, on average: what doing it again gains, or one rater reads more. With one
    /// rater it is not in the error and belongs into [`crate::Context::practice`].
    pub bias: f64,
}

/// Why repeats make no error.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OwnErrorProblem {
    /// A reading that is not of the same kind as the first.
    #[error(
        "person {person}, reading {reading} does not fit the first one: {why}; leave out that person and say so"
    )]
    Unlike {
        /// Which person, counted from 1.
        person: usize,
        /// Which reading of that person, counted from 1.
        reading: usize,
        /// What differs, in words.
        why: String,
    },
    /// The statistics have no answer.
    #[error(transparent)]
    Statistics(#[from] Problem),
}

/// Standard error of measurement from repeats: one row a person, one column a session or rater.
///
/// One rater: √MSE, with the gain by repetition taken off (shown as `bias`). Several raters, or nobody knows:
/// √(MSE + raters' variance), so that one reads higher than another counts as error. The sessions of one person
/// must lie so close that nothing changed, and all must be one test, scale, score form and recorded protocol.
///
/// # Errors
/// [`OwnErrorProblem`] names the first reading that does not fit, or what the statistics lack.
pub fn own_repeats(people: &[Vec<&Reading>], raters: Raters) -> Result<OwnError, OwnErrorProblem> {
    let Some(first) = people.first().and_then(|row| row.first()) else {
        return Err(Problem::TooFew { what: "persons", given: 0, least: 2 }.into());
    };
    let mut one_direction = true;
    for (person, row) in people.iter().enumerate() {
        for (place, reading) in row.iter().enumerate() {
            if let Some(why) = unlike(first, reading, row[0]) {
                return Err(OwnErrorProblem::Unlike { person: person + 1, reading: place + 1, why });
            }
            one_direction &= reading.direction == first.direction;
        }
    }
    let rows: Vec<Vec<f64>> = people.iter().map(|row| row.iter().map(|r| r.value).collect()).collect();
    let bias = rows.iter().map(|row| row[row.len() - 1] - row[0]).sum::<f64>() / rows.len() as f64;
    let table = two_way(&Scores::new(rows)?)?;
    let error = match raters {
        Raters::Same => consistency(&table, Confidence::P95)?,
        Raters::Different | Raters::Unknown => agreement(&table, Confidence::P95)?,
    };
    let repeats = OwnRepeats {
        instrument: first.instrument,
        direction: if one_direction { first.direction } else { None },
        scale: first.scale,
        form: first.form,
        protocol: first.protocol.clone(),
        people: people.len(),
        raters,
        sem: error.sem,
    };
    Ok(OwnError { repeats, interval: error.interval, bias })
}

/// What of a reading is another than in the first of all, or in the first of this person.
fn unlike(first: &Reading, reading: &Reading, own_first: &Reading) -> Option<String> {
    let kind = |r: &Reading| (r.instrument, r.scale, r.form, r.days);
    if kind(first) != kind(reading) {
        return Some("another test, scale, score form or number of days averaged".to_owned());
    }
    if (own_first.side, own_first.direction) != (reading.side, reading.direction) {
        return Some("another limb or direction of the same person".to_owned());
    }
    if reading.bound == Bound::AtLeast {
        return Some("it was stopped at the cap, which is only a lower limit".to_owned());
    }
    match first.protocol.matches(&reading.protocol, first.instrument.instrument()) {
        ProtocolMatch::Same => None,
        ProtocolMatch::Differs { field, one, other } => {
            Some(format!("the {field} was {one} and here {other}"))
        }
        ProtocolMatch::NotRecorded { field } => Some(format!("the {field} was not recorded")),
    }
}
