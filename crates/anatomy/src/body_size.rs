//! How large a person is: stature, mass, sex, age and limb lengths, with what is plausible.

use quantity::{Length, Mass};
use serde::{Deserialize, Serialize};

use crate::{PerSide, Side};

/// Which of the two published body tables is used. The literature offers only two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Sex {
    /// The tables measured on women.
    Female,
    /// The tables measured on men.
    Male,
}

/// Body size as measured.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BodySize {
    stature: Length,
    mass: Mass,
    sex: Sex,
    age: u8,
    /// Anterior superior iliac spine to medial malleolus, where it was measured.
    leg_length: PerSide<Option<Length>>,
}

/// Why these measurements cannot belong to one person the model is made for.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BodySizeError {
    /// Stature outside what the tables can scale to.
    #[error("stature `{given}` is outside 120 cm to 220 cm, which the body tables can scale to")]
    Stature {
        /// What was given.
        given: Length,
    },
    /// Mass outside what is plausible for the stature.
    #[error("mass `{given}` is outside 25 kg to 250 kg, which the body tables can scale to")]
    Mass {
        /// What was given.
        given: Mass,
    },
    /// Age outside the range of the tool.
    #[error("age `{given}` is outside 12 to 105 years")]
    Age {
        /// What was given.
        given: u8,
    },
    /// A leg length that does not fit the stature.
    #[error(
        "{side} leg length `{given}` is {percent:.0} % of stature; accepted: 43 % to 62 %, measured from the anterior superior iliac spine to the medial malleolus"
    )]
    LegLength {
        /// Which leg.
        side: Side,
        /// What was given.
        given: Length,
        /// The same as a share of stature.
        percent: f64,
    },
}

impl BodySize {
    /// Takes measurements that fit together.
    ///
    /// # Errors
    /// Names the measurement that is outside what the body tables can scale to. The bounds are
    /// our own (wide enough for every adult, narrow enough to catch a wrong unit).
    pub fn new(
        stature: Length,
        mass: Mass,
        sex: Sex,
        age: u8,
        leg_length: PerSide<Option<Length>>,
    ) -> Result<Self, BodySizeError> {
        if !(1.2..=2.2).contains(&stature.in_m()) {
            return Err(BodySizeError::Stature { given: stature });
        }
        if !(25.0..=250.0).contains(&mass.in_kg()) {
            return Err(BodySizeError::Mass { given: mass });
        }
        if !(12..=105).contains(&age) {
            return Err(BodySizeError::Age { given: age });
        }
        for side in Side::BOTH {
            if let Some(given) = *leg_length.get(side) {
                let percent = given.ratio(stature) * 100.0;
                if !(43.0..=62.0).contains(&percent) {
                    return Err(BodySizeError::LegLength { side, given, percent });
                }
            }
        }
        Ok(Self { stature, mass, sex, age, leg_length })
    }

    /// Standing height.
    #[must_use]
    pub fn stature(&self) -> Length {
        self.stature
    }

    /// Body mass.
    #[must_use]
    pub fn mass(&self) -> Mass {
        self.mass
    }

    /// Which body table is used.
    #[must_use]
    pub fn sex(&self) -> Sex {
        self.sex
    }

    /// Age in whole years.
    #[must_use]
    pub fn age(&self) -> u8 {
        self.age
    }

    /// Measured leg lengths; `None` where nobody measured.
    #[must_use]
    pub fn leg_length(&self) -> PerSide<Option<Length>> {
        self.leg_length
    }

    /// The same person in a mirror.
    #[must_use]
    pub fn mirrored(mut self) -> Self {
        self.leg_length = self.leg_length.mirrored();
        self
    }
}
