//! Today: who needs attention and why.

use axum::Router;
use axum::extract::Query;
use axum::routing::get;
use clinic::{Attention, AttentionList, Reason};
use jiff::civil::Date;
use maud::{Markup, html};
use serde::Deserialize;

use crate::clinic_pages::notice;
use crate::frame::Here;
use crate::seat::{Seat, at};
use crate::{Answer, Web, words};

/// So many people stand on one page.
const MOST: usize = 50;

pub(crate) fn routes() -> Router<Web> {
    Router::new().route("/", get(show))
}

#[derive(Deserialize)]
struct Asked {
    /// How many are left out at the beginning: those of the pages before.
    #[serde(default)]
    after: usize,
}

async fn show(seat: Seat, Query(asked): Query<Asked>) -> Answer {
    let list = seat.desk.attention(asked.after, MOST).await?;
    let demo = seat.desk.clinic().is_demo();
    let backup = seat.desk.backup_state(&seat.web.settings()).await?;
    let body = html! {
        @if !demo { (notice::trouble(&backup)) }
        (view(&list, asked.after, seat.desk.today(), demo))
        @if !demo { (notice::age(&backup)) }
    };
    seat.page("Today", Here::Today, body)
}

/// Where a reason is looked into.
fn page_of(reason: &Reason) -> &'static str {
    match reason {
        Reason::RedFlag | Reason::FindingsPast { .. } | Reason::OrderEnds { .. } | Reason::NoCase => {
            "findings"
        }
        Reason::Unreadable { .. } => "record",
        Reason::Stopped(_) | Reason::PainRising { .. } | Reason::NothingLogged { .. } => "home-log",
        Reason::ProgrammePast { .. } | Reason::ProgrammeEnds { .. } => "programme",
        Reason::RetestDue { .. } => "measures",
    }
}

fn view(list: &AttentionList, after: usize, today: Date, demo: bool) -> Markup {
    let day = if demo {
        "Each invented person is shown on the day of their own story.".to_owned()
    } else {
        format!("{}.", words::day(today))
    };
    html! {
        p { (day) }
        @if list.people == 0 {
            p { "Nobody is in the records yet. Add the first person; a name or initials are enough." }
            p { a.action href="/people/new" { "Add a person" } }
        } @else {
            div id="today" {
                @if let Some((read, of)) = list.reading { (reading(read, of)) }
                @if list.needing == 0 {
                    @if list.reading.is_none() { p { "Nobody needs attention. " a href="/people" { "All people" } } }
                } @else {
                    @if list.needing > MOST || after > 0 { (place(list, after)) }
                    ul.attention { @for one in &list.some { (line(one)) } }
                    (turn(list, after))
                    @if list.reading.is_none() {
                        @let quiet = list.people - list.needing;
                        p {
                            @if quiet == 1 { "One more person needs nothing today. " }
                            @if quiet > 1 { (words::number(quiet)) " more need nothing today. " }
                            a href="/people" { "All people" }
                        }
                    }
                }
            }
        }
    }
}

/// What is not known yet, said before what is.
fn reading(read: usize, of: usize) -> Markup {
    html! {
        div.reading data-reading {
            p role="status" { "Still reading after the unlock. Whoever is known to need attention stands below; more may come." }
            div.far {
                p { "People read: " (words::number(read)) " of " (words::number(of)) "." }
                progress max=(of) value=(read) aria-label="People read" {}
            }
            p { a href="/" { "Look again" } " · " a href="/people" { "Find a person, meanwhile" } }
        }
    }
}

fn place(list: &AttentionList, after: usize) -> Markup {
    let last = after + list.some.len();
    html! {
        p {
            @if list.some.is_empty() { "The list is shorter now: " (words::number(list.needing)) " people need attention." }
            @else { (words::number(after + 1)) " to " (words::number(last)) " of " strong { (words::number(list.needing)) } " people who need attention, the most pressing first." }
        }
    }
}

/// To the page after and the page before.
fn turn(list: &AttentionList, after: usize) -> Markup {
    let last = after + list.some.len();
    let left = list.needing.saturating_sub(last);
    let back = after.saturating_sub(MOST);
    html! {
        @if left > 0 || after > 0 {
            nav.turn aria-label="More of the list" {
                @if left > 0 { a.action href=(format!("/?after={last}")) { "Show the next " (left.min(MOST)) } }
                @if after > 0 { a.action.second href=(if back == 0 { "/".to_owned() } else { format!("/?after={back}") }) { "Back to the " (after.min(MOST)) " before" } }
            }
        }
    }
}

fn line(one: &Attention) -> Markup {
    html! {
        li {
            h2 { a href=(at(one.person, "findings")) { (one.name) } @if !one.number.is_empty() { " " span.quiet { (one.number) } } }
            ul {
                @for reason in &one.reasons {
                    li { a href=(at(one.person, page_of(reason))) { (reason) } }
                }
            }
        }
    }
}
