//! The state machine of one direction of one limb: painless, shortened, supported, left out, and quiet again.

use jiff::civil::Date;
use safety::day_in_words as day;

use super::words::{self, reason};
use super::{CellStep, Log, Reason, Step, Whole, adapt_figures};
use crate::session::{Cell, Done, Morning, Rung, Session};

/// What a direction felt like in one session. The order is that of the rule: further down is worse.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Felt {
    /// No pain, or no more than is safe under monitored pain.
    Well,
    /// Within what was accepted: it stays where it is.
    Accepted,
    /// Within what was accepted, and the morning after is not there yet.
    Open,
    /// It counts as pain.
    Hurt,
}

/// What a pain of a day counts as.
pub(super) fn felt(log: &Log<'_>, on: Date, pain: Option<u8>) -> Felt {
    let Some(monitored) = log.monitored(on) else {
        return if pain == Some(0) { Felt::Well } else { Felt::Hurt };
    };
    match pain {
        // How the morning was is asked of the whole programme.
        Some(0) => Felt::Well,
        Some(pain) if pain <= monitored.up_to() => match morning(log, on) {
            Some(Morning::Worse(_)) => Felt::Hurt,
            _ if pain <= adapt_figures().safe_pain => Felt::Well,
            Some(Morning::Better | Morning::Same) => Felt::Accepted,
            // Nobody can have asked yet.
            None if log.age(on) <= 1 => Felt::Open,
            None => Felt::Hurt,
        },
        _ => Felt::Hurt,
    }
}

/// The worst that is known of the morning after a day.
pub(super) fn morning(log: &Log<'_>, on: Date) -> Option<Morning> {
    log.sessions.iter().filter(|session| session.on == on).filter_map(|session| session.morning).max()
}

/// The worst of a direction in a session; `None` where it was not done.
fn entry(session: &Session, cell: Cell) -> Option<(Option<u8>, Rung)> {
    let told = session.cells.iter().filter(|(of, _)| *of == cell);
    told.filter_map(|(_, done)| match done {
        Done::NotDone => None,
        Done::Done { pain, rung } => Some((*pain, *rung)),
    })
    // No number is worse than any.
    .reduce(|a, b| (a.0.zip(b.0).map(|(a, b)| a.max(b)), a.1.max(b.1)))
}

/// One rung back up; what is left out stays so.
fn before(rung: Rung) -> Rung {
    match rung {
        Rung::Whole | Rung::Shortened => Rung::Whole,
        Rung::Supported => Rung::Shortened,
        Rung::LeftOut => Rung::LeftOut,
    }
}

fn next(rung: Rung) -> Rung {
    match rung {
        Rung::Whole => Rung::Shortened,
        Rung::Shortened => Rung::Supported,
        Rung::Supported | Rung::LeftOut => Rung::LeftOut,
    }
}

/// What was told of a direction in one session.
struct Told {
    felt: Felt,
    pain: Option<u8>,
    rung: Rung,
}

/// Where one direction stands after the whole log.
#[derive(Debug)]
pub(super) struct State {
    pub(super) cell: Cell,
    carried: Rung,
    pub(super) rung: Rung,
    /// Where it stood after it hurt last.
    after_pain: Rung,
    done: usize,
    hurt: usize,
    last_hurt: Option<(Date, Option<u8>)>,
    quiet: usize,
    clean: Result<(), Reason>,
}

impl State {
    pub(super) fn of(log: &Log<'_>, cell: Cell) -> Self {
        let carried = log
            .around
            .carried
            .iter()
            .filter(|one| one.is_of(cell))
            .map(|one| one.rung)
            .max()
            .unwrap_or(Rung::Whole);
        let mut state = Self {
            cell,
            carried,
            rung: carried,
            after_pain: carried,
            done: 0,
            hurt: 0,
            last_hurt: None,
            quiet: 0,
            clean: Ok(()),
        };
        for day in log.sessions.chunk_by(|a, b| a.on == b.on) {
            let told = day.iter().filter_map(|session| entry(session, cell));
            let told: Vec<Told> =
                told.map(|(pain, rung)| Told { felt: felt(log, day[0].on, pain), pain, rung }).collect();
            state.day(day[0].on, &told);
        }
        // What was quiet was quiet where it stood: of a rung from before this programme one comes back, not two.
        state.rung = state.rung.max(before(carried));
        if state.hurt_lately(log).is_some() {
            // Quiet brings it back, but not within a week of the pain.
            state.rung = state.rung.max(state.after_pain);
        }
        state.clean = match state.hurt_lately(log) {
            Some(on) => {
                Err(reason("LOG-PAIN", format!("it hurt on {}, within the last week.", day(on)), "own"))
            }
            None => clean(log, cell),
        };
        state
    }

    /// All that was told of one day: what hurt on it is one time, and it is quiet only where all of it was.
    fn day(&mut self, on: Date, told: &[Told]) {
        self.done += told.len();
        let Some(lowest) = told.iter().map(|one| one.rung).max() else { return };
        let hurt = told.iter().filter(|one| one.felt == Felt::Hurt);
        let times = hurt.clone().count();
        if times > 0 {
            // Quiet in between changes nothing of a distance that was shortened before this programme.
            self.rung = next(self.rung.max(self.carried)).max(lowest);
            self.after_pain = self.rung;
            self.hurt += times;
            // No number is worse than any.
            let worst = hurt.map(|one| one.pain).reduce(|a, b| a.zip(b).map(|(a, b)| a.max(b)));
            self.last_hurt = Some((on, worst.flatten()));
            self.quiet = 0;
        } else if lowest > Rung::Whole || told.iter().any(|one| one.felt != Felt::Well) {
            self.rung = self.rung.max(lowest);
            self.quiet = 0;
        } else {
            for _ in told {
                self.quiet += 1;
                // It comes back the way it went, a rung for every so many quiet sessions.
                if self.quiet.is_multiple_of(adapt_figures().quiet_sessions) {
                    self.rung = before(self.rung);
                }
            }
        }
    }

    /// The day on which it hurt last, where that is near enough to say something about today.
    pub(super) fn hurt_lately(&self, log: &Log<'_>) -> Option<Date> {
        self.last_hurt.map(|(on, _)| on).filter(|on| log.is_recent(*on))
    }

    /// Whether what was logged of this programme asks for less of this direction.
    pub(super) fn is_reduced(&self) -> bool {
        self.rung > self.carried
    }

    /// What to do with it, where the whole programme may do this much.
    pub(super) fn step(self, whole: Whole) -> CellStep {
        let name = words::sentence(&words::cell_words(self.cell));
        let quiet = self.rung < self.carried && self.carried != Rung::LeftOut;
        // To take a note out is a step up: the way is open again further, and without hands.
        let quiet_again = quiet && whole == Whole::Free;
        let mut reasons = Vec::new();
        let step = match self.rung {
            Rung::LeftOut => Step::LeaveOut,
            Rung::Supported if self.is_reduced() => Step::Halve,
            Rung::Shortened if self.is_reduced() => Step::Shorten,
            _ => Step::Hold,
        };
        if step < Step::Hold {
            reasons.push(self.why_less(step, &name));
        }
        if quiet_again {
            let sessions = adapt_figures().quiet_sessions;
            reasons.push(reason(
                "LOG-QUIET",
                format!("{name}: no pain in {sessions} sessions in a row; what hurt before may be taken out of the notes."),
                "own",
            ));
        }
        let step = match (step, &self.clean) {
            (Step::Hold, Ok(())) if whole == Whole::Free => {
                reasons.push(reason(
                    "LOG-CLEAN",
                    format!(
                        "{name}: painless, all done, mornings no worse and effort {} of 10 or less on the last {} days of practice.",
                        adapt_figures().effort_at_most,
                        adapt_figures().clean_days
                    ),
                    "acsm2009",
                ));
                Step::Progress
            }
            (Step::Hold, Ok(())) => {
                let words = format!("{name}: clean, and held because of the programme as a whole.");
                reasons.push(reason("LOG-HELD", words, "own"));
                Step::Hold
            }
            (Step::Hold, Err(why)) => {
                reasons.push(Reason { words: format!("{name}: {}", why.words), ..why.clone() });
                Step::Hold
            }
            (less, _) => less,
        };
        CellStep {
            cell: self.cell,
            step,
            rung: self.rung,
            done: self.done,
            hurt: self.hurt,
            quiet_again,
            reasons,
        }
    }

    fn why_less(&self, step: Step, name: &str) -> Reason {
        let rule = safety::pain_rule();
        let hurt = match self.last_hurt {
            Some((on, Some(pain))) => {
                format!("hurt in {}, last {pain} of 10 on {}", words::sessions(self.hurt), day(on))
            }
            Some((on, None)) => {
                format!("hurt in {}, last on {} without a number", words::sessions(self.hurt), day(on))
            }
            None => "was done with less than was asked".to_owned(),
        };
        let then = match step {
            Step::Shorten => format!("it goes {} of the way", words::factor(rule.first)),
            Step::Halve => {
                format!(
                    "it goes {} of the way it first went, slower, with both hands on a support",
                    words::factor(rule.second)
                )
            }
            _ => "it is left out".to_owned(),
        };
        let rung = match step {
            Step::Shorten => "LOG-PAIN-1",
            Step::Halve => "LOG-PAIN-2",
            _ => "LOG-PAIN-3",
        };
        reason(rung, format!("{name} {hurt}: {then}."), rule.source)
    }
}

/// Whether the last days of practice of this direction allow a step up, and what is in the way.
fn clean(log: &Log<'_>, cell: Cell) -> Result<(), Reason> {
    let figures = adapt_figures();
    let no = |rule, words: &str| Err(reason(rule, words.to_owned(), "own"));
    let practised = |session: &&&Session| {
        let of_it = |(of, done): &(Cell, Done)| of.exercise == cell.exercise && *done != Done::NotDone;
        session.cells.iter().any(of_it)
    };
    let mut days: Vec<Date> = log.sessions.iter().filter(practised).map(|session| session.on).collect();
    days.dedup();
    // The night after today is still to come: today must be as clean, and counts for nothing.
    let closed: Vec<Date> =
        days.iter().copied().filter(|day| *day < log.around.today || morning(log, *day).is_some()).collect();
    let Some(first) = closed.len().checked_sub(figures.clean_days).map(|at| closed[at]) else {
        return no("LOG-TOO-LITTLE", "too few days of practice for a step up yet.");
    };
    if !closed.last().is_some_and(|day| log.is_recent(*day)) {
        return no("LOG-OLD", "the last days of practice are too long ago for a step up.");
    }
    for session in log.sessions.iter().filter(|session| session.on >= first) {
        let on = session.on;
        if session.stopped.is_some() {
            return no("LOG-STOPPED", &format!("a session was ended early on {}.", day(on)));
        }
        match session.effort {
            Some(effort) if effort <= figures.effort_at_most => {}
            Some(effort) => return no("LOG-EFFORT", &format!("effort was {effort} of 10 on {}.", day(on))),
            None => return no("LOG-EFFORT", &format!("nobody said how hard it was on {}.", day(on))),
        }
        match morning(log, on) {
            Some(Morning::Better | Morning::Same) => {}
            Some(Morning::Worse(_)) => {
                return no("LOG-MORNING", &format!("the morning after {} was worse.", day(on)));
            }
            None if on == log.around.today => {}
            None => return no("LOG-MORNING", &format!("nobody said how the morning after {} was.", day(on))),
        }
    }
    for session in log.sessions.iter().filter(|session| session.on >= first).filter(|s| practised(s)) {
        let on = session.on;
        match entry(session, cell) {
            None => return no("LOG-NOT-DONE", &format!("it was not done on {}.", day(on))),
            Some((pain, _)) if felt(log, on, pain) != Felt::Well => {
                let pain = pain
                    .map_or_else(|| "pain without a number".to_owned(), |pain| format!("pain {pain} of 10"));
                return no("LOG-PAIN", &format!("{pain} on {}.", day(on)));
            }
            Some((_, rung)) if rung > Rung::Whole => {
                return no("LOG-REDUCED", &format!("it was done with less than was asked on {}.", day(on)));
            }
            Some(_) => {}
        }
    }
    Ok(())
}
