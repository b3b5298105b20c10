//! What every request passes: who it says we are, where it comes from, and the headers of every answer.

use std::convert::Infallible;

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, IntoResponseParts, Response, ResponseParts};

use crate::browsers::{self, token_of};
use crate::fault::plain;
use crate::{Web, frame, network};

/// Nothing from anywhere else, nothing inline, no frame around us.
pub(crate) const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
    img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; form-action 'self'; \
    frame-ancestors 'none'; base-uri 'none'";

/// As [`POLICY`], for a page that runs the decoder of codes: a program of our own in WebAssembly, and no other.
const DECODES: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
    img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; form-action 'self'; \
    frame-ancestors 'none'; base-uri 'none'";

/// Beside an answer: its page runs the decoder.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Decodes;

impl IntoResponseParts for Decodes {
    type Error = Infallible;

    fn into_response_parts(self, mut parts: ResponseParts) -> Result<ResponseParts, Infallible> {
        parts.extensions_mut().insert(self);
        Ok(parts)
    }
}

const HEADERS: [(HeaderName, &str); 7] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (HeaderName::from_static("permissions-policy"), "camera=(self), microphone=(), geolocation=()"),
];

/// By which door a request came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Door {
    /// From a browser of this machine.
    Here,
    /// From the clinic's network, in TLS.
    Network,
}

/// Refuses requests that name another host or come from another page; sets the headers.
pub(crate) async fn guard(State((web, door)): State<(Web, Door)>, request: Request, next: Next) -> Response {
    let (hosts, scheme) = match door {
        Door::Here => (web.hosts.as_slice(), "http://"),
        Door::Network => (web.network.as_ref().map_or(&[][..], |network| &network.called), "https://"),
    };
    let response = match (refusal(hosts, scheme, request.method(), request.headers()), door) {
        (Some(why), _) => refused(why),
        (None, Door::Here) => here(&web, request, next).await,
        (None, Door::Network) => network::pass(&web, request, next).await,
    };
    secured(response)
}

/// The answer to a request that is not let in.
pub(crate) fn refused(why: &'static str) -> Response {
    (StatusCode::FORBIDDEN, plain("Refused", why)).into_response()
}

/// An answer with the headers that every answer has.
pub(crate) fn secured(mut response: Response) -> Response {
    let decodes = response.extensions().get::<Decodes>().is_some();
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if decodes {
        headers.insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(DECODES));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

/// On this machine: a session that began at a device of the network is worth nothing here.
async fn here(web: &Web, mut request: Request, next: Next) -> Response {
    let token = token_of(request.headers()).map(str::to_owned);
    let own = token.filter(|token| web.browsers.is_at(token, None));
    browsers::carry(request.headers_mut(), own.as_deref());
    next.run(request).await
}

/// A page elsewhere can make a browser ask us, under a name of its own or with a form of its own.
pub(crate) fn refusal(
    hosts: &[String],
    scheme: &str,
    method: &Method,
    headers: &HeaderMap,
) -> Option<&'static str> {
    let text = |name: HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    let host = text(header::HOST).unwrap_or_default();
    if !hosts.iter().any(|known| known == host) {
        return Some("This address is not the one the workbench printed when it began. Open that one.");
    }
    if method != Method::GET && method != Method::HEAD {
        let own = text(header::ORIGIN).and_then(|origin| origin.strip_prefix(scheme));
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
