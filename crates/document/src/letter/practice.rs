//! What was practised at home: sums of the logged sessions, and their sentences. Nothing here blames anybody.

use anatomy::Side;
use jiff::civil::Date;
use movement::{Bearing, Family};
use progress::{Done, Morning, Prescription, Rung, Session, StopSign};
use serde::Serialize;

use super::Row;
use super::say::{Say, key_of, small};
use crate::language::fill;

/// One direction with what hurt in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Hurt {
    /// Family.
    pub family: Family,
    /// The limb that moves.
    pub mover: Side,
    /// Where to.
    pub bearing: Bearing,
    /// In how many sessions it was done.
    pub done: usize,
    /// In how many of them it hurt.
    pub hurt: usize,
    /// The worst pain that was given, 0 to 10.
    pub worst: Option<u8>,
    /// Whether it was left out for pain in the last session.
    pub left_out: bool,
}

/// What was practised, from a log.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Practised {
    /// First logged day; none in an empty log.
    pub from: Option<Date>,
    /// Last logged day.
    pub to: Option<Date>,
    /// Logged sessions in which something was done.
    pub sessions: usize,
    /// Days with one.
    pub days: usize,
    /// What was asked for, where it came with the log.
    pub asked: Option<Prescription>,
    /// Every direction that was done, in the order of family, limb and bearing.
    pub directions: Vec<Hurt>,
    /// Mornings after that were asked about.
    pub mornings: usize,
    /// Mornings after that were worse.
    pub worse_mornings: usize,
    /// Sessions that ended early, with the sign.
    pub stopped: Vec<(Date, StopSign)>,
    /// Stop signs of which nobody said which, nor of which session: the last day each may be of.
    pub unnamed_stops: Vec<Date>,
    /// Entries that tell no single direction: a remark, a sum of days, a session of which only a number was said.
    pub uncounted: usize,
}

impl Practised {
    /// Sums the sessions up to `today`; what was not logged is not counted as not done.
    #[must_use]
    pub fn of(sessions: &[Session], asked: Option<&Prescription>, today: Date) -> Self {
        let mut sorted: Vec<&Session> = sessions.iter().filter(|one| one.on <= today).collect();
        sorted.sort_by_key(|one| (one.on, one.nth));
        let practised = |one: &&&Session| one.cells.iter().any(|(_, done)| matches!(done, Done::Done { .. }));
        let done: Vec<&Session> = sorted.iter().filter(practised).copied().collect();
        let mut days: Vec<Date> = done.iter().map(|one| one.on).collect();
        days.dedup();
        let mut directions: Vec<Hurt> = Vec::new();
        let last = done.last().map(|one| (one.on, one.nth));
        for session in &sorted {
            for (cell, result) in &session.cells {
                let Done::Done { pain, rung } = *result else { continue };
                let same = |one: &&mut Hurt| {
                    (one.family, one.mover, one.bearing) == (cell.family, cell.mover, cell.bearing)
                };
                let at = match directions.iter_mut().find(same) {
                    Some(known) => known,
                    None => {
                        directions.push(Hurt {
                            family: cell.family,
                            mover: cell.mover,
                            bearing: cell.bearing,
                            done: 0,
                            hurt: 0,
                            worst: None,
                            left_out: false,
                        });
                        let end = directions.len() - 1;
                        &mut directions[end]
                    }
                };
                at.done += 1;
                if result.hurt() == Some(true) {
                    at.hurt += 1;
                    at.worst = at.worst.max(pain);
                }
                at.left_out = rung == Rung::LeftOut && Some((session.on, session.nth)) == last;
            }
        }
        directions.sort_by_key(|one| (one.family, one.mover, one.bearing));
        let mornings = || sorted.iter().filter_map(|one| one.morning);
        Self {
            from: days.first().copied(),
            to: days.last().copied(),
            sessions: done.len(),
            days: days.len(),
            asked: asked.cloned(),
            directions,
            mornings: mornings().count(),
            worse_mornings: mornings().filter(|one| matches!(one, Morning::Worse(_))).count(),
            stopped: sorted.iter().filter_map(|one| Some((one.on, one.stopped?))).collect(),
            unnamed_stops: Vec::new(),
            uncounted: sorted.iter().filter(|one| one.cells.is_empty() && one.stopped.is_none()).count(),
        }
    }

    /// The same with so many further entries that are no session at all.
    #[must_use]
    pub fn with_uncounted(self, further: usize) -> Self {
        Self { uncounted: self.uncounted + further, ..self }
    }

    /// The same with stop signs of which nobody said which.
    #[must_use]
    pub fn with_unnamed_stops(self, unnamed_stops: &[Date]) -> Self {
        Self { unnamed_stops: unnamed_stops.to_vec(), ..self }
    }
}

/// The sentences about practice.
pub(super) fn rows(practised: Option<&Practised>, say: Say) -> Vec<Row> {
    let words = &say.w.practice;
    let Some(log) = practised else { return vec![Row::keep(&words.none)] };
    // A sign is told even where it came before anything was done.
    let mut rows = stopped(log, say);
    let counted =
        |of: &crate::language::Counted, count: usize| fill(of.of(count), &[("count", &count.to_string())]);
    let uncounted = (log.uncounted > 0).then(|| counted(&words.uncounted, log.uncounted));
    let (Some(from), Some(to)) = (log.from, log.to) else {
        rows.push(Row::keep(uncounted.unwrap_or_else(|| words.nothing_done.clone())));
        return rows;
    };
    let mut done = vec![fill(
        &words.done,
        &[
            ("from", &say.date(from)),
            ("to", &say.date(to)),
            ("sessions", &counted(&words.sessions, log.sessions)),
            ("days", &counted(&words.days, log.days)),
        ],
    )];
    match &log.asked {
        Some(asked) => {
            let a_day = usize::from(asked.a_day);
            done.push(fill(
                words.asked.of(a_day),
                &[
                    ("count", &a_day.to_string()),
                    ("from", &say.date(asked.from)),
                    ("until", &say.date(asked.until)),
                ],
            ));
        }
        None => done.push(words.asked_unknown.clone()),
    }
    done.extend(uncounted);
    done.push(words.not_logged.clone());
    rows.push(Row::keep(done.join(" ")));
    let mut hurt: Vec<&Hurt> = log.directions.iter().filter(|one| one.hurt > 0).collect();
    hurt.sort_by_key(|one| (std::cmp::Reverse(one.hurt), std::cmp::Reverse(one.worst)));
    if hurt.is_empty() {
        rows.push(Row::keep(&words.painless));
    }
    for (place, one) in (0_u8..).zip(&hurt) {
        let from = one.family.named_from(one.mover);
        let mut direction = say.direction(one.bearing.named_from(from));
        if from != one.mover {
            direction = format!("{direction} ({})", say.w.names.named_from.of(from));
        }
        let worst = match one.worst {
            Some(pain) => fill(&words.worst, &[("number", &pain.to_string())]),
            None => words.worst_unknown.clone(),
        };
        rows.push(Row::ranked(
            place.min(5),
            fill(
                words.hurt.of(one.mover),
                &[
                    ("family", &say.family(one.family)),
                    ("direction", &direction),
                    ("hurt", &one.hurt.to_string()),
                    ("done", &one.done.to_string()),
                    ("worst", &worst),
                ],
            ),
        ));
    }
    let quiet = log.directions.len() - hurt.len();
    if !hurt.is_empty() && quiet > 0 {
        rows.push(Row::ranked(4, counted(&words.quiet, quiet)));
    }
    rows.extend(left_out(log, say));
    rows.push(Row::ranked(
        3,
        match log.mornings {
            0 => words.mornings_unknown.clone(),
            many => fill(
                words.mornings.of(many),
                &[("count", &many.to_string()), ("worse", &log.worse_mornings.to_string())],
            ),
        },
    ));
    rows
}

/// Sessions that ended with a sign. What needed help the same day is never taken off a full page.
fn stopped(log: &Practised, say: Say) -> Vec<Row> {
    let one = |(on, sign): &(Date, StopSign)| {
        let pattern = say.w.practice.stopped.get(&key_of(sign)).cloned().unwrap_or_default();
        let rank = u8::from(!matches!(sign, StopSign::SeenToday | StopSign::Emergency));
        Row::ranked(rank, fill(&pattern, &[("date", &say.date(*on))]))
    };
    let unnamed = |on: &Date| {
        // Any sign may have been meant.
        Row::ranked(0, fill(&say.w.practice.stopped_unnamed, &[("date", &say.date(*on))]))
    };
    log.stopped.iter().map(one).chain(log.unnamed_stops.iter().map(unnamed)).collect()
}

/// Directions that were left out for pain in the last session.
fn left_out(log: &Practised, say: Say) -> Option<Row> {
    let mut groups: Vec<(Family, Side, Vec<Bearing>)> = Vec::new();
    for one in log.directions.iter().filter(|one| one.left_out) {
        match groups.iter_mut().find(|(family, mover, _)| (*family, *mover) == (one.family, one.mover)) {
            Some((_, _, bearings)) => bearings.push(one.bearing),
            None => groups.push((one.family, one.mover, vec![one.bearing])),
        }
    }
    let count: usize = groups.iter().map(|(_, _, bearings)| bearings.len()).sum();
    let what: Vec<String> = groups
        .iter()
        .map(|(family, mover, bearings)| {
            fill(
                say.w.question.opens_limb.of(*mover),
                &[
                    ("family", &small(&say.family(*family))),
                    ("directions", &say.ways(*family, *mover, bearings)),
                ],
            )
        })
        .collect();
    (count > 0).then(|| Row::keep(fill(say.w.practice.left_out.of(count), &[("what", &say.join(&what))])))
}
