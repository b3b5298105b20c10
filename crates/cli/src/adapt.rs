//! What came home, on the command line: the log is read, and what the rules propose is printed.

use std::path::Path;

use app::AdaptError;
use jiff::ToSpan;
use jiff::civil::Date;
use serde_json::Value;

use crate::args::CaseArgs;
use crate::end::{End, Failure};
use crate::{input, run, say};

/// Runs `adapt`. The programme is that of `from`, else of the day an invented case names, else of the first session;
/// an invented case without a day is decided on the day after the last session.
pub fn adapt(args: &CaseArgs, log: &Path, from: Option<Date>) -> Result<End, Failure> {
    let (case, mut today) = input::case(args)?;
    let failure = |why: String| Failure::Table { path: log.to_owned(), why };
    let sessions = crate::log::read(log)?.sessions;
    let first = sessions.iter().map(|session| session.on).min();
    let last = sessions.iter().map(|session| session.on).max();
    if let (None, true, Some(last)) = (args.today, case.invented, last) {
        today = last.checked_add(1.days()).unwrap_or(last);
    }
    let from = from.or(case.planned_for.filter(|_| case.invented)).or(first).unwrap_or(today);
    let watch = say::Watch::start();
    let adapted = match app::adapt_case(&case, (from, today), &sessions, &|part| watch.see(part)) {
        Ok(adapted) => adapted,
        Err(AdaptError::Alert(alert)) => return Ok(run::tell_alert(&alert, &case, today, args.json)),
        Err(AdaptError::NoProgramme(none)) => return Err(Failure::NoProgramme(none)),
        Err(AdaptError::Log(error)) => return Err(failure(error.to_string())),
    };
    if args.json {
        say::json(&serde_json::to_value(&adapted).unwrap_or(Value::Null));
    } else {
        say::text(&format!("{}{}", run::first_line(&case, today), adapted.text()));
    }
    Ok(End::Done)
}
