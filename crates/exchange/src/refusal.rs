//! Why what came back cannot be used: what was given, what is accepted, what to do.

use jiff::civil::Date;
use serde::Serialize;
use thiserror::Error;

/// Why a text cannot be used. Nothing was stored.
#[derive(Clone, Debug, PartialEq, Eq, Error, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Refusal {
    /// Nothing was given.
    #[error(
        "nothing was given; accepted: a code of the practice page (`FOOTROSE1/…`, or 16 characters such as XXXX-XXXX-XXXX-XXXX); scan it or type it again"
    )]
    Empty,
    /// Not a code of ours.
    #[error(
        "`{given}` is not a code of the practice page; accepted: a text that begins with `FOOTROSE1/`, or 16 characters such as XXXX-XXXX-XXXX-XXXX; open “Code for the clinic” on the practice page and scan that one"
    )]
    Foreign {
        /// Its beginning.
        given: String,
    },
    /// Written by a newer version of the page.
    #[error(
        "the code has format version `{given}`; accepted: {accepted}; it is newer than this software: update it, the log stays on the telephone"
    )]
    NewerVersion {
        /// Its version.
        given: String,
        /// Ours.
        accepted: String,
    },
    /// Damaged on the way.
    #[error(
        "the code is damaged: {what}; accepted: the whole code as the practice page shows it; scan it again, nothing was stored"
    )]
    Corrupted {
        /// What is wrong with it.
        what: String,
    },
    /// A typed code that is too short or too long.
    #[error(
        "the typed code has {given} characters; accepted: 16, in four groups of four; compare it with the telephone group by group"
    )]
    TypedLength {
        /// How many.
        given: usize,
    },
    /// A typed code with a character that no code has.
    #[error(
        "`{letter}` at place {place} of the typed code is in no code; accepted: digits and letters without I, L, O and U; ask for that character again"
    )]
    TypedLetter {
        /// The character.
        letter: char,
        /// Its place, from 1.
        place: usize,
    },
    /// A typed code in which one character is probably wrong.
    #[error(
        "the typed code is not right; probably character {place} is `{instead}` and not `{given}`, so that the code is {proposal}; ask the person to read group {group} again, and type the code they confirm"
    )]
    TypedOneWrong {
        /// The place of the character, from 1.
        place: usize,
        /// Its group of four, from 1.
        group: usize,
        /// What was typed.
        given: char,
        /// What it probably is.
        instead: char,
        /// The whole code with it.
        proposal: String,
    },
    /// A typed code in which more is wrong.
    #[error(
        "the typed code is not right: more than one character is wrong or out of place; accepted: 16 characters as the telephone shows them; have it read again from the beginning"
    )]
    TypedWrong,
    /// An address of the practice site: a programme, and no log.
    #[error(
        "this is the address of a programme from {from} to {until}, and no log; accepted: the code or the file that the practice page gives after practising; open “Code for the clinic” on the practice page and send that"
    )]
    Address {
        /// The mark of the programme.
        mark: String,
        /// Its first day.
        from: Date,
        /// Its last day.
        until: Date,
    },
    /// A table that cannot be read.
    #[error("the table cannot be read: {why}")]
    Table {
        /// What stands where, what is accepted, what to do.
        why: String,
    },
    /// Of a programme that is not known here.
    #[error(
        "the code is of the programme `{given}…`; accepted here: {}; it may be another person's, or a programme that was not saved: open that person's record",
        list(known)
    )]
    WrongProgramme {
        /// As much of its mark as the code carries.
        given: String,
        /// The marks that are known.
        known: Vec<String>,
    },
    /// A typed code that fits more than one programme.
    #[error(
        "the typed code fits more than one programme: {}; a typed code carries only part of the mark; scan the code, or choose the programme first",
        list(known)
    )]
    SeveralProgrammes {
        /// Their marks.
        known: Vec<String>,
    },
}

fn list(marks: &[String]) -> String {
    if marks.is_empty() { "none (no programme is known)".to_owned() } else { marks.join(", ") }
}
