//! Clinic: people, backup age, settings, the audit.

mod audit;
mod settings;

use axum::Router;
use axum::routing::get;
use clinic::Moment;
use maud::{Markup, html};

use crate::frame::Here;
use crate::seat::Seat;
use crate::{Answer, Web, words};

pub(crate) fn routes() -> Router<Web> {
    Router::new().route("/clinic", get(show)).merge(audit::routes()).merge(settings::routes())
}

async fn show(seat: Seat) -> Answer {
    let people = seat.desk.people().await?.len();
    let backup = seat.desk.clinic().last_backup().await?;
    seat.page("Clinic", Here::Clinic, view(people, backup))
}

fn view(people: usize, backup: Option<Moment>) -> Markup {
    html! {
        ul.doors {
            li { a href="/people" { "People" } p { (people) " in the records" } }
            li { a href="/clinic/settings" { "Settings" } p { "When the screen locks, when Today speaks up, what sheets say of the clinic" } }
            li { a href="/clinic/audit" { "Audit" } p { "Who saw, changed, printed what" } }
        }
        h2 { "Backup" }
        @match backup {
            Some(at) => p { "The last good backup was made on " (words::moment(at)) "." },
            None => p { "No backup was made yet. Until one is made, everything is on this one disk." },
        }
    }
}
