//! The screen in the patient's hands: one person's sheet, and nothing else until somebody unlocks it.

use app::Outcome;
use axum::Router;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{Action, PersonId};
use maud::{Markup, html};

use crate::browsers::{Screen, token_of};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::frame::bare;
use crate::seat::{Seat, Whose, form_fields, lock_after, to};
use crate::{Answer, Web};

pub(crate) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/hand-over", post(begin))
        .route("/hand-over", get(show))
        .route("/hand-over/end", post(end))
}

async fn begin(seat: Seat, whose: Whose, _fields: Fields) -> Answer {
    // Whoever does not exist is not handed over.
    seat.desk.person(whose.0).await?;
    seat.desk.note(Action::Locked, whose.0, "handed over to the patient").await?;
    seat.web.browsers.show(&seat.token, Screen::HandedOver(whose.0));
    Ok(to("/hand-over"))
}

async fn show(State(web): State<Web>, headers: HeaderMap) -> Answer {
    let token = token_of(&headers).unwrap_or_default();
    let Some((desk, screen, _)) = web.browsers.look(token, lock_after(&web), false) else {
        return Ok(to("/sign-in"));
    };
    let person = match screen {
        Screen::HandedOver(person) => person,
        Screen::Locked => return Ok(to("/locked")),
        Screen::Open => return Ok(to("/")),
    };
    let standing = desk.standing(person).await?;
    let outcome = web.reckoner.plan(&standing).await?;
    let form = web.browsers.form_of(token).ok_or(Fault::Elsewhere("/sign-in"))?;
    let text = match (outcome.as_deref(), standing.case.as_deref()) {
        (Some(Outcome::Programme(plan)), Some(case)) => {
            document::text(&app::handout_of_plan(plan, case, standing.day))
        }
        _ => "There is no sheet for you today. Ask your therapist.".to_owned(),
    };
    Ok(bare("Your exercises", view(&text, &form)).into_response())
}

fn view(text: &str, form: &str) -> Markup {
    html! {
        pre.sheet { (text) }
        form method="post" action="/hand-over/end" {
            (form_fields(form))
            button type="submit" { "Give back to the therapist" }
        }
    }
}

/// Giving back locks: the therapist comes back with a PIN or a passphrase.
async fn end(State(web): State<Web>, headers: HeaderMap, _fields: Fields) -> Answer {
    let token = token_of(&headers).unwrap_or_default();
    if let Some((desk, _, _)) = web.browsers.look(token, lock_after(&web), false) {
        desk.note(Action::Locked, PersonId::CLINIC, "given back by the patient").await?;
    }
    web.browsers.show(token, Screen::Locked);
    Ok(to("/locked"))
}
