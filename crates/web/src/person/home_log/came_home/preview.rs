//! What came home, to be looked at before anything is saved.

use clinic::{CameHome, KnownProgramme, PracticeRecord, Role, Standing, may_write};
use exchange::{Hurt, LogPreview, Mark, Preview, Seen, SeenSession, Standing as Ours, TypedPreview};
use maud::{Markup, html};
use progress::{Done, Session};

use super::super::shown::{morning_after, summary};
use super::{Given, back};
use crate::fault::sentence;
use crate::seat::{Seat, at};
use crate::words;

pub(super) fn view(seat: &Seat, standing: &Standing, given: &Given, came: &CameHome, role: Role) -> Markup {
    let id = standing.line.id;
    let differs =
        came.previews.iter().any(|one| matches!(one, Preview::Log(log) if differing(log).next().is_some()));
    let adds = came.adds();
    let is_summary = matches!(came.previews.as_slice(), [Preview::Typed(_)]);
    html! {
        section.came aria-labelledby="came-head" {
            h2 id="came-head" { "What came home: look at it, then save" }
            form method="post" action=(at(id, "home-log/came-home/save")) {
                (seat.form())
                input type="hidden" name="given" value=(given.text);
                input type="hidden" name="way" value=(given.way.key());
                @for one in &came.previews {
                    @match one {
                        Preview::Log(log) => { (of_log(standing, came.programme(log.mark), log)) }
                        Preview::Typed(typed) => { (of_code(standing, came, typed)) }
                    }
                }
                @if adds == 0 && !differs {
                    p.ruling { strong { "Nothing new: all of it is in the records already." } }
                    p { "Reading it again adds nothing." }
                } @else if !may_write::<PracticeRecord>(role) {
                    p { "A reader changes nothing. Somebody who logs may save it." }
                } @else {
                    @if role == Role::Student { p.quiet { "What a student saves waits for a clinician’s countersignature." } }
                    p { "Saved as: " (came.source(given.way.source()).words()) "." }
                    div.acts {
                        button.action type="submit" { (save_words(adds, is_summary)) }
                        a.action.second href=(at(id, "home-log")) { "Save nothing" }
                    }
                }
            }
            (back(standing))
        }
    }
}

fn save_words(adds: usize, is_summary: bool) -> &'static str {
    match (is_summary, adds) {
        (true, _) => "Save this summary",
        (false, 0) => "Save what I chose",
        (false, 1) => "Save this session",
        (false, _) => "Save these sessions",
    }
}

fn differing(log: &LogPreview) -> impl Iterator<Item = &SeenSession> {
    log.sessions.iter().filter(|one| one.seen == Seen::Differs)
}

/// Whose, of which programme, and whether that is the one of today.
fn of_whom(standing: &Standing, known: Option<&KnownProgramme>, ours: Ours, mark: Mark) -> Markup {
    let name = &standing.person().name;
    html! {
        p { "Of " strong { (name) }
            @if let Some(known) = known {
                ", programme from " (words::day(known.programme.from)) " to " (words::day(known.programme.until))
                @if ours == Ours::Current { ", the programme of today" }
                @if !known.handed_out { ", handed out elsewhere" }
            }
            "." span.quiet { " Mark " (mark) "." }
        }
        @if let Some(known) = known {
            ul { @for (place, exercise) in known.programme.exercises.iter().enumerate() {
                li { "Exercise " (place + 1) ": " (exercise.family) ", "
                    @for (at, limb) in exercise.limbs.iter().enumerate() {
                        @if at > 0 { "; " } (limb.mover) " leg " (words::counted(limb.cells.len(), "direction"))
                    }
                }
            } }
        }
        @if ours == Ours::Replaced {
            div.mend role="note" { p { strong { "An earlier programme. " } "A later one has taken its place. The log is kept with the earlier one and says nothing of the new one." } }
        }
    }
}

fn of_log(standing: &Standing, known: Option<&KnownProgramme>, log: &LogPreview) -> Markup {
    html! {
        (of_whom(standing, known, log.standing, log.mark))
        @if !log.stopped.is_empty() {
            section.alert aria-label="Stop signs" {
                h3 { "A session was stopped" }
                @for (on, nth, sign) in &log.stopped { p { (words::day(*on)) ", session " (nth) ": " strong { (sign.words()) } "." } }
                p { "Speak with the person before anything goes on." }
            }
        }
        @if log.sessions.is_empty() { p { "No session was logged yet." } } @else {
            p.ruling { strong { (told(log)) } }
            table.sessions {
                caption { "Sessions" }
                thead { tr { th scope="col" { "Day" } th scope="col" { "Done" } th scope="col" { "Worst pain" } th scope="col" { "Effort" } th scope="col" { "Morning after" } th scope="col" { "In the records" } } }
                tbody { @for one in &log.sessions { (row(one)) } }
            }
        }
        @if !log.outside.is_empty() {
            p { "Practised outside the days of the programme: "
                @for (place, on) in log.outside.iter().enumerate() { @if place > 0 { ", " } (words::day(*on)) } "." }
        }
        (what_hurt(&log.hurt))
        @for one in differing(log) { (which(log.mark, known, one)) }
    }
}

fn told(log: &LogPreview) -> String {
    let count = |seen: Seen| log.sessions.iter().filter(|one| one.seen == seen).count();
    let parts = [
        (count(Seen::New), "new"),
        (count(Seen::Completes), "stored, now with the morning after"),
        (count(Seen::Stored) + count(Seen::StoredRicher), "in the records already"),
        (count(Seen::Differs), "stored otherwise: you choose below"),
    ];
    let said: Vec<String> =
        parts.iter().filter(|(n, _)| *n > 0).map(|(n, words)| format!("{n} {words}")).collect();
    format!("{}: {}.", words::capital(&words::counted(log.sessions.len(), "session")), said.join(", "))
}

fn row(one: &SeenSession) -> Markup {
    let session = &one.session;
    let done = session.cells.iter().filter(|(_, done)| *done != Done::NotDone).count();
    html! {
        tr {
            th scope="row" { (words::day(session.on)) @if session.nth > 1 { ", session " (session.nth) } }
            td data-of="Done" { (done) " of " (session.cells.len()) }
            td data-of="Worst pain" { (worst(session)) }
            td data-of="Effort" { @match session.effort { Some(effort) => { (effort) " of 10" } None => "not said" } }
            td data-of="Morning after" { @match session.morning { Some(morning) => { (morning_after(morning)) } None => "not said" } }
            td data-of="In the records" { @match one.seen {
                Seen::New => strong { "new" },
                Seen::Completes => strong { "gets its morning after" },
                Seen::Stored | Seen::StoredRicher => "already",
                Seen::Differs => strong { "differs" },
            } }
        }
    }
}

/// The worst pain of a session in words; what hurt without a number is not called painless.
fn worst(session: &Session) -> String {
    if session.cells.iter().all(|(_, done)| *done == Done::NotDone) {
        return "nothing done".to_owned();
    }
    let hurt: Vec<Option<u8>> = session
        .cells
        .iter()
        .filter_map(|(_, done)| match done {
            Done::Done { pain, .. } if done.hurt() == Some(true) => Some(*pain),
            _ => None,
        })
        .collect();
    match hurt.iter().flatten().max() {
        Some(worst) => format!("{worst} of 10"),
        None if hurt.is_empty() => "none".to_owned(),
        None => "hurt, no number".to_owned(),
    }
}

fn what_hurt(hurt: &[Hurt]) -> Markup {
    html! {
        h3 { "What hurt" }
        @if hurt.is_empty() { p { "No direction hurt." } } @else {
            ul { @for one in hurt { li { (sentence(&words::capital(&one.to_string()))) } } }
        }
    }
}

/// Two logs of one session: a person decides.
fn which(mark: Mark, known: Option<&KnownProgramme>, one: &SeenSession) -> Markup {
    let Session { on, nth, .. } = one.session;
    let stored = known.and_then(|known| known.known.stored.iter().find(|old| (old.on, old.nth) == (on, nth)));
    let name = format!("{mark} {on} {nth}");
    html! {
        div.mend role="note" {
            h3 { (words::day(on)) ", session " (nth) ", is stored otherwise" }
            @if let Some(stored) = stored {
                p { "Stored: " (in_short(stored)) "." }
                p { "Came home: " (in_short(&one.session)) "." }
                ul { @for line in differences(stored, &one.session) { li { (line) } } }
            }
            label.choice { input type="checkbox" name="instead" value=(name); "Keep what came home instead; what is stored stays in the history" }
        }
    }
}

fn in_short(session: &Session) -> String {
    let done = session.cells.iter().filter(|(_, done)| *done != Done::NotDone).count();
    let score =
        |value: Option<u8>| value.map_or_else(|| "not said".to_owned(), |value| format!("{value} of 10"));
    format!(
        "{} done, worst pain {}, pain before {}, effort {}",
        words::counted(done, "direction"),
        worst(session),
        score(session.pain_before),
        score(session.effort)
    )
}

/// Each direction of which the two say something else.
fn differences(stored: &Session, came: &Session) -> Vec<String> {
    let said = |done: Option<&Done>| match done {
        None | Some(Done::NotDone) => "not done".to_owned(),
        Some(Done::Done { pain: Some(pain), .. }) => format!("pain {pain}"),
        Some(Done::Done { pain: None, .. }) => "hurt, no number".to_owned(),
    };
    let of =
        |session: &Session, cell| session.cells.iter().find(|(one, _)| *one == cell).map(|(_, done)| *done);
    came.cells
        .iter()
        .filter_map(|(cell, now)| {
            let was = of(stored, *cell);
            let (was, now) = (said(was.as_ref()), said(Some(now)));
            (was != now).then(|| {
                format!(
                    "Exercise {}, {}: stored {was}, came home {now}.",
                    cell.exercise,
                    progress::cell_words(*cell)
                )
            })
        })
        .collect()
}

fn of_code(standing: &Standing, came: &CameHome, typed: &TypedPreview) -> Markup {
    html! {
        (of_whom(standing, came.programme(typed.mark), typed.standing, typed.mark))
        (summary(&typed.summary))
        @if typed.summary.stopped {
            p { strong { "Ask now which stop sign it was." } " " (app::UNNAMED_SIGN) " Nothing is done until a clinician has looked." }
        }
        @if typed.summary.tells_of_harm() {
            p { strong { "Ask what hurt and when" } " and tap it in as a log: until then nothing goes up." }
        }
        p { "In the records for the same days: " (words::counted(typed.stored, "session")) "." }
    }
}
