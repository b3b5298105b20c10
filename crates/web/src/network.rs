//! The clinic's own network: a second door, in TLS, for devices that were admitted and for nobody else.

mod authority;
mod code;
mod devices;
mod listen;
mod pair;
mod place;

use std::path::Path;
use std::sync::Arc;
use std::time::Instant;

use axum::extract::Request;
use axum::http::{HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use clinic::DeviceId;
use tokio::net::TcpListener;
use tokio_rustls::rustls::ServerConfig;

use crate::browsers::{self, cookie_of};
use crate::{Web, frame};

pub(crate) use code::Codes;
pub(crate) use devices::Devices;
pub(crate) use listen::{Peer, Tls};
pub(crate) use pair::routes;
pub use place::NetworkOptions;

/// The name under which a browser of the network keeps its session: from https and this very host only.
const SESSION: &str = "__Host-footrose";

/// What a device gets before it was admitted: the page to be admitted on, and what that looks like.
const OUTSIDE: [&str; 5] =
    ["/pair", "/assets/footrose.css", "/assets/regular.ttf", "/assets/bold.ttf", "/assets/icon.svg"];

/// What is known of the door to the network.
pub(crate) struct Network {
    /// Where it is, such as `https://192.168.1.20:8751/`, by the address and by each name.
    pub(crate) addresses: Vec<String>,
    /// What a request may call this server.
    pub(crate) called: Vec<String>,
    /// SHA-256 of the certificate of this machine.
    pub(crate) fingerprint: String,
    /// SHA-256 of the authority that signed it.
    pub(crate) authority_fingerprint: String,
    /// The certificate of the authority.
    pub(crate) authority: Vec<u8>,
}

/// A door that is bound and not yet open.
pub(crate) struct Bound {
    listener: TcpListener,
    config: Arc<ServerConfig>,
    pub(crate) network: Network,
}

/// Binds the door. Keys and certificate are made on first use.
///
/// # Errors
/// What stands in the way and what to do, in one sentence.
pub(crate) async fn bind(
    options: &NetworkOptions,
    records: &Path,
    today: jiff::civil::Date,
) -> Result<Bound, String> {
    let mut place = place::Place::of(options)?;
    let listener = TcpListener::bind(place.at).await.map_err(|error| {
        format!("{} cannot be used: {error}; name an address that this machine has on its network, and a free port", place.at)
    })?;
    place.at = listener.local_addr().map_err(|error| format!("{} cannot be used: {error}", place.at))?;
    let identity = authority::identity(&authority::beside(records), &place.hosts(), today)?;
    let called = place.called();
    let network = Network {
        addresses: called.iter().map(|host| format!("https://{host}/")).collect(),
        called,
        fingerprint: identity.fingerprint,
        authority_fingerprint: identity.authority_fingerprint,
        authority: identity.authority,
    };
    Ok(Bound { listener, config: identity.config, network })
}

impl Bound {
    /// Begins to listen; what is known of the door is handed on.
    pub(crate) fn listen(self) -> std::io::Result<(Tls, Network)> {
        let address = self.network.addresses.first().cloned().unwrap_or_default();
        Ok((Tls::new(self.listener, self.config, address)?, self.network))
    }
}

/// A request that came from an admitted device.
#[derive(Clone, Copy)]
pub(crate) struct Came;

/// Lets a request in that comes from an admitted device; others get the page to be admitted on, and nothing else.
pub(crate) async fn pass(web: &Web, mut request: Request, next: Next) -> Response {
    let Some(seen) = web.devices.seen(request.headers(), Instant::now()) else {
        return outside(request, next).await;
    };
    if seen.write {
        let clinic = web.clinic.clone();
        // Only for the list of devices; when the disk is full, other pages say so.
        tokio::spawn(async move { clinic.device_seen(seen.id).await.ok() });
    }
    let renewed =
        (request.uri().path() == "/sign-in").then(|| devices::give_again(request.headers())).flatten();
    let session = cookie_of(request.headers(), SESSION).map(str::to_owned);
    // A session that began elsewhere is worth nothing here.
    let own = session.filter(|token| web.browsers.is_at(token, Some(seen.id)));
    browsers::carry(request.headers_mut(), own.as_deref());
    request.extensions_mut().insert(Came);
    let mut response = next.run(request).await;
    keep_secure(web, &mut response, seen.id);
    if let Some(renewed) = renewed {
        response.headers_mut().append(header::SET_COOKIE, renewed);
    }
    if web.devices.knows(seen.id) {
        return response;
    }
    // It was sent away while this was worked on.
    send_away(web, seen.id).await;
    refused()
}

/// Ends every session at a device.
pub(crate) async fn send_away(web: &Web, device: DeviceId) {
    web.devices.remove(device);
    for desk in web.browsers.end_at(device) {
        // Who had signed out already is out.
        let _ = desk.sign_out().await;
    }
    if web.clinic.is_locked() {
        web.clinic.forget_all();
    }
}

async fn outside(mut request: Request, next: Next) -> Response {
    let path = request.uri().path();
    if OUTSIDE.contains(&path) {
        browsers::carry(request.headers_mut(), None);
        return next.run(request).await;
    }
    if path == "/" && request.method() == Method::GET {
        return crate::seat::to("/pair");
    }
    refused()
}

fn refused() -> Response {
    let body = maud::html! {
        p { "This device is not admitted to the workbench, or it was sent away. Nothing of the records is shown on it." }
        p { a.action href="/pair" { "Have it admitted" } }
    };
    (StatusCode::FORBIDDEN, frame::outside("Not admitted", body)).into_response()
}

/// No session leaves by this door without being bound to the device and to https.
fn keep_secure(web: &Web, response: &mut Response, device: DeviceId) {
    let given: Vec<HeaderValue> = response.headers().get_all(header::SET_COOKIE).iter().cloned().collect();
    response.headers_mut().remove(header::SET_COOKIE);
    for cookie in given {
        let kept = match browsers::token_in(&cookie) {
            Some(token) => {
                web.browsers.bind(token, device);
                HeaderValue::from_str(&format!(
                    "{SESSION}={token}; Path=/; Secure; HttpOnly; SameSite=Strict"
                ))
                .ok()
            }
            None => Some(cookie),
        };
        if let Some(kept) = kept {
            response.headers_mut().append(header::SET_COOKIE, kept);
        }
    }
}
