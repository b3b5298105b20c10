//! The movement as a sentence whose words are controls.

use anatomy::Side;
use app::PersonToday;
use maud::{Markup, html};
use movement::{Bearing, Crossing, Family, HandHeight, Landing, StanceFoot, Support};

use super::wanted::{Carried, KINDS, LONGEST, SHORTEST, STEP, SUPPORTS, TURN, Wanted, arm_tasks};
use crate::words;

/// The controls, in the order of the sentence. A form that asks and changes nothing: it works without a
/// module, and its address can be opened again.
pub(super) fn view(wanted: &Wanted, person: &PersonToday<'_>, base: &str, why: Option<&str>) -> Markup {
    let airborne = "leap two_foot_jump hop";
    html! {
        form id="builder" method="get" action=(base) data-now=(of_use(wanted).join(" ")) {
            (crate::frame::mend(why))
            div.sentence {
                @let sides = Side::BOTH.map(|side| (side.to_string(), side.to_string()));
                (word("mover", "Who moves", &sides, &wanted.mover.to_string(), "reach step lunge leap hop bend_and_reach"))
                @let families = Family::ALL.map(|family| (family.name().to_owned(), family.name().to_owned()));
                (word("family", "How", &families, wanted.family.name(), ""))
                (word("to", "Where to", &directions(wanted), &wanted.to.degrees().to_string(), ""))
                (crossing(wanted))
                div.word.far {
                    label for="cm" { "How far, cm" }
                    div.near-far {
                        button type="submit" name="step" value=(format!("-{STEP:.0}")) aria-label="5 cm nearer" { "−5" }
                        input id="cm" name="cm" type="number" inputmode="numeric" min=(SHORTEST) max=(LONGEST) step="1" required value=(format!("{:.0}", wanted.cm));
                        button type="submit" name="step" value=(format!("{STEP:.0}")) aria-label="5 cm further" { "+5" }
                    }
                }
                (number("depth", "Pelvis sinks, cm", wanted.depth, (1.0, 60.0, "1"), "lunge"))
                @let heights = HandHeight::ALL.map(|hand| (hand.name().to_owned(), hand.name().to_owned()));
                (word("hand", "Hand down to", &heights, wanted.hand.name(), "bend_and_reach"))
                @let landings = [("held".to_owned(), "held".to_owned()), ("straight back".to_owned(), "straight back".to_owned())];
                (word("landing", "Landing", &landings, if wanted.landing == Landing::Held { "held" } else { "straight back" }, airborne))
                @let carried = Carried::ALL.map(|one| (one.key().to_owned(), one.words().to_owned()));
                (word("carried", "Carrying", &carried, wanted.carried.key(), ""))
                (number("kg", "Weight, kg", wanted.kg, (0.5, 40.0, "0.5"), "carried"))
                @let arms: Vec<(String, String)> = arm_tasks().into_iter().map(|(_, key, words)| (key, words)).collect();
                @let arm = arm_tasks().into_iter().find(|(task, ..)| *task == wanted.arms).map(|(_, key, _)| key).unwrap_or_default();
                (word("arms", "Arms and trunk", &arms, &arm, "reach step lunge leap two_foot_jump hop"))
                @let supports = SUPPORTS.map(|(_, key, words)| (key.to_owned(), words.to_owned()));
                @let support = SUPPORTS.into_iter().find(|(one, ..)| *one == wanted.support).map_or("none", |(_, key, _)| key);
                (word("support", "Holding with", &supports, support, ""))
                @let kinds = KINDS.map(|kind| (kind.name().to_owned(), kind.name().to_owned()));
                (word("held", "What is held", &kinds, held(wanted, person), "support"))
                (number("rise", "Landing higher, cm", wanted.rise, (0.0, 40.0, "1"), "step lunge"))
                div.word {
                    span.label { "Senses" }
                    p id="senses" { "eyes open, head still, firm floor: no other is computed" }
                }
            }
            input type="hidden" name="share" value=(wanted.share);
            button.plain type="submit" { "Compute this movement" }
        }
    }
}

/// The slider that turns the figure; it belongs to the form and stands at the figure.
pub(super) fn turn(wanted: &Wanted) -> Markup {
    html! {
        p.turn {
            label for="view" { "Turn the figure" }
            input id="view" name="view" form="builder" type="range" min="-180" max="180" step=(TURN) value=(wanted.view);
        }
    }
}

/// What stands ready to be held: what was chosen, else the first support at home.
fn held(wanted: &Wanted, person: &PersonToday<'_>) -> &'static str {
    let first = person.limits().supports.first().copied();
    wanted.held.or(first).unwrap_or(KINDS[0]).name()
}

/// The eight directions with the floor's word first and the trade's name behind it.
pub(super) fn directions(wanted: &Wanted) -> Vec<(String, String)> {
    let named_from = wanted.family.named_from(wanted.mover);
    Bearing::ALL
        .into_iter()
        .map(|bearing| {
            let name = if wanted.family == Family::TwoFootJump {
                words::capital(bearing.plain_words())
            } else {
                format!("{}: {}", bearing.plain_words(), bearing.named_from(named_from))
            };
            (bearing.degrees().to_string(), name)
        })
        .collect()
}

fn crossing(wanted: &Wanted) -> Markup {
    let ways = wanted.family.ways(wanted.to, wanted.mover);
    let crosses = ways.iter().any(|way| *way != Crossing::None);
    let options: Vec<(String, String)> =
        [("front", "in front", Crossing::InFront), ("behind", "behind", Crossing::Behind)]
            .into_iter()
            .filter(|(_, _, way)| !crosses || ways.contains(way))
            .map(|(key, words, _)| (key.to_owned(), words.to_owned()))
            .collect();
    let now = if wanted.crossing == Crossing::Behind { "behind" } else { "front" };
    let feet =
        [("fixed".to_owned(), "stays flat".to_owned()), ("pivoting".to_owned(), "turns with it".to_owned())];
    let foot = if wanted.foot == StanceFoot::Pivoting { "pivoting" } else { "fixed" };
    html! {
        (word("crossing", "Crossing", &options, now, "crosses"))
        (word("foot", "Standing foot", &feet, foot, "crosses"))
    }
}

/// Where a control is of use: the families, or what else has to be chosen; empty is always.
fn word(name: &str, label: &str, options: &[(String, String)], now: &str, of_use: &str) -> Markup {
    html! {
        div.word data-of-use=[Some(of_use).filter(|of| !of.is_empty())] {
            label for=(name) { (label) }
            select id=(name) name=(name) {
                @for (value, words) in options { option value=(value) selected[value == now] { (words) } }
            }
        }
    }
}

fn number(name: &str, label: &str, now: f64, (low, high, step): (f64, f64, &str), of_use: &str) -> Markup {
    html! {
        div.word data-of-use=(of_use) {
            label for=(name) { (label) }
            input id=(name) name=(name) type="number" inputmode="decimal" min=(low) max=(high) step=(step) value=(now);
        }
    }
}

/// Which controls are of use for what is chosen: the module hides the others.
pub(super) fn of_use(wanted: &Wanted) -> Vec<String> {
    let mut out = vec![wanted.family.name().replace([' ', '-'], "_").replace("single_leg_hop", "hop")];
    if wanted.crossing != Crossing::None {
        out.push("crosses".to_owned());
    }
    if wanted.carried != Carried::Nothing {
        out.push("carried".to_owned());
    }
    if wanted.support != Support::None {
        out.push("support".to_owned());
    }
    out
}
