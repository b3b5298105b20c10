//! What takes long, computed once for each version of the findings and day, off the threads that answer.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use app::{Asked, MotionCache, Outcome, PersonToday, SpaceTable, TestsToday};
use clinic::{RecordId, Standing};
use jiff::civil::Date;
use person::CaseFile;
use tokio::sync::OnceCell;

use crate::fault::Fault;

/// How many distinct programmes are proposed at most.
const PROPOSALS: usize = 3;

/// The most cases that are kept.
const MOST: usize = 24;

/// The most bodies whose movements are kept: a survey of one is about 30 MB.
const BODIES: usize = 3;

/// Keeps what was computed.
#[derive(Default)]
pub(crate) struct Reckoner {
    all: Mutex<HashMap<(RecordId, Date), Kept>>,
    /// Movements of the bodies that were looked at last: a finding that changes neither body nor
    /// strength costs only the gates. The latest stands last.
    bodies: Mutex<Vec<Arc<MotionCache>>>,
}

struct Kept {
    work: Arc<Work>,
    /// Rises with every use; the least used goes first.
    used: u64,
}

#[derive(Default)]
struct Work {
    outcome: OnceCell<Arc<Outcome>>,
    space: OnceCell<Arc<SpaceTable>>,
    asked: OnceCell<Arc<Asked>>,
    tests: OnceCell<Arc<TestsToday>>,
    movements: OnceCell<Arc<MotionCache>>,
}

/// One case on one day with the movements of its body that were computed before.
#[derive(Clone)]
pub(crate) struct Bench {
    pub(crate) case: Arc<CaseFile>,
    pub(crate) day: Date,
    pub(crate) movements: Arc<MotionCache>,
}

impl Reckoner {
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

    /// The plan of today's findings: a programme, an alert, or what is missing. None before anything
    /// was found.
    pub(crate) async fn plan(&self, standing: &Standing) -> Result<Option<Arc<Outcome>>, Fault> {
        let Some((work, case, day)) = self.of(standing) else { return Ok(None) };
        let make =
            || blocking(move || Arc::new(app::plan_case_with_others(&case, day, PROPOSALS, &app::silent)));
        Ok(Some(work.outcome.get_or_try_init(make).await?.clone()))
    }

    /// The movement space of today's findings.
    pub(crate) async fn space(&self, standing: &Standing) -> Result<Option<Arc<SpaceTable>>, Fault> {
        let Some((work, case, day)) = self.of(standing) else { return Ok(None) };
        // A plan that was made surveyed the space already; without one, the space alone is quicker.
        let planned = work.outcome.get().cloned();
        let cache = self.body(&case, day);
        let make = || {
            blocking(move || {
                Arc::new(match planned.as_deref() {
                    Some(Outcome::Programme(plan)) => app::space_table(&case, &plan.space, day),
                    _ => surveyed(&case, day, &cache),
                })
            })
        };
        Ok(Some(work.space.get_or_try_init(make).await?.clone()))
    }

    /// The movement space of any version of somebody's findings, without a plan.
    pub(crate) async fn space_of(
        &self,
        record: RecordId,
        case: Arc<CaseFile>,
        day: Date,
    ) -> Result<Arc<SpaceTable>, Fault> {
        let work = self.work(record, day);
        let cache = self.body(&case, day);
        let make = || blocking(move || Arc::new(surveyed(&case, day, &cache)));
        Ok(work.space.get_or_try_init(make).await?.clone())
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

    /// The next best questions.
    pub(crate) async fn asked(&self, standing: &Standing) -> Result<Option<Arc<Asked>>, Fault> {
        let Some((work, case, day)) = self.of(standing) else { return Ok(None) };
        let make = || blocking(move || Arc::new(app::ask_case(&case, day)));
        Ok(Some(work.asked.get_or_try_init(make).await?.clone()))
    }

    /// Which tests may be done today.
    pub(crate) async fn tests(&self, standing: &Standing) -> Result<Option<Arc<TestsToday>>, Fault> {
        let Some((work, case, day)) = self.of(standing) else { return Ok(None) };
        let make = || blocking(move || Arc::new(app::tests_today(&case, day, &app::silent)));
        Ok(Some(work.tests.get_or_try_init(make).await?.clone()))
    }

    /// What computes single movements of this person. None before anything was found.
    pub(crate) async fn bench(&self, standing: &Standing) -> Result<Option<Bench>, Fault> {
        let Some((work, case, day)) = self.of(standing) else { return Ok(None) };
        let of = case.clone();
        let make = || blocking(move || Arc::new(MotionCache::of(&PersonToday::of(&of, day))));
        let movements = work.movements.get_or_try_init(make).await?.clone();
        Ok(Some(Bench { case, day, movements }))
    }

    fn of(&self, standing: &Standing) -> Option<(Arc<Work>, Arc<CaseFile>, Date)> {
        let (record, case) = (standing.case_record?, standing.case.clone()?);
        Some((self.work(record, standing.day), case, standing.day))
    }
}

fn surveyed(case: &CaseFile, day: Date, cache: &MotionCache) -> SpaceTable {
    let person = PersonToday::of(case, day);
    app::space_table(case, &app::survey_again(&person, cache, &app::silent), day)
}

/// Runs what takes long on a thread of its own.
pub(crate) async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Fault> {
    tokio::task::spawn_blocking(work).await.map_err(|error| Fault::Broken(error.to_string()))
}
