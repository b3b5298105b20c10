//! From a programme to what a log is compared with, and from a log to what its directions share.

use programme::Programme;
use progress::{Adaptation, Cell, Prescription, Probe, Session, Shared, Tried, cell_words, quantities};
use safety::Engine;

use super::movements;
use crate::PersonToday;
use crate::candidates::candidates;
use crate::progress::Shown;

/// A log that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LogError {
    /// It is not the form of a log.
    #[error(
        "the log cannot be read: {why}; accepted: JSON, a list of sessions with `on`, `nth` and `cells` as \
         `footrose adapt --help` shows; nothing was changed"
    )]
    NotALog {
        /// What the reader said, with line and column.
        why: String,
    },
    /// It tells of directions that the programme does not have.
    #[error(
        "the log is of another programme: `{given}` on {on} is not in it; accepted: {accepted}; give the day the \
         programme was made for with --from, or the log that belongs to it"
    )]
    AnotherProgramme {
        /// The direction.
        given: String,
        /// The day.
        on: jiff::civil::Date,
        /// Those of the programme.
        accepted: String,
    },
}

/// How a log is written.
pub const LOG_FORM: &str = r#"The log is a list of sessions, each as:
  { "on": "2026-02-05", "nth": 1, "pain_before": 0, "effort": 4, "stopped": null, "morning": "same",
    "cells": [ [ { "exercise": 1, "mover": "left", "bearing": 0, "crossing": "none", "family": "step" },
                 { "done": { "pain": 0, "rung": "whole" } } ] ] }
A direction that was not done: "not_done" in the place of { "done": … }. Rungs: whole, shortened, supported,
left_out. Mornings: better, same, or { "worse": 2 }. Signs in `stopped`: pain_stays, swelling, unsteady, unwell,
seen_today, emergency. What nobody said is null, and null never opens anything."#;

/// Reads a log: JSON, a list of sessions.
///
/// # Errors
/// It is not the form of a log; line and column are said.
pub fn read_log(text: &str) -> Result<Vec<Session>, LogError> {
    serde_json::from_str(text).map_err(|error| LogError::NotALog { why: error.to_string() })
}

/// What a log of this programme is compared with: every direction in the order in which it is done.
#[must_use]
pub fn prescription_of(programme: &Programme) -> Prescription {
    let cell = |(at, _, spec): (usize, _, &movement::MovementSpec)| Cell {
        exercise: u8::try_from(at + 1).unwrap_or(u8::MAX),
        mover: spec.mover,
        bearing: spec.bearing,
        crossing: spec.crossing,
        family: spec.family,
    };
    Prescription {
        from: programme.for_day,
        until: programme.use_until,
        a_day: programme.exercises.iter().map(|one| one.dose.per_day).max().unwrap_or(1),
        cells: movements(programme).into_iter().map(cell).collect(),
    }
}

/// Refuses a log that tells of directions the programme does not have, from its first day on.
pub(super) fn belongs(asked: &Prescription, sessions: &[Session]) -> Result<(), LogError> {
    let of_it = sessions.iter().filter(|session| session.on >= asked.from);
    for (session, (cell, _)) in of_it.flat_map(|session| session.cells.iter().map(move |one| (session, one)))
    {
        if !asked.cells.contains(cell) {
            let accepted: Vec<String> =
                asked.cells.iter().map(|cell| format!("{}. {}", cell.exercise, cell_words(*cell))).collect();
            return Err(LogError::AnotherProgramme {
                given: format!("{}. {}", cell.exercise, cell_words(*cell)),
                on: session.on,
                accepted: accepted.join("; "),
            });
        }
    }
    Ok(())
}

/// What the painful directions share. The movements that could settle it are looked for only where there is
/// something to settle: all that could be planned today.
pub(super) fn shared_by(person: &PersonToday<'_>, programme: &Programme, adaptation: &Adaptation) -> Shared {
    let of = |motion: &biomech::Motion| {
        let moments = biomech::moments(&person.body, motion);
        quantities(&person.body, &person.capacity, motion, &moments)
    };
    let all = programme.exercises.iter().flat_map(programme::Exercise::movements);
    let tried: Vec<Tried> = adaptation
        .cells
        .iter()
        .zip(all)
        .filter(|(cell, _)| cell.done > 0)
        .map(|(cell, movement)| Tried {
            cell: cell.cell,
            done: cell.done,
            hurt: cell.hurt,
            values: of(movement.permitted.motion()),
        })
        .collect();
    let first = progress::shared(&tried, &[]);
    match &first {
        Shared::Shares(found) if found.next.is_some() => {}
        _ => return first,
    }
    let limits = person.limits();
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let space = crate::survey(person, &crate::silent);
    let watch = Shown(&crate::silent);
    let Ok((found, _)) = candidates(person, &engine, &space, &limits, &watch);
    let probes: Vec<Probe> = found
        .iter()
        .map(|one| Probe { sentence: one.permitted.spec().sentence(), values: of(one.permitted.motion()) })
        .collect();
    progress::shared(&tried, &probes)
}

#[cfg(test)]
mod tests {
    use progress::{Done, Morning, Rung};

    use super::*;

    #[test]
    fn the_form_that_is_shown_is_read() {
        let example = LOG_FORM
            .split_once(":\n")
            .and_then(|(_, rest)| rest.split_once("\nA direction"))
            .expect("an example");
        let log = read_log(&format!("[{}]", example.0)).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(log[0].cells[0].1, Done::Done { pain: Some(0), rung: Rung::Whole });
        let others = example
            .0
            .replace("\"same\"", "{ \"worse\": 2 }")
            .replace("{ \"done\": { \"pain\": 0, \"rung\": \"whole\" } }", "\"not_done\"");
        let log = read_log(&format!("[{others}]")).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!((log[0].cells[0].1, log[0].morning), (Done::NotDone, Some(Morning::Worse(Some(2)))));
    }

    #[test]
    fn what_is_no_log_says_where_and_what_is_accepted() {
        let told = read_log("[{ \"on\": \"2026-02-30\" }]").unwrap_err().to_string();
        assert!(
            told.contains("line 1")
                && told.contains("accepted: JSON")
                && told.contains("nothing was changed"),
            "{told}"
        );
    }
}
