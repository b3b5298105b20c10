//! One tap for each leg and direction: steady, corrected, not able, hurt.

use clinic::{Steadiness, TaughtItem, TeachRecord};
use maud::{Markup, html};
use movement::{Crossing, MovementSpec};
use programme::{ExerciseMovement, Programme};

use crate::fields::Fields;
use crate::words;

/// Which time round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pass {
    /// With the therapist.
    Taught,
    /// Shown back without a prompt.
    ShownBack,
}

/// The four taps with the word a form sends.
pub(in crate::person) const TAPS: [(Steadiness, &str, &str); 4] = [
    (Steadiness::Steady, "steady", "Steady"),
    (Steadiness::Corrected, "corrected", "Corrected"),
    (Steadiness::NotAble, "not_able", "Not able"),
    (Steadiness::Hurt, "hurt", "Hurt"),
];

/// The name of the field of one movement.
fn field(place: usize, spec: &MovementSpec, pass: Pass) -> String {
    let pass = if pass == Pass::Taught { "t" } else { "b" };
    let way = match spec.crossing {
        Crossing::None => "",
        Crossing::InFront => "f",
        Crossing::Behind => "h",
    };
    format!("{pass}{place}-{}-{}{way}", spec.mover.letter(), spec.bearing.degrees())
}

/// Plain words of the floor, with the trade's name behind them.
fn way(spec: &MovementSpec) -> (String, String) {
    let crossing = match spec.crossing {
        Crossing::None => "",
        Crossing::InFront => ", across, in front",
        Crossing::Behind => ", across, behind",
    };
    let plain = format!("{}{crossing}", words::capital(spec.bearing.plain_words()));
    (plain, format!("{}, {:.0} cm", spec.direction(), spec.distance.in_cm()))
}

/// One direction with its four taps, and pain where it hurt. What was tapped before stands there.
pub(super) fn row(
    place: usize,
    one: &ExerciseMovement,
    pass: Pass,
    typed: &Fields,
    before: &TeachRecord,
) -> Markup {
    let spec = one.spec();
    let name = field(place, spec, pass);
    let pain = format!("{name}-pain");
    let (plain, trade) = way(spec);
    let limb = spec.mover;
    let known =
        before.items.iter().find(|item| item.is_same_direction(&seen(place, spec, pass, item.was, None)));
    let key = |was: Steadiness| TAPS.into_iter().find(|(one, ..)| *one == was).map_or("", |(_, key, _)| key);
    let tapped = match typed.get(&name) {
        "" => known.map_or("", |item| key(item.was)),
        tapped => tapped,
    };
    let pain_known = known.and_then(|item| item.pain).map_or_else(String::new, |pain| pain.to_string());
    let pain_shown = if typed.has(&pain) { typed.get(&pain) } else { &pain_known };
    html! {
        fieldset.tap data-way=(format!("{}{}", spec.bearing.degrees(), match spec.crossing { Crossing::None => "", Crossing::InFront => "f", Crossing::Behind => "h" })) {
            legend { strong { (plain) } " " span.quiet { (trade) } span.unseen { ", " (limb) } }
            div.four {
                @for (_, key, words) in TAPS {
                    label { input type="radio" name=(name) value=(key) checked[tapped == key]; span { (words) } }
                }
            }
            label.pain { "Pain, 0 to 10 "
                input type="number" inputmode="numeric" min="0" max="10" name=(pain) value=(pain_shown);
            }
        }
    }
}

fn seen(place: usize, spec: &MovementSpec, pass: Pass, was: Steadiness, pain: Option<u8>) -> TaughtItem {
    TaughtItem {
        exercise: u8::try_from(place).unwrap_or(u8::MAX),
        family: Some(spec.family),
        mover: spec.mover,
        bearing: spec.bearing,
        crossing: spec.crossing,
        distance_cm: Some(spec.distance.in_cm().round()),
        was,
        pain,
        shown_back: pass == Pass::ShownBack,
    }
}

/// What was tapped in this form; what was not tapped is not in it.
///
/// # Errors
/// A pain cannot be read.
pub(super) fn parse(fields: &Fields, programme: &Programme) -> Result<Vec<TaughtItem>, String> {
    let mut items = Vec::new();
    for pass in [Pass::Taught, Pass::ShownBack] {
        for (index, exercise) in programme.exercises.iter().enumerate() {
            for one in exercise.movements() {
                let spec = one.spec();
                let name = field(index + 1, spec, pass);
                let tapped = fields.get(&name);
                let Some((was, ..)) = TAPS.into_iter().find(|(_, key, _)| *key == tapped) else { continue };
                let pain = pain(fields.get(&format!("{name}-pain")), was)?;
                items.push(seen(index + 1, spec, pass, was, pain));
            }
        }
    }
    Ok(items)
}

/// A pain counts only where it hurt.
fn pain(typed: &str, was: Steadiness) -> Result<Option<u8>, String> {
    if was != Steadiness::Hurt || typed.trim().is_empty() {
        return Ok(None);
    }
    let read = typed.trim().parse().ok().filter(|pain| *pain <= 10);
    read.map(Some).ok_or_else(|| {
        format!("Pain cannot be `{typed}`; accepted: 0 to 10, or nothing. Type a whole number.")
    })
}
