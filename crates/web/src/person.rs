//! One person: the head and the six tabs, read left to right in the order of the work.

mod findings;
mod home_log;
mod letters;
mod measures;
mod programme;
mod record;
mod space;
#[cfg(feature = "pdf")]
mod summary;
mod teach;

pub(crate) use home_log::{NextStep, NextStepAnswers};

use std::sync::Arc;

use axum::Router;
use axum::routing::get;
use clinic::Standing;
use maud::{Markup, html};

use crate::fault::Fault;
use crate::frame::Here;
use crate::seat::{Seat, Whose, at, to};
use crate::{Answer, Web, words};

pub(crate) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}", get(|whose: Whose| async move { to(&whose.at("findings")) }))
        .merge(findings::routes())
        .merge(space::routes())
        .merge(programme::routes())
        .merge(teach::routes())
        .merge(home_log::routes())
        .merge(measures::routes())
        .merge(letters::routes())
        .merge(record::routes())
}

/// The six tabs in the order of the work, and the record itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tab {
    Findings,
    Space,
    Programme,
    HomeLog,
    Measures,
    Letters,
    Record,
}

impl Tab {
    const ALL: [Self; 7] = [
        Self::Findings,
        Self::Space,
        Self::Programme,
        Self::HomeLog,
        Self::Measures,
        Self::Letters,
        Self::Record,
    ];

    /// The last part of its address.
    pub(crate) fn page(self) -> &'static str {
        match self {
            Self::Findings => "findings",
            Self::Space => "space",
            Self::Programme => "programme",
            Self::HomeLog => "home-log",
            Self::Measures => "measures",
            Self::Letters => "letters",
            Self::Record => "record",
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Findings => "Findings",
            Self::Space => "Movement space",
            Self::Programme => "Programme",
            Self::HomeLog => "Home log",
            Self::Measures => "Measures",
            Self::Letters => "Letters",
            Self::Record => "Record",
        }
    }
}

/// Where the person stands; every tab begins with this.
async fn standing(seat: &Seat, whose: &Whose) -> Result<Arc<Standing>, crate::fault::Fault> {
    Ok(seat.desk.standing(whose.0).await?)
}

/// A page of a tab.
fn page(seat: &Seat, standing: &Standing, tab: Tab, body: Markup) -> Answer {
    let title = format!("{}: {}", standing.person().name, tab.name());
    seat.page(&title, Here::People, around(seat, standing, tab, body))
}

/// The same page again, because something in a form is to be mended.
fn again(seat: &Seat, standing: &Standing, tab: Tab, body: Markup) -> Answer {
    let title = format!("{}: {}", standing.person().name, tab.name());
    seat.again(&title, Here::People, around(seat, standing, tab, body))
}

fn around(seat: &Seat, standing: &Standing, tab: Tab, body: Markup) -> Markup {
    let id = standing.line.id;
    let about = standing.case.as_ref().map(|case| &case.person);
    html! {
        p.who {
            @if !standing.person().number.is_empty() { (standing.person().number) " · " }
            @if let Some(born) = standing.person().born { "born " (words::day(born)) " · " }
            @if let Some(about) = about {
                (about.body.age()) " years" @if !about.about.is_empty() { ", " (about.about) } " · "
            }
            "for " (words::day(standing.day))
        }
        nav.tabs aria-label="This person" {
            ul {
                @for one in Tab::ALL {
                    li { a href=(at(id, one.page())) aria-current=[(one == tab).then_some("page")] { (one.name()) } }
                }
            }
        }
        (body)
        form.aside method="post" action=(at(id, "hand-over")) {
            (seat.form())
            button type="submit" { "Hand the screen over: only this person’s page" }
        }
    }
}

/// What a tab says before anything was found.
fn nothing_found(standing: &Standing) -> Markup {
    html! {
        p { "Nothing is known of " (standing.person().name) " yet. " a href=(at(standing.line.id, "findings")) { "Enter what was found" } ", then this page fills itself." }
    }
}

/// Consent that was refused, wherever a programme is looked at.
fn consent(standing: &Standing) -> Markup {
    let found = standing.case.as_ref().map(|case| &case.findings.consent);
    html! {
        @if let Some(person::Finding::Found { value: false, on }) = found {
            div.mend role="note" {
                p { strong { "The person did not agree on " (words::day(*on)) ". " } "Ask again before anything is examined, taught or sent home." }
            }
        }
    }
}

/// A red flag goes before everything: what stands instead of any movement.
/// Nothing goes home, and nothing comes back, while a stop sign stands that no clinician has looked at.
async fn no_stop_stands(seat: &Seat, whose: &Whose) -> Result<(), Fault> {
    match seat.desk.stops(whose.0).await?.first() {
        None => Ok(()),
        Some(stop) => Err(Fault::Refused(format!(
            "{stop} Nothing is done until a clinician has looked: open the home log and write down there what was found."
        ))),
    }
}

fn alert(alert: &safety::Alert) -> Markup {
    html! {
        section.alert aria-label="Red flag" {
            h2 { "Red flag: no movement may be offered" }
            @for line in alert.to_string().lines() { p { (line) } }
        }
    }
}
