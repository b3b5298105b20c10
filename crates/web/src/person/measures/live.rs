//! The live score of what was typed so far, for the module of the entry form.

use app::Measures;
use axum::extract::Path;
use axum::http::header::CONTENT_TYPE;
use axum::response::IntoResponse;
use measurement::{InstrumentKey, Scored};
use person::CaseFile;
use serde_json::{Map, Value};

use super::super::standing;
use super::trial_fields::{Cell, cells, file};
use crate::Answer;
use crate::fields::Fields;
use crate::seat::{Seat, Whose};

/// What each limb and direction has so far, by the key of its fields.
pub(super) async fn score(
    seat: Seat,
    whose: Whose,
    Path((_, test)): Path<(String, String)>,
    fields: Fields,
) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let mut out = Map::new();
    if let (Some(case), Ok(key)) = (standing.case.as_deref(), InstrumentKey::find(&test)) {
        for cell in cells(key.instrument()) {
            let said = so_far(key, cell, &fields, case, (standing.day, seat.desk.name()));
            out.insert(cell.key(), said.map_or(Value::Null, Value::String));
        }
    }
    Ok(([(CONTENT_TYPE, "application/json")], Value::Object(out).to_string()).into_response())
}

/// What one limb and direction has so far; none where nothing was typed.
pub(super) fn so_far(
    key: InstrumentKey,
    cell: Cell,
    fields: &Fields,
    case: &CaseFile,
    (day, by): (jiff::civil::Date, &str),
) -> Option<String> {
    let text = file(key, fields, (day, by), Some(cell))?;
    let none = |_: &str| Err("recordings are read from a file".to_owned());
    Some(match app::read_measures("this form", &text, case, day, &none) {
        Ok(measures) => said(case, &measures),
        Err(errors) => {
            let problem = errors.problems.first();
            problem.map_or_else(String::new, |problem| {
                if problem.to_do.contains("valid trials") || problem.accepted.contains("valid trials") {
                    format!("{} so far. {}", cell.trials(key.instrument(), fields).len(), problem.to_do)
                } else {
                    format!("`{}`: accepted {}; {}.", problem.given, problem.accepted, problem.to_do)
                }
            })
        }
    })
}

fn said(case: &CaseFile, measures: &Measures) -> String {
    let Some(entry) = measures.entries.first() else { return String::new() };
    if matches!(entry.session.taken().scored, Scored::Unable { .. }) {
        return "Not possible today. This is not a zero.".to_owned();
    }
    let report = app::measure_report(case, measures);
    let row = report.days.first().and_then(|day| day.results.first());
    row.map_or_else(String::new, |row| {
        let scales: Vec<&str> = row.scales.iter().map(|scale| scale.said.as_str()).collect();
        scales.join("; ")
    })
}
