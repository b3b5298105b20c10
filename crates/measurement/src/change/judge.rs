//! The probabilities behind a verdict.

use super::{Change, Context, Estimate, Note, Verdict, Way, judged};
use crate::figures::figure;
use crate::reliability::Reliability;
use crate::session::Reading;
use crate::statistics::change::{change, error_of_difference};
use crate::statistics::distribution::normal;
use crate::statistics::error_of_measurement::of_mean_of_sessions;
use crate::statistics::many::{Correction, chance_of_any, corrected_z};
use crate::statistics::true_score::{Group, drift, true_score};
use crate::statistics::{Confidence, Problem};
use crate::unit::Scale;

/// Probability of the direction, and of more than what matters, against one expectation.
struct Chances {
    direction: f64,
    beyond: Option<f64>,
}

pub(super) fn judge(
    baseline: &Reading,
    retest: &Reading,
    reliability: &Reliability,
    important: Option<f64>,
    context: &Context,
) -> Result<Change, Problem> {
    // A symmetry is better when higher, whatever the test; a difference of sides as the test.
    let toward = baseline.instrument.instrument().better.sign(baseline.scale);
    // The larger error of the two values stands for both.
    let sem = reliability.error.at(baseline.value).max(reliability.error.at(retest.value));
    let error = error_of_difference(
        of_mean_of_sessions(sem, usize::from(baseline.days))?,
        of_mean_of_sessions(sem, usize::from(retest.days))?,
    )?;
    let seen = change(toward * judged(baseline), toward * judged(retest), context.practice, error)?;
    let way = match seen.difference {
        d if d > 0.0 => Way::Better,
        d if d < 0.0 => Way::Worse,
        _ => Way::Neither,
    };
    let sign = if way == Way::Worse { -1.0 } else { 1.0 };
    let mut notes = Vec::new();

    let about =
        |tails: crate::statistics::distribution::Tails| if sign > 0.0 { tails.upper } else { tails.lower };
    let mut chances = Chances {
        direction: about(seen.true_change_about(0.0)?),
        beyond: important.map(|m| seen.true_change_about(sign * m).map(about)).transpose()?,
    };
    if let Some(prior) = context.usual_change {
        let shrunk = seen.with_prior(prior)?;
        chances = chances.and(Chances {
            direction: about(shrunk.true_change_about(0.0)?),
            beyond: important.map(|m| shrunk.true_change_about(sign * m).map(about)).transpose()?,
        });
        notes.push(Note::DrawnToUsual { weight: shrunk.weight });
    }
    if let Some(group) = context.group {
        let against = against_the_group(toward, baseline, retest, group, context.practice, sign, important)?;
        chances = chances.and(against);
        let expected = drift(baseline.value, group)?;
        if expected * toward * sign > 0.0 {
            notes.push(Note::RegressionToTheMean { expected });
        }
    }

    let needed_for_real = bar("real_at_least", context.comparisons)?;
    let needed_for_probable = bar("probable_at_least", context.comparisons)?;
    let level = Confidence::share(figure("detectable_level"))?;
    let detectable = level.z() * error;
    if context.comparisons > 1 {
        let false_alarm = chance_of_any(context.comparisons, level)?;
        notes.push(Note::SeveralLooks { comparisons: context.comparisons, false_alarm });
    }
    if context.practice != 0.0 {
        notes.push(Note::PracticeTakenOff { amount: context.practice });
    }
    match important {
        None => notes.push(Note::ImportantUnknown),
        Some(m) if m < detectable => notes.push(Note::ImportantBelowError),
        Some(_) => {}
    }
    // Nobody can change by more than the test has room for.
    if let (Some(m), Some(_)) = (important, chances.beyond)
        && room(baseline, toward * sign) < m
    {
        chances.beyond = Some(0.0);
    }
    let large = chances.beyond.is_some_and(|p| p >= figure("large_at_least"));
    let verdict = if chances.direction >= needed_for_real && large {
        Verdict::RealAndLarge
    } else if chances.direction >= needed_for_probable {
        Verdict::ProbablyReal
    } else {
        Verdict::WithinNoise
    };
    Ok(Change {
        verdict,
        way,
        unit: baseline.unit,
        scale: baseline.scale,
        estimate: Some(Estimate {
            difference: judged(retest) - judged(baseline),
            error,
            detectable,
            detectable_together: z_of(needed_for_real)?.max(level.z()) * error,
            level: level.in_share(),
            important,
            direction: chances.direction,
            beyond_important: chances.beyond,
            needed_for_real,
            needed_for_probable,
        }),
        because: None,
        error_from: Some(format!("{} ({})", reliability.words, reliability.cite())),
        notes,
    })
}

impl Chances {
    /// The more cautious of two.
    fn and(self, other: Self) -> Self {
        Self {
            direction: self.direction.min(other.direction),
            beyond: self.beyond.zip(other.beyond).map(|(one, two)| one.min(two)),
        }
    }
}

/// Against what an unchanged member of the group would show: retest − T̂ with the error of a retest.
fn against_the_group(
    toward: f64,
    baseline: &Reading,
    retest: &Reading,
    group: Group,
    practice: f64,
    sign: f64,
    important: Option<f64>,
) -> Result<Chances, Problem> {
    let expected = true_score(baseline.value, 1, group, Confidence::P95)?;
    let gained = sign * (toward * (retest.value - expected.estimate) - practice);
    let of = |amount: f64| -> Result<f64, Problem> {
        Ok(normal((gained - amount) / expected.retest_error)?.lower)
    };
    Ok(Chances { direction: of(0.0)?, beyond: important.map(of).transpose()? })
}

/// How far a value can go up (positive) or down on the scale it was measured on; no end on any other scale.
fn room(from: &Reading, direction: f64) -> f64 {
    let test = from.instrument.instrument();
    match (from.scale, direction > 0.0) {
        (Scale::Raw, true) => test.most - from.value,
        (Scale::Raw, false) => from.value - test.least,
        _ => f64::INFINITY,
    }
}

/// How many errors away a probability of the direction lies.
fn z_of(direction: f64) -> Result<f64, Problem> {
    Ok(Confidence::share(2.0 * direction - 1.0)?.z())
}

/// A named probability of the direction, raised by Šidák's rule so that all comparisons together keep it.
fn bar(key: &str, comparisons: usize) -> Result<f64, Problem> {
    let alone = figure(key);
    if comparisons <= 1 {
        return Ok(alone);
    }
    let both_sides = Confidence::share(2.0 * alone - 1.0)?;
    Ok(normal(corrected_z(comparisons, both_sides, Correction::Sidak)?)?.lower)
}
