//! Every English sentence of the patient's sheet: one action each, verb first, at most twelve words.
//!
//! Sentences for a side are whole sentences with the side in them; nothing is glued in the middle
//! of a sentence but a side, a direction, a number or a thing.

use anatomy::Side;
use movement::{HandHeight, Load, Place, Support, SupportKind};
use person::Footwear;
use programme::Days;
use quantity::Length;

/// A side in capitals, so that it is seen.
#[must_use]
pub fn side(side: Side) -> &'static str {
    match side {
        Side::Left => "LEFT",
        Side::Right => "RIGHT",
    }
}

/// The mark of invented people.
pub const INVENTED: &str = "Invented person, for demonstration";
/// Where the figures come from.
pub const ESTIMATE: &str = "Figures are drawn from a computed estimate.";
/// Who comes first.
pub const AUTHORITY: &str =
    "Your surgeon and your therapist come first. If they say something else, do that. Then tell us.";

/// Before the exercises.
pub const BEFORE: &[&str] = &[
    "Find a clear spot. Leave arm's length free all round.",
    "Clear away rugs, cords and pets.",
    "Dry the floor. Turn on the light.",
    SHOES,
    "Stand near a bench or a heavy chair.",
    "Have your phone on you.",
    "Feel shaky? Ask someone to stay near.",
    "Skip it after a drink or a pill that makes you sleepy.",
];

/// What to wear on the feet, where nobody asked or closed shoes are worn.
const SHOES: &str = "Wear flat shoes that grip.";

/// What to wear on the feet. Numb feet are never bare (common practice).
#[must_use]
pub fn shoes(footwear: Option<Footwear>, numb_feet: bool) -> &'static [&'static str] {
    match footwear {
        _ if numb_feet => &["Never go barefoot.", SHOES],
        None | Some(Footwear::ClosedShoes) => &[SHOES],
        Some(Footwear::OpenShoes) => &["Take off slippers and open shoes.", SHOES],
        Some(Footwear::Socks) => &["Take off your socks.", "Go barefoot or wear flat shoes that grip."],
        Some(Footwear::Barefoot) => &["Go barefoot. Dry your feet first."],
    }
}

/// Before the exercises, for one person: where somebody reads the sheet out, that comes first.
#[must_use]
pub fn before(footwear: Option<Footwear>, numb_feet: bool, read_out: bool) -> Vec<&'static str> {
    let mut out = if read_out { vec!["Ask someone to read this to you."] } else { Vec::new() };
    for sentence in BEFORE {
        if *sentence == SHOES { out.extend(shoes(footwear, numb_feet)) } else { out.push(sentence) }
    }
    out
}

/// The pace for somebody who may not hear a sound.
pub const NO_SOUND: &str = "Count for yourself. Do not wait for a sound.";

/// While doing them: the pain rule and the pace.
pub const DURING: &[&str] = &[
    "First ask: how sore am I now?",
    "Go only as far as feels easy and steady.",
    "Feel your muscles work. It must not hurt.",
    "More sore than before? Go less far.",
    "Still sore? Go half as far, slowly. Hold on.",
    "Sore again? Use another arrow today.",
    "Breathe. Stand still in the middle each time.",
];

/// How to read the pictures.
pub const PICTURES: &[&str] = &[
    "You look down on yourself. Your nose points up the page.",
    "The black foot stays. The white foot moves.",
    "L is your left foot. R is your right foot.",
    "Go out along an arrow. Come back the same way.",
];

/// When to stop today.
pub const STOP: &[&str] = &[
    "The pain stays or grows.",
    "The joint swells more.",
    "You lose your step three times.",
    "You feel dizzy, sick or short of breath.",
];

/// What to do then.
pub const STOPPED: &str = "Write down what happened. Tell us.";

/// The next day.
pub const NEXT_DAY: &[&str] =
    &["Tired muscles are fine.", "Joint more sore or stiff? Rest one day.", "Then go less far."];

/// Signs to be seen for today, for everybody.
pub const SEEN_TODAY: &[&str] =
    &["Your calf is newly swollen, hot or sore.", "You felt a snap.", "Your knee locks.", "You had a fall."];
/// The same after an operation.
pub const SEEN_TODAY_OPERATED: &str = "Your wound is red or leaks, or you have a fever.";

/// Signs to call the emergency number for, for everybody.
pub const EMERGENCY: &[&str] = &[
    "Your chest hurts or you cannot get your breath.",
    "You felt a pop and cannot stand.",
    "You are numb between your legs.",
    "You cannot control your bladder or bowel.",
    "Your face drops, an arm is weak, or words slur.",
    "You hit your head and take blood thinners.",
];
/// The same after a joint was replaced.
pub const EMERGENCY_NEW_JOINT: &str = "Your new joint is hot and you feel ill.";
/// The same after a hip was replaced.
pub const EMERGENCY_NEW_HIP: &str = "One leg looks shorter or turned. Keep it still.";

/// Whom to call, after an operation.
pub const CALL_OPERATED: &[&str] = &[
    "Wound, fever or calf: call the surgical team.",
    "For the rest, call the clinic.",
    "No answer? Go to urgent care or the emergency department.",
];
/// Whom to call otherwise.
pub const CALL: &[&str] = &["Call the clinic.", "No answer? Go to urgent care or the emergency department."];

/// The heading of the signs that need the emergency number; with the number where it is known.
#[must_use]
pub fn call_now_if(number: Option<&str>) -> String {
    match number {
        Some(number) => format!("Call {number} now if"),
        None => "Call the emergency number now if".to_owned(),
    }
}

/// Where the exercises of one sheet are for different days.
pub const DAYS_DIFFER: &[&str] = &["Not every exercise is for every day.", "Each page says its days."];

/// On which days; `what` is `this`, `it` or `them`.
#[must_use]
pub fn days(days: Days, what: &str) -> Vec<String> {
    const APART: &str = "Never two days in a row.";
    match days {
        Days::Every => vec![format!("Do {what} every day.")],
        Days::Alternate => vec![format!("Do {what} every other day."), APART.to_owned()],
        Days::TwoOrThreeApart => vec![format!("Do {what} 2 or 3 days a week."), APART.to_owned()],
    }
}

/// How many times, on the days of an exercise.
#[must_use]
pub fn per_day(days: Days) -> (&'static str, &'static str) {
    match days {
        Days::Every => ("time a day", "times a day"),
        Days::Alternate | Days::TwoOrThreeApart => ("time that day", "times that day"),
    }
}

/// What both hands do, the same for both sides.
#[must_use]
pub fn hands(support: Support, place: Option<&Place>, load: Load, hand_moves: bool) -> Vec<String> {
    let thing = place.map_or("your support", |p| thing(p.kind));
    let mut out = Vec::new();
    match support {
        Support::BothHands if !hand_moves => out.push(format!("Hold {thing} with both hands.")),
        Support::None if place.is_some() => out.push(format!("Keep {thing} within reach.")),
        _ => {}
    }
    if let Load::HandWeights { each } = load {
        out.push(format!("Hold {each} in each hand."));
        out.push("Bend your knees to pick up the weights.".to_owned());
        out.push("Put them down before you feel shaky.".to_owned());
    }
    out
}

/// What one hand does while the other limb moves; the hand is on the side that stays.
#[must_use]
pub fn one_hand(support: Support, place: Option<&Place>, hand_moves: bool, stays: Side) -> Option<String> {
    let thing = place.map_or("your support", |p| thing(p.kind));
    let stays = side(stays);
    match support {
        Support::OneHand => Some(format!("Hold {thing} with your {stays} hand.")),
        Support::BothHands if hand_moves => Some(format!("Hold {thing} with your {stays} hand.")),
        Support::Fingertip => Some(format!("Rest a {stays} fingertip on {thing}.")),
        Support::BothHands | Support::None => None,
    }
}

/// What the thick grey lines on the floor are.
#[must_use]
pub fn support_caption(place: &Place) -> String {
    match place.kind {
        SupportKind::Bench => "Grey block: the bench.",
        SupportKind::WalkingFrame => "Thick grey line: your walking frame.",
        SupportKind::ChairBack => "Grey block: the chair.",
    }
    .to_owned()
}

fn thing(kind: SupportKind) -> &'static str {
    match kind {
        SupportKind::Bench => "the bench",
        SupportKind::WalkingFrame => "your walking frame",
        SupportKind::ChairBack => "the chair back",
    }
}

/// A hand height as the patient says it.
#[must_use]
pub fn hand_height(height: HandHeight) -> &'static str {
    match height {
        HandHeight::Thigh => "thigh",
        HandHeight::Knee => "knee",
        HandHeight::Shin => "shin",
        HandHeight::Ankle => "ankle",
    }
}

/// A length as the patient reads it.
#[must_use]
pub fn cm(length: Length) -> String {
    format!("{:.0} cm", length.in_cm())
}

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn list(parts: &[String], last: &str) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., end] => format!("{} {last} {end}", first.join(", ")),
    }
}
