//! The grid on paper: fourteen days from the day the sheet is made, or fewer where its use ends before.

use jiff::ToSpan;
use jiff::civil::Date;
use movement::Bearing;

use super::ExerciseFacts;
use crate::data::{ExerciseSheet, LogDay, LogFloor, LogGrid};
use crate::language::fill;
use crate::settings::SheetSettings;

/// Days on the grid: two weeks, one on each page.
const DAYS: i64 = 14;
const DAYS_A_PAGE: usize = 7;

pub(super) fn grid(
    sheets: &[ExerciseSheet],
    facts: &[ExerciseFacts<'_>],
    use_until: Date,
    settings: &SheetSettings,
) -> LogGrid {
    let words = settings.wording.words();
    let log = &words.log;
    let per_day = facts.iter().map(|f| f.dose.per_day).max().unwrap_or(1);
    let days: Vec<LogDay> = (0..DAYS)
        .filter_map(|k| settings.made_on.checked_add(k.days()).ok())
        .filter(|on| *on <= use_until)
        .map(|on| LogDay { on, written: words.short_date(on), sessions: per_day })
        .collect();
    let floors = sheets.iter().flat_map(|sheet| {
        sheet.limbs.iter().map(|limb| LogFloor {
            exercise: sheet.number,
            mover: limb.mover,
            letter: words.names.foot_letter.of(limb.mover).to_owned(),
            bearings: bearings(&limb.movements),
        })
    });
    LogGrid {
        sentences: log.sentences.clone(),
        titles: (1..=days.len().div_ceil(DAYS_A_PAGE))
            .map(|week| fill(&log.title, &[("week", &week.to_string())]))
            .collect(),
        done: log.done.clone(),
        before: log.before.clone(),
        morning: log.morning.clone(),
        stop_sign: log.stop_sign.clone(),
        floors: floors.collect(),
        days,
    }
}

/// The directions, clockwise; one that is passed in front and behind is one ring.
fn bearings(movements: &[movement::MovementSpec]) -> Vec<Bearing> {
    let mut out: Vec<Bearing> = movements.iter().map(|spec| spec.bearing).collect();
    out.sort_unstable();
    out.dedup();
    out
}
