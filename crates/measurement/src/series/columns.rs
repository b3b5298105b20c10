//! What a recorded series holds: quantity, unit, rate and axes, all stated.

use serde::Serialize;

use super::series_error::SeriesError;

/// What was recorded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    /// Where the ground's reaction acts, in centimetres.
    CentreOfPressure,
    /// Acceleration of a sensor on the trunk, in m/s².
    Acceleration,
    /// The ground's reaction, in newtons.
    Force,
}

/// The unit a file is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum SeriesUnit {
    /// Millimetres.
    #[serde(rename = "mm")]
    Millimetre,
    /// Centimetres.
    #[serde(rename = "cm")]
    Centimetre,
    /// Metres.
    #[serde(rename = "m")]
    Metre,
    /// Metres per second squared.
    #[serde(rename = "m/s2")]
    MetrePerSecondSquared,
    /// Standard gravity, 9.80665 m/s².
    #[serde(rename = "g")]
    StandardGravity,
    /// Newtons.
    #[serde(rename = "N")]
    Newton,
}

/// A direction of the person, not of the plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Axis {
    /// Side to side, positive to the person's right; column `ml`.
    MedioLateral,
    /// Back and forth, positive forward; column `ap`.
    AnteroPosterior,
    /// Up; column `vertical`.
    Vertical,
}

impl Quantity {
    pub(super) const WORDS: [(&'static str, Self); 3] = [
        ("centre_of_pressure", Self::CentreOfPressure),
        ("acceleration", Self::Acceleration),
        ("force", Self::Force),
    ];

    /// The unit that values are kept in.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::CentreOfPressure => "cm",
            Self::Acceleration => "m/s2",
            Self::Force => "N",
        }
    }
}

impl SeriesUnit {
    pub(super) const WORDS: [(&'static str, Self); 6] = [
        ("mm", Self::Millimetre),
        ("cm", Self::Centimetre),
        ("m", Self::Metre),
        ("m/s2", Self::MetrePerSecondSquared),
        ("g", Self::StandardGravity),
        ("N", Self::Newton),
    ];

    /// What a value of this unit is multiplied by, if the quantity can be in it.
    fn factor(self, quantity: Quantity) -> Option<f64> {
        match (quantity, self) {
            (Quantity::CentreOfPressure, Self::Millimetre) => Some(0.1),
            (Quantity::CentreOfPressure, Self::Metre) => Some(100.0),
            (Quantity::Acceleration, Self::StandardGravity) => Some(9.806_65),
            (Quantity::CentreOfPressure, Self::Centimetre)
            | (Quantity::Acceleration, Self::MetrePerSecondSquared)
            | (Quantity::Force, Self::Newton) => Some(1.0),
            _ => None,
        }
    }
}

impl Axis {
    pub(super) const WORDS: [(&'static str, Self); 3] =
        [("ml", Self::MedioLateral), ("ap", Self::AnteroPosterior), ("vertical", Self::Vertical)];
}

/// Evenly sampled values along one to three axes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Series {
    quantity: Quantity,
    unit_given: SeriesUnit,
    rate_hz: f64,
    columns: Vec<(Axis, Vec<f64>)>,
}

/// Most samples of one axis: five and a half hours at 100 a second.
pub(super) const MOST_SAMPLES: usize = 2_000_000;

impl Series {
    /// A series from columns in memory, in the unit given.
    ///
    /// # Errors
    /// A unit that does not belong to the quantity, a rate outside 1 to 10 000 a second, no axis or the
    /// same one twice, columns of different length, fewer than two samples or more than two million, or a
    /// value that is no number.
    pub fn new(
        quantity: Quantity,
        unit: SeriesUnit,
        rate_hz: f64,
        columns: Vec<(Axis, Vec<f64>)>,
    ) -> Result<Self, SeriesError> {
        let Some(factor) = unit.factor(quantity) else {
            return Err(SeriesError::UnitOfOther { quantity, unit, accepted: quantity.unit() });
        };
        if !(1.0..=10_000.0).contains(&rate_hz) {
            return Err(SeriesError::Rate { given: format!("{rate_hz:?}") });
        }
        let Some(samples) = columns.first().map(|(_, values)| values.len()) else {
            return Err(SeriesError::NoAxis);
        };
        if !(2..=MOST_SAMPLES).contains(&samples) {
            return Err(SeriesError::Length { given: samples });
        }
        for (index, (axis, values)) in columns.iter().enumerate() {
            if columns[..index].iter().any(|(earlier, _)| earlier == axis) {
                return Err(SeriesError::AxisTwice { axis: *axis });
            }
            if values.len() != samples {
                let given = values.len();
                return Err(SeriesError::Uneven { axis: *axis, given, expected: samples });
            }
            // Far beyond any instrument: 1e9 of any unit, whose squares still add up.
            if let Some(at) = values.iter().position(|x| x.is_nan() || x.abs() > 1e9) {
                let given = format!("{:?}", values[at]);
                return Err(SeriesError::Sample { axis: *axis, at: at + 1, given });
            }
        }
        let scaled = |(axis, values): (Axis, Vec<f64>)| {
            (axis, if factor == 1.0 { values } else { values.into_iter().map(|x| x * factor).collect() })
        };
        let columns = columns.into_iter().map(scaled).collect();
        Ok(Self { quantity, unit_given: unit, rate_hz, columns })
    }

    /// What was recorded.
    #[must_use]
    pub fn quantity(&self) -> Quantity {
        self.quantity
    }

    /// The unit the values came in; they are kept in [`Quantity::unit`].
    #[must_use]
    pub fn unit_given(&self) -> SeriesUnit {
        self.unit_given
    }

    /// Samples a second.
    #[must_use]
    pub fn rate_hz(&self) -> f64 {
        self.rate_hz
    }

    /// The values along an axis, if it was recorded.
    #[must_use]
    pub fn along(&self, axis: Axis) -> Option<&[f64]> {
        self.columns.iter().find(|(known, _)| *known == axis).map(|(_, values)| values.as_slice())
    }
}
