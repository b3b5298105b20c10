//! Today: who needs attention and why.

use axum::Router;
use axum::routing::get;
use clinic::{Attention, Reason};
use jiff::civil::Date;
use maud::{Markup, html};

use crate::clinic_pages::notice;
use crate::frame::Here;
use crate::seat::{Seat, at};
use crate::{Answer, Web, words};

pub(crate) fn routes() -> Router<Web> {
    Router::new().route("/", get(show))
}

async fn show(seat: Seat) -> Answer {
    let people = seat.desk.people().await?;
    let attention = seat.desk.attention().await?;
    let demo = seat.desk.clinic().is_demo();
    let backup = seat.desk.backup_state(&seat.web.settings()).await?;
    let body = html! {
        @if !demo { (notice::trouble(&backup)) }
        (view(&attention, people.len(), seat.desk.today(), demo))
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
        Reason::PainRising { .. } | Reason::NothingLogged { .. } => "home-log",
        Reason::ProgrammePast { .. } | Reason::ProgrammeEnds { .. } => "programme",
        Reason::RetestDue { .. } => "measures",
    }
}

fn view(attention: &[Attention], people: usize, today: Date, demo: bool) -> Markup {
    let day = if demo {
        "Each invented person is shown on the day of their own story.".to_owned()
    } else {
        format!("{}.", words::day(today))
    };
    html! {
        p { (day) }
        @if people == 0 {
            p { "Nobody is in the records yet. Add the first person; a name or initials are enough." }
            p { a.action href="/people/new" { "Add a person" } }
        } @else if attention.is_empty() {
            p { "Nobody needs attention. " a href="/people" { "All people" } }
        } @else {
            ul.attention {
                @for one in attention {
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
            p { (people - attention.len()) " more need nothing today. " a href="/people" { "All people" } }
        }
    }
}
