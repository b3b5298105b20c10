//! Letters: choose one, read it as it will be printed, print it, and keep what was given out.

mod made;
mod preview;

use axum::Router;
use axum::extract::Query;
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{Action, LetterRecord, Role, may_write};
use document::language::Language;
use document::{Letter, LetterKind, letter_text};
use maud::{Markup, html};
use progress::Activity;

use super::{Tab, alert, nothing_found, page, standing};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::seat::{Seat, Whose};
use crate::{Answer, Web, words};
use made::{Made, made};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/letters", get(show))
        .route("/people/{person}/letters/give", post(give))
        .route("/people/{person}/letters/letter.pdf", get(print))
        .route("/people/{person}/letters/letter.txt", get(text))
}

/// What was chosen; what was not understood is what is usual.
#[derive(Clone, Copy)]
struct Chosen {
    kind: LetterKind,
    language: Language,
    activity: Activity,
}

impl Chosen {
    fn of(fields: &Fields) -> Self {
        let language = Language::ALL.into_iter().find(|one| one.code() == fields.get("language"));
        Self {
            kind: LetterKind::from_key(fields.get("kind")).unwrap_or(LetterKind::ProgressNote),
            language: language.unwrap_or(Language::English),
            activity: app::activity_of(fields.get("activity")).unwrap_or(Activity::Run),
        }
    }

    fn query(self) -> String {
        format!("kind={}&language={}&activity={}", self.kind.key(), self.language.code(), self.activity.key())
    }
}

async fn show(seat: Seat, whose: Whose, Query(asked): Query<Vec<(String, String)>>) -> Answer {
    let chosen = Chosen::of(&Fields::typed(asked));
    let standing = standing(&seat, &whose).await?;
    let body = match made(&seat, &whose, &standing, chosen).await? {
        Made::Nothing => nothing_found(&standing),
        Made::Alert(flag) => alert(&flag),
        Made::Letter(letter) => {
            let given = seat.desk.read::<LetterRecord>(whose.0).await?;
            let role = seat.desk.role()?;
            html! {
                (choice(&whose, chosen))
                (acts(&seat, &whose, chosen, role))
                (preview::letter(&letter))
                (kept(&given.iter().map(|entry| &entry.body).collect::<Vec<_>>()))
            }
        }
    };
    page(&seat, &standing, Tab::Letters, body)
}

/// Which letter, in which language.
fn choice(whose: &Whose, chosen: Chosen) -> Markup {
    html! {
        form.entry method="get" action=(whose.at("letters")) {
            label for="kind" { "Letter" }
            select id="kind" name="kind" {
                @for kind in LetterKind::ALL {
                    option value=(kind.key()) selected[kind == chosen.kind] { (kind.title(Language::English)) }
                }
            }
            label for="language" { "Language of the letter" }
            select id="language" name="language" {
                @for (language, name) in Language::ALL.into_iter().zip(["English", "Français", "Español"]) {
                    option value=(language.code()) lang=(language.code()) selected[language == chosen.language] { (name) }
                }
            }
            label for="activity" { "Activity, for a return-to-activity statement" }
            select id="activity" name="activity" {
                @for activity in Activity::ALL {
                    option value=(activity.key()) selected[activity == chosen.activity] { (words::capital(activity.words())) }
                }
            }
            button.action type="submit" { "Show the letter" }
        }
    }
}

fn acts(seat: &Seat, whose: &Whose, chosen: Chosen, role: Role) -> Markup {
    let query = chosen.query();
    html! {
        p.acts {
            a.action href=(format!("{}?{query}", whose.at("letters/letter.pdf"))) { "Print it (PDF, A4)" }
            " " a href=(format!("{}?{query}&paper=letter", whose.at("letters/letter.pdf"))) { "on US Letter" }
            " " a href=(format!("{}?{query}", whose.at("letters/letter.txt"))) { "as text" }
        }
        @if may_write::<LetterRecord>(role) {
            form method="post" action=(whose.at("letters/give")) {
                (seat.form())
                input type="hidden" name="kind" value=(chosen.kind.key());
                input type="hidden" name="language" value=(chosen.language.code());
                input type="hidden" name="activity" value=(chosen.activity.key());
                button type="submit" { "Record that this letter was given out" }
            }
        }
        @if role == Role::Student {
            p.quiet { "What a student prepares carries no name: a clinician checks and signs it." }
        }
    }
}

/// Letters that were given out, newest first.
fn kept(given: &[&LetterRecord]) -> Markup {
    html! {
        @if !given.is_empty() {
            h2 { "Given out" }
            @for letter in given.iter().rev() {
                details.measured {
                    summary {
                        (words::day(letter.on)) ", " (letter.title) " (" (letter.language) "), "
                        @match &letter.author { Some(author) => { "for " (author) " to sign" }, None => { "not signed" } }
                    }
                    pre { (letter.text) }
                }
            }
        }
    }
}

/// The letter, or why there is none.
async fn written(seat: &Seat, whose: &Whose, chosen: Chosen) -> Result<Letter, Fault> {
    let standing = standing(seat, whose).await?;
    match made(seat, whose, &standing, chosen).await? {
        Made::Letter(letter) => Ok(*letter),
        Made::Nothing => Err(Fault::NotFound("Nothing is known of this person yet, so there is no letter.")),
        Made::Alert(_) => Err(Fault::NotFound("A red flag stands open: it goes before every letter.")),
    }
}

/// Keeps a letter as it was given out.
async fn give(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let chosen = Chosen::of(&fields);
    let letter = written(&seat, &whose, chosen).await?;
    let record = LetterRecord {
        on: letter.on,
        kind: chosen.kind.key().to_owned(),
        title: letter.title.clone(),
        language: chosen.language.code().to_owned(),
        author: author(&seat)?,
        text: letter_text(&letter),
    };
    seat.desk.append(whose.0, &record, fields.once()).await?;
    seat.saved(&format!("{}?{}", whose.at("letters"), chosen.query()))
}

/// Who will sign: whoever is signed in, but for a student.
fn author(seat: &Seat) -> Result<Option<String>, Fault> {
    Ok((seat.desk.role()? == Role::Clinician).then(|| seat.desk.name().to_owned()))
}

/// The letter as text.
async fn text(seat: Seat, whose: Whose, Query(asked): Query<Vec<(String, String)>>) -> Answer {
    let chosen = Chosen::of(&Fields::typed(asked));
    let letter = written(&seat, &whose, chosen).await?;
    note(&seat, &whose, chosen, "text").await?;
    Ok(([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], letter_text(&letter)).into_response())
}

/// Every print stands in the audit.
async fn note(seat: &Seat, whose: &Whose, chosen: Chosen, how: &str) -> Result<(), Fault> {
    let what = format!("letter, {}, {}, {how}", chosen.kind.key(), chosen.language.code());
    Ok(seat.desk.note(Action::Printed, whose.0, &what).await?)
}

/// The letter as PDF.
#[cfg(feature = "pdf")]
async fn print(seat: Seat, whose: Whose, Query(asked): Query<Vec<(String, String)>>) -> Answer {
    let fields = Fields::typed(asked);
    let chosen = Chosen::of(&fields);
    let letter = written(&seat, &whose, chosen).await?;
    let (paper, name) = match fields.get("paper") {
        "letter" => (document::Paper::Letter, "US Letter"),
        _ => (document::Paper::A4, "A4"),
    };
    let bytes = crate::reckon::blocking(move || {
        let settings = document::PdfSettings { paper, tagging: document::Tagging::Accessible };
        document::letter_pdf(&letter, settings)
    })
    .await?
    .map_err(|error| Fault::Refused(crate::fault::sentence(&error.to_string())))?;
    note(&seat, &whose, chosen, name).await?;
    let headers = [
        (header::CONTENT_TYPE, "application/pdf"),
        (header::CONTENT_DISPOSITION, "inline; filename=\"letter.pdf\""),
    ];
    Ok((headers, bytes).into_response())
}

/// This build sets no type: the letter is text.
#[cfg(not(feature = "pdf"))]
async fn print(seat: Seat, whose: Whose, asked: Query<Vec<(String, String)>>) -> Answer {
    text(seat, whose, asked).await
}
