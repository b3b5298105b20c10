//! What students entered and no clinician has countersigned yet.

use std::collections::HashMap;

use axum::Router;
use axum::routing::get;
use clinic::PersonId;
use maud::{Markup, html};

use crate::fault::Fault;
use crate::fields::Fields;
use crate::frame::Here;
use crate::seat::{Seat, at};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/clinic/countersign", get(show).post(take))
}

/// One entry that waits.
struct Waiting {
    record: String,
    person: PersonId,
    name: String,
    what: String,
}

async fn show(seat: Seat) -> Answer {
    let records = seat.desk.awaiting_countersignature().await?;
    let names: HashMap<PersonId, String> =
        seat.desk.people().await?.into_iter().map(|line| (line.id, line.person.name)).collect();
    let accounts = seat.desk.accounts()?;
    let waiting: Vec<Waiting> = records
        .iter()
        .map(|record| {
            let author =
                accounts.iter().find(|one| one.id == record.author()).map_or("unknown", |one| &one.name);
            Waiting {
                record: record.id().to_string(),
                person: record.person(),
                name: names.get(&record.person()).cloned().unwrap_or_default(),
                what: format!(
                    "{} of {author}, {}",
                    record.kind().replace('-', " "),
                    words::moment(record.at())
                ),
            }
        })
        .collect();
    seat.page("To countersign", Here::Clinic, view(&seat, &waiting))
}

async fn take(seat: Seat, fields: Fields) -> Answer {
    let record = fields.get("record").parse().map_err(|_| Fault::NotFound("There is no such entry."))?;
    seat.desk.countersign(record).await?;
    seat.saved("/clinic/countersign")
}

/// Where an entry is read.
fn page_of(what: &str) -> &'static str {
    match what.split(' ').next() {
        Some("practice" | "teach" | "adaptation") => "home-log",
        Some("measures") => "measures",
        Some("programme" | "handed-out") => "programme",
        _ => "findings",
    }
}

fn view(seat: &Seat, waiting: &[Waiting]) -> Markup {
    html! {
        p { a href="/clinic" { "Clinic" } }
        @if waiting.is_empty() {
            p { "Nothing waits. Entries of students appear here until a clinician countersigns them." }
        } @else {
            ul.plain {
                @for one in waiting {
                    li {
                        p { a href=(at(one.person, page_of(&one.what))) { (one.name) } ": " (one.what) }
                        form method="post" action="/clinic/countersign" {
                            (seat.form())
                            input type="hidden" name="record" value=(one.record);
                            button type="submit" { "Countersign " (one.what) }
                        }
                    }
                }
            }
        }
    }
}
