//! One tap for each leg and direction: steady, corrected, not able, hurt.

use clinic::{Steadiness, TaughtItem, TeachRecord};
use jiff::civil::Date;
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

/// One direction with its four taps, and pain where it hurt.
pub(super) fn row(place: usize, one: &ExerciseMovement, pass: Pass, typed: &Fields) -> Markup {
    let spec = one.spec();
    let name = field(place, spec, pass);
    let pain = format!("{name}-pain");
    let (plain, trade) = way(spec);
    let limb = spec.mover;
    html! {
        fieldset.tap data-way=(format!("{}{}", spec.bearing.degrees(), match spec.crossing { Crossing::None => "", Crossing::InFront => "f", Crossing::Behind => "h" })) {
            legend { strong { (plain) } " " span.quiet { (trade) } span.unseen { ", " (limb) } }
            div.four {
                @for (_, key, words) in TAPS {
                    label { input type="radio" name=(name) value=(key) checked[typed.get(&name) == key]; span { (words) } }
                }
            }
            label.pain { "Pain, 0 to 10 "
                input type="number" inputmode="numeric" min="0" max="10" name=(pain) value=(typed.get(&pain));
            }
        }
    }
}

/// What was tapped, as a record; what was not tapped is not in it.
///
/// # Errors
/// Nothing was tapped, or a pain cannot be read.
pub(super) fn parse(fields: &Fields, programme: &Programme, today: Date) -> Result<TeachRecord, String> {
    let mut items = Vec::new();
    for pass in [Pass::Taught, Pass::ShownBack] {
        for (index, exercise) in programme.exercises.iter().enumerate() {
            for one in exercise.movements() {
                let spec = one.spec();
                let name = field(index + 1, spec, pass);
                let tapped = fields.get(&name);
                let Some((was, ..)) = TAPS.into_iter().find(|(_, key, _)| *key == tapped) else { continue };
                items.push(TaughtItem {
                    exercise: u8::try_from(index + 1).unwrap_or(u8::MAX),
                    mover: spec.mover,
                    bearing: spec.bearing,
                    crossing: spec.crossing,
                    was,
                    pain: pain(fields.get(&format!("{name}-pain")), was)?,
                    shown_back: pass == Pass::ShownBack,
                });
            }
        }
    }
    if items.is_empty() {
        return Err(
            "Nothing was tapped yet, so there is nothing to save. Tap how at least one direction went."
                .to_owned(),
        );
    }
    Ok(TeachRecord { on: today, items, remark: fields.get("remark").trim().to_owned() })
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
