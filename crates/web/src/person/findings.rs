//! Findings: what is known with its dates, and what counts as not assessed today.

use app::Asked;
use axum::Router;
use axum::routing::get;
use clinic::{FindingLine, Freshness, Standing, findings_known};
use maud::{Markup, html};

use super::{Tab, again, alert, page, standing};
use crate::fault::sentence;
use crate::fields::Fields;
use crate::frame::mend;
use crate::seat::{Seat, Whose, at};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/people/{person}/findings", get(show).post(take))
}

async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let text = if standing.case_text.is_empty() {
        person::case_file::template()
    } else {
        standing.case_text.to_string()
    };
    let asked = seat.reckon().asked(&standing).await?;
    let body = html! {
        @if let Some(questions) = asked.as_deref() { (ask(questions)) }
        (view(&seat, &standing, &Fields::known([("text", text)]), None))
    };
    page(&seat, &standing, Tab::Findings, body)
}

async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let before = standing(&seat, &whose).await?;
    // A browser sends line ends of its own kind.
    let text = fields.get("text").replace("\r\n", "\n");
    match seat.desk.save_case(whose.0, &text, fields.once()).await {
        Ok(_) => seat.saved(&whose.at("findings")),
        Err(error @ clinic::Error::Case(_)) => {
            let body = view(&seat, &before, &fields, Some(&sentence(&error.to_string())));
            again(&seat, &before, Tab::Findings, body)
        }
        Err(error) => Err(error.into()),
    }
}

fn view(seat: &Seat, standing: &Standing, typed: &Fields, why: Option<&str>) -> Markup {
    let known = standing.case.as_deref().map(|case| findings_known(case, standing.day)).unwrap_or_default();
    let (found, open): (Vec<&FindingLine>, Vec<&FindingLine>) =
        known.iter().partition(|line| line.freshness != Freshness::NotAssessed);
    html! {
        @if known.is_empty() {
            p { "Nothing was entered yet. Begin below: every line that you leave out counts as not assessed, and opens nothing." }
        } @else {
            (table(&found))
            details {
                summary { (open.len()) " more were not assessed, and open nothing" }
                ul.plain { @for line in &open { li { (name(line)) } } }
            }
        }
        details open[why.is_some() || known.is_empty()] {
            summary { "The whole case as text" }
            (mend(why))
            form.entry method="post" action=(at(standing.line.id, "findings")) data-keeps {
                (seat.form())
                label for="text" { "Case file of " (standing.person().name) }
                p.hint id="text-hint" { "Every saved version is kept with its author and time; nothing is overwritten." }
                textarea id="text" name="text" rows="24" spellcheck="false" aria-describedby="text-hint" { (typed.get("text")) }
                button.action type="submit" { "Save as a new version" }
            }
        }
    }
}

/// The next best questions.
fn ask(asked: &Asked) -> Markup {
    if let Some(flag) = &asked.alert {
        return alert(flag);
    }
    let first = asked.first(3);
    html! {
        @if !first.is_empty() {
            section {
                h2 { "Ask next" }
                ol { @for question in first { li { (words::capital(&question.words)) } } }
            }
        }
    }
}

fn name(line: &FindingLine) -> String {
    let what = words::capital(&line.what);
    line.side.map_or_else(|| what.clone(), |side| format!("{what}, {side}"))
}

fn table(found: &[&FindingLine]) -> Markup {
    html! {
        table {
            caption { "What was found" }
            thead { tr { th scope="col" { "Finding" } th scope="col" { "Found" } th scope="col" { "On" } th scope="col" { "Counts" } } }
            tbody {
                @for line in found {
                    tr {
                        th scope="row" { (name(line)) }
                        td { (line.found) }
                        td { @if let Some(on) = line.on { (words::day(on)) } }
                        td { @match line.freshness {
                            Freshness::Current { through } => { "through " (words::day(through)) }
                            Freshness::Past { since } => { strong.past { "no longer, since " (words::day(since)) ": counts as not assessed" } }
                            Freshness::NotAssessed => { "not assessed" }
                        } }
                    }
                }
            }
        }
    }
}
