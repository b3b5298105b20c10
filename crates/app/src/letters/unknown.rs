//! What was not assessed, in the order in which it could open steps, reaches and lunges.

use movement::{Family, MovementSpec, Support};
use safety::{Setup, questions, rays};

use crate::PersonToday;
use crate::survey::{FREE, choices};

/// Keys of what was not assessed and could open something by gate A, the most useful first; no posture is computed.
#[must_use]
pub fn most_useful(person: &PersonToday<'_>) -> Vec<String> {
    let stature = person.case.person.body.stature();
    let supports = person.limits().supports;
    let held = supports.first().and_then(|kind| movement::Place::usual(*kind, stature).into_iter().next());
    let mut setups = vec![FREE];
    setups.extend(held.map(|place| Setup { support: Support::BothHands, place: Some(place) }));
    let mut choices = choices(person, setups);
    choices.families = vec![Family::Reach, Family::Step, Family::Lunge];
    choices.pivoting = false;
    choices.depths.truncate(1);
    let [nearer, _] = programme::figures().asked_distances;
    let wished: Vec<(MovementSpec, Option<&safety::Computed>)> = rays(&choices)
        .into_iter()
        .map(|ray| (ray.at(person.body.leg_length(ray.mover).times(nearer)), None))
        .collect();
    let found =
        questions(&person.case.findings, &person.case.clinic.tables, &person.body, person.today, &wished);
    found.questions.into_iter().map(|question| question.key).collect()
}
