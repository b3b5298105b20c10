//! The mean reach of three or of eight directions.

use std::collections::BTreeSet;

use crate::direction::StanceDirection;
use crate::instrument::{InstrumentKey, ScoreForm};
use crate::score::{Bound, Score, Scored};

/// Why directions make no composite.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CompositeError {
    /// Not a set of directions that has one.
    #[error("`{test}` has no composite; tests with one: star_reach (eight directions), three_reach (three)")]
    NoComposite {
        /// What was given.
        test: String,
    },
    /// The directions are not exactly those of the test.
    #[error("the composite of `{test}` needs each of {needed} once; given: {given}")]
    Directions {
        /// The test in words.
        test: String,
        /// Its directions.
        needed: String,
        /// What was given.
        given: String,
    },
    /// Different tests or score forms.
    #[error("the directions mix {given}; score every direction of one test in one form")]
    Mixed {
        /// What was mixed.
        given: String,
    },
    /// A direction was not possible: the others alone would flatter.
    #[error("{direction} was not possible, so there is no composite; compare the directions one by one")]
    Unable {
        /// The direction.
        direction: StanceDirection,
    },
}

/// The mean of the directions of one limb, in centimetres; over limb length it is 100·Σ/(n·limb length).
///
/// # Errors
/// When directions are missing, doubled, mixed or not possible.
pub fn composite(parts: &[(StanceDirection, &Scored)]) -> Result<Score, CompositeError> {
    let list =
        |directions: &[StanceDirection]| directions.iter().map(|d| d.name()).collect::<Vec<_>>().join(", ");
    let key_of = |scored: &Scored| match scored {
        Scored::Score(score) => score.instrument,
        Scored::Unable { instrument, .. } => *instrument,
    };
    let Some((_, first)) = parts.first() else {
        return Err(CompositeError::NoComposite { test: "no direction at all".to_owned() });
    };
    let key = key_of(first);
    let test = key.instrument();
    let target = match key.as_str() {
        "star_reach" => "star_reach_composite",
        "three_reach" => "three_reach_composite",
        _ => return Err(CompositeError::NoComposite { test: test.name.clone() }),
    };
    let given: Vec<StanceDirection> = parts.iter().map(|(direction, _)| *direction).collect();
    let as_set = |directions: &[StanceDirection]| directions.iter().copied().collect::<BTreeSet<_>>();
    if given.len() != test.directions.len() || as_set(&given) != as_set(&test.directions) {
        return Err(CompositeError::Directions {
            test: test.name.clone(),
            needed: list(&test.directions),
            given: list(&given),
        });
    }
    let mut scores = Vec::new();
    for (direction, scored) in parts {
        match scored {
            Scored::Score(score) => scores.push(score),
            Scored::Unable { .. } => return Err(CompositeError::Unable { direction: *direction }),
        }
    }
    let kinds: BTreeSet<(InstrumentKey, ScoreForm)> = scores.iter().map(|s| (s.instrument, s.form)).collect();
    if kinds.len() != 1 {
        let given = kinds.iter().map(|(key, form)| format!("{key} ({form})")).collect::<Vec<_>>().join(", ");
        return Err(CompositeError::Mixed { given });
    }
    let used: Vec<f64> = scores.iter().map(|score| score.value).collect();
    let mut cautions = Vec::new();
    for caution in scores.iter().flat_map(|score| &score.cautions) {
        if !cautions.contains(caution) {
            cautions.push(caution.clone());
        }
    }
    Ok(Score {
        instrument: InstrumentKey::find(target).expect("the composite of a reach is a test"),
        form: scores[0].form,
        value: used.iter().sum::<f64>() / used.len() as f64,
        bound: if scores.iter().any(|s| s.bound == Bound::AtLeast) { Bound::AtLeast } else { Bound::Exact },
        raw: scores.iter().flat_map(|score| score.raw.iter().copied()).collect(),
        used,
        cautions,
    })
}
