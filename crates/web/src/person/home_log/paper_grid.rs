//! What stands on the paper log, or was told on the telephone: fourteen days, each with as few taps as are honest.
//!
//! Pain is said or it is not known: no tap, and no default, ever means that nothing hurt.

mod days;
mod shown;

use axum::Router;
use axum::extract::Query;
use axum::routing::get;
use clinic::{LogSource, PracticeRecord, Standing};
use jiff::ToSpan;
use jiff::civil::Date;
use maud::{Markup, html};

use super::super::{Tab, again, page, standing};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::seat::{Seat, Whose, at};
use crate::{Answer, Web};
use days::Paper;

/// Days on a grid, as on the paper.
const DAYS: i64 = 14;

/// Ways of knowing that come with a grid.
const SOURCES: [(LogSource, &str); 2] =
    [(LogSource::Paper, "from the paper grid"), (LogSource::Telephone, "told on the telephone")];

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/people/{person}/home-log/grid", get(show).post(take))
}

/// The ways into the grid, for the home log.
pub(super) fn links(standing: &Standing) -> Markup {
    let place = at(standing.line.id, "home-log/grid");
    html! {
        @if standing.programme.is_some() {
            p.acts {
                a.action.second href=(place) { "Enter the paper grid" }
                a.button href=(format!("{place}?source=telephone")) { "Enter a telephone call" }
            }
        }
    }
}

async fn show(seat: Seat, whose: Whose, Query(asked): Query<Vec<(String, String)>>) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let body = body(&seat, &standing, &Fields::typed(asked), None).await?;
    page(&seat, &standing, Tab::HomeLog, body)
}

async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let Some(paper) = paper(&seat, &standing, &fields).await? else {
        return Err(Fault::NotFound("There is no programme whose log this could be."));
    };
    match days::parse(&fields, &paper) {
        Ok(logs) => {
            seat.desk.append_each(whose.0, &logs, fields.once()).await?;
            seat.saved(&whose.at("home-log"))
        }
        Err(why) => {
            let body = shown::view(&seat, &standing, &paper, &fields, Some(&why));
            again(&seat, &standing, Tab::HomeLog, body)
        }
    }
}

async fn body(seat: &Seat, standing: &Standing, typed: &Fields, why: Option<&str>) -> Result<Markup, Fault> {
    Ok(match paper(seat, standing, typed).await? {
        Some(paper) => shown::view(seat, standing, &paper, typed, why),
        None => html! {
            p { "No programme was accepted yet, so there is no grid of it. " a href=(at(standing.line.id, "programme")) { "Accept one first" } ", or write what was done into the " a href=(at(standing.line.id, "home-log#enter")) { "home log" } "." }
        },
    })
}

/// The grid of the programme that was accepted last. None before there was one.
async fn paper(seat: &Seat, standing: &Standing, asked: &Fields) -> Result<Option<Paper>, Fault> {
    let (Some(record), Some(case)) = (&standing.programme, standing.case.as_deref()) else { return Ok(None) };
    let rings = days::rings(record, &app::PersonToday::of(case, standing.day));
    if rings.is_empty() {
        return Ok(None);
    }
    let today = standing.day;
    let earliest = today.saturating_sub((DAYS - 1).days());
    // The paper begins with the programme; a longer one is entered fourteen days at a time.
    let first = asked
        .get("from")
        .parse::<Date>()
        .ok()
        .filter(|day| *day <= today)
        .unwrap_or_else(|| if record.for_day < earliest { earliest } else { record.for_day.min(today) });
    let logs = seat.desk.read::<PracticeRecord>(standing.line.id).await?;
    let days = (0..DAYS).map(|k| first.saturating_add(k.days())).filter(|day| *day <= today).collect();
    let stored = logs.iter().map(|entry| (entry.body.on, entry.body.source)).collect();
    Ok(Some(Paper {
        a_day: days::times_a_day(record),
        rings,
        days,
        stored,
        first,
        from: record.for_day,
        today,
    }))
}
