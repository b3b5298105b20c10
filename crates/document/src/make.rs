//! Turns a programme into the plain data of a sheet.

mod limb;

use anatomy::Side;
use biomech::{Body, Motion};
use jiff::civil::Date;
use movement::{Dose, Family, HandHeight, Load, MovementSpec, Place, Support, Tempo};
use person::{Clinic, Person};
use programme::{Days, Exercise, Programme};
use quantity::{Length, Span};

use crate::data::{Contact, DoseNumber, ExerciseSheet, Handout, Interpreter, Section};
use crate::settings::SheetSettings;
use crate::words;

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
    let body = Body::of(&person.body);
    let per_day = exercises.iter().map(|e| e.dose.per_day).max().unwrap_or(1);
    let shared = shared_days(exercises);
    let daily = exercises.iter().any(|e| e.days == Days::Every);
    let times = words::per_day(if daily { Days::Every } else { shared.unwrap_or(Days::Alternate) });
    let minutes = counted(
        whole_minutes(minutes),
        if shared.is_some() { "minute in all" } else { "minute at most" },
        if shared.is_some() { "minutes in all" } else { "minutes at most" },
    );
    Handout {
        title: "Your home exercises".to_owned(),
        person: person.name.clone(),
        language: "en",
        made_on: settings.made_on,
        use_until,
        use_until_sentence: format!("Use until {}. Then call before you go on.", day(use_until)),
        edition: settings.edition,
        invented: settings.invented.then(|| words::INVENTED.to_owned()),
        estimate: words::ESTIMATE.to_owned(),
        at_a_glance: vec![
            counted(exercises.len(), "exercise", "exercises"),
            minutes,
            counted(usize::from(per_day), times.0, times.1),
        ],
        days: match shared {
            Some(Days::Every) => Vec::new(),
            Some(days) => words::days(days, if exercises.len() == 1 { "it" } else { "them" }),
            None => strings(words::DAYS_DIFFER),
        },
        rules: settings.rules.clone(),
        before: section(
            "Before you start",
            &words::before(settings.footwear, settings.numb_feet, settings.read_out),
            &[],
        ),
        during: section(
            "While you do it",
            words::DURING,
            if settings.sound { &[] } else { &[words::NO_SOUND] },
        ),
        sound_may_pace: settings.sound,
        pictures: section("How to read the pictures", words::PICTURES, &[]),
        exercises: exercises
            .iter()
            .enumerate()
            .map(|(index, facts)| {
                let days =
                    if shared == Some(Days::Every) { Vec::new() } else { words::days(facts.days, "this") };
                exercise_sheet(index + 1, facts, days, (person, &body), settings)
            })
            .collect(),
        stop: section("Stop for today if", words::STOP, &[]),
        next_day: section("The next day", words::NEXT_DAY, &[]),
        seen_today: section(
            "Get seen today if",
            words::SEEN_TODAY,
            if settings.operated { &[words::SEEN_TODAY_OPERATED] } else { &[] },
        ),
        emergency: section(
            &words::call_now_if(clinic.emergency_number.as_deref()),
            words::EMERGENCY,
            &emergency(settings),
        ),
        stopped: words::STOPPED.to_owned(),
        whom_to_call: strings(if settings.operated { words::CALL_OPERATED } else { words::CALL }),
        contacts: contacts(clinic, settings.operated),
        authority: words::AUTHORITY.to_owned(),
        interpreter: person
            .interpreter
            .as_ref()
            .map(|language| Interpreter { language: language.clone(), label: format!("In {language}:") }),
    }
}

/// The days that all exercises share; none where they differ.
fn shared_days(exercises: &[ExerciseFacts<'_>]) -> Option<Days> {
    let first = exercises.first().map_or(Days::Every, |e| e.days);
    exercises.iter().all(|e| e.days == first).then_some(first)
}

fn emergency(settings: &SheetSettings) -> Vec<&'static str> {
    let mut out = Vec::new();
    if settings.new_hip {
        out.push(words::EMERGENCY_NEW_HIP);
    }
    if settings.new_joint {
        out.push(words::EMERGENCY_NEW_JOINT);
    }
    out
}

fn strings(all: &[&str]) -> Vec<String> {
    all.iter().map(|s| (*s).to_owned()).collect()
}

fn section(title: &str, sentences: &[&str], first: &[&str]) -> Section {
    Section { title: title.to_owned(), sentences: strings(&[first, sentences].concat()) }
}

fn counted(number: usize, one: &str, many: &str) -> DoseNumber {
    DoseNumber { number: number.to_string(), words: if number == 1 { one } else { many }.to_owned() }
}

/// Minutes, rounded up: nobody should be surprised by the length.
pub(crate) fn whole_minutes(span: Span) -> usize {
    let minutes = (span.in_min() - 0.05).ceil().clamp(1.0, 600.0);
    // In range by the clamp above.
    minutes as usize
}

pub(crate) fn day(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// Whom to call, with empty lines for what the clinic has not told us.
pub(crate) fn contacts(clinic: &Clinic, operated: bool) -> Vec<Contact> {
    let line =
        |label: &str, value: &Option<String>| Contact { label: label.to_owned(), value: value.clone() };
    let mut out = vec![line("Emergency number", &clinic.emergency_number)];
    if operated {
        out.push(line("Surgical team", &clinic.surgical_team_phone));
    }
    out.push(line(clinic.name.as_deref().unwrap_or("Clinic"), &clinic.phone));
    out.push(line("Your therapist", &clinic.therapist));
    out
}

fn title(family: Family) -> &'static str {
    match family {
        Family::Reach => "Touch out with your toes",
        Family::Step => "Step out and back",
        Family::Lunge => "Long step and bend",
        Family::Leap => "Leap out and land softly",
        Family::TwoFootJump => "Jump with both feet",
        Family::Hop => "Hop on one leg",
        Family::BendAndReach => "Bend and reach",
    }
}

fn exercise_sheet(
    number: usize,
    facts: &ExerciseFacts<'_>,
    days_sentences: Vec<String>,
    (person, body): (&Person, &Body),
    settings: &SheetSettings,
) -> ExerciseSheet {
    let mut how =
        words::hands(facts.support, facts.place.as_ref(), facts.load, facts.family == Family::BendAndReach);
    how.push(pace(&facts.tempo));
    how.extend(facts.slower.iter().map(|(spec, tempo)| limb::slower(spec, &pace(tempo))));
    how.push("Stand still in the middle before you go again.".to_owned());
    let arrows = facts.limbs.iter().map(|(_, motions)| motions.len()).max().unwrap_or(0);
    let rings = limb::rings(facts);
    let limbs: Vec<_> = facts
        .limbs
        .iter()
        .filter(|(_, motions)| !motions.is_empty())
        .map(|(mover, motions)| limb::limb_sheet(*mover, motions, facts, rings, (person, body), settings))
        .collect();
    let missing = Side::BOTH.into_iter().find(|side| !limbs.iter().any(|limb| limb.mover == *side));
    let part = if facts.family == Family::BendAndReach { "hand" } else { "leg" };
    let mut caption = vec![format!("Rings are {} apart.", words::cm(rings.step()))];
    caption.extend(facts.place.as_ref().map(words::support_caption));
    if limbs.iter().any(|limb| !limb.closed.is_empty()) {
        caption.push("Grey brackets: do not go there.".to_owned());
    }
    if limbs.iter().any(limb::shows_clear_floor) {
        caption.push("Dotted line: the clear floor ends.".to_owned());
    }
    caption.push(words::ESTIMATE.to_owned());
    let dose = facts.dose;
    let each = if arrows > 1 {
        ("time each arrow", "times each arrow")
    } else {
        ("time each side", "times each side")
    };
    let per_day = words::per_day(facts.days);
    let numbers = vec![
        counted(usize::from(dose.repetitions), each.0, each.1),
        counted(usize::from(dose.rounds), "round", "rounds"),
        counted(usize::from(dose.per_day), per_day.0, per_day.1),
    ];
    let mut dose_sentences = vec![format!(
        "Do {} {}, {} {}, {} {}.",
        numbers[0].number,
        numbers[0].words,
        numbers[1].number,
        numbers[1].words,
        numbers[2].number,
        numbers[2].words
    )];
    if dose.rounds > 1 && dose.rest > Span::ZERO {
        let rest = format!("Rest {:.0} seconds between rounds.", dose.rest.in_s());
        dose_sentences.push(rest.clone());
        how.push(rest);
    }
    ExerciseSheet {
        number,
        family: facts.family,
        title: title(facts.family).to_owned(),
        how,
        limbs,
        missing_limb: missing.map(|side| format!("Your {} {part} does not do this one.", words::side(side))),
        days: facts.days,
        days_sentences,
        numbers,
        dose_sentences,
        caption,
        dose,
        time: facts.minutes,
        why: facts.why.to_owned(),
    }
}

fn pace(tempo: &Tempo) -> String {
    let [out, hold, back] = [tempo.out, tempo.hold, tempo.back].map(|span| span.in_s().round());
    if hold > 0.0 {
        format!("Count {out:.0} out, hold for {hold:.0}, count {back:.0} back.")
    } else {
        format!("Count {out:.0} out, count {back:.0} back.")
    }
}
