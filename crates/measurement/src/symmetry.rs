//! One limb beside the other, and beside what the other could do before the injury.

use serde::Serialize;

use crate::instrument::{Better, InstrumentKey, LimbComparison, ScoreForm};
use crate::score::{Bound, Score};
use crate::statistics::change::error_of_difference;
use crate::statistics::ratio::{Fieller, Measured, ratio};
use crate::statistics::{Confidence, Interval, Problem};
use crate::unit::{Scale, Unit};

/// How two limbs compare. Both raw values always come along: a ratio alone hides that both limbs may be weak.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Symmetry {
    /// The test.
    pub instrument: InstrumentKey,
    /// The score form of both.
    pub form: ScoreForm,
    /// [`Scale::Symmetry`] or [`Scale::SideDifference`].
    pub scale: Scale,
    /// The value, in `unit`. Per cent below 100 is always worse, also for timed tests.
    pub value: f64,
    /// Per cent, or the unit of the test.
    pub unit: Unit,
    /// The involved limb, as measured.
    pub involved: f64,
    /// What it is compared with, as measured.
    pub reference: f64,
}

/// Why two results are not compared.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SymmetryError {
    /// The test has no other limb.
    #[error("`{test}` is not compared between limbs")]
    NotOffered {
        /// The test in words.
        test: String,
    },
    /// Different tests or score forms.
    #[error("`{one}` is not compared with `{other}`; measure both limbs by one test in one form")]
    Different {
        /// One of the two.
        one: String,
        /// The other.
        other: String,
    },
    /// A value at the cap is a lower limit.
    #[error("`{test}` was stopped at its cap, which is only a lower limit; the limbs are not compared")]
    Capped {
        /// The test in words.
        test: String,
    },
    /// Nothing to divide by.
    #[error(
        "the value to divide by is `{given}`; a share of that means nothing, record `not possible` where it was not possible"
    )]
    Zero {
        /// What was given.
        given: f64,
    },
}

fn alike(one: &Score, other: &Score) -> Result<(), SymmetryError> {
    if (one.instrument, one.form) != (other.instrument, other.form) {
        let said = |score: &Score| format!("{}, {}", score.test().name, score.form);
        return Err(SymmetryError::Different { one: said(one), other: said(other) });
    }
    if one.bound == Bound::AtLeast || other.bound == Bound::AtLeast {
        return Err(SymmetryError::Capped { test: one.test().name.clone() });
    }
    Ok(())
}

/// 100 times a value over another, refused where the other is not positive or the share overflows.
fn percent(value: f64, of: f64) -> Result<f64, SymmetryError> {
    let share = 100.0 * value / of;
    if of > 0.0 && share.is_finite() { Ok(share) } else { Err(SymmetryError::Zero { given: of }) }
}

/// Sets the involved limb beside the other, in the way of the test.
///
/// Ratio: 100·involved/uninvolved. Timed: 100·uninvolved/involved. Otherwise involved minus uninvolved.
/// A ratio says nothing about either limb alone; early after an injury the other limb is reduced too.
///
/// # Errors
/// When the two are not one test in one form, one is a lower limit, or there is nothing to divide by.
pub fn symmetry(involved: &Score, uninvolved: &Score) -> Result<Symmetry, SymmetryError> {
    alike(involved, uninvolved)?;
    let test = involved.test();
    let (scale, value) = match test.limbs {
        LimbComparison::Ratio => (Scale::Symmetry, percent(involved.value, uninvolved.value)?),
        LimbComparison::InvertedRatio => (Scale::Symmetry, percent(uninvolved.value, involved.value)?),
        LimbComparison::Difference => (Scale::SideDifference, involved.value - uninvolved.value),
        LimbComparison::None => return Err(SymmetryError::NotOffered { test: test.name.clone() }),
    };
    Ok(Symmetry {
        instrument: involved.instrument,
        form: involved.form,
        scale,
        value,
        unit: scale.unit(test.unit),
        involved: involved.value,
        reference: uninvolved.value,
    })
}

/// The interval of a symmetry, in per cent or in the unit of the test, from the error of each limb.
///
/// A ratio by Fieller's theorem, whose interval may be one-sided or everything; a difference as
/// value ± z·√(e₁² + e₂²). Errors that both limbs share on one day are not in it.
///
/// # Errors
/// When an error is no number, or there is nothing to divide by.
pub fn symmetry_interval(
    of: &Symmetry,
    error_involved: f64,
    error_reference: f64,
    confidence: Confidence,
) -> Result<Fieller, Problem> {
    let involved = Measured { value: of.involved, error: error_involved };
    let reference = Measured { value: of.reference, error: error_reference };
    if of.scale == Scale::SideDifference {
        let half = confidence.z() * error_of_difference(error_involved, error_reference)?;
        return Ok(Fieller::Bounded(Interval { lower: of.value - half, upper: of.value + half }));
    }
    let inverted = of.instrument.instrument().limbs == LimbComparison::InvertedRatio;
    let (first, second) = if inverted { (reference, involved) } else { (involved, reference) };
    let percent = |i: Interval| Interval { lower: 100.0 * i.lower, upper: 100.0 * i.upper };
    Ok(match ratio(first, second, confidence)?.fieller {
        Fieller::Bounded(interval) => Fieller::Bounded(percent(interval)),
        Fieller::AllBut(interval) => Fieller::AllBut(percent(interval)),
        Fieller::Any => Fieller::Any,
    })
}

/// Estimated capacity before the injury: the involved limb now beside the other limb BEFORE the operation.
///
/// An estimate from the other limb, not a measurement of the injured one before it was hurt.
///
/// # Errors
/// As [`symmetry`]; tests compared by a difference have none.
pub fn capacity_before_injury(
    involved_now: &Score,
    uninvolved_before: &Score,
) -> Result<Symmetry, SymmetryError> {
    let result = symmetry(involved_now, uninvolved_before)?;
    if result.scale == Scale::Symmetry {
        Ok(result)
    } else {
        Err(SymmetryError::NotOffered { test: involved_now.test().name.clone() })
    }
}

/// The mean limb symmetry of the four hop tests, each given once.
///
/// # Errors
/// When it is not exactly the single, triple, crossover and timed hop in one score form.
pub fn hop_battery(parts: &[Symmetry]) -> Result<Score, SymmetryError> {
    let mut keys: Vec<&str> = parts.iter().map(|part| part.instrument.as_str()).collect();
    keys.sort_unstable();
    let wanted = ["crossover_hop", "single_hop", "timed_hop", "triple_hop"];
    let forms: std::collections::BTreeSet<ScoreForm> = parts.iter().map(|part| part.form).collect();
    let Some(form) = forms.first().copied().filter(|_| keys == wanted && forms.len() == 1) else {
        let forms = forms.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        return Err(SymmetryError::Different {
            one: format!("{} ({forms})", keys.join(", ")),
            other: format!("{} in one form", wanted.join(", ")),
        });
    };
    let used: Vec<f64> = parts.iter().map(|part| part.value).collect();
    Ok(Score {
        instrument: InstrumentKey::find("hop_battery").expect("the battery is a test"),
        form,
        value: used.iter().sum::<f64>() / used.len() as f64,
        bound: Bound::Exact,
        raw: Vec::new(),
        used,
        cautions: Vec::new(),
    })
}

/// One test as a share of another of the same limb, such as knee flexion of knee extension.
///
/// # Errors
/// When the units differ, less is better in one of them, one is a lower limit, or the other is not positive.
pub fn share_of(part: &Score, whole: &Score) -> Result<f64, SymmetryError> {
    let (one, other) = (part.test(), whole.test());
    if one.unit != other.unit || one.better != Better::Higher || other.better != Better::Higher {
        return Err(SymmetryError::Different { one: one.name.clone(), other: other.name.clone() });
    }
    if let Some(capped) = [part, whole].into_iter().find(|score| score.bound == Bound::AtLeast) {
        return Err(SymmetryError::Capped { test: capped.test().name.clone() });
    }
    percent(part.value, whole.value)
}
