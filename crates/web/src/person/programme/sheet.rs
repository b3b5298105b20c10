//! What goes home on paper of what was accepted: the home sheet and the floor guide, in the person's language.

use app::{Again, Outcome};
use axum::extract::Query;
use axum::http::header;
use axum::response::IntoResponse;
use clinic::Action;
use document::{Edition, Handout, Wording};
use maud::{Markup, html};

use super::super::no_stop_stands;
use super::reads::{edition, in_short, paper_fields, wording, wording_fields};
use super::{Accepted, Shown, keep};
use crate::Answer;
use crate::fault::Fault;
use crate::fields::Fields;
use crate::seat::{Seat, Whose, at};
use crate::words;

/// What an address asks for.
type Asked = Query<Vec<(String, String)>>;

/// The form that opens sheet and floor guide.
pub(super) fn form(seat: &Seat, shown: &Shown) -> Markup {
    let id = shown.standing.line.id;
    let large = shown.bench.case.person.sight.is_poor();
    let usual = seat.web.settings.read().map(|settings| settings.paper).unwrap_or_default();
    let interpreter = shown.bench.case.person.interpreter.as_deref();
    html! {
        section.hand-out aria-labelledby="on-paper" {
            h3 id="on-paper" { "On paper" }
            form.sheet-choices method="get" action=(at(id, "programme/sheet.pdf")) {
                (wording_fields("paper"))
                (paper_fields(large, usual))
                div.acts {
                    @if cfg!(feature = "pdf") {
                        button.action type="submit" { "The home sheet (PDF)" }
                        button.action.second type="submit" formaction=(at(id, "programme/floor-guide.pdf")) { "The floor guide (PDF)" }
                    }
                    button.action.second type="submit" formaction=(at(id, "programme/sheet.txt")) { "The home sheet as text" }
                }
            }
            @if !cfg!(feature = "pdf") {
                p.hint { "This program was built without typesetting: there is no PDF and no floor guide, and the sheet is text. A build with the feature " span.code { "pdf" } " has them." }
            }
            @if large { p.hint { "Large type is proposed because of what was found of sight." } }
            @if let Some(language) = interpreter { p.hint { "An interpreter for " (language) " is needed: the edition of numerals and arrows has lines for the interpreter’s words." } }
        }
    }
}

/// The programme that may go home today: what was accepted, within its days.
async fn handed(
    seat: &Seat,
    whose: &Whose,
    (wording, edition): (Wording, Option<Edition>),
) -> Result<Handout, Fault> {
    const NONE: &str = "No programme was accepted, so there is no sheet. Accept one first.";
    let (standing, bench, now) = keep::opened(seat, whose).await?;
    let now = now.ok_or(Fault::NotFound(NONE))?;
    no_stop_stands(seat, whose).await?;
    if now.record.use_until < standing.day {
        return Err(Fault::Refused(format!(
            "The programme was to be used until {}, so there is no sheet of it. Accept a programme of today first.",
            words::day(now.record.use_until)
        )));
    }
    let outcome = seat.reckon().plan(&standing).await?;
    let plan = match outcome.as_deref() {
        Some(Outcome::Programme(plan)) => Some(plan.as_ref()),
        Some(Outcome::Alert(_)) => {
            return Err(Fault::NotFound("A red flag stands open: no sheet may be handed out."));
        }
        _ => None,
    };
    let space = plan.map(|plan| &plan.space);
    let mut settings = document::SheetSettings::of(&bench.case, space, bench.day, wording);
    if let Some(edition) = edition {
        settings = settings.for_edition(edition, &bench.case);
    }
    let clinic = clinic_of(seat, &bench.case);
    let made = |programme| document::handout(programme, &bench.case.person, &clinic, &settings);
    match &now {
        Accepted { waits: true, .. } => Err(Fault::NotFound(
            "The programme waits for a clinician’s countersignature; until then there is no sheet.",
        )),
        Accepted { again: Again::Today { programme, .. }, .. } if !programme.exercises.is_empty() => {
            Ok(made(programme))
        }
        _ => Err(Fault::NotFound("No movement of the programme is permitted today, so there is no sheet.")),
    }
}

/// The lines of the clinic: what the case says, else the clinic's settings.
pub(super) fn clinic_of(seat: &Seat, case: &person::CaseFile) -> person::Clinic {
    let mut clinic = case.clinic.clone();
    if let Ok(settings) = seat.web.settings.read() {
        let said = |words: &str| Some(words.to_owned()).filter(|words| !words.is_empty());
        clinic.name = clinic.name.or_else(|| said(&settings.clinic_name));
        clinic.phone = clinic.phone.or_else(|| said(&settings.phone));
    }
    clinic
}

fn chosen(fields: &Fields) -> Result<(Wording, Option<Edition>), Fault> {
    let wording = wording(fields).map_err(Fault::Refused)?;
    let edition = edition(fields, wording.language).map_err(Fault::Refused)?;
    Ok((wording, edition))
}

/// The home sheet as text.
pub(super) async fn text(seat: Seat, whose: Whose, Query(asked): Asked) -> Answer {
    let (wording, edition) = chosen(&Fields::typed(asked))?;
    let handout = handed(&seat, &whose, (wording, edition)).await?;
    let words = format!("home sheet, text{}", in_short(wording, edition));
    seat.desk.note(Action::Printed, whose.0, &words).await?;
    Ok(([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], document::text(&handout)).into_response())
}

/// This build sets no type: the sheet is text.
#[cfg(not(feature = "pdf"))]
pub(super) async fn pdf(seat: Seat, whose: Whose, asked: Asked) -> Answer {
    text(seat, whose, asked).await
}

/// This build sets no type: there is no floor guide.
#[cfg(not(feature = "pdf"))]
pub(super) async fn guide(_seat: Seat, _whose: Whose, _asked: Asked) -> Answer {
    Err(Fault::Refused(
        "The floor guide is a PDF, and this program was built without typesetting; accepted: a build with the feature \
         `pdf`. Open the home sheet as text, or ask whoever keeps this program for the other build."
            .to_owned(),
    ))
}

#[cfg(feature = "pdf")]
pub(super) use set::{guide, pdf};

/// What is set in type.
#[cfg(feature = "pdf")]
mod set {
    use super::*;
    use crate::person::programme::reads::{PAPERS, paper};
    use crate::reckon::blocking;

    fn settings(paper: clinic::Paper) -> document::PdfSettings {
        let paper = match paper {
            clinic::Paper::A4 => document::Paper::A4,
            clinic::Paper::Letter => document::Paper::Letter,
        };
        document::PdfSettings { paper, tagging: document::Tagging::Accessible }
    }

    fn usual(seat: &Seat) -> clinic::Paper {
        seat.web.settings.read().map(|settings| settings.paper).unwrap_or_default()
    }

    fn inline(name: &str, bytes: Vec<u8>) -> Answer {
        let headers = [
            (header::CONTENT_TYPE, "application/pdf".to_owned()),
            (header::CONTENT_DISPOSITION, format!("inline; filename=\"{name}\"")),
        ];
        Ok((headers, bytes).into_response())
    }

    /// The home sheet as PDF.
    pub(in crate::person::programme) async fn pdf(seat: Seat, whose: Whose, Query(asked): Asked) -> Answer {
        let fields = Fields::typed(asked);
        let (wording, edition) = chosen(&fields)?;
        let paper = paper(&fields, usual(&seat)).map_err(Fault::Refused)?;
        let handout = handed(&seat, &whose, (wording, edition)).await?;
        let bytes = sheet(handout, paper).await?;
        let words = PAPERS.iter().find(|(one, ..)| *one == paper).map_or("", |(_, _, words)| words);
        let words = format!("home sheet, {words}{}", in_short(wording, edition));
        seat.desk.note(Action::Printed, whose.0, &words).await?;
        inline("home-sheet.pdf", bytes)
    }

    /// The floor guide as PDF.
    pub(in crate::person::programme) async fn guide(seat: Seat, whose: Whose, Query(asked): Asked) -> Answer {
        let fields = Fields::typed(asked);
        let wording = wording(&fields).map_err(Fault::Refused)?;
        let paper = paper(&fields, usual(&seat)).map_err(Fault::Refused)?;
        let handout = handed(&seat, &whose, (wording, None)).await?;
        let made = blocking(move || {
            let guide = document::floor_guide(&handout, wording);
            document::floor_guide_pdf(&guide, settings(paper))
        });
        let bytes = made.await?.map_err(|error| Fault::Broken(error.to_string()))?;
        let words = format!("floor guide{}", in_short(wording, None));
        seat.desk.note(Action::Printed, whose.0, &words).await?;
        inline("floor-guide.pdf", bytes)
    }

    pub(super) async fn sheet(handout: Handout, paper: clinic::Paper) -> Result<Vec<u8>, Fault> {
        blocking(move || document::pdf(&handout, settings(paper)))
            .await?
            .map_err(|error| Fault::Broken(error.to_string()))
    }

    /// The sheet on the clinic's usual paper.
    pub(super) async fn usual_sheet(seat: &Seat, handout: Handout) -> Result<Vec<u8>, Fault> {
        sheet(handout, usual(seat)).await
    }
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
    let handout = match handed(seat, whose, (Wording::ENGLISH, None)).await {
        Ok(handout) => handout,
        Err(Fault::NotFound(why)) => return Err(why.to_owned()),
        Err(Fault::Refused(why)) => return Err(why),
        Err(_) => return Err("it could not be computed".to_owned()),
    };
    #[cfg(feature = "pdf")]
    {
        let bytes = set::usual_sheet(seat, handout).await.map_err(|_| "it could not be set".to_owned())?;
        Ok(("home-sheet.pdf", bytes))
    }
    #[cfg(not(feature = "pdf"))]
    Ok(("home-sheet.txt", document::text(&handout).into_bytes()))
}
