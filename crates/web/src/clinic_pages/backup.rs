//! Backup: making one, and reading everything once to see that it is whole.

use std::path::Path;

use axum::Router;
use axum::routing::{get, post};
use clinic::{Check, Moment};
use maud::{Markup, html};

use crate::fault::sentence;
use crate::fields::Fields;
use crate::frame::{Here, mend};
use crate::seat::Seat;
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/clinic/backup", get(show).post(take)).route("/clinic/backup/check", post(check))
}

async fn show(seat: Seat) -> Answer {
    let last = seat.desk.clinic().last_backup().await?;
    seat.page("Backup", Here::Clinic, view(&seat, last, &Fields::default(), None, None))
}

async fn take(seat: Seat, fields: Fields) -> Answer {
    let folder = fields.get("folder").trim();
    let made = seat.desk.backup(Path::new(folder)).await;
    let last = seat.desk.clinic().last_backup().await?;
    match made {
        Ok(made) => {
            let said = format!(
                "{} records are in {}, read back whole. Copy the folder as a whole when you carry it elsewhere.",
                made.records,
                made.file.display()
            );
            seat.page("Backup", Here::Clinic, view(&seat, last, &fields, None, Some(&said)))
        }
        Err(error) => {
            let why = sentence(&error.to_string());
            seat.again("Backup", Here::Clinic, view(&seat, last, &fields, Some(&why), None))
        }
    }
}

async fn check(seat: Seat, fields: Fields) -> Answer {
    let found = seat.desk.check().await?;
    let last = seat.desk.clinic().last_backup().await?;
    let body = match &found {
        Check::Sound { persons, records, audit, .. } => {
            let said = format!(
                "All is sound: {persons} people, {records} records and {audit} audit entries open where they were written."
            );
            view(&seat, last, &fields, None, Some(&said))
        }
        Check::Unsound { findings } => {
            let why = format!(
                "Something is not what was written. Stop, keep the file, and restore the last backup to a new file.\n{}",
                findings.join("\n")
            );
            view(&seat, last, &fields, Some(&why), None)
        }
    };
    seat.page("Backup", Here::Clinic, body)
}

/// How old the last backup is.
pub(super) fn age(last: Option<Moment>) -> Markup {
    html! {
        @match last {
            Some(at) => p { "The last good backup was made on " (words::moment(at)) "." },
            None => p { "No backup was made yet. Until one is made, everything is on this one disk." },
        }
    }
}

fn view(seat: &Seat, last: Option<Moment>, typed: &Fields, why: Option<&str>, said: Option<&str>) -> Markup {
    html! {
        p { a href="/clinic" { "Clinic" } }
        (mend(why))
        @if let Some(said) = said { p role="status" { strong { (said) } } }
        (age(last))
        section {
            h2 { "Make a backup" }
            form.entry method="post" action="/clinic/backup" {
                (seat.form())
                label for="folder" { "Folder, on another disk than the records" }
                p.hint id="folder-hint" { "It has to be there already. Everything in it stays sealed." }
                input.wide id="folder" name="folder" autocomplete="off" required aria-describedby="folder-hint" value=(typed.get("folder"));
                button.action type="submit" { "Back up now" }
            }
        }
        section {
            h2 { "Read everything once" }
            p { "Opens every record and walks the whole audit, and says whether all of it is what was written." }
            form method="post" action="/clinic/backup/check" { (seat.form()) button type="submit" { "Read everything" } }
        }
        section {
            h2 { "Restore" }
            p { "A backup is restored to a new file, never over one that is in use. Close the workbench and run:" }
            p.code { "footrose restore FOLDER/records-….backup --records NEW-FILE" }
        }
    }
}
