//! From trials to a score: one function for every test.

use serde::Serialize;

use crate::instrument::{Better, Instrument, InstrumentKey, MadeFrom, ScoreForm};
use crate::score_error::ScoreError;
use crate::trial::Trial;
use crate::unit::Unit;

/// Everything that was tried on one day, for one limb and one direction.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Attempts {
    /// Unit of the values, which must be the unit of the test.
    pub unit: Unit,
    /// Practice trials before these; `None` when nobody noted it.
    pub practice: Option<u8>,
    /// Every attempt after practice, in the order they were made.
    pub trials: Vec<Trial>,
}

/// Whether a score is what was reached, or a lower limit because the test was stopped at its cap.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Bound {
    /// The value itself.
    Exact,
    /// At least this: a trial reached the cap (right-censored).
    AtLeast,
}

/// What to know beside a score.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "caution", rename_all = "snake_case")]
pub enum Caution {
    /// More valid trials than the form takes; the first ones count.
    LaterTrialsLeftOut {
        /// How many were left out.
        count: usize,
    },
    /// Fewer practice trials than the protocol asks for: scores still rise by learning.
    LittlePractice {
        /// How many were done.
        done: u8,
        /// How many the protocol asks for.
        asked: u8,
    },
    /// Nobody noted how many practice trials there were.
    PracticeNotNoted {
        /// How many the protocol asks for.
        asked: u8,
    },
}

impl std::fmt::Display for Caution {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::LaterTrialsLeftOut { count } => {
                write!(
                    f,
                    "{count} later valid {} kept and not scored, since more trials make a better best",
                    if *count == 1 { "trial is" } else { "trials are" }
                )
            }
            Self::LittlePractice { done, asked } => {
                write!(f, "{done} practice trials instead of {asked}: part of a later gain may be learning")
            }
            Self::PracticeNotNoted { asked } => {
                write!(f, "practice was not noted (asked for: {asked}): part of a later gain may be learning")
            }
        }
    }
}

/// A score with the trials it was made from. Only this crate makes one.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Score {
    /// The test.
    pub instrument: InstrumentKey,
    /// How trials became this number.
    pub form: ScoreForm,
    /// The number, in the unit of the test.
    pub value: f64,
    /// Whether it is a lower limit.
    pub bound: Bound,
    /// The valid trials that were used, in order; a capped one as the cap.
    pub used: Vec<f64>,
    /// Every attempt as it was given.
    pub raw: Vec<Trial>,
    /// What to know beside it.
    pub cautions: Vec<Caution>,
}

/// What became of a test.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "outcome", rename_all = "snake_case")]
pub enum Scored {
    /// A score.
    Score(Score),
    /// Tried and not possible. This is a result of its own, never a zero.
    Unable {
        /// The test.
        instrument: InstrumentKey,
        /// Every attempt as it was given.
        raw: Vec<Trial>,
    },
}

impl Scored {
    /// The score, where there is one.
    #[must_use]
    pub fn score(&self) -> Option<&Score> {
        match self {
            Self::Score(score) => Some(score),
            Self::Unable { .. } => None,
        }
    }
}

impl Score {
    /// The test this is a score of.
    #[must_use]
    pub fn test(&self) -> &'static Instrument {
        self.instrument.instrument()
    }

    /// Sample standard deviation of the trials used, in the unit of the test; `None` below two trials.
    #[must_use]
    pub fn spread(&self) -> Option<f64> {
        let n = self.used.len();
        if n < 2 {
            return None;
        }
        let mean = mean(&self.used);
        let squares: f64 = self.used.iter().map(|value| (value - mean).powi(2)).sum();
        Some((squares / (n - 1) as f64).sqrt())
    }
}

impl std::fmt::Display for Score {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let least = if self.bound == Bound::AtLeast { "at least " } else { "" };
        write!(f, "{least}{} ({})", self.test().unit.say(self.value), self.form)
    }
}

/// Scores what was tried.
///
/// Mean or best of the first valid trials, as many as the form needs; later ones are kept and not used, since
/// the best of more trials is better by chance alone (expected maximum of `n` normal values: 0.85 standard
/// deviations for 3, 1.27 for 6). A trial at the cap makes the score a lower limit. All attempts failing, or
/// as many as the protocol allows, gives [`Scored::Unable`].
///
/// It does not say whether the score is good, and does not normalise ([`crate::normalise`]).
///
/// # Errors
/// [`ScoreError`] names what was given, what is accepted and what to do.
///
/// ```
/// # use measurement::*;
/// let reach = InstrumentKey::find("three_reach").unwrap();
/// let tried = Attempts {
///     unit: Unit::Cm,
///     practice: Some(4),
///     trials: vec![
///         Trial::Valid(63.0),
///         Trial::Invalid(InvalidReason::find("heel_lifted").unwrap()),
///         Trial::Valid(64.0),
///         Trial::Valid(65.0),
///     ],
/// };
/// let Scored::Score(mean) = score(reach, &tried, ScoreForm::MeanOf(3)).unwrap() else { panic!() };
/// let Scored::Score(best) = score(reach, &tried, ScoreForm::BestOf(3)).unwrap() else { panic!() };
/// assert_eq!((mean.value, best.value), (64.0, 65.0));
/// ```
pub fn score(key: InstrumentKey, tried: &Attempts, form: ScoreForm) -> Result<Scored, ScoreError> {
    let test = key.instrument();
    let name = || test.name.clone();
    match test.from {
        MadeFrom::Derived => return Err(ScoreError::Derived { test: name() }),
        MadeFrom::Stored => return Err(ScoreError::StoredOnly { test: name() }),
        MadeFrom::Trials | MadeFrom::Answer | MadeFrom::Items => {}
    }
    if !test.forms.contains(&form) {
        let accepted = test.forms.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        return Err(ScoreError::Form { test: name(), given: form, accepted });
    }
    if tried.unit != test.unit {
        return Err(ScoreError::WrongUnit { test: name(), given: tried.unit, accepted: test.unit });
    }
    let valid = valid(test, &tried.trials)?;
    let Some(used) = chosen(test, form, &valid, &tried.trials)? else {
        return Ok(Scored::Unable { instrument: key, raw: tried.trials.clone() });
    };
    let capped = |value: &f64| test.cap.is_some_and(|cap| *value >= cap);
    let (value, bound) = match (form, test.better) {
        (ScoreForm::BestOf(_), Better::Lower) => (fold(used, f64::min), used.iter().all(capped)),
        (ScoreForm::BestOf(_), _) => (fold(used, f64::max), used.iter().any(capped)),
        _ => (mean(used), used.iter().any(capped)),
    };
    Ok(Scored::Score(Score {
        instrument: key,
        form,
        value,
        bound: if bound { Bound::AtLeast } else { Bound::Exact },
        used: used.to_vec(),
        raw: tried.trials.clone(),
        cautions: cautions(test, tried.practice, valid.len() - used.len()),
    }))
}

/// The mean of one answer on several days: a score of its own, not rounded to whole points.
///
/// # Errors
/// No day, another test among them, or a test that is no answer of the person.
pub fn averaged(days: &[Score]) -> Result<Score, ScoreError> {
    let Some(first) = days.first() else {
        return Err(ScoreError::NoDays);
    };
    let test = first.test();
    if test.from != MadeFrom::Answer || days.iter().any(|day| day.instrument != first.instrument) {
        return Err(ScoreError::NotAveraged { test: test.name.clone() });
    }
    let used: Vec<f64> = days.iter().map(|day| day.value).collect();
    Ok(Score {
        instrument: first.instrument,
        form: first.form,
        value: mean(&used),
        bound: Bound::Exact,
        raw: days.iter().flat_map(|day| day.raw.iter().copied()).collect(),
        used,
        cautions: Vec::new(),
    })
}

/// Takes the total of a questionnaire that was computed elsewhere.
///
/// # Errors
/// When the test is not one of those, or the total lies outside its range.
pub fn stored_score(key: InstrumentKey, total: f64) -> Result<Score, ScoreError> {
    let test = key.instrument();
    if test.from != MadeFrom::Stored {
        return Err(ScoreError::NotStored { test: test.name.clone() });
    }
    check(test, total)?;
    Ok(Score {
        instrument: key,
        form: ScoreForm::Single,
        value: total,
        bound: Bound::Exact,
        used: vec![total],
        raw: vec![Trial::Valid(total)],
        cautions: Vec::new(),
    })
}

/// The valid values, each checked; a capped trial as the cap.
fn valid(test: &Instrument, trials: &[Trial]) -> Result<Vec<f64>, ScoreError> {
    let mut values = Vec::new();
    for trial in trials {
        match *trial {
            Trial::Valid(value) => values.push(check(test, value)?),
            Trial::Capped => {
                values.push(test.cap.ok_or_else(|| ScoreError::NoCap { test: test.name.clone() })?);
            }
            Trial::Invalid(given) if !test.invalid.contains(&given) => {
                return Err(ScoreError::OtherReason {
                    test: test.name.clone(),
                    given,
                    accepted: test.invalid.iter().map(|reason| reason.words()).collect::<Vec<_>>().join(", "),
                });
            }
            Trial::Invalid(_) => {}
            Trial::Unable if !test.unable => {
                return Err(ScoreError::CannotBeUnable { test: test.name.clone() });
            }
            Trial::Unable => {}
        }
    }
    Ok(values)
}

fn check(test: &Instrument, given: f64) -> Result<f64, ScoreError> {
    let (least, most) = (test.least, test.most);
    if !(least..=most).contains(&given) {
        return Err(ScoreError::OutOfRange { test: test.name.clone(), given, least, most, unit: test.unit });
    }
    if test.whole && given.fract() != 0.0 {
        return Err(ScoreError::NotWhole { test: test.name.clone(), given, unit: test.unit });
    }
    Ok(given)
}

/// The values that count, or nothing when the test was not possible.
fn chosen<'a>(
    test: &Instrument,
    form: ScoreForm,
    valid: &'a [f64],
    trials: &[Trial],
) -> Result<Option<&'a [f64]>, ScoreError> {
    let mut needed = form.needs().unwrap_or(test.trials);
    // A best that was stopped at the cap cannot become better by another trial.
    let decided = matches!(form, ScoreForm::BestOf(_)) && test.better == Better::Higher;
    if let Some(at) = valid.iter().position(|value| decided && test.cap.is_some_and(|cap| *value >= cap)) {
        needed = needed.min(u8::try_from(at + 1).unwrap_or(needed));
    }
    if valid.len() >= usize::from(needed) {
        if form.needs().is_none() && valid.len() > usize::from(test.most_trials) {
            let (given, accepted) = (valid.len(), test.most_trials);
            return Err(ScoreError::TooManyItems { test: test.name.clone(), given, accepted });
        }
        return Ok(Some(&valid[..form.needs().map_or(valid.len(), |_| usize::from(needed))]));
    }
    let stopped = test.stop_after_failed.is_some_and(|stop| trials.len() >= usize::from(stop));
    let unable = trials.contains(&Trial::Unable);
    if valid.is_empty() && test.unable && (unable || stopped) {
        return Ok(None);
    }
    let mut reasons: Vec<&str> = trials
        .iter()
        .filter_map(|trial| match trial {
            Trial::Invalid(reason) => Some(reason.words()),
            Trial::Unable => Some("not possible"),
            Trial::Valid(_) | Trial::Capped => None,
        })
        .collect();
    reasons.dedup();
    let failed =
        if reasons.is_empty() { String::new() } else { format!(" (others: {})", reasons.join(", ")) };
    Err(ScoreError::TooFewValid { test: test.name.clone(), form, needed, valid: valid.len(), failed })
}

fn cautions(test: &Instrument, practice: Option<u8>, left_out: usize) -> Vec<Caution> {
    let mut cautions = Vec::new();
    match practice {
        Some(done) if done < test.practice => {
            cautions.push(Caution::LittlePractice { done, asked: test.practice });
        }
        None if test.practice > 0 => cautions.push(Caution::PracticeNotNoted { asked: test.practice }),
        _ => {}
    }
    if left_out > 0 {
        cautions.push(Caution::LaterTrialsLeftOut { count: left_out });
    }
    cautions
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn fold(values: &[f64], better: fn(f64, f64) -> f64) -> f64 {
    values.iter().copied().reduce(better).unwrap_or_default()
}
