//! Turns a programme into the plain data of a sheet.

mod arms;
mod exercise;
mod frame;
mod limb;
mod limb_steps;
mod log;

use anatomy::Side;
use biomech::Motion;
use jiff::civil::Date;
use movement::{ArmTask, Dose, Family, HandHeight, Load, MovementSpec, Place, Support, Tempo};
use person::{Clinic, Person};
use programme::{Days, Exercise, Programme};
use quantity::{Length, Span};

use crate::data::{Edition, Handout, Interpreter};
use crate::language::{Wording, fill};
use crate::settings::SheetSettings;

pub(crate) use arms::arms;
pub(crate) use frame::{before, contacts, emergency, emergency_signs, pain_rule, seen_today, whole_minutes};

/// What a sheet needs to know of one exercise.
#[derive(Clone, Debug)]
pub struct ExerciseFacts<'a> {
    /// What kind of movement.
    pub family: Family,
    /// What the hands do.
    pub support: Support,
    /// What is held and where it stands.
    pub place: Option<Place>,
    /// What is carried.
    pub load: Load,
    /// How far the pelvis sinks, for a lunge.
    pub depth: Option<Length>,
    /// How low the hand goes, for bend and reach.
    pub hand_height: Option<HandHeight>,
    /// Each limb that moves, with its computed movements in order.
    pub limbs: Vec<(Side, Vec<&'a Motion>)>,
    /// How much.
    pub dose: Dose,
    /// How fast.
    pub tempo: Tempo,
    /// Movements that are done at another pace than the rest, with that pace.
    pub slower: Vec<(&'a MovementSpec, Tempo)>,
    /// How long it takes.
    pub minutes: Span,
    /// On which days.
    pub days: Days,
    /// Why, in the therapist's words.
    pub why: &'a str,
}

impl ExerciseFacts<'_> {
    /// What arms and trunk do: the same in every movement of an exercise.
    pub(crate) fn arms(&self) -> ArmTask {
        self.limbs
            .iter()
            .flat_map(|(_, motions)| motions)
            .map(|m| m.spec.arms)
            .next()
            .unwrap_or(ArmTask::Free)
    }
}

impl<'a> From<&'a Exercise> for ExerciseFacts<'a> {
    fn from(exercise: &'a Exercise) -> Self {
        Self {
            family: exercise.family,
            support: exercise.support,
            place: exercise.place,
            load: exercise.load,
            depth: exercise.depth,
            hand_height: exercise.hand_height,
            limbs: exercise
                .limbs
                .iter()
                .map(|limb| (limb.mover, limb.movements.iter().map(|m| m.permitted.motion()).collect()))
                .collect(),
            dose: exercise.dose,
            tempo: exercise.tempo,
            slower: exercise
                .movements()
                .filter(|m| m.tempo() != exercise.tempo)
                .map(|m| (m.spec(), m.tempo()))
                .collect(),
            minutes: exercise.minutes,
            days: exercise.days,
            why: &exercise.why,
        }
    }
}

/// Makes the sheet of one programme.
#[must_use]
pub fn handout(programme: &Programme, person: &Person, clinic: &Clinic, settings: &SheetSettings) -> Handout {
    let facts: Vec<ExerciseFacts<'_>> = programme.exercises.iter().map(ExerciseFacts::from).collect();
    handout_of(&facts, (programme.minutes, programme.use_until), person, clinic, settings)
}

/// Makes a sheet of exercises that are already known, with the time of one session and the last
/// day of use.
#[must_use]
pub fn handout_of(
    exercises: &[ExerciseFacts<'_>],
    (minutes, use_until): (Span, Date),
    person: &Person,
    clinic: &Clinic,
    settings: &SheetSettings,
) -> Handout {
    let wording = settings.wording;
    let words = wording.words();
    let shared = frame::shared_days(exercises);
    let facts = exercises.iter().enumerate();
    let sheets: Vec<_> = facts
        .map(|(index, facts)| {
            let days = if shared == Some(Days::Every) {
                Vec::new()
            } else {
                frame::days(facts.days, |referred| &referred.this, wording)
            };
            exercise::exercise_sheet(index + 1, facts, days, person, settings)
        })
        .collect();
    let date = |date: Date| words.date(date);
    let until = date(use_until);
    let until = fill(&words.sheet.use_until, &[("date", &until)]);
    Handout {
        title: words.sheet.title.clone(),
        person: person.name.clone(),
        language: wording.language,
        made_on: settings.made_on,
        made_on_sentence: fill(&words.sheet.made_on, &[("date", &date(settings.made_on))]),
        for_whom: fill(&words.sheet.for_whom, &[("date", &date(settings.made_on)), ("name", &person.name)]),
        use_until,
        use_until_sentence: format!("{until} {}", words.sheet.then_call),
        use_until_short: fill(&words.sheet.use_until_short, &[("date", &date(use_until))]),
        edition: settings.edition,
        invented: settings.invented.then(|| words.sheet.invented.clone()),
        estimate: words.sheet.estimate.clone(),
        at_a_glance: frame::at_a_glance(exercises, shared, minutes, wording),
        days: frame::days_of_all(exercises.len(), shared, wording),
        rules: settings.rules.clone(),
        before: frame::before_one(settings),
        during: frame::during(settings, use_until),
        sound_may_pace: settings.sound,
        pictures: frame::section(&words.pictures),
        log: log::grid(&sheets, exercises, use_until, settings),
        exercises: sheets,
        stop: frame::stop(wording),
        next_day: frame::section(&words.next_day),
        seen_today: frame::seen_today(settings),
        emergency: frame::emergency(clinic, settings),
        stopped: words.stop.stopped.join(" "),
        whom_to_call: if settings.operated { words.call.operated.clone() } else { words.call.others.clone() },
        contacts: contacts(clinic, settings.operated, wording.language),
        authority: words.sheet.authority.join(" "),
        interpreter: interpreter(person, settings.edition, wording),
        beside: beside(settings)
            .map(|beside| Box::new(handout_of(exercises, (minutes, use_until), person, clinic, &beside))),
    }
}

/// The settings of the same sheet in the clinician's language.
fn beside(settings: &SheetSettings) -> Option<SheetSettings> {
    let Edition::Bilingual { beside } = settings.edition else { return None };
    Some(SheetSettings {
        wording: Wording { language: beside, ..settings.wording },
        edition: Edition::Standard,
        rules: settings.rules_beside.clone(),
        rules_beside: Vec::new(),
        ..settings.clone()
    })
}

/// A line to write on, where an interpreter is needed and where the edition leaves one anyway.
fn interpreter(person: &Person, edition: Edition, wording: Wording) -> Option<Interpreter> {
    let words = wording.words();
    let lined = edition == Edition::Numerals;
    match &person.interpreter {
        Some(language) => Some(Interpreter {
            language: language.clone(),
            label: fill(&words.sheet.interpreter, &[("language", language)]),
        }),
        None => lined.then(|| Interpreter { language: String::new(), label: String::new() }),
    }
}
