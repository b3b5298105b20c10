//! The words on a drawn floor: names of directions, letters of the feet, how a length is written.

use anatomy::Side;
use movement::Bearing;
use quantity::Length;

/// How a length is written; `{number}` in the pattern becomes the number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthWords {
    /// Whole centimetres, rounded down, as in `40 cm`.
    Centimetres {
        /// The unit around the number.
        pattern: &'static str,
    },
    /// Inches in quarters, rounded down, as in `15¾ in`.
    QuarterInches {
        /// The unit around the number.
        pattern: &'static str,
    },
}

/// An inch is 2.54 cm by definition.
const CM_AN_INCH: f64 = 2.54;

/// Rounded down. A millionth up first: 28 cm is not 27 because of how numbers are held.
fn down(parts: f64) -> f64 {
    (parts + 1e-6).floor()
}

impl LengthWords {
    /// A length in words, never longer than it is: what is read is not further than what both gates passed.
    #[must_use]
    pub fn write(self, length: Length) -> String {
        match self {
            Self::Centimetres { pattern } => {
                pattern.replace("{number}", &format!("{:.0}", down(length.in_cm())))
            }
            Self::QuarterInches { pattern } => {
                let quarters = down(length.in_cm() / CM_AN_INCH * 4.0);
                let (whole, rest) = ((quarters / 4.0).floor(), quarters.rem_euclid(4.0));
                let part = match rest {
                    r if r < 0.5 => "",
                    r if r < 1.5 => "¼",
                    r if r < 2.5 => "½",
                    _ => "¾",
                };
                let number = if whole == 0.0 && !part.is_empty() {
                    part.to_owned()
                } else {
                    format!("{whole:.0}{part}")
                };
                pattern.replace("{number}", &number)
            }
        }
    }
}

/// The words of one language on the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FloorWords {
    /// Plain names of the eight directions, clockwise from straight ahead; a name breaks at its hyphen.
    pub directions: [&'static str; 8],
    /// The letter in the left foot, then in the right foot.
    pub foot_letters: [&'static str; 2],
    /// How distances are written.
    pub lengths: LengthWords,
}

impl FloorWords {
    /// English with centimetres, as on the screens of the workbench.
    #[must_use]
    pub fn english() -> Self {
        Self {
            directions: Bearing::ALL.map(Bearing::plain_words),
            foot_letters: ["L", "R"],
            lengths: LengthWords::Centimetres { pattern: "{number} cm" },
        }
    }

    /// The name of a direction.
    #[must_use]
    pub fn direction(&self, bearing: Bearing) -> &'static str {
        self.directions[usize::from(bearing.degrees() / 45) % 8]
    }

    /// The letter of a foot.
    #[must_use]
    pub fn foot_letter(&self, side: Side) -> &'static str {
        match side {
            Side::Left => self.foot_letters[0],
            Side::Right => self.foot_letters[1],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2.54 cm are one inch: 40 cm = 15.748, 10.2 cm = 4.016, 1 cm = 0.394, 29.3 cm = 11.535, 26 cm = 10.236.
    #[test]
    fn a_length_is_never_written_longer_than_it_is() {
        let inches = LengthWords::QuarterInches { pattern: "{number} in" };
        for (cm, text) in [
            (40.0, "15½ in"),
            (10.2, "4 in"),
            (1.0, "¼ in"),
            (29.3, "11½ in"),
            (26.0, "10 in"),
            (25.4, "10 in"),
        ] {
            assert_eq!(inches.write(Length::cm(cm)), text);
        }
        let centimetres = LengthWords::Centimetres { pattern: "{number} cm" };
        for (cm, text) in [(35.7, "35 cm"), (28.0, "28 cm"), (0.3 * 100.0, "30 cm"), (0.29 * 100.0, "29 cm")]
        {
            assert_eq!(centimetres.write(Length::cm(cm)), text);
        }
    }
}
