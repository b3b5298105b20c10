//! The home sheet of what was accepted: on which paper, in which type, as PDF and as text.

use app::{Again, Outcome};
#[cfg(feature = "pdf")]
use axum::extract::Query;
use axum::http::header;
use axum::response::IntoResponse;
use clinic::{Action, Paper};
#[cfg(feature = "pdf")]
use document::Edition;
use document::Handout;
use maud::{Markup, html};
#[cfg(feature = "pdf")]
use serde::Deserialize;

use super::{Accepted, Shown, keep};
use crate::Answer;
use crate::fault::Fault;
use crate::seat::{Seat, Whose, at};

/// What is chosen for one printing; what is left out is what the clinic and the findings say.
#[cfg(feature = "pdf")]
#[derive(Default, Deserialize)]
pub(super) struct Wanted {
    paper: Option<Paper>,
    #[serde(rename = "type")]
    edition: Option<TypeSize>,
}

/// Size of type, as an address says it.
#[cfg(feature = "pdf")]
#[derive(Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum TypeSize {
    Usual,
    Large,
}

const PAPERS: [(Paper, &str, &str); 2] = [(Paper::A4, "a4", "A4"), (Paper::Letter, "letter", "Letter")];

/// The form that opens the sheet.
pub(super) fn form(seat: &Seat, shown: &Shown) -> Markup {
    let id = shown.standing.line.id;
    let large = shown.bench.case.person.sight.is_poor();
    let usual = seat.web.settings.read().map(|settings| settings.paper).unwrap_or_default();
    html! {
        form.sheet-choices method="get" action=(at(id, "programme/sheet.pdf")) {
            p {
                label for="paper" { "Paper" }
                select id="paper" name="paper" {
                    @for (paper, key, words) in PAPERS { option value=(key) selected[paper == usual] { (words) } }
                }
            }
            p {
                label for="type" { "Type" }
                select id="type" name="type" {
                    option value="usual" selected[!large] { "18 points" }
                    option value="large" selected[large] { "24 points, for poor sight" }
                }
            }
            p { span.label { "Language" } span { "English" } }
            button.action.second type="submit" { @if cfg!(feature = "pdf") { "The home sheet (PDF)" } @else { "The home sheet" } }
        }
        a.action.second href=(at(id, "programme/sheet.txt")) { "The home sheet as text" }
        @if large { p.hint { "Large type is proposed because of what was found of sight." } }
    }
}

/// The sheet of what was accepted, as far as it is permitted today; before anything was, of the first proposal.
async fn handed(seat: &Seat, whose: &Whose) -> Result<Handout, Fault> {
    const NONE: &str = "There is no programme today, so there is no sheet.";
    let (standing, bench, now) = keep::opened(seat, whose).await?;
    let outcome = seat.reckon().plan(&standing).await?;
    let plan = match outcome.as_deref() {
        Some(Outcome::Programme(plan)) => Some(plan.as_ref()),
        Some(Outcome::Alert(_)) => {
            return Err(Fault::NotFound("A red flag stands open: no sheet may be handed out."));
        }
        _ => None,
    };
    match now {
        Some(Accepted { waits: true, .. }) => Err(Fault::NotFound(
            "The programme waits for a clinician’s countersignature; until then there is no sheet.",
        )),
        Some(Accepted { again: Again::Today { programme, .. }, .. }) if !programme.exercises.is_empty() => {
            let space = plan.map(|plan| &plan.space);
            let settings =
                document::SheetSettings::of(&bench.case, space, bench.day, document::Wording::ENGLISH);
            Ok(document::handout(&programme, &bench.case.person, &clinic_of(seat, &bench.case), &settings))
        }
        Some(_) => {
            Err(Fault::NotFound("No movement of the programme is permitted today, so there is no sheet."))
        }
        None => {
            let plan = plan.ok_or(Fault::NotFound(NONE))?;
            let settings = document::SheetSettings::of(
                &bench.case,
                Some(&plan.space),
                bench.day,
                document::Wording::ENGLISH,
            );
            let clinic = clinic_of(seat, &bench.case);
            Ok(document::handout(&plan.programme, &bench.case.person, &clinic, &settings))
        }
    }
}

/// The lines of the clinic: what the case says, else the clinic's settings.
fn clinic_of(seat: &Seat, case: &person::CaseFile) -> person::Clinic {
    let mut clinic = case.clinic.clone();
    if let Ok(settings) = seat.web.settings.read() {
        let said = |words: &str| Some(words.to_owned()).filter(|words| !words.is_empty());
        clinic.name = clinic.name.or_else(|| said(&settings.clinic_name));
        clinic.phone = clinic.phone.or_else(|| said(&settings.phone));
    }
    clinic
}

/// The home sheet as text.
pub(super) async fn text(seat: Seat, whose: Whose) -> Answer {
    let handout = handed(&seat, &whose).await?;
    seat.desk.note(Action::Printed, whose.0, "home sheet, text").await?;
    Ok(([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], document::text(&handout)).into_response())
}

/// The home sheet as PDF.
#[cfg(feature = "pdf")]
pub(super) async fn pdf(seat: Seat, whose: Whose, Query(wanted): Query<Wanted>) -> Answer {
    let mut handout = handed(&seat, &whose).await?;
    match wanted.edition {
        Some(TypeSize::Large) => handout.edition = Edition::LargeType,
        Some(TypeSize::Usual) => handout.edition = Edition::Standard,
        None => {}
    }
    let usual = seat.web.settings.read().map(|settings| settings.paper).unwrap_or_default();
    let paper = wanted.paper.unwrap_or(usual);
    let bytes = set(handout, paper).await?;
    let large = if wanted.edition == Some(TypeSize::Large) { ", large type" } else { "" };
    let words = PAPERS.iter().find(|(one, ..)| *one == paper).map_or("", |(_, _, words)| words);
    seat.desk.note(Action::Printed, whose.0, &format!("home sheet, {words}{large}")).await?;
    let headers = [
        (header::CONTENT_TYPE, "application/pdf"),
        (header::CONTENT_DISPOSITION, "inline; filename=\"home-sheet.pdf\""),
    ];
    Ok((headers, bytes).into_response())
}

/// This build sets no type: the sheet is text.
#[cfg(not(feature = "pdf"))]
pub(super) async fn pdf(seat: Seat, whose: Whose) -> Answer {
    text(seat, whose).await
}

#[cfg(feature = "pdf")]
async fn set(handout: Handout, paper: Paper) -> Result<Vec<u8>, Fault> {
    let paper = match paper {
        Paper::A4 => document::Paper::A4,
        Paper::Letter => document::Paper::Letter,
    };
    let settings = document::PdfSettings { paper, tagging: document::Tagging::Accessible };
    crate::reckon::blocking(move || document::pdf(&handout, settings))
        .await?
        .map_err(|error| Fault::Broken(error.to_string()))
}

/// The sheet of the accepted programme for somebody who takes everything out: its name and bytes; else
/// why there is none today.
pub(in crate::person) async fn of_today(
    seat: &Seat,
    whose: &Whose,
) -> Result<(&'static str, Vec<u8>), String> {
    let standing =
        super::standing(seat, whose).await.map_err(|_| "the records could not be read".to_owned())?;
    if standing.programme.is_none() {
        return Err("no programme was accepted".to_owned());
    }
    let handout = match handed(seat, whose).await {
        Ok(handout) => handout,
        Err(Fault::NotFound(why)) => return Err(why.to_owned()),
        Err(_) => return Err("it could not be computed".to_owned()),
    };
    #[cfg(feature = "pdf")]
    {
        let usual = seat.web.settings.read().map(|settings| settings.paper).unwrap_or_default();
        let bytes = set(handout, usual).await.map_err(|_| "it could not be set".to_owned())?;
        Ok(("home-sheet.pdf", bytes))
    }
    #[cfg(not(feature = "pdf"))]
    Ok(("home-sheet.txt", document::text(&handout).into_bytes()))
}
