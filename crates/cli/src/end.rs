//! How a run ends: exit codes, and failures as text or JSON.

use std::path::PathBuf;
use std::process::ExitCode;

use person::case_file::CaseErrors;
use programme::NoProgramme;
use serde_json::{Value, json};

use crate::say;

/// A run that did what it could.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Done.
    Done,
    /// A red flag; the alert was printed.
    RedFlag,
    /// The movement is refused today; the reasons were printed.
    Refused,
    /// The audit is not what was written; what does not fit was printed.
    AuditBroken,
}

impl End {
    /// The exit code.
    pub fn code(self) -> ExitCode {
        ExitCode::from(match self {
            Self::Done => 0,
            Self::RedFlag => 12,
            Self::Refused => 14,
            Self::AuditBroken => 17,
        })
    }
}

/// Why a run could not do it.
#[derive(Debug)]
pub enum Failure {
    /// The case file has something to mend.
    Case(CaseErrors),
    /// No programme today.
    NoProgramme(NoProgramme),
    /// A file cannot be read or written.
    File {
        /// Which.
        path: PathBuf,
        /// Why, as a whole sentence without the path.
        why: String,
    },
    /// A clinic's table is not understood.
    Service {
        /// Which file.
        path: PathBuf,
        /// Why, and what is accepted.
        why: String,
    },
    /// The sentence is no movement.
    Sentence(String),
    /// The line of goals is not understood, or this body cannot do the task.
    Goals(String),
    /// The sheet cannot be set.
    Sheet(String),
    /// The table of orderings is not understood.
    Orderings(String),
    /// What came home cannot be used.
    Code(exchange::Refusal),
    /// The records, or the port, cannot be used.
    Records(String),
    /// The system gives no random bytes.
    NoChance(String),
    /// A table of readings is not understood.
    Table {
        /// Which file.
        path: PathBuf,
        /// Why, and what is accepted.
        why: String,
    },
}

impl Failure {
    fn number(&self) -> u8 {
        match self {
            Self::Case(_)
            | Self::Orderings(_)
            | Self::Service { .. }
            | Self::Table { .. }
            | Self::Code(_)
            | Self::Goals(_) => 10,
            Self::NoProgramme(_) => 11,
            Self::File { .. } => 13,
            Self::Sentence(_) => 14,
            Self::Sheet(_) => 15,
            Self::Records(_) | Self::NoChance(_) => 16,
        }
    }

    /// The exit code.
    pub fn code(&self) -> ExitCode {
        ExitCode::from(self.number())
    }

    fn kind(&self) -> &'static str {
        match self {
            Self::Case(_) => "case_file",
            Self::NoProgramme(_) => "no_programme",
            Self::File { .. } => "file",
            Self::Service { .. } => "service",
            Self::Sentence(_) => "movement",
            Self::Goals(_) => "goals",
            Self::Sheet(_) => "sheet",
            Self::Code(_) => "practice_code",
            Self::Records(_) => "records",
            Self::NoChance(_) => "no_chance",
            Self::Orderings(_) => "orderings",
            Self::Table { .. } => "table",
        }
    }

    /// In words.
    pub fn text(&self) -> String {
        match self {
            Self::Case(errors) => errors.to_string(),
            Self::NoProgramme(none) => {
                let lines: String = none.missing.iter().map(|line| format!("\n- {line}")).collect();
                format!("No programme is possible today.{lines}")
            }
            Self::File { path, why } | Self::Service { path, why } | Self::Table { path, why } => {
                format!("`{}`: {why}", path.display())
            }
            Self::Sentence(why) => {
                format!("{why}\n`footrose help explain` prints how a movement is written.")
            }
            Self::Code(refusal) => refusal.to_string(),
            Self::Sheet(why)
            | Self::Orderings(why)
            | Self::Goals(why)
            | Self::Records(why)
            | Self::NoChance(why) => why.clone(),
        }
    }

    fn json(&self) -> Value {
        let mut error = json!({ "kind": self.kind(), "message": self.text(), "exit_code": self.number() });
        match self {
            Self::Case(errors) => error["problems"] = json!(errors.problems),
            Self::NoProgramme(none) => error["missing"] = json!(none.missing),
            Self::Code(refusal) => error["refusal"] = json!(refusal),
            Self::File { path, .. } | Self::Service { path, .. } | Self::Table { path, .. } => {
                error["path"] = json!(path.display().to_string())
            }
            Self::Sentence(_)
            | Self::Sheet(_)
            | Self::Orderings(_)
            | Self::Goals(_)
            | Self::Records(_)
            | Self::NoChance(_) => {}
        }
        json!({ "error": error })
    }

    /// Prints it: JSON to standard output, text to standard error.
    pub fn tell(&self, as_json: bool) {
        if as_json { say::json(&self.json()) } else { say::error(&self.text()) }
    }
}
