//! Which devices may come in: asked at every request, from memory, by the hash of what a device holds.

use std::collections::HashMap;
use std::sync::{PoisonError, RwLock};
use std::time::{Duration, Instant};

use axum::http::{HeaderMap, HeaderValue};
use clinic::{DeviceId, DeviceMark, DeviceSecret};

use crate::browsers::cookie_of;

/// The name of the cookie. The prefix makes browsers take it from https and from this very host only.
const COOKIE: &str = "__Host-footrose-device";
/// As long as browsers keep a cookie at most: 400 days. It is renewed whenever somebody signs in.
const KEPT_S: u32 = 400 * 24 * 60 * 60;
/// So often it is written down that a device was there.
const WRITE_AGAIN: Duration = Duration::from_secs(5 * 60);

/// The devices that may come in.
#[derive(Default)]
pub(crate) struct Devices {
    all: RwLock<HashMap<DeviceMark, Known>>,
}

struct Known {
    id: DeviceId,
    written: Option<Instant>,
}

/// A device that came in, and whether it is time to write that down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Seen {
    pub(crate) id: DeviceId,
    pub(crate) write: bool,
}

impl Devices {
    /// Those that were admitted before the program began.
    pub(crate) fn of(all: Vec<(DeviceMark, DeviceId)>) -> Self {
        let all = all.into_iter().map(|(mark, id)| (mark, Known { id, written: None })).collect();
        Self { all: RwLock::new(all) }
    }

    /// Lets one in from now on.
    pub(crate) fn add(&self, mark: DeviceMark, id: DeviceId) {
        let mut all = self.all.write().unwrap_or_else(PoisonError::into_inner);
        all.insert(mark, Known { id, written: Some(Instant::now()) });
    }

    /// Lets one in no more.
    pub(crate) fn remove(&self, id: DeviceId) {
        self.all.write().unwrap_or_else(PoisonError::into_inner).retain(|_, known| known.id != id);
    }

    /// Whether one may still come in.
    pub(crate) fn knows(&self, id: DeviceId) -> bool {
        let all = self.all.read().unwrap_or_else(PoisonError::into_inner);
        all.values().any(|known| known.id == id)
    }

    /// The device that sent this request, if it may come in.
    pub(crate) fn seen(&self, headers: &HeaderMap, now: Instant) -> Option<Seen> {
        let mark = DeviceSecret::read(cookie_of(headers, COOKIE)?)?.mark();
        let (id, write) = {
            let all = self.all.read().unwrap_or_else(PoisonError::into_inner);
            let known = all.get(&mark)?;
            let lately = known.written.is_some_and(|at| now.saturating_duration_since(at) < WRITE_AGAIN);
            (known.id, !lately)
        };
        if write && let Some(known) = self.all.write().unwrap_or_else(PoisonError::into_inner).get_mut(&mark)
        {
            known.written = Some(now);
        }
        Some(Seen { id, write })
    }
}

/// The header that gives a device what it is known by.
pub(crate) fn give(secret: &str) -> Option<HeaderValue> {
    let cookie = format!("{COOKIE}={secret}; Path=/; Max-Age={KEPT_S}; Secure; HttpOnly; SameSite=Strict");
    HeaderValue::from_str(&cookie).ok()
}

/// The same header again, so that a device in use is not forgotten by its browser.
pub(crate) fn give_again(headers: &HeaderMap) -> Option<HeaderValue> {
    give(&DeviceSecret::read(cookie_of(headers, COOKIE)?)?.to_string())
}
