//! Signing in and out, locking, and coming back with a PIN.

use axum::Router;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use clinic::{Action, Admitted, DEMO_NAME, DEMO_PASSPHRASE, PersonId, defaults};
use maud::{Markup, html};

use crate::browsers::{Screen, Unlocked, Waiting, token_of};
use crate::fields::Fields;
use crate::frame::{bare, mend};
use crate::seat::{Seat, form_fields, to};
use crate::{Answer, Web, keeper};

pub(crate) fn routes() -> Router<Web> {
    Router::new()
        .route("/sign-in", get(show).post(take))
        .route("/sign-out", post(leave))
        .route("/lock", post(lock))
        .route("/locked", get(show_locked))
        .route("/unlock", post(unlock))
        // What is typed stays through a lock.
        .merge(crate::drafts::routes())
}

/// Gives a page with a form to a browser, which is admitted if it is new.
pub(crate) fn give(
    web: &Web,
    headers: &HeaderMap,
    status: StatusCode,
    page: impl FnOnce(&str) -> Html<String>,
) -> Response {
    let known = token_of(headers).and_then(|token| web.browsers.form_of(token));
    match known {
        Some(form) => (status, page(&form)).into_response(),
        None => {
            let (_, cookie, form) = web.browsers.admit();
            (status, [(header::SET_COOKIE, cookie)], page(&form)).into_response()
        }
    }
}

async fn show(State(web): State<Web>, headers: HeaderMap) -> Response {
    give(&web, &headers, StatusCode::OK, |form| view(&web, form, &Fields::default(), None))
}

fn view(web: &Web, form: &str, typed: &Fields, why: Option<&str>) -> Html<String> {
    let demo = web.clinic.is_demo();
    let [fewest, most] = defaults().lock.pin_digits;
    let known = |name: &str, of_demo: &str| match typed.get(name) {
        "" if demo => of_demo.to_owned(),
        typed => typed.to_owned(),
    };
    bare(
        "Sign in",
        html! {
            @if demo {
                p.invented { "This is the invented clinic. Everybody in it is invented, and it is thrown away at the end. Name and passphrase are filled in." }
            }
            (mend(why))
            form.entry method="post" action="/sign-in" {
                (form_fields(form))
                label for="name" { "Your name" }
                input id="name" name="name" autocomplete="username" required value=(known("name", DEMO_NAME));
                label for="passphrase" { "Your passphrase" }
                input id="passphrase" name="passphrase" type="password" autocomplete="current-password" required
                    value=[demo.then_some(DEMO_PASSPHRASE)];
                label for="pin" { "A PIN for today, if you like" }
                p.hint id="pin-hint" { (fewest) " to " (most) " digits. It opens this screen again after a lock, until the program ends." }
                input id="pin" name="pin" type="password" inputmode="numeric" autocomplete="off" aria-describedby="pin-hint";
                button.action type="submit" { "Sign in" }
            }
            p { a href="/recover" { "The passphrase is forgotten" } }
        },
    )
}

/// What is said after too many tries.
pub(crate) fn too_many(wait: std::time::Duration, then: &str) -> String {
    format!("Too many tries that were wrong. Wait {} seconds, then {then}.", wait.as_secs_f64().ceil())
}

/// The page on which whoever sits here was last.
fn back(web: &Web, token: &str) -> String {
    web.browsers.kept(token, |kept| kept.at()).flatten().unwrap_or_else(|| "/".to_owned())
}

fn parse_pin(fields: &Fields) -> Result<Option<String>, String> {
    let [fewest, most] = defaults().lock.pin_digits;
    match fields.get("pin").trim() {
        "" => Ok(None),
        pin if pin.bytes().all(|byte| byte.is_ascii_digit()) && (fewest..=most).contains(&pin.len()) => {
            Ok(Some(pin.to_owned()))
        }
        _ => {
            Err(format!("A PIN has {fewest} to {most} digits and nothing else. Type one, or leave it empty."))
        }
    }
}

async fn take(State(web): State<Web>, headers: HeaderMap, fields: Fields) -> Answer {
    let again =
        |status, why: &str| Ok(give(&web, &headers, status, |form| view(&web, form, &fields, Some(why))));
    let pin = match parse_pin(&fields) {
        Ok(pin) => pin,
        Err(why) => return again(StatusCode::UNPROCESSABLE_ENTITY, &why),
    };
    match web.clinic.sign_in(fields.get("name"), fields.get("passphrase")).await? {
        Admitted::Welcome(desk) => {
            web.adopt(desk.settings().await?);
            keeper::nudge(&web, &desk);
            let token = token_of(&headers).unwrap_or_default();
            match web.browsers.sit(token, desk, pin) {
                Some((cookie, token)) => {
                    Ok(([(header::SET_COOKIE, cookie)], to(&back(&web, &token))).into_response())
                }
                None => Ok(to("/sign-in")),
            }
        }
        Admitted::Refused { wait } if wait.is_zero() => {
            again(StatusCode::FORBIDDEN, "Name and passphrase do not belong together. Type both again.")
        }
        Admitted::Refused { wait } | Admitted::Wait { wait } => {
            again(StatusCode::TOO_MANY_REQUESTS, &too_many(wait, "type both again"))
        }
    }
}

async fn leave(seat: Seat, _fields: Fields) -> Answer {
    if let Some(desk) = seat.web.browsers.leave(&seat.token) {
        desk.sign_out().await?;
    }
    if seat.web.clinic.is_locked() {
        seat.web.clinic.forget_all();
    }
    Ok(to("/sign-in"))
}

async fn lock(seat: Seat, _fields: Fields) -> Answer {
    seat.desk.note(Action::Locked, PersonId::CLINIC, "by hand").await?;
    seat.web.browsers.show(&seat.token, Screen::Locked);
    Ok(to("/locked"))
}

async fn show_locked(State(web): State<Web>, headers: HeaderMap) -> Response {
    let waiting = token_of(&headers).map(|token| web.browsers.waiting(token)).unwrap_or_default();
    if waiting.is_empty() {
        return to("/sign-in");
    }
    give(&web, &headers, StatusCode::OK, |form| view_locked(form, &waiting, None))
}

fn view_locked(form: &str, waiting: &[Waiting], why: Option<&str>) -> Html<String> {
    let by_pin = |one: &Waiting| -> Markup {
        let id = format!("pin-{}", one.place);
        html! {
            form.entry method="post" action="/unlock" {
                (form_fields(form))
                input type="hidden" name="place" value=(one.place);
                label for=(id) { "PIN of " (one.name) }
                input id=(id) name="pin" type="password" inputmode="numeric" autocomplete="off" required;
                button.action type="submit" { "Go on as " (one.name) }
            }
        }
    };
    bare(
        "Locked",
        html! {
            p { "Nothing is lost. Everybody who signed in here today comes back with the PIN." }
            (mend(why))
            @for one in waiting {
                @if one.has_pin { (by_pin(one)) } @else {
                    p { (one.name) " took no PIN and signs in with the passphrase." }
                }
            }
            p { a href="/sign-in" { "Sign in with a passphrase, or as somebody else" } }
        },
    )
}

async fn unlock(State(web): State<Web>, headers: HeaderMap, fields: Fields) -> Answer {
    let token = token_of(&headers).unwrap_or_default();
    let place = fields.get("place").parse().unwrap_or(usize::MAX);
    let why = match web.browsers.unlock(token, place, fields.get("pin").trim(), defaults().lock.pin_tries) {
        Unlocked::Yes(desk) => {
            desk.note(Action::Unlocked, PersonId::CLINIC, "with a PIN").await?;
            keeper::nudge(&web, &desk);
            return Ok(to(&back(&web, token)));
        }
        Unlocked::Out(desk) => {
            desk.note(Action::SignInFailed, PersonId::CLINIC, "too many wrong PINs").await?;
            desk.sign_out().await?;
            "That was the last try. Sign in with the passphrase.".to_owned()
        }
        Unlocked::No(left) => format!("That is not the PIN. Type it again; tries left: {left}."),
        Unlocked::NoPin => "There is no PIN for this name. Sign in with the passphrase.".to_owned(),
    };
    let waiting = web.browsers.waiting(token);
    Ok(give(&web, &headers, StatusCode::FORBIDDEN, |form| view_locked(form, &waiting, Some(&why))))
}
