//! The grid as it is tapped: a line for each day, and the floors of the paper for what hurt or was left out.

use clinic::{LogSource, Standing};
use jiff::ToSpan;
use jiff::civil::Date;
use maud::{Markup, PreEscaped, html};
use movement::Bearing;
use progress::StopSign;

use super::days::{Paper, Ring, Whole, beside, day_field, limb_words, ring_field};
use super::{DAYS, SOURCES};
use crate::fields::Fields;
use crate::frame::mend;
use crate::seat::{Seat, at};
use crate::words;

/// Points; the style sheet scales the floors to the page.
const SIDE: f64 = 200.0;

pub(super) fn view(
    seat: &Seat,
    standing: &Standing,
    paper: &Paper,
    typed: &Fields,
    why: Option<&str>,
) -> Markup {
    let here = at(standing.line.id, "home-log/grid");
    html! {
        p { a href=(at(standing.line.id, "home-log")) { "The home log" } }
        h2 { "The paper grid of the programme of " (words::day(paper.from)) }
        (mend(why))
        p.hint { "Tap one answer for each day you know of; a day without a tap is not written down. Where a ring on the paper is marked, open the day and tap that ring on the floor. “Done, no pain unless marked” says that nothing else hurt; where nobody asked, tap “Done, pain not said”." }
        (turn(&here, paper))
        form id="paper-grid" method="post" action=(here) data-keeps {
            (seat.form())
            input type="hidden" name="from" value=(paper.first);
            fieldset.source {
                legend { "How we know" }
                @for (source, words) in SOURCES {
                    label.chip { input type="radio" name="source" value=(source.key()) checked[typed.get("source") == source.key()]; span { (words) } }
                }
            }
            p.pairs {
                label for="times" { "Times a day, where a day does not say otherwise" }
                (how_often("times", typed.get("times"), paper, "not said: counts as once"))
            }
            ol.grid-days {
                @for (place, day) in paper.days.iter().enumerate() { (one(paper, *day, place, typed)) }
            }
            div.save {
                button.action type="submit" { "Save these days" }
                p.said-days id="grid-count" role="status" {}
            }
        }
        template id="grid-floors" { (floors(paper)) }
        script type="module" src="/assets/paper-grid.js" {}
    }
}

/// Fourteen days on, where a programme is longer.
fn turn(here: &str, paper: &Paper) -> Markup {
    let earlier = paper.first.saturating_sub(DAYS.days());
    let later = paper.first.saturating_add(DAYS.days());
    html! {
        p.acts {
            @if paper.first > paper.from { a.button href=(format!("{here}?from={}", earlier.max(paper.from))) { "Fourteen days earlier" } }
            @if later <= paper.today { a.button href=(format!("{here}?from={later}")) { "Fourteen days later" } }
        }
    }
}

fn short(day: Date) -> String {
    day.strftime("%a %-d %b").to_string()
}

fn one(paper: &Paper, day: Date, place: usize, typed: &Fields) -> Markup {
    let name = day_field(day);
    let given = typed.get(&name);
    let stored: Vec<LogSource> =
        paper.stored.iter().filter(|(on, _)| *on == day).map(|(_, source)| *source).collect();
    let is_open = paper.rings.iter().any(|ring| !typed.get(&ring_field(day, ring)).is_empty());
    html! {
        li.grid-day data-day=(day) {
            fieldset {
                legend { (short(day)) }
                @for (_, key, words) in Whole::ALL {
                    label.chip { input type="radio" name=(name) value=(key) checked[given == key]; span { (words) } }
                }
                @if place > 0 { button.same type="button" hidden { "As the day before, marks too" } }
            }
            @if !stored.is_empty() {
                p.hint { "In the log already: " (stored.iter().map(|source| source.words()).collect::<Vec<_>>().join(", ")) ". What you enter is counted beside those." }
            }
            details open[is_open] {
                summary { "What hurt, what was left out, how often, the morning after, a stop sign" span.marks {} }
                div.floors-here {}
                div.rings-list {
                    @for ring in &paper.rings { (select(ring, day, typed)) }
                }
                div.pairs {
                    p { label for=(beside("times", day)) { "Times that day" }
                        (how_often(&beside("times", day), typed.get(&beside("times", day)), paper, "as above"))
                    }
                    p { label for=(beside("before", day)) { "Pain before, 0 to 10" }
                        input.short id=(beside("before", day)) name=(beside("before", day)) inputmode="numeric" autocomplete="off" value=(typed.get(&beside("before", day)));
                    }
                    p { label for=(beside("morning", day)) { "Next morning" }
                        select id=(beside("morning", day)) name=(beside("morning", day)) {
                            @for (key, words) in [("", "not said"), ("better", "better"), ("same", "the same"), ("worse", "worse")] {
                                option value=(key) selected[typed.get(&beside("morning", day)) == key] { (words) }
                            }
                        }
                    }
                    p.wide { label for=(beside("stop", day)) { "Ended by a stop sign" }
                        select id=(beside("stop", day)) name=(beside("stop", day)) {
                            option value="" { "none told" }
                            @for sign in StopSign::ALL {
                                option value=(sign.key()) selected[typed.get(&beside("stop", day)) == sign.key()] { (sign.words()) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn how_often(name: &str, chosen: &str, paper: &Paper, not_said: &str) -> Markup {
    html! {
        select id=(name) name=(name) {
            option value="" selected[chosen.is_empty()] { (not_said) }
            @for times in 1..=paper.most_a_day().max(2) {
                option value=(times) selected[chosen == times.to_string()] { (times) }
            }
        }
    }
}

/// What may be written into a ring.
fn choices() -> Vec<(String, String)> {
    let numbers = (1..=10).map(|pain: u8| (pain.to_string(), format!("hurt, {pain}")));
    let first = [("", "as the rest"), ("out", "left out"), ("hurt", "hurt, no number")];
    first.into_iter().map(|(key, words)| (key.to_owned(), words.to_owned())).chain(numbers).collect()
}

fn select(ring: &Ring, day: Date, typed: &Fields) -> Markup {
    let name = ring_field(day, ring);
    html! {
        p {
            label for=(name) { (ring.exercise) ". " (ring.words()) span.unseen { ", " (words::day(day)) } }
            select id=(name) name=(name) data-ring=(ring.key()) {
                @for (key, words) in choices() { option value=(key) selected[typed.get(&name) == key] { (words) } }
            }
        }
    }
}

/// The floors of the paper, one for each limb of each exercise, with the numbers to tap.
fn floors(paper: &Paper) -> Markup {
    let mut limbs: Vec<(u8, anatomy::Side, movement::Family)> = Vec::new();
    for ring in &paper.rings {
        let limb = (ring.exercise, ring.mover, ring.family);
        if !limbs.contains(&limb) {
            limbs.push(limb);
        }
    }
    html! {
        div.floors {
            @for (exercise, mover, family) in limbs {
                @let rings: Vec<&Ring> = paper.rings.iter().filter(|ring| (ring.exercise, ring.mover) == (exercise, mover)).collect();
                figure {
                    figcaption { (exercise) ". " (words::capital(family.name())) ", " strong { (limb_words(family, mover).to_lowercase()) } }
                    (floor(&rings))
                }
            }
        }
        div.pad role="group" aria-label="What is written into the ring" hidden {
            p.about {}
            div.chips {
                @for (key, words) in choices() {
                    button type="button" data-mark=(key) { @if key.parse::<u8>().is_ok() { span.unseen { "hurt, " } (key) } @else { (words) } }
                }
            }
        }
    }
}

/// One floor as it stands on the paper, with a place to tap around each ring.
fn floor(rings: &[&Ring]) -> Markup {
    let bearings: Vec<Bearing> = rings.iter().map(|ring| ring.bearing).collect();
    let drawn = drawing::log_floor(&bearings, SIDE).svg();
    let inner =
        drawn.as_str().split_once('>').map_or("", |(_, rest)| rest).trim_end().trim_end_matches("</svg>");
    let out = SIDE / 2.0 - SIDE * RING - 0.8;
    html! {
        svg.paper-floor viewBox=(format!("0 0 {SIDE} {SIDE}")) xmlns="http://www.w3.org/2000/svg" font-family="Atkinson Hyperlegible Next, sans-serif" {
            (PreEscaped(inner))
            @for ring in rings {
                @let (forward, right) = ring.bearing.forward_right();
                @let (x, y) = (SIDE / 2.0 + right * out, SIDE / 2.0 - forward * out);
                g.ring role="button" tabindex="0" data-ring=(ring.key()) data-words=(ring.words()) aria-label=(ring.words()) {
                    path.sector d=(sector(ring.bearing)) {}
                    text x=(format!("{x:.1}")) y=(format!("{:.1}", y + 9.0)) text-anchor="middle" font-size="26" font-weight="700" {}
                }
            }
        }
    }
}

/// Radius of a ring beside the side of its floor, as `drawing::log_floor` draws it.
const RING: f64 = 0.132;

/// An eighth of the floor around a bearing.
fn sector(bearing: Bearing) -> String {
    let middle = SIDE / 2.0;
    let at = |degrees: f64| {
        let (sin, cos) = degrees.to_radians().sin_cos();
        (middle + middle * sin, middle - middle * cos)
    };
    let to = f64::from(bearing.degrees());
    let ((ax, ay), (bx, by)) = (at(to - 22.5), at(to + 22.5));
    format!("M{middle:.1} {middle:.1}L{ax:.1} {ay:.1}A{middle:.1} {middle:.1} 0 0 1 {bx:.1} {by:.1}Z")
}
