//! What takes long is not waited for in silence: a page says how far it is, and it can be left or stopped.

use std::collections::HashMap;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use app::Part;
use axum::Router;
use axum::extract::{FromRequestParts, Query, Request, State};
use axum::http::request::Parts;
use axum::http::{Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use maud::{Markup, html};
use serde::Deserialize;
use tokio::task::JoinHandle;

use crate::browsers::token_of;
use crate::fault::Fault;
use crate::fields::Fields;
use crate::frame::{self, Here};
use crate::seat::{QUIET, Seat, Whose, to};
use crate::watched::{Far, Waits};
use crate::{Answer, Web, words};

/// So long nobody minds.
const LONGEST: Duration = Duration::from_millis(700);

pub(crate) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/stop", post(stop))
        .route("/people/{person}/stopped", get(show_stopped))
}

/// Whether a person waits for a page; modules and files wait by themselves.
fn is_page(parts: &Parts) -> bool {
    let html = parts.headers.get(header::ACCEPT).and_then(|value| value.to_str().ok());
    parts.method == Method::GET
        && html.is_some_and(|accepted| accepted.contains("text/html"))
        && !parts.uri.path().contains('.')
}

/// Which page of which browser: the cookie, then account and address.
type Key = (String, String);

fn key(token: &str, seat: &Seat, address: &str) -> Key {
    (token.to_owned(), format!("{} {address}", seat.desk.account()))
}

/// A page that is being worked out.
struct Begun {
    work: JoinHandle<Response>,
    waits: Waits,
    since: Instant,
}

/// Pages that somebody waits for, by browser and address.
#[derive(Default)]
pub(crate) struct Pending {
    all: Mutex<HashMap<Key, Begun>>,
}

/// Pages that are worked on at once, for all browsers together; beyond, the one begun first is given up.
const MOST: usize = 64;

impl Pending {
    fn all(&self) -> MutexGuard<'_, HashMap<Key, Begun>> {
        self.all.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn keep(&self, key: Key, begun: Begun) {
        let mut all = self.all();
        if all.len() >= MOST {
            let first = all.iter().min_by_key(|(_, begun)| begun.since).map(|(key, _)| key.clone());
            if let Some(begun) = first.and_then(|key| all.remove(&key)) {
                begun.work.abort();
            }
        }
        all.insert(key, begun);
    }

    /// How far a page is that is being worked out; none when it is there, or was never begun.
    fn far(&self, key: &Key) -> Option<(Option<(&'static str, Far)>, Duration)> {
        let all = self.all();
        let begun = all.get(key).filter(|begun| !begun.work.is_finished())?;
        Some((begun.waits.told(), begun.since.elapsed()))
    }

    /// Gives up the pages that a browser waits for and that this is true of.
    fn stop(&self, token: &str, is: impl Fn(&str) -> bool) {
        self.all().retain(|(of, page), begun| {
            let stops = of == token && is(page);
            if stops {
                begun.work.abort();
            }
            !stops
        });
    }
}

/// Answers at once when it can; else says that it works, and gives the page when it is asked for again.
pub(crate) async fn patience(State(web): State<Web>, request: Request, next: Next) -> Response {
    let (parts, body) = request.into_parts();
    let token = token_of(&parts.headers).unwrap_or_default().to_owned();
    if parts.method != Method::GET {
        // Once something was sent about a person, their pages of before are out of date.
        let person = parts.uri.path().split('/').take(3).collect::<Vec<_>>().join("/");
        if !parts.uri.path().ends_with("/stop") {
            web.pending.stop(&token, |page| page.contains(&format!(" {person}/")));
        }
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
    let address = parts.uri.to_string();
    let key = key(&token, &seat, &address);
    if parts.headers.contains_key(QUIET) {
        // A module only asks how far it is.
        return match web.pending.far(&key) {
            Some((far, _)) => frame::piece(view_far(&web, far)).into_response(),
            None => StatusCode::NO_CONTENT.into_response(),
        };
    }
    let begun = web.pending.all().remove(&key);
    let mut begun = begun.unwrap_or_else(|| {
        let waits = Waits::default();
        let page = waits.clone().around(next.run(Request::from_parts(parts, body)));
        Begun { work: tokio::spawn(page), waits, since: Instant::now() }
    });
    match tokio::time::timeout(LONGEST, &mut begun.work).await {
        Ok(Ok(response)) => response,
        Ok(Err(error)) => Fault::Broken(error.to_string()).into_response(),
        Err(_) => {
            let far = begun.waits.told();
            web.pending.keep(key, begun);
            waiting(&seat, &address, far)
        }
    }
}

/// How far it is: in words, and as a bar where the engine counts.
fn view_far(web: &Web, far: Option<(&'static str, Far)>) -> Markup {
    let count = |done: usize, of: usize, what: &str| {
        html! {
            p { (what) ": " (words::number(done)) " of " (words::number(of)) "." }
            progress max=(of) value=(done) aria-label=(what) {}
        }
    };
    html! {
        @match far.map(|(_, far)| far) {
            Some(Far::Waits) => {
                @let others = web.reckoner.waiting().saturating_sub(1);
                p { "Others are worked out first" @if others > 0 { "; " (others) " more wait" } ". Whoever was served longest ago comes next." }
            }
            Some(Far::At(Part::Survey { done, of })) => { (count(done, of, "Ways looked at")) }
            Some(Far::At(Part::Movements { done, of })) => { (count(done, of, "Movements computed")) }
            Some(Far::At(Part::Candidates { done, of })) => { (count(done, of, "Open ways computed at the distance for home")) }
            Some(Far::At(Part::Choice)) => { p { "Exercises are chosen: the last part, which is not counted." } }
            Some(Far::Begun) | None => { p { "It has begun." } }
        }
    }
}

fn waiting(seat: &Seat, address: &str, far: Option<(&'static str, Far)>) -> Response {
    let path = address.split('?').next().unwrap_or(address);
    let person = path.split('/').take(3).collect::<Vec<_>>().join("/");
    let what = far.map_or("the page", |(what, _)| what);
    let body = html! {
        div data-again {
            p role="status" { "Working out " (what) " for today. This takes some seconds the first time after the findings or the day have changed." }
            div.far { (view_far(&seat.web, far)) }
            p { a href=(address) { "Look whether it is there" } }
            p { "It goes on while you do something else: " a href="/" { "go to Today" } ", or " a href=(format!("{person}/home-log")) { "to the home log of this person" } "." }
            form method="post" action=(format!("{person}/stop")) {
                (seat.form())
                input type="hidden" name="page" value=(address);
                button type="submit" { "Stop working it out" }
            }
        }
    };
    frame::looking_again(seat, "One moment", Here::People, body).into_response()
}

/// Stops what a browser waits for. What several wait for goes on for the others.
async fn stop(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let page = fields.get("page").to_owned();
    if !page.starts_with(&whose.at("")) {
        return Err(Fault::NotFound("Nothing of this person is worked out under that address."));
    }
    let (_, stopped) = key(&seat.token, &seat, &page);
    seat.web.pending.stop(&seat.token, |of| of == stopped);
    let tab = page.trim_start_matches(&whose.at("")).split(['?', '/']).next().unwrap_or_default().to_owned();
    Ok(to(&format!("{}?tab={tab}", whose.at("stopped"))))
}

#[derive(Deserialize)]
struct StoppedAt {
    #[serde(default)]
    tab: String,
}

async fn show_stopped(seat: Seat, whose: Whose, Query(at): Query<StoppedAt>) -> Answer {
    let name = seat.desk.person(whose.0).await?.person.name;
    let known = ["findings", "space", "programme", "teach", "home-log", "measures"]
        .into_iter()
        .find(|tab| *tab == at.tab);
    let body = html! {
        p role="status" { "Nothing was changed, and nothing is being worked out for this page any more." }
        p { a.action href=(whose.at(known.unwrap_or("findings"))) { "Work it out after all" } }
        p { a href=(whose.at("home-log")) { "The home log of " (name) } }
        p { a href="/" { "Go to Today" } }
    };
    seat.page("Stopped", Here::People, body)
}
