//! Teach: in the room, one exercise of the programme after another, then shown back without a prompt.

mod floor;
mod seen;
mod taps;

use app::Again;
use axum::Router;
use axum::http::StatusCode;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{Standing, TapRecord, TeachRecord};
use maud::{Markup, html};
use programme::{Exercise, ExerciseMovement, LimbPart, Programme};

use super::programme::{Accepted, accepted, dose_words, head};
use super::{Tab, again, alert, nothing_found, page, standing};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::frame::mend;
use crate::reckon::Bench;
use crate::seat::{Seat, Whose, at};
use crate::{Answer, Web, words};

pub(super) use seen::seen;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/teach", get(show).post(take))
        .route("/people/{person}/teach/tap", post(tap))
}

async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let body = body(&seat, &standing, &Fields::default(), None).await?;
    page(&seat, &standing, Tab::Programme, body)
}

/// What may be taught today, as it was accepted.
async fn taught(seat: &Seat, standing: &Standing) -> Result<Programme, Fault> {
    let Some((_, now)) = opened(seat, standing).await? else {
        return Err(Fault::NotFound("There is no programme that could be taught."));
    };
    match now.again {
        Again::Today { programme, .. } => Ok(*programme),
        Again::Alert(_) => Err(Fault::NotFound("A red flag stands open: nothing may be taught.")),
    }
}

/// One tap, written as it is made. The form sends its own name for the lesson, so that a tap of a page
/// that was left open over midnight belongs to the lesson it was made in.
async fn tap(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let programme = taught(&seat, &standing).await?;
    let items = taps::parse(&fields, &programme).map_err(Fault::Refused)?;
    let lesson = fields.get("lesson").to_owned();
    for item in items {
        let record = TapRecord { on: standing.day, lesson: lesson.clone(), item };
        seat.desk.tap(whose.0, record, fields.once()).await?;
    }
    Ok(StatusCode::NO_CONTENT.into_response())
}

async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let programme = taught(&seat, &standing).await?;
    let open = seat.desk.open_lesson(whose.0, standing.day).await?;
    // The same form sent twice is the same lesson.
    let named = Some(fields.get("lesson")).filter(|name| !name.is_empty());
    let lesson = named.unwrap_or(fields.once()).to_owned();
    let nothing = "Nothing was tapped yet, so there is nothing to save. Tap how at least one direction went.";
    let items = match taps::parse(&fields, &programme) {
        Ok(items) if items.is_empty() && open.items.is_empty() => Err(nothing.to_owned()),
        read => read,
    };
    match items {
        Ok(items) => {
            let remark = fields.get("remark").trim().to_owned();
            let record = TeachRecord { on: standing.day, lesson, items, remark };
            seat.desk.finish_lesson(whose.0, record, fields.once()).await?;
            seat.saved(&whose.at("home-log"))
        }
        Err(why) => {
            let body = body(&seat, &standing, &fields, Some(&why)).await?;
            again(&seat, &standing, Tab::Programme, body)
        }
    }
}

async fn opened(seat: &Seat, standing: &Standing) -> Result<Option<(Bench, Accepted)>, Fault> {
    let Some(bench) = seat.reckon().bench(standing).await? else { return Ok(None) };
    let now = accepted(seat, standing, &bench).await?;
    Ok(now.map(|now| (bench, now)))
}

async fn body(seat: &Seat, standing: &Standing, typed: &Fields, why: Option<&str>) -> Result<Markup, Fault> {
    let Some(case) = standing.case.as_deref() else { return Ok(nothing_found(standing)) };
    // A red flag goes before everything, with or without a programme.
    let person = app::PersonToday::of(case, standing.day);
    if let Some(flag) = person.allowed.alert() {
        return Ok(alert(flag));
    }
    let stops = seat.desk.stops(standing.line.id).await?;
    if !stops.is_empty() {
        return Ok(html! {
            section.alert aria-label="Stop" {
                h2 { "Stop: nothing is done until a clinician has looked" }
                @for one in &stops { p { (one) } }
                p { a href=(at(standing.line.id, "home-log")) { "Look, and write down in the home log what was found" } "." }
            }
        });
    }
    let programme_page = at(standing.line.id, "programme");
    let before = seat.desk.open_lesson(standing.line.id, standing.day).await?;
    let Some((_, now)) = opened(seat, standing).await? else {
        return Ok(html! {
            p { "No programme was accepted yet, so there is nothing to teach. " a href=(programme_page) { "Accept one first" } "." }
        });
    };
    if now.waits {
        return Ok(html! {
            p { "The programme waits for a clinician’s countersignature. " a href=(programme_page) { "Look at it" } "." }
        });
    }
    Ok(match &now.again {
        Again::Alert(flag) => alert(flag),
        Again::Today { programme, .. } if programme.exercises.is_empty() => html! {
            p { "Nothing of the programme is permitted today. " a href=(programme_page) { "See why, and change it" } "." }
        },
        Again::Today { programme, no_longer, .. } => html! {
            (super::consent(standing))
            @if case.person.hearing.is_poor() {
                p { strong { "Hard of hearing. " } "Show the pace with your hand; no sound is relied on." }
            }
            @if !no_longer.is_empty() {
                p { strong { (no_longer.len()) " of its movements are no longer permitted and are not shown. " } a href=(programme_page) { "See why" } "." }
            }
            (view(seat, standing, &person, programme, (typed, &before), why))
        },
    })
}

fn view(
    seat: &Seat,
    standing: &Standing,
    person: &app::PersonToday<'_>,
    programme: &Programme,
    seen: (&Fields, &TeachRecord),
    why: Option<&str>,
) -> Markup {
    let (typed, before) = seen;
    let count = programme.exercises.len();
    html! {
        (mend(why))
        p.hint { "Stand behind the person: the floor lies as they see it. Tap how each direction goes: every tap is saved at once. What you do not tap is not written down." }
        @if !before.items.is_empty() {
            p role="status" { "The lesson goes on: " (before.items.len()) " taps are saved." }
        }
        form id="teach" method="post" action=(at(standing.line.id, "teach")) data-keeps data-taps=(at(standing.line.id, "teach/tap")) {
            (seat.form())
            input type="hidden" name="lesson" value=(before.lesson);
            @for (place, exercise) in programme.exercises.iter().enumerate() {
                @for limb in &exercise.limbs {
                    (lesson(person, exercise, limb, (place + 1, count), seen))
                }
            }
            @for (place, exercise) in programme.exercises.iter().enumerate() {
                (shown_back(exercise, (place + 1, count), seen))
            }
            section.step data-step="The end" {
                h2 { "Save" }
                label for="remark" { "A remark, if there is one" }
                textarea id="remark" name="remark" rows="3" { (typed.get("remark")) }
                p.quiet { "It becomes the first entry of the home log." }
                button.action type="submit" { "Save what was seen" }
            }
        }
        nav.pager hidden aria-label="Steps of teaching" {
            button type="button" id="back" { "Back" }
            p id="where" role="status" {}
            button.action type="button" id="next" { "Next" }
        }
        script type="module" src="/assets/teach.js" {}
    }
}

/// One limb of one exercise: the floor large, the pace, and a tap for each direction.
fn lesson(
    person: &app::PersonToday<'_>,
    exercise: &Exercise,
    limb: &LimbPart,
    (place, count): (usize, usize),
    (typed, before): (&Fields, &TeachRecord),
) -> Markup {
    let side = limb.mover.to_string();
    let name = format!("Exercise {place} of {count}, {side} {}", part(exercise));
    html! {
        section.step.lesson data-step=(name) {
            h2 { (name) }
            p { (head(exercise)) ". " span.quiet { (dose_words(exercise)) } }
            div.room {
                div.ground { (floor::view(person, exercise, limb)) (pace(exercise, limb)) }
                div.taps { @for one in &limb.movements { (taps::row(place, one, taps::Pass::Taught, typed, before)) } }
            }
        }
    }
}

/// The part of the body that moves.
fn part(exercise: &Exercise) -> &'static str {
    if exercise.family == movement::Family::BendAndReach { "hand" } else { "leg" }
}

/// What paces the person: counted aloud by the module, written as words without it.
fn pace(exercise: &Exercise, limb: &LimbPart) -> Markup {
    let first = limb.movements.first().map_or(exercise.tempo, ExerciseMovement::tempo);
    html! {
        p.plain-pace { (format!("{:.0} s out, {:.0} s hold, {:.0} s back, {:.0} s still.", first.out.in_s(), first.hold.in_s(), first.back.in_s(), first.settle.in_s())) }
        div.pace hidden {
            button.big type="button" data-pace { "Start the pace" }
            p.say role="status" {}
        }
    }
}

/// The same again without floor and without a prompt.
fn shown_back(
    exercise: &Exercise,
    (place, count): (usize, usize),
    (typed, before): (&Fields, &TeachRecord),
) -> Markup {
    let name = format!("Shown back, exercise {place} of {count}");
    html! {
        section.step data-step=(name) {
            h2 { (name) }
            p { "Now the person shows it, unprompted: " (head(exercise)) ". Say nothing; tap what you see." }
            div.both {
                @for limb in &exercise.limbs {
                    div {
                        h3 { (words::capital(&limb.mover.to_string())) " " (part(exercise)) }
                        @for one in &limb.movements { (taps::row(place, one, taps::Pass::ShownBack, typed, before)) }
                    }
                }
            }
        }
    }
}
