//! A programme with one movement more, changed or fewer, by a therapist's hand.

use movement::{Dose, MovementSpec, Tempo};
use programme::{DoseError, DoseRules, Exercise, Programme};
use serde_json::{Value, json};

use crate::{AcceptedProgramme, PersonToday, SentenceReader};

/// The sentences of a programme and its JSON after a change. Both gates are asked when it is loaded.
#[derive(Clone, Debug, PartialEq)]
pub struct Amended {
    /// The sentences, each exercise on its own.
    pub exercises: Vec<Vec<String>>,
    /// The JSON, with doses and words.
    pub json: Value,
    /// What was changed, as a sentence.
    pub what: String,
}

/// Why a programme cannot be changed so.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AmendError {
    /// There is no room.
    #[error(
        "the programme has {exercises} exercises already and takes no other; this movement goes with none of \
         them: take one exercise out first"
    )]
    Full {
        /// How many there are.
        exercises: usize,
    },
    /// It is not in the programme.
    #[error("`{0}` is not in the programme; open the programme again")]
    NotThere(String),
}

/// A movement as it is kept in a programme: its sentence, with what is held.
#[must_use]
pub fn sentence_kept(spec: &MovementSpec) -> String {
    match spec.place {
        Some(place) => format!("{}, {}", spec.sentence(), place.kind.name()),
        None => spec.sentence(),
    }
}

/// Whether two movements are one exercise to somebody who does it.
pub(crate) fn same_exercise(a: &MovementSpec, b: &MovementSpec) -> bool {
    let what = |s: &MovementSpec| {
        (s.family, s.support, s.place, s.load, s.depth, s.hand_height, s.arms, s.landing, s.rise)
    };
    what(a) == what(b)
}

/// Puts a movement in: in the place of the one in the same direction of the same exercise, else beside
/// the others of its exercise, else as an exercise of its own.
///
/// # Errors
/// The programme has as many exercises as it may have.
pub fn with_movement(
    person: &PersonToday<'_>,
    accepted: Option<AcceptedProgramme<'_>>,
    spec: &MovementSpec,
) -> Result<Amended, AmendError> {
    let mut exercises = accepted.map_or_else(Vec::new, |of| of.exercises.to_vec());
    let mut json = accepted.map_or_else(|| json!({ "exercises": [] }), |of| of.json.clone());
    let limits = person.limits();
    let reader = SentenceReader { body: &person.body, supports: &limits.supports };
    let way = |s: &MovementSpec| (s.mover, s.bearing, s.crossing);
    let sentence = sentence_kept(spec);
    for (place, sentences) in exercises.iter_mut().enumerate() {
        let read: Vec<Option<MovementSpec>> = sentences.iter().map(|one| reader.read(one).ok()).collect();
        if !read.iter().flatten().any(|one| same_exercise(one, spec)) {
            continue;
        }
        let at = read.iter().position(|one| one.as_ref().is_some_and(|one| way(one) == way(spec)));
        let what = match at {
            Some(at) => {
                let before = std::mem::replace(&mut sentences[at], sentence.clone());
                format!("`{sentence}` in the place of `{before}`.")
            }
            None => {
                sentences.push(sentence.clone());
                format!("`{sentence}` beside the others of exercise {}.", place + 1)
            }
        };
        retimed(&mut json, place);
        return Ok(Amended { exercises, json, what });
    }
    if exercises.len() >= usize::from(programme::figures().exercises_at_most) {
        return Err(AmendError::Full { exercises: exercises.len() });
    }
    exercises.push(vec![sentence.clone()]);
    if let Some(list) = json["exercises"].as_array_mut() {
        list.push(json!({ "name": spec.family.name(), "why": "Chosen by the therapist." }));
    }
    let what = format!("`{sentence}` as exercise {}.", exercises.len());
    Ok(Amended { exercises, json, what })
}

/// Takes a movement out; an exercise of which nothing is left goes with it.
///
/// # Errors
/// It is not in the programme.
pub fn without_movement(accepted: AcceptedProgramme<'_>, sentence: &str) -> Result<Amended, AmendError> {
    let mut exercises = accepted.exercises.to_vec();
    let mut json = accepted.json.clone();
    let place = exercises
        .iter()
        .position(|all| all.iter().any(|one| one == sentence))
        .ok_or_else(|| AmendError::NotThere(sentence.to_owned()))?;
    exercises[place].retain(|one| one != sentence);
    retimed(&mut json, place);
    if exercises[place].is_empty() {
        exercises.remove(place);
        if let Some(list) = json["exercises"].as_array_mut().filter(|list| place < list.len()) {
            list.remove(place);
        }
    }
    Ok(Amended { exercises, json, what: format!("`{sentence}` was taken out.") })
}

/// Gives one exercise another dose and pace. `of` is any movement of it, in the words in which it is kept;
/// `today` is the programme as it is permitted today.
///
/// # Errors
/// The rules of today do not accept it, all exercises together would take longer than they may and
/// longer than before, or the exercise is not there.
pub fn with_dose(
    person: &PersonToday<'_>,
    (accepted, today): (AcceptedProgramme<'_>, &Programme),
    of: &str,
    dose: Dose,
    tempo: Tempo,
) -> Result<Amended, DoseRefused> {
    let there = || DoseRefused::NotThere(of.to_owned());
    let place =
        accepted.exercises.iter().position(|all| all.iter().any(|one| one == of)).ok_or_else(there)?;
    let is_it = |one: &Exercise| one.movements().any(|one| sentence_kept(one.spec()) == of);
    let exercise = today.exercises.iter().find(|one| is_it(one)).ok_or_else(there)?;
    let limits = person.limits();
    DoseRules::of(exercise.family, &limits, person.case.wishes.per_day).check(dose, tempo)?;
    let mut limbs = exercise.limbs.clone();
    for one in limbs.iter_mut().flat_map(|limb| &mut limb.movements) {
        one.chosen = Some(tempo);
    }
    let (now, before) =
        (crate::again::time(&limbs, dose), crate::again::time(&exercise.limbs, exercise.dose));
    let whole = today.minutes.in_min() + now.in_min() - exercise.minutes.in_min();
    if now.in_s() > before.in_s() && whole > limits.minutes.in_min() {
        return Err(DoseError::TooLong { minutes: whole, at_most: limits.minutes.in_min() }.into());
    }
    let mut json = accepted.json.clone();
    retimed(&mut json, place);
    let Some(known) = json["exercises"].get_mut(place) else { return Err(there()) };
    known["dose"] = json!(dose);
    known["tempo"] = json!(tempo);
    let what = format!(
        "Exercise {}: {} repetitions, {} rounds, {} times a day; {} s out, {} s hold, {} s back.",
        place + 1,
        dose.repetitions,
        dose.rounds,
        dose.per_day,
        tempo.out.in_s(),
        tempo.hold.in_s(),
        tempo.back.in_s(),
    );
    Ok(Amended { exercises: accepted.exercises.to_vec(), json, what })
}

/// Why a dose was not taken.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DoseRefused {
    /// The rules of today.
    #[error(transparent)]
    Rules(#[from] DoseError),
    /// The exercise is not in the programme, or nothing of it is permitted today.
    #[error("`{0}` is not in what is permitted of the programme today; open the programme again")]
    NotThere(String),
}

/// What was said of an exercise that is another one now is not said any more: its time is counted anew.
fn retimed(json: &mut Value, place: usize) {
    if let Some(exercise) = json["exercises"].get_mut(place).and_then(Value::as_object_mut) {
        exercise.remove("seconds");
        exercise.remove("limbs");
        exercise.remove("trains");
    }
    if let Some(whole) = json.as_object_mut() {
        for key in ["seconds", "sheet", "score", "tasks"] {
            whole.remove(key);
        }
    }
}
