//! One exercise: title, hands, pace, dose, limbs and captions.

use anatomy::Side;
use biomech::Body;
use movement::{Family, Load, Support, Tempo};
use person::Person;
use quantity::Span;

use super::frame::{counted, times};
use super::{ExerciseFacts, limb, limb_steps};
use crate::data::ExerciseSheet;
use crate::language::{Wording, fill};
use crate::settings::SheetSettings;

pub(super) fn exercise_sheet(
    number: usize,
    facts: &ExerciseFacts<'_>,
    days_sentences: Vec<String>,
    person: &Person,
    settings: &SheetSettings,
) -> ExerciseSheet {
    let wording = settings.wording;
    let words = wording.words();
    let body = Body::of(&person.body);
    let mut how = hands(facts, wording);
    how.push(pace(&facts.tempo, wording));
    for (spec, tempo) in &facts.slower {
        how.push(limb_steps::slower(spec, wording));
        how.push(pace(tempo, wording));
    }
    how.push(words.dose.stand_still.clone());
    let arrows = facts.limbs.iter().map(|(_, motions)| motions.len()).max().unwrap_or(0);
    let rings = limb::rings(facts);
    let limbs: Vec<_> = facts
        .limbs
        .iter()
        .filter(|(_, motions)| !motions.is_empty())
        .map(|(mover, motions)| limb::limb_sheet(*mover, motions, facts, rings, (person, &body), settings))
        .collect();
    let missing = Side::BOTH.into_iter().find(|side| !limbs.iter().any(|limb| limb.mover == *side));
    let does_not = if facts.family == Family::BendAndReach {
        &words.limb.hand_does_not
    } else {
        &words.limb.leg_does_not
    };
    let mut caption = vec![fill(&words.floor.rings, &[("length", &wording.length(rings.step()))])];
    caption.extend(facts.place.as_ref().map(|place| words.floor.thing.of(place).to_owned()));
    if limbs.iter().any(|limb| !limb.closed.is_empty()) {
        caption.push(words.floor.closed.clone());
    }
    if limbs.iter().any(limb::shows_clear_floor) {
        caption.push(words.floor.clear_floor.clone());
    }
    caption.push(words.sheet.estimate.clone());
    let dose = facts.dose;
    let each = if arrows > 1 { &words.dose.times_each_arrow } else { &words.dose.times_each_side };
    let numbers = vec![
        counted(usize::from(dose.repetitions), each),
        counted(usize::from(dose.rounds), &words.dose.rounds),
        counted(usize::from(dose.per_day), times(facts.days, wording)),
    ];
    let said = |k: usize| format!("{} {}", numbers[k].number, numbers[k].words);
    let mut dose_sentences =
        vec![fill(&words.dose.do_it, &[("times", &said(0)), ("rounds", &said(1)), ("per_day", &said(2))])];
    if dose.rounds > 1 && dose.rest > Span::ZERO {
        let rest = fill(&words.dose.rest, &[("seconds", &seconds(dose.rest))]);
        dose_sentences.push(rest.clone());
        how.push(rest);
    }
    ExerciseSheet {
        number,
        family: facts.family,
        title: words.family(facts.family).to_owned(),
        how,
        limbs,
        missing_limb: missing.map(|side| does_not.of(side).to_owned()),
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

/// What both hands do and carry, the same for both sides.
fn hands(facts: &ExerciseFacts<'_>, wording: Wording) -> Vec<String> {
    let hands = &wording.words().hands;
    let place = facts.place.as_ref();
    let mut out = Vec::new();
    match facts.support {
        Support::BothHands if facts.family != Family::BendAndReach => out.push(hands.both.of(place).clone()),
        Support::None if place.is_some() => out.push(hands.near.of(place).clone()),
        _ => {}
    }
    let with = |sentences: &[String], mass| -> Vec<String> {
        sentences.iter().map(|s| fill(s, &[("mass", &wording.mass(mass))])).collect()
    };
    match facts.load {
        Load::None => {}
        Load::HandWeights { each } => out.extend(with(&hands.weights, each)),
        Load::InBothHands { mass } => out.extend(with(&hands.both_hands_load, mass)),
        Load::OnTrunk { mass } => out.extend(with(std::slice::from_ref(&hands.worn_load), mass)),
    }
    out
}

fn pace(tempo: &Tempo, wording: Wording) -> String {
    let dose = &wording.words().dose;
    let [out, hold, back] = [tempo.out, tempo.hold, tempo.back].map(seconds);
    let sentence = if hold == "0" { &dose.count } else { &dose.count_and_hold };
    fill(sentence, &[("out", &out), ("hold", &hold), ("back", &back)])
}

/// Whole seconds, rounded up: nobody is told to go faster than both gates passed. A millionth down first: 3 s is not 4
/// because of how numbers are held.
fn seconds(span: Span) -> String {
    format!("{:.0}", (span.in_s() - 1e-6).ceil().abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pace_is_never_told_faster_than_it_was_passed() {
        let told = [0.0, 1.2, 1.5, 2.0, 2.4, 0.1 * 3.0 * 10.0].map(|s| seconds(Span::s(s)));
        assert_eq!(told, ["0", "2", "2", "2", "3", "3"]);
    }
}
