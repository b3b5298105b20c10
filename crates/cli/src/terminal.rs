//! Asks somebody at a terminal: a line, or a passphrase that is not shown.

use std::io::{BufRead, IsTerminal, Write};
use std::process::{Command, Stdio};

use crate::end::Failure;

/// Asks for a line.
pub fn line(question: &str) -> Result<String, Failure> {
    let mut err = std::io::stderr().lock();
    let _ = write!(err, "{question}: ");
    let _ = err.flush();
    let mut typed = String::new();
    let read = std::io::stdin().lock().read_line(&mut typed);
    match read {
        Ok(bytes) if bytes > 0 => Ok(typed.trim_end_matches(['\r', '\n']).to_owned()),
        _ => Err(Failure::Records(format!(
            "nothing was typed for `{question}`; run this in a terminal, or send the lines on standard input"
        ))),
    }
}

/// Asks for a line that is not shown while it is typed, where the terminal can do that.
pub fn hidden(question: &str) -> Result<String, Failure> {
    let hides = std::io::stdin().is_terminal() && echo("-echo");
    let typed = line(question);
    if hides {
        echo("echo");
        let _ = writeln!(std::io::stderr().lock());
    }
    typed
}

/// Switches the echo of the terminal; says whether it could.
fn echo(word: &str) -> bool {
    let set = Command::new("stty").arg(word).stdin(Stdio::inherit()).stderr(Stdio::null()).status();
    set.is_ok_and(|status| status.success())
}
