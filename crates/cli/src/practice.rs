//! What came home, on the command line: a code or a file of the practice page, shown beside what is stored.

use std::path::Path;

use exchange::{Known, Preview, Programme, table};
use progress::Session;
use serde_json::json;

use crate::args::PracticeReadArgs;
use crate::end::{End, Failure};
use crate::{input, say};

const PROGRAMME: &str = "name a programme: the practice page, or its programme as JSON";
const STORED: &str = "name a table of sessions (CSV) that `footrose practice read --csv` printed";

/// Runs `practice read`.
pub fn read(args: &PracticeReadArgs) -> Result<End, Failure> {
    let mut known = Vec::new();
    for (paths, replaced) in [(&args.programmes, false), (&args.replaced, true)] {
        for path in paths {
            known.push(programme(path, replaced)?);
        }
    }
    for path in &args.stored {
        store(path, &mut known)?;
    }
    let path = Path::new(&args.code);
    let given =
        if path.is_file() { input::text(path, "name a file with a code")? } else { args.code.clone() };
    let previews = exchange::came_home(&given, &known).map_err(Failure::Code)?;
    if args.csv {
        // A table of several programmes has one header row.
        for (place, preview) in previews.iter().enumerate() {
            let table = merged(preview, &known);
            let rows = if place == 0 { 0 } else { table.find('\n').map_or(0, |end| end + 1) };
            say::text(&table[rows..]);
        }
    } else if args.json {
        let all: Vec<_> =
            previews.iter().map(|preview| serde_json::to_value(preview).unwrap_or_default()).collect();
        say::json(&json!({ "preview": all.first(), "previews": all }));
    } else {
        let shown: String = previews.iter().map(ToString::to_string).collect();
        say::text(&format!("{shown}Nothing was stored.\n"));
    }
    Ok(End::Done)
}

/// The programme of a practice page, or of its JSON.
fn programme(path: &Path, replaced: bool) -> Result<Known, Failure> {
    let text = input::text(path, PROGRAMME)?;
    let json = in_page(&text).unwrap_or(&text);
    let read = Programme::from_json(json).map_err(|why| table_failure(path, why))?;
    Ok(Known { mark: read.mark, prescription: read.prescription(), stored: Vec::new(), replaced })
}

/// The programme inside a practice page.
fn in_page(text: &str) -> Option<&str> {
    let (_, after) = text.split_once("id=\"programme\">")?;
    after.split_once("</script>").map(|(json, _)| json)
}

fn table_failure(path: &Path, why: String) -> Failure {
    Failure::Table { path: path.to_owned(), why }
}

/// Takes the sessions of a table to the programmes they are of.
fn store(path: &Path, known: &mut [Known]) -> Result<(), Failure> {
    let text = input::text(path, STORED)?;
    for (mark, sessions) in table::read(&text).map_err(|error| table_failure(path, error.to_string()))? {
        let marks: Vec<String> = known.iter().map(|one| one.mark.to_string()).collect();
        let Some(one) = known.iter_mut().find(|one| one.mark == mark) else {
            let why = format!(
                "has sessions of the programme `{mark}`; accepted: {}; name that programme too, or give another table",
                marks.join(", ")
            );
            return Err(table_failure(path, why));
        };
        one.stored.extend(sessions);
    }
    Ok(())
}

/// What is stored with what a log code adds, as a table.
fn merged(preview: &Preview, known: &[Known]) -> String {
    let (mark, additions): (_, Vec<&Session>) = match preview {
        Preview::Log(log) => (log.mark, log.additions().collect()),
        Preview::Typed(typed) => (typed.mark, Vec::new()),
    };
    let stored = known.iter().find(|one| one.mark == mark).map_or(&[][..], |one| &one.stored);
    let same = |a: &Session, b: &Session| (a.on, a.nth) == (b.on, b.nth);
    let mut all: Vec<Session> =
        stored.iter().filter(|old| !additions.iter().any(|new| same(old, new))).cloned().collect();
    all.extend(additions.into_iter().cloned());
    all.sort_by_key(|session| (session.on, session.nth));
    table::write(mark, &all)
}
