//! Measures as a letter needs them: first and last result with error, and the judgement.

use document::{Changed, MeasuredFacts, MeasuredOnce, Value};
use jiff::civil::Date;
use person::CaseFile;

use crate::measures::{change_report, involved_of, once_of};
use crate::{ChangedResult, Measures};

/// Everything measured up to `today`.
pub(super) fn measured(case: &CaseFile, measures: &Measures, today: Date) -> MeasuredFacts {
    let report = change_report(case, measures, None, Some(today));
    let involved = involved_of(case);
    let changed = report
        .tests
        .iter()
        .flat_map(|test| test.rows.iter().map(move |row| (test, row)))
        .map(|(test, row)| Changed {
            test: test.test,
            side: row.side,
            direction: row.direction,
            involved: row.side.is_none_or(|side| involved.includes(side)),
            scale: row.scale,
            unit: row.change.unit,
            from: row.from,
            to: row.to,
            first: value(row, 0),
            last: value(row, 1),
            together: test.together,
            change: row.change.clone(),
        })
        .collect();
    let once = once_of(case, measures, None, Some(today))
        .into_iter()
        .map(|(test, on)| MeasuredOnce { test, on })
        .collect();
    MeasuredFacts { changed, once }
}

fn value(row: &ChangedResult, which: usize) -> Option<Value> {
    let (reading, error) = row.readings.as_ref()?.get(which)?;
    Some(Value { value: reading.value, error: *error })
}
