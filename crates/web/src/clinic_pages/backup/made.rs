//! The backups there are, and trying one: it is restored to a throw-away file, read, and thrown away.

use std::path::Path;

use axum::Router;
use axum::routing::post;
use clinic::{Check, Made, Tried};
use maud::{Markup, html};

use super::{Said, page};
use crate::fault::sentence;
use crate::fields::Fields;
use crate::seat::Seat;
use crate::{Answer, Web, words};

/// So many are listed, the newest first.
const LISTED: usize = 10;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/clinic/backup/try", post(take))
}

async fn take(seat: Seat, fields: Fields) -> Answer {
    let file = fields.get("file").trim();
    match seat.desk.try_backup(Path::new(file)).await {
        Ok(tried) => match in_words(&tried) {
            Ok(said) => page(&seat, &Fields::default(), Said::Done(&said)).await,
            Err(why) => page(&seat, &fields, Said::Mend(&why)).await,
        },
        Err(error) => page(&seat, &fields, Said::Mend(&sentence(&error.to_string()))).await,
    }
}

/// What is in a backup, or what is wrong with it.
fn in_words(tried: &Tried) -> Result<String, String> {
    match &tried.check {
        Check::Sound { persons, records, audit, .. } => {
            let newest = tried.newest.map_or_else(String::new, |at| {
                format!(" The newest record in it was written on {}.", words::moment(at))
            });
            let people = if *persons == 1 { "1 person".to_owned() } else { format!("{persons} people") };
            Ok(format!(
                "This backup is good. It was restored to a throw-away file, and all of it opened: {people}, \
                 {records} records in all their versions, {audit} audit entries.{newest}"
            ))
        }
        Check::Unsound { findings } => Err(format!(
            "This backup is not whole. Keep it, use another, and make a new one now.\n{}",
            findings.join("\n")
        )),
    }
}

pub(super) fn view(seat: &Seat, all: &[Made], typed: &Fields) -> Markup {
    html! {
        section {
            h2 { "The backups there are" }
            @if all.is_empty() {
                p { "None yet." }
            } @else {
                table.stack {
                    caption { "The last " (all.len().min(LISTED)) " of " (all.len()) ", the newest first" }
                    thead { tr { th scope="col" { "When" } th scope="col" { "File" } th scope="col" { "How" } th scope="col" { "Try it" } } }
                    tbody { @for made in all.iter().take(LISTED) { tr {
                        td { (words::moment(made.at)) }
                        td { span.code { (made.file.display()) } }
                        td { @if made.by_itself { "by itself" } @else { "by hand" } }
                        td {
                            @if made.there {
                                form method="post" action="/clinic/backup/try" {
                                    (seat.form())
                                    input type="hidden" name="file" value=(made.file.display());
                                    button type="submit" aria-label=(format!("Try this backup: {}", words::moment(made.at))) { "Try this backup" }
                                }
                            } @else { "not there now" }
                        }
                    } } }
                }
            }
            p { "Trying restores it to a throw-away file beside the records, opens everything in it, says what is in it, and removes that file. Nothing in use is touched." }
            form.entry method="post" action="/clinic/backup/try" {
                (seat.form())
                label for="file" { "A backup elsewhere, with its ring of keys beside it" }
                input.wide id="file" name="file" autocomplete="off" spellcheck="false" required value=(typed.get("file"));
                button type="submit" { "Try it" }
            }
        }
    }
}
