//! Programme: what is proposed today and why, accepting it, and its sheet.

use app::{Outcome, Plan};
use axum::Router;
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{Action, ProgrammeRecord, Standing};
use maud::{Markup, html};

use super::{Tab, alert, nothing_found, page, standing};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::seat::{Seat, Whose, at};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/programme", get(show))
        .route("/people/{person}/programme/accept", post(accept))
        .route("/people/{person}/programme/sheet.pdf", get(sheet))
}

async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let outcome = seat.reckon().plan(&standing).await?;
    let body = match outcome.as_deref() {
        None => nothing_found(&standing),
        Some(outcome) => view(&seat, &standing, outcome),
    };
    page(&seat, &standing, Tab::Programme, body)
}

async fn accept(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let outcome = seat.reckon().plan(&standing).await?;
    let (Some(Outcome::Programme(plan)), Some(case)) = (outcome.as_deref(), standing.case.as_deref()) else {
        return Err(Fault::NotFound(
            "There is no proposal any more: the findings have changed. Open the programme again.",
        ));
    };
    let handout = app::handout_of_plan(plan, case, standing.day);
    let record = ProgrammeRecord {
        for_day: plan.programme.for_day,
        use_until: plan.programme.use_until,
        exercises: plan
            .programme
            .exercises
            .iter()
            .map(|exercise| exercise.movements().map(|one| one.spec().sentence()).collect())
            .collect(),
        json: app::programme_json(plan, case, &handout),
        why: plan.programme.why.join(" "),
    };
    seat.desk.append(whose.0, &record, fields.once()).await?;
    seat.saved(&whose.at("programme"))
}

/// The home sheet as PDF.
#[cfg(feature = "pdf")]
async fn sheet(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let outcome = seat.reckon().plan(&standing).await?;
    let (Some(Outcome::Programme(plan)), Some(case)) = (outcome.as_deref(), standing.case.as_deref()) else {
        return Err(Fault::NotFound("There is no programme today, so there is no sheet."));
    };
    let handout = app::handout_of_plan(plan, case, standing.day);
    let bytes = tokio::task::spawn_blocking(move || {
        let settings =
            document::PdfSettings { paper: document::Paper::A4, tagging: document::Tagging::Accessible };
        document::pdf(&handout, settings)
    })
    .await
    .map_err(|error| Fault::Broken(error.to_string()))?
    .map_err(|error| Fault::Broken(error.to_string()))?;
    seat.desk.note(Action::Printed, whose.0, "home sheet, A4").await?;
    let headers = [
        (header::CONTENT_TYPE, "application/pdf"),
        (header::CONTENT_DISPOSITION, "inline; filename=\"home-sheet.pdf\""),
    ];
    Ok((headers, bytes).into_response())
}

#[cfg(not(feature = "pdf"))]
async fn sheet(_seat: Seat, _whose: Whose) -> Answer {
    let _ = (Action::Printed, header::CONTENT_TYPE);
    Err::<axum::response::Response, Fault>(Fault::NotFound(
        "This build sets no type, so there is no sheet as PDF. Build it with the feature `pdf`.",
    ))
    .map(IntoResponse::into_response)
}

fn view(seat: &Seat, standing: &Standing, outcome: &Outcome) -> Markup {
    match outcome {
        Outcome::Alert(flag) => alert(flag),
        Outcome::NoProgramme(none) => html! {
            p { "No programme can be proposed today. What stands in the way:" }
            ul { @for missing in &none.missing { li { (missing) } } }
        },
        Outcome::Programme(plan) => proposal(seat, standing, plan),
    }
}

fn proposal(seat: &Seat, standing: &Standing, plan: &Plan) -> Markup {
    let id = standing.line.id;
    let programme = &plan.programme;
    let accepted = standing.programme.as_ref();
    html! {
        @if let Some(accepted) = accepted {
            p { "Accepted: the programme of " (words::day(accepted.for_day)) ", to be used until " (words::day(accepted.use_until)) "." }
        }
        h2 { "Proposed for " (words::day(programme.for_day)) }
        @for why in &programme.why { p { (why) } }
        ol.exercises {
            @for exercise in &programme.exercises {
                li {
                    h3 { (words::capital(exercise.family.name())) ", " (format!("{:.0} s", exercise.minutes.in_s())) ", " (exercise.days) }
                    p { (exercise.why) }
                    ul { @for one in exercise.movements() { li { (one.spec().sentence()) } } }
                }
            }
        }
        @if !programme.notes.is_empty() {
            h3 { "To know beside it" }
            ul { @for note in &programme.notes { li { (note) } } }
        }
        p { "To be used until " (words::day(programme.use_until)) "; after that, call before going further." }
        div.acts {
            form method="post" action=(at(id, "programme/accept")) { (seat.form()) button.action type="submit" { "Accept this programme" } }
            a.action href=(at(id, "programme/sheet.pdf")) { "The home sheet (PDF)" }
        }
        @if !programme.dropped.is_empty() {
            details { summary { "Permitted but left out" } ul { @for dropped in &programme.dropped { li { (dropped.reason) } } } }
        }
    }
}
