//! What is wrong in a case file: where, what was given, what is accepted, what to do.

use serde::Serialize;

/// One thing that is wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// The line, counted from 1; for something that is missing, the line of the table it belongs in.
    pub line: usize,
    /// The key with its whole path, such as `person.stature`; empty when the text is not TOML.
    pub key: String,
    /// What stood there; empty when nothing did.
    pub given: String,
    /// What would be accepted.
    pub accepted: String,
    /// What to do about it.
    pub to_do: String,
}

impl std::fmt::Display for Problem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let key = if self.key.is_empty() { "this line" } else { self.key.as_str() };
        match self.given.as_str() {
            "" => writeln!(f, "line {}: `{key}` is missing", self.line)?,
            given => writeln!(f, "line {}: `{key}` cannot be `{given}`", self.line)?,
        }
        writeln!(f, "  accepted: {}", self.accepted)?;
        write!(f, "  to do: {}", self.to_do)
    }
}

/// Everything that is wrong in one case file, in the order of its lines.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
pub struct CaseErrors {
    /// The name of the file as it was given.
    pub file: String,
    /// The problems, at least one.
    pub problems: Vec<Problem>,
}

impl std::fmt::Display for CaseErrors {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let count = self.problems.len();
        write!(f, "{}: {count} {} to mend", self.file, if count == 1 { "thing" } else { "things" })?;
        for problem in &self.problems {
            write!(f, "\n{}: {problem}", self.file)?;
        }
        Ok(())
    }
}

/// Gathers problems while a file is read.
#[derive(Debug, Default)]
pub(super) struct Problems(Vec<Problem>);

impl Problems {
    pub(super) fn add(
        &mut self,
        line: usize,
        key: impl Into<String>,
        given: impl Into<String>,
        accepted: impl Into<String>,
        to_do: impl Into<String>,
    ) {
        self.0.push(Problem {
            line,
            key: key.into(),
            given: given.into(),
            accepted: accepted.into(),
            to_do: to_do.into(),
        });
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Drops what was said to be missing but stands on a line that could not be read.
    pub(super) fn forget_missing(&mut self, unreadable: &[String]) {
        self.0.retain(|p| {
            let name = p.key.rsplit('.').next().unwrap_or_default();
            !(p.given.is_empty() && unreadable.iter().any(|key| key == name))
        });
    }

    pub(super) fn into_errors(mut self, file: &str) -> CaseErrors {
        self.0.sort_by_key(|p| p.line);
        CaseErrors { file: file.to_owned(), problems: self.0 }
    }
}
