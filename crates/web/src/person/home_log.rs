//! Home log: what was done and what hurt, newest first, and a log that somebody tells.

use axum::Router;
use axum::routing::get;
use clinic::{Done, Entry, Lesson, LogSource, PracticeItem, PracticeRecord, Standing};
use jiff::civil::Date;
use maud::{Markup, html};

use super::{Tab, again, page, standing};
use crate::fields::Fields;
use crate::frame::mend;
use crate::seat::{Seat, Whose, at};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/people/{person}/home-log", get(show).post(take))
}

async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let logs = seat.desk.read::<PracticeRecord>(whose.0).await?;
    let taught = seat.desk.lessons(whose.0).await?;
    let typed = Fields::known([("on", standing.day.to_string())]);
    let body = view(&seat, &standing, (&logs, &taught), &typed, None);
    page(&seat, &standing, Tab::HomeLog, body)
}

async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    match parse(&fields, standing.day) {
        Ok(log) => {
            seat.desk.append(whose.0, &log, fields.once()).await?;
            seat.saved(&whose.at("home-log"))
        }
        Err(why) => {
            let logs = seat.desk.read::<PracticeRecord>(whose.0).await?;
            let taught = seat.desk.lessons(whose.0).await?;
            let body = view(&seat, &standing, (&logs, &taught), &fields, Some(&why));
            again(&seat, &standing, Tab::HomeLog, body)
        }
    }
}

/// Entries that stand open; earlier ones are folded.
const OPEN: usize = 10;

/// Ways in which somebody tells of a log. What is taught is tapped on its own page and stands here by itself.
fn told() -> impl Iterator<Item = LogSource> {
    LogSource::ALL.into_iter().filter(|source| *source != LogSource::Taught)
}

fn parse(fields: &Fields, today: Date) -> Result<PracticeRecord, String> {
    let typed = fields.get("on").trim();
    let on = typed.parse::<Date>().ok().filter(|on| *on <= today).ok_or_else(|| {
        format!("The day cannot be `{typed}`; accepted: a day such as {today}, not after it. Type the day it was done.")
    })?;
    let source = told()
        .find(|source| source.key() == fields.get("source"))
        .ok_or_else(|| "Say how you know of it: choose one of the ways.".to_owned())?;
    let pain_before = match fields.get("pain_before").trim() {
        "" => None,
        typed => Some(typed.parse().ok().filter(|pain| *pain <= 10).ok_or_else(|| {
            format!("Pain cannot be `{typed}`; accepted: 0 to 10, or nothing. Type a whole number.")
        })?),
    };
    let remark = fields.get("remark").trim().to_owned();
    if remark.is_empty() && pain_before.is_none() {
        return Err(
            "Nothing was said about that day. Write what was done and what hurt, or a pain from 0 to 10."
                .to_owned(),
        );
    }
    Ok(PracticeRecord { on, source, pain_before, items: Vec::new(), remark })
}

fn view(
    seat: &Seat,
    standing: &Standing,
    (logs, taught): (&[Entry<PracticeRecord>], &[Lesson]),
    typed: &Fields,
    why: Option<&str>,
) -> Markup {
    let teach = at(standing.line.id, "teach");
    let lesson = |lesson: &Lesson| {
        let goes_on = lesson.finished.is_none() && lesson.record.on == standing.day;
        (lesson.record.on, super::teach::seen(&lesson.record, goes_on.then_some(teach.as_str())))
    };
    // Of one day the lesson comes first, then what was entered last.
    let mut all: Vec<(Date, Markup)> = taught.iter().rev().map(lesson).collect();
    all.extend(logs.iter().rev().map(|entry| (entry.body.on, one(&entry.body))));
    all.sort_by_key(|(on, _)| std::cmp::Reverse(*on));
    html! {
        @if all.is_empty() {
            p { "Nothing was logged yet. A log comes from the practice page, from paper, by telephone, or told at the visit; all count alike." }
        }
        @if !all.is_empty() { p { a.action.second href="#enter" { "Enter a log" } } }
        @for entry in all.iter().take(OPEN) { (entry.1) }
        @if all.len() > OPEN {
            details { summary { (all.len() - OPEN) " earlier" } @for entry in all.iter().skip(OPEN) { (entry.1) } }
        }
        section {
            h2 id="enter" { "Enter a log" }
            (mend(why))
            form.entry method="post" action=(at(standing.line.id, "home-log")) data-keeps {
                (seat.form())
                label for="on" { "Done on" }
                input id="on" name="on" type="date" required max=(standing.day) value=(typed.get("on"));
                fieldset {
                    legend { "How we know" }
                    @for source in told() {
                        label.choice { input type="radio" name="source" value=(source.key()) required checked[typed.get("source") == source.key()]; " " (source.words()) }
                    }
                }
                label for="pain_before" { "Pain before it began, 0 to 10" }
                input id="pain_before" name="pain_before" inputmode="numeric" autocomplete="off" value=(typed.get("pain_before"));
                label for="remark" { "What was done, and what hurt" }
                textarea id="remark" name="remark" rows="4" { (typed.get("remark")) }
                button.action type="submit" { "Save the log" }
            }
        }
    }
}

fn one(log: &PracticeRecord) -> Markup {
    html! {
        section.log {
            h2 { (words::day(log.on)) ", " (log.source.words()) }
            @if let Some(pain) = log.pain_before { p { "Pain before: " (pain) " of 10." } }
            @if !log.items.is_empty() {
                table {
                    caption.quiet { "Each direction on " (words::day(log.on)) }
                    thead { tr { th scope="col" { "Movement" } th scope="col" { "Done" } th scope="col" { "Pain" } } }
                    tbody { @for item in &log.items { tr {
                        th scope="row" { (movement(item)) }
                        td { @if item.done == Done::Done { "done" } @else { strong { (item.done.words()) } } }
                        td { @match item.pain { Some(pain) => { (pain) " of 10" } None => { "not said" } } }
                    } } }
                }
            }
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
