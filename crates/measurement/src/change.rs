//! Two results of one test beside its error: is the change real, and is it large enough to matter?

mod judge;
mod words;

pub(crate) use words::said;

use serde::Serialize;

use crate::important::ImportantChange;
use crate::instrument::{Better, ScoreForm};
use crate::protocol::ProtocolMatch;
use crate::reliability::{CannotSayError, Reliability};
use crate::score::Bound;
use crate::session::{NoReading, Reading, Session};
use crate::statistics::change::Prior;
use crate::statistics::many::{bias_of_best, expected_largest};
use crate::statistics::true_score::Group;
use crate::unit::{Scale, Unit};

/// The verdict. Never a bare yes: direction and probabilities stand beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The direction is as good as certain and the amount probably matters to the person.
    RealAndLarge,
    /// The direction is probable.
    ProbablyReal,
    /// Such a difference is common when nothing changed. It does not show that nothing changed.
    WithinNoise,
    /// The two results, or the error of the test, do not allow an answer.
    CannotSay,
}

/// Which way it went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// Toward better.
    Better,
    /// Toward worse.
    Worse,
    /// Neither, or nobody knows.
    Neither,
}

/// What is known beside the two results.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Context {
    /// How many directions, limbs or tests are looked at together; 1 for one.
    pub comparisons: usize,
    /// What doing the test again alone gains, toward better, on the scale; 0 where none is known.
    pub practice: f64,
    /// How people like this usually change, in the unit of the scale, better positive.
    pub usual_change: Option<Prior>,
    /// The reference group whose extremes drift to the middle: the patient's own, on the scale.
    pub group: Option<Group>,
}

impl Context {
    /// One comparison, and nothing known beside it.
    pub const ALONE: Self = Self { comparisons: 1, practice: 0.0, usual_change: None, group: None };
}

/// What was computed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Estimate {
    /// Retest less baseline, in the unit of the scale.
    pub difference: f64,
    /// Standard deviation of such a difference where nothing changed.
    pub error: f64,
    /// Smallest change that is more than error, at `level`; for one comparison.
    pub detectable: f64,
    /// The same, raised for all comparisons that were looked at together; equal for one.
    pub detectable_together: f64,
    /// Confidence of the detectable change, as a share.
    pub level: f64,
    /// What matters to people, in the unit of the scale; none where nobody asked them.
    pub important: Option<f64>,
    /// Probability that the true change goes the way it seems to.
    pub direction: f64,
    /// Probability that it goes that way by more than what matters.
    pub beyond_important: Option<f64>,
    /// What `direction` must reach for "real", raised for several comparisons.
    pub needed_for_real: f64,
    /// What `direction` must reach for "probably real", raised likewise.
    pub needed_for_probable: f64,
}

/// The answer about one change.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// The verdict.
    pub verdict: Verdict,
    /// Which way it went.
    pub way: Way,
    /// Unit and scale of the figures.
    pub unit: Unit,
    /// The scale.
    pub scale: Scale,
    /// What was computed; none when nothing can be said.
    pub estimate: Option<Estimate>,
    /// Why nothing can be said.
    pub because: Option<NotComparable>,
    /// The error that was used, in words with its source.
    pub error_from: Option<String>,
    /// What to know beside it.
    pub notes: Vec<Note>,
}

/// Why two results are not compared.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "because", rename_all = "snake_case")]
pub enum NotComparable {
    /// Different tests, scales, limbs or directions.
    OtherThing {
        /// What differs, in words.
        what: &'static str,
    },
    /// The score forms differ.
    OtherForm {
        /// At baseline.
        baseline: ScoreForm,
        /// At retest.
        retest: ScoreForm,
        /// How far chance alone moves the retest, in the unit of the scale, where that is known.
        chance: Option<f64>,
    },
    /// The protocols differ, or a needed field was not recorded.
    Protocol {
        /// How.
        how: ProtocolMatch,
    },
    /// The retest does not lie after the baseline.
    NotLater,
    /// A result is only a lower limit.
    Capped,
    /// On one of the days there is no value.
    NoReading {
        /// `baseline` or `retest`.
        when: &'static str,
        /// Why.
        why: NoReading,
    },
    /// The answer serves as an anchor only.
    AnchorOnly,
    /// Which way is better is not known.
    NoBetterWay,
    /// There is no error of measurement that fits.
    NoError {
        /// Why, in words.
        why: String,
    },
    /// The figures do not allow the computation.
    NotComputable {
        /// Why, in words.
        why: String,
    },
}

/// What to know beside a verdict.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "note", rename_all = "snake_case")]
pub enum Note {
    /// Several were looked at, so the bar is higher.
    SeveralLooks {
        /// How many.
        comparisons: usize,
        /// Chance of at least one false "real" among them without the higher bar.
        false_alarm: f64,
    },
    /// A low first value rises by itself.
    RegressionToTheMean {
        /// How much of the change is expected with no treatment, in the unit of the scale.
        expected: f64,
    },
    /// What usually happens was taken into account.
    DrawnToUsual {
        /// The share that the measurement has.
        weight: f64,
    },
    /// What matters is smaller than the error of the test: only the error decides what is real.
    ImportantBelowError,
    /// Nobody asked patients what matters in this test.
    ImportantUnknown,
    /// Learning was taken off.
    PracticeTakenOff {
        /// How much, in the unit of the scale.
        amount: f64,
    },
    /// A best of several trials lies above their mean.
    BestOfSeveral {
        /// How many.
        trials: u8,
        /// By how much on average, in the unit of the scale, where the spread of the trials is known.
        above_mean: Option<f64>,
    },
    /// Two people measured, and the error was found with one.
    OtherRater,
    /// One value lies at the end of what the test can show.
    AtTheEnd,
    /// A result is the mean of several days.
    DaysAveraged {
        /// How many at most.
        days: u8,
    },
    /// Above 100 % of the other side more is no longer better, so it was judged up to 100.
    UpToTheOtherSide,
}

/// Compares two results of one test.
///
/// d = retest − baseline, turned so that better is positive, less practice. With the error e of a difference
/// (√(SEM₁² + SEM₂²), a session averaged over k days counting SEM/√k) the probability that the true change goes
/// the way it seems is Φ(|d|/e), and that it exceeds what matters Φ((|d| − m)/e). Where it is known how people
/// usually change, or to which group the person belongs, the same probabilities are computed against those, and
/// the most cautious one is used. For several looks the bar is raised by Šidák's rule.
///
/// Assumes normal errors, the same on both days. "Within noise" does not show that nothing changed.
#[must_use]
pub fn compare(
    baseline: &Reading,
    retest: &Reading,
    reliability: Result<&Reliability, &CannotSayError>,
    important: Option<&ImportantChange>,
    context: &Context,
) -> Change {
    if let Some(because) = not_comparable(baseline, retest) {
        return cannot(baseline, way_of(baseline, retest), because);
    }
    let reliability = match reliability {
        Ok(found) => found,
        Err(none) => {
            let because = NotComparable::NoError { why: none.to_string() };
            return cannot(baseline, way_of(baseline, retest), because);
        }
    };
    if let Some(why) = does_not_fit(baseline, reliability) {
        return cannot(baseline, way_of(baseline, retest), NotComparable::NoError { why: why.to_owned() });
    }
    let important = important
        .filter(|row| (row.instrument, row.scale) == (baseline.instrument, baseline.scale))
        .map(|row| row.from_baseline(baseline.value));
    match judge::judge(baseline, retest, reliability, important, context) {
        Ok(mut change) => {
            change.notes.extend(notes(baseline, retest, reliability));
            change
        }
        Err(problem) => {
            let because = NotComparable::NotComputable { why: problem.to_string() };
            cannot(baseline, way_of(baseline, retest), because)
        }
    }
}

/// Compares two days of one test on a scale of one limb; a day without a value is an answer too.
#[must_use]
pub fn compare_sessions(
    baseline: &Session,
    retest: &Session,
    scale: Scale,
    reliability: Result<&Reliability, &CannotSayError>,
    important: Option<&ImportantChange>,
    context: &Context,
) -> Change {
    let unit = scale.unit(baseline.instrument().instrument().unit);
    let none = |way, when, why| Change {
        verdict: Verdict::CannotSay,
        way,
        unit,
        scale,
        estimate: None,
        because: Some(NotComparable::NoReading { when, why }),
        error_from: None,
        notes: Vec::new(),
    };
    match (baseline.reading(scale), retest.reading(scale)) {
        (Ok(before), Ok(after)) => compare(&before, &after, reliability, important, context),
        (Err(NoReading::NotPossible), Ok(_)) => none(Way::Better, "baseline", NoReading::NotPossible),
        (Ok(_), Err(NoReading::NotPossible)) => none(Way::Worse, "retest", NoReading::NotPossible),
        (Err(why), _) => none(Way::Neither, "baseline", why),
        (_, Err(why)) => none(Way::Neither, "retest", why),
    }
}

/// Two results with the error and the amount that belong to them.
#[derive(Clone, Copy, Debug)]
pub struct Pair<'a> {
    /// The first.
    pub baseline: &'a Reading,
    /// The later one.
    pub retest: &'a Reading,
    /// The error of the test, or why there is none.
    pub reliability: Result<&'a Reliability, &'a CannotSayError>,
    /// What matters to patients, where it is known.
    pub important: Option<&'a ImportantChange>,
}

/// Compares several directions, limbs or tests of the same two days, each with the bar raised for all that can
/// be compared.
#[must_use]
pub fn compare_together(pairs: &[Pair<'_>], context: &Context) -> Vec<Change> {
    let comparable = pairs.iter().filter(|pair| not_comparable(pair.baseline, pair.retest).is_none()).count();
    let together = Context { comparisons: context.comparisons.max(comparable).max(1), ..*context };
    pairs
        .iter()
        .map(|pair| compare(pair.baseline, pair.retest, pair.reliability, pair.important, &together))
        .collect()
}

fn cannot(baseline: &Reading, way: Way, because: NotComparable) -> Change {
    Change {
        verdict: Verdict::CannotSay,
        way,
        unit: baseline.unit,
        scale: baseline.scale,
        estimate: None,
        because: Some(because),
        error_from: None,
        notes: Vec::new(),
    }
}

/// The first thing that must agree and does not.
pub(crate) fn not_comparable(baseline: &Reading, retest: &Reading) -> Option<NotComparable> {
    let test = baseline.instrument.instrument();
    let other = |what| Some(NotComparable::OtherThing { what });
    if baseline.instrument != retest.instrument {
        return other("the tests");
    }
    if (baseline.scale, baseline.unit) != (retest.scale, retest.unit) {
        return other("the scales");
    }
    if baseline.side != retest.side {
        return other("the limbs");
    }
    if baseline.direction != retest.direction {
        return other("the directions");
    }
    if test.anchor_only {
        return Some(NotComparable::AnchorOnly);
    }
    if test.better == Better::Neither {
        return Some(NotComparable::NoBetterWay);
    }
    if retest.date <= baseline.date {
        return Some(NotComparable::NotLater);
    }
    if baseline.form != retest.form {
        let chance = chance_between(baseline, retest);
        return Some(NotComparable::OtherForm { baseline: baseline.form, retest: retest.form, chance });
    }
    match baseline.protocol.matches(&retest.protocol, test) {
        ProtocolMatch::Same => {}
        how => return Some(NotComparable::Protocol { how }),
    }
    let capped = baseline.bound == Bound::AtLeast || retest.bound == Bound::AtLeast;
    capped.then_some(NotComparable::Capped)
}

/// How far a best of another number of trials lies away by chance alone: (E[max of n₂] − E[max of n₁]) · SD.
fn chance_between(baseline: &Reading, retest: &Reading) -> Option<f64> {
    let largest = |form| match form {
        ScoreForm::BestOf(n) => expected_largest(usize::from(n)).ok(),
        _ => Some(0.0),
    };
    let spread = baseline.trial_spread.or(retest.trial_spread)?;
    Some((largest(retest.form)? - largest(baseline.form)?) * spread)
}

/// Why an error of measurement cannot speak for a reading.
fn does_not_fit(reading: &Reading, reliability: &Reliability) -> Option<&'static str> {
    if reliability.instrument != reading.instrument || reliability.scale != reading.scale {
        return Some("the error given belongs to another test or scale; choose one for this reading");
    }
    if reliability.direction.is_some() && reliability.direction != reading.direction {
        return Some("the error given belongs to another direction; choose one for this reading");
    }
    if !reliability.forms.is_empty() && !reliability.forms.contains(&reading.form) {
        return Some("the error given belongs to another score form; choose one for this reading");
    }
    None
}

/// A value as it is judged: a limb that has caught up with the other is as good as the other, not better.
pub(crate) fn judged(reading: &Reading) -> f64 {
    const ALIKE: f64 = 100.0;
    if reading.scale == Scale::Symmetry { reading.value.min(ALIKE) } else { reading.value }
}

/// Which way the plain values went.
fn way_of(baseline: &Reading, retest: &Reading) -> Way {
    let test = baseline.instrument.instrument();
    let alike = (baseline.instrument, baseline.scale) == (retest.instrument, retest.scale);
    let better = test.better.sign(baseline.scale);
    let difference = better * (judged(retest) - judged(baseline));
    let both_capped = baseline.bound == Bound::AtLeast && retest.bound == Bound::AtLeast;
    if !alike || both_capped || difference.is_nan() || difference == 0.0 {
        Way::Neither
    } else if difference > 0.0 {
        Way::Better
    } else {
        Way::Worse
    }
}

fn notes(baseline: &Reading, retest: &Reading, reliability: &Reliability) -> Vec<Note> {
    let mut notes = Vec::new();
    let days = baseline.days.max(retest.days);
    if days > 1 {
        notes.push(Note::DaysAveraged { days });
    }
    if baseline.scale == Scale::Symmetry
        && baseline.value.max(retest.value) > judged(baseline).max(judged(retest))
    {
        notes.push(Note::UpToTheOtherSide);
    }
    if let ScoreForm::BestOf(trials) = baseline.form {
        let spread = baseline.trial_spread.or(retest.trial_spread);
        let above_mean = spread.and_then(|spread| bias_of_best(usize::from(trials), spread.abs()).ok());
        notes.push(Note::BestOfSeveral { trials, above_mean });
    }
    let two = matches!((&baseline.rater, &retest.rater), (Some(one), Some(other)) if one != other);
    if two && reliability.raters == crate::Raters::Same {
        notes.push(Note::OtherRater);
    }
    let test = baseline.instrument.instrument();
    let at_end = |value: f64| value <= test.least || value >= test.most;
    if baseline.scale == Scale::Raw && (at_end(baseline.value) || at_end(retest.value)) {
        notes.push(Note::AtTheEnd);
    }
    notes
}
