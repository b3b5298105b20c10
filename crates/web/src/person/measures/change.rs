//! What changed: the verdict in words, the chance behind it, the chart; the rest one tap away.

use app::{ChangeReport, ChangedResult, ChangedTest};
use drawing::Frame;
use maud::{Markup, PreEscaped, html};
use measurement::{Verdict, Way};

use crate::words;

/// Size of a chart, points.
const FRAME: Frame = Frame { width: 520.0, height: 340.0, type_size: 14.0 };

pub(super) fn view(report: &ChangeReport) -> Markup {
    let charts = report.charts(FRAME);
    html! {
        @if !report.tests.is_empty() || !report.once.is_empty() { h2 { "What changed" } }
        @if !report.tests.is_empty() {
            p.quiet { "“Probably real” is not “large enough to matter”. “Within the noise” does not show that nothing changed." }
        }
        @for test in &report.tests {
            section.change id=(format!("test-{}", test.test)) {
                h3 { (words::capital(&test.name)) @if test.together > 1 { span.quiet { " · " (test.together) " looked at together" } } }
                (rows(&test.rows))
                @if !test.symmetry.is_empty() { (rows(&test.symmetry)) }
                @for course in &test.courses { p.quiet { (words::capital(&course.what)) ". " (course.sentence) } }
                (figures(test, &charts))
            }
        }
        @if !report.once.is_empty() {
            details { summary { "Measured once only: " (report.once.len()) } ul { @for line in &report.once { li { (words::capital(line)) } } } }
        }
    }
}

fn rows(rows: &[ChangedResult]) -> Markup {
    html! {
        ul.verdicts { @for row in rows { li {
            p { strong { (words::capital(&row.what)) ": " (verdict(row)) } }
            p { (row.first) " on " (words::day(row.from)) "; " (row.last) " on " (words::day(row.to)) "." }
            @if let Some((first, rest)) = row.sentences.split_first() {
                p { (first) }
                @if !rest.is_empty() { details { summary { "What stands behind it" } @for line in rest { p { (line) } } } }
            }
        } } }
    }
}

/// The verdict, never a bare yes.
fn verdict(row: &ChangedResult) -> String {
    let way = match row.change.way {
        Way::Better => "better, ",
        Way::Worse => "worse, ",
        Way::Neither => "",
    };
    match row.change.verdict {
        Verdict::CannotSay => "cannot say".to_owned(),
        verdict => format!("{way}{verdict}"),
    }
}

/// The charts of one test, each with its words: the lists above are the text under it.
fn figures(test: &ChangedTest, charts: &[app::ChangeChart]) -> Markup {
    let name = test.test.as_str();
    let of_test: Vec<&app::ChangeChart> = charts
        .iter()
        .filter(|chart| {
            chart.name == name
                || chart.name.strip_prefix(name).is_some_and(|rest| rest == "-left" || rest == "-right")
        })
        .collect();
    html! {
        @if !of_test.is_empty() {
            div.limbs { @for chart in of_test {
                figure { (PreEscaped(chart.scene.svg().as_str())) figcaption.quiet { "The figures stand in the list above." } }
            } }
        }
    }
}
