//! HTTP in, HTML out.
//!
//! # How to add a screen
//!
//! One screen is one file. It has, in this order:
//!
//! 1. `pub(super) fn routes() -> Router<Web>`: its addresses. The parent module merges them.
//! 2. `async fn show(seat: Seat, whose: Whose) -> Answer`: a GET. It reads through `seat.desk`
//!    ([`clinic::Desk`]), then calls the view. [`Seat`](seat::Seat) is only there when somebody is signed in and
//!    the screen is not locked; otherwise the browser was sent to sign in and the handler never ran.
//! 3. `fn view(...) -> Markup`: pure; it takes what was read and what was typed and returns HTML. No
//!    other function writes HTML of the screen.
//! 4. `async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer`: a POST.
//!    [`Fields`](fields::Fields) is only there when the form token was right. `fields.once()` is the key of the
//!    submission: hand it to `desk.append`, and a form that is sent twice is stored once. On success
//!    redirect with [`Seat::saved`](seat::Seat::saved); on a mistake show the view again with
//!    [`Seat::again`](seat::Seat::again), the fields and the sentence, so that nothing typed is lost.
//! 5. `fn parse(fields: &Fields) -> Result<T, String>`: from what was typed to what is meant. The
//!    only place that reads field names.
//!
//! In a view: every form begins with [`seat.form(action)`](frame::form_head) so that it carries token
//! and key; a page has one `h1`, which the frame writes; tables have a caption; a drawing has its
//! text under it; nothing is told by colour alone; an empty state says what to do first. Style goes to
//! `assets/web/footrose.css`, behaviour to a module in `assets/web/`: the content policy forbids inline style,
//! inline script and any other address. A screen works without its module.
//!
//! What takes long (the plan, the space) is asked of [`Seat::reckon`](seat::Seat::reckon) and kept until the findings or
//! the day change.

#![forbid(unsafe_code)]

mod assets;
mod browsers;
mod clinic_pages;
mod drafts;
mod fault;
mod fields;
mod first;
mod frame;
mod guard;
mod hand_over;
mod keeper;
mod network;
mod patience;
mod people;
mod person;
mod reckon;
mod recover;
mod seat;
mod serve;
mod sign_in;
mod today;
mod turns;
mod watched;
mod words;
mod zip;

pub use first::{FirstUse, first_use};
pub use network::NetworkOptions;
pub use serve::{HEAPS, ServeError, ServeOptions, Served, router, runtime, serve, serve_on};

use std::sync::{Arc, RwLock};

use clinic::{Clinic, Settings};

/// What every handler shares. Cheap to clone.
#[derive(Clone)]
pub(crate) struct Web {
    inner: Arc<Inner>,
}

pub(crate) struct Inner {
    pub(crate) clinic: Arc<Clinic>,
    pub(crate) browsers: browsers::Browsers,
    pub(crate) reckoner: reckon::Reckoner,
    pub(crate) pending: patience::Pending,
    /// `127.0.0.1:PORT`, `localhost:PORT`: what a request may call this server.
    pub(crate) hosts: Vec<String>,
    /// The door to the clinic's network, if there is one.
    pub(crate) network: Option<network::Network>,
    pub(crate) devices: network::Devices,
    pub(crate) codes: network::Codes,
    pub(crate) settings: RwLock<Settings>,
}

impl Web {
    /// Takes settings over, as they were read or saved.
    pub(crate) fn adopt(&self, settings: Settings) {
        *self.settings.write().unwrap_or_else(std::sync::PoisonError::into_inner) = settings;
    }

    /// The settings as they were read or saved last.
    pub(crate) fn settings(&self) -> Settings {
        self.settings.read().unwrap_or_else(std::sync::PoisonError::into_inner).clone()
    }
}

impl std::ops::Deref for Web {
    type Target = Inner;
    fn deref(&self) -> &Inner {
        &self.inner
    }
}

/// What a handler gives back.
pub(crate) type Answer = Result<axum::response::Response, fault::Fault>;
