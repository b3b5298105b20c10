//! Measures: what was measured, and what changed by more than the error of the test.

use app::{ChangeReport, MeasureReport};
use axum::Router;
use axum::routing::get;
use clinic::Standing;
use maud::{Markup, html};

use super::{Tab, nothing_found, page, standing};
use crate::seat::{Seat, Whose};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/people/{person}/measures", get(show))
}

async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let measured = seat.desk.measured(whose.0).await?;
    let body = match (standing.case.as_deref(), &measured.measures) {
        (None, _) => nothing_found(&standing),
        (Some(_), None) => html! {
            p { "Nothing was measured yet. A first measurement is the base that every later change is compared with." }
        },
        (Some(case), Some(measures)) => view(
            &standing,
            &app::measure_report(case, measures),
            &app::change_report(case, measures, None, None),
        ),
    };
    page(&seat, &standing, Tab::Measures, body)
}

fn view(_standing: &Standing, report: &MeasureReport, change: &ChangeReport) -> Markup {
    html! {
        p { "Errors are those of " (report.group) "." }
        @if !change.tests.is_empty() {
            h2 { "What changed" }
            @for test in &change.tests {
                section { h3 { (test.name) } @for row in &test.rows { p { strong { (words::capital(&row.what)) ". " } (row.sentences.join(" ")) } } }
            }
        }
        @for day in report.days.iter().rev() {
            section {
                h2 { (words::day(day.date)) @if let Some(by) = &day.by { ", " (by) } }
                table {
                    caption.quiet { "Results of " (words::day(day.date)) }
                    thead { tr { th scope="col" { "Test" } th scope="col" { "Limb and direction" } th scope="col" { "Result" } } }
                    tbody { @for row in &day.results { tr {
                        th scope="row" { (row.name) }
                        td { @if let Some(side) = row.side { (side) } @if let Some(direction) = &row.direction { ", " (direction) } }
                        td { @for scale in &row.scales { p { (scale.said) } } }
                    } } }
                }
            }
        }
    }
}
