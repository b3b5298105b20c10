//! A score as a share of limb length or height, or for each kilogram; nothing is ever assumed for what is missing.

use anatomy::{PerSide, Side};
use quantity::{Length, Mass};
use serde::Serialize;

use crate::figures::figure;
use crate::score::Score;
use crate::unit::{Scale, Unit};

/// How far limb lengths of two days may lie apart, in centimetres, before they are two readings of the tape.
#[must_use]
pub fn limb_length_drift() -> f64 {
    figure("limb_length_drift")
}

/// What was measured of the body, where it was.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BodyMeasures {
    /// Front of the pelvis to the inner ankle, lying.
    pub limb_length: PerSide<Option<Length>>,
    /// Height.
    pub height: Option<Length>,
    /// Body mass.
    pub mass: Option<Mass>,
}

impl BodyMeasures {
    /// Nothing was measured.
    pub const NONE: Self =
        Self { limb_length: PerSide { left: None, right: None }, height: None, mass: None };
}

/// A score on another scale, or why there is none.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "normalised", rename_all = "snake_case")]
pub enum Normalised {
    /// The value on the scale.
    Value {
        /// The scale.
        scale: Scale,
        /// The value, in `unit`.
        value: f64,
        /// Per cent, or newton metres a kilogram.
        unit: Unit,
    },
    /// What it would be divided by was not measured. It is never guessed.
    Missing {
        /// What is missing, in words.
        what: String,
    },
    /// What it would be divided by cannot be right.
    Implausible {
        /// What is wrong and what is accepted, in words.
        what: String,
    },
    /// The test is not said on this scale.
    NotOffered,
}

impl Normalised {
    /// The value, where there is one.
    #[must_use]
    pub fn value(&self) -> Option<f64> {
        match self {
            Self::Value { value, .. } => Some(*value),
            _ => None,
        }
    }
}

/// Says a score on another scale.
///
/// 100 times the value over the limb length of `side` (the STANDING limb in a reach, the hopping limb in a hop)
/// or over the height, both in centimetres; or newton metres over kilograms. The two scales of one body side by
/// side need its own limb each: a missing limb length gives no percentage, and the other limb does not stand in.
#[must_use]
pub fn normalise(score: &Score, scale: Scale, side: Option<Side>, body: &BodyMeasures) -> Normalised {
    let test = score.test();
    if !test.offers(scale) || matches!(scale, Scale::Symmetry | Scale::SideDifference) {
        return Normalised::NotOffered;
    }
    let cm = |length: Option<Length>| length.map(Length::in_cm);
    let (divisor, what, range) = match (scale, side) {
        (Scale::Raw, _) => {
            return Normalised::Value { scale, value: score.value, unit: test.unit };
        }
        (Scale::LimbLength, None) => {
            return Normalised::Missing { what: "which limb it was".to_owned() };
        }
        (Scale::LimbLength, Some(side)) => {
            (cm(*body.limb_length.get(side)), format!("length of the {side} limb"), "limb_length")
        }
        (Scale::Height, _) => (cm(body.height), "height".to_owned(), "height"),
        _ => (body.mass.map(Mass::in_kg), "body mass".to_owned(), "mass"),
    };
    let Some(divisor) = divisor else {
        return Normalised::Missing { what };
    };
    let (least, most) = (figure(&format!("{range}_least")), figure(&format!("{range}_most")));
    if !(least..=most).contains(&divisor) {
        let unit = if scale == Scale::BodyMass { "kg" } else { "cm" };
        return Normalised::Implausible {
            what: format!("{what} `{divisor:.1} {unit}`; accepted: {least:.0} to {most:.0} {unit}"),
        };
    }
    let factor = if scale == Scale::BodyMass { 1.0 } else { 100.0 };
    Normalised::Value { scale, value: factor * score.value / divisor, unit: scale.unit(test.unit) }
}
