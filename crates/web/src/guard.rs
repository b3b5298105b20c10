//! What every request passes: who it says we are, where it comes from, and the headers of every answer.

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::fault::plain;
use crate::{Web, frame};

/// Nothing from anywhere else, nothing inline, no frame around us.
pub(crate) const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
    img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; form-action 'self'; \
    frame-ancestors 'none'; base-uri 'none'";

const HEADERS: [(HeaderName, &str); 7] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (HeaderName::from_static("permissions-policy"), "camera=(self), microphone=(), geolocation=()"),
];

/// Refuses requests that name another host or come from another page; sets the headers.
pub(crate) async fn guard(State(web): State<Web>, request: Request, next: Next) -> Response {
    let mut response = match refusal(&web, request.method(), request.headers()) {
        Some(why) => (StatusCode::FORBIDDEN, plain("Refused", why)).into_response(),
        None => next.run(request).await,
    };
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

/// A page elsewhere can make a browser ask us, under a name of its own or with a form of its own.
fn refusal(web: &Web, method: &Method, headers: &HeaderMap) -> Option<&'static str> {
    let text = |name: HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    let host = text(header::HOST).unwrap_or_default();
    if !web.hosts.iter().any(|known| known == host) {
        return Some("This address is not the one the workbench printed when it began. Open that one.");
    }
    if method != Method::GET && method != Method::HEAD {
        let own = text(header::ORIGIN).and_then(|origin| origin.strip_prefix("http://"));
        if own != Some(host) {
            return Some("This form did not come from a page of the workbench. Open the page again.");
        }
    }
    None
}

/// No such page.
pub(crate) async fn not_found() -> Response {
    let body = maud::html! {
        p { "There is no such page here. It may have been typed wrongly, or the person was removed." }
        p { a.action href="/" { "Go to Today" } }
    };
    (StatusCode::NOT_FOUND, frame::bare("No such page", body)).into_response()
}
