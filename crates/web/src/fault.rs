//! When something cannot be answered: a page that says what happened and gives a way out.

use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Redirect, Response};
use maud::{Markup, html};

use crate::frame;

/// Why a page cannot be shown.
pub(crate) enum Fault {
    /// Somebody has to sign in, or to unlock, first.
    Elsewhere(&'static str),
    /// The records refused.
    Clinic(clinic::Error),
    /// There is no such thing.
    NotFound(&'static str),
    /// The form is not one we gave out, or too old.
    Form(&'static str),
    /// What was asked for cannot be done: why, and what to do.
    Refused(String),
    /// A computation broke off.
    Broken(String),
}

impl From<clinic::Error> for Fault {
    fn from(error: clinic::Error) -> Self {
        Self::Clinic(error)
    }
}

impl IntoResponse for Fault {
    fn into_response(self) -> Response {
        let (status, title, why) = match self {
            Self::Elsewhere(to) => return Redirect::to(to).into_response(),
            Self::Clinic(error) => {
                let status = match &error {
                    clinic::Error::Store(inner) => match inner {
                        store::Error::SessionEnded => return Redirect::to("/sign-in").into_response(),
                        store::Error::NotPermitted { .. } => StatusCode::FORBIDDEN,
                        store::Error::NoPerson { .. }
                        | store::Error::NoRecord { .. }
                        | store::Error::Destroyed { .. } => StatusCode::NOT_FOUND,
                        store::Error::CorrectedMeanwhile { .. } | store::Error::SentDifferently { .. } => {
                            StatusCode::CONFLICT
                        }
                        _ => StatusCode::INTERNAL_SERVER_ERROR,
                    },
                    clinic::Error::Body { .. } | clinic::Error::Demo(_) => StatusCode::INTERNAL_SERVER_ERROR,
                    _ => StatusCode::UNPROCESSABLE_ENTITY,
                };
                (status, "That did not work", sentence(&error.to_string()))
            }
            Self::NotFound(what) => (StatusCode::NOT_FOUND, "No such page", what.to_owned()),
            Self::Form(why) => (StatusCode::FORBIDDEN, "The form was not taken", why.to_owned()),
            Self::Refused(why) => (StatusCode::UNPROCESSABLE_ENTITY, "That cannot be done", why),
            Self::Broken(why) => {
                let why =
                    format!("The computation broke off: {why}. Nothing was changed; open the page again.");
                (StatusCode::INTERNAL_SERVER_ERROR, "That did not work", why)
            }
        };
        let body = html! {
            p { (why) }
            p { a.action href="/" { "Go to Today" } }
        };
        (status, frame::bare(title, body)).into_response()
    }
}

/// An error as a sentence: a capital at its beginning, a stop at its end.
pub(crate) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let mut out: String = letters.next().map(|first| first.to_uppercase().collect()).unwrap_or_default();
    out.push_str(letters.as_str());
    if !out.ends_with(['.', '!', '?']) {
        out.push('.');
    }
    out
}

/// A page of one sentence.
pub(crate) fn plain(title: &str, why: &str) -> Html<String> {
    let body: Markup = html! { p { (why) } };
    frame::bare(title, body)
}
