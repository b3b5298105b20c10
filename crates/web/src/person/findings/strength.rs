//! Measured strength, both legs beside each other.

use anatomy::{JointMotion, Side};
use clinic::{CaseText, CaseValue};
use maud::{Markup, html};
use safety::FindingKey;

use super::entry::{Entry, value};
use super::fields::Ask;
use super::parts::{number, problem};
use super::shown::Form;
use crate::words;

const MOMENT: Ask = Ask::Quantity("Nm");
const ANGLE: Ask = Ask::Quantity("deg");

/// What is usually measured, with what it is called.
const USUAL: [(&str, &str); 5] = [
    ("knee_extension", "Knee extensors"),
    ("knee_flexion", "Knee flexors"),
    ("hip_abduction", "Hip abductors"),
    ("hip_extension", "Hip extensors"),
    ("ankle_plantarflexion", "Ankle plantarflexors"),
];

/// The first entry of a motion and a leg, its place from 1.
fn place(text: &CaseText, motion: &str, side: Side) -> Option<usize> {
    (1..=text.entries("strength")).find(|at| {
        let is = |key: &str, word: &str| {
            text.given(&format!("strength[{at}].{key}")).is_some_and(|given| given.text == word)
        };
        is("motion", motion) && is("side", &side.to_string())
    })
}

/// The usual motions, and others that were measured.
fn motions(text: Option<&CaseText>) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> =
        USUAL.iter().map(|(key, name)| ((*key).to_owned(), (*name).to_owned())).collect();
    let Some(text) = text else { return all };
    for at in 1..=text.entries("strength") {
        let Some(motion) = text.given(&format!("strength[{at}].motion")) else { continue };
        if !all.iter().any(|(key, _)| *key == motion.text) && JointMotion::from_key(&motion.text).is_some() {
            all.push((motion.text.clone(), words::capital(&motion.text.replace('_', " "))));
        }
    }
    all
}

fn name(motion: &str, side: Side, key: &str) -> String {
    format!("strength.{motion}.{side}.{key}")
}

pub(super) fn view(form: &Form<'_>) -> Markup {
    let text = form.text.as_ref();
    html! {
        p.hint { "Moments in Nm, with the joint angle if it was noted. Left empty, strength is estimated from age, height and mass." }
        @for (motion, label) in motions(text) {
            div.finding.row id=(format!("at:strength.{motion}")) {
                span.what { (label) }
                div.control.two-legs {
                    @for side in Side::BOTH {
                        @let place = text.and_then(|text| place(text, &motion, side));
                        div.side {
                            @for (key, ask) in [("moment", MOMENT), ("at_angle", ANGLE)] {
                                @let own = name(&motion, side, key);
                                @let saved = place.map(|at| form.saved(&format!("strength[{at}].{key}"), ask)).unwrap_or_default();
                                label.of for=(own) {
                                    @if key == "moment" { span.unseen { (label) ", moment, " } (words::capital(&side.to_string())) }
                                    @else { span.unseen { (label) ", " (side) ", " } "at" span.unseen { " a joint angle of" } }
                                }
                                (number(&own, &form.own(&own, &saved), if key == "moment" { "Nm" } else { "°" }))
                            }
                            (problem(form, &own_moment(&motion, side)))
                        }
                    }
                }
                @if let Some(said) = mark(form, &motion) { div.mark { p { (said) } } }
            }
        }
    }
}

/// When it was measured, and whether that counts.
fn mark(form: &Form<'_>, motion: &str) -> Option<Markup> {
    let text = form.text.as_ref()?;
    let at = Side::BOTH.into_iter().find_map(|side| place(text, motion, side))?;
    let path = format!("strength[{at}].moment");
    let (on, fresh) = form.freshness(&path, Some(FindingKey::QuadricepsStrengthPercent))?;
    Some(html! {
        @match fresh {
            Some(clinic::Freshness::Past { since }) => { strong { "Counts as not assessed since " (words::day(since)) } " (found on " (words::day(on)) ")" }
            _ => { "Found on " (words::day(on)) }
        }
    })
}

fn own_moment(motion: &str, side: Side) -> String {
    name(motion, side, "moment")
}

pub(super) fn take(entry: &mut Entry<'_>) {
    for (motion, _) in motions(Some(&entry.base.clone())) {
        for side in Side::BOTH {
            let own = name(&motion, side, "moment");
            let Some(moment) = entry.typed(&own) else { continue };
            let angle = entry.typed(&name(&motion, side, "at_angle")).unwrap_or_default();
            let at = place(&entry.base, &motion, side);
            let before = |key: &str, ask: Ask| {
                let given = at.and_then(|at| entry.base.given(&format!("strength[{at}].{key}")));
                given.map(|given| super::shown::shown(ask, &given.text)).unwrap_or_default()
            };
            let (was, was_angle) = (before("moment", MOMENT), before("at_angle", ANGLE));
            if moment == was && angle == was_angle {
                continue;
            }
            if entry.list_moved("strength") {
                return;
            }
            let on = entry.found_on;
            let at = match (at, moment) {
                (Some(at), "") => {
                    entry.take_out("strength", at);
                    continue;
                }
                (None, "") => continue,
                (Some(at), _) => at,
                (None, _) => {
                    let text = |word: &str| CaseValue::Text(word.to_owned());
                    entry
                        .text
                        .push("strength", &[("motion", text(&motion)), ("side", text(&side.to_string()))])
                }
            };
            if moment != was
                && let Some(value) = value(MOMENT, moment)
            {
                entry.text.set_found(&format!("strength[{at}].moment"), value, on);
            }
            let key = format!("strength[{at}].at_angle");
            match value(ANGLE, angle) {
                Some(value) if angle != was_angle => entry.text.set(&key, &value),
                None => entry.text.remove(&key),
                Some(_) => {}
            }
            entry.renamed.push((format!("strength[{at}].moment"), own));
            entry.renamed.push((key, name(&motion, side, "at_angle")));
        }
    }
}
