//! Why trials do not make a score, in words for the person who entered them.

use crate::instrument::ScoreForm;
use crate::trial::InvalidReason;
use crate::unit::Unit;

/// Why trials do not make a score.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ScoreError {
    /// The test is made from other tests.
    #[error("`{test}` is made from scores of other tests, not from trials; enter those")]
    Derived {
        /// The test in words.
        test: String,
    },
    /// A total of a questionnaire was given as trials, or trials as a total.
    #[error("`{test}` is stored as one total that was computed elsewhere; give the total alone")]
    StoredOnly {
        /// The test in words.
        test: String,
    },
    /// Trials were asked for, and only a total was given.
    #[error("`{test}` is scored from what was tried or answered; give each value, not a total")]
    NotStored {
        /// The test in words.
        test: String,
    },
    /// The form is not offered for the test.
    #[error("score form `{given}` is not offered for `{test}`; accepted: {accepted}")]
    Form {
        /// The test in words.
        test: String,
        /// What was asked for.
        given: ScoreForm,
        /// What is offered.
        accepted: String,
    },
    /// The values come in another unit.
    #[error("`{test}` is measured in `{accepted}`, the values are in `{given}`; give them in `{accepted}`")]
    WrongUnit {
        /// The test in words.
        test: String,
        /// What was given.
        given: Unit,
        /// The unit of the test.
        accepted: Unit,
    },
    /// A value that cannot be.
    #[error("`{}` is no value of `{test}`; accepted: {least} to {most} {unit}", shown(*given))]
    OutOfRange {
        /// The test in words.
        test: String,
        /// What was given.
        given: f64,
        /// Smallest that is believed.
        least: f64,
        /// Largest that is believed.
        most: f64,
        /// Unit of the test.
        unit: Unit,
    },
    /// A fraction where only whole numbers exist.
    #[error("`{}` is not a whole number; `{test}` is counted in whole {unit}", shown(*given))]
    NotWhole {
        /// The test in words.
        test: String,
        /// What was given.
        given: f64,
        /// Unit of the test.
        unit: Unit,
    },
    /// Not enough trials that count.
    #[error(
        "{form} of `{test}` needs {needed} valid trials, there are {valid}{failed}; repeat until they are there, or record it as not possible"
    )]
    TooFewValid {
        /// The test in words.
        test: String,
        /// The form asked for.
        form: ScoreForm,
        /// How many it needs.
        needed: u8,
        /// How many count.
        valid: usize,
        /// Why the others did not count, in words; empty when all did.
        failed: String,
    },
    /// More answers than the test has items.
    #[error("`{test}` has at most {accepted} items, there are {given}; keep the {accepted} that matter most")]
    TooManyItems {
        /// The test in words.
        test: String,
        /// How many were given.
        given: usize,
        /// How many are accepted.
        accepted: u8,
    },
    /// A test without a cap cannot be stopped at it.
    #[error("`{test}` has no cap; give the value that was reached")]
    NoCap {
        /// The test in words.
        test: String,
    },
    /// A test that asks, and cannot be impossible.
    #[error(
        "`{test}` is a question; leave it out when it was not answered, `not possible` is no answer to it"
    )]
    CannotBeUnable {
        /// The test in words.
        test: String,
    },
    /// The reason belongs to another test.
    #[error("`{}` is no reason against a trial of `{test}`; accepted: {accepted}", given.words())]
    OtherReason {
        /// The test in words.
        test: String,
        /// What was given.
        given: InvalidReason,
        /// The reasons of this test.
        accepted: String,
    },
    /// A mean of several days of which there is none.
    #[error("no day was given; write at least one answer")]
    NoDays,
    /// Only answers of the person are averaged over days.
    #[error("`{test}` is not averaged over days; only one answer of the person, day by day, is")]
    NotAveraged {
        /// The test in words.
        test: String,
    },
}

/// A value as it was given; in powers of ten where it would run to many digits.
fn shown(given: f64) -> String {
    let text = format!("{given:?}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_of_three_hundred_digits_is_told_in_a_few() {
        let of = |given: f64| {
            let (least, most, unit) = (0.0, 250.0, Unit::Cm);
            ScoreError::OutOfRange { test: "hop".to_owned(), given, least, most, unit }.to_string()
        };
        assert_eq!(of(1e300), "`1e300` is no value of `hop`; accepted: 0 to 250 cm");
        assert!(of(-5.0).starts_with("`-5` is") && of(251.5).starts_with("`251.5` is"));
        let fraction = ScoreError::NotWhole { test: "rises".to_owned(), given: 1e-300, unit: Unit::Count };
        assert!(fraction.to_string().starts_with("`1e-300` is not a whole number"));
    }
}
