//! From the surveyed space to candidates: each open ray once, at the distance that is prescribed.

use std::sync::Arc;

use biomech::Motion;
use biomech::continuity::{Steadiness, steadiness};
use movement::{HandHeight, Load, MovementSpec, Support};
use person::GoalKind;
use programme::{
    Candidate, Dropped, FurthestSetBy, Limits, chosen_by_a_therapist_only, figures, floor_needed,
    prescribed_distance,
};
use safety::{Blocked, Computed, Engine, Movements, RayVerdict, Refusal, Space, SurveyedRay};

use crate::{Part, PersonToday, Watch};

/// Candidates of a space, and what was left out on the way.
pub(crate) fn candidates<W: Watch>(
    person: &PersonToday<'_>,
    movements: &impl Movements,
    space: &Space,
    limits: &Limits,
    watch: &W,
) -> Result<(Vec<Candidate>, Vec<Dropped>), W::Stop> {
    let mut found = Vec::new();
    let mut dropped = Vec::new();
    let open = |ray: &&SurveyedRay| ray.furthest.is_some();
    let of = space.rays.iter().filter(open).count();
    for (done, ray) in space.rays.iter().filter(open).enumerate() {
        watch.on(Part::Candidates { done, of })?;
        match of_ray(person, movements, ray, limits) {
            Some(Ok(candidate)) => {
                for one in loaded(person, movements, &candidate, limits) {
                    match one {
                        Ok(candidate) => found.push(candidate),
                        Err(reason) => dropped.push(reason),
                    }
                }
                found.push(candidate);
            }
            Some(Err(reason)) => dropped.push(reason),
            None => {}
        }
    }
    Ok((found, dropped))
}

/// `None` for a closed ray, and for one that only a therapist chooses.
fn of_ray(
    person: &PersonToday<'_>,
    movements: &impl Movements,
    ray: &SurveyedRay,
    limits: &Limits,
) -> Option<Result<Candidate, Dropped>> {
    if chosen_by_a_therapist_only(&ray.ray.at(quantity::Length::ZERO)) {
        return None;
    }
    if not_yet(person, &ray.ray.at(quantity::Length::ZERO)) {
        return None;
    }
    let furthest = ray.furthest.as_ref()?;
    let (spec, set_by) = furthest_spec(ray)?;
    let distance = match prescribed_distance(&spec, set_by, limits) {
        Ok(distance) => distance,
        Err(dropped) => return Some(Err(dropped)),
    };
    // The computed foot may need more floor than its size says (a heel behind a toe that touches
    // behind): then it goes as much less far, and is computed and permitted again.
    let floor = limits.clear(spec.bearing).length();
    let mut spec = spec.at(distance);
    let mut shortened_because: Option<Dropped> = None;
    loop {
        let candidate = match permit(person, movements, &spec, Some(furthest)) {
            Ok(candidate) => candidate,
            Err(why) => {
                let reason = format!("At {}, the distance to prescribe: {why}", spec.distance);
                let here = Dropped { movement: Box::new(spec), reason };
                return Some(Err(shortened_because.unwrap_or(here)));
            }
        };
        let beyond = floor_needed(candidate.permitted.motion()).in_cm() - floor.in_cm();
        let (less, reason) = if beyond > 0.0 {
            (beyond.ceil(), format!("the foot does not fit on {floor} of clear floor at home"))
        } else {
            match unsteady(person, candidate.permitted.motion()) {
                None => return Some(Ok(candidate)),
                Some(reason) => (STEADIER_CM, reason),
            }
        };
        let dropped =
            Dropped { reason: format!("{}: {reason}.", spec.sentence()), movement: Box::new(spec.clone()) };
        let because = shortened_because.get_or_insert(dropped);
        let shorter = spec.distance.in_cm() - less;
        if shorter < figures().shortest_distance.in_cm() {
            return Some(Err(because.clone()));
        }
        spec = spec.at(quantity::Length::cm(shorter.round()));
    }
}

/// On the first rungs the plainer comes first: the hand stays high, and the legs cross only where a
/// direction that crosses is itself what is wished for.
fn not_yet(person: &PersonToday<'_>, spec: &MovementSpec) -> bool {
    if !person.is_early() {
        return false;
    }
    let heights = HandHeight::ALL.iter().take(usize::from(figures().lowest_hand_early));
    let too_low = spec.hand_height.is_some_and(|hand| !heights.clone().any(|high| *high == hand));
    let direction = spec.bearing.named_from(spec.mover);
    let wished = person.case.wishes.goals.iter().any(|goal| goal.kind == GoalKind::Control { direction });
    too_low || (spec.crosses() && !wished)
}

/// How much shorter a movement is tried whose posture is not steady, centimetres.
const STEADIER_CM: f64 = 2.0;

/// Why a movement is not prescribed at exactly this place: who places the foot a centimetre off would
/// stand otherwise than was computed.
pub(crate) fn unsteady(person: &PersonToday<'_>, motion: &Motion) -> Option<String> {
    match steadiness(&person.body, &person.capacity, motion) {
        Steadiness::Steady => None,
        Steadiness::Steep(change) => Some(format!(
            "a centimetre nearer or further the posture is another one ({} by {:.0}°)",
            change.coordinate.positive(),
            change.by_deg
        )),
        Steadiness::AtAnEdge => Some("a centimetre nearer or further there is no such posture".to_owned()),
    }
}

/// The furthest permitted movement; where a rule states a distance, that distance itself.
fn furthest_spec(ray: &SurveyedRay) -> Option<(MovementSpec, FurthestSetBy)> {
    let to = ray.verdict.to()?;
    let stated = match &ray.verdict {
        RayVerdict::Limited { by, .. } => by
            .iter()
            .filter_map(|r| match r.blocked {
                Blocked::Distance { at_most } => Some(at_most),
                _ => None,
            })
            .reduce(quantity::Length::min),
        _ => None,
    };
    Some(match stated {
        Some(at_most) => (ray.ray.at(at_most), FurthestSetBy::StatedDistance),
        None => (ray.ray.at(to), FurthestSetBy::Computed),
    })
}

/// Both gates at exactly this movement; the reason when one refuses.
pub(crate) fn permit(
    person: &PersonToday<'_>,
    movements: &impl Movements,
    spec: &MovementSpec,
    near: Option<&safety::PermittedMovement>,
) -> Result<Candidate, String> {
    let reasons = |by: Vec<Refusal>| by.first().map_or_else(String::new, ToString::to_string);
    let screened = person.allowed.screen(spec.clone()).map_err(reasons)?;
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let found = movements
        .near(spec, near.map(safety::PermittedMovement::motion))
        .or_else(|| {
            let motion = biomech::motion(&person.body, &person.capacity, spec).ok()?;
            Some(Arc::new(Computed::of(engine, motion)))
        })
        .ok_or_else(|| "the body cannot do it".to_owned())?;
    let permitted = person
        .allowed
        .permit(screened, &found.motion, &found.moments, &found.demands, person.today)
        .map_err(reasons)?;
    Ok(Candidate::new(permitted, found.moments.clone(), person.available()))
}

/// The same movement with each pair of weights at home, where the gates let it pass; dropped where the
/// posture under that load is not steady. It goes no less far than the plain one: with and without
/// weights is one exercise at one mark on the floor.
fn loaded(
    person: &PersonToday<'_>,
    movements: &impl Movements,
    plain: &Candidate,
    limits: &Limits,
) -> Vec<Result<Candidate, Dropped>> {
    if plain.permitted.spec().support == Support::BothHands {
        return Vec::new();
    }
    limits
        .hand_weights
        .iter()
        .filter_map(|each| {
            let spec =
                MovementSpec { load: Load::HandWeights { each: *each }, ..plain.permitted.spec().clone() };
            let candidate = permit(person, movements, &spec, Some(&plain.permitted)).ok()?;
            Some(match unsteady(person, candidate.permitted.motion()) {
                None => Ok(candidate),
                Some(reason) => Err(Dropped {
                    reason: format!("{}: {reason}.", spec.sentence()),
                    movement: Box::new(spec),
                }),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    /// Every invented person with weights at home who may carry them: what is planned with, and what
    /// was left out.
    fn loaded_candidates() -> Vec<(&'static str, biomech::Body, biomech::Capacity, Vec<Candidate>, usize)> {
        let mut all = Vec::new();
        for demo in crate::demo_cases() {
            let case = demo.read().unwrap_or_else(|e| panic!("{e}"));
            let person = PersonToday::of(&case, crate::day_of(&case, None, date(2000, 1, 1)));
            let limits = person.limits();
            if limits.hand_weights.is_empty() || person.allowed.alert().is_some() {
                continue;
            }
            let engine = Engine { body: &person.body, capacity: &person.capacity };
            let watch = crate::progress::Shown(&crate::silent);
            let Ok(space) = crate::survey::survey_by(&person, &engine, &watch);
            let Ok((found, dropped)) = candidates(&person, &engine, &space, &limits, &watch);
            let carried = |spec: &MovementSpec| spec.load != Load::None;
            let found: Vec<Candidate> = found.into_iter().filter(|c| carried(c.permitted.spec())).collect();
            let dropped = dropped.iter().filter(|d| carried(&d.movement)).count();
            all.push((demo.file, person.body.clone(), person.capacity.clone(), found, dropped));
        }
        all
    }

    /// Nobody places a foot to the centimetre, with weights no more than without: solved on their own a
    /// centimetre nearer and further, every angle stays within its bound.
    #[test]
    fn what_is_planned_with_weights_is_the_same_a_centimetre_off() {
        let (mut asked, mut left_out) = (0, 0);
        for (name, body, capacity, found, dropped) in loaded_candidates() {
            left_out += dropped;
            for here in found.iter().map(|c| c.permitted.motion()) {
                for off in [-1.0, 1.0] {
                    let at = quantity::Length::cm(here.spec.distance.in_cm() + off);
                    let beside = biomech::motion(&body, &capacity, &here.spec.at(at))
                        .unwrap_or_else(|e| panic!("{name}: {e}"));
                    asked += 1;
                    assert!(
                        biomech::continuity::same_family(here, &beside),
                        "{name}: {}, {off} cm off",
                        here.spec.sentence()
                    );
                }
            }
        }
        assert!(asked > 100, "{asked}");
        assert!(left_out > 0, "the law says nothing when no load is ever left out");
    }
}
