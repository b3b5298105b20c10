//! Surveys the space with what is at home, on as many cores as there are.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use anatomy::Side;
use movement::{Family, HandHeight, Place, StanceFoot, Support};
use programme::figures;
use quantity::Length;
use safety::{Layer, Ray, RayVerdict, Setup, Space, SurveyChoices, SurveyedRay, rays};

use crate::{Part, PersonToday, Progress};

const FREE: Setup = Setup { support: Support::None, place: None };

fn choices(person: &PersonToday<'_>, setups: Vec<Setup>) -> SurveyChoices {
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
    if person.allowed.alert().is_some() {
        return person.allowed.gather(Vec::new());
    }
    let mut found = in_two_ways(person, rays(&choices(person, vec![FREE])), progress);
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
    found.extend(in_two_ways(person, held, progress));
    person.allowed.gather(found)
}

/// Whether two rays differ only in what the hands hold and what the standing foot does.
fn same_way(a: &Ray, b: &Ray) -> bool {
    (a.family, a.mover, a.bearing, a.crossing, a.hand_height)
        == (b.family, b.mover, b.bearing, b.crossing, b.hand_height)
        && a.depth == b.depth
}

/// With the standing foot fixed first; turning on it only where that is closed.
fn in_two_ways(person: &PersonToday<'_>, rays: Vec<Ray>, progress: Progress<'_>) -> Vec<SurveyedRay> {
    let (first, second): (Vec<Ray>, Vec<Ray>) =
        rays.into_iter().partition(|ray| ray.stance_foot == StanceFoot::Fixed);
    let mut found = walk(person, first, progress);
    let fixed_is_open = |ray: &Ray| {
        found.iter().any(|fixed| {
            same_way(&fixed.ray, ray) && fixed.ray.place == ray.place && fixed.verdict.to().is_some()
        })
    };
    let second = second.into_iter().filter(|ray| !fixed_is_open(ray)).collect();
    found.extend(walk(person, second, progress));
    found
}

/// Surveys rays, each on its own; the order of the results is the order of the rays.
fn walk(person: &PersonToday<'_>, rays: Vec<Ray>, progress: Progress<'_>) -> Vec<SurveyedRay> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from).min(rays.len().max(1));
    let of = rays.len();
    let next = AtomicUsize::new(0);
    let done = AtomicUsize::new(0);
    let results: Mutex<Vec<(usize, SurveyedRay)>> = Mutex::new(Vec::with_capacity(of));
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    let Some(ray) = rays.get(index) else { break };
                    let result = person.allowed.survey_ray(&person.body, &person.capacity, ray.clone());
                    results.lock().unwrap_or_else(PoisonError::into_inner).push((index, result));
                    progress(Part::Survey { done: done.fetch_add(1, Ordering::Relaxed) + 1, of });
                }
            });
        }
    });
    let mut results = results.into_inner().unwrap_or_else(PoisonError::into_inner);
    results.sort_by_key(|(index, _)| *index);
    results.into_iter().map(|(_, result)| result).collect()
}
