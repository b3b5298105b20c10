//! What frames the exercises: days, dose in big numerals, sections, whom to call.

use jiff::civil::Date;
use person::{Clinic, Footwear};
use programme::Days;
use quantity::Span;
use safety::AcceptedPain;

use super::ExerciseFacts;
use crate::data::{Contact, DoseNumber, Section};
use crate::language::{Counted, Language, Referred, SectionWords, Wording, fill, words};
use crate::settings::SheetSettings;

/// The days that all exercises share; none where they differ.
pub(super) fn shared_days(exercises: &[ExerciseFacts<'_>]) -> Option<Days> {
    let first = exercises.first().map_or(Days::Every, |e| e.days);
    exercises.iter().all(|e| e.days == first).then_some(first)
}

/// On which days, said of what the sentence refers to.
pub(super) fn days(days: Days, of: impl Fn(&Referred) -> &String, wording: Wording) -> Vec<String> {
    let words = &wording.words().days;
    match days {
        Days::Every => vec![of(&words.every).clone()],
        Days::Alternate => vec![of(&words.alternate).clone(), words.apart.clone()],
        Days::TwoOrThreeApart => vec![of(&words.two_or_three).clone(), words.apart.clone()],
    }
}

/// What the first page says of days; nothing where everything is for every day.
pub(super) fn days_of_all(exercises: usize, shared: Option<Days>, wording: Wording) -> Vec<String> {
    match shared {
        Some(Days::Every) => Vec::new(),
        Some(shared) => days(shared, |r| if exercises == 1 { &r.it } else { &r.them }, wording),
        None => wording.words().days.differ.clone(),
    }
}

/// The whole session in big numerals.
pub(super) fn at_a_glance(
    exercises: &[ExerciseFacts<'_>],
    shared: Option<Days>,
    minutes: Span,
    wording: Wording,
) -> Vec<DoseNumber> {
    let dose = &wording.words().dose;
    let per_day = exercises.iter().map(|e| e.dose.per_day).max().unwrap_or(1);
    let daily = exercises.iter().any(|e| e.days == Days::Every);
    let times = times(if daily { Days::Every } else { shared.unwrap_or(Days::Alternate) }, wording);
    let in_all = if shared.is_some() { &dose.minutes_in_all } else { &dose.minutes_at_most };
    vec![
        counted(exercises.len(), &dose.exercises),
        counted(whole_minutes(minutes), in_all),
        counted(usize::from(per_day), times),
    ]
}

/// How many times, on the days of an exercise.
pub(super) fn times(days: Days, wording: Wording) -> &'static Counted {
    let dose = &wording.words().dose;
    match days {
        Days::Every => &dose.times_a_day,
        Days::Alternate | Days::TwoOrThreeApart => &dose.times_that_day,
    }
}

pub(super) fn counted(number: usize, words: &Counted) -> DoseNumber {
    DoseNumber { number: number.to_string(), words: words.of(number).to_owned() }
}

/// Minutes, rounded up: nobody should be surprised by the length.
pub(crate) fn whole_minutes(span: Span) -> usize {
    let minutes = (span.in_min() - 0.05).ceil().clamp(1.0, 600.0);
    // In range by the clamp above.
    minutes as usize
}

pub(super) fn section(words: &SectionWords) -> Section {
    Section { title: words.title.clone(), sentences: words.sentences.clone() }
}

/// Before the exercises, for one person: where somebody reads the sheet out, that comes first.
pub(super) fn before_one(settings: &SheetSettings) -> Section {
    let feet = (settings.footwear, settings.numb_feet);
    before(settings.wording.language, settings.read_out, feet)
}

/// Before the exercises, by what is on the feet and whether they feel little. Numb feet are never bare (common
/// practice).
pub(crate) fn before(
    language: Language,
    read_out: bool,
    (footwear, numb_feet): (Option<Footwear>, bool),
) -> Section {
    let words = &words(language).before;
    let shoes = match footwear {
        _ if numb_feet => &words.shoes_numb,
        None | Some(Footwear::ClosedShoes) => &words.shoes,
        Some(Footwear::OpenShoes) => &words.shoes_open,
        Some(Footwear::Socks) => &words.shoes_socks,
        Some(Footwear::Barefoot) => &words.shoes_barefoot,
    };
    let mut sentences: Vec<String> = read_out.then(|| words.read_out.clone()).into_iter().collect();
    for part in [&words.floor, shoes, &words.sentences] {
        sentences.extend(part.iter().cloned());
    }
    Section { title: words.title.clone(), sentences }
}

/// While doing them; who may not hear a sound counts.
pub(super) fn during(settings: &SheetSettings, use_until: Date) -> Section {
    let words = &settings.wording.words().during;
    let mut sentences: Vec<String> = if settings.sound { Vec::new() } else { vec![words.no_sound.clone()] };
    sentences.extend(words.begin.iter().cloned());
    let accepted =
        settings.accepted_pain.filter(|pain| pain.until.is_none_or(|until| settings.made_on <= until));
    match accepted {
        Some(pain) => sentences.extend(pain_rule(pain, use_until, settings.wording)),
        None => sentences.extend(words.strict.iter().cloned()),
    }
    sentences.extend(words.end.iter().cloned());
    Section { title: words.title.clone(), sentences }
}

/// The rule of somebody for whom an order accepts some pain; with its last day where that comes before the last day
/// of the programme.
pub(crate) fn pain_rule(accepted: AcceptedPain, use_until: Date, wording: Wording) -> Vec<String> {
    let words = wording.words();
    let number = accepted.up_to.to_string();
    let mut out: Vec<String> =
        words.during.accepted.iter().map(|sentence| fill(sentence, &[("number", &number)])).collect();
    let ends = accepted.until.filter(|until| *until < use_until);
    out.extend(ends.map(|until| fill(&words.during.accepted_until, &[("date", &words.date(until))])));
    out
}

pub(super) fn stop(wording: Wording) -> Section {
    let words = &wording.words().stop;
    Section {
        title: words.title.clone(),
        sentences: [&words.pain_stays, &words.swelling, &words.unsteady, &words.unwell]
            .map(Clone::clone)
            .to_vec(),
    }
}

/// Signs to be seen for the same day.
pub(crate) fn seen_today(settings: &SheetSettings) -> Section {
    let words = &settings.wording.words().seen_today;
    let mut sentences: Vec<String> = settings.operated.then(|| words.operated.clone()).into_iter().collect();
    sentences.extend(words.sentences.clone());
    Section { title: words.title.clone(), sentences }
}

/// Signs that need the emergency number; with the number where it is known.
pub(crate) fn emergency(clinic: &Clinic, settings: &SheetSettings) -> Section {
    let general = emergency_signs(clinic, settings.wording.language);
    let words = &settings.wording.words().emergency;
    let mut sentences = Vec::new();
    sentences.extend(settings.new_hip.then(|| words.new_hip.clone()));
    sentences.extend(settings.new_joint.then(|| words.new_joint.clone()));
    sentences.extend(general.sentences);
    Section { title: general.title, sentences }
}

/// Those of anybody, whatever was operated on.
pub(crate) fn emergency_signs(clinic: &Clinic, language: Language) -> Section {
    let words = &words(language).emergency;
    let title = match clinic.emergency_number.as_deref() {
        Some(number) => fill(&words.title_number, &[("number", number)]),
        None => words.title.clone(),
    };
    Section { title, sentences: words.sentences.clone() }
}

/// Whom to call, with empty lines for what the clinic has not told us.
pub(crate) fn contacts(clinic: &Clinic, operated: bool, language: Language) -> Vec<Contact> {
    let labels = &words(language).contacts;
    let line =
        |label: &str, value: &Option<String>| Contact { label: label.to_owned(), value: value.clone() };
    let mut out = vec![line(&labels.emergency, &clinic.emergency_number)];
    if operated {
        out.push(line(&labels.surgical_team, &clinic.surgical_team_phone));
    }
    out.push(line(clinic.name.as_deref().unwrap_or(&labels.clinic), &clinic.phone));
    out.push(line(&labels.therapist, &clinic.therapist));
    out
}
