//! Reads a case file (TOML) into a [`crate::CaseFile`], or says exactly what is wrong where.
//!
//! The format is one table of keys. The parser, [`schema`], [`template`] and the tables of
//! `docs/CASE_FILE.md` are all read from it.

mod bounds;
mod build;
mod check;
mod format;
mod limits;
mod nearest;
mod node;
mod problem;
mod scalar;
mod schema;
mod shape;
mod source;
mod syntax;
mod template;
mod words;

pub use format::{FORMAT, VERSION};
pub use limits::LARGEST;
pub use problem::{CaseErrors, Problem, Wrong};
pub use schema::schema;
pub use template::{reference, template};

use crate::CaseFile;
use problem::Problems;

/// Reads a case file. `name` is what errors call the file.
///
/// # Errors
/// Every problem of the file at once, each with line, key, what was given, what is accepted and
/// what to do. A missing finding is not a problem: it is [`crate::Finding::NotAssessed`].
///
/// ```
/// let errors = person::case_file::read("short.toml", "format = \"footrose-case\"").unwrap_err();
/// assert_eq!(errors.problems[0].key, "version");
/// ```
pub fn read(name: &str, text: &str) -> Result<CaseFile, CaseErrors> {
    let mut problems = Problems::default();
    if text.len() > LARGEST {
        problems.add(
            Wrong::File,
            1,
            "",
            format!("{} bytes", text.len()),
            format!("a case file of at most {LARGEST} bytes"),
            "look whether this is the right file",
        );
        return Err(problems.into_errors(name));
    }
    let Some((document, unreadable)) = syntax::parse(text, &mut problems) else {
        return Err(problems.into_errors(name));
    };
    let source = source::Source::new(text);
    let fields = check::check(&source, document.as_table(), &mut problems);
    let case = fields.and_then(|fields| build::case(fields, &unreadable, &mut problems));
    problems.forget_missing(&unreadable);
    match case {
        Some(case) if problems.is_empty() => Ok(case),
        _ => Err(problems.into_errors(name)),
    }
}

/// Reads a case file from its bytes, which must be UTF-8.
///
/// # Errors
/// As [`read`]; text in another encoding is a problem with the line where it begins.
pub fn read_bytes(name: &str, bytes: &[u8]) -> Result<CaseFile, CaseErrors> {
    match std::str::from_utf8(bytes) {
        Ok(text) => read(name, text),
        Err(error) => {
            let good = &bytes[..error.valid_up_to()];
            let mut problems = Problems::default();
            problems.add(
                Wrong::File,
                1 + good.iter().filter(|byte| **byte == b'\n').count(),
                "",
                format!("the byte 0x{:02X}", bytes[error.valid_up_to()]),
                "text in the encoding UTF-8",
                "save the file again as UTF-8 in the editor",
            );
            Err(problems.into_errors(name))
        }
    }
}
