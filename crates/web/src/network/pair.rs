//! The one page that a device sees before it is admitted: a code is typed here that somebody reads out.

use axum::extract::{ConnectInfo, Form, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum::{Extension, Router};
use maud::html;
use serde::Deserialize;
use std::time::Instant;

use super::code::Typed;
use super::{Came, Peer, devices};
use crate::fault::sentence;
use crate::frame::{self, mend};
use crate::seat::to;
use crate::sign_in::too_many;
use crate::{Answer, Web};

/// Addresses that only the network has.
pub(crate) fn routes() -> Router<Web> {
    Router::new()
        .route("/pair", get(show).post(take))
        .route("/still", get(|| async { StatusCode::NO_CONTENT }))
}

/// What is typed. There is no token in this form: a device that was not admitted is given nothing to keep, and
/// the code is the secret.
#[derive(Default, Deserialize)]
struct Sent {
    #[serde(default)]
    code: String,
    #[serde(default)]
    name: String,
}

async fn show(device: Option<Extension<Came>>) -> Response {
    match device {
        Some(_) => to("/"),
        None => view(StatusCode::OK, &Sent::default(), None),
    }
}

async fn take(
    State(web): State<Web>,
    device: Option<Extension<Came>>,
    peer: Option<Extension<ConnectInfo<Peer>>>,
    sent: Result<Form<Sent>, axum::extract::rejection::FormRejection>,
) -> Answer {
    if device.is_some() {
        return Ok(to("/"));
    }
    let Ok(Form(sent)) = sent else {
        return Ok(view(
            StatusCode::UNPROCESSABLE_ENTITY,
            &Sent::default(),
            Some("The form could not be read. Type both again."),
        ));
    };
    if sent.name.trim().is_empty() {
        // Before the code is looked at, so that it is not used up.
        return Ok(view(
            StatusCode::UNPROCESSABLE_ENTITY,
            &sent,
            Some("Give the device a name, such as: tablet by the window."),
        ));
    }
    let from = peer.map_or_else(
        || "an unknown address".to_owned(),
        |Extension(ConnectInfo(Peer(at)))| at.ip().to_string(),
    );
    let (status, why, said) = match web.codes.type_in(&sent.code, Instant::now()) {
        Typed::Right(desk) => {
            return match desk.admit_device(&sent.name).await {
                Ok((id, secret)) => {
                    web.devices.add(secret.mark(), id);
                    Ok(welcome(&sent.name, &secret.to_string()))
                }
                Err(error) => {
                    let why =
                        format!("{} The code is used up: ask for another.", sentence(&error.to_string()));
                    Ok(view(StatusCode::UNPROCESSABLE_ENTITY, &sent, Some(&why)))
                }
            };
        }
        Typed::Wrong(left) => (
            StatusCode::FORBIDDEN,
            format!("That is not the code. Type it again; tries left: {left}."),
            "a wrong code",
        ),
        Typed::Void => (
            StatusCode::FORBIDDEN,
            "That was not the code, once too often. It is worth nothing any more: ask for another."
                .to_owned(),
            "a wrong code, which made the right one void",
        ),
        Typed::None => (
            StatusCode::FORBIDDEN,
            "There is no such code now. It is over after a few minutes and works once: ask for another."
                .to_owned(),
            "a code while none was open",
        ),
        // Nothing was looked at, so nothing was refused.
        Typed::Wait(wait) => {
            let why = too_many(wait, "type the code again");
            return Ok(view(StatusCode::TOO_MANY_REQUESTS, &sent, Some(&why)));
        }
    };
    web.clinic.device_refused(&format!("{said}, from {from}")).await?;
    Ok(view(status, &sent, Some(&why)))
}

fn view(status: StatusCode, typed: &Sent, why: Option<&str>) -> Response {
    let body = html! {
        p { "This device is new here. A clinician admits it: on the machine of the workbench, Clinic, Devices, “Admit a device”. Type the code that stands there." }
        p { "The first time, your browser warns that it does not know this address. Go on only if the fingerprint it shows for the certificate is the one that stands beside the code." }
        (mend(why))
        form.entry method="post" action="/pair" {
            label for="code" { "The code" }
            input id="code" name="code" inputmode="numeric" autocomplete="off" required;
            label for="name" { "A name for this device" }
            p.hint id="name-hint" { "So that it is recognised in the list, such as: tablet by the window." }
            input id="name" name="name" autocomplete="off" required maxlength="40" aria-describedby="name-hint" value=(typed.name);
            button.action type="submit" { "Have it admitted" }
        }
    };
    (status, frame::outside("Admit this device", body)).into_response()
}

fn welcome(name: &str, secret: &str) -> Response {
    let body = html! {
        p { "It is known as “" (name.trim()) "” from now on, until a clinician sends it away under Clinic, Devices." }
        p { "Lock it with a code of its own, as any device that leaves the room." }
        p { a.action href="/sign-in" { "Sign in" } }
    };
    let mut response = frame::outside("This device is admitted", body).into_response();
    if let Some(cookie) = devices::give(secret) {
        response.headers_mut().append(header::SET_COOKIE, cookie);
    }
    response
}
