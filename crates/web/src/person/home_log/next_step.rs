//! What the rules propose after what came home, and what a therapist answers: accept, change or decline, with a trace.

mod after;
mod answers;
mod reckoned;
mod shown;
mod trace;

use std::sync::Arc;

use axum::Router;
use axum::extract::Query;
use axum::http::{HeaderMap, header};
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{AdaptationRecord, CaseRecord, Decision, Role, Standing, Stop, Told};
use maud::{Markup, html};
use progress::{Cleared, Verdict, Whole};

use super::super::{Tab, again, alert, no_stop_stands, page, standing};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::seat::{Seat, Whose, at, to};
use crate::{Answer, Web, frame, words};
use answers::Answers;
use reckoned::{Basis, Said, basis, next_step};
use shown::{Typed, may_decide};

pub(crate) use answers::Answers as NextStepAnswers;
pub(crate) use reckoned::NextStep;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/home-log/next-step", get(show).post(take))
        .route("/people/{person}/home-log/next-step/confirm", get(show_after))
        .route("/people/{person}/home-log/next-step/save", post(save))
        .route("/people/{person}/home-log/next-step/cleared", post(clear))
        .route("/people/{person}/home-log/next-step/back", post(take_back))
}

const CHANGED: &str = "A log, the findings or the programme changed meanwhile, so the proposals may be others now. \
                       Nothing was saved: look at them again.";

/// The place of the proposals in the home log, which waits for nobody: worked out before, or loaded beside the page.
pub(super) async fn section(seat: &Seat, standing: &Standing) -> Result<Markup, Fault> {
    let piece = match now(seat, standing).await? {
        Now::Shown(shown) => shown,
        Now::Ask(basis) => match seat.reckon().next_step_before(standing, &basis.key) {
            Some(step) => view(seat, standing, &basis, &step, &Fields::default(), None)?,
            None => later(standing),
        },
    };
    let all = seat.desk.decisions(standing.line.id).await?;
    let names = seat.desk.accounts()?.into_iter().map(|one| (one.id.to_string(), one.name)).collect();
    let whose = Whose(standing.line.id);
    Ok(html! {
        (piece)
        (trace::view(seat, &whose, (&all, &names, seat.desk.role()?)))
    })
}

/// The page of its own, and the part that a module puts into the home log.
async fn show(seat: Seat, whose: Whose, headers: HeaderMap) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let body = answered(&seat, &standing, &Fields::default(), None).await?;
    let accepts = headers.get(header::ACCEPT).and_then(|value| value.to_str().ok());
    if accepts.is_some_and(|accepted| accepted.contains("text/html")) {
        return page(&seat, &standing, Tab::HomeLog, html! { (back(&standing)) (body) });
    }
    Ok(frame::piece(body).into_response())
}

fn back(standing: &Standing) -> Markup {
    html! { p { a href=(at(standing.line.id, "home-log")) { "The home log" } } }
}

/// What can be said without the rules, or what they are asked with.
enum Now {
    Shown(Markup),
    Ask(Arc<Basis>),
}

async fn now(seat: &Seat, standing: &Standing) -> Result<Now, Fault> {
    let Some(case) = standing.case.as_deref() else { return Ok(Now::Shown(html! {})) };
    // A red flag goes before everything, with or without a programme.
    if let Some(flag) = app::PersonToday::of(case, standing.day).allowed.alert() {
        return Ok(Now::Shown(alert(flag)));
    }
    let Some(basis) = basis(seat, standing).await? else {
        let programme = at(standing.line.id, "programme");
        let stops = seat.desk.stops(standing.line.id).await?;
        return Ok(Now::Shown(html! {
            (stops_alone(seat, standing, &stops)?)
            p { "No programme was accepted yet, so nothing can be proposed after it. " a href=(programme) { "Accept one first" } "." }
        }));
    };
    if basis.waits {
        return Ok(Now::Shown(html! {
            (stops_alone(seat, standing, &basis.since.stops)?)
            p { "The programme waits for a clinician’s countersignature; then the rules are asked what comes next." }
        }));
    }
    if basis.record.exercises.is_empty() {
        return Ok(Now::Shown(html! {
            (stops_alone(seat, standing, &basis.since.stops)?)
            p { "Nothing is in the programme, so there is nothing to go on from." }
        }));
    }
    Ok(Now::Ask(Arc::new(basis)))
}

/// What stops everything, where there is nothing to ask the rules about.
fn stops_alone(seat: &Seat, standing: &Standing, stops: &[Stop]) -> Result<Markup, Fault> {
    let typed = Typed { fields: &Fields::default(), why: None };
    Ok(shown::stops(seat, standing, (seat.desk.role()?, None), stops, &typed))
}

async fn answered(
    seat: &Seat,
    standing: &Standing,
    typed: &Fields,
    why: Option<&str>,
) -> Result<Markup, Fault> {
    match now(seat, standing).await? {
        Now::Shown(shown) => Ok(shown),
        Now::Ask(basis) => match next_step(seat, standing, basis.clone()).await? {
            Some(step) => view(seat, standing, &basis, &step, typed, why),
            None => Ok(html! {}),
        },
    }
}

fn view(
    seat: &Seat,
    standing: &Standing,
    basis: &Basis,
    step: &NextStep,
    typed: &Fields,
    why: Option<&str>,
) -> Result<Markup, Fault> {
    let role = seat.desk.role()?;
    Ok(match step {
        NextStep::Alert(flag) => alert(flag),
        NextStep::CannotSay(not) => {
            let typed = Typed { fields: typed, why };
            let stops = shown::stops(seat, standing, (role, Some(&basis.key)), &basis.since.stops, &typed);
            framed(&html! { (frame::mend(why)) (stops) p { (not) } })
        }
        NextStep::Said(said) => {
            let typed = Typed { fields: typed, why };
            framed(&shown::view(seat, standing, (role, &basis.key), said, &typed))
        }
    })
}

fn framed(body: &Markup) -> Markup {
    html! {
        section.next-step aria-labelledby="next-step" {
            h2 id="next-step" { "What the rules propose" }
            (body)
        }
    }
}

/// The place of the proposals while they are not worked out.
fn later(standing: &Standing) -> Markup {
    let place = at(standing.line.id, "home-log/next-step");
    html! {
        section.next-step data-later=(place) aria-labelledby="next-step" aria-busy="true" {
            h2 id="next-step" { "What the rules propose" }
            p role="status" { a href=(place) { "Work out what the rules propose" } }
        }
        script type="module" src="/assets/next-step.js" {}
    }
}

/// What the rules said, when the form is of it; else why it is not taken.
async fn said(seat: &Seat, standing: &Standing, key: &str) -> Result<Result<Arc<NextStep>, String>, Fault> {
    let Now::Ask(basis) = now(seat, standing).await? else { return Ok(Err(CHANGED.to_owned())) };
    if basis.key != key {
        return Ok(Err(CHANGED.to_owned()));
    }
    let step = next_step(seat, standing, basis).await?;
    Ok(step.ok_or_else(|| CHANGED.to_owned()))
}

fn proposals(step: &NextStep) -> Result<&Arc<Said>, Fault> {
    match step {
        NextStep::Said(said) => Ok(said),
        NextStep::Alert(_) => {
            Err(Fault::Refused("A red flag stands open: nothing may be decided.".to_owned()))
        }
        NextStep::CannotSay(why) => Err(Fault::Refused(why.clone())),
    }
}

/// Nobody but who may decide comes further; the store would refuse it all the same.
fn must_decide(seat: &Seat) -> Result<(), Fault> {
    let role = seat.desk.role()?;
    if may_decide(role) {
        return Ok(());
    }
    let act = "answer what is proposed after a log".to_owned();
    Err(Fault::Clinic(clinic::Error::Store(store::Error::NotPermitted { role, act })))
}

async fn mended(seat: &Seat, standing: &Standing, fields: &Fields, why: &str) -> Answer {
    let body = answered(seat, standing, fields, Some(why)).await?;
    again(seat, standing, Tab::HomeLog, html! { (back(standing)) (body) })
}

async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    must_decide(&seat)?;
    let standing = standing(&seat, &whose).await?;
    let step = match said(&seat, &standing, fields.get("key")).await? {
        Ok(step) => step,
        Err(why) => return mended(&seat, &standing, &Fields::default(), &why).await,
    };
    let said = proposals(&step)?;
    let answers = match answers::parse(&fields, &said.adapted, fields.get("key")) {
        Ok(answers) => answers,
        Err(why) => return mended(&seat, &standing, &fields, &why).await,
    };
    if answers.all.iter().all(|one| one.verdict == Verdict::Declined) {
        // Nothing is changed, so there is nothing to confirm.
        let adaptation = after::trace(said, &answers, (seat.desk.name(), standing.day))?;
        let decision = Decision { adaptation, after: None };
        seat.desk.decide(whose.0, &decision, fields.once()).await?;
        return seat.saved(&whose.at("home-log#decided"));
    }
    let name = answers.name();
    seat.reckon().remember(&standing, &name, answers);
    Ok(to(&format!("{}?of={name}", whose.at("home-log/next-step/confirm"))))
}

/// Answers that were given before, what the rules had said, and what comes of them.
struct After {
    answers: Arc<Answers>,
    said: Arc<Said>,
    taken: Arc<app::Taken>,
}

async fn after_of(seat: &Seat, standing: &Standing, name: &str) -> Result<Option<After>, Fault> {
    let (Some(answers), Some(case)) = (seat.reckon().remembered(standing, name), standing.case.clone())
    else {
        return Ok(None);
    };
    let Ok(step) = said(seat, standing, &answers.key).await? else { return Ok(None) };
    let said = proposals(&step)?.clone();
    let by = seat.desk.name().to_owned();
    let (of, given) = (said.clone(), answers.clone());
    let make = move |progress: app::Progress<'_>| {
        let taken = given.taken(&of.adapted);
        let taken: Vec<&app::Proposal> = taken.iter().collect();
        app::taken(&case, (&of.programme, &of.adapted), &taken, &by, progress)
    };
    let taken = seat.reckon().taken(standing, name, make).await?;
    Ok(taken.map(|taken| After { answers, said, taken }))
}

async fn show_after(seat: Seat, whose: Whose, Query(asked): Query<Vec<(String, String)>>) -> Answer {
    let standing = standing(&seat, &whose).await?;
    must_decide(&seat)?;
    let name = Fields::typed(asked).get("of").to_owned();
    let Some(after) = after_of(&seat, &standing, &name).await? else {
        return mended(&seat, &standing, &Fields::default(), CHANGED).await;
    };
    let body = after::view(&seat, &standing, &after.said, (&after.answers, &after.taken));
    page(&seat, &standing, Tab::HomeLog, html! { (back(&standing)) (body) })
}

async fn save(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    must_decide(&seat)?;
    let standing = standing(&seat, &whose).await?;
    let Some(after) = after_of(&seat, &standing, fields.get("of")).await? else {
        // Sent twice: what it says stands in the records already.
        let decided = seat.desk.decisions(whose.0).await?;
        if decided.last().is_some_and(|one| one.body.of == fields.get("of")) {
            return seat.saved(&whose.at("home-log#decided"));
        }
        return mended(&seat, &standing, &Fields::default(), CHANGED).await;
    };
    let newest = seat.desk.newest::<CaseRecord>(whose.0).await?;
    let newest = newest.ok_or(Fault::NotFound("Nothing is known of this person yet."))?.body;
    let of = (&*after.answers, &*after.taken);
    let decision = after::decision((&standing, &newest), &after.said, of, seat.desk.name())?;
    seat.desk.decide(whose.0, &decision, fields.once()).await?;
    seat.saved(&whose.at("home-log#decided"))
}

/// A clinician looked after a stop and writes down what was found.
async fn clear(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    if seat.desk.role()? != Role::Clinician {
        let why = "After a stop a clinician looks, and writes down what was found.";
        return Err(Fault::Refused(why.to_owned()));
    }
    let standing = standing(&seat, &whose).await?;
    let Now::Ask(basis) = now(&seat, &standing).await? else {
        return mended(&seat, &standing, &Fields::default(), CHANGED).await;
    };
    // What stood on the screen: signs and the codes of unnamed ones under a stop, else codes that tell of pain.
    let shown = match next_step(&seat, &standing, basis.clone()).await?.as_deref() {
        Some(NextStep::Said(said)) if said.adapted.adaptation.whole == Whole::Stop => {
            let reasons = said.adapted.adaptation.reasons.iter().map(|one| one.reason.words.clone());
            Some((reasons.collect(), of_codes(&basis, |one| one.stop)))
        }
        Some(NextStep::Said(said)) if !said.told.is_empty() => {
            let told = said.told.iter().map(|one| words::day(one.record.on));
            let said = told.map(|day| format!("A code told of pain, up to {day}.")).collect();
            Some((said, of_codes(&basis, |one| one.pain)))
        }
        Some(NextStep::CannotSay(_)) if !basis.since.stops.is_empty() => {
            let said = basis.since.stops.iter().map(ToString::to_string).collect();
            Some((said, of_codes(&basis, |one| one.stop)))
        }
        _ => None,
    };
    // Looked at is what was on the screen, not what came home meanwhile.
    let Some((said, asked_about)) = shown.filter(|_| basis.key == fields.get("key")) else {
        return mended(&seat, &standing, &Fields::default(), CHANGED).await;
    };
    let why = fields.get("why").trim().to_owned();
    if why.is_empty() {
        let why = "Nobody said what was found. Write it in a few words; then the rules are asked again.";
        return mended(&seat, &standing, &fields, why).await;
    }
    let cleared = Cleared {
        by: seat.desk.name().to_owned(),
        on: standing.day,
        why,
        signs: progress::stop_signs(&basis.since.sessions),
    };
    let adaptation = AdaptationRecord {
        on: standing.day,
        programme_of: basis.record.for_day,
        of: String::new(),
        said,
        answers: Vec::new(),
        unanswered: Vec::new(),
        became: Vec::new(),
        cleared: Some(cleared),
        asked_about,
        takes_back: None,
        why: String::new(),
        engine: serde_json::Value::Null,
    };
    seat.desk.decide(whose.0, &Decision { adaptation, after: None }, fields.once()).await?;
    seat.saved(&whose.at("home-log"))
}

fn of_codes(basis: &Basis, which: impl Fn(&Told) -> bool) -> Vec<String> {
    basis.since.told.iter().filter(|one| which(one)).map(|one| one.entry.to_string()).collect()
}

async fn take_back(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    must_decide(&seat)?;
    let standing = standing(&seat, &whose).await?;
    // The programme of before may be the harder one.
    no_stop_stands(&seat, &whose).await?;
    let decision =
        fields.get("decision").parse().map_err(|_| Fault::NotFound("There is no such decision."))?;
    seat.desk.take_back(whose.0, (decision, standing.day, fields.get("why")), fields.once()).await?;
    seat.saved(&whose.at("home-log#decided"))
}
