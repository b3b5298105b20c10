//! What takes long, computed once for each version of the findings and day, in turns, beside the pages.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use app::{Asked, MotionCache, Outcome, PersonToday, SpaceTable, TestsToday};
use clinic::{AccountId, RecordId, Standing};
use jiff::civil::Date;
use person::CaseFile;
use tokio::sync::{OnceCell, Semaphore};

use crate::fault::Fault;
use crate::person::{NextStep, NextStepAnswers};
use crate::turns::Turns;
use crate::watched::{Now, Stopped, Watched, waits_for};

/// How many distinct programmes are proposed at most.
const PROPOSALS: usize = 3;

/// The most cases that are kept.
const MOST: usize = 24;

/// The most bodies whose movements are kept: a survey of one is about 30 MB.
const BODIES: usize = 3;

/// Keeps what was computed.
pub(crate) struct Reckoner {
    all: Mutex<HashMap<(RecordId, Date), Kept>>,
    /// Movements of the bodies that were looked at last: a finding that changes neither body nor
    /// strength costs only the gates. The latest stands last.
    bodies: Mutex<Vec<Arc<MotionCache>>>,
    /// One survey uses every core, so one goes on at a time: pages are answered beside it.
    turns: Turns,
}

struct Kept {
    work: Arc<Work>,
    /// Rises with every use; the least used goes first.
    used: u64,
}

/// One result, computed once; and how far that is.
struct Cell<T> {
    value: OnceCell<Arc<T>>,
    now: Now,
}

impl<T> Default for Cell<T> {
    fn default() -> Self {
        Self { value: OnceCell::new(), now: Now::default() }
    }
}

/// Results that depend on more than case and day, by a name for all of it; the last few.
struct Latest<T>(Mutex<Vec<(String, Arc<T>)>>);

impl<T> Default for Latest<T> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<T> Latest<T> {
    /// So many are kept: a log that grows gives new names.
    const MOST: usize = 4;

    fn known(&self, name: &str) -> Option<Arc<T>> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.iter().find(|(known, _)| known == name).map(|(_, one)| one.clone())
    }

    fn or_put(&self, name: &str, new: T) -> Arc<T> {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, one)) = all.iter().find(|(known, _)| known == name) {
            return one.clone();
        }
        if all.len() >= Self::MOST {
            all.remove(0);
        }
        let new = Arc::new(new);
        all.push((name.to_owned(), new.clone()));
        new
    }
}

#[derive(Default)]
struct Work {
    outcome: Cell<Outcome>,
    space: Cell<SpaceTable>,
    asked: Cell<Asked>,
    tests: Cell<TestsToday>,
    next_steps: Latest<Cell<NextStep>>,
    answers: Latest<NextStepAnswers>,
    taken: Latest<Cell<app::Taken>>,
    movements: OnceCell<Arc<MotionCache>>,
}

/// One case on one day with the movements of its body that were computed before.
#[derive(Clone)]
pub(crate) struct Bench {
    pub(crate) case: Arc<CaseFile>,
    pub(crate) day: Date,
    pub(crate) movements: Arc<MotionCache>,
}

/// The reckoner for somebody: whoever was served longest ago comes first.
#[derive(Clone, Copy)]
pub(crate) struct Reckons<'a> {
    of: &'a Reckoner,
    who: AccountId,
}

impl Default for Reckoner {
    fn default() -> Self {
        Self { all: Mutex::default(), bodies: Mutex::default(), turns: Turns::new(1) }
    }
}

impl Reckoner {
    /// For somebody.
    pub(crate) fn by(&self, who: AccountId) -> Reckons<'_> {
        Reckons { of: self, who }
    }

    /// How many computations wait for their turn.
    pub(crate) fn waiting(&self) -> usize {
        self.turns.waiting()
    }

    fn work(&self, record: RecordId, day: Date) -> Arc<Work> {
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        let now = all.values().map(|kept| kept.used).max().unwrap_or(0) + 1;
        if !all.contains_key(&(record, day)) && all.len() >= MOST {
            let oldest = all.iter().min_by_key(|(_, kept)| kept.used).map(|(key, _)| *key);
            if let Some(oldest) = oldest {
                all.remove(&oldest);
            }
        }
        let kept = all.entry((record, day)).or_insert_with(|| Kept { work: Arc::default(), used: 0 });
        kept.used = now;
        kept.work.clone()
    }

    /// The movements that are kept for this case's body and strength; empty for one that is new.
    fn body(&self, case: &CaseFile, day: Date) -> Arc<MotionCache> {
        let person = PersonToday::of(case, day);
        let mut bodies = self.bodies.lock().unwrap_or_else(PoisonError::into_inner);
        let known = bodies.iter().position(|cache| cache.fits(&person));
        let cache = known.map_or_else(|| Arc::new(MotionCache::of(&person)), |at| bodies.remove(at));
        if bodies.len() >= BODIES {
            bodies.remove(0);
        }
        bodies.push(cache.clone());
        cache
    }

    fn of(&self, standing: &Standing) -> Option<(Arc<Work>, Arc<CaseFile>, Date)> {
        let (record, case) = (standing.case_record?, standing.case.clone()?);
        Some((self.work(record, standing.day), case, standing.day))
    }
}

impl Reckons<'_> {
    /// The plan of today's findings: a programme, an alert, or what is missing. None before anything
    /// was found.
    pub(crate) async fn plan(self, standing: &Standing) -> Result<Option<Arc<Outcome>>, Fault> {
        let Some((work, case, day)) = self.of.of(standing) else { return Ok(None) };
        let make = |reckoner: &Reckoner| {
            let cache = reckoner.body(&case, day);
            move |watch: &Watched| app::plan_watched(&case, day, (&cache, PROPOSALS), watch)
        };
        Ok(Some(self.once("the programme", &work.outcome, make).await?))
    }

    /// The movement space of today's findings.
    pub(crate) async fn space(self, standing: &Standing) -> Result<Option<Arc<SpaceTable>>, Fault> {
        let Some((work, case, day)) = self.of.of(standing) else { return Ok(None) };
        // A plan that was made surveyed the space already.
        if let Some(Outcome::Programme(plan)) = work.outcome.value.get().map(AsRef::as_ref)
            && work.space.value.get().is_none()
        {
            let table = Arc::new(app::space_table(&case, &plan.space, day));
            // Somebody may have set it meanwhile: the same table.
            let _ = work.space.value.set(table);
        }
        Ok(Some(self.surveyed(&work, case, day).await?))
    }

    /// The movement space of any version of somebody's findings, without a plan.
    pub(crate) async fn space_of(
        self,
        record: RecordId,
        case: Arc<CaseFile>,
        day: Date,
    ) -> Result<Arc<SpaceTable>, Fault> {
        let work = self.of.work(record, day);
        self.surveyed(&work, case, day).await
    }

    async fn surveyed(self, work: &Work, case: Arc<CaseFile>, day: Date) -> Result<Arc<SpaceTable>, Fault> {
        let make = |reckoner: &Reckoner| {
            let cache = reckoner.body(&case, day);
            move |watch: &Watched| {
                let person = PersonToday::of(&case, day);
                let space = app::survey_watched(&person, &cache, watch)?;
                Ok(app::space_table(&case, &space, day))
            }
        };
        self.once("the movement space", &work.space, make).await
    }

    /// The next best questions.
    pub(crate) async fn asked(self, standing: &Standing) -> Result<Option<Arc<Asked>>, Fault> {
        let Some((work, case, day)) = self.of.of(standing) else { return Ok(None) };
        let make = |_: &Reckoner| move |watch: &Watched| app::ask_watched(&case, day, watch);
        Ok(Some(self.once("what to ask next", &work.asked, make).await?))
    }

    /// The next best questions, if they were worked out before.
    pub(crate) fn asked_before(self, standing: &Standing) -> Option<Arc<Asked>> {
        let (work, ..) = self.of.of(standing)?;
        work.asked.value.get().cloned()
    }

    /// Which tests may be done today.
    pub(crate) async fn tests(self, standing: &Standing) -> Result<Option<Arc<TestsToday>>, Fault> {
        let Some((work, case, day)) = self.of.of(standing) else { return Ok(None) };
        let make = |_: &Reckoner| move |watch: &Watched| app::tests_watched(&case, day, watch);
        Ok(Some(self.once("which tests may be done", &work.tests, make).await?))
    }

    /// What the rules say of a log, if it was worked out before.
    pub(crate) fn next_step_before(self, standing: &Standing, name: &str) -> Option<Arc<NextStep>> {
        let (work, ..) = self.of.of(standing)?;
        work.next_steps.known(name)?.value.get().cloned()
    }

    /// What the rules say of a log; `name` is another for every log, programme and earlier visit.
    pub(crate) async fn next_step(
        self,
        standing: &Standing,
        name: &str,
        ask: impl FnOnce() -> NextStep + Send + 'static,
    ) -> Result<Option<Arc<NextStep>>, Fault> {
        let Some((work, ..)) = self.of.of(standing) else { return Ok(None) };
        let cell = work.next_steps.or_put(name, Cell::default());
        let make = |_: &Reckoner| move |_: &Watched| Ok(ask());
        Ok(Some(self.once("what the rules propose", &cell, make).await?))
    }

    /// Keeps answers until what comes of them is saved.
    pub(crate) fn remember(self, standing: &Standing, name: &str, answers: NextStepAnswers) {
        if let Some((work, ..)) = self.of.of(standing) {
            work.answers.or_put(name, answers);
        }
    }

    /// Answers that were kept.
    pub(crate) fn remembered(self, standing: &Standing, name: &str) -> Option<Arc<NextStepAnswers>> {
        let (work, ..) = self.of.of(standing)?;
        work.answers.known(name)
    }

    /// What answers make of case and programme.
    pub(crate) async fn taken(
        self,
        standing: &Standing,
        name: &str,
        make: impl FnOnce(app::Progress<'_>) -> app::Taken + Send + 'static,
    ) -> Result<Option<Arc<app::Taken>>, Fault> {
        let Some((work, ..)) = self.of.of(standing) else { return Ok(None) };
        let cell = work.taken.or_put(name, Cell::default());
        let make = |_: &Reckoner| {
            move |watch: &Watched| {
                Ok(make(&|part| {
                    // It is finished even when nobody waits any more: the engine does not stop here.
                    let _ = app::Watch::on(watch, part);
                }))
            }
        };
        Ok(Some(self.once("the new programme", &cell, make).await?))
    }

    /// What computes single movements of this person. None before anything was found.
    pub(crate) async fn bench(self, standing: &Standing) -> Result<Option<Bench>, Fault> {
        let Some((work, case, day)) = self.of.of(standing) else { return Ok(None) };
        let of = case.clone();
        let make = || blocking(move || Arc::new(MotionCache::of(&PersonToday::of(&of, day))));
        let movements = work.movements.get_or_try_init(make).await?.clone();
        Ok(Some(Bench { case, day, movements }))
    }

    /// A result, computed by the first who asks; the others wait for it. When all of them have left, the
    /// computation stops.
    async fn once<T: Send + Sync + 'static, W>(
        self,
        what: &'static str,
        cell: &Cell<T>,
        make: impl FnOnce(&Reckoner) -> W,
    ) -> Result<Arc<T>, Fault>
    where
        W: FnOnce(&Watched) -> Result<T, Stopped> + Send + 'static,
    {
        waits_for(what, &cell.now);
        let worked_out = async {
            let waited = cell.now.begin();
            let turn = self.of.turns.turn(self.who).await;
            let (watched, work) = (waited.watched.clone(), make(self.of));
            watched.begins();
            let made = tokio::task::spawn_blocking(move || {
                let made = work(&watched);
                drop(turn);
                made
            });
            match made.await {
                Ok(Ok(made)) => Ok(Arc::new(made)),
                Ok(Err(Stopped)) => Err(Fault::Broken("it was stopped".to_owned())),
                Err(error) => Err(Fault::Broken(error.to_string())),
            }
        };
        Ok(cell.value.get_or_try_init(|| worked_out).await?.clone())
    }
}

/// Single movements that are computed at once, one for each core: a hand waits for each.
static AT_ONCE: std::sync::LazyLock<Semaphore> =
    std::sync::LazyLock::new(|| Semaphore::new(std::thread::available_parallelism().map_or(1, usize::from)));

/// Runs what takes a moment on a thread of its own, as many at once as there are cores.
pub(crate) async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Fault> {
    let broken = |error: String| Fault::Broken(error);
    let permit = AT_ONCE.acquire().await.map_err(|error| broken(error.to_string()))?;
    let done = tokio::task::spawn_blocking(move || {
        let made = work();
        drop(permit);
        made
    });
    done.await.map_err(|error| broken(error.to_string()))
}
