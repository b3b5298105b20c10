//! What the rules say of the log of the programme that was accepted last; worked out once for each log.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use app::{AcceptedProgramme, AdaptError, Adapted, Again, Earlier, MotionCache, NoLonger, Toward};
use clinic::{PracticeRecord, ProgrammeRecord, Since, Standing, Told};
use jiff::civil::Date;
use person::CaseFile;
use programme::Programme;
use progress::{Cell, Session};
use safety::Alert;

use crate::fault::Fault;
use crate::seat::Seat;

/// What the log means today.
pub(crate) enum NextStep {
    /// A red flag: the alert and nothing else.
    Alert(Alert),
    /// It cannot be said, and why.
    CannotSay(String),
    /// The rules spoke.
    Said(Arc<Said>),
}

/// What the rules said.
pub(crate) struct Said {
    /// The programme, as it is permitted today.
    pub(crate) programme: Programme,
    /// What of it is not permitted today.
    pub(crate) gone: Vec<NoLonger>,
    /// Directions that were told of and are not in it.
    pub(crate) elsewhere: usize,
    /// What tells of harm and of no session: it is asked about before anything goes up.
    pub(crate) told: Vec<Told>,
    /// What was told in words, which no rule reads.
    pub(crate) remarks: Vec<PracticeRecord>,
    /// What is proposed.
    pub(crate) adapted: Adapted,
}

impl Said {
    /// Whether it is not known which sign stopped.
    pub(super) fn stops_unasked(&self) -> bool {
        self.told.iter().any(|one| one.stop)
    }
}

/// What it is worked out of.
pub(super) struct Basis {
    pub(super) record: ProgrammeRecord,
    pub(super) since: Since,
    earlier: Earlier,
    /// The same log, programme and earlier visits have the same.
    pub(super) key: String,
    /// A student's programme that nobody has countersigned.
    pub(super) waits: bool,
}

/// Reads it. None before a programme was accepted.
pub(super) async fn basis(seat: &Seat, standing: &Standing) -> Result<Option<Basis>, Fault> {
    let Some(record) = standing.programme.clone() else { return Ok(None) };
    let person = standing.line.id;
    let since = seat.desk.since(person, record.for_day).await?;
    let earlier = seat.desk.earlier(person).await?;
    let waits = seat.desk.programme_waits(person).await?;
    let key = key(&record, &since, &earlier);
    Ok(Some(Basis { record, since, earlier, key, waits }))
}

/// Short, and another for anything that the rules look at; case and day are apart from it.
fn key(record: &ProgrammeRecord, since: &Since, earlier: &Earlier) -> String {
    let mut hash = DefaultHasher::new();
    (record.for_day.to_string(), record.use_until.to_string(), &record.exercises).hash(&mut hash);
    record.json["exercises"].to_string().hash(&mut hash);
    format!("{since:?} {earlier:?}").hash(&mut hash);
    format!("{:016x}", hash.finish())
}

/// Asks the rules. May take seconds.
pub(super) fn ask(case: &CaseFile, day: Date, basis: &Basis, movements: &MotionCache) -> NextStep {
    let record = &basis.record;
    let accepted = AcceptedProgramme {
        for_day: record.for_day,
        use_until: record.use_until,
        exercises: &record.exercises,
        json: &record.json,
    };
    let (programme, gone) = match app::programme_again(case, day, accepted, movements) {
        Again::Alert(alert) => return NextStep::Alert(alert),
        Again::Today { programme, no_longer, .. } => (*programme, no_longer),
    };
    if programme.exercises.is_empty() {
        let why = "Nothing of the programme is permitted today, so there is nothing to go on from.";
        return NextStep::CannotSay(why.to_owned());
    }
    let (sessions, elsewhere) = of_this(record, &gone, &programme, &basis.since.sessions);
    match app::adapt_programme(case, day, &programme, &sessions, &basis.earlier) {
        Ok(mut adapted) => {
            let Since { told, remarks, .. } = basis.since.clone();
            if !told.is_empty() {
                // What hurt, and where, nobody has said yet: nothing goes up and nothing comes back before.
                adapted.proposals.retain(|one| one.toward() == Toward::Less);
            }
            if let Some(code) = told.iter().find(|one| one.stop) {
                adapted.stop_first(case, code.record.on);
            }
            NextStep::Said(Arc::new(Said { programme, gone, elsewhere, told, remarks, adapted }))
        }
        Err(AdaptError::Alert(alert)) => NextStep::Alert(alert),
        Err(error) => NextStep::CannotSay(crate::fault::sentence(&error.to_string())),
    }
}

/// The sessions with only what this programme has today, and how many directions were left away. An exercise of which
/// nothing is permitted any more is absent, so those behind it move up one place.
fn of_this(
    record: &ProgrammeRecord,
    gone: &[NoLonger],
    programme: &Programme,
    sessions: &[Session],
) -> (Vec<Session>, usize) {
    let left = |place: usize, all: usize| gone.iter().filter(|one| one.exercise == place + 1).count() < all;
    let kept = record.exercises.iter().enumerate().filter(|(place, all)| left(*place, all.len()));
    let places: Vec<usize> = kept.map(|(place, _)| place + 1).collect();
    let asked = app::prescription_of(programme).cells;
    let mut elsewhere = 0;
    let sessions = sessions.iter().map(|session| {
        let mut session = session.clone();
        if session.on < record.for_day {
            return session;
        }
        let before = session.cells.len();
        session.cells = session
            .cells
            .into_iter()
            .filter_map(|(mut cell, done)| {
                let place = places.iter().position(|one| *one == usize::from(cell.exercise));
                cell.exercise = place.and_then(|place| u8::try_from(place + 1).ok()).unwrap_or_default();
                // After a change by hand the same direction may stand in another exercise.
                let moved = |one: &&Cell| Cell { exercise: cell.exercise, ..**one } == cell;
                let cell = asked.iter().find(|one| **one == cell).or_else(|| asked.iter().find(moved))?;
                Some((*cell, done))
            })
            .collect();
        elsewhere += before - session.cells.len();
        session
    });
    let sessions = sessions.collect();
    (sessions, elsewhere)
}

/// What the rules say today. None before anything was found.
pub(super) async fn next_step(
    seat: &Seat,
    standing: &Standing,
    basis: Arc<Basis>,
) -> Result<Option<Arc<NextStep>>, Fault> {
    let Some(bench) = seat.reckon().bench(standing).await? else { return Ok(None) };
    let key = basis.key.clone();
    seat.reckon()
        .next_step(standing, &key, move || ask(&bench.case, bench.day, &basis, &bench.movements))
        .await
}
