//! Parses the TOML itself and goes on past a line that is not TOML, so that all problems are told at once.

use toml_edit::Document;

use super::limits::UNREADABLE_LINES;
use super::problem::{Problems, Wrong};
use super::source::{Source, shorten};

/// The document, and the keys that stand on lines that could not be read; none when nothing can be made of the text.
pub(super) fn parse(text: &str, problems: &mut Problems) -> Option<(Document<String>, Vec<String>)> {
    let source = Source::new(text);
    let mut readable = text.to_owned();
    let mut unreadable = Vec::new();
    for _ in 0..UNREADABLE_LINES {
        let error = match Document::parse(readable.clone()) {
            Ok(document) => return Some((document, unreadable)),
            Err(error) => error,
        };
        let start = error.span().map_or(0, |span| span.start).min(text.len());
        let line = source.line(start);
        let line_text = source.line_text(line);
        problems.add(
            Wrong::Syntax,
            line,
            "",
            shorten(line_text),
            "TOML: `key = value` on each line, tables in `[brackets]`",
            to_do(line_text, error.message()),
        );
        // A line that opens a table cannot be skipped: what follows would land in the wrong one.
        let (key, _) = line_text.split_once('=')?;
        let bytes = text.as_bytes();
        let from = bytes[..start].iter().rposition(|byte| *byte == b'\n').map_or(0, |at| at + 1);
        let to = bytes[start..].iter().position(|byte| *byte == b'\n').map_or(text.len(), |at| start + at);
        if readable[from..to].trim().is_empty() {
            return None;
        }
        readable.replace_range(from..to, &" ".repeat(to - from));
        unreadable.push(key.trim().to_owned());
    }
    None
}

/// What to do about a line that is not TOML.
fn to_do(line: &str, message: &str) -> String {
    let mend = |hint: String| format!("{hint} ({message})");
    if message.contains("duplicate") {
        return mend("it is given twice; keep one of the two".to_owned());
    }
    let Some((key, value)) = line.split_once('=') else {
        return mend("mend the line, or make it a comment with `#` in front".to_owned());
    };
    let (key, value) = (key.trim(), value.split('#').next().unwrap_or_default().trim());
    match value {
        _ if message.contains("date") => mend(format!("correct the date: `{key} = 2026-02-03`")),
        "" => mend(format!("write a value behind `{key} =`, or take the line out when nobody looked")),
        "yes" | "Yes" | "True" | "TRUE" => mend(format!("write `{key} = true`")),
        "no" | "No" | "False" | "FALSE" => mend(format!("write `{key} = false`")),
        bare if !bare.contains(['"', '\'', '[', '{']) => {
            mend(format!("put the value in quotation marks: `{key} = \"{bare}\"`"))
        }
        _ => mend("look for a missing quotation mark, bracket or comma".to_owned()),
    }
}
