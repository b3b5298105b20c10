//! Which tests may be offered to one person today: a test is a movement and passes the same gates.
//!
//! Each test that is done stands for movements of the vocabulary (`reference/test_gates.toml`), never easier
//! ones than the test. A test of the furthest reach has no distance before it is done, so its direction is
//! followed outward: open to the body's own end it is offered without a limit; ended by a rule it is offered
//! up to there, *stop there*; closed it is refused with every reason and the nearest test that is open. What
//! is no floor movement (rising, a lunge at the wall, a push against a device) is asked of the orders and
//! limits it would meet. What a person answers is always open. Under an alert nothing is.

mod floor;
mod look;
mod overrule;
mod table;
mod text;

use anatomy::Side;
use jiff::civil::Date;
use measurement::{InstrumentKey, Per, StanceDirection};
use person::{CaseFile, Condition, Finding};
use quantity::Length;
use safety::{Alert, Layer, Note, Ray, Refusal};
use serde::Serialize;

pub use overrule::{Override, OverrideError};

use self::look::{Asker, Look, Which, every};
use crate::progress::Shown;
use crate::survey::{on_all_cores, try_on_all_cores};
use crate::{Part, PersonToday, Progress, Watch};

/// Something to mind where a test is offered.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Caution {
    /// The rule, or `TEST`, `WAY`, `PART`, `NOT-FOR` for what goes with the test itself.
    pub rule: String,
    /// What to mind.
    pub words: String,
}

impl std::fmt::Display for Caution {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({})", self.words, self.rule)
    }
}

/// A test that may be offered instead.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Nearest {
    /// Which test.
    pub instrument: InstrumentKey,
    /// Its name.
    pub name: String,
    /// The limb; absent for a test of the person.
    pub limb: Option<Side>,
    /// The direction, named from the standing limb.
    pub direction: Option<StanceDirection>,
    /// Where to stop, when it stops.
    pub up_to: Option<Length>,
}

/// What today's findings make of one test.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "answer", rename_all = "snake_case")]
pub enum TestAnswer {
    /// It may be done.
    Offered {
        /// For hops: how far the first one goes at most; further only landing by landing.
        first: Option<Length>,
        /// Stop there; absent where only the body itself ends it. A result at the stop is a lower limit.
        /// For a reach as the tape that begins at the standing foot shows it, never more than was checked.
        up_to: Option<Length>,
        /// What to mind.
        cautions: Vec<Caution>,
    },
    /// It may not.
    Refused {
        /// Every reason, what a joint would do first; never empty.
        reasons: Vec<Refusal>,
        /// Whose orders are among the reasons.
        ordered_by: Vec<String>,
        /// What may be done instead.
        nearest: Option<Nearest>,
    },
    /// It may not, and a clinician decided to do it all the same.
    Overridden {
        /// Who, why, when.
        by: Override,
        /// Every reason against it.
        reasons: Vec<Refusal>,
        /// Whose orders are among the reasons.
        ordered_by: Vec<String>,
        /// What may be done instead.
        nearest: Option<Nearest>,
    },
}

/// One test of one person today, with its limb and direction where it has them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TestToday {
    /// Which test.
    pub instrument: InstrumentKey,
    /// Its name.
    pub name: String,
    /// The tested limb, which stands in a reach; absent for a test of the person.
    pub limb: Option<Side>,
    /// The direction, named from the standing limb.
    pub direction: Option<StanceDirection>,
    /// The day it was worked out for.
    pub on: Date,
    /// The answer.
    #[serde(flatten)]
    pub answer: TestAnswer,
}

impl TestToday {
    /// Whether it may be done without anybody's word.
    #[must_use]
    pub fn is_offered(&self) -> bool {
        matches!(self.answer, TestAnswer::Offered { .. })
    }

    /// The reasons against it, empty where it is offered.
    #[must_use]
    pub fn reasons(&self) -> &[Refusal] {
        match &self.answer {
            TestAnswer::Offered { .. } => &[],
            TestAnswer::Refused { reasons, .. } | TestAnswer::Overridden { reasons, .. } => reasons,
        }
    }
}

/// Every test of one person on one day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TestsToday {
    /// The person.
    pub person: String,
    /// Whether the person is invented.
    pub invented: bool,
    /// The day.
    pub on: Date,
    /// The alert: then there are no tests.
    pub alert: Option<Alert>,
    /// What goes with everything today, such as a looser order or a swollen knee.
    pub notes: Vec<Note>,
    /// Each test, limb and direction, in the order of the keys.
    pub tests: Vec<TestToday>,
}

impl TestsToday {
    /// One of them.
    #[must_use]
    pub fn of(
        &self,
        instrument: InstrumentKey,
        limb: Option<Side>,
        direction: Option<StanceDirection>,
    ) -> Option<&TestToday> {
        self.tests.iter().find(|t| (t.instrument, t.limb, t.direction) == (instrument, limb, direction))
    }
}

/// Why one test has no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OneTestError {
    /// A red flag: the alert and nothing else may be shown.
    #[error("{0}")]
    Alert(Alert),
    /// The limb does not go with the test.
    #[error("`{test}` {}; {} was given", if *.wanted { "is of one limb: left or right" } else { "is of the person and takes no limb" }, .given.map_or_else(|| "none".to_owned(), |side| format!("`{side}`")))]
    Limb {
        /// The test.
        test: InstrumentKey,
        /// Whether it is of a limb.
        wanted: bool,
        /// What was given.
        given: Option<Side>,
    },
    /// The direction does not go with the test.
    #[error("`{test}` has no direction `{}`; accepted: {}", .given.map_or("none", StanceDirection::name), accepted(*.test))]
    Direction {
        /// The test.
        test: InstrumentKey,
        /// What was given.
        given: Option<StanceDirection>,
    },
}

fn accepted(test: InstrumentKey) -> String {
    let names: Vec<&str> = test.instrument().directions.iter().map(|d| d.name()).collect();
    if names.is_empty() { "none, it takes no direction".to_owned() } else { names.join(", ") }
}

/// Every test for one person today. The same case on the same day gives the same answer.
#[must_use]
pub fn tests_today(case: &CaseFile, today: Date, progress: Progress<'_>) -> TestsToday {
    let Ok(tests) = tests_watched(case, today, &Shown(progress));
    tests
}

/// As [`tests_today`], for somebody who may stop it.
///
/// # Errors
/// It was stopped.
pub fn tests_watched<W: Watch>(case: &CaseFile, today: Date, watch: &W) -> Result<TestsToday, W::Stop> {
    let person = PersonToday::of(case, today);
    let mut out = TestsToday {
        person: case.person.name.clone(),
        invented: case.invented,
        on: today,
        alert: person.allowed.alert().cloned(),
        notes: Vec::new(),
        tests: Vec::new(),
    };
    if out.alert.is_some() {
        return Ok(out);
    }
    out.notes = person.allowed.notes().to_vec();
    let asker = Asker::of(&person);
    let all: Vec<Which> = InstrumentKey::all().flat_map(every).collect();
    let rays = rays(&all);
    let of = rays.len();
    let done = std::sync::atomic::AtomicUsize::new(0);
    try_on_all_cores(&rays, |ray| {
        asker.surveyed(ray);
        watch.on(Part::Survey { done: done.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1, of })
    })?;
    on_all_cores(&all, |which| {
        asker.look(*which);
    });
    out.tests = all.iter().map(|which| answer(&asker, *which)).collect();
    Ok(out)
}

/// One test for one person today, without looking at the others but to find the nearest.
///
/// # Errors
/// A red flag is present, or limb and direction do not go with the test.
pub fn one_test(
    case: &CaseFile,
    today: Date,
    instrument: InstrumentKey,
    limb: Option<Side>,
    direction: Option<StanceDirection>,
) -> Result<TestToday, OneTestError> {
    let test = instrument.instrument();
    let wanted = test.per != Per::Person;
    if limb.is_some() != wanted {
        return Err(OneTestError::Limb { test: instrument, wanted, given: limb });
    }
    let goes = direction.map_or(test.directions.is_empty(), |to| test.directions.contains(&to));
    if !goes {
        return Err(OneTestError::Direction { test: instrument, given: direction });
    }
    let person = PersonToday::of(case, today);
    if let Some(alert) = person.allowed.alert() {
        return Err(OneTestError::Alert(alert.clone()));
    }
    Ok(answer(&Asker::of(&person), Which { instrument, limb, direction }))
}

/// Every ray that some test follows, once.
fn rays(all: &[Which]) -> Vec<Ray> {
    let mut out: Vec<Ray> = Vec::new();
    for which in all {
        let Some(row) = table::row(which.instrument) else { continue };
        let of = match (row.movement, which.limb, which.direction) {
            (Some(table::As::Reach), Some(limb), Some(to)) => floor::reach_rays(limb, to),
            (Some(table::As::HandReach), ..) => floor::hand_rays(&row.ways),
            _ => Vec::new(),
        };
        for ray in of {
            if !out.contains(&ray) {
                out.push(ray);
            }
        }
    }
    out
}

fn answer(asker: &Asker<'_>, which: Which) -> TestToday {
    let answer = match asker.look(which) {
        Look::Open { first, up_to, cautions } => TestAnswer::Offered { first, up_to, cautions },
        Look::Shut(reasons) => TestAnswer::Refused {
            ordered_by: authors(asker.person.case, &reasons),
            nearest: asker.nearest(which),
            reasons,
        },
    };
    TestToday {
        instrument: which.instrument,
        name: which.instrument.instrument().name.clone(),
        limb: which.limb,
        direction: which.direction,
        on: asker.person.today,
        answer,
    }
}

/// Whose orders are among these reasons: everybody whose word the case records and whom a reason names.
fn authors(case: &CaseFile, reasons: &[Refusal]) -> Vec<String> {
    let found = &case.findings;
    let weight = Side::BOTH.into_iter().filter_map(|side| match found.weight_bearing.get(side) {
        Finding::Found { value, .. } => Some(value.by.as_str()),
        Finding::NotAssessed => None,
    });
    let ceilings = found.conditions.iter().filter_map(|condition| match condition {
        Condition::Other(other) => Some(other.ceiling_by.as_str()),
        _ => None,
    });
    let orders = found.orders.iter().map(|order| order.by.as_str());
    let mut out: Vec<String> = Vec::new();
    for by in orders.chain(weight).chain(ceilings).filter(|by| !by.trim().is_empty()) {
        let named = reasons.iter().any(|r| r.layer == Layer::SurgeonOrder && r.reason.contains(by));
        if named && !out.iter().any(|known| known == by) {
            out.push(by.to_owned());
        }
    }
    out.sort();
    out
}
