//! The screen in the patient's hands: one person's sheet, and nothing else until somebody unlocks it.

use app::Outcome;
use axum::Router;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{Action, PersonId};
use document::{Handout, LimbSheet, Section};
use drawing::Frame;
use maud::{Markup, PreEscaped, html};

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
    let outcome = web.reckoner.by(desk.account()).plan(&standing).await?;
    let form = web.browsers.form_of(token).ok_or(Fault::Elsewhere("/sign-in"))?;
    let sheet = match (outcome.as_deref(), standing.case.as_deref()) {
        (Some(Outcome::Programme(plan)), Some(case)) => Some(app::handout_of_plan(plan, case, standing.day)),
        _ => None,
    };
    Ok(bare("Your exercises", view(sheet.as_ref(), &form)).into_response())
}

fn view(sheet: Option<&Handout>, form: &str) -> Markup {
    html! {
        @match sheet {
            Some(sheet) => (exercises(sheet)),
            None => p { "There is no sheet for you today. Ask your therapist." },
        }
        form method="post" action="/hand-over/end" {
            (form_fields(form))
            button.action type="submit" { "Give back to the therapist" }
        }
    }
}

/// The patient's part of the sheet: large, plain, with its drawings.
fn exercises(sheet: &Handout) -> Markup {
    let section = |of: &Section| {
        html! { section { h2 { (of.title) } ul { @for sentence in &of.sentences { li { (sentence) } } } } }
    };
    html! {
        div.patient {
            @if let Some(invented) = &sheet.invented { p.invented role="note" { (invented) } }
            p { strong { (sheet.use_until_sentence) } }
            @for rule in &sheet.rules {
                section { h2 { (rule.title) } ul { @for sentence in &rule.sentences { li { (sentence) } } } }
            }
            (section(&sheet.before))
            (section(&sheet.during))
            @for exercise in &sheet.exercises {
                section.exercise {
                    h2 { (exercise.number) ". " (exercise.title) }
                    @for sentence in exercise.how.iter().chain(&exercise.dose_sentences).chain(&exercise.days_sentences) { p { (sentence) } }
                    div.limbs { @for limb in &exercise.limbs { (one_limb(limb)) } }
                    @if let Some(missing) = &exercise.missing_limb { p { (missing) } }
                }
            }
            (section(&sheet.stop))
            p { (sheet.stopped) }
            (section(&sheet.next_day))
            (section(&sheet.seen_today))
            (section(&sheet.emergency))
            section {
                h2 { "Whom to call" }
                @for sentence in &sheet.whom_to_call { p { (sentence) } }
                ul { @for contact in sheet.contacts.iter().filter(|one| one.value.is_some()) { li { (contact.label) ": " (contact.value.as_deref().unwrap_or_default()) } } }
            }
        }
    }
}

/// Points; the style sheet scales the drawing to the page.
const FRAME: Frame = Frame { width: 300.0, height: 300.0, type_size: 13.0 };

fn one_limb(limb: &LimbSheet) -> Markup {
    let floor = drawing::floor(&limb.floor, FRAME).svg();
    html! {
        figure {
            h3 { (limb.heading) }
            ul { @for step in &limb.steps { li { (step) } } }
            div role="img" aria-label=(limb.floor_in_words) { (PreEscaped(floor.as_str())) }
            figcaption {
                ul { @for to in &limb.distances { li { (to.direction) ": " (to.written) } } }
                @if let Some(sentence) = &limb.do_not_go { p { (sentence) } }
            }
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
