//! Units of results, and the scales on which a result is said.

use serde::{Deserialize, Serialize};

/// The unit of a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[allow(missing_docs)]
pub enum Unit {
    #[serde(rename = "cm")]
    Cm,
    #[serde(rename = "m")]
    M,
    #[serde(rename = "s")]
    S,
    #[serde(rename = "deg")]
    Deg,
    #[serde(rename = "Nm")]
    Nm,
    #[serde(rename = "Nm/kg")]
    NmPerKg,
    #[serde(rename = "N")]
    N,
    #[serde(rename = "points")]
    Points,
    #[serde(rename = "count")]
    Count,
    #[serde(rename = "percent")]
    Percent,
    #[serde(rename = "m/s")]
    MPerS,
    #[serde(rename = "cm2")]
    Cm2,
    #[serde(rename = "cm/s")]
    CmPerS,
    #[serde(rename = "m/s2")]
    MPerS2,
}

impl Unit {
    /// The symbol as it is printed.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Cm => "cm",
            Self::M => "m",
            Self::S => "s",
            Self::Deg => "°",
            Self::Nm => "N·m",
            Self::NmPerKg => "N·m/kg",
            Self::N => "N",
            Self::Points => "points",
            Self::Count => "times",
            Self::Percent => "%",
            Self::MPerS => "m/s",
            Self::Cm2 => "cm²",
            Self::CmPerS => "cm/s",
            Self::MPerS2 => "m/s²",
        }
    }
}

impl Unit {
    /// A value with its unit, in the digits that a test in this unit is read to: `0.12 m/s`, `8.1 %`.
    #[must_use]
    pub fn say(self, value: f64) -> String {
        let digits = match self {
            Self::MPerS | Self::S | Self::NmPerKg | Self::CmPerS | Self::MPerS2 => 2,
            Self::N | Self::M => 0,
            Self::Cm | Self::Deg | Self::Nm | Self::Points | Self::Count | Self::Percent | Self::Cm2 => 1,
        };
        let rounded = format!("{value:.digits$}");
        // "-0.0" would puzzle a reader.
        let plain = if rounded.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
            rounded.trim_start_matches('-').to_owned()
        } else {
            rounded
        };
        if self == Self::Count && value == 1.0 {
            return "1 time".to_owned();
        }
        format!("{plain} {}", self.symbol())
    }
}

impl std::fmt::Display for Unit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.symbol())
    }
}

/// On which scale a result is said. Results, errors and norms belong together on one scale only.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Scale {
    /// As it was measured, in the unit of the test.
    Raw,
    /// Per cent of the length of the limb, the standing one in a reach.
    LimbLength,
    /// Per cent of the height of the person.
    Height,
    /// For each kilogram of the person.
    BodyMass,
    /// Per cent of the other limb; a timed test inverted, so that below 100 is always worse.
    Symmetry,
    /// The involved limb minus the other, in the unit of the test.
    SideDifference,
}

impl Scale {
    /// What the scale is called behind a value: `72 % of limb length`.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Raw => "as measured",
            Self::LimbLength => "of limb length",
            Self::Height => "of height",
            Self::BodyMass => "for each kilogram",
            Self::Symmetry => "of the other side",
            Self::SideDifference => "between the sides",
        }
    }

    /// The unit of a value on this scale, for a test measured in `raw`.
    #[must_use]
    pub fn unit(self, raw: Unit) -> Unit {
        match self {
            Self::Raw | Self::SideDifference => raw,
            Self::LimbLength | Self::Height | Self::Symmetry => Unit::Percent,
            Self::BodyMass if raw == Unit::Nm => Unit::NmPerKg,
            Self::BodyMass => raw,
        }
    }
}
