//! From what was tapped to logs: of each day how the whole went, and of each ring what was written into it.

use anatomy::Side;
use app::{PersonToday, SentenceReader};
use clinic::{LogSource, PracticeItem, PracticeRecord, ProgrammeRecord};
use jiff::civil::Date;
use movement::Bearing;
use progress::{Cell, Done, Morning, Rung, Session, StopSign};

use super::SOURCES;
use crate::fields::Fields;
use crate::words;

/// A grid of some days of one programme.
pub(super) struct Paper {
    pub(super) rings: Vec<Ring>,
    pub(super) days: Vec<Date>,
    /// Days of which something is stored already, with how it is known.
    pub(super) stored: Vec<(Date, LogSource)>,
    pub(super) first: Date,
    /// The day the programme was made for.
    pub(super) from: Date,
    pub(super) today: Date,
    /// Sessions a day that were asked for, of each exercise.
    pub(super) a_day: Vec<u8>,
}

impl Paper {
    /// Sessions a day of the exercise that is done most often.
    pub(super) fn most_a_day(&self) -> u8 {
        self.a_day.iter().copied().max().unwrap_or(1)
    }

    /// Whether an exercise belongs to a session of its day: what was asked for once a day stands in the first.
    fn is_asked_in(&self, ring: &Ring, nth: u8) -> bool {
        let asked = self.a_day.get(usize::from(ring.exercise).saturating_sub(1)).copied().unwrap_or(1);
        nth <= asked || asked == self.most_a_day()
    }
}

/// One ring on the paper: a direction of a limb in an exercise, in front and behind together.
pub(super) struct Ring {
    pub(super) exercise: u8,
    pub(super) mover: Side,
    pub(super) bearing: Bearing,
    pub(super) family: movement::Family,
    /// With how far each goes, centimetres.
    pub(super) cells: Vec<(Cell, f64)>,
}

impl Ring {
    /// Its name in a field.
    pub(super) fn key(&self) -> String {
        format!("{}-{}-{}", self.exercise, self.mover.letter(), self.bearing.degrees())
    }

    /// As it is read: `Left leg, forward`.
    pub(super) fn words(&self) -> String {
        format!("{}, {}", limb_words(self.family, self.mover), self.bearing.plain_words())
    }
}

pub(super) fn limb_words(family: movement::Family, mover: Side) -> String {
    let limb = if family == movement::Family::BendAndReach { "hand" } else { "leg" };
    format!("{} {limb}", words::capital(&mover.to_string()))
}

/// The rings of a programme as it was accepted: what was done is entered, whatever is permitted today.
pub(super) fn rings(record: &ProgrammeRecord, person: &PersonToday<'_>) -> Vec<Ring> {
    let limits = person.limits();
    let reader = SentenceReader { body: &person.body, supports: &limits.supports };
    let mut out: Vec<Ring> = Vec::new();
    for (place, sentences) in record.exercises.iter().enumerate() {
        let Ok(exercise) = u8::try_from(place + 1) else { break };
        for spec in sentences.iter().filter_map(|one| reader.read(one).ok()) {
            let (mover, bearing, crossing, family) = (spec.mover, spec.bearing, spec.crossing, spec.family);
            let cell = (Cell { exercise, mover, bearing, crossing, family }, spec.distance.in_cm().round());
            let same = |one: &&mut Ring| (one.exercise, one.mover, one.bearing) == (exercise, mover, bearing);
            match out.iter_mut().find(same) {
                Some(ring) => ring.cells.push(cell),
                None => out.push(Ring { exercise, mover, bearing, family, cells: vec![cell] }),
            }
        }
    }
    out
}

/// Sessions a day that were asked for, of each exercise.
pub(super) fn times_a_day(record: &ProgrammeRecord) -> Vec<u8> {
    let all = record.json["exercises"].as_array().into_iter().flatten();
    let times = |one: &serde_json::Value| u8::try_from(one["dose"]["per_day"].as_u64()?).ok();
    all.map(|one| times(one).unwrap_or(1).clamp(1, 4)).collect()
}

/// How a whole day went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Whole {
    /// Done, and it was said that nothing hurt.
    Painless,
    /// Done, and nobody said whether it hurt.
    PainNotSaid,
    /// Nothing was done.
    NotDone,
}

impl Whole {
    /// With the word of a form and what is read.
    pub(super) const ALL: [(Self, &str, &str); 3] = [
        (Self::Painless, "painless", "Done, no pain unless marked"),
        (Self::PainNotSaid, "not_said", "Done, pain not said"),
        (Self::NotDone, "not_done", "Not done"),
    ];
}

/// What is written into one ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mark {
    Hurt(Option<u8>),
    LeftOut,
}

pub(super) fn day_field(day: Date) -> String {
    format!("day:{day}")
}

pub(super) fn ring_field(day: Date, ring: &Ring) -> String {
    format!("ring:{day}:{}", ring.key())
}

/// Of each field beside the rings of a day: times, pain before, the morning after, a stop sign.
pub(super) fn beside(what: &str, day: Date) -> String {
    format!("{what}:{day}")
}

/// Every day of which something was said, as logs; a day of which nothing was said is none.
///
/// # Errors
/// Nobody said how it is known, a number cannot be read, or of a day only marks were made and not how the rest went.
pub(super) fn parse(fields: &Fields, paper: &Paper) -> Result<Vec<PracticeRecord>, String> {
    let source = SOURCES.into_iter().find(|(source, _)| source.key() == fields.get("source"));
    let (source, _) = source.ok_or_else(|| {
        "Say how you know: tap whether it stands on the paper grid or was told on the telephone.".to_owned()
    })?;
    let mut out = Vec::new();
    for day in &paper.days {
        out.extend(of_day(fields, paper, *day, source)?);
    }
    if out.is_empty() {
        return Err("Nothing was said of any day. Tap at least one day.".to_owned());
    }
    Ok(out)
}

fn of_day(
    fields: &Fields,
    paper: &Paper,
    day: Date,
    source: LogSource,
) -> Result<Vec<PracticeRecord>, String> {
    let mut marks: Vec<(&Ring, Mark)> = Vec::new();
    for ring in &paper.rings {
        if let Some(mark) = mark(fields.get(&ring_field(day, ring)), day, ring)? {
            marks.push((ring, mark));
        }
    }
    let given = fields.get(&day_field(day));
    let whole = Whole::ALL.into_iter().find(|(_, key, _)| *key == given).map(|(whole, ..)| whole);
    let before = pain(fields.get(&beside("before", day)), day)?;
    let morning = match fields.get(&beside("morning", day)) {
        "better" => Some(Morning::Better),
        "same" => Some(Morning::Same),
        "worse" => Some(Morning::Worse(None)),
        _ => None,
    };
    let stopped = sign(fields.get(&beside("stop", day)), day)?;
    let Some(whole) = whole else {
        if marks.is_empty() && before.is_none() && morning.is_none() && stopped.is_none() {
            return Ok(Vec::new());
        }
        return Err(format!(
            "Of {} something is marked, and not how the rest of that day went. Tap one of: {}.",
            words::day(day),
            Whole::ALL.map(|(_, _, words)| words).join("; ")
        ));
    };
    if whole == Whole::NotDone && marks.iter().any(|(_, mark)| matches!(mark, Mark::Hurt(_))) {
        return Err(format!(
            "Of {} nothing was done, and yet a direction hurt. Tap “Done” for that day, or take the mark out.",
            words::day(day)
        ));
    }
    let times = match times(fields.get(&beside("times", day)), day)? {
        Some(times) => times,
        // Where nobody said how often, once: a session that nobody told of is not counted.
        None => times(fields.get("times"), day)?.unwrap_or(1),
    };
    let times = if whole == Whole::NotDone { 1 } else { times };
    let one = |nth: u8| {
        let (cells, not_said) = cells(paper, whole, &marks, nth);
        let session = Session {
            on: day,
            nth,
            pain_before: before.filter(|_| nth == 1),
            cells,
            stopped: stopped.filter(|_| nth == times),
            effort: None,
            morning: morning.filter(|_| nth == times),
        };
        log(&session, not_said, source, paper)
    };
    Ok((1..=times).map(one).collect())
}

/// The stop sign of a day; of which session of several it is counts as the last.
fn sign(typed: &str, day: Date) -> Result<Option<StopSign>, String> {
    if typed.is_empty() {
        return Ok(None);
    }
    let known = StopSign::ALL.into_iter().find(|sign| sign.key() == typed);
    known.map(Some).ok_or_else(|| {
        format!("The stop sign of {} cannot be `{typed}`. Choose one of the list.", words::day(day))
    })
}

/// What became of each direction in one session of a day, and the directions that were done and of which nobody said
/// whether they hurt. What was marked counts in every session of the day: in which one it hurt nobody said.
fn cells(paper: &Paper, whole: Whole, marks: &[(&Ring, Mark)], nth: u8) -> (Vec<(Cell, Done)>, Vec<Cell>) {
    let (mut cells, mut not_said) = (Vec::new(), Vec::new());
    for ring in paper.rings.iter().filter(|ring| paper.is_asked_in(ring, nth)) {
        let mark = marks.iter().find(|(of, _)| std::ptr::eq(*of, ring)).map(|(_, mark)| *mark);
        let done = match (mark, whole) {
            (Some(Mark::LeftOut), _) | (None, Whole::NotDone) => Some(Done::NotDone),
            (Some(Mark::Hurt(pain)), _) => Some(Done::Done { pain, rung: Rung::Whole }),
            (None, Whole::Painless) => Some(Done::Done { pain: Some(0), rung: Rung::Whole }),
            (None, Whole::PainNotSaid) => None,
        };
        for (cell, _) in &ring.cells {
            match done {
                Some(done) => cells.push((*cell, done)),
                None => not_said.push(*cell),
            }
        }
    }
    (cells, not_said)
}

fn log(session: &Session, not_said: Vec<Cell>, source: LogSource, paper: &Paper) -> PracticeRecord {
    let mut log = PracticeRecord::of_session(session, source, None);
    // Which session of its day it is is counted beside what is stored already.
    log.nth = None;
    let unknown = |cell| PracticeItem {
        rung: None,
        pain: None,
        ..PracticeItem::of(cell, Done::Done { pain: None, rung: Rung::Whole })
    };
    log.items.extend(not_said.into_iter().map(unknown));
    for item in &mut log.items {
        let all = paper.rings.iter().flat_map(|ring| &ring.cells);
        item.distance_cm = all.into_iter().find(|(cell, _)| *cell == item.cell()).map(|(_, cm)| *cm);
    }
    log
}

fn mark(given: &str, day: Date, ring: &Ring) -> Result<Option<Mark>, String> {
    Ok(match given {
        "" => None,
        "out" => Some(Mark::LeftOut),
        "hurt" => Some(Mark::Hurt(None)),
        number => {
            let pain = number.parse().ok().filter(|pain| (1..=10).contains(pain));
            Some(Mark::Hurt(Some(pain.ok_or_else(|| {
                format!(
                    "{} of {} cannot be `{number}`; accepted: left out, hurt without a number, or 1 to 10.",
                    ring.words(),
                    words::day(day)
                )
            })?)))
        }
    })
}

fn pain(given: &str, day: Date) -> Result<Option<u8>, String> {
    match given.trim() {
        "" => Ok(None),
        typed => typed.parse().ok().filter(|pain| *pain <= 10).map(Some).ok_or_else(|| {
            format!(
                "Pain before it began on {} cannot be `{typed}`; accepted: 0 to 10, or nothing. Type a whole number.",
                words::day(day)
            )
        }),
    }
}

fn times(given: &str, day: Date) -> Result<Option<u8>, String> {
    match given {
        "" => Ok(None),
        typed => typed.parse().ok().filter(|times| (1..=4).contains(times)).map(Some).ok_or_else(|| {
            format!("Times on {} cannot be `{typed}`; accepted: 1 to 4. Choose one.", words::day(day))
        }),
    }
}
