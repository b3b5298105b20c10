//! A log that somebody tells: the day, how we know, pain before, a remark.

use clinic::{LogSource, PracticeRecord, Standing};
use jiff::civil::Date;
use maud::{Markup, html};

use crate::fields::Fields;
use crate::frame::mend;
use crate::seat::{Seat, at};

/// Ways in which somebody tells of a log. What is taught is tapped on its own page and stands here by itself; what
/// the practice page says itself is read and not told.
fn ways() -> impl Iterator<Item = LogSource> {
    let itself = [LogSource::Taught, LogSource::File, LogSource::Typed];
    LogSource::ALL.into_iter().filter(move |source| !itself.contains(source))
}

pub(super) fn parse(fields: &Fields, today: Date) -> Result<PracticeRecord, String> {
    let typed = fields.get("on").trim();
    let on = typed.parse::<Date>().ok().filter(|on| *on <= today).ok_or_else(|| {
        format!("The day cannot be `{typed}`; accepted: a day such as {today}, not after it. Type the day it was done.")
    })?;
    let source = ways()
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
    Ok(PracticeRecord { pain_before, remark, ..PracticeRecord::bare(on, source) })
}

pub(super) fn form(seat: &Seat, standing: &Standing, typed: &Fields, why: Option<&str>) -> Markup {
    html! {
        section {
            h2 id="enter" { "Enter a log" }
            (mend(why))
            form.entry method="post" action=(at(standing.line.id, "home-log")) data-keeps {
                (seat.form())
                label for="on" { "Done on" }
                input id="on" name="on" type="date" required max=(standing.day) value=(typed.get("on"));
                fieldset {
                    legend { "How we know" }
                    @for source in ways() {
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
