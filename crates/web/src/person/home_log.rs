//! Home log: what comes next; what came home; what was done and what hurt, newest first; a log that somebody tells.

mod came_home;
mod next_step;
mod paper_grid;
mod shown;
mod told;

use axum::Router;
use axum::extract::Query;
use axum::response::IntoResponse;
use axum::routing::get;
use clinic::{PracticeRecord, Standing};
use maud::{Markup, html};

use super::{Tab, again, page, standing};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::guard::Decodes;
use crate::seat::{Seat, Whose};
use crate::{Answer, Web};

pub(crate) use next_step::{NextStep, NextStepAnswers};
pub(super) use shown::band;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/home-log", get(show).post(take))
        .merge(came_home::routes())
        .merge(next_step::routes())
        .merge(paper_grid::routes())
}

async fn show(seat: Seat, whose: Whose, Query(asked): Query<Vec<(String, String)>>) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let which = Fields::typed(asked).get("page").parse().unwrap_or(1);
    let typed = Fields::known([("on", standing.day.to_string())]);
    let body = view(&seat, &standing, which, (&typed, None)).await?;
    Ok((Decodes, page(&seat, &standing, Tab::HomeLog, body)?).into_response())
}

async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    match told::parse(&fields, standing.day) {
        Ok(log) => {
            seat.desk.append(whose.0, &log, fields.once()).await?;
            seat.saved(&whose.at("home-log"))
        }
        Err(why) => {
            let body = view(&seat, &standing, 1, (&fields, Some(&why))).await?;
            Ok((Decodes, again(&seat, &standing, Tab::HomeLog, body)?).into_response())
        }
    }
}

async fn view(
    seat: &Seat,
    standing: &Standing,
    which: usize,
    (typed, why): (&Fields, Option<&str>),
) -> Result<Markup, Fault> {
    let id = standing.line.id;
    let logs = seat.desk.read::<PracticeRecord>(id).await?;
    let lessons = seat.desk.lessons(id).await?;
    // What comes next stands over the newest entries only.
    let next = if which == 1 {
        next_step::section(seat, standing).await?
    } else {
        html! {}
    };
    Ok(html! {
        (next)
        (came_home::ways(seat, standing, None))
        (paper_grid::links(standing))
        (shown::list(standing, &logs, &lessons, which))
        (told::form(seat, standing, typed, why))
    })
}
