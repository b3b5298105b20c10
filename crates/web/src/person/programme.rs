//! Programme: the builder with its floor, what is proposed, what was accepted, and its sheet.

mod answer;
mod around;
mod builder;
mod dose;
mod floor;
mod keep;
mod now;
mod phone;
mod proposals;
mod reads;
mod sheet;
mod wanted;

use std::sync::Arc;

use app::{AcceptedProgramme, Again, OneMovement, Outcome, PersonToday, SpaceTable};
use axum::Router;
use axum::extract::Query;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{ProgrammeRecord, Role, Standing};
use maud::{Markup, html};

use super::{Tab, alert, nothing_found, page, standing};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::reckon::{Bench, blocking};
use crate::seat::{Seat, Whose, at, to};
use crate::{Answer, Web};
use wanted::Wanted;

pub(super) use now::{Accepted, accepted};
pub(super) use proposals::{dose_words, head};
pub(super) use sheet::of_today as sheet_of_today;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/programme", get(show))
        .route("/people/{person}/programme/movement", post(movement))
        .route("/people/{person}/programme/accept", post(keep::accept))
        .route("/people/{person}/programme/put", post(keep::put))
        .route("/people/{person}/programme/take-out", post(keep::take_out))
        .route("/people/{person}/programme/dose", post(dose::take))
        .route("/people/{person}/programme/sheet.pdf", get(sheet::pdf))
        .route("/people/{person}/programme/sheet.txt", get(sheet::text))
        .route("/people/{person}/programme/floor-guide.pdf", get(sheet::guide))
        .route("/people/{person}/programme/page.html", post(phone::file))
        .route("/people/{person}/programme/address", get(back).post(phone::address))
}

/// Whoever comes back to what was handed out once comes to the programme.
async fn back(whose: Whose) -> axum::response::Response {
    to(&whose.at("programme"))
}

/// What the page is made of, read and computed before anything is written.
struct Shown {
    standing: Arc<Standing>,
    bench: Bench,
    outcome: Arc<Outcome>,
    space: Option<Arc<SpaceTable>>,
    accepted: Option<Accepted>,
    role: Role,
    /// A dose that was typed and not accepted.
    refused: Option<dose::Refused>,
}

async fn show(seat: Seat, whose: Whose, Query(asked): Query<Vec<(String, String)>>) -> Answer {
    page_with(&seat, &whose, Fields::typed(asked), None).await
}

/// The page. `fields` is what the address asks about.
async fn page_with(seat: &Seat, whose: &Whose, fields: Fields, refused: Option<dose::Refused>) -> Answer {
    let standing = standing(seat, whose).await?;
    let (Some(bench), Some(outcome)) =
        (seat.reckon().bench(&standing).await?, seat.reckon().plan(&standing).await?)
    else {
        let body = nothing_found(&standing);
        return page(seat, &standing, Tab::Programme, body);
    };
    if let Outcome::Alert(flag) = outcome.as_ref() {
        return page(seat, &standing, Tab::Programme, alert(flag));
    }
    let space = seat.reckon().space(&standing).await?;
    let accepted = accepted(seat, &standing, &bench).await?;
    let role = seat.desk.role()?;
    let shown = Shown { standing: standing.clone(), bench, outcome, space, accepted, role, refused };
    let (wanted, why) = shown.wanted(&fields);
    let near = match fields.ticked("around") {
        true => Some(around::compute(&shown, &wanted).await?),
        false => None,
    };
    let body = view(seat, &shown, &wanted, why.as_deref(), near);
    page(seat, &standing, Tab::Programme, body)
}

impl Shown {
    /// What is asked about: the address, else the first movement of the programme, else of a proposal.
    fn wanted(&self, fields: &Fields) -> (Wanted, Option<String>) {
        if fields.ticked("mover") || fields.ticked("family") {
            return match Wanted::parse(fields, &Wanted::plain()) {
                Ok(wanted) => (wanted, None),
                Err(why) => (Wanted::plain(), Some(why)),
            };
        }
        let first = match (&self.accepted, self.outcome.as_ref()) {
            (Some(Accepted { again: Again::Today { programme, .. }, .. }), _)
                if !programme.exercises.is_empty() =>
            {
                programme.exercises[0].movements().next().map(|one| Wanted::of(one.spec()))
            }
            (_, Outcome::Programme(plan)) => plan
                .programme
                .exercises
                .first()
                .and_then(|one| one.movements().next())
                .map(|one| Wanted::of(one.spec())),
            _ => None,
        };
        (first.unwrap_or_else(Wanted::plain), None)
    }
}

/// One movement, answered while a hand drags: the parts of the page that it changes.
async fn movement(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let Some(bench) = seat.reckon().bench(&standing).await? else {
        return Err(Fault::NotFound("Nothing is known of this person yet, so nothing can be computed."));
    };
    let space = seat.reckon().space(&standing).await?;
    let base = at(whose.0, "programme");
    let answer = blocking(move || answered(&bench, &fields, space.as_deref(), &base)).await?;
    let json = [(axum::http::header::CONTENT_TYPE, "application/json")];
    Ok((json, answer.to_string()).into_response())
}

fn answered(bench: &Bench, fields: &Fields, space: Option<&SpaceTable>, base: &str) -> serde_json::Value {
    let person = PersonToday::of(&bench.case, bench.day);
    if let Some(flag) = person.allowed.alert() {
        return serde_json::json!({ "why": flag.to_string() });
    }
    let wanted = match Wanted::parse(fields, &Wanted::plain()) {
        Ok(wanted) => wanted,
        Err(why) => return serde_json::json!({ "why": why }),
    };
    let mut out = serde_json::json!({
        "query": wanted.query(),
        "cm": wanted.cm,
        "to": wanted.to.degrees(),
        "toward": wanted.to.plain_words(),
        "of_use": builder::of_use(&wanted),
        "directions": builder::directions(&wanted),
    });
    // A drag leaves the floor as it is.
    if fields.ticked("floor") {
        out["floor"] = floor::view(&wanted, &person, space, base).into_string().into();
    }
    match wanted.read(&person) {
        Err(why) => out["why"] = why.into(),
        Ok(spec) => {
            out["sentence"] = app::sentence_kept(&spec).into();
            let movements = bench.movements.as_ref();
            let one = if fields.ticked("at_once") {
                app::one_movement_at_once(&person, movements, &spec)
            } else {
                Some(app::one_movement(&person, movements, &spec))
            };
            let Some(one) = one else {
                out["permitted"] = false.into();
                out["verdict"] = answer::not_at_once().into_string().into();
                return out;
            };
            out["permitted"] = one.is_permitted().into();
            out["verdict"] = answer::verdict(&one, space).into_string().into();
            out["bars"] = answer::bars(&one).into_string().into();
            out["figures"] = answer::figures(&one, &person, wanted.view).into_string().into();
        }
    }
    out
}

fn view(seat: &Seat, shown: &Shown, wanted: &Wanted, why: Option<&str>, near: Option<Markup>) -> Markup {
    let id = shown.standing.line.id;
    let base = at(id, "programme");
    let person = PersonToday::of(&shown.bench.case, shown.bench.day);
    let read = wanted.read(&person);
    let one: Option<OneMovement> =
        read.as_ref().ok().map(|spec| app::one_movement(&person, shown.bench.movements.as_ref(), spec));
    let why = why.or_else(|| read.as_ref().err().map(String::as_str));
    let kept = read.as_ref().map_or_else(|_| wanted.sentence(), app::sentence_kept);
    html! {
        (super::consent(&shown.standing))
        (proposals::accepted(seat, shown, &person))
        section.builder aria-labelledby="build" data-movement=(format!("{base}/movement")) {
            h2 id="build" { "One movement" }
            (builder::view(wanted, &person, &base, why))
            div.desk {
                div.on-floor {
                    div id="floor-part" { (floor::view(wanted, &person, shown.space.as_deref(), &base)) }
                    p.hint { "Drag the handle, or choose a direction on the floor and press −5 and +5. On the handle, arrow keys go by 1 cm." }
                }
                div.beside {
                    p.kept id="sentence" role="status" { (kept) }
                    div id="verdict" { @if let Some(one) = &one { (answer::verdict(one, shown.space.as_deref())) } }
                    (keep::put_form(seat, shown, &kept, one.as_ref().is_some_and(OneMovement::is_permitted)))
                }
                div {
                    div.bodies id="figures" { @if let Some(one) = &one { (answer::figures(one, &person, wanted.view)) } }
                    (builder::turn(wanted))
                }
                div.muscles id="bars" { @if let Some(one) = &one { (answer::bars(one)) } }
            }
            (answer::hatches())
            div id="around" {
                @match near {
                    Some(near) => (near),
                    None => { p { a.action.second id="ask-around" href=(format!("{base}?{}&around=1#around", wanted.query())) { "One step up, one back, to the side, and the bridge" } } }
                }
            }
        }
        (proposals::proposed(seat, shown))
        form id="token" hidden { (seat.form()) }
        script type="module" src="/assets/builder.js" {}
    }
}

/// The kept programme in the form that is permitted again.
fn kept(record: &ProgrammeRecord) -> AcceptedProgramme<'_> {
    AcceptedProgramme {
        for_day: record.for_day,
        use_until: record.use_until,
        exercises: &record.exercises,
        json: &record.json,
    }
}
