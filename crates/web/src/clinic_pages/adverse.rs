//! Adverse events: the clinic's list, and entering one for a person.

use axum::Router;
use axum::routing::get;
use clinic::{AdverseEvent, PersonLine};
use jiff::civil::Date;
use maud::{Markup, html};

use crate::fields::Fields;
use crate::frame::{Here, mend};
use crate::seat::{Seat, Whose, at};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/clinic/adverse", get(show))
        .route("/people/{person}/adverse", get(show_one).post(take))
}

async fn show(seat: Seat) -> Answer {
    let newest = seat.desk.newest_of_all::<AdverseEvent>(u32::MAX).await?;
    let people = seat.desk.people().await?;
    let mut events: Vec<(&PersonLine, &AdverseEvent)> = newest
        .iter()
        .filter_map(|(person, entry)| Some((people.iter().find(|line| line.id == *person)?, &entry.body)))
        .collect();
    events.sort_by_key(|(_, event)| std::cmp::Reverse(event.on));
    seat.page("Adverse events", Here::Clinic, view(&events))
}

fn view(events: &[(&PersonLine, &AdverseEvent)]) -> Markup {
    html! {
        p { a href="/clinic" { "Clinic" } }
        @if events.is_empty() {
            p { "None was entered. One is entered on the page “Record” of the person it happened to." }
        } @else {
            table {
                caption { "Newest first" }
                thead { tr { th scope="col" { "Day" } th scope="col" { "Person" } th scope="col" { "What happened" } th scope="col" { "Then" } } }
                tbody { @for (line, event) in events { tr {
                    td { (words::day(event.on)) }
                    th scope="row" { a href=(at(line.id, "record")) { (line.person.name) } }
                    td { (event.what) @if !event.during.is_empty() { ", during " (event.during) } }
                    td { (event.then) }
                } } }
            }
        }
    }
}

async fn show_one(seat: Seat, whose: Whose) -> Answer {
    let standing = seat.desk.standing(whose.0).await?;
    let typed = Fields::known([("on", standing.day.to_string())]);
    let title = format!("{}: an adverse event", standing.person().name);
    seat.page(&title, Here::People, view_one(&seat, &whose, &typed, None))
}

fn parse(fields: &Fields, today: Date) -> Result<AdverseEvent, String> {
    let typed = fields.get("on").trim();
    let on = typed.parse::<Date>().ok().filter(|on| *on <= today).ok_or_else(|| {
        format!("The day cannot be `{typed}`; accepted: a day such as {today}, not after it. Type the day it happened.")
    })?;
    let text = |name: &str| fields.get(name).trim().to_owned();
    let what = text("what");
    if what.is_empty() {
        return Err("Say what happened, in a few words.".to_owned());
    }
    Ok(AdverseEvent { on, what, during: text("during"), then: text("then") })
}

async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = seat.desk.standing(whose.0).await?;
    match parse(&fields, standing.day) {
        Ok(event) => {
            seat.desk.append(whose.0, &event, fields.once()).await?;
            seat.saved(&whose.at("record"))
        }
        Err(why) => {
            let title = format!("{}: an adverse event", standing.person().name);
            seat.again(&title, Here::People, view_one(&seat, &whose, &fields, Some(&why)))
        }
    }
}

fn view_one(seat: &Seat, whose: &Whose, typed: &Fields, why: Option<&str>) -> Markup {
    html! {
        p { a href=(whose.at("record")) { "Back to the record" } }
        (mend(why))
        form.entry method="post" action=(whose.at("adverse")) data-keeps {
            (seat.form())
            label for="on" { "When" }
            input id="on" name="on" type="date" required value=(typed.get("on"));
            label for="what" { "What happened" }
            textarea id="what" name="what" rows="3" required { (typed.get("what")) }
            label for="during" { "While doing what" }
            input.wide id="during" name="during" autocomplete="off" value=(typed.get("during"));
            label for="then" { "What was done about it" }
            textarea id="then" name="then" rows="3" { (typed.get("then")) }
            button.action type="submit" { "Save" }
        }
    }
}
