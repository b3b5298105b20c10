//! The rules about the whole programme: stop signs, too little practice, pain that rises, steps too soon.

use std::collections::BTreeSet;

use jiff::ToSpan;
use jiff::civil::Date;
use movement::Family;
use quantity::Share;
use safety::{Irritability, day_in_words as day};

use super::cell::State;
use super::setback::{directions, quiet_since, setbacks};
use super::settings::stop_signs;
use super::swelling::swelling;
use super::words::{self, reason};
use super::{Carried, Counted, Log, OfferAgain, Reason, Whole, WholeReason, adapt_figures};
use crate::session::{Done, Morning, Rung, Session, StopSign};

pub(super) fn means(means: Whole, rule: &'static str, words: String, source: &str) -> WholeReason {
    WholeReason { means, reason: reason(rule, words, source) }
}

pub(super) fn was_done(session: &Session) -> bool {
    session.cells.iter().any(|(_, done)| *done != Done::NotDone)
}

/// How much was logged, beside how much was asked for on the days of the programme that are over. Sessions of today and
/// of days after its last do not make up for those.
pub(super) fn counted(log: &Log<'_>) -> Counted {
    let done: Vec<&Session> = log.sessions.iter().copied().filter(|session| was_done(session)).collect();
    let days: BTreeSet<Date> = done.iter().map(|session| session.on).collect();
    let over = log.around.today.min(log.asked.until.saturating_add(1.day()));
    let whole_days = (over - log.asked.from).get_days();
    let practised = (whole_days >= adapt_figures().practised_judged_after).then(|| {
        let a_week = f64::from(log.around.days_a_week.clamp(1, 7)) / 7.0;
        let asked = (f64::from(whole_days) * f64::from(log.asked.a_day.max(1)) * a_week).max(1.0);
        #[allow(clippy::cast_precision_loss)] // sessions of a few weeks
        let done = done.iter().filter(|session| session.on < over).count() as f64;
        Share::of_one((done / asked).min(1.0))
    });
    Counted { sessions: done.len(), days: days.len(), last: days.last().copied(), practised }
}

/// Every rule that speaks about the whole.
pub(super) fn reasons(log: &Log<'_>, counted: &Counted) -> Vec<WholeReason> {
    let mut out = stopped(log);
    out.extend(setbacks(log));
    out.extend(swelling(log));
    out.extend(practice(log, counted));
    out.extend(rising(log));
    out.extend(too_soon(log));
    out
}

/// Signs that stop everything until a clinician has looked at just these, whatever their day.
fn stopped(log: &Log<'_>) -> Vec<WholeReason> {
    let call = |sign| match sign {
        StopSign::Emergency => Some("Stop. Call the emergency number now, if that was not done."),
        StopSign::SeenToday => Some(
            "Stop. Be seen the same day: call the surgical team or the clinic; if nobody answers, go to urgent care or the emergency department.",
        ),
        StopSign::Unwell => Some(
            "Stop until a clinician has asked about it; with chest pain, fainting, or breathlessness that does not pass, call the emergency number now.",
        ),
        StopSign::PainStays | StopSign::Swelling | StopSign::Unsteady => None,
    };
    let cleared = log.around.cleared.map_or(&[][..], |cleared| &cleared.signs);
    let told = log.all.iter().flat_map(|session| stop_signs(std::slice::from_ref(*session)));
    let signs: BTreeSet<(StopSign, Date)> =
        told.filter(|told| !cleared.contains(told)).map(|told| (told.sign, told.on)).collect();
    signs
        .into_iter()
        .filter_map(|(sign, on)| {
            let call = call(sign)?;
            Some(means(
                Whole::Stop,
                "LOG-STOP-SIGN",
                format!("On {}: {}. {call}", day(on), sign.words()),
                "practice",
            ))
        })
        .collect()
}

/// Nothing, too little or too long ago.
fn practice(log: &Log<'_>, counted: &Counted) -> Vec<WholeReason> {
    let figures = adapt_figures();
    let today = log.around.today;
    let mut out = Vec::new();
    if today < log.asked.from {
        out.push(means(
            Whole::Hold,
            "LOG-EARLY",
            format!("The programme begins on {}.", day(log.asked.from)),
            "own",
        ));
    }
    if today > log.asked.until {
        let words = format!(
            "The programme was to be used until {}: see the person before anything goes on.",
            day(log.asked.until)
        );
        out.push(means(Whole::Hold, "LOG-PAST", words, "own"));
    }
    match counted.last {
        None => {
            let before = log.all.iter().filter(|session| session.on < log.asked.from).count();
            let words = match before {
                0 => "Nothing was logged: ask what was done and how it felt.".to_owned(),
                _ => format!(
                    "Nothing was logged since {}; {} before that day tell of an earlier programme: ask what was done and how it felt.",
                    day(log.asked.from),
                    words::sessions(before)
                ),
            };
            out.push(means(Whole::Hold, "LOG-EMPTY", words, "own"));
        }
        Some(last) if !log.is_recent(last) => {
            let words =
                format!("Nothing was logged for {} days: ask why before anything changes.", log.age(last));
            out.push(means(Whole::Hold, "LOG-OLD", words, "own"));
        }
        Some(_) => {}
    }
    if let Some(share) =
        counted.practised.filter(|share| *share < figures.practised_at_least && counted.sessions > 0)
    {
        let pain = log.sessions.iter().any(|session| {
            !directions(log, session).is_empty()
                || matches!(session.morning, Some(Morning::Worse(_)))
                || session.stopped == Some(StopSign::PainStays)
        });
        let about = format!("About {:.0} % of the sessions asked for were done", share.in_percent());
        out.push(if pain {
            let words = format!("{about}, and it hurt: the whole programme goes back one level.");
            means(Whole::BackOff, "LOG-LITTLE-PAIN", words, "own")
        } else {
            let words = format!("{about}: hold, and ask what is in the way.");
            means(Whole::Hold, "LOG-LITTLE", words, "own")
        });
    }
    out
}

/// Pain that rises: before practice to a grade of high irritability, or from week to week under monitored pain.
fn rising(log: &Log<'_>) -> Vec<WholeReason> {
    let mut out = Vec::new();
    let high = |pain: &u8| Irritability::of_pain(*pain) == Irritability::High;
    let recent = || log.sessions.iter().filter(|session| log.is_recent(session.on));
    if let Some((on, pain)) = recent().filter_map(|s| Some((s.on, s.pain_before.filter(high)?))).max() {
        let words = format!(
            "Pain before practice was {pain} of 10 on {}: irritability is high, nothing goes up.",
            day(on)
        );
        out.push(means(Whole::Hold, "LOG-IRRITABLE", words, "kelley2013"));
    }
    out.extend(rose(log));
    out
}

/// Under monitored pain: whether the worst of this week is more than that of the last week before it in which anything
/// was logged, also of an earlier programme. A week without a number counts as painless: it lets nothing rise unseen.
fn rose(log: &Log<'_>) -> Option<WholeReason> {
    log.around.monitored?;
    let days = adapt_figures().log_counts_days;
    // This week is 0; the day of today belongs to it beside its seven days.
    let week = |session: &Session| (log.age(session.on) - 1).max(0) / days;
    let past = || log.all.iter().filter(|session| session.on <= log.around.today);
    let worst = |of: i32| past().filter(|s| week(s) == of).flat_map(|s| pains(s)).max();
    let now = worst(0)?;
    let before = past().map(|session| week(session)).filter(|week| *week > 0).min()?;
    let words = match worst(before) {
        Some(before) if now > before => {
            format!("Pain rose from {before} to {now} of 10 from one week to the next: nothing goes up.")
        }
        None if now > 0 => {
            format!("Pain was {now} of 10, and nobody said how much the week before: nothing goes up.")
        }
        _ => return None,
    };
    Some(means(Whole::Hold, "LOG-RISING", words, "silbernagel2007"))
}

/// No second step up within some days while irritability is moderate or more.
fn too_soon(log: &Log<'_>) -> Option<WholeReason> {
    let figures = adapt_figures();
    let logged = log
        .sessions
        .iter()
        .filter(|session| log.is_recent(session.on))
        .flat_map(|session| session.pain_before.into_iter().chain(pains(session)))
        .map(Irritability::of_pain)
        .max();
    let irritability = logged.map_or(log.around.irritability, |logged| logged.max(log.around.irritability));
    let last = log.around.last_step_up?;
    (irritability > Irritability::Low && log.age(last) < figures.steps_apart_days).then(|| {
        let words = format!(
            "The last step up was on {} and irritability is {}: no second one within {} days.",
            day(last),
            irritability.words(),
            figures.steps_apart_days
        );
        means(Whole::Hold, "LOG-TOO-SOON", words, "own")
    })
}

fn pains(session: &Session) -> impl Iterator<Item = u8> {
    session.cells.iter().filter_map(|(_, done)| match done {
        Done::Done { pain, .. } => *pain,
        Done::NotDone => None,
    })
}

/// While one direction is made less, or hurt within the last week, nothing else is made more.
pub(super) fn one_thing_at_a_time(log: &Log<'_>, states: &[State]) -> Option<WholeReason> {
    let words = if states.iter().any(State::is_reduced) {
        "A direction is made less: nothing else is made more at the same time."
    } else if states.iter().any(|state| state.hurt_lately(log).is_some()) {
        "A direction hurt within the last week: nothing is made more until it was quiet as long."
    } else {
        return None;
    };
    Some(means(Whole::Hold, "LOG-ONE-THING", words.to_owned(), "own"))
}

/// Directions that the therapist may offer again, shorter: left out, or halved and not in this programme, because
/// what is held by both hands had no exercise to stand in.
pub(super) fn offer_again(log: &Log<'_>) -> Vec<OfferAgain> {
    let figures = adapt_figures();
    let quiet = quiet_since(log, None);
    let recent = log.sessions.iter().any(|session| was_done(session) && log.is_recent(session.on));
    if quiet < figures.quiet_sessions || !recent {
        return Vec::new();
    }
    let absent = |one: &Carried| !log.asked.cells.iter().any(|cell| one.is_of(*cell));
    let mut all: Vec<Carried> = log
        .around
        .carried
        .iter()
        .filter(|one| one.rung == Rung::LeftOut || one.rung == Rung::Supported && absent(one))
        .copied()
        .collect();
    // The worst that is known of a direction first; where a family is named, what is known of all says no more.
    all.sort_by_key(|one| {
        (one.mover, one.bearing, std::cmp::Reverse(one.family), std::cmp::Reverse(one.rung))
    });
    all.dedup_by(|next, first| {
        (next.mover, next.bearing) == (first.mover, first.bearing)
            && next.family.is_none_or(|family| first.family == Some(family))
    });
    all.sort();
    all.into_iter().map(|one| OfferAgain { direction: one, reason: may_be_offered(one, quiet) }).collect()
}

fn may_be_offered(one: Carried, quiet: usize) -> Reason {
    let (mover, to) = (one.mover, one.bearing.plain_words());
    let who = match one.family {
        None => format!("The {mover} limb going {to}"),
        Some(Family::BendAndReach) => format!("The {mover} hand going {to} in bend and reach"),
        Some(family) => format!("The {mover} leg going {to} in a {family}"),
    };
    let was = match one.rung {
        Rung::LeftOut => "was left out",
        _ => "hurt twice and is not in this programme",
    };
    let words = format!(
        "{who} {was}; the last {quiet} sessions were free of pain: the therapist may offer it again, shorter."
    );
    reason("LOG-AGAIN", words, safety::pain_rule().source)
}
