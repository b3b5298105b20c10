//! What is wrong in a case file: where, what was given, what is accepted, what to do.

use serde::Serialize;

use super::limits::PROBLEMS;

/// In which way something is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Wrong {
    /// The file as a whole cannot be read.
    File,
    /// The line is not TOML.
    Syntax,
    /// Something essential is not there.
    Missing,
    /// The key is not one of the format.
    UnknownKey,
    /// The value is of another kind, in another unit or not possible.
    Value,
    /// The value is possible alone but does not fit what stands elsewhere.
    Contradiction,
}

/// One thing that is wrong.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// In which way.
    pub wrong: Wrong,
    /// The line, counted from 1; for something that is missing, the line of the table it belongs in.
    pub line: usize,
    /// The key with its whole path, such as `person.stature`; entries of lists count from 1. Empty
    /// when the text is not TOML.
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
        let (key, given) = (&self.key, &self.given);
        match self.wrong {
            Wrong::File => writeln!(f, "this file cannot be read: `{given}`")?,
            Wrong::Syntax => writeln!(f, "this line cannot be read: `{given}`")?,
            Wrong::Missing => writeln!(f, "`{key}` is missing")?,
            Wrong::UnknownKey => writeln!(f, "`{key}` is not a key of this format; given: `{given}`")?,
            Wrong::Value | Wrong::Contradiction => writeln!(f, "`{key}` cannot be `{given}`")?,
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
    /// How many more there are that are not listed.
    pub more: usize,
}

impl std::fmt::Display for CaseErrors {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let count = self.problems.len() + self.more;
        write!(f, "{}: {count} {} to mend", self.file, if count == 1 { "thing" } else { "things" })?;
        for problem in &self.problems {
            write!(f, "\n{}:{}: {problem}", self.file, problem.line)?;
        }
        if self.more > 0 {
            write!(f, "\n{}: and {} more", self.file, self.more)?;
        }
        Ok(())
    }
}

/// Gathers problems while a file is read.
#[derive(Debug, Default)]
pub(super) struct Problems {
    listed: Vec<Problem>,
    more: usize,
}

impl Problems {
    pub(super) fn add(
        &mut self,
        wrong: Wrong,
        line: usize,
        key: impl Into<String>,
        given: impl Into<String>,
        accepted: impl Into<String>,
        to_do: impl Into<String>,
    ) {
        if self.are_many() {
            self.more += 1;
            return;
        }
        self.listed.push(Problem {
            wrong,
            line,
            key: key.into(),
            given: given.into(),
            accepted: accepted.into(),
            to_do: to_do.into(),
        });
    }

    /// Whether so many were told that further ones are only counted.
    pub(super) fn are_many(&self) -> bool {
        self.listed.len() >= PROBLEMS
    }

    /// Whether something is said about this key.
    pub(super) fn name(&self, key: &str) -> bool {
        self.listed.iter().any(|problem| problem.key == key)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.listed.is_empty()
    }

    /// Drops what was said to be missing but stands on a line that could not be read.
    pub(super) fn forget_missing(&mut self, unreadable: &[String]) {
        self.listed.retain(|p| {
            let name = p.key.rsplit('.').next().unwrap_or_default();
            !(p.wrong == Wrong::Missing && unreadable.iter().any(|key| key == name))
        });
    }

    pub(super) fn into_errors(mut self, file: &str) -> CaseErrors {
        self.listed.sort_by_key(|p| p.line);
        CaseErrors { file: file.to_owned(), problems: self.listed, more: self.more }
    }
}
