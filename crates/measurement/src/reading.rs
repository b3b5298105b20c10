//! How a coefficient of agreement is read, from `reference/measuring.toml`.

use crate::figures::figure;

/// Words for a correlation of raters, and when a sample is small.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadingOfAgreement {
    moderate_from: f64,
    good_from: f64,
    excellent_from: f64,
    persons_wanted: usize,
    chance: f64,
}

/// The reading in force.
#[must_use]
pub fn reading_of_agreement() -> ReadingOfAgreement {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small count in the table
    let persons_wanted = figure("agreement_persons_wanted") as usize;
    ReadingOfAgreement {
        moderate_from: figure("icc_moderate_from"),
        good_from: figure("icc_good_from"),
        excellent_from: figure("icc_excellent_from"),
        persons_wanted,
        chance: figure("agreement_chance"),
    }
}

impl ReadingOfAgreement {
    /// The word for one limit of the interval of an intraclass correlation; never for the estimate alone.
    #[must_use]
    pub fn word(self, limit: f64) -> &'static str {
        if limit < self.moderate_from {
            "poor"
        } else if limit < self.good_from {
            "moderate"
        } else if limit < self.excellent_from {
            "good"
        } else {
            "excellent"
        }
    }

    /// Persons wanted before the error of a test is relied on.
    #[must_use]
    pub fn persons_wanted(self) -> usize {
        self.persons_wanted
    }

    /// A pattern less probable than this by chance is told.
    #[must_use]
    pub fn chance(self) -> f64 {
        self.chance
    }
}
