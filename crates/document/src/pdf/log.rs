//! The values of the grid to write on: weeks, rows, small floors.

use drawing::log_floor;
use typst::foundations::{Array, IntoValue, Value};

use super::Paper;
use super::values::{dict, picture, strings};
use crate::data::{Edition, Handout, LogDay};

/// Days on a page.
const DAYS_A_PAGE: usize = 7;
/// Smallest and largest side of a small floor, points: a ring must be hit with a pen.
const SIDE: (f64, f64) = (30.0, 46.0);
/// Height that the rows of one page may take, points.
const ROOM: (f64, f64) = (560.0, 510.0);
/// Width that the small floors of one row may take, points.
const BREADTH: f64 = 258.0;

pub(super) fn values(handout: &Handout, paper: Paper) -> Value {
    let log = &handout.log;
    let side = side(handout, paper);
    let floors = log.floors.iter().map(|floor| {
        let scene = log_floor(&floor.bearings, side);
        let mut out = dict([("head", format!("{} {}", floor.exercise, floor.letter).into_value())]);
        if let Value::Dict(drawn) = picture(&scene, "") {
            out.extend(drawn);
        }
        out.into_value()
    });
    let weeks = log.days.chunks(DAYS_A_PAGE).zip(&log.titles).map(|(days, title)| {
        dict([("title", title.as_str().into_value()), ("rows", rows(days))]).into_value()
    });
    let beside = handout.beside.as_deref().map(|other| vec![other.log.sentences.join(" ")]);
    dict([
        ("sentences", strings(&log.sentences)),
        ("beside", strings(&beside.unwrap_or_default())),
        ("done", log.done.as_str().into_value()),
        ("before", log.before.as_str().into_value()),
        ("morning", log.morning.as_str().into_value()),
        ("stop_sign", log.stop_sign.as_str().into_value()),
        ("size", side.into_value()),
        ("floors", floors.collect::<Array>().into_value()),
        ("weeks", weeks.collect::<Array>().into_value()),
    ])
    .into_value()
}

fn rows(days: &[LogDay]) -> Value {
    let rows = days.iter().flat_map(|day| {
        (1..=day.sessions).map(move |nth| {
            dict([
                ("first", (nth == 1).into_value()),
                ("sessions", i64::from(day.sessions).into_value()),
                ("date", day.written.as_str().into_value()),
                ("nth", i64::from(nth).into_value()),
            ])
            .into_value()
        })
    });
    rows.collect::<Array>().into_value()
}

/// As large as rows and columns leave room.
fn side(handout: &Handout, paper: Paper) -> f64 {
    let log = &handout.log;
    // Larger words, or the same words twice, stand above the table.
    let words = match handout.edition {
        Edition::LargeType => 100.0,
        Edition::Bilingual { .. } => 60.0,
        Edition::Standard | Edition::Numerals => 0.0,
    };
    let rows: usize = log.days.iter().take(DAYS_A_PAGE).map(|day| usize::from(day.sessions)).sum();
    let room = match paper {
        Paper::A4 => ROOM.0,
        Paper::Letter => ROOM.1,
    } - words;
    #[allow(clippy::cast_precision_loss)] // A handful of rows and columns.
    let (rows, columns) = (rows.max(1) as f64, log.floors.len().max(1) as f64);
    (room / rows - 3.0).min(BREADTH / columns - 7.0).clamp(SIDE.0, SIDE.1)
}
