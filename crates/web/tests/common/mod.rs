//! One workbench over the invented clinic, and a browser that asks it.
#![allow(dead_code)]

pub mod tls;

use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Request, StatusCode, header};
use clinic::{Admitted, Clinic, DEMO_NAME, DEMO_PASSPHRASE, Desk, PersonId};
use tower::ServiceExt;

/// The workbench with the records behind it.
pub struct Workbench {
    pub clinic: Arc<Clinic>,
    router: Router,
}

/// A browser with its cookie.
pub struct Browser<'a> {
    of: &'a Workbench,
    cookie: Option<String>,
}

/// An answer.
pub struct Page {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub body: String,
}

impl Workbench {
    /// The invented clinic on a day of its story.
    pub async fn invented() -> Self {
        let today = Arc::new(|| jiff::civil::date(2026, 2, 4));
        Self::of(Clinic::demo(today).await.unwrap_or_else(|error| panic!("{error}")))
    }

    /// The workbench over other records.
    pub fn of(clinic: Arc<Clinic>) -> Self {
        Self { router: web::router(clinic.clone(), 8750), clinic }
    }

    /// A browser that was never here.
    pub fn browser(&self) -> Browser<'_> {
        Browser { of: self, cookie: None }
    }

    /// A browser in which the therapist signed in, with the PIN 2468.
    pub async fn signed_in(&self) -> Browser<'_> {
        self.signed_in_as(DEMO_NAME, DEMO_PASSPHRASE).await
    }

    /// A browser in which somebody else signed in, with the PIN 2468.
    pub async fn signed_in_as(&self, name: &str, passphrase: &str) -> Browser<'_> {
        let mut browser = self.browser();
        browser.get("/sign-in").await;
        let fields = [("name", name), ("passphrase", passphrase), ("pin", "2468")];
        let page = browser.send("/sign-in", "/sign-in", &fields).await;
        assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
        browser
    }

    /// A desk beside the browser, to look at what is stored.
    pub async fn desk(&self) -> Desk {
        match self.clinic.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await.unwrap_or_else(|error| panic!("{error}"))
        {
            Admitted::Welcome(desk) => desk,
            Admitted::Refused { .. } | Admitted::Wait { .. } => {
                panic!("the passphrase of the invented clinic")
            }
        }
    }

    /// The person of this number.
    pub async fn person(&self, number: &str) -> PersonId {
        let people = self.desk().await.people().await.unwrap_or_else(|error| panic!("{error}"));
        people
            .iter()
            .find(|line| line.person.number == number)
            .unwrap_or_else(|| panic!("nobody has {number}"))
            .id
    }
}

impl Browser<'_> {
    /// Asks for a page.
    pub async fn get(&mut self, path: &str) -> Page {
        self.ask(Request::get(path).header(header::HOST, "127.0.0.1:8750"), Body::empty()).await
    }

    /// Opens a page, fills its form and sends it: token and key come from the page.
    pub async fn send(&mut self, page: &str, action: &str, fields: &[(&str, &str)]) -> Page {
        let form = self.get(page).await;
        self.post(action, &form.hidden(), fields).await
    }

    /// Sends a form with these hidden fields.
    pub async fn post(&mut self, action: &str, hidden: &[(String, String)], fields: &[(&str, &str)]) -> Page {
        let pairs = hidden.iter().map(|(a, b)| (a.as_str(), b.as_str())).chain(fields.iter().copied());
        let body: Vec<String> =
            pairs.map(|(name, value)| format!("{}={}", escaped(name), escaped(value))).collect();
        let request = Request::post(action)
            .header(header::HOST, "127.0.0.1:8750")
            .header(header::ORIGIN, "http://127.0.0.1:8750")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.ask(request, Body::from(body.join("&"))).await
    }

    /// Asks anything.
    pub async fn ask(&mut self, request: axum::http::request::Builder, body: Body) -> Page {
        let request = match &self.cookie {
            Some(cookie) => request.header(header::COOKIE, cookie),
            None => request,
        };
        let request = request.body(body).unwrap_or_else(|error| panic!("{error}"));
        let response = self.of.router.clone().oneshot(request).await.unwrap_or_else(|error| match error {});
        let (parts, body) = response.into_parts();
        if let Some(cookie) = parts.headers.get(header::SET_COOKIE) {
            let text = cookie.to_str().unwrap_or_else(|error| panic!("{error}"));
            self.cookie = text.split(';').next().map(str::to_owned);
        }
        let bytes = to_bytes(body, usize::MAX).await.unwrap_or_else(|error| panic!("{error}"));
        let body = String::from_utf8_lossy(&bytes).into_owned();
        Page { status: parts.status, headers: parts.headers, body }
    }
}

impl Page {
    /// Where it sends the browser.
    pub fn location(&self) -> &str {
        self.headers.get(header::LOCATION).map_or("", |value| value.to_str().unwrap_or_default())
    }

    /// Token and key of its last form.
    pub fn hidden(&self) -> Vec<(String, String)> {
        ["form", "once"]
            .into_iter()
            .map(|name| {
                let before = format!("name=\"{name}\" value=\"");
                let at = self.body.rfind(&before).unwrap_or_else(|| panic!("no `{name}` in {}", self.body));
                let rest = &self.body[at + before.len()..];
                let end = rest.find('"').unwrap_or(rest.len());
                (name.to_owned(), rest[..end].to_owned())
            })
            .collect()
    }
}

fn escaped(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' => char::from(byte).to_string(),
            other => format!("%{other:02X}"),
        })
        .collect()
}
