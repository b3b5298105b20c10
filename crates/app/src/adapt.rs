//! Arrow 9 with the day: what came home of a programme, what the rules propose, and the programme after it.
//!
//! `progress::adapt` says what each direction may do; here every proposal becomes a movement, asked of both gates
//! today. A therapist accepts, changes or declines each; [`taken`] makes case and programme of what was accepted.
//! What hurt is written into the findings, where the gates read it; a step back in level is an order with a date.

mod again;
mod back;
mod instead;
mod lapsed;
mod less;
mod logged;
mod more;
mod proposal;
mod taken;
mod text;

use anatomy::Side;
use jiff::ToSpan;
use jiff::civil::Date;
use movement::{Bearing, Family, MovementSpec};
use person::{Answer, CaseFile, Finding, OrderedLimit};
use programme::{Exercise, Programme};
use progress::{
    Adaptation, Carried, Circumstances, Cleared, Effusion, Monitored, Reason, Rung, Session, Shared,
    Swelling, Whole, WholeReason,
};
use quantity::Length;
use safety::{Alert, Irritability, day_in_words};
use serde::Serialize;

use crate::{Outcome, PersonToday, Progress, plan_case};

pub use instead::Instead;
pub use logged::{LOG_FORM, LogError, prescription_of, read_log};
pub use proposal::{Change, Proposal, Toward, Variable};
pub use taken::{Taken, taken};
pub use text::Held;

/// What is known beside case, programme and log: what the records hold of earlier visits.
#[derive(Clone, Debug, Default)]
pub struct Earlier {
    /// Swelling found at earlier visits; that of the case itself is added.
    pub effusion: Vec<Effusion>,
    /// The day of the last accepted step up.
    pub last_step_up: Option<Date>,
    /// Who cleared which stop signs.
    pub cleared: Option<Cleared>,
}

/// What came home, and what the rules propose today.
#[derive(Clone, Debug, Serialize)]
pub struct Adapted {
    /// The person.
    pub person: String,
    /// Whether the person is invented.
    pub invented: bool,
    /// The day.
    pub on: Date,
    /// What the rules said.
    pub adaptation: Adaptation,
    /// What is proposed, each for a therapist to answer; empty after a stop.
    pub proposals: Vec<Proposal>,
    /// What was looked for and is not possible today, with the reason.
    pub not_possible: Vec<String>,
    /// What of the programme is closed today only because a finding grew too old, with what to look at again.
    pub grown_old: Vec<String>,
    /// What the therapist may offer again, but not in this programme as it is, with what it waits for.
    pub waiting: Vec<String>,
    /// What the painful directions share.
    pub shared: Shared,
    /// Whom to call, after a stop: the lines of the clinic.
    pub call: Vec<String>,
}

/// Why a log cannot be adapted to.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AdaptError {
    /// A red flag: the alert and nothing else may be shown.
    #[error("{0}")]
    Alert(Alert),
    /// There was no programme whose log this could be.
    #[error("{0}")]
    NoProgramme(#[from] programme::NoProgramme),
    /// The log is not one of this programme, or cannot be read.
    #[error("{0}")]
    Log(#[from] LogError),
}

/// What the log of a case means today. The programme is the one planned for the day `from`.
///
/// # Errors
/// A red flag is present, there was no programme that day, or the log is of another programme.
pub fn adapt_case(
    case: &CaseFile,
    (from, today): (Date, Date),
    sessions: &[Session],
    progress: Progress<'_>,
) -> Result<Adapted, AdaptError> {
    let programme = match plan_case(case, from, progress) {
        Outcome::Programme(plan) => plan.programme,
        Outcome::NoProgramme(none) => return Err(AdaptError::NoProgramme(none)),
        Outcome::Alert(alert) => return Err(AdaptError::Alert(alert)),
    };
    adapt_programme(case, today, &programme, sessions, &Earlier::default())
}

/// What the log of a programme means today.
///
/// # Errors
/// A red flag is present today, or the log is of another programme.
pub fn adapt_programme(
    case: &CaseFile,
    today: Date,
    programme: &Programme,
    sessions: &[Session],
    earlier: &Earlier,
) -> Result<Adapted, AdaptError> {
    let person = PersonToday::of(case, today);
    if let Some(alert) = person.allowed.alert() {
        return Err(AdaptError::Alert(alert.clone()));
    }
    let asked = prescription_of(programme);
    logged::belongs(&asked, sessions)?;
    let monitored = monitored(case, today);
    let swelling = swelling(case, earlier);
    let carried = carried(&person, programme);
    let adaptation = progress::adapt(
        &asked,
        sessions,
        &Circumstances {
            today,
            monitored: monitored.as_ref(),
            irritability: Irritability::on(&case.findings, today),
            swelling: &swelling,
            carried: &carried,
            last_step_up: earlier.last_step_up,
            cleared: earlier.cleared.as_ref(),
            days_a_week: programme.exercises.iter().map(|one| one.days.most_a_week()).max().unwrap_or(1),
        },
    );
    let proposal::Proposed { proposals, not_possible, waiting } =
        proposal::proposals(&person, programme, &asked, sessions, &adaptation);
    let shared = match adaptation.whole {
        Whole::Stop => stopped_first(),
        _ => logged::shared_by(&person, programme, &adaptation),
    };
    let all = movements(programme).into_iter().map(|(_, _, spec)| spec).collect::<Vec<_>>();
    let grown_old = match adaptation.whole {
        Whole::Stop => Vec::new(),
        _ => lapsed::told(&person, programme.for_day, &all),
    };
    let call = if adaptation.whole == Whole::Stop { call(case) } else { Vec::new() };
    Ok(Adapted {
        person: case.person.name.clone(),
        invented: case.invented,
        on: today,
        adaptation,
        proposals,
        not_possible,
        grown_old,
        waiting,
        shared,
        call,
    })
}

/// What is said at once where a stop sign was told and nobody looked, or knows which it was.
pub const UNNAMED_SIGN: &str = "With chest pain, fainting, or breathlessness that does not pass, the emergency number \
    is called now; with a new hot or swollen calf, or a wound that leaks, the person is seen the same day.";

impl Adapted {
    /// Stops everything because somebody told on this day that a stop sign ended a session, and not which sign. Some
    /// signs stop everything, so this one does until somebody asked.
    pub fn stop_first(&mut self, case: &CaseFile, told: Date) {
        let words = format!(
            "A stop sign ended a session, up to {}, and nobody said which. Stop. Ask now which it was. {UNNAMED_SIGN}",
            day_in_words(told)
        );
        let reason = Reason { rule: "LOG-STOP-UNASKED", words, source: "own".to_owned() };
        if self.adaptation.whole != Whole::Stop {
            self.adaptation.whole = Whole::Stop;
            self.adaptation.reasons.clear();
        }
        (self.adaptation.cells, self.adaptation.offer_again) = Default::default();
        self.adaptation.reasons.push(WholeReason { means: Whole::Stop, reason });
        (self.proposals, self.not_possible, self.grown_old) = (Vec::new(), Vec::new(), Vec::new());
        (self.waiting, self.shared, self.call) = (Vec::new(), stopped_first(), call(case));
    }
}

fn stopped_first() -> Shared {
    Shared::CannotSay { why: "Everything is stopped first.".to_owned(), painful: 0, painless: 0 }
}

/// Every movement of a programme, in the order of its prescription, with the place of its exercise.
fn movements(programme: &Programme) -> Vec<(usize, &Exercise, &MovementSpec)> {
    let with_place = programme.exercises.iter().enumerate();
    with_place.flat_map(|(at, one)| one.movements().map(move |m| (at, one, m.spec()))).collect()
}

/// Pain that is accepted for this person today, no more than anybody may accept, since the first day from which as
/// much was accepted without a gap.
fn monitored(case: &CaseFile, today: Date) -> Option<Monitored> {
    let orders = &case.findings.orders;
    let accepted = safety::accepted_pain(orders, today)?;
    let order = orders
        .iter()
        .find(|order| order.limit == OrderedLimit::PainUpTo(accepted.up_to) && order.holds_on(today))?;
    let as_much =
        |on: &Date| safety::accepted_pain(orders, *on).is_some_and(|then| then.up_to >= accepted.up_to);
    let before = |on: &Date| on.checked_sub(1.day()).ok().filter(as_much);
    let since = std::iter::successors(Some(today), before).last()?;
    let why = match order.until {
        Some(until) => format!("an order in the findings, until {}", day_in_words(until)),
        None => "an order in the findings".to_owned(),
    };
    Monitored::by(&order.by, &why, since, accepted.up_to.min(progress::adapt_figures().most_pain)).ok()
}

fn swelling(case: &CaseFile, earlier: &Earlier) -> Swelling {
    let found = Side::BOTH.into_iter().filter_map(|side| match case.findings.effusion.get(side) {
        Finding::Found { value, on } => Some(Effusion { on: *on, side, grade: *value }),
        Finding::NotAssessed => None,
    });
    let mut found: Vec<Effusion> = found.chain(earlier.effusion.iter().copied()).collect();
    found.sort();
    found.dedup();
    let episodes = Side::BOTH.into_iter().filter_map(|side| {
        match case.findings.answers.get(Answer::SwellingEpisodes, side) {
            // What is counted one by one above is not counted again.
            Finding::Found { value, .. } if earlier.effusion.is_empty() => {
                let told = found
                    .iter()
                    .filter(|one| f64::from(one.grade) >= safety::swelling_rule().hold_from)
                    .count();
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count, whole and small
                let value = value.max(0.0).round() as usize;
                Some(value.saturating_sub(told))
            }
            _ => None,
        }
    });
    Swelling { episodes_before: episodes.max().unwrap_or(0), found }
}

/// Where directions stand by the findings, before this log: those of the programme, each as it is done, and every
/// direction with a note of pain, in the family that the note names.
fn carried(person: &PersonToday<'_>, programme: &Programme) -> Vec<Carried> {
    let rung = |spec: &MovementSpec| match person.allowed.times_hurt(spec) {
        _ if person.allowed.left_out_for_pain(spec).is_some() => Rung::LeftOut,
        0 => Rung::Whole,
        1 => Rung::Shortened,
        _ => Rung::Supported,
    };
    let done = movements(programme).into_iter().map(|(_, _, spec)| {
        let family = Some(spec.family);
        Carried { mover: spec.mover, bearing: spec.bearing, family, rung: rung(spec) }
    });
    let noted = person.allowed.hurt().iter().map(|note| {
        let (mover, bearing) = (note.mover, note.bearing);
        // Where no family is named, what is known of every one of them.
        let families = note.family.map_or_else(|| Family::ALL.to_vec(), |family| vec![family]);
        let rungs = families.into_iter().map(|family| rung(&plain(family, mover, bearing)));
        Carried { mover, bearing, family: note.family, rung: rungs.min().unwrap_or(Rung::Whole) }
    });
    let mut all: Vec<Carried> = done.chain(noted).filter(|one| one.rung > Rung::Whole).collect();
    all.sort();
    all.dedup();
    all
}

/// Any movement of a family that way: what a note of pain counts for asks for nothing else.
fn plain(family: Family, mover: Side, bearing: Bearing) -> MovementSpec {
    MovementSpec::bare(family, mover, bearing, family.ways(bearing, mover)[0], Length::ZERO)
}

/// Whom to call, from the lines of the clinic; a blank is said, never guessed.
fn call(case: &CaseFile) -> Vec<String> {
    let line = |who: &str, number: &Option<String>| match number {
        Some(number) => format!("{who}: {number}"),
        None => format!("{who}: no number in the case"),
    };
    vec![
        line("Emergency number", &case.clinic.emergency_number),
        line("Surgical team", &case.clinic.surgical_team_phone),
        line("Clinic", &case.clinic.phone),
    ]
}
