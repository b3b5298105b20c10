//! What was seen when a programme was taught, as it stands in the home log.

use clinic::{TaughtItem, TeachRecord};
use maud::{Markup, html};
use movement::Crossing;

use super::taps::TAPS;
use crate::words;

/// One lesson. `go_on` is where one that was not finished goes on.
pub(in crate::person) fn seen(lesson: &TeachRecord, go_on: Option<&str>) -> Markup {
    html! {
        section.log {
            h2 { (words::day(lesson.on)) ", taught in the room" @if go_on.is_some() { ", not finished" } }
            @if let Some(page) = go_on { p { "Every tap is saved. " a href=(page) { "Go on teaching" } } }
            @if !lesson.items.is_empty() {
                table {
                    caption.quiet { "Each direction on " (words::day(lesson.on)) }
                    thead { tr { th scope="col" { "Exercise, leg and direction" } th scope="col" { "When" } th scope="col" { "How it went" } } }
                    tbody { @for item in &lesson.items { tr {
                        th scope="row" { (item.exercise) ", " (item.mover) ", " (item.bearing.plain_words()) (way(item)) @if let Some(cm) = item.distance_cm { (format!(", {cm:.0} cm")) } }
                        td { @if item.shown_back { "shown back" } @else { "taught" } }
                        td { (how(item)) }
                    } } }
                }
            }
            @if !lesson.remark.is_empty() { p { (lesson.remark) } }
        }
    }
}

fn way(item: &TaughtItem) -> &'static str {
    match item.crossing {
        Crossing::None => "",
        Crossing::InFront => ", across, in front",
        Crossing::Behind => ", across, behind",
    }
}

fn how(item: &TaughtItem) -> String {
    let words = TAPS.into_iter().find(|(was, ..)| *was == item.was).map_or("", |(.., words)| words);
    match item.pain {
        Some(pain) => format!("{}, pain {pain} of 10", words.to_lowercase()),
        None => words.to_lowercase(),
    }
}
