//! How long after a landing the ground's push has come to rest.

use serde::{Deserialize, Serialize};

use super::columns::{Axis, Quantity, Series};
use super::filter::Filtering;
use super::series_error::SeriesError;
use crate::statistics::Problem;

/// What counts as contact and as rest. Several definitions are about, and their times differ by
/// more than treatment does, so the rule is stored with every result.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StabilisationRule {
    /// Contact is the first sample above this vertical force, in newtons.
    pub contact_newton: f64,
    /// Rest is within this share of body weight, either way.
    pub band_share: f64,
    /// For at least so many seconds.
    pub hold_seconds: f64,
}

impl StabilisationRule {
    /// The rule of `reference/stabilisation.toml`: our own, one of several.
    ///
    /// # Panics
    /// When the built-in table does not parse, which a test rules out.
    #[must_use]
    pub fn of_the_table() -> Self {
        #[derive(Deserialize)]
        struct Table {
            rule: StabilisationRule,
        }
        let text = include_str!("../../../../reference/stabilisation.toml");
        toml::from_str::<Table>(text).expect("reference/stabilisation.toml parses").rule
    }
}

/// How far the force at rest may lie from the weight of a person, as a share, before mass or plate must be wrong.
#[must_use]
pub fn landing_rest_share() -> f64 {
    crate::figures::figure("landing_rest_share")
}

/// What became of a landing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stabilisation {
    /// The force came into the band and stayed.
    After {
        /// Seconds from contact until it came into the band for good.
        seconds: f64,
        /// Seconds from the first sample to contact.
        contact_at: f64,
    },
    /// It did not stay in the band for the time asked before the recording ended: longer than this, or never.
    NotWithin {
        /// Seconds recorded after contact.
        seconds: f64,
    },
    /// Nobody landed in this recording.
    NoContact,
    /// Somebody stood there from the first sample on; the landing is not in it.
    LoadedFromTheStart,
}

/// A landing with everything that its figure depends on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Landing {
    /// What came of it.
    pub stabilisation: Stabilisation,
    /// By which rule.
    pub rule: StabilisationRule,
    /// After which filter.
    pub filtering: Filtering,
    /// Body weight used, in newtons.
    pub body_weight: f64,
    /// Samples a second.
    pub rate_hz: f64,
}

/// Time to stabilisation of the vertical force: from contact, the first time after which it stays
/// within the band about body weight for the time held.
///
/// # Errors
/// No vertical force in the series, a body weight or a rule not above nought, or a filter that fails.
pub fn time_to_stabilisation(
    series: &Series,
    body_weight_newton: f64,
    rule: StabilisationRule,
    filtering: Filtering,
) -> Result<Landing, SeriesError> {
    let force = series.along(Axis::Vertical).filter(|_| series.quantity() == Quantity::Force);
    let needed = "a force series with a column `vertical`";
    let force = force.ok_or(SeriesError::Lacking { figure: "time to stabilisation", needed })?;
    for (what, given) in [
        ("body weight in newtons", body_weight_newton),
        ("force of contact in newtons", rule.contact_newton),
        ("band as a share of body weight", rule.band_share),
        ("time held in seconds", rule.hold_seconds),
    ] {
        if !(given > 0.0 && given < 1e6) {
            let given = format!("{given:?}");
            return Err(
                Problem::OutOfRange { what, given, accepted: "a number above 0 and below 1e6" }.into()
            );
        }
    }
    let rate_hz = series.rate_hz();
    let filtered;
    let force = match filtering {
        Filtering::AsRecorded => force,
        Filtering::LowPass(filter) => {
            filtered = filter.apply(force, rate_hz)?;
            &filtered
        }
    };
    let stabilisation = settle(force, body_weight_newton, rule, rate_hz);
    Ok(Landing { stabilisation, rule, filtering, body_weight: body_weight_newton, rate_hz })
}

#[expect(clippy::cast_precision_loss, reason = "at most two million samples")]
fn settle(force: &[f64], weight: f64, rule: StabilisationRule, rate_hz: f64) -> Stabilisation {
    let seconds = |samples: usize| samples as f64 / rate_hz;
    let Some(contact) = force.iter().position(|f| *f > rule.contact_newton) else {
        return Stabilisation::NoContact;
    };
    if contact == 0 {
        return Stabilisation::LoadedFromTheStart;
    }
    let mut since = None;
    for (at, f) in force.iter().enumerate().skip(contact) {
        if (f - weight).abs() > rule.band_share * weight {
            since = None;
            continue;
        }
        let began = *since.get_or_insert(at);
        // A time held that is a whole number of samples is met although it was rounded.
        if seconds(at - began) >= rule.hold_seconds - 1e-9 {
            return Stabilisation::After { seconds: seconds(began - contact), contact_at: seconds(contact) };
        }
    }
    Stabilisation::NotWithin { seconds: seconds(force.len() - 1 - contact) }
}
