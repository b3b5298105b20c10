//! The record itself: name and number, taking everything out, closing, destroying, adverse events.

use axum::Router;
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{AdverseEvent, Entry, PersonRecord, PersonState, Standing, Taken, retain_until};
use maud::{Markup, html};

use super::{again, page, standing};
use crate::fault::sentence;
use crate::fields::Fields;
use crate::frame::mend;
use crate::person::Tab;
use crate::seat::{Seat, Whose, at};
use crate::zip::zip;
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/record", get(show).post(take))
        .route("/people/{person}/record/close", post(close))
        .route("/people/{person}/record/reopen", post(reopen))
        .route("/people/{person}/record/destroy", post(destroy))
        .route("/people/{person}/record/everything.zip", post(take_out))
}

async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let person = standing.person();
    let typed = Fields::known([
        ("name", person.name.clone()),
        ("number", person.number.clone()),
        ("born", person.born.map_or_else(String::new, |born| born.to_string())),
    ]);
    let events = seat.desk.read::<AdverseEvent>(whose.0).await?;
    page(&seat, &standing, Tab::Record, view(&seat, &standing, &events, &typed, None))
}

async fn mended(seat: &Seat, whose: &Whose, fields: &Fields, why: &str) -> Answer {
    let standing = standing(seat, whose).await?;
    let events = seat.desk.read::<AdverseEvent>(whose.0).await?;
    again(seat, &standing, Tab::Record, view(seat, &standing, &events, fields, Some(&sentence(why))))
}

async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let line = seat.desk.person(whose.0).await?;
    let typed = [fields.get("name"), fields.get("born"), fields.get("number")];
    let person = match PersonRecord::from_typed(typed[0], typed[1], typed[2], seat.desk.today()) {
        Ok(person) => PersonRecord { state: line.person.state, ..person },
        Err(error) => return mended(&seat, &whose, &fields, &error.to_string()).await,
    };
    let reason = fields.get("reason");
    match seat.desk.correct(whose.0, line.record, &person, reason, fields.once()).await {
        Ok(_) => seat.saved(&whose.at("record")),
        Err(error) => mended(&seat, &whose, &fields, &error.to_string()).await,
    }
}

async fn close(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let line = seat.desk.person(whose.0).await?;
    match seat.desk.close_person(&line, fields.get("reason"), fields.once()).await {
        Ok(()) => seat.saved(&whose.at("record")),
        Err(error) => mended(&seat, &whose, &fields, &error.to_string()).await,
    }
}

async fn reopen(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let line = seat.desk.person(whose.0).await?;
    match seat.desk.reopen_person(&line, fields.get("reason"), fields.once()).await {
        Ok(()) => seat.saved(&whose.at("record")),
        Err(error) => mended(&seat, &whose, &fields, &error.to_string()).await,
    }
}

async fn destroy(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let line = seat.desk.person(whose.0).await?;
    if fields.get("name_again").trim() != line.person.name {
        let why = format!(
            "Nothing was destroyed: the name typed is not `{}`. Type it as it stands",
            line.person.name
        );
        return mended(&seat, &whose, &fields, &why).await;
    }
    match seat.desk.destroy_person(&line, fields.get("reason"), fields.get("earlier")).await {
        Ok(destroyed) if destroyed.unreached.is_empty() => seat.saved("/people"),
        Ok(destroyed) => {
            let body = html! {
                p { "The records here are destroyed. These folders with backups could not be reached; their backups still open this person until a backup is made there again or the folder is deleted:" }
                ul { @for (folder, why) in &destroyed.unreached { li { (folder.display()) ": " (why) } } }
                p { a.action href="/people" { "People" } }
            };
            seat.page("Destroyed", crate::frame::Here::People, body)
        }
        Err(clinic::Error::Store(store::Error::KeptLonger { .. })) => {
            let why = "These records are still to be kept. Destroy them later, or say below why earlier";
            mended(&seat, &whose, &fields, why).await
        }
        Err(error) => mended(&seat, &whose, &fields, &error.to_string()).await,
    }
}

async fn take_out(seat: Seat, whose: Whose, _fields: Fields) -> Answer {
    let mut files = seat.desk.take_out(whose.0).await?;
    let readme = match super::programme::sheet_of_today(&seat, &whose).await {
        Ok((name, bytes)) => {
            files.push(Taken { name: name.to_owned(), bytes });
            format!("\n{name}   the home sheet of the accepted programme, as far as it is permitted today\n")
        }
        Err(why) => format!("\nThere is no home sheet in it: {}\n", sentence(&why)),
    };
    #[cfg(feature = "pdf")]
    let readme = match summary(&seat, &whose).await? {
        Ok(bytes) => {
            files.push(Taken { name: "summary.pdf".to_owned(), bytes });
            format!("\nsummary.pdf      what stands in the record, in short, to read and to print{readme}")
        }
        Err(why) => format!("\nThere is no summary in it: {why}\n{readme}"),
    };
    if let Some(readme_file) = files.iter_mut().find(|file| file.name == "README.txt") {
        readme_file.bytes.extend(readme.bytes());
    }
    let archive = zip(files.iter().map(|file| (file.name.as_str(), file.bytes.as_slice())));
    let headers = [
        (header::CONTENT_TYPE, "application/zip"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"everything.zip\""),
    ];
    Ok((headers, archive).into_response())
}

/// The summary as PDF, or why it could not be set.
#[cfg(feature = "pdf")]
async fn summary(seat: &Seat, whose: &Whose) -> Result<Result<Vec<u8>, String>, crate::fault::Fault> {
    let standing = standing(seat, whose).await?;
    let logs = seat.desk.read::<clinic::PracticeRecord>(whose.0).await?;
    let logs: Vec<_> = logs.into_iter().map(|entry| entry.body).collect();
    let lessons = seat.desk.lessons(whose.0).await?;
    let paper = match seat.web.settings.read().map(|settings| settings.paper).unwrap_or_default() {
        clinic::Paper::A4 => document::Paper::A4,
        clinic::Paper::Letter => document::Paper::Letter,
    };
    crate::reckon::blocking(move || {
        let summary = super::summary::summary(&standing, &logs, &lessons);
        document::summary_pdf(&summary, paper).map_err(|error| error.to_string())
    })
    .await
}

fn view(
    seat: &Seat,
    standing: &Standing,
    events: &[Entry<AdverseEvent>],
    typed: &Fields,
    why: Option<&str>,
) -> Markup {
    let id = standing.line.id;
    html! {
        (mend(why))
        section {
            h2 { "Who" }
            form.entry method="post" action=(at(id, "record")) data-keeps {
                (seat.form())
                label for="name" { "Name or initials" }
                input id="name" name="name" autocomplete="off" required value=(typed.get("name"));
                label for="number" { "The clinic’s number" }
                input id="number" name="number" autocomplete="off" value=(typed.get("number"));
                label for="born" { "Day of birth" }
                input id="born" name="born" type="date" autocomplete="off" value=(typed.get("born"));
                label for="reason" { "Why it is changed" }
                input.wide id="reason" name="reason" autocomplete="off" required value=(typed.get("reason"));
                button type="submit" { "Save the change" }
            }
        }
        section {
            h2 { "Adverse events" }
            @if events.is_empty() { p { "None was entered." } }
            ul { @for event in events { li { (words::day(event.body.on)) ": " (event.body.what) @if !event.body.then.is_empty() { ". Then: " (event.body.then) } } } }
            p { a href=(at(id, "adverse")) { "Enter an adverse event" } }
        }
        section {
            h2 { "Everything about this person" }
            p { "One file with every entry in all its versions, as JSON and CSV, a summary and the home sheet to read and print, and what was found and measured in its own formats. The audit says that it was taken." }
            form method="post" action=(at(id, "record/everything.zip")) { (seat.form()) button type="submit" { "Take everything out (ZIP)" } }
        }
        (keeping(seat, standing, typed))
    }
}

fn keeping(seat: &Seat, standing: &Standing, typed: &Fields) -> Markup {
    let id = standing.line.id;
    let until = retain_until(seat.desk.today(), standing.person().born);
    html! {
        section {
            @match standing.person().state {
                PersonState::Open => {
                    h2 { "Close the records" }
                    p { "Work has ended. The records are kept until " (words::day(until)) ", and may be destroyed after that." }
                    form.entry method="post" action=(at(id, "record/close")) data-keeps {
                        (seat.form())
                        label for="close-reason" { "Why" }
                        input.wide id="close-reason" name="reason" autocomplete="off" required;
                        button type="submit" { "Close the records" }
                    }
                }
                PersonState::Closed { retain_until } => {
                    h2 { "These records are closed" }
                    p { "They are kept until " (words::day(retain_until)) "." }
                    form.entry method="post" action=(at(id, "record/reopen")) data-keeps {
                        (seat.form())
                        label for="open-reason" { "Why work goes on" }
                        input.wide id="open-reason" name="reason" autocomplete="off" required;
                        button type="submit" { "Open them again" }
                    }
                }
            }
        }
        details {
            summary { "Destroy the records" }
            p { "The key of this person is destroyed, in the records and in every backup that can be reached. Nobody can undo it. A line stays that says when, by whom and why." }
            form.entry method="post" action=(at(id, "record/destroy")) data-keeps {
                (seat.form())
                label for="name_again" { "The name, as it stands" }
                input id="name_again" name="name_again" autocomplete="off" required;
                label for="destroy-reason" { "Why" }
                input.wide id="destroy-reason" name="reason" autocomplete="off" required;
                label for="earlier" { "Why before the day until which they are kept, if it is before" }
                input.wide id="earlier" name="earlier" autocomplete="off" value=(typed.get("earlier"));
                button type="submit" { "Destroy for good" }
            }
        }
    }
}
