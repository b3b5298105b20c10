//! Compares the engine with published figures and prints or writes what comes out.

use std::path::Path;

use serde_json::{Value, json};
use validation::{Orderings, Report, report};

use crate::end::{End, Failure};
use crate::say;

/// Runs the comparison, or tries a table of further orderings.
pub fn run(page: Option<&Path>, orderings: Option<&Path>, as_json: bool) -> Result<End, Failure> {
    let found = match orderings {
        Some(path) => tried(path)?,
        None => report(),
    };
    if let Some(path) = page {
        std::fs::write(path, found.markdown()).map_err(|e| Failure::File {
            path: path.to_owned(),
            why: format!("cannot be written ({e}); name another file with --report"),
        })?;
    }
    if as_json {
        let count = found.count(|_| true);
        say::json(&json!({
            "count": count,
            "rows": serde_json::to_value(&found.rows).unwrap_or(Value::Null),
        }));
    } else {
        say::text(&found.text());
        if let Some(path) = page {
            say::text(&format!("wrote {}\n", path.display()));
        }
    }
    Ok(End::Done)
}

fn tried(path: &Path) -> Result<Report, Failure> {
    let text = std::fs::read_to_string(path).map_err(|e| Failure::File {
        path: path.to_owned(),
        why: format!("cannot be read ({e}); name a table in the form of reference/validation/orderings.toml"),
    })?;
    let table =
        Orderings::read(&text).map_err(|e| Failure::Orderings(format!("`{}`: {e}", path.display())))?;
    Ok(Report::of(table.judged()))
}
