//! Whatever somebody hands over: a code, a message with a code in it, the file of the page, or a table.

use crate::read::{Known, LogPreview, Preview, of_programme};
use crate::refusal::Refusal;
use crate::{fragment, log, read, table};

/// Reads whatever came home. A table may hold the logs of several programmes; everything else is one.
///
/// A log code is found inside a message too. An address is a programme and no log, and is refused as such.
///
/// # Errors
/// Why it cannot be used; nothing is stored in any case.
pub fn came_home(given: &str, known: &[Known]) -> Result<Vec<Preview>, Refusal> {
    let text = given.trim_start_matches('\u{feff}').trim();
    if table::is_one(text) {
        return of_table(text, known).map(|logs| logs.into_iter().map(Preview::Log).collect());
    }
    if let Some(refusal) = address(text) {
        return Err(refusal);
    }
    let mut last = None;
    for candidate in candidates(text) {
        match read(candidate, known) {
            Ok(preview) => return Ok(vec![preview]),
            // A word of the message may stand behind the code: less of it is tried next.
            Err(refusal @ Refusal::Corrupted { .. }) => last = last.or(Some(refusal)),
            Err(refusal) => return Err(refusal),
        }
    }
    match last {
        Some(refusal) => Err(refusal),
        None => read(text, known).map(|preview| vec![preview]),
    }
}

/// The log code in a text, longest first: all that follows its beginning, its paragraph, its line, its word.
fn candidates(text: &str) -> Vec<&str> {
    let Some(at) = text.char_indices().map(|(at, _)| at).find(|at| begins(&text[*at..])) else {
        return Vec::new();
    };
    let rest = &text[at..];
    let cut = |end: Option<usize>| &rest[..end.unwrap_or(rest.len())];
    vec![
        rest,
        cut(rest.find("\n\n").or_else(|| rest.find("\r\n\r\n"))),
        cut(rest.find(['\n', '\r'])),
        cut(rest.find(char::is_whitespace)),
    ]
}

/// Whether a log code begins here: its name, the number of its version, a stroke. The name alone stands in other texts.
fn begins(text: &str) -> bool {
    let Some((name, rest)) = text.split_at_checked(log::PREFIX.len()) else { return false };
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    name.eq_ignore_ascii_case(log::PREFIX) && digits > 0 && rest[digits..].starts_with('/')
}

/// An address of the practice site: what stands behind `#` is a programme.
fn address(text: &str) -> Option<Refusal> {
    let (_, behind) = text.rsplit_once("://")?;
    let (_, behind) = behind.split_once('#')?;
    let behind = behind.split_whitespace().next()?;
    let programme = fragment::read(behind).ok()?;
    Some(Refusal::Address { mark: programme.mark.to_string(), from: programme.from, until: programme.until })
}

fn of_table(text: &str, known: &[Known]) -> Result<Vec<LogPreview>, Refusal> {
    let logs = table::read(text).map_err(|error| Refusal::Table { why: error.to_string() })?;
    if logs.is_empty() {
        return Err(Refusal::Table { why: "the table has no row; give the table with its rows".to_owned() });
    }
    logs.into_iter().map(|(mark, sessions)| of_programme(mark, sessions, known)).collect()
}
