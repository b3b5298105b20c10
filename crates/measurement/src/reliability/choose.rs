//! Which error of measurement to use: own repeats, else the nearest group, else the default, else none.

use serde::Serialize;

use super::{Origin, PublishedError, Raters, Reliability, RowUse, StandardError, published_errors};
use crate::figures::figure;
use crate::instrument::{InstrumentKey, ScoreForm};
use crate::population::Population;
use crate::protocol::{Protocol, ProtocolMatch};
use crate::session::Reading;
use crate::unit::Scale;
use crate::{StanceDirection, statistics::LARGEST};

/// The clinic's own repeated tests of people in whom nothing changed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OwnRepeats {
    /// The test.
    pub instrument: InstrumentKey,
    /// The direction; none when the repeats were of all.
    pub direction: Option<StanceDirection>,
    /// On which scale.
    pub scale: Scale,
    /// The score form.
    pub form: ScoreForm,
    /// How it was done.
    pub protocol: Protocol,
    /// How many people were measured twice.
    pub people: usize,
    /// Whether one person measured both times.
    pub raters: Raters,
    /// Standard error of one session, from the two-way analysis (root of the error variance).
    pub sem: f64,
}

/// For what an error is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Question<'a> {
    /// The reading that is to be compared.
    pub reading: &'a Reading,
    /// Whom it belongs to.
    pub population: Population,
    /// Whether one person measured both times.
    pub raters: Raters,
}

/// Why there is no error to use.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
#[error(
    "no error of measurement fits `{test}` {scale}: {why}; measure about {people} unchanged people twice in the clinic"
)]
pub struct CannotSayError {
    /// The test in words.
    pub test: String,
    /// The scale in words.
    pub scale: &'static str,
    /// What was found and did not fit, in words.
    pub why: String,
    /// How many repeats would do.
    pub people: usize,
}

/// Chooses the error of measurement for a reading.
///
/// 1. The clinic's own repeats of the same test, scale, score form and recorded protocol, from a named number
///    of people upwards.
/// 2. Published errors of the same test, scale and direction whose score form and protocol do not contradict
///    the reading: the same group before groups that stand in, a stated and equal protocol before one that was
///    not stated, fitting raters before others, then the larger error.
/// 3. The default of the test.
/// 4. Nothing, with the reason.
///
/// # Errors
/// [`CannotSayError`] when nothing fits.
pub fn reliability(asked: &Question<'_>, own: &[OwnRepeats]) -> Result<Reliability, CannotSayError> {
    let reading = asked.reading;
    let enough = figure("own_repeats_least") as usize;
    if let Some(own) = best_own(asked, own, enough) {
        return Ok(from_own(reading, own));
    }
    let mut reasons = Vec::new();
    let mut fitting: Vec<(Rank, &PublishedError, StandardError)> = Vec::new();
    let mut default = None;
    for row in published_errors() {
        if row.instrument != reading.instrument || row.scale != reading.scale || row.used == RowUse::Never {
            continue;
        }
        let Some(error) = row.error() else { continue };
        if let Some(reason) = contradicts(row, reading) {
            push(&mut reasons, reason);
            continue;
        }
        match row.population.map(|studied| asked.population.distance(studied)) {
            Some(Some(distance)) => fitting.push((Rank::of(distance, row, error, asked), row, error)),
            Some(None) => {
                push(&mut reasons, format!("one is known of {} only", row.population.expect("it has one")))
            }
            None => {}
        }
        if row.used == RowUse::Default && default.is_none() {
            default = Some((row, error));
        }
    }
    if let Some((rank, row, error)) = fitting.into_iter().min_by(|a, b| a.0.compare(&b.0)) {
        let origin = match (rank.distance, row.population) {
            (0, _) | (_, None) => Origin::SameGroup,
            (_, Some(studied)) => Origin::NearGroup { studied },
        };
        return Ok(published(row, error, origin, asked));
    }
    if let Some((row, error)) = default {
        return Ok(published(row, error, Origin::Default, asked));
    }
    let why = if reasons.is_empty() { "none was published".to_owned() } else { reasons.join("; ") };
    Err(CannotSayError {
        test: reading.instrument.instrument().name.clone(),
        scale: reading.scale.words(),
        why,
        people: enough,
    })
}

/// What makes one fitting row better than another; smaller is better.
struct Rank {
    distance: usize,
    protocol_not_stated: bool,
    other_raters: bool,
    error: f64,
}

impl Rank {
    fn of(distance: usize, row: &PublishedError, error: StandardError, asked: &Question<'_>) -> Self {
        Self {
            distance,
            protocol_not_stated: row.protocol.recorded().next().is_none(),
            other_raters: row.raters != asked.raters,
            error: error.at(asked.reading.value),
        }
    }

    fn compare(&self, other: &Self) -> std::cmp::Ordering {
        let first = |rank: &Self| (rank.distance, rank.protocol_not_stated, rank.other_raters);
        first(self).cmp(&first(other)).then(other.error.total_cmp(&self.error))
    }
}

fn push(reasons: &mut Vec<String>, reason: String) {
    if !reasons.contains(&reason) {
        reasons.push(reason);
    }
}

/// Why a row cannot speak for a reading, whatever the group.
fn contradicts(row: &PublishedError, reading: &Reading) -> Option<String> {
    if row.direction.is_some() && row.direction != reading.direction {
        return Some("found in other directions".to_owned());
    }
    if !row.forms.is_empty() && !row.forms.contains(&reading.form) {
        let forms = row.forms.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        return Some(format!("found for the {forms}"));
    }
    match row.protocol.matches_in(&reading.protocol, row.protocol.recorded().map(|(key, _)| key)) {
        ProtocolMatch::Same => None,
        ProtocolMatch::Differs { field, one, .. } => Some(format!("found with another {field} ({one})")),
        ProtocolMatch::NotRecorded { field } => Some(format!("the {field} was not recorded")),
    }
}

fn best_own<'a>(asked: &Question<'_>, own: &'a [OwnRepeats], enough: usize) -> Option<&'a OwnRepeats> {
    let reading = asked.reading;
    own.iter()
        .filter(|own| {
            own.people >= enough
                && own.sem > 0.0
                && own.sem <= LARGEST
                && (own.instrument, own.scale, own.form) == (reading.instrument, reading.scale, reading.form)
                && (own.direction.is_none() || own.direction == reading.direction)
                && own.protocol.matches(&reading.protocol, reading.instrument.instrument())
                    == ProtocolMatch::Same
        })
        .min_by(|a, b| {
            let rank = |own: &OwnRepeats| (own.raters != asked.raters, own.direction.is_none());
            rank(a).cmp(&rank(b)).then(b.people.cmp(&a.people)).then(b.sem.total_cmp(&a.sem))
        })
}

fn from_own(reading: &Reading, own: &OwnRepeats) -> Reliability {
    let few = own.people < figure("own_repeats_many") as usize;
    let mut words = format!("error from our own repeats of {} people by the same protocol", own.people);
    if few {
        words.push_str("; few, so it is itself uncertain");
    }
    Reliability {
        instrument: own.instrument,
        direction: own.direction,
        scale: own.scale,
        forms: vec![own.form],
        error: StandardError::Absolute { sem: own.sem },
        from_level: None,
        origin: Origin::Own { people: own.people },
        population: None,
        raters: own.raters,
        protocol: reading.protocol.clone(),
        source: "own".to_owned(),
        read: quantity::reference::HowRead::Own,
        words,
    }
}

fn published(
    row: &PublishedError,
    error: StandardError,
    origin: Origin,
    asked: &Question<'_>,
) -> Reliability {
    let from_level = if row.sem.is_none() && row.sem_percent.is_none() { row.mdc_level } else { None };
    let mut words = match &origin {
        Origin::Own { .. } | Origin::SameGroup => format!("error published for {}", asked.population),
        Origin::NearGroup { studied } => {
            format!("error published for {studied}, which stands in for {}", asked.population)
        }
        Origin::Default => match row.population {
            Some(studied) => {
                format!("no error fits {}; the default was found in {studied}", asked.population)
            }
            None => format!("no error fits {}; our own default", asked.population),
        },
    };
    if row.protocol.recorded().next().is_none() && row.source != "own" {
        words.push_str("; protocol not stated in detail");
    }
    if row.raters != asked.raters && row.raters != Raters::Unknown {
        words.push_str(match row.raters {
            Raters::Same => "; found with one rater",
            _ => "; found with different raters",
        });
    }
    if let Some(level) = from_level {
        words.push_str(&format!("; computed from a detectable change at {level} %"));
    }
    if row.read == quantity::reference::HowRead::Memory {
        words.push_str("; the figure is from memory");
    }
    Reliability {
        instrument: row.instrument,
        direction: row.direction,
        scale: row.scale,
        forms: row.forms.clone(),
        error,
        from_level,
        origin,
        population: row.population,
        raters: row.raters,
        protocol: row.protocol.clone(),
        source: row.source.clone(),
        read: row.read,
        words,
    }
}
