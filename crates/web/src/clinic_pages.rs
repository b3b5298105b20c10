//! Clinic: people, accounts, what waits for a signature, backup age, settings, the audit.

mod accounts;
mod adverse;
mod agreement;
mod audit;
mod backup;
mod devices;
pub(crate) mod notice;
mod outcomes;
mod settings;
mod signing;

use axum::Router;
use axum::routing::get;
use clinic::BackupState;
use maud::{Markup, html};

use crate::frame::Here;
use crate::seat::Seat;
use crate::{Answer, Web, words};

pub(crate) fn routes() -> Router<Web> {
    Router::new()
        .route("/clinic", get(show))
        .merge(accounts::routes())
        .merge(adverse::routes())
        .merge(agreement::routes())
        .merge(audit::routes())
        .merge(backup::routes())
        .merge(devices::routes())
        .merge(outcomes::routes())
        .merge(settings::routes())
        .merge(signing::routes())
}

async fn show(seat: Seat) -> Answer {
    let people = seat.desk.find_people("", 0).await?.1;
    let waiting = seat.desk.awaiting_countersignature().await?.len();
    let backup = seat.desk.backup_state(&seat.web.settings()).await?;
    seat.page("Clinic", Here::Clinic, view(people, waiting, &backup))
}

fn view(people: usize, waiting: usize, backup: &BackupState) -> Markup {
    let door = |to: &str, name: &str, about: &str| {
        html! { li { a href=(to) { (name) } p { (about) } } }
    };
    html! {
        (notice::trouble(backup))
        (notice::age(backup))
        ul.doors {
            (door("/people", "People", &format!("{} in the records", words::number(people))))
            (door("/clinic/countersign", "To countersign", &format!("{waiting} entries of students wait")))
            (door("/clinic/outcomes", "Outcomes", "Who changed by more than the error of the test, for better or worse"))
            (door("/clinic/agreement", "Rater agreement", "How far two raters, or two tries, lie apart; the error of a test of your own"))
            (door("/clinic/adverse", "Adverse events", "What went wrong, with whom, and what was done"))
            (door("/clinic/accounts", "Accounts", "Who works here, in which role; your passphrase"))
            (door("/clinic/devices", "Devices", "Tablets and other machines of the clinic's network: who is let in, who is sent away"))
            (door("/clinic/settings", "Settings", "When the screen locks, when Today speaks up, what sheets say of the clinic"))
            (door("/clinic/backup", "Backup", "Made by themselves or by hand; try one; read everything once"))
            (door("/clinic/audit", "Audit", "Who saw, changed, printed what, and whether the chain is whole"))
        }
    }
}
