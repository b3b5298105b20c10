//! What takes long is not waited for in silence: a page says so, and comes back when it is there.

use std::collections::HashMap;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use axum::extract::{FromRequestParts, Request, State};
use axum::http::request::Parts;
use axum::http::{Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use maud::html;
use tokio::task::JoinHandle;

use crate::browsers::token_of;
use crate::fault::Fault;
use crate::frame::Here;
use crate::seat::Seat;
use crate::{Answer, Web};

/// So long nobody minds.
const LONGEST: Duration = Duration::from_millis(700);

/// Whether a person waits for a page; modules and files wait by themselves.
fn is_page(parts: &Parts) -> bool {
    let html = parts.headers.get(header::ACCEPT).and_then(|value| value.to_str().ok());
    parts.method == Method::GET
        && html.is_some_and(|accepted| accepted.contains("text/html"))
        && !parts.uri.path().contains('.')
}

/// Pages that somebody waits for, by browser and address.
#[derive(Default)]
pub(crate) struct Pending {
    all: Mutex<HashMap<(String, String), JoinHandle<Response>>>,
}

/// Pages that are worked on at once, for all browsers together; beyond, the rest is begun anew when asked for.
const MOST: usize = 64;

impl Pending {
    fn all(&self) -> MutexGuard<'_, HashMap<(String, String), JoinHandle<Response>>> {
        self.all.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn take(&self, key: &(String, String)) -> Option<JoinHandle<Response>> {
        self.all().remove(key)
    }

    fn keep(&self, key: (String, String), work: JoinHandle<Response>) {
        let mut all = self.all();
        if all.len() >= MOST {
            all.clear();
        }
        all.insert(key, work);
    }

    /// What a browser waits for is out of date once it has sent something.
    fn forget(&self, token: &str) {
        self.all().retain(|(of, _), _| of != token);
    }
}

/// Answers at once when it can; else says that it works, and gives the page when it is asked for again.
pub(crate) async fn patience(State(web): State<Web>, request: Request, next: Next) -> Response {
    let (parts, body) = request.into_parts();
    let token = token_of(&parts.headers).unwrap_or_default().to_owned();
    if parts.method != Method::GET {
        web.pending.forget(&token);
    }
    if !is_page(&parts) {
        return next.run(Request::from_parts(parts, body)).await;
    }
    let mut asked = parts.clone();
    // A page that was worked out is given only to whom it was worked out for, at an open screen.
    let seat = match Seat::from_request_parts(&mut asked, &web).await {
        Ok(seat) => seat,
        Err(fault) => return fault.into_response(),
    };
    let key = (token, format!("{} {}", seat.desk.account(), parts.uri));
    let begun = web.pending.take(&key);
    let mut work = begun.unwrap_or_else(|| tokio::spawn(next.run(Request::from_parts(parts, body))));
    match tokio::time::timeout(LONGEST, &mut work).await {
        Ok(Ok(response)) => response,
        Ok(Err(error)) => Fault::Broken(error.to_string()).into_response(),
        Err(_) => {
            web.pending.keep(key, work);
            waiting(&seat, asked.uri.path()).unwrap_or_else(IntoResponse::into_response)
        }
    }
}

fn waiting(seat: &Seat, path: &str) -> Answer {
    let body = html! {
        div data-again {
            p role="status" { "Working out what is allowed today. This takes some seconds the first time after the findings or the day have changed." }
            p { a href=(path) { "Look whether it is there" } }
            p { a href="/" { "Leave it, and go to Today" } }
        }
    };
    seat.page("One moment", Here::People, body)
}
