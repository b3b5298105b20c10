//! What came back: which programme, which days, what was done, what hurt, what is new; or why it cannot be used.

use std::collections::BTreeSet;

use jiff::civil::Date;
use progress::{Cell, Done, Morning, Prescription, Rung, Session, StopSign};
use serde::{Deserialize, Serialize};

use crate::log::{self, Sealed};
use crate::mark::Mark;
use crate::reed_solomon::{Verdict, WORD, judge};
use crate::refusal::Refusal;
use crate::typed::{self, Summary};

/// What the file that a practice page saves says of itself.
const FILE_FORMAT: &str = "footrose-practice-log";
const FILE_VERSION: u64 = 1;

/// A programme that a log may be of, with what is stored of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// Its mark.
    pub mark: Mark,
    /// What was asked for.
    pub prescription: Prescription,
    /// The sessions that are stored already.
    pub stored: Vec<Session>,
    /// Whether a later programme has taken its place.
    pub replaced: bool,
}

/// Whether the programme of a log is the one of today.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// It is.
    Current,
    /// A later programme has taken its place: the log is kept with the old one and says nothing of the new one.
    Replaced,
}

/// What a code says, to be looked at before anything is saved.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Preview {
    /// Sessions, from a log code.
    Log(LogPreview),
    /// A summary, from a typed code.
    Typed(TypedPreview),
}

/// The sessions of a log code, each beside what is stored.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LogPreview {
    /// The programme.
    pub mark: Mark,
    /// Whether it is the one of today.
    pub standing: Standing,
    /// First and last day with a session; `None` when the log is empty.
    pub days: Option<(Date, Date)>,
    /// Every session, in order.
    pub sessions: Vec<SeenSession>,
    /// Every direction that hurt, the worst first.
    pub hurt: Vec<Hurt>,
    /// Every stop sign.
    pub stopped: Vec<(Date, u8, StopSign)>,
    /// Days with a session before the first or after the last day of the programme.
    pub outside: Vec<Date>,
}

/// A session of a code beside what is stored.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeenSession {
    /// What the code says.
    pub session: Session,
    /// Whether that is new.
    pub seen: Seen,
}

/// What a session of a code adds to what is stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Seen {
    /// It is not stored.
    New,
    /// It is stored without the morning after, which the code brings; all else is the same.
    Completes,
    /// It is stored just so: it adds nothing.
    Stored,
    /// What is stored is richer by the morning after: it adds nothing.
    StoredRicher,
    /// Something else is stored for the same session. It adds nothing by itself; a person decides.
    Differs,
}

/// One direction that hurt.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Hurt {
    /// The direction.
    pub cell: Cell,
    /// In how many sessions it was done.
    pub done: usize,
    /// In how many of them it hurt.
    pub hurt: usize,
    /// The worst pain; none where it hurt and no number was given.
    pub worst: Option<u8>,
    /// The furthest rung of the pain rule.
    pub rung: Rung,
}

/// The summary of a typed code.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct TypedPreview {
    /// The programme.
    pub mark: Mark,
    /// Whether it is the one of today.
    pub standing: Standing,
    /// What the code says.
    pub summary: Summary,
    /// Sessions stored for the same fourteen days in which anything was done; where they are as many as the code
    /// counts, it is likely to tell nothing new.
    pub stored: usize,
}

/// Reads whatever text came back.
///
/// # Errors
/// Why it cannot be used. A code that was read before is no error: its sessions are [`Seen::Stored`].
pub fn read(given: &str, known: &[Known]) -> Result<Preview, Refusal> {
    // Scanners and letters break lines; telephones write small letters.
    let text: String = given.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_uppercase).collect();
    if text.is_empty() {
        return Err(Refusal::Empty);
    }
    if text.starts_with('{') {
        return read_file(given, known).map(Preview::Log);
    }
    if let Some(rest) = text.strip_prefix(log::PREFIX) {
        return read_log(rest, known).map(Preview::Log);
    }
    let letters: Vec<char> = text.chars().filter(|c| !matches!(c, '-' | '\u{2010}'..='\u{2015}')).collect();
    let like_a_code = letters.iter().all(|c| c.is_ascii_alphanumeric()) && (12..=20).contains(&letters.len());
    if like_a_code
        || letters.len() == WORD && letters.iter().filter(|c| c.is_ascii_alphanumeric()).count() > 12
    {
        return read_typed(&letters, known).map(Preview::Typed);
    }
    let beginning: String = given.trim().chars().take(24).collect();
    let more = if given.trim().chars().count() > 24 { "…" } else { "" };
    Err(Refusal::Foreign { given: format!("{beginning}{more}") })
}

/// The file that the practice page saves. It has no check sum of its own: it never was typed or photographed, and
/// everything in it must be as the prescription says.
fn read_file(text: &str, known: &[Known]) -> Result<LogPreview, Refusal> {
    #[derive(Deserialize)]
    struct Head {
        format: String,
        version: u64,
        mark: Mark,
    }
    #[derive(Deserialize)]
    struct Body {
        sessions: Vec<Session>,
    }
    let corrupted = |what: String| Refusal::Corrupted { what };
    let foreign = || Refusal::Foreign { given: "a file that is no log of a practice page".to_owned() };
    let head: Head = serde_json::from_str(text).map_err(|error| match error.classify() {
        serde_json::error::Category::Data => foreign(),
        _ => corrupted(format!("the file is incomplete ({error})")),
    })?;
    if head.format != FILE_FORMAT {
        return Err(foreign());
    }
    if head.version != FILE_VERSION {
        let accepted = FILE_VERSION.to_string();
        return Err(Refusal::NewerVersion { given: head.version.to_string(), accepted });
    }
    if !known.iter().any(|one| one.mark == head.mark) {
        return Err(Refusal::WrongProgramme { given: head.mark.to_string(), known: marks(known) });
    }
    let body: Body = serde_json::from_str(text).map_err(|error| corrupted(error.to_string()))?;
    of_programme(head.mark, body.sessions, known)
}

/// Sessions that came without a check sum: everything in them must be as the prescription says.
pub(crate) fn of_programme(
    mark: Mark,
    mut sessions: Vec<Session>,
    known: &[Known],
) -> Result<LogPreview, Refusal> {
    let corrupted = |what: String| Refusal::Corrupted { what };
    let Some(programme) = known.iter().find(|one| one.mark == mark) else {
        return Err(Refusal::WrongProgramme { given: mark.to_string(), known: marks(known) });
    };
    let mut seen = BTreeSet::new();
    for session in &mut sessions {
        let done =
            log::checked(&programme.prescription, session).map_err(|error| corrupted(error.to_string()))?;
        if !seen.insert((session.on, session.nth)) {
            return Err(corrupted(format!("session {} of {} stands twice", session.nth, session.on)));
        }
        session.cells = programme.prescription.cells.iter().copied().zip(done).collect();
    }
    Ok(preview(programme, sessions))
}

/// Reads the bytes of a file: a code saved as text.
///
/// # Errors
/// As [`read`], and when the bytes are no text.
pub fn read_bytes(bytes: &[u8], known: &[Known]) -> Result<Preview, Refusal> {
    let text = std::str::from_utf8(bytes)
        .map_err(|_| Refusal::Foreign { given: "bytes that are no text".to_owned() })?;
    read(text.trim_start_matches('\u{feff}'), known)
}

fn standing(known: &Known) -> Standing {
    if known.replaced { Standing::Replaced } else { Standing::Current }
}

fn marks(known: &[Known]) -> Vec<String> {
    known.iter().map(|one| one.mark.to_string()).collect()
}

fn read_log(rest: &str, known: &[Known]) -> Result<LogPreview, Refusal> {
    let corrupted = |what: &str| Refusal::Corrupted { what: what.to_owned() };
    let (version, characters) =
        rest.split_once('/').ok_or_else(|| corrupted("the beginning is incomplete"))?;
    match version.parse::<u32>() {
        Ok(log::VERSION) => {}
        Ok(newer) if newer > log::VERSION => {
            let accepted = log::VERSION.to_string();
            return Err(Refusal::NewerVersion { given: newer.to_string(), accepted });
        }
        _ => return Err(corrupted("the number of its version cannot be read")),
    }
    let sealed = Sealed::open(characters).map_err(|why| corrupted(&why))?;
    let Some(programme) = known.iter().find(|one| sealed.fits(one.mark)) else {
        // The check sum covers the whole mark, so a foreign mark and damage look alike unless the short mark is ours.
        return Err(if known.iter().any(|one| sealed.names(one.mark)) {
            corrupted("the check does not fit")
        } else {
            Refusal::WrongProgramme { given: sealed.short_mark(), known: marks(known) }
        });
    };
    let sessions = sealed.sessions(programme.mark, &programme.prescription).map_err(|why| corrupted(&why))?;
    Ok(preview(programme, sessions))
}

impl LogPreview {
    /// What would be added: new sessions, and stored ones that got their morning after. Reading the same code twice
    /// adds nothing the second time.
    pub fn additions(&self) -> impl Iterator<Item = &Session> {
        let adds = |seen: &&SeenSession| matches!(seen.seen, Seen::New | Seen::Completes);
        self.sessions.iter().filter(adds).map(|seen| &seen.session)
    }
}

/// Sets sessions beside what is stored of their programme.
fn preview(programme: &Known, mut sessions: Vec<Session>) -> LogPreview {
    sessions.sort_by_key(|session| (session.on, session.nth));
    let prescription = &programme.prescription;
    let outside = |on: Date| on < prescription.from || on > prescription.until;
    let mut outside_days: Vec<Date> = sessions.iter().map(|one| one.on).filter(|on| outside(*on)).collect();
    outside_days.dedup();
    LogPreview {
        mark: programme.mark,
        standing: standing(programme),
        days: sessions.first().zip(sessions.last()).map(|(first, last)| (first.on, last.on)),
        hurt: hurt(prescription, &sessions),
        stopped: sessions.iter().filter_map(|one| one.stopped.map(|sign| (one.on, one.nth, sign))).collect(),
        outside: outside_days,
        sessions: sessions
            .into_iter()
            .map(|session| SeenSession { seen: seen(programme, &session), session })
            .collect(),
    }
}

/// What a session adds.
fn seen(programme: &Known, session: &Session) -> Seen {
    let stored = programme.stored.iter().find(|one| (one.on, one.nth) == (session.on, session.nth));
    let Some(stored) = stored else { return Seen::New };
    let cells = |one: &Session| log::in_order(&programme.prescription, one).ok();
    let body = |one: &Session| (one.pain_before, one.stopped, one.effort);
    if cells(stored) != cells(session) || body(stored) != body(session) {
        return Seen::Differs;
    }
    match (stored.morning, session.morning) {
        (stored, new) if stored == new => Seen::Stored,
        (None, Some(_)) => Seen::Completes,
        (Some(_), None) => Seen::StoredRicher,
        _ => Seen::Differs,
    }
}

fn hurt(prescription: &Prescription, sessions: &[Session]) -> Vec<Hurt> {
    let of = |cell: &Cell| {
        let mut all = Hurt { cell: *cell, done: 0, hurt: 0, worst: None, rung: Rung::Whole };
        for (_, done) in sessions.iter().flat_map(|one| &one.cells).filter(|(one, _)| one == cell) {
            let Done::Done { pain, rung } = done else { continue };
            all.done += 1;
            all.rung = all.rung.max(*rung);
            if done.hurt() == Some(true) {
                all.hurt += 1;
                all.worst = all.worst.max(*pain);
            }
        }
        all
    };
    let mut all: Vec<Hurt> =
        prescription.cells.iter().map(of).filter(|one| one.hurt > 0 || one.rung > Rung::Whole).collect();
    all.sort_by_key(|one| std::cmp::Reverse((one.worst, one.rung, one.hurt)));
    all
}

fn read_typed(letters: &[char], known: &[Known]) -> Result<TypedPreview, Refusal> {
    let mut word = [0_u8; WORD];
    if letters.len() != WORD {
        return Err(Refusal::TypedLength { given: letters.len() });
    }
    for (at, (place, letter)) in word.iter_mut().zip(letters).enumerate() {
        *place = typed::value(*letter).ok_or(Refusal::TypedLetter { letter: *letter, place: at + 1 })?;
    }
    match judge(word) {
        Verdict::Right => {}
        Verdict::Wrong => return Err(Refusal::TypedWrong),
        Verdict::OneWrong { place, value } => {
            let mut right = word;
            right[place] = value;
            let letter = |value: u8| typed::ALPHABET.get(usize::from(value)).map_or('?', |l| char::from(*l));
            return Err(Refusal::TypedOneWrong {
                place: place + 1,
                group: place / 4 + 1,
                given: letter(word[place]),
                instead: letter(value),
                proposal: typed::shown(right),
            });
        }
    }
    let Some(opened) = typed::open(word) else { return Err(Refusal::TypedWrong) };
    if opened.version != typed::VERSION {
        let accepted = typed::VERSION.to_string();
        return Err(Refusal::NewerVersion { given: opened.version.to_string(), accepted });
    }
    let fitting: Vec<(&Known, Summary)> = known
        .iter()
        .filter(|one| one.mark.twelve_bits() == opened.mark)
        .filter_map(|one| Some((one, opened.summary(&one.prescription)?)))
        .collect();
    match fitting.as_slice() {
        [] => Err(Refusal::WrongProgramme { given: format!("{:03x}", opened.mark), known: marks(known) }),
        [(programme, summary)] => Ok(TypedPreview {
            mark: programme.mark,
            standing: standing(programme),
            summary: summary.clone(),
            stored: stored_in(&programme.stored, summary.last),
        }),
        several => Err(Refusal::SeveralProgrammes {
            known: several.iter().map(|(one, _)| one.mark.to_string()).collect(),
        }),
    }
}

/// Stored sessions of the fourteen days that end on a day, in which anything was done.
fn stored_in(stored: &[Session], last: Date) -> usize {
    let within = |on: Date| on <= last && (last - on).get_days() < log::DAYS_AT_MOST;
    stored
        .iter()
        .filter(|one| within(one.on) && one.cells.iter().any(|(_, done)| *done != Done::NotDone))
        .count()
}

/// A morning in words.
pub(crate) fn morning_word(morning: Option<Morning>) -> &'static str {
    match morning {
        None => "",
        Some(Morning::Better) => "better",
        Some(Morning::Same) => "same",
        Some(Morning::Worse(_)) => "worse",
    }
}
