//! Backup: those made by themselves, making one by hand, trying one, and reading everything once.

mod by_itself;
mod made;

use std::path::Path;

use axum::Router;
use axum::routing::{get, post};
use clinic::{BackupState, Check, Made};
use maud::{Markup, html};

use super::notice;
use crate::fault::sentence;
use crate::fields::Fields;
use crate::frame::{Here, mend};
use crate::seat::Seat;
use crate::{Answer, Web};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/clinic/backup", get(show).post(take))
        .route("/clinic/backup/check", post(check))
        .merge(by_itself::routes())
        .merge(made::routes())
}

/// What the page says of what was just done.
enum Said<'a> {
    Nothing,
    Done(&'a str),
    Mend(&'a str),
}

async fn show(seat: Seat) -> Answer {
    page(&seat, &Fields::default(), Said::Nothing).await
}

/// The page, with what was typed and what became of it.
async fn page(seat: &Seat, typed: &Fields, said: Said<'_>) -> Answer {
    let settings = seat.desk.settings().await?;
    let state = seat.desk.backup_state(&settings).await?;
    let all = seat.desk.backups().await?;
    let known = by_itself::known(&settings, typed);
    let body = view(seat, &state, &all, &known, &said);
    match said {
        Said::Mend(_) => seat.again("Backup", Here::Clinic, body),
        Said::Nothing | Said::Done(_) => seat.page("Backup", Here::Clinic, body),
    }
}

async fn take(seat: Seat, fields: Fields) -> Answer {
    match seat.desk.backup(Path::new(fields.get("folder").trim())).await {
        Ok(made) => {
            let said = format!(
                "{} records are in {}, read back whole. Copy the folder as a whole when you carry it elsewhere.",
                made.records,
                made.file.display()
            );
            page(&seat, &Fields::default(), Said::Done(&said)).await
        }
        Err(error) => page(&seat, &fields, Said::Mend(&sentence(&error.to_string()))).await,
    }
}

async fn check(seat: Seat, fields: Fields) -> Answer {
    match seat.desk.check().await? {
        Check::Sound { persons, records, audit, .. } => {
            let said = format!(
                "All is sound: {persons} people, {records} records and {audit} audit entries open where they were written."
            );
            page(&seat, &fields, Said::Done(&said)).await
        }
        Check::Unsound { findings } => {
            let why = format!(
                "Something is not what was written. Stop, keep the file, and restore the last backup to a new file.\n{}",
                findings.join("\n")
            );
            page(&seat, &fields, Said::Mend(&why)).await
        }
    }
}

fn view(seat: &Seat, state: &BackupState, all: &[Made], typed: &Fields, said: &Said<'_>) -> Markup {
    let why = if let Said::Mend(why) = said { Some(*why) } else { None };
    html! {
        p { a href="/clinic" { "Clinic" } }
        (mend(why))
        @if let Said::Done(said) = said { p role="status" { strong { (said) } } }
        (notice::trouble(state))
        (notice::age(state))
        (by_itself::view(seat, typed))
        section {
            h2 { "Make one now" }
            form.entry method="post" action="/clinic/backup" {
                (seat.form())
                label for="folder" { "Folder, on another disk than the records" }
                p.hint id="folder-hint" { "It has to be there already. Everything in it stays sealed. A backup made by hand is never removed." }
                input.wide id="folder" name="folder" autocomplete="off" spellcheck="false" required aria-describedby="folder-hint" value=(typed.get("folder"));
                button.action type="submit" { "Back up now" }
            }
        }
        (made::view(seat, all, typed))
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
