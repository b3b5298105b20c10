//! Somebody at an unlocked screen: what every handler of the workbench begins with.

use std::time::{Duration, Instant};

use axum::extract::{FromRequestParts, RawPathParams};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use clinic::{Desk, PersonId};
use maud::{Markup, PreEscaped};

use crate::browsers::{Screen, chance, token_of};
use crate::drafts::Kept;
use crate::fault::Fault;
use crate::frame::{self, Here};
use crate::reckon::Reckons;
use crate::{Answer, Web};

/// Somebody at an unlocked screen.
pub(crate) struct Seat {
    /// Their desk: all reading and writing.
    pub(crate) desk: Desk,
    pub(crate) web: Web,
    pub(crate) token: String,
    form: String,
    saved: bool,
    /// The address of this request, with its question.
    here: String,
    /// When it was asked for.
    asked: Instant,
}

impl Seat {
    /// A page in the frame.
    pub(crate) fn page(&self, title: &str, here: Here, body: Markup) -> Answer {
        // Whoever comes back after a lock comes back to this page.
        let at = self.here.replace("?saved=1", "?").replace("&saved=1", "");
        self.kept(|kept| kept.shown(self.asked, at.trim_end_matches('?')));
        Ok(frame::framed(self, title, here, body).into_response())
    }

    /// The same page again, because something in the form is to be mended.
    pub(crate) fn again(&self, title: &str, here: Here, body: Markup) -> Answer {
        Ok((StatusCode::UNPROCESSABLE_ENTITY, frame::framed(self, title, here, body)).into_response())
    }

    /// To another page, which says that what was sent is saved.
    pub(crate) fn saved(&self, to: &str) -> Answer {
        let path = self.here.split('?').next().unwrap_or_default();
        self.kept(|kept| kept.done(path));
        let mark = if to.contains('?') { '&' } else { '?' };
        let (path, place) = to.split_once('#').map_or((to, String::new()), |(a, b)| (a, format!("#{b}")));
        Ok(Redirect::to(&format!("{path}{mark}saved=1{place}")).into_response())
    }

    /// The hidden fields that every form begins with: its token and the key of this submission.
    pub(crate) fn form(&self) -> Markup {
        form_fields(&self.form)
    }

    /// What takes long, computed once for each version of the findings and day.
    pub(crate) fn reckon(&self) -> Reckons<'_> {
        self.web.reckoner.by(self.desk.account())
    }

    /// Whether something was saved on the way here.
    pub(crate) fn was_saved(&self) -> bool {
        self.saved
    }

    /// What was typed here and not saved yet.
    pub(crate) fn kept<T>(&self, with: impl FnOnce(&mut Kept) -> T) -> Option<T> {
        self.web.browsers.kept(&self.token, with)
    }

    /// Minutes without a touch after which the screen locks.
    pub(crate) fn lock_after(&self) -> Duration {
        lock_after(&self.web)
    }
}

/// The hidden fields of a form.
pub(crate) fn form_fields(form: &str) -> Markup {
    let once = chance();
    PreEscaped(format!(
        "<input type=\"hidden\" name=\"form\" value=\"{form}\"><input type=\"hidden\" name=\"once\" value=\"{once}\">"
    ))
}

pub(crate) fn lock_after(web: &Web) -> Duration {
    let minutes = web.settings.read().map_or(1, |settings| settings.lock_after_minutes);
    Duration::from_secs(u64::from(minutes) * 60)
}

/// The header of a request that no hand made: a module asks whether something is ready.
pub(crate) const QUIET: &str = "x-footrose-quiet";

fn is_quiet(headers: &HeaderMap) -> bool {
    headers.contains_key(QUIET)
}

impl FromRequestParts<Web> for Seat {
    type Rejection = Fault;

    async fn from_request_parts(parts: &mut Parts, web: &Web) -> Result<Self, Fault> {
        let token = token_of(&parts.headers).ok_or(Fault::Elsewhere("/sign-in"))?.to_owned();
        let looked = web.browsers.look(&token, lock_after(web), is_quiet(&parts.headers));
        let (desk, screen, late) = looked.ok_or(Fault::Elsewhere("/sign-in"))?;
        if !desk.is_signed_in() {
            return Err(Fault::Elsewhere("/sign-in"));
        }
        if late {
            desk.note(clinic::Action::Locked, PersonId::CLINIC, "not touched").await?;
        }
        match screen {
            Screen::Open => {}
            Screen::Locked => return Err(Fault::Elsewhere("/locked")),
            Screen::HandedOver(_) => return Err(Fault::Elsewhere("/hand-over")),
        }
        let form = web.browsers.form_of(&token).ok_or(Fault::Elsewhere("/sign-in"))?;
        let saved = parts.uri.query().is_some_and(|query| query.split('&').any(|pair| pair == "saved=1"));
        let here = parts.uri.path_and_query().map_or_else(String::new, |at| at.as_str().to_owned());
        Ok(Self { desk, web: web.clone(), token, form, saved, here, asked: Instant::now() })
    }
}

/// The person in the address.
pub(crate) struct Whose(pub(crate) PersonId);

impl FromRequestParts<Web> for Whose {
    type Rejection = Fault;

    async fn from_request_parts(parts: &mut Parts, web: &Web) -> Result<Self, Fault> {
        let none = || Fault::NotFound("There is no such person here.");
        let params = RawPathParams::from_request_parts(parts, web).await.map_err(|_| none())?;
        let given = params.iter().find(|(name, _)| *name == "person").map(|(_, value)| value.to_owned());
        given.and_then(|id| id.parse().ok()).map(Whose).ok_or_else(none)
    }
}

impl Whose {
    /// The address of a page of this person.
    pub(crate) fn at(&self, page: &str) -> String {
        at(self.0, page)
    }
}

/// The address of a page of a person.
pub(crate) fn at(person: PersonId, page: &str) -> String {
    format!("/people/{person}/{page}")
}

/// The answer of a GET that only sends elsewhere.
pub(crate) fn to(address: &str) -> Response {
    Redirect::to(address).into_response()
}
