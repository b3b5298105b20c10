//! Findings: entered in the order of a visit; every saved version is a case file that the engine reads.

mod ask;
mod body;
mod changed;
mod compare;
mod conditions;
mod entry;
mod fields;
mod flags;
mod goals;
mod history;
mod home;
mod hurt;
mod orders;
mod page;
mod parts;
mod shown;
mod strength;
mod whole;

use app::PersonToday;
use axum::Router;
use axum::extract::Query;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{CaseRecord, CaseText, CaseValue, Entry as Stored, Standing};
use jiff::civil::Date;
use maud::{Markup, html};
use person::case_file::{CaseErrors, Problem, Wrong};
use serde::Deserialize;

use super::{Tab, again, alert, page as tab_page, standing};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::frame::piece;
use crate::reckon::blocking;
use crate::seat::{Seat, Whose};
use crate::{Answer, Web};
use entry::Entry;
use shown::Form;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/findings", get(show).post(take))
        .route("/people/{person}/findings/ask", get(show_asked))
        .route("/people/{person}/findings/text", get(whole::show).post(whole::take))
        .route("/people/{person}/findings/versions", get(history::show))
        .route("/people/{person}/findings/back", post(history::bring_back))
}

/// What the address asks for beside the page.
#[derive(Deserialize)]
struct Asked {
    /// Not empty: what the newest version changed stands first.
    #[serde(default)]
    changed: String,
    /// Not empty: what to ask next is waited for; otherwise a module asks for it beside the page.
    #[serde(default)]
    ask: String,
}

async fn show(seat: Seat, whose: Whose, Query(asked): Query<Asked>) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let versions = seat.desk.read::<CaseRecord>(whose.0).await?;
    let changed = if asked.changed.is_empty() {
        html! {}
    } else {
        changed(&seat, &whose, &standing, &versions).await?
    };
    let form = Form {
        standing: &standing,
        text: CaseText::of(&standing.case_text).filter(|_| standing.case.is_some()),
        absent: versions.last().map(|entry| entry.body.absent.clone()).unwrap_or_default(),
        typed: None,
        problems: Vec::new(),
        me: seat.desk.name(),
    };
    let questions = match asked.ask.is_empty() {
        true => questions_known(&seat, &form).await?,
        false => questions(&seat, &form).await?,
    };
    tab_page(&seat, &standing, Tab::Findings, page::view(&seat, &form, &changed, &questions, ""))
}

/// What to ask next, for the module that puts it into the page.
async fn show_asked(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let form = Form {
        standing: &standing,
        text: CaseText::of(&standing.case_text).filter(|_| standing.case.is_some()),
        absent: Vec::new(),
        typed: None,
        problems: Vec::new(),
        me: seat.desk.name(),
    };
    Ok(piece(questions(&seat, &form).await?).into_response())
}

async fn questions(seat: &Seat, form: &Form<'_>) -> Result<Markup, Fault> {
    let asked = seat.reckon().asked(form.standing).await?;
    Ok(asked.map(|asked| ask::view(form, &asked)).unwrap_or_default())
}

/// What to ask next if it was worked out before, else its place in the page, which waits for nobody. A red
/// flag is said at once.
async fn questions_known(seat: &Seat, form: &Form<'_>) -> Result<Markup, Fault> {
    if let Some(asked) = seat.reckon().asked_before(form.standing) {
        return Ok(ask::view(form, &asked));
    }
    let (Some(case), day) = (form.standing.case.clone(), form.standing.day) else { return Ok(html! {}) };
    let flag = blocking(move || PersonToday::of(&case, day).allowed.alert().cloned()).await?;
    Ok(match flag {
        Some(flag) => alert(&flag),
        None => ask::later(form.standing.line.id),
    })
}

/// What the newest version changed against the one before.
async fn changed(
    seat: &Seat,
    whose: &Whose,
    standing: &Standing,
    versions: &[Stored<CaseRecord>],
) -> Result<Markup, Fault> {
    let [.., before, after] = versions else {
        let space = whose.at("space");
        return Ok(
            html! { section.changed { p { "The first version is saved. " a href=(space) { "See the movement space" } } } },
        );
    };
    let Some(case) = standing.case.clone() else { return Ok(html! {}) };
    let old = person::case_file::read("the version before", &before.body.text);
    let old = old.map_err(|errors| Fault::from(clinic::Error::Case(errors)))?;
    let then = seat.reckon().space_of(before.record, std::sync::Arc::new(old), standing.day).await?;
    let now = seat.reckon().space_of(after.record, case, standing.day).await?;
    let difference = compare::compare(&then, &now);
    let lines = history::differences(Some(&before.body.text), &after.body.text);
    let undo = history::bring_back_form(seat, whose, before.record, "Undo: bring the version before back");
    Ok(changed::view(&difference, &lines, &undo, &whose.at("space")))
}

async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let versions = seat.desk.read::<CaseRecord>(whose.0).await?;
    let newest = versions.last();
    let base = versions.iter().find(|entry| entry.record.to_string() == fields.get("base"));
    let me = seat.desk.name().to_owned();
    let mut form = Form {
        standing: &standing,
        text: newest.and_then(|entry| CaseText::of(&entry.body.text)),
        absent: newest.map(|entry| entry.body.absent.clone()).unwrap_or_default(),
        typed: Some(&fields),
        problems: Vec::new(),
        me: &me,
    };
    let written = match write(&form, base, &fields) {
        Ok(written) => written,
        Err(problems) => {
            form.problems = problems;
            return mend(&seat, form).await;
        }
    };
    if newest.is_some_and(|entry| {
        entry.body.text == written.record.text && entry.body.absent == written.record.absent
    }) {
        return seat.saved(&whose.at("findings"));
    }
    match seat.desk.save_case_record(whose.0, &written.record, fields.once()).await {
        Ok(_) => seat.saved(&format!("{}?changed=1#main", whose.at("findings"))),
        Err(clinic::Error::Case(errors)) => {
            form.problems = renamed(errors, &written.renamed);
            mend(&seat, form).await
        }
        Err(error) => Err(error.into()),
    }
}

/// The form again, with everything that was typed.
async fn mend(seat: &Seat, form: Form<'_>) -> Answer {
    let questions = questions_known(seat, &form).await?;
    let base = form.typed.map(|typed| typed.get("base")).unwrap_or_default();
    let body = page::view(seat, &form, &html! {}, &questions, base);
    again(seat, form.standing, Tab::Findings, body)
}

/// A new version with where its new entries stand in the form.
struct Written {
    record: CaseRecord,
    renamed: Vec<(String, String)>,
}

/// From what was typed to a new version.
fn write(
    form: &Form<'_>,
    base: Option<&Stored<CaseRecord>>,
    fields: &Fields,
) -> Result<Written, Vec<Problem>> {
    let found_on = day(fields, form.standing.day)?;
    let is_new = form.text.is_none();
    let invented = is_new && fields.ticked("invented");
    let mut newest = form.text.clone().unwrap_or_else(|| CaseText::begun(found_on, invented));
    let shown = match base {
        Some(base) => CaseText::of(&base.body.text).unwrap_or_else(|| newest.clone()),
        None => newest.clone(),
    };
    let before = newest.clone();
    newest.move_visit(found_on);
    if let Some(planned) = newest.given("planned_for").and_then(|given| given.text.parse::<Date>().ok())
        && planned < found_on
    {
        newest.set("planned_for", &CaseValue::Day(found_on));
    }
    let untouched = newest.clone();
    let mut entry = Entry::new(fields, [shown, before, newest], found_on, form.me);
    let absent = flags::take(&mut entry, form);
    body::take(&mut entry);
    conditions::take(&mut entry);
    orders::take(&mut entry);
    hurt::take(&mut entry);
    for row in fields::sections().iter().flat_map(|section| &section.rows) {
        entry.row(row);
    }
    strength::take(&mut entry);
    flags::take_others(&mut entry);
    goals::take(&mut entry);
    home::take(&mut entry);
    for path in fields.all("gone") {
        if let Some(place) =
            path.strip_prefix("orders[").and_then(|rest| rest.trim_end_matches(']').parse().ok())
        {
            entry.take_out("orders", place);
        }
    }
    entry.finish();
    if !entry.clashes.is_empty() {
        return Err(entry.clashes.iter().map(|key| clash(key)).collect());
    }
    // A visit at which nothing was found is no new version.
    let same = entry.text.text() == untouched.text() && absent == form.absent && !is_new;
    let text = match (&form.text, same) {
        (Some(text), true) => text.text(),
        _ => entry.text.text(),
    };
    Ok(Written { record: CaseRecord { text, absent, why: String::new() }, renamed: entry.renamed })
}

fn day(fields: &Fields, today: Date) -> Result<Date, Vec<Problem>> {
    let typed = fields.get("found_on").trim();
    let problem = |accepted: String, to_do: &str| {
        vec![Problem {
            wrong: Wrong::Contradiction,
            line: 0,
            key: "found_on".to_owned(),
            given: typed.to_owned(),
            accepted,
            to_do: to_do.to_owned(),
        }]
    };
    match typed.parse::<Date>() {
        Ok(day) if day <= today => Ok(day),
        _ if typed.is_empty() => Ok(today),
        _ => Err(problem(
            format!("a day such as 2026-02-03, not after {today}"),
            "type the day on which this was found",
        )),
    }
}

/// Somebody else changed the same key meanwhile.
fn clash(key: &str) -> Problem {
    Problem {
        wrong: Wrong::Contradiction,
        line: 0,
        key: key.to_owned(),
        given: "your entry".to_owned(),
        accepted: "a finding that nobody else changed since you opened this page".to_owned(),
        to_do: "open the findings in another tab, look at what is there now, and enter yours again if it still holds".to_owned(),
    }
}

/// The problems of a text at the names that the form gives to new entries.
fn renamed(errors: CaseErrors, names: &[(String, String)]) -> Vec<Problem> {
    let mut problems = errors.problems;
    for problem in &mut problems {
        if let Some((_, name)) = names.iter().find(|(key, _)| *key == problem.key) {
            problem.key.clone_from(name);
        }
    }
    problems
}
