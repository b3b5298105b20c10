//! A programme that was accepted, permitted again today: which of its movements still are, and its sheet.
//!
//! What was accepted is kept as sentences with its dose. Nothing of it is believed: each sentence is
//! read, computed and asked of both gates again. What is no longer permitted is named with its reason
//! and is in no exercise.

use anatomy::Side;
use jiff::civil::Date;
use movement::{Dose, Tempo};
use person::CaseFile;
use programme::{Days, DoseRules, Exercise, ExerciseMovement, LimbPart, Programme};
use quantity::Span;
use safety::{Alert, Movements};
use serde_json::Value;

use crate::candidates::permit;
use crate::plan::last_day;
use crate::{PersonToday, SentenceReader};

/// A movement of an accepted programme that is not permitted any more.
#[derive(Clone, Debug, PartialEq)]
pub struct NoLonger {
    /// Place of its exercise, from 1.
    pub exercise: usize,
    /// The movement, as it was accepted.
    pub sentence: String,
    /// Why not, as a sentence.
    pub because: String,
}

/// An accepted programme today.
#[derive(Clone, Debug)]
pub enum Again {
    /// A red flag: the alert and nothing else may be shown.
    Alert(Alert),
    /// What of it is permitted today.
    Today {
        /// What is still permitted, in the dose that was accepted, to be used until the last day on which all of
        /// it is permitted by what is known today; an exercise of which nothing is left is absent.
        programme: Box<Programme>,
        /// What is not.
        no_longer: Vec<NoLonger>,
        /// Places, from 1, of exercises whose dose or pace was accepted when more was allowed than today.
        lowered: Vec<usize>,
    },
}

/// What was accepted: the sentences of each exercise, the last day of use, and the programme as JSON in
/// the form of [`crate::programme_json`], of which only doses and words are read.
#[derive(Clone, Copy, Debug)]
pub struct AcceptedProgramme<'a> {
    /// The day it was made for.
    pub for_day: Date,
    /// The last day it may be used.
    pub use_until: Date,
    /// The sentences, each exercise on its own.
    pub exercises: &'a [Vec<String>],
    /// Its JSON.
    pub json: &'a Value,
}

/// Asks both gates about an accepted programme again.
#[must_use]
pub fn programme_again(
    case: &CaseFile,
    today: Date,
    accepted: AcceptedProgramme<'_>,
    movements: &impl Movements,
) -> Again {
    let person = PersonToday::of(case, today);
    if let Some(alert) = person.allowed.alert() {
        return Again::Alert(alert.clone());
    }
    let limits = person.limits();
    let reader = SentenceReader { body: &person.body, supports: &limits.supports };
    let mut no_longer = Vec::new();
    let mut exercises: Vec<Exercise> = Vec::new();
    let mut lowered = Vec::new();
    for (place, sentences) in accepted.exercises.iter().enumerate() {
        let mut limbs: Vec<LimbPart> = Vec::new();
        for sentence in sentences {
            let found = reader
                .read(sentence)
                .map_err(|error| error.to_string())
                .and_then(|spec| permit(&person, movements, &spec, None));
            match found {
                Ok(candidate) => {
                    let mover = candidate.permitted.spec().mover;
                    let one = ExerciseMovement { permitted: candidate.permitted, chosen: None };
                    match limbs.iter_mut().find(|limb| limb.mover == mover) {
                        Some(limb) => limb.movements.push(one),
                        None => limbs.push(LimbPart { mover, movements: vec![one] }),
                    }
                }
                Err(because) => {
                    let sentence = sentence.clone();
                    no_longer.push(NoLonger { exercise: place + 1, sentence, because });
                }
            }
        }
        limbs.sort_by_key(|limb| limb.mover == Side::Right);
        let json = &accepted.json["exercises"][place];
        if let Some((exercise, changed)) = exercise(limbs, json, &limits, case.wishes.per_day) {
            if changed {
                lowered.push(exercises.len() + 1);
            }
            exercises.push(exercise);
        }
    }
    let minutes = exercises.iter().map(|one| one.minutes.in_s()).sum();
    let programme = Programme {
        exercises,
        minutes: Span::s(minutes),
        for_day: accepted.for_day,
        use_until: accepted.use_until,
        why: sentences(&accepted.json["why"]),
        tasks: Vec::new(),
        notes: sentences(&accepted.json["notes"]),
        dropped: Vec::new(),
        in_place: Vec::new(),
        score: 0.0,
    };
    let programme = match last_day(case, &person, &programme) {
        Some((last, why)) => programme.not_beyond(last, &why),
        None => programme,
    };
    Again::Today { programme: Box::new(programme), no_longer, lowered }
}

/// An exercise of what is left, in the dose and at the pace that were accepted, as far as the rules of
/// today let them; the dose of the plans where none is known. Says whether the rules changed it.
fn exercise(
    mut limbs: Vec<LimbPart>,
    json: &Value,
    limits: &programme::Limits,
    wished: u8,
) -> Option<(Exercise, bool)> {
    let first = limbs.first()?.movements.first()?.spec().clone();
    let rules = DoseRules::of(first.family, limits, wished);
    let (dose, tempo, changed) = rules.within(dose(&json["dose"]), tempo(&json["tempo"]));
    for one in limbs.iter_mut().flat_map(|limb| &mut limb.movements) {
        one.chosen = Some(tempo);
    }
    let known = json["seconds"].as_f64().filter(|_| !changed).map(Span::s);
    let exercise = Exercise {
        family: first.family,
        support: first.support,
        place: first.place,
        load: first.load,
        depth: first.depth,
        hand_height: first.hand_height,
        minutes: known.unwrap_or_else(|| time(&limbs, dose)),
        days: [Days::Every, Days::Alternate, Days::TwoOrThreeApart]
            .into_iter()
            .find(|days| serde_json::to_value(days).is_ok_and(|word| word == json["days"]))
            // What nobody can read is done on the fewest days.
            .unwrap_or(Days::TwoOrThreeApart),
        why: json["why"].as_str().unwrap_or_default().to_owned(),
        trains: Vec::new(),
        limbs,
        dose,
        tempo,
    };
    Some((exercise, changed))
}

/// Both limbs in every round, with the changes between them and the rests between rounds.
pub(crate) fn time(limbs: &[LimbPart], dose: Dose) -> Span {
    let figures = programme::figures();
    let movements = limbs.iter().flat_map(|limb| &limb.movements);
    let moving: f64 = movements.map(|one| one.tempo().one_movement().in_s()).sum();
    let round = moving * f64::from(dose.repetitions) + figures.change_limb.in_s();
    let rests = f64::from(dose.rounds.saturating_sub(1)) * dose.rest.in_s();
    Span::s(f64::from(dose.rounds) * round + rests)
}

fn dose(json: &Value) -> Dose {
    let figures = programme::figures();
    let count = |key: &str, usual: u8| {
        json[key].as_u64().and_then(|n| u8::try_from(n).ok()).filter(|n| *n > 0).unwrap_or(usual)
    };
    Dose {
        repetitions: count("repetitions", figures.repetitions_at_least),
        rounds: count("rounds", 1),
        rest: json["rest"].as_f64().map_or(figures.rest, Span::s),
        per_day: count("per_day", 1),
    }
}

fn tempo(json: &Value) -> Tempo {
    let usual = programme::figures().tempo;
    let span = |key: &str, usual: Span| json[key].as_f64().map_or(usual, Span::s);
    Tempo {
        out: span("out", usual.out),
        hold: span("hold", usual.hold),
        back: span("back", usual.back),
        settle: span("settle", usual.settle),
    }
}

fn sentences(json: &Value) -> Vec<String> {
    json.as_array().into_iter().flatten().filter_map(|one| one.as_str().map(str::to_owned)).collect()
}
