//! Outcomes: how many people changed for better or worse in each test, by the words of the verdict.

use std::collections::BTreeMap;

use axum::Router;
use axum::routing::get;
use clinic::PersonLine;
use maud::{Markup, html};
use measurement::{InstrumentKey, Verdict, Way};

use crate::frame::Here;
use crate::seat::{Seat, at};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/clinic/outcomes", get(show))
}

/// One person in one test.
struct One {
    line: PersonLine,
    what: String,
    verdict: Verdict,
    way: Way,
}

async fn show(seat: Seat) -> Answer {
    let mut tests: BTreeMap<InstrumentKey, Vec<One>> = BTreeMap::new();
    let mut measured = 0;
    for line in seat.desk.people().await? {
        let standing = seat.desk.standing(line.id).await?;
        let Some(case) = standing.case.clone() else { continue };
        let Some(measures) = seat.desk.measured(line.id).await?.measures else { continue };
        measured += 1;
        let found =
            tokio::task::spawn_blocking(move || app::change_report(&case, &measures, None, None)).await;
        let found = found.map_err(|error| crate::fault::Fault::Broken(error.to_string()))?;
        for test in &found.tests {
            // A test in directions is told by its composite; eight rows of one person are no eight people.
            if test.rows.iter().any(|row| row.direction.is_some()) {
                continue;
            }
            for row in &test.rows {
                let one = One {
                    line: line.clone(),
                    what: row.what.clone(),
                    verdict: row.change.verdict,
                    way: row.change.way,
                };
                tests.entry(test.test).or_default().push(one);
            }
        }
    }
    seat.page("Outcomes", Here::Clinic, view(&tests, measured))
}

/// The verdicts in the order in which they are told.
const TOLD: [(&str, Verdict, Option<Way>); 6] = [
    ("Better, real and large enough", Verdict::RealAndLarge, Some(Way::Better)),
    ("Better, probably real", Verdict::ProbablyReal, Some(Way::Better)),
    ("Within the noise", Verdict::WithinNoise, None),
    ("Cannot say", Verdict::CannotSay, None),
    ("Worse, probably real", Verdict::ProbablyReal, Some(Way::Worse)),
    ("Worse, real and large enough", Verdict::RealAndLarge, Some(Way::Worse)),
];

fn view(tests: &BTreeMap<InstrumentKey, Vec<One>>, measured: usize) -> Markup {
    html! {
        p { a href="/clinic" { "Clinic" } }
        p { (measured) " people were measured. The first result of each since the operation or injury stands beside the last one. These are the people who came back to be measured, not all who were treated, so this says nothing about what a treatment does." }
        @if tests.is_empty() { p { "Nobody was measured twice yet. Measure a second time, and the change stands here." } }
        @for (test, ones) in tests {
            section {
                h2 { (words::capital(&test.instrument().name)) }
                table {
                    caption.quiet { (ones.len()) @if ones.len() == 1 { " result" } @else { " results, a limb each where the test has limbs" } }
                    thead { tr { th scope="col" { "Verdict" } th scope="col" { "How many" } th scope="col" { "Who" } } }
                    tbody { @for (said, verdict, way) in TOLD {
                        @let those: Vec<&One> = ones.iter().filter(|one| one.verdict == verdict && way.is_none_or(|way| one.way == way)).collect();
                        @if !those.is_empty() { tr {
                            th scope="row" { (said) }
                            td { (those.len()) }
                            td { @for one in those { p { a href=(at(one.line.id, &format!("measures#test-{test}"))) { (one.line.person.name) } ", " (one.what) } } }
                        } }
                    } }
                }
            }
        }
    }
}
