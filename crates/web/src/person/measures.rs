//! Measures: which tests may be done today, guided entry of trials, and what changed by more than the error.

mod change;
mod live;
mod offer;
mod take;
mod trial_fields;

use app::MeasureReport;
use axum::Router;
use axum::routing::{get, post};
use clinic::Standing;
use maud::{Markup, html};

use super::{Tab, nothing_found, page, standing};
use crate::seat::{Seat, Whose, at};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/measures", get(show))
        .route("/people/{person}/measures/tests", get(offer::show))
        .route("/people/{person}/measures/take/{test}", get(take::show).post(take::take))
        .route("/people/{person}/measures/score/{test}", post(live::score))
}

async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let Some(case) = standing.case.as_deref() else {
        return page(&seat, &standing, Tab::Measures, nothing_found(&standing));
    };
    let measured = seat.desk.measured(whose.0).await?;
    let body = match &measured.measures {
        None => html! {
            p { "Nothing was measured yet. A first measurement is the base that every later change is compared with." }
            (measure_now(&standing))
        },
        Some(measures) => html! {
            (measure_now(&standing))
            (change::view(&app::change_report(case, measures, None, None)))
            (results(&app::measure_report(case, measures)))
        },
    };
    page(&seat, &standing, Tab::Measures, body)
}

fn measure_now(standing: &Standing) -> Markup {
    html! {
        p.acts { a.action href=(at(standing.line.id, "measures/tests")) { "Measure now" } }
    }
}

/// Every result, newest day first.
fn results(report: &MeasureReport) -> Markup {
    html! {
        h2 { "Every result" }
        p.quiet { "Errors of measurement are looked up for " (report.group) "." }
        @for line in &report.not_used { p { (line) } }
        @for (place, day) in report.days.iter().rev().enumerate() {
            details.measured open[place == 0] {
                summary { (words::day(day.date)) @if let Some(by) = &day.by { ", by " (by) } }
                table {
                    caption.quiet { "Results of " (words::day(day.date)) }
                    thead { tr { th scope="col" { "Test" } th scope="col" { "Limb and direction" } th scope="col" { "Result" } } }
                    tbody { @for row in &day.results { tr {
                        th scope="row" { (words::capital(&row.name)) }
                        td { (place_of(row.side, row.direction.as_deref())) }
                        td {
                            @for scale in &row.scales { p { (scale.said) } }
                            @for caution in &row.cautions { p.quiet { (words::capital(caution)) "." } }
                        }
                    } } }
                }
                @if !day.limbs.is_empty() {
                    h3 { "Involved limb beside the other" }
                    p.quiet { "A ratio says nothing about either limb alone, and the other one loses strength too." }
                    ul { @for row in &day.limbs {
                        li { (words::capital(&row.name)) @if let Some(direction) = &row.direction { ", " (direction) } ": " (row.said) "." }
                    } }
                }
            }
        }
    }
}

/// `left, standing; anterior`, `right` or `whole person`.
fn place_of(side: Option<anatomy::Side>, direction: Option<&str>) -> String {
    match (side, direction) {
        (Some(side), Some(direction)) => format!("standing {side}, {direction}"),
        (Some(side), None) => side.to_string(),
        (None, _) => "whole person".to_owned(),
    }
}
