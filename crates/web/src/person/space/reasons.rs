//! Each direction in a line: open, limited or closed, why and by whose word, and when it may change.

use app::SpaceRow;
use maud::{Markup, html};
use movement::{Crossing, StanceFoot, Support};
use safety::{Layer, Refusal};

use crate::fault::sentence;
use crate::words;

/// The directions of one limb.
pub(super) fn list(rows: &[&SpaceRow]) -> Markup {
    html! {
        ul.ways {
            @for row in rows {
                li.way data-way=(row.bearing.degrees()) {
                    details {
                        summary { strong { (words::capital(row.direction.name())) (crossing(row.crossing)) } ": " (verdict(row)) }
                        (reasons(row))
                    }
                }
            }
        }
    }
}

/// What would open a floor on which everything is closed by one rule.
pub(super) fn shared(rows: &[&SpaceRow]) -> Option<String> {
    let first = rows.first()?.refusals.first()?;
    let same = |row: &&SpaceRow| {
        let by = row.refusals.first();
        row.to.is_none() && by.is_some_and(|by| by.rule == first.rule && by.opens_when == first.opens_when)
    };
    rows.iter().all(same).then(|| {
        format!("All are closed by one rule, {}. It opens when {}", first.rule, stopped(&first.opens_when))
    })
}

fn crossing(way: Crossing) -> &'static str {
    match way {
        Crossing::None => "",
        Crossing::InFront => " across, in front",
        Crossing::Behind => " across, behind",
    }
}

/// `limited to 35 cm, both hands on the walking frame`.
fn verdict(row: &SpaceRow) -> String {
    let mut out = row.verdict.to_owned();
    if let Some(to) = row.to {
        out.push_str(&format!(" to {:.0} cm", to.in_cm().floor()));
    }
    match (row.support, &row.held) {
        (Support::BothHands, Some(held)) if row.to.is_none() => {
            out.push_str(&format!(", also with both hands on the {held}"));
        }
        (Support::BothHands, Some(held)) => out.push_str(&format!(", both hands on the {held}")),
        (Support::BothHands, None) => out.push_str(", both hands held"),
        _ => {}
    }
    if row.stance_foot == StanceFoot::Pivoting && row.to.is_some() {
        out.push_str(", turning on the standing foot");
    }
    out
}

fn reasons(row: &SpaceRow) -> Markup {
    html! {
        @if row.refusals.is_empty() {
            @for why in &row.because { p.why { (sentence(why)) } }
        }
        @for refusal in &row.refusals { (reason(refusal)) }
    }
}

/// One reason: what and by which rule, whose word, and what would change it.
fn reason(refusal: &Refusal) -> Markup {
    html! {
        p.why {
            (sentence(&refusal.reason)) " "
            span.source { (whose(refusal.layer)) ": " (refusal.rule) ", " (quantity::reference::short_cite(&refusal.source)) ". " }
            @if let Some(until) = refusal.until {
                span.when { "It holds through " (words::day(until)) " and may change the day after. " }
            }
            @if !refusal.opens_when.is_empty() {
                span.when { "It opens when " (stopped(&refusal.opens_when)) }
            }
        }
    }
}

/// What follows `It opens when`, with a stop at its end.
fn stopped(text: &str) -> String {
    let stop = if text.ends_with('.') { "" } else { "." };
    format!("{text}{stop}")
}

/// Whose word it is.
fn whose(layer: Layer) -> &'static str {
    match layer {
        Layer::RedFlag => "Red flag",
        Layer::SurgeonOrder => "Ordered by the treating team",
        Layer::ServicePreset => "This clinic’s rule",
        Layer::DefaultPreset => "Rule that comes with the tool",
        Layer::Body => "Computed from this body",
    }
}
