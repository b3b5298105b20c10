//! Rater agreement: a table of readings that was pasted, to errors, limits and their chart. Nothing of it is kept.

use app::{AgreementSettings, RatingTable, agreement_report, grades_report};
use axum::Router;
use axum::routing::get;
use drawing::Frame;
use maud::{Markup, PreEscaped, html};
use measurement::statistics::Confidence;

use crate::fields::Fields;
use crate::frame::{Here, mend};
use crate::seat::Seat;
use crate::{Answer, Web};

/// Size of a chart, points.
const FRAME: Frame = Frame { width: 560.0, height: 360.0, type_size: 14.0 };

/// Shown where nothing was pasted yet: invented readings of one test by two raters.
const EXAMPLE: &str = "person,Tarn,Osric\na,61.0,62.5\nb,55.5,55.0\nc,70.0,71.5\nd,64.5,63.0\n";

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/clinic/agreement", get(show).post(take))
}

async fn show(seat: Seat) -> Answer {
    seat.page("Rater agreement", Here::Clinic, view(&seat, &Fields::default(), None, None))
}

async fn take(seat: Seat, fields: Fields) -> Answer {
    match found(&fields) {
        Ok(report) => seat.page("Rater agreement", Here::Clinic, view(&seat, &fields, None, Some(&report))),
        Err(why) => seat.again("Rater agreement", Here::Clinic, view(&seat, &fields, Some(&why), None)),
    }
}

/// What came out: words, and a chart for each pair of columns.
struct Report {
    text: String,
    charts: Vec<String>,
}

fn found(fields: &Fields) -> Result<Report, String> {
    let table = RatingTable::read(fields.get("table")).map_err(|error| error.to_string())?;
    if fields.ticked("grades") {
        let typed = fields.get("order").trim();
        let order: Vec<String> = typed.split(',').map(|grade| grade.trim().to_owned()).collect();
        let order = (!typed.is_empty()).then_some(order.as_slice());
        let report = grades_report(&table, order, Confidence::P95).map_err(|error| error.to_string())?;
        return Ok(Report { text: report.text(), charts: Vec::new() });
    }
    let unit = fields.get("unit").trim();
    let unit = (!unit.is_empty()).then(|| unit.to_owned());
    let settings = AgreementSettings { unit: unit.clone(), confidence: Confidence::P95 };
    let report = agreement_report(&table, &settings).map_err(|error| error.to_string())?;
    let charts = report
        .pairs
        .iter()
        .filter_map(|pair| pair.chart(unit.as_deref(), FRAME))
        .map(|scene| scene.svg().as_str().to_owned())
        .collect();
    Ok(Report { text: report.text(), charts })
}

fn view(seat: &Seat, typed: &Fields, why: Option<&str>, report: Option<&Report>) -> Markup {
    html! {
        p { a href="/clinic" { "Clinic" } }
        p { "Two people, or one person twice, measure the same people. This says how far they lie apart, and which change of one person is more than that. Nothing of the table is kept." }
        @if let Some(report) = report {
            section {
                h2 { "What came out" }
                div.told { @for line in report.text.lines().filter(|line| !line.trim().is_empty()) { p { (line) } } }
                div.limbs { @for chart in &report.charts { figure { (PreEscaped(chart)) figcaption.quiet { "Each dot is a person: mean of both, and how far they lie apart. The figures stand above." } } } }
            }
        }
        h2 { "The table" }
        (mend(why))
        form.entry method="post" action="/clinic/agreement" data-keeps {
            (seat.form())
            label for="table" { "Readings, as comma-separated lines" }
            p.hint { "A header row; then a row for each person, a column for each rater or repeated try. An empty cell was not taken." }
            textarea id="table" name="table" rows="10" spellcheck="false" placeholder=(EXAMPLE) { (typed.get("table")) }
            label for="unit" { "Unit of the readings" }
            input id="unit" name="unit" autocomplete="off" value=(typed.get("unit"));
            label.choice { input type="checkbox" name="grades" value="1" checked[typed.ticked("grades")]; " The cells are grades, not numbers" }
            label for="order" { "Grades from least to most, if they have an order" }
            input id="order" name="order" autocomplete="off" placeholder="none, mild, severe" value=(typed.get("order"));
            button.action type="submit" { "Compare" }
        }
    }
}
