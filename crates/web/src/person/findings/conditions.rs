//! Conditions and operations: what is known of each, and one more.

mod sorts;
mod take;

use clinic::CaseText;
use maud::{Markup, html};
use safety::FindingKey;

use super::fields::Ask;
use super::parts::{chips, field, problem};
use super::shown::Form;
use crate::words;
use sorts::{Own, Sort, sorts};

pub(super) use take::take;

const PHASE: [(&str, &str); 3] = [("2", "2"), ("3", "3"), ("4", "4")];

/// The id that a question about a key of conditions leads to.
pub(super) fn place_of(text: &CaseText, keys: &[&str]) -> String {
    let sorts = sorts();
    (1..=text.entries("conditions"))
        .find_map(|at| {
            let kind = text.given(&format!("conditions[{at}].kind"))?.text;
            let sort = sorts.iter().find(|sort| sort.key == kind)?;
            let own = sort.keys.iter().find(|own| keys.contains(&own.key))?;
            Some(format!("at:conditions[{at}].{}", own.key))
        })
        .unwrap_or_else(|| "conditions".to_owned())
}

pub(super) fn view(form: &Form<'_>) -> Markup {
    let sorts = sorts();
    let count = form.text.as_ref().map_or(0, |text| text.entries("conditions"));
    html! {
        @for at in 1..=count {
            @let path = format!("conditions[{at}]");
            @let kind = form.saved(&format!("{path}.kind"), Ask::Text);
            @if let Some(sort) = sorts.iter().find(|sort| sort.key == kind) {
                div.condition role="group" aria-labelledby=(format!("name:{path}")) id=(format!("at:{path}")) {
                    h3 id=(format!("name:{path}")) { (words::capital(sort.name)) }
                    @for own in &sort.keys { (one(form, &path, own)) }
                    @if sort.phases { (phases(form, &path, sort.name)) }
                    (problem(form, &path))
                    label.choice { input type="checkbox" name="gone" value=(path) checked[form.ticked("gone", &path, false)]; "This condition is not there: take it out" span.unseen { ", " (sort.name) } }
                }
            }
        }
        details.new open[count == 0 || !form.own("conditions.new.kind", "").is_empty()] {
            summary { @if count == 0 { "What is it?" } @else { "One more condition" } }
            (new(form, &sorts))
        }
    }
}

fn one(form: &Form<'_>, path: &str, own: &Own) -> Markup {
    let key = format!("{path}.{}", own.key);
    let life = match own.key {
        "medial_or_varus_thrust" => Some(FindingKey::MedialOrVarusThrust),
        "someone_at_home" => Some(FindingKey::SomeoneAtHome),
        "alone_waived" => Some(FindingKey::AloneWaived),
        "ceiling" => Some(FindingKey::Ceiling),
        _ => None,
    };
    html! {
        div.finding id=(format!("at:{key}")) {
            (field(form, &key, own.ask, &words::capital(own.label)))
            @if let (Some((_, Some(clinic::Freshness::Past { since }))), true) = (form.freshness(&key, life), life.is_some()) {
                p.mark { strong { "Counts as not assessed since " (words::day(since)) } }
                label.choice { input type="checkbox" name="again" value=(key) checked[form.ticked("again", &key, false)]; "Looked again, and the same" }
            }
        }
    }
}

/// Phases that were confirmed, and the next.
fn phases(form: &Form<'_>, path: &str, name: &str) -> Markup {
    let place = path.trim_start_matches("conditions[").trim_end_matches(']').parse::<usize>().unwrap_or(1);
    let case = form.standing.case.as_deref();
    let confirmed =
        case.and_then(|case| case.findings.conditions.get(place - 1)).map(confirmed_of).unwrap_or_default();
    let confirm = format!("confirm:{path}");
    html! {
        div.finding id=(format!("at:{path}.confirmed")) {
            @for (phase, by, on) in confirmed { p.mark { "Phase " (phase) " confirmed by " (by) " on " (words::day(on)) } }
            span.what id=(format!("of:{confirm}")) { "I confirm that this phase may begin" span.unseen { ", " (name) } }
            div role="radiogroup" aria-labelledby=(format!("of:{confirm}")) {
                (chips(&confirm, &form.own(&confirm, ""), "no change", &PHASE))
            }
            (problem(form, &format!("{path}.confirmed")))
        }
    }
}

fn confirmed_of(condition: &person::Condition) -> Vec<(u8, &str, jiff::civil::Date)> {
    use person::Condition as C;
    let list = match condition {
        C::HipReplacement { confirmed, .. }
        | C::KneeReplacement { confirmed, .. }
        | C::KneeOsteoarthritis { confirmed, .. } => confirmed.as_slice(),
        C::Presented(presented) => presented.confirmed.as_slice(),
        C::FallsRisk { .. } | C::Other(_) => &[],
    };
    list.iter().map(|one| (one.phase, one.by.as_str(), one.on)).collect()
}

/// A new condition: its sort at a touch, then only what that sort has.
fn new(form: &Form<'_>, sorts: &[Sort]) -> Markup {
    let path = "conditions.new";
    let kind = form.own("conditions.new.kind", "");
    let choices: Vec<(&str, &str)> = sorts.iter().map(|sort| (sort.key, sort.name)).collect();
    // Keys that several sorts share are asked once; the style sheet shows those of the sort that is chosen.
    let mut shared: Vec<(&Own, Vec<&str>)> = Vec::new();
    for sort in sorts {
        for own in &sort.keys {
            match shared.iter_mut().find(|(known, _)| known.key == own.key && known.ask == own.ask) {
                Some((_, of)) => of.push(sort.key),
                None => shared.push((own, vec![sort.key])),
            }
        }
    }
    html! {
        div.condition.fresh {
            fieldset.kinds id="conditions.new.kind" {
                legend { "Condition or operation" }
                (chips("conditions.new.kind", &kind, "nothing new", &choices))
            }
            @for (own, of) in &shared {
                @let key = name_of(path, own, of);
                div.finding.only data-of=(of.join(" ")) {
                    (field(form, &key, own.ask, &words::capital(own.label)))
                }
            }
        }
    }
}

/// The name of a field of a new condition: forms of several presentations share a key but not choices.
fn name_of(path: &str, own: &Own, of: &[&str]) -> String {
    match (own.key, of) {
        ("pattern", [one]) | ("side", [one]) => format!("{path}.{one}.{}", own.key),
        _ => format!("{path}.{}", own.key),
    }
}
