//! Surveys the space with what is at home, on as many cores as there are.

use std::convert::Infallible;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use anatomy::Side;
use movement::{Family, HandHeight, Place, StanceFoot, Support};
use programme::figures;
use quantity::Length;
use safety::{Engine, Layer, Movements, Ray, RayVerdict, Setup, Space, SurveyChoices, SurveyedRay, rays};

use crate::progress::Shown;
use crate::{MotionCache, Part, PersonToday, Progress, Watch};

pub(crate) const FREE: Setup = Setup { support: Support::None, place: None };

pub(crate) fn choices(person: &PersonToday<'_>, setups: Vec<Setup>) -> SurveyChoices {
    let leg = Side::BOTH.into_iter().map(|side| person.body.leg_length(side)).reduce(Length::min);
    let leg = leg.unwrap_or(Length::ZERO);
    SurveyChoices {
        families: Family::GROUNDED.to_vec(),
        setups,
        // Whole centimetres, because a therapist reads and types them.
        depths: figures()
            .lunge_depths
            .iter()
            .map(|share| Length::cm((leg.in_cm() * share).round()))
            .collect(),
        hand_heights: HandHeight::ALL.to_vec(),
        pivoting: true,
    }
}

/// The space of a person today. Every family, limb and direction is surveyed with free hands;
/// where that is closed and hands could open it, with both hands on the support at home, in each of
/// its usual places. A crossing movement keeps the standing foot flat and facing front; turning on it
/// is surveyed only where that is closed, and is the therapist's to choose.
#[must_use]
pub fn survey(person: &PersonToday<'_>, progress: Progress<'_>) -> Space {
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let Ok(space) = survey_by(person, &engine, &Shown(progress));
    space
}

/// As [`survey`], with movements that were computed before taken from the cache. The same space, to
/// the last digit: the cache is asked for exactly what would be computed, and a cache of another
/// body or strength is not used.
#[must_use]
pub fn survey_again(person: &PersonToday<'_>, cache: &MotionCache, progress: Progress<'_>) -> Space {
    let Ok(space) = survey_watched(person, cache, &Shown(progress));
    space
}

/// As [`survey_again`], for somebody who may stop it. What was computed until then stays in the cache.
///
/// # Errors
/// It was stopped.
pub fn survey_watched<W: Watch>(
    person: &PersonToday<'_>,
    cache: &MotionCache,
    watch: &W,
) -> Result<Space, W::Stop> {
    if cache.fits(person) {
        survey_by(person, cache, watch)
    } else {
        survey_by(person, &Engine { body: &person.body, capacity: &person.capacity }, watch)
    }
}

pub(crate) fn survey_by<W: Watch>(
    person: &PersonToday<'_>,
    movements: &(impl Movements + Sync),
    watch: &W,
) -> Result<Space, W::Stop> {
    if person.allowed.alert().is_some() {
        return Ok(person.allowed.gather(Vec::new()));
    }
    let mut found = in_two_ways(person, movements, rays(&choices(person, vec![FREE])), watch)?;
    let stature = person.case.person.body.stature();
    let setups: Vec<Setup> = person
        .limits()
        .supports
        .iter()
        .take(1)
        .flat_map(|kind| Place::usual(*kind, stature))
        .map(|place| Setup { support: Support::BothHands, place: Some(place) })
        .collect();
    // A hand that goes out cannot hold; where the body itself ends, holding does not help.
    let hands_may_open = |ray: &Ray| {
        ray.family != Family::BendAndReach
            && found.iter().filter(|free| same_way(&free.ray, ray)).all(|free| match &free.verdict {
                RayVerdict::Closed { by } => by.iter().any(|refusal| refusal.layer != Layer::Body),
                RayVerdict::Open { .. } | RayVerdict::Limited { .. } => false,
            })
    };
    let held = rays(&choices(person, setups)).into_iter().filter(hands_may_open).collect();
    found.extend(in_two_ways(person, movements, held, watch)?);
    Ok(person.allowed.gather(found))
}

/// Whether two rays differ only in what the hands hold and what the standing foot does.
fn same_way(a: &Ray, b: &Ray) -> bool {
    (a.family, a.mover, a.bearing, a.crossing, a.hand_height)
        == (b.family, b.mover, b.bearing, b.crossing, b.hand_height)
        && a.depth == b.depth
}

/// With the standing foot fixed first; turning on it only where that is closed.
fn in_two_ways<W: Watch>(
    person: &PersonToday<'_>,
    movements: &(impl Movements + Sync),
    rays: Vec<Ray>,
    watch: &W,
) -> Result<Vec<SurveyedRay>, W::Stop> {
    let (first, second): (Vec<Ray>, Vec<Ray>) =
        rays.into_iter().partition(|ray| ray.stance_foot == StanceFoot::Fixed);
    let mut found = walk(person, movements, first, watch)?;
    let fixed_is_open = |ray: &Ray| {
        found.iter().any(|fixed| {
            same_way(&fixed.ray, ray) && fixed.ray.place == ray.place && fixed.verdict.to().is_some()
        })
    };
    let second = second.into_iter().filter(|ray| !fixed_is_open(ray)).collect();
    found.extend(walk(person, movements, second, watch)?);
    Ok(found)
}

/// Surveys rays, each on its own; the order of the results is the order of the rays.
fn walk<W: Watch>(
    person: &PersonToday<'_>,
    movements: &(impl Movements + Sync),
    rays: Vec<Ray>,
    watch: &W,
) -> Result<Vec<SurveyedRay>, W::Stop> {
    let of = rays.len();
    let done = AtomicUsize::new(0);
    try_on_all_cores(&rays, |ray| {
        let leg = person.body.leg_length(ray.mover);
        let result = person.allowed.survey_ray_by(leg, movements, ray.clone());
        watch.on(Part::Survey { done: done.fetch_add(1, Ordering::Relaxed) + 1, of })?;
        Ok(result)
    })
}

/// Does the same to each, on as many cores as there are; the order of the results is that of the
/// inputs.
pub(crate) fn on_all_cores<T: Sync, R: Send>(of: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let Ok(results) = try_on_all_cores(of, |one| Ok::<R, Infallible>(work(one)));
    results
}

/// As [`on_all_cores`], until the first that fails: the others end after the one they are at.
pub(crate) fn try_on_all_cores<T: Sync, R: Send, E: Send>(
    of: &[T],
    work: impl Fn(&T) -> Result<R, E> + Sync,
) -> Result<Vec<R>, E> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from).min(of.len().max(1));
    let next = AtomicUsize::new(0);
    let results: Mutex<Vec<(usize, R)>> = Mutex::new(Vec::with_capacity(of.len()));
    let failed: Mutex<Option<E>> = Mutex::new(None);
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    let Some(one) = of.get(index) else { break };
                    match work(one) {
                        Ok(result) => {
                            results.lock().unwrap_or_else(PoisonError::into_inner).push((index, result));
                        }
                        Err(why) => {
                            next.store(of.len(), Ordering::Relaxed);
                            failed.lock().unwrap_or_else(PoisonError::into_inner).get_or_insert(why);
                        }
                    }
                }
            });
        }
    });
    if let Some(why) = failed.into_inner().unwrap_or_else(PoisonError::into_inner) {
        return Err(why);
    }
    let mut results = results.into_inner().unwrap_or_else(PoisonError::into_inner);
    results.sort_by_key(|(index, _)| *index);
    Ok(results.into_iter().map(|(_, result)| result).collect())
}
