//! Directions that are left out because they hurt, and what would be a candidate had they not.

use anatomy::MuscleGroup;
use movement::MovementSpec;
use person::{CaseFile, Goal, GoalKind};
use programme::{Held, HeldDirection, Limits};
use quantity::Length;
use safety::{Movements, Space, SurveyedRay, counts_for};

use crate::PersonToday;
use crate::candidates::candidates;
use crate::progress::Shown;

/// What is left out of a space for pain alone: both gates are asked about the same person in whom
/// these directions never hurt. What another rule closes as well needs no substitute.
pub(crate) fn held(
    person: &PersonToday<'_>,
    movements: &impl Movements,
    space: &Space,
    limits: &Limits,
) -> Held {
    let hurt = person.allowed.hurt().to_vec();
    let left_out: Vec<&SurveyedRay> = space
        .rays
        .iter()
        .filter(|ray| person.allowed.left_out_for_pain(&ray.ray.at(Length::ZERO)).is_some())
        .collect();
    if left_out.is_empty() {
        return Held { directions: Vec::new(), hurt };
    }
    let specs: Vec<MovementSpec> = left_out.iter().map(|ray| ray.ray.at(Length::ZERO)).collect();
    let case = without(person.case, &specs);
    let unhurt = PersonToday::of(&case, person.today);
    let rays: Vec<SurveyedRay> = left_out
        .into_iter()
        .map(|ray| {
            let leg = person.body.leg_length(ray.ray.mover);
            unhurt.allowed.survey_ray_by(leg, movements, ray.ray.clone())
        })
        .collect();
    let watch = Shown(&crate::silent);
    let Ok((would_be, _)) = candidates(&unhurt, movements, &unhurt.allowed.gather(rays), limits, &watch);
    let directions = would_be
        .into_iter()
        .filter_map(|would_be| {
            let because = because(person, would_be.permitted.spec())?;
            Some(HeldDirection { would_be, because })
        })
        .collect();
    Held { directions, hurt }
}

/// Why a movement is left out for pain and until when; `None` while it is not.
pub(crate) fn because(person: &PersonToday<'_>, spec: &MovementSpec) -> Option<String> {
    let refusal = person.allowed.left_out_for_pain(spec)?;
    Some(format!("{} It opens when {}.", refusal.reason, refusal.opens_when))
}

/// The same case without the notes of pain that count for any of these movements.
pub(crate) fn without(case: &CaseFile, movements: &[MovementSpec]) -> CaseFile {
    let mut case = case.clone();
    case.findings.hurt.retain(|note| !movements.iter().any(|spec| counts_for(note, spec)));
    case
}

/// The muscle groups whose strength is a goal.
pub(crate) fn groups(goals: &[Goal]) -> Vec<MuscleGroup> {
    let group = |goal: &Goal| match goal.kind {
        GoalKind::Strength { group } if goal.weight > 0.0 => Some(group),
        _ => None,
    };
    goals.iter().filter_map(group).collect()
}
