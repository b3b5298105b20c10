//! Directions that hurt: each with the movement it hurt in, and one more.

use clinic::CaseValue;
use maud::{Markup, html};
use movement::Family;

use super::entry::{Entry, value};
use super::fields::Ask;
use super::parts::{YES_NO, chips, problem};
use super::shown::Form;
use crate::words;

/// Where it went, in the words of a case file, clockwise.
const WAYS: [&str; 8] =
    ["forward", "forward-right", "right", "back-right", "back", "back-left", "left", "forward-left"];

/// The word of a family in a case file.
fn word(family: Family) -> String {
    family.name().replace([' ', '-'], "_")
}

/// The movement it hurt in; the first choice is that nobody said.
fn families(name: &str, given: &str) -> Markup {
    html! {
        select id=(name) name=(name) {
            option value="" { "not said: counts for every movement" }
            @for family in Family::ALL {
                @let word = word(family);
                option value=(word) selected[word == given] { (words::capital(family.name())) }
            }
        }
    }
}

/// One entry as a sentence without its movement.
fn in_words(form: &Form<'_>, path: &str) -> String {
    let said = |key: &str| form.saved(&format!("{path}.{key}"), Ask::Text);
    let limb = if said("family") == word(Family::BendAndReach) { "hand" } else { "leg" };
    let mut out = format!("{} {limb} going {}, {}", said("leg"), said("direction"), said("distance"));
    match said("pain").as_str() {
        "" => out.push_str(", pain without a number"),
        pain => out.push_str(&format!(", pain {pain} of 10")),
    }
    if said("spreads") == "true" {
        out.push_str(", further down the leg or shooting");
    }
    let day = said("on").parse().ok().or_else(|| form.text.as_ref().and_then(clinic::CaseText::visit));
    if let Some(day) = day {
        out.push_str(&format!(", {}", words::day(day)));
    }
    words::capital(&out)
}

pub(super) fn view(form: &Form<'_>) -> Markup {
    let count = form.text.as_ref().map_or(0, |text| text.entries("hurt"));
    html! {
        h3 id="at:hurt" { "Directions that hurt" }
        p.hint { "A note holds the movement it hurt in, that way, and whatever asks as much of the same limb or more: first shorter, then half as far and held, then left out. Where nobody said in which movement it hurt, it holds them all." }
        @if count == 0 { p { "None is written down." } }
        ul.entries {
            @for at in 1..=count {
                @let path = format!("hurt[{at}]");
                @let family = format!("{path}.family");
                @let said = in_words(form, &path);
                li {
                    (said)
                    div.finding {
                        label.of for=(family) { "Movement" span.unseen { ", " (said) } }
                        (families(&family, &form.value(&family, Ask::Text)))
                    }
                    (problem(form, &path)) (problem(form, &family))
                    label.choice { input type="checkbox" name="gone" value=(path) checked[form.ticked("gone", &path, false)]; "take this note out" span.unseen { ": " (said) } }
                }
            }
        }
        (one_more(form))
    }
}

fn one_more(form: &Form<'_>) -> Markup {
    let new = |key: &str| format!("hurt.new.{key}");
    let given = |key: &str| form.own(&new(key), "");
    let wrong = form.problems.iter().any(|one| one.key.starts_with("hurt.new"));
    html! {
        details open[wrong || !given("leg").is_empty() || !given("direction").is_empty()] {
            summary { "Note a direction that hurt" }
            div.pairs {
                div.finding { span.what id="of:hurt.leg" { "Leg that moved, or side of the hand" } div role="radiogroup" aria-labelledby="of:hurt.leg" { (chips(&new("leg"), &given("leg"), "nothing new", &[("left", "left"), ("right", "right")])) } }
                div.finding {
                    label.of for=(new("direction")) { "Where it went" }
                    select id=(new("direction")) name=(new("direction")) {
                        option value="" { "not said" }
                        @for way in WAYS { option value=(way) selected[given("direction") == way] { (way) } }
                    }
                }
                div.finding { label.of for=(new("family")) { "Movement" } (families(&new("family"), &given("family"))) }
                div.finding { label.of for=(new("distance")) { "How far out, cm" } input.short type="text" inputmode="decimal" autocomplete="off" id=(new("distance")) name=(new("distance")) value=(given("distance")); }
                div.finding { label.of for=(new("pain")) { "Pain, 0 to 10" } input.short type="text" inputmode="numeric" autocomplete="off" id=(new("pain")) name=(new("pain")) value=(given("pain")); }
                div.finding { span.what id="of:hurt.settled" { "Back to its level by the next morning" } div role="radiogroup" aria-labelledby="of:hurt.settled" { (chips(&new("settled"), &given("settled"), "not asked", &YES_NO)) } }
                div.finding { span.what id="of:hurt.spreads" { "Went further down the leg, shot or tingled" } div role="radiogroup" aria-labelledby="of:hurt.spreads" { (chips(&new("spreads"), &given("spreads"), "not asked", &YES_NO)) } }
                div.finding { label.of for=(new("on")) { "Day, if not that of the visit" } input type="date" id=(new("on")) name=(new("on")) value=(given("on")); }
            }
            (problem(form, "hurt.new"))
            @for key in ["leg", "direction", "family", "distance", "pain", "on"] { (problem(form, &new(key))) }
        }
    }
}

pub(super) fn take(entry: &mut Entry<'_>) {
    let count = entry.base.entries("hurt");
    let changed =
        |entry: &Entry<'_>, at: usize| entry.changed(&format!("hurt[{at}].family"), Ask::Text).is_some();
    let gone: Vec<usize> = entry
        .fields
        .all("gone")
        .filter_map(|path| path.strip_prefix("hurt[")?.trim_end_matches(']').parse().ok())
        .collect();
    let touched = !gone.is_empty() || (1..=count).any(|at| changed(entry, at));
    if touched && !entry.list_moved("hurt") {
        for at in 1..=count {
            entry.plain(&format!("hurt[{at}].family"), Ask::Text);
        }
        for at in gone {
            entry.take_out("hurt", at);
        }
    }
    take_new(entry);
}

fn take_new(entry: &mut Entry<'_>) {
    let keys: [(&'static str, Ask); 8] = [
        ("leg", Ask::Text),
        ("direction", Ask::Text),
        ("family", Ask::Text),
        ("distance", Ask::Quantity("cm")),
        ("pain", Ask::Score),
        ("settled", Ask::YesNo),
        ("spreads", Ask::YesNo),
        ("on", Ask::Day),
    ];
    let typed = |key: &str| entry.typed(&format!("hurt.new.{key}")).unwrap_or_default();
    if ["leg", "direction", "distance"].iter().all(|key| typed(key).is_empty()) {
        return;
    }
    let mut new: Vec<(&'static str, CaseValue)> =
        keys.iter().filter_map(|(key, ask)| Some((*key, value(*ask, typed(key))?))).collect();
    if !new.iter().any(|(key, _)| *key == "on") {
        new.push(("on", CaseValue::Day(entry.found_on)));
    }
    let place = entry.text.push("hurt", &new);
    entry.renamed.push((format!("hurt[{place}]"), "hurt.new".to_owned()));
    for (key, _) in keys {
        entry.renamed.push((format!("hurt[{place}].{key}"), format!("hurt.new.{key}")));
    }
}
