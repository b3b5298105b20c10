//! What is stored of the home log, newest first, ten on a page.

use clinic::{Done, Entry, Lesson, PracticeItem, PracticeRecord, Standing};
use exchange::typed::{Summary, Worst};
use jiff::civil::Date;
use maud::{Markup, html};
use progress::{Morning, Rung};

use crate::person::teach;
use crate::seat::at;
use crate::words;

/// Entries on one page.
const OPEN: usize = 10;

/// One entry of the list.
enum Shown<'a> {
    Lesson(&'a Lesson),
    Log(&'a PracticeRecord),
}

impl Shown<'_> {
    fn on(&self) -> Date {
        match self {
            Self::Lesson(lesson) => lesson.record.on,
            Self::Log(log) => log.on,
        }
    }
}

/// One page of the list; only what stands on it is written.
pub(super) fn list(
    standing: &Standing,
    logs: &[Entry<PracticeRecord>],
    lessons: &[Lesson],
    which: usize,
) -> Markup {
    // Of one day the lesson comes first, then what was entered last.
    let mut all: Vec<Shown<'_>> = lessons.iter().rev().map(Shown::Lesson).collect();
    all.extend(logs.iter().rev().map(|entry| Shown::Log(&entry.body)));
    all.sort_by_key(|one| std::cmp::Reverse(one.on()));
    let pages = all.len().div_ceil(OPEN).max(1);
    let which = which.clamp(1, pages);
    let from = (which - 1) * OPEN;
    html! {
        @if all.is_empty() {
            p { "Nothing was logged yet. A log comes from the practice page, from paper, by telephone, or told at the visit; all count alike." }
        } @else {
            p { a.action.second href="#enter" { "Enter a log" } }
        }
        @for entry in all.iter().skip(from).take(OPEN) {
            @match entry {
                Shown::Lesson(lesson) => { (taught(standing, lesson)) }
                Shown::Log(log) => { (one(log)) }
            }
        }
        @if pages > 1 { (turn(standing, which, pages, (from + 1, (from + OPEN).min(all.len()), all.len()))) }
    }
}

/// From one page to the next.
fn turn(standing: &Standing, which: usize, pages: usize, (from, to, of): (usize, usize, usize)) -> Markup {
    let page = |which: usize| format!("{}?page={which}", at(standing.line.id, "home-log"));
    html! {
        nav.turn aria-label="Pages of the log" {
            @if which > 1 { a.button href=(page(which - 1)) { "Later" } }
            p { (from) " to " (to) " of " (words::number(of)) ", the newest first" }
            @if which < pages { a.button href=(page(which + 1)) { "Earlier" } }
        }
    }
}

fn taught(standing: &Standing, lesson: &Lesson) -> Markup {
    let link = at(standing.line.id, "teach");
    let goes_on = lesson.finished.is_none() && lesson.record.on == standing.day;
    teach::seen(&lesson.record, goes_on.then_some(link.as_str()))
}

fn one(log: &PracticeRecord) -> Markup {
    html! {
        section.log {
            h2 {
                (words::day(log.on)) @if let Some(nth) = log.nth.filter(|nth| *nth > 1) { ", session " (nth) }
                ", " (log.source.words())
            }
            @if let Some(sign) = log.stopped { p { strong { "Stopped early: " (sign.words()) "." } } }
            @if let Some(pain) = log.pain_before { p { "Pain before: " (pain) " of 10." } }
            @if let Some(effort) = log.effort { p { "Effort: " (effort) " of 10." } }
            @if let Some(morning) = log.morning { p { "The morning after: " (morning_after(morning)) "." } }
            @if !log.items.is_empty() {
                table {
                    caption.quiet { "Each direction on " (words::day(log.on)) }
                    thead { tr { th scope="col" { "Movement" } th scope="col" { "Done" } th scope="col" { "Pain" } } }
                    tbody { @for item in &log.items { tr {
                        th scope="row" { (movement(item)) }
                        td { @if item.done == Done::Done { "done" } @else { strong { (how(item)) } } }
                        td { (pain(item)) }
                    } } }
                }
            }
            @if let Some(told) = &log.summary { (summary(told)) }
            @if !log.remark.is_empty() { p { (log.remark) } }
        }
    }
}

fn movement(item: &PracticeItem) -> String {
    let named_from = item.family.named_from(item.mover);
    format!(
        "{} {} {}",
        words::capital(&item.mover.to_string()),
        item.family,
        item.bearing.named_from(named_from)
    )
}

/// How it was done, where it was not done as asked.
fn how(item: &PracticeItem) -> &'static str {
    match item.rung {
        Some(Rung::Shortened) => "shortened",
        Some(Rung::Supported) => "shortened twice, slower, with support",
        Some(Rung::LeftOut) => "left out because it hurt",
        Some(Rung::Whole) | None => item.done.words(),
    }
}

fn pain(item: &PracticeItem) -> String {
    match (item.pain, item.rung) {
        (Some(pain), _) => format!("{pain} of 10"),
        (None, Some(_)) => "no number given".to_owned(),
        (None, None) if item.done == Done::NotDone => String::new(),
        (None, None) => "not said".to_owned(),
    }
}

/// The morning after, in words.
pub(super) fn morning_after(morning: Morning) -> String {
    match morning {
        Morning::Better => "better than usual".to_owned(),
        Morning::Same => "as usual".to_owned(),
        Morning::Worse(None) => "worse than usual, no number given".to_owned(),
        Morning::Worse(Some(points)) => format!("worse than usual by {points} of 10"),
    }
}

/// What a typed code told.
pub(super) fn summary(told: &Summary) -> Markup {
    let more = if told.or_more { " or more" } else { "" };
    let later = if told.or_later { " or later" } else { "" };
    html! {
        p { "Sessions in the fourteen days to " (words::day(told.last)) (later) ": " (told.sessions) (more) "." }
        @if told.stopped { p { strong { "A stop sign ended a session." } " The code does not say which: ask." } }
        @if told.worst.is_empty() { p { "No pain was told." } }
        @if !told.worst.is_empty() {
            ul { @for (side, bearing, worst) in &told.worst {
                li { (words::capital(&side.to_string())) " leg, going " (bearing.plain_words()) ": " (band(*worst)) }
            } }
        }
        p.quiet { "A typed code tells the worst of each leg in each direction, and no single session." }
    }
}

pub(in crate::person) fn band(worst: Worst) -> &'static str {
    match worst {
        Worst::None => "no pain told",
        Worst::Mild => "worst pain 1 or 2 of 10",
        Worst::Moderate => "worst pain 3 to 5 of 10, or no number given",
        Worst::Strong => "worst pain 6 or more of 10, or left out",
    }
}
