//! Surveys the space with what is at home, on as many cores as there are.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use movement::{Family, HandHeight, Place, Support};
use programme::figures;
use safety::{Ray, RayVerdict, Setup, Space, SurveyChoices, SurveyedRay, rays};

use crate::{Part, PersonToday, Progress};

const FREE: Setup = Setup { support: Support::None, place: None };

/// Every family with free hands.
fn free_choices(person: &PersonToday<'_>) -> SurveyChoices {
    let leg = anatomy::Side::BOTH
        .into_iter()
        .map(|side| person.body.leg_length(side))
        .reduce(quantity::Length::min)
        .unwrap_or(quantity::Length::ZERO);
    SurveyChoices {
        families: Family::ALL.to_vec(),
        setups: vec![FREE],
        // Whole centimetres, because a therapist reads and types them.
        depths: figures()
            .lunge_depths
            .iter()
            .map(|share| quantity::Length::cm((leg.in_cm() * share).round()))
            .collect(),
        hand_heights: HandHeight::ALL.to_vec(),
        pivoting: true,
    }
}

/// The families that are not wholly open with free hands, with both hands on each support at home.
#[must_use]
pub fn choices_at_home(person: &PersonToday<'_>, families: Vec<Family>) -> SurveyChoices {
    let stature = person.case.person.body.stature();
    let setups = person
        .limits()
        .supports
        .iter()
        .flat_map(|kind| Place::usual(*kind, stature))
        .map(|place| Setup { support: Support::BothHands, place: Some(place) })
        .collect();
    SurveyChoices { families, setups, ..free_choices(person) }
}

/// The space of a person today: every family, limb and direction with free hands, and, for
/// families in which some direction is not open so, with both hands on the supports at home.
#[must_use]
pub fn survey(person: &PersonToday<'_>, progress: Progress<'_>) -> Space {
    if person.allowed.alert().is_some() {
        return person.allowed.gather(Vec::new());
    }
    let mut found = walk(person, rays(&free_choices(person)), progress);
    let needs_hands = |family: &Family| {
        found
            .iter()
            .any(|r| r.ray.family == *family && matches!(r.verdict, RayVerdict::Closed { .. }))
    };
    let families: Vec<Family> = Family::ALL.into_iter().filter(needs_hands).collect();
    let held = rays(&choices_at_home(person, families));
    found.extend(walk(person, held, progress));
    person.allowed.gather(found)
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
