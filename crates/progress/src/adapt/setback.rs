//! What sends the whole programme back one level, and when it is quiet again.

use std::collections::BTreeSet;

use jiff::civil::Date;
use movement::Bearing;
use safety::day_in_words as day;

use super::cell::{Felt, felt, morning};
use super::whole::{means, was_done};
use super::words;
use super::{Log, Whole, WholeReason, adapt_figures};
use crate::session::{Done, Morning, Rung, Session, StopSign};

/// Something that happened in a session and sends the whole back.
struct Setback {
    when: (Date, u8),
    rule: &'static str,
    /// A whole sentence but for its full stop.
    words: String,
    source: &'static str,
}

/// What sends the whole back one level; holds only, once it was quiet for some sessions. Of several by one rule
/// the last is told, with how many there were.
pub(super) fn setbacks(log: &Log<'_>) -> Vec<WholeReason> {
    let mut found = log.sessions.iter().flat_map(|session| setbacks_in(log, session)).collect::<Vec<_>>();
    found.sort_by_key(|one| (one.rule, std::cmp::Reverse(one.when)));
    found.chunk_by(|a, b| a.rule == b.rule).filter_map(|same| said(log, &same[0], same.len())).collect()
}

fn setbacks_in(log: &Log<'_>, session: &Session) -> Vec<Setback> {
    let (on, when) = (session.on, (session.on, session.nth));
    let rule = safety::pain_rule();
    let mut out = Vec::new();
    let by_sign = match session.stopped {
        Some(StopSign::PainStays) => Some("LOG-PAIN-STAYS"),
        Some(StopSign::Unsteady) => Some("LOG-UNSTEADY"),
        Some(StopSign::Swelling) => Some("LOG-SWELLING"),
        _ => None,
    };
    if let (Some(sign), Some(rule)) = (session.stopped, by_sign) {
        out.push(Setback { when, rule, words: format!("On {}: {}", day(on), sign.words()), source: "own" });
    }
    let hurt = directions(log, session).len();
    if hurt >= rule.back_off_from_directions {
        let words = format!("On {} {hurt} directions hurt in one session", day(on));
        out.push(Setback { when, rule: "LOG-SPREAD", words, source: rule.source });
    }
    if let Some(Morning::Worse(by)) = session.morning {
        let words = by.map_or_else(
            || format!("The morning after {} was worse, nobody said by how much", day(on)),
            |by| format!("The morning after {} was worse by {by} of 10", day(on)),
        );
        let mild = log.monitored(on).is_some() && by.is_some_and(|by| by < adapt_figures().morning_rise);
        let rule = if mild { MILD } else { BAD_MORNING };
        out.push(Setback { when, rule, words, source: "own" });
    }
    out
}

const MILD: &str = "LOG-MORNING-MILD";
const BAD_MORNING: &str = "LOG-MORNING";

fn said(log: &Log<'_>, last: &Setback, times: usize) -> Option<WholeReason> {
    let Setback { when, rule, words, source } = last;
    let times = if times > 1 { format!(" (the last of {times} times)") } else { String::new() };
    let quiet = quiet_since(log, Some(when.0));
    if quiet >= adapt_figures().quiet_sessions {
        let words = format!("{words}{times}; {} without any since, so it holds.", words::sessions(quiet));
        return log.is_recent(when.0).then(|| means(Whole::Hold, rule, words, source));
    }
    Some(if *rule == MILD {
        means(Whole::Hold, rule, format!("{words}{times}: a day of rest, then the same again."), source)
    } else {
        let rest = if *rule == BAD_MORNING { "a day of rest, then " } else { "" };
        let then = format!("{words}{times}: {rest}the whole programme goes back one level.");
        means(Whole::BackOff, rule, then, source)
    })
}

/// Directions of limbs that hurt in a session, so that it counts.
pub(super) fn directions(log: &Log<'_>, session: &Session) -> BTreeSet<(anatomy::Side, Bearing)> {
    session
        .cells
        .iter()
        .filter(
            |(_, done)| matches!(done, Done::Done { pain, .. } if felt(log, session.on, *pain) == Felt::Hurt),
        )
        .map(|(cell, _)| (cell.mover, cell.bearing))
        .collect()
}

/// The sessions in a row at the end of the log in which nothing hurt, counted after a day; after none, of all of it.
/// A day is quiet where all of it was. A session of which nobody can have asked the morning yet, or in which nothing
/// was done, neither counts nor ends the row.
pub(super) fn quiet_since(log: &Log<'_>, after: Option<Date>) -> usize {
    let days = log.sessions.chunk_by(|a, b| a.on == b.on).rev();
    days.take_while(|day| after.is_none_or(|after| day[0].on > after))
        .map(|day| day.iter().map(|session| (was_done(session), quiet(log, session))).collect::<Vec<_>>())
        .take_while(|day| day.iter().all(|(_, quiet)| *quiet != Quiet::No))
        .flatten()
        .filter(|(done, quiet)| *done && *quiet == Quiet::Yes)
        .count()
}

/// Whether a session was quiet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Quiet {
    /// Nothing hurt, and the morning after was no worse.
    Yes,
    /// Nothing hurt, and nobody can have asked about the morning after yet.
    Open,
    /// Something hurt, or nobody said how the morning after was.
    No,
}

fn quiet(log: &Log<'_>, session: &Session) -> Quiet {
    let well = session.stopped.is_none()
        && session.cells.iter().all(|(_, done)| match done {
            Done::NotDone => true,
            Done::Done { pain, rung } => felt(log, session.on, *pain) == Felt::Well && *rung != Rung::LeftOut,
        });
    match morning(log, session.on) {
        _ if !well => Quiet::No,
        Some(Morning::Better | Morning::Same) => Quiet::Yes,
        Some(Morning::Worse(_)) => Quiet::No,
        None if log.age(session.on) <= 1 => Quiet::Open,
        None => Quiet::No,
    }
}
