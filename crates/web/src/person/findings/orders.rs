//! How much weight each leg may carry and how we know it; what else was ordered.

use anatomy::Side;
use clinic::CaseValue;
use maud::{Markup, html};
use person::{HowKnown, OrderedLimit, SurgeonOrder};
use safety::FindingKey;

use super::entry::{Entry, value};
use super::fields::Ask;
use super::parts::{chips, field, problem};
use super::shown::Form;
use crate::words;

const GRADE: Ask = Ask::Choice(&[
    ("non_weight_bearing", "none"),
    ("touch_weight_bearing", "touch"),
    ("partial_weight_bearing", "part"),
    ("as_tolerated", "as tolerated"),
    ("full", "full"),
]);

const KNOWN: &[(&str, &str)] = &[
    ("letter_seen", "letter seen"),
    ("spoken_to_team", "spoken to the team"),
    ("patient_says", "patient says"),
];

/// Keys of one leg, with the way each is asked.
const LEG: [(&str, &str, Ask); 5] = [
    ("grade", "May carry", GRADE),
    ("known", "How we know", Ask::Choice(KNOWN)),
    ("share", "Share, where it is part", Ask::Quantity("%")),
    ("by", "Ordered by", Ask::Text),
    ("until", "Last day, if one was given", Ask::Day),
];

pub(super) fn view(form: &Form<'_>) -> Markup {
    html! {
        p.hint { "One for each leg, the sound one too: a leg without an order carries nothing. What the patient says can only tighten. “Ordered by” left empty: you." }
        div.sides.wide id="at:weight_bearing" {
            @for side in Side::BOTH {
                div.side role="group" aria-labelledby=(format!("carry:{side}")) {
                    h3 id=(format!("carry:{side}")) { (words::capital(&side.to_string())) " leg" }
                    @for (key, label, ask) in LEG {
                        div.finding {
                            (field(form, &format!("weight_bearing.{side}.{key}"), ask, label))
                        }
                    }
                    (problem(form, &format!("weight_bearing.{side}")))
                    @if !form.saved(&format!("weight_bearing.{side}.grade"), GRADE).is_empty() { (mark(form, side)) }
                }
            }
        }
        (ordered(form))
    }
}

fn mark(form: &Form<'_>, side: Side) -> Markup {
    let text = form.text.as_ref();
    let day = |key: &str| {
        text.and_then(|text| text.given(&format!("weight_bearing.{side}.{key}"))?.text.parse().ok())
    };
    let on: Option<jiff::civil::Date> = day("on").or_else(|| text.and_then(clinic::CaseText::visit));
    let until: Option<jiff::civil::Date> = day("until");
    let today = form.standing.day;
    let past = match (until, on) {
        (Some(until), _) => (until < today).then_some(until),
        (None, Some(on)) => match super::shown::freshness(FindingKey::WeightBearing, on, today) {
            clinic::Freshness::Past { since } => Some(since),
            _ => None,
        },
        _ => None,
    };
    html! {
        p.mark {
            @if let Some(since) = past { strong { "Counts as not assessed since " (words::day(since)) } ". " }
            @if let Some(on) = on { "Known since " (words::day(on)) }
        }
    }
}

/// A limit: its key, how it is read, and the key of its figure.
type Limit = (&'static str, &'static str, Option<(&'static str, Ask)>);

/// What else may be ordered.
const LIMITS: [Limit; 9] = [
    ("no_pivot", "no turning on the standing foot", None),
    ("no_precautions", "hip precautions need not be kept", None),
    ("joint_angle", "a joint no further than (degrees)", Some(("at_most", Ask::Quantity("deg")))),
    ("distance_at_most", "a leg out no further than (cm)", Some(("distance", Ask::Quantity("cm")))),
    ("load_at_most", "carry no more than (kg)", Some(("mass", Ask::Quantity("kg")))),
    ("level_at_most", "no rung of the ladder above (0 to 9)", Some(("level", Ask::Whole))),
    ("impact_at_most", "land with no more than (body weights)", Some(("body_weights", Ask::Whole))),
    ("may_open_level", "a rung that may open (0 to 9)", Some(("level", Ask::Whole))),
    ("pain_up_to", "accept pain up to (0 to 10)", Some(("pain", Ask::Whole))),
];

fn ordered(form: &Form<'_>) -> Markup {
    let case = form.standing.case.as_deref();
    let orders: &[SurgeonOrder] = case.map(|case| case.findings.orders.as_slice()).unwrap_or_default();
    let new = |key: &str| format!("orders.new.{key}");
    let motions: Vec<(String, String)> =
        anatomy::JointMotion::all().map(|one| (one.key(), one.key().replace('_', " "))).collect();
    html! {
        h3 { "Other orders" }
        @if orders.is_empty() { p { "None is written down." } }
        ul.entries {
            @for (at, order) in orders.iter().enumerate() {
                li {
                    (in_words(order))
                    label.choice { input type="checkbox" name="gone" value=(format!("orders[{}]", at + 1)) checked[form.ticked("gone", &format!("orders[{}]", at + 1), false)]; "withdrawn" span.unseen { ": " (in_words(order)) } }
                }
            }
        }
        details open[!form.own(&new("limit"), "").is_empty()] {
            summary { "Write an order down" }
            div.pairs {
                div.finding {
                    label.of for=(new("limit")) { "What is ordered" }
                    select id=(new("limit")) name=(new("limit")) {
                        option value="" { "nothing new" }
                        @for (key, read, _) in LIMITS { option value=(key) selected[form.own(&new("limit"), "") == key] { (read) } }
                    }
                }
                div.finding { label.of for=(new("figure")) { "Figure" } input.short type="text" inputmode="decimal" autocomplete="off" id=(new("figure")) name=(new("figure")) value=(form.own(&new("figure"), "")); }
                div.finding {
                    label.of for=(new("motion")) { "Motion, for a joint" }
                    select id=(new("motion")) name=(new("motion")) {
                        option value="" { "none" }
                        @for (key, read) in &motions { option value=(key) selected[form.own(&new("motion"), "") == *key] { (read) } }
                    }
                }
                div.finding { span.what id="of:orders.side" { "Leg" } div role="radiogroup" aria-labelledby="of:orders.side" { (chips(&new("side"), &form.own(&new("side"), ""), "both", &[("left", "left"), ("right", "right")])) } }
                div.finding { span.what id="of:orders.known" { "How we know the order" } div role="radiogroup" aria-labelledby="of:orders.known" { (chips(&new("known"), &form.own(&new("known"), ""), "not said", KNOWN)) } }
                div.finding { label.of for=(new("by")) { "Who ordered it" } input type="text" autocomplete="off" id=(new("by")) name=(new("by")) value=(form.own(&new("by"), "")); }
                div.finding { label.of for=(new("from")) { "First day of the order" } input type="date" id=(new("from")) name=(new("from")) value=(form.own(&new("from"), "")); }
                div.finding { label.of for=(new("until")) { "Last day of the order, if given" } input type="date" id=(new("until")) name=(new("until")) value=(form.own(&new("until"), "")); }
            }
        }
    }
}

/// An order as a sentence.
fn in_words(order: &SurgeonOrder) -> String {
    let what = match &order.limit {
        OrderedLimit::JointAngle { motion, at_most } => {
            format!("{} no further than {at_most}", motion.key().replace('_', " "))
        }
        OrderedLimit::NoPrecautions => "hip precautions need not be kept".to_owned(),
        OrderedLimit::NoPivot => "no turning on the standing foot".to_owned(),
        OrderedLimit::LevelAtMost(level) => format!("no rung of the ladder above {level}"),
        OrderedLimit::DistanceAtMost(distance) => format!("no further out than {distance}"),
        OrderedLimit::LoadAtMost(mass) => format!("no more than {mass} carried"),
        OrderedLimit::ImpactAtMost(weights) => format!("landings of {weights} body weights at most"),
        OrderedLimit::MayOpenLevel(level) => format!("rung {level} may open"),
        OrderedLimit::PainUpTo(pain) => format!("pain up to {pain} of 10 accepted"),
    };
    let leg = order.side.map_or_else(|| "both legs".to_owned(), |side| format!("{side} leg"));
    let known = match order.known {
        HowKnown::LetterSeen => "letter seen",
        HowKnown::SpokenToTeam => "spoken to the team",
        HowKnown::PatientSays => "patient says",
    };
    let until = order.until.map_or_else(String::new, |day| format!(" until {}", words::day(day)));
    format!("{}, {leg}, from {}{until}; {}, {known}", words::capital(&what), words::day(order.from), order.by)
}

pub(super) fn take(entry: &mut Entry<'_>) {
    for side in Side::BOTH {
        let path = format!("weight_bearing.{side}");
        let any = LEG.iter().any(|(key, _, ask)| entry.changed(&format!("{path}.{key}"), *ask).is_some());
        if !any {
            continue;
        }
        let all_empty = LEG.iter().all(|(key, ..)| entry.typed(&format!("{path}.{key}")) == Some(""));
        if all_empty {
            entry.text.remove(&path);
            continue;
        }
        for (key, _, ask) in LEG {
            entry.plain(&format!("{path}.{key}"), ask);
        }
        let by = format!("{path}.by");
        if entry.typed(&by) == Some("") {
            entry.text.set(&by, &CaseValue::Text(entry.me.to_owned()));
        }
        let on = format!("{path}.on");
        if entry.text.visit() == Some(entry.found_on) {
            entry.text.remove(&on);
        } else {
            entry.text.set(&on, &CaseValue::Day(entry.found_on));
        }
    }
    take_orders(entry);
}

fn take_orders(entry: &mut Entry<'_>) {
    let limit = entry.typed("orders.new.limit").unwrap_or_default();
    let Some((key, _, figure)) = LIMITS.iter().find(|(key, ..)| *key == limit) else { return };
    let mut new = vec![("limit", CaseValue::Text((*key).to_owned()))];
    let mut add = |key: &'static str, name: &str, ask: Ask, fallback: &str| {
        let typed = entry.typed(&format!("orders.new.{name}")).unwrap_or_default();
        let typed = if typed.is_empty() { fallback } else { typed };
        if let Some(value) = value(ask, typed) {
            new.push((key, value));
        }
    };
    if *key == "joint_angle" {
        add("motion", "motion", Ask::Text, "");
    }
    if let Some((name, ask)) = figure {
        add(name, "figure", *ask, "");
    }
    add("side", "side", Ask::Text, "");
    add("by", "by", Ask::Text, entry.me);
    add("known", "known", Ask::Text, "");
    add("from", "from", Ask::Day, &entry.found_on.to_string());
    add("until", "until", Ask::Day, "");
    let place = entry.text.push("orders", &new);
    entry.renamed.push((format!("orders[{place}]"), "orders.new".to_owned()));
}
