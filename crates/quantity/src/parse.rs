//! Reads a quantity with its unit from what a person typed.

use crate::{Angle, Length, Mass, Moment, Share, Span};

/// Why a text is not the quantity that was asked for.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// No unit stands behind the number.
    #[error("`{given}` has no unit; write for example {example}")]
    NoUnit {
        /// What was given.
        given: String,
        /// A text that would be accepted.
        example: &'static str,
    },
    /// The unit is not one of this quantity.
    #[error("`{given}`: unit `{unit}` is not accepted here; accepted: {accepted}")]
    WrongUnit {
        /// What was given.
        given: String,
        /// The unit that stood there.
        unit: String,
        /// The units that are accepted.
        accepted: &'static str,
    },
    /// The text does not begin with a number.
    #[error("`{given}` does not start with a number; write for example {example}")]
    NoNumber {
        /// What was given.
        given: String,
        /// A text that would be accepted.
        example: &'static str,
    },
    /// The number is not finite or is negative where it cannot be.
    #[error("`{given}` is not possible; the number must be {must_be}")]
    Impossible {
        /// What was given.
        given: String,
        /// What the number must be.
        must_be: &'static str,
    },
}

struct Shape {
    units: &'static [(&'static str, f64)],
    accepted: &'static str,
    example: &'static str,
    signed: bool,
}

fn read(text: &str, shape: &Shape) -> Result<f64, QuantityError> {
    let given = text.trim();
    let split =
        given.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))).unwrap_or(given.len());
    let (number, unit) = given.split_at(split);
    let unit = unit.trim();
    let value: f64 = number
        .parse()
        .map_err(|_| QuantityError::NoNumber { given: given.to_owned(), example: shape.example })?;
    if unit.is_empty() {
        return Err(QuantityError::NoUnit { given: given.to_owned(), example: shape.example });
    }
    let factor = shape.units.iter().find(|(name, _)| *name == unit).map(|(_, factor)| *factor);
    let Some(factor) = factor else {
        return Err(QuantityError::WrongUnit {
            given: given.to_owned(),
            unit: unit.to_owned(),
            accepted: shape.accepted,
        });
    };
    if !value.is_finite() || (!shape.signed && value < 0.0) {
        return Err(QuantityError::Impossible {
            given: given.to_owned(),
            must_be: if shape.signed { "finite" } else { "zero or more" },
        });
    }
    Ok(value * factor)
}

impl Length {
    /// Reads a length such as `"176 cm"`, `"1.76 m"`, `"880 mm"`, `"69.5 in"`.
    ///
    /// # Errors
    /// Says what was given and which units are accepted.
    ///
    /// ```
    /// assert_eq!(quantity::Length::parse("1.76 m").unwrap().in_cm(), 176.0);
    /// assert!(quantity::Length::parse("176").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        read(
            text,
            &Shape {
                units: &[("cm", 0.01), ("m", 1.0), ("mm", 0.001), ("in", 0.0254)],
                accepted: "cm, m, mm, in",
                example: "\"176 cm\"",
                signed: false,
            },
        )
        .map(Self::m)
    }
}

impl Mass {
    /// Reads a mass such as `"82 kg"` or `"180 lb"`.
    ///
    /// # Errors
    /// Says what was given and which units are accepted.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        read(
            text,
            &Shape {
                units: &[("kg", 1.0), ("lb", 0.453_592_37)],
                accepted: "kg, lb",
                example: "\"82 kg\"",
                signed: false,
            },
        )
        .map(Self::kg)
    }
}

impl Angle {
    /// Reads an angle such as `"70 deg"` or `"70°"`.
    ///
    /// # Errors
    /// Says what was given and which units are accepted.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        read(
            text,
            &Shape {
                units: &[("deg", 1.0), ("°", 1.0)],
                accepted: "deg, °",
                example: "\"70 deg\"",
                signed: true,
            },
        )
        .map(Self::deg)
    }
}

impl Moment {
    /// Reads a moment such as `"120 Nm"` or `"120 N·m"`.
    ///
    /// # Errors
    /// Says what was given and which units are accepted.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        read(
            text,
            &Shape {
                units: &[("Nm", 1.0), ("N·m", 1.0), ("N m", 1.0)],
                accepted: "Nm, N·m",
                example: "\"120 Nm\"",
                signed: false,
            },
        )
        .map(Self::nm)
    }
}

impl Share {
    /// Reads a share such as `"50 %"`.
    ///
    /// # Errors
    /// Says what was given and which units are accepted.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        read(
            text,
            &Shape {
                units: &[("%", 1.0), ("percent", 1.0)],
                accepted: "%",
                example: "\"50 %\"",
                signed: false,
            },
        )
        .map(Self::percent)
    }
}

impl Span {
    /// Reads a span of time such as `"12 s"` or `"5 min"`.
    ///
    /// # Errors
    /// Says what was given and which units are accepted.
    ///
    /// ```
    /// assert_eq!(quantity::Span::parse("1.5 min").unwrap().in_s(), 90.0);
    /// assert!(quantity::Span::parse("12").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        read(
            text,
            &Shape {
                units: &[("s", 1.0), ("min", 60.0)],
                accepted: "s, min",
                example: "\"12 s\"",
                signed: false,
            },
        )
        .map(Self::s)
    }
}
