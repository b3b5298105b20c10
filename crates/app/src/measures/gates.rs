//! Tests that were done today beside what the gates say of them: nothing that was measured is lost, and nothing
//! that was refused is hidden.

use jiff::civil::Date;
use measurement::MadeFrom;
use person::CaseFile;
use serde::Serialize;

use super::recorded::{Entry, Measures};
use super::report::of_what;
use crate::{OneTestError, OverrideError, TestAnswer, TestToday, one_test};

/// One test of today that the gates refuse.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RefusedTest {
    /// The line of the measures file.
    pub line: usize,
    /// What was tested, in words.
    pub what: String,
    /// The answer of the gates, with the override where there is a good one; none under a red flag.
    pub answer: Option<TestAnswer>,
    /// Why the override that is given does not do.
    pub no_override: Option<String>,
}

/// Asks the gates about every test of the day. Findings of today say nothing about earlier days, so these are not
/// asked about.
#[must_use]
pub fn gates_of(case: &CaseFile, today: Date, measures: &Measures) -> Vec<RefusedTest> {
    measures.on(today).filter_map(|entry| refused(case, today, entry)).collect()
}

fn refused(case: &CaseFile, today: Date, entry: &Entry) -> Option<RefusedTest> {
    let taken = entry.session.taken();
    let key = entry.session.instrument();
    if key.instrument().from == MadeFrom::Derived {
        return None;
    }
    let place = of_what(taken.side, taken.direction.map(measurement::StanceDirection::name));
    let what = format!("{}, {place}", key.instrument().name);
    let told =
        |answer, no_override| Some(RefusedTest { line: entry.line, what: what.clone(), answer, no_override });
    let test = match one_test(case, today, key, taken.side, taken.direction) {
        Ok(test) => test,
        Err(OneTestError::Alert(_)) => return told(None, None),
        Err(OneTestError::Limb { .. } | OneTestError::Direction { .. }) => return None,
    };
    let TestToday { answer, .. } = &test;
    if matches!(answer, TestAnswer::Offered { .. }) {
        return None;
    }
    let plain = answer.clone();
    match entry.done_anyway.clone().map(|by| test.overridden(by)) {
        None => told(Some(plain), None),
        Some(Ok(overridden)) => told(Some(overridden.answer), None),
        Some(Err(error)) => told(Some(plain), Some(because(&error))),
    }
}

fn because(error: &OverrideError) -> String {
    error.to_string()
}

impl RefusedTest {
    /// Whether it stands without a good override.
    #[must_use]
    pub fn stands(&self) -> bool {
        !matches!(self.answer, Some(TestAnswer::Overridden { .. }))
    }
}

impl std::fmt::Display for RefusedTest {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Line {}, {}: ", self.line, self.what)?;
        let (reasons, nearest) = match &self.answer {
            None => return f.write_str("a red flag is present, no test is done."),
            Some(TestAnswer::Offered { .. }) => return f.write_str("open today."),
            Some(TestAnswer::Refused { reasons, nearest, .. }) => {
                f.write_str("REFUSED TODAY and done all the same, without an override.")?;
                (reasons, nearest)
            }
            Some(TestAnswer::Overridden { by, reasons, nearest, .. }) => {
                write!(f, "refused today, done by the word of {} ({}).", by.name(), by.reason())?;
                (reasons, nearest)
            }
        };
        for refusal in reasons {
            write!(f, "\n  {} It opens when {}.", refusal.reason, refusal.opens_when)?;
        }
        if let Some(why) = &self.no_override {
            write!(f, "\n  The override does not do: {why}.")?;
        }
        if let Some(nearest) = nearest {
            let place = of_what(nearest.limb, nearest.direction.map(measurement::StanceDirection::name));
            write!(f, "\n  Nearest test that is open: {}, {place}.", nearest.name)?;
        }
        Ok(())
    }
}
