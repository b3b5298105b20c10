//! Prints to the terminal, and stays calm when the reader has gone.

use std::io::Write;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use app::Part;
use serde_json::Value;

/// Prints text. A closed pipe ends the output and is not an error.
pub fn text(text: &str) {
    let _ = std::io::stdout().lock().write_all(text.as_bytes());
}

/// Prints JSON with a newline.
pub fn json(value: &Value) {
    let mut printed =
        serde_json::to_string_pretty(value).unwrap_or_else(|e| format!("{{\"error\": \"{e}\"}}"));
    printed.push('\n');
    text(&printed);
}

/// Prints to standard error.
pub fn error(message: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{message}");
}

/// Progress on standard error: nothing for the first second, then a line now and then.
pub struct Watch {
    started: Instant,
    last: Mutex<Option<Instant>>,
}

impl Watch {
    /// Starts now.
    pub fn start() -> Self {
        Self { started: Instant::now(), last: Mutex::new(None) }
    }

    /// Says what is being worked on, when it is time to.
    pub fn see(&self, part: Part) {
        const QUIET: Duration = Duration::from_secs(1);
        if self.started.elapsed() < QUIET {
            return;
        }
        let mut last = self.last.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        if last.is_some_and(|at| at.elapsed() < QUIET) {
            return;
        }
        *last = Some(Instant::now());
        error(&match part {
            Part::Survey { done, of } => format!("surveying the movement space: {done} of {of} ways ..."),
            Part::Movements { done, of } => format!("computing movements: {done} of {of} ..."),
            Part::Candidates { done, of } => {
                format!("computing the movements at the distances for home: {done} of {of} ways ...")
            }
            Part::Choice => "choosing exercises ...".to_owned(),
        });
    }
}
