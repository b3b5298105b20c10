//! A log in any form in which it comes home: a table, the file that the practice page saves, or JSON.

use std::path::Path;

use app::PracticeLog;
use exchange::{Known, Mark, Preview, came_home, table};
use progress::{Prescription, Session};
use serde::Deserialize;

use crate::end::Failure;
use crate::input;

/// The file of a practice page, as far as it says what was asked for.
#[derive(Deserialize)]
struct Saved {
    mark: Mark,
    prescription: Prescription,
}

/// Reads a log.
pub fn read(path: &Path) -> Result<PracticeLog, Failure> {
    let text = input::text(
        path,
        "name a log: the file that the practice page saves, a table of `footrose practice read --csv`, or JSON as \
         `footrose help adapt` shows",
    )?;
    let failure = |why: String| Failure::Table { path: path.to_owned(), why };
    let of_sessions = |sessions: Vec<Session>| PracticeLog { sessions, ..PracticeLog::default() };
    if path.extension().is_some_and(|end| end.eq_ignore_ascii_case("csv")) {
        let told = table::read(&text).map_err(|error| failure(error.to_string()))?;
        return Ok(of_sessions(told.into_iter().flat_map(|(_, sessions)| sessions).collect()));
    }
    let json = text.trim_start_matches('\u{feff}').trim_start();
    if json.starts_with('[') {
        return app::read_log(json).map(of_sessions).map_err(|error| failure(error.to_string()));
    }
    match serde_json::from_str::<Saved>(json) {
        Ok(saved) => of_page(json, saved).map_err(Failure::Code),
        Err(_) => PracticeLog::read(json).map_err(|error| failure(error.to_string())),
    }
}

/// The sessions of the file that a practice page saved, held against what it says was asked for.
fn of_page(text: &str, saved: Saved) -> Result<PracticeLog, exchange::Refusal> {
    let Saved { mark, prescription } = saved;
    let known = Known { mark, prescription: prescription.clone(), stored: Vec::new(), replaced: false };
    let sessions = came_home(text, &[known])?
        .into_iter()
        .flat_map(|preview| match preview {
            Preview::Log(log) => log.sessions,
            Preview::Typed(_) => Vec::new(),
        })
        .map(|seen| seen.session)
        .collect();
    Ok(PracticeLog { prescription: Some(prescription), sessions, ..PracticeLog::default() })
}
