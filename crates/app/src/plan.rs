//! From a case file to a programme, an alert, or what is missing for one.

use jiff::ToSpan;
use jiff::civil::Date;
use person::CaseFile;
use programme::{Conflict, NoProgramme, Programme, Proof, Proposal};
use safety::{Alert, Engine, Movements, Refusal, Space, allowed_space};

use crate::candidates::candidates;
use crate::held::held;
use crate::progress::Shown;
use crate::survey::survey_by;
use crate::{MotionCache, Part, PersonToday, Progress, Watch, tasks};

/// What came out of planning one case.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// A programme, with the space it was chosen from.
    Programme(Box<Plan>),
    /// A red flag: this alert and nothing else may be shown.
    Alert(Alert),
    /// Nothing can be offered; says what is missing.
    NoProgramme(NoProgramme),
}

/// A programme with the space it was chosen from.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The programme.
    pub programme: Programme,
    /// What is traded by taking it instead of the others.
    pub trades: String,
    /// The next best distinct programmes, where they were asked for.
    pub others: Vec<Proposal>,
    /// Whether it is proven that none is better.
    pub proof: Proof,
    /// Which wishes could be dropped, when no programme serves all of them.
    pub conflict: Option<Conflict>,
    /// The space.
    pub space: Space,
}

/// Arrows 1 to 7 for one case on one day.
#[must_use]
pub fn plan_case(case: &CaseFile, today: Date, progress: Progress<'_>) -> Outcome {
    let person = PersonToday::of(case, today);
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let Ok(outcome) = plan_by(&person, &engine, 1, &Shown(progress));
    outcome
}

/// As [`plan_case`], with up to `wanted` distinct programmes, three at most.
#[must_use]
pub fn plan_case_with_others(case: &CaseFile, today: Date, wanted: usize, progress: Progress<'_>) -> Outcome {
    let person = PersonToday::of(case, today);
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let Ok(outcome) = plan_by(&person, &engine, wanted, &Shown(progress));
    outcome
}

/// As [`plan_case_with_others`], for somebody who may stop it, with movements that were computed before
/// taken from the cache as in [`crate::survey_again`]; what was computed until a stop stays in it.
///
/// # Errors
/// It was stopped.
pub fn plan_watched<W: Watch>(
    case: &CaseFile,
    today: Date,
    (cache, wanted): (&MotionCache, usize),
    watch: &W,
) -> Result<Outcome, W::Stop> {
    let person = PersonToday::of(case, today);
    if cache.fits(&person) {
        return plan_by(&person, cache, wanted, watch);
    }
    plan_by(&person, &Engine { body: &person.body, capacity: &person.capacity }, wanted, watch)
}

/// As [`plan_case`], with a cache of computed movements: a finding that changes neither body nor
/// strength is planned again without computing postures that are known. The same programme, to the
/// last digit. A cache of another body is replaced.
#[must_use]
pub fn plan_case_again(
    case: &CaseFile,
    today: Date,
    cache: &mut MotionCache,
    progress: Progress<'_>,
) -> Outcome {
    let person = PersonToday::of(case, today);
    if !cache.fits(&person) {
        *cache = MotionCache::of(&person);
    }
    let Ok(outcome) = plan_by(&person, &*cache, 1, &Shown(progress));
    outcome
}

fn plan_by<W: Watch>(
    person: &PersonToday<'_>,
    movements: &(impl Movements + Sync),
    wanted: usize,
    watch: &W,
) -> Result<Outcome, W::Stop> {
    let case = person.case;
    if let Some(alert) = person.allowed.alert() {
        return Ok(Outcome::Alert(alert.clone()));
    }
    let space = survey_by(person, movements, watch)?;
    let limits = person.limits();
    let (found, dropped) = candidates(person, movements, &space, &limits, watch)?;
    let tasks = tasks::asked(person, &case.wishes.goals);
    let found = tasks::with_profiles(person, &tasks, found);
    watch.on(Part::Choice)?;
    let held = held(person, movements, &space, &limits);
    Ok(match programme::propose_around(&found, &held, (&case.wishes, &tasks), &limits, wanted) {
        Ok(offer) => {
            let mut proposals: Vec<Proposal> = offer.programmes;
            for proposal in &mut proposals {
                proposal.programme.dropped.extend(dropped.iter().cloned());
                if let Some((last, why)) = last_day(case, person, &proposal.programme) {
                    proposal.programme = proposal.programme.clone().not_beyond(last, &why);
                }
            }
            let others = proposals.split_off(1);
            let Proposal { programme, trades, .. } = proposals.swap_remove(0);
            let (proof, conflict) = (offer.proof, offer.conflict);
            Outcome::Programme(Box::new(Plan { programme, trades, others, proof, conflict, space }))
        }
        Err(mut none) => {
            none.missing.extend(
                person
                    .allowed
                    .closed()
                    .iter()
                    .map(|refusal| format!("{} It opens when {}.", refusal.reason, refusal.opens_when)),
            );
            if person.allowed.closed().is_empty() && found.is_empty() {
                none.missing.extend(most_frequent(&space));
            }
            none.missing.extend(dropped.into_iter().take(3).map(|d| d.reason));
            Outcome::NoProgramme(none)
        }
    })
}

/// What would open most rays, the most frequent first; three at most.
fn most_frequent(space: &Space) -> Vec<String> {
    let mut counted: Vec<(usize, String)> = Vec::new();
    for refusal in space.rays.iter().filter_map(|ray| ray.verdict.reasons().first()) {
        let line = format!("{}: opens when {}", refusal.rule, refusal.opens_when);
        match counted.iter_mut().find(|(_, known)| *known == line) {
            Some((count, _)) => *count += 1,
            None => counted.push((1, line)),
        }
    }
    counted.sort_by_key(|(count, _)| std::cmp::Reverse(*count));
    counted
        .into_iter()
        .take(3)
        .map(|(count, line)| format!("{count} of {} rays are closed by {line}.", space.rays.len()))
        .collect()
}

/// The last day from today on before the one on which some movement of the programme would no longer be
/// permitted, and why; `None` when all of them stay permitted as long as the programme runs.
///
/// Each day is judged with the findings as they are: those that grow too old count as not
/// assessed, and orders end.
pub(crate) fn last_day(
    case: &CaseFile,
    person: &PersonToday<'_>,
    programme: &Programme,
) -> Option<(Date, String)> {
    let mut last = person.today;
    let movements = programme.exercises.iter().flat_map(programme::Exercise::movements);
    let computed: Vec<_> = movements
        .map(|movement| (movement, biomech::moments(&person.body, movement.permitted.motion())))
        .collect();
    while last < programme.use_until {
        let next = last.checked_add(1.days()).ok()?;
        let allowed = allowed_space(&case.findings, &person.body, next);
        let refused = computed.iter().find_map(|(movement, moments)| {
            let motion = movement.permitted.motion();
            allowed
                .screen(movement.spec().clone())
                .and_then(|screened| allowed.permit(screened, motion, moments, movement.demands(), next))
                .err()
        });
        if let Some(by) = refused {
            return Some((last, ends(&by)));
        }
        last = next;
    }
    None
}

/// What would open again what closes that day.
fn ends(by: &[Refusal]) -> String {
    by.first().map_or_else(|| "its movements are permitted".to_owned(), |refusal| refusal.opens_when.clone())
}
