//! What one limb does: distances, the floor and the figures, with their sentences.

use anatomy::{PerSide, Side};
use biomech::{Body, Motion, Phase, landing_point};
use drawing::{
    Arrows, FigureInput, FigurePoints, FloorInput, FootPrint, Landing, Moves, Names, Ray, RayState, Rings,
    Standing, View,
};
use movement::{Bearing, Crossing, Family, MovementSpec};
use person::Person;
use quantity::Length;

use super::ExerciseFacts;
use super::limb_steps::{do_not_go, figure_in_words, floor_in_words, steps};
use crate::data::{DistanceTo, Edition, LimbSheet};
use crate::language::Wording;
use crate::settings::SheetSettings;

/// Rings of 10 cm as long as they stay few.
pub(super) fn rings(facts: &ExerciseFacts<'_>) -> Rings {
    let furthest = specs(facts).map(|s| s.distance).fold(Length::ZERO, Length::max);
    // More than five rings are no longer calm.
    if furthest.in_cm() <= 49.0 { Rings::Every10Cm } else { Rings::Every20Cm }
}

fn specs<'a>(facts: &'a ExerciseFacts<'_>) -> impl Iterator<Item = &'a MovementSpec> {
    facts.limbs.iter().flat_map(|(_, motions)| motions.iter().map(|m| &m.spec))
}

pub(super) fn limb_sheet(
    mover: Side,
    motions: &[&Motion],
    facts: &ExerciseFacts<'_>,
    rings: Rings,
    (person, body): (&Person, &Body),
    settings: &SheetSettings,
) -> LimbSheet {
    let hand = facts.family == Family::BendAndReach;
    let wording = settings.wording;
    let words = wording.words();
    let closed = settings
        .closed_beside((facts.family, mover), |bearing| motions.iter().any(|m| m.spec.bearing == bearing));
    let distances: Vec<DistanceTo> = motions
        .iter()
        .map(|m| DistanceTo {
            direction: words.direction(m.spec.bearing, m.spec.crossing),
            distance: m.spec.distance,
            written: wording.length(m.spec.distance),
        })
        .collect();
    let ways: Vec<String> = distances.iter().map(|d| format!("{} {}", d.direction, d.written)).collect();
    let shown = shown(motions, facts);
    let heading = if hand { &words.limb.hand_moves } else { &words.limb.leg_moves };
    LimbSheet {
        mover,
        heading: heading.of(mover).to_owned(),
        floor_in_words: floor_in_words(mover, hand, &ways, &closed, wording),
        figure_in_words: figure_in_words(mover, &shown.spec, wording),
        figure_views: [words.floor.figure_back.clone(), words.floor.figure_side.of(mover).to_owned()],
        floor: floor(mover, motions, facts, rings, body, &closed, settings),
        figures: figures(mover, facts, shown, (person, body), wording),
        steps: steps(mover, motions, facts, wording),
        distances,
        closed: closed.iter().map(|b| words.directions.of(*b).to_owned()).collect(),
        do_not_go: (!closed.is_empty()).then(|| do_not_go(&closed, wording)),
        movements: motions.iter().map(|m| m.spec.clone()).collect(),
    }
}

/// The movement that is drawn: the same direction for both limbs where both do it, the furthest otherwise.
fn shown<'a>(motions: &[&'a Motion], facts: &ExerciseFacts<'_>) -> &'a Motion {
    let common = |m: &Motion| {
        let name = m.spec.bearing.named_from(m.spec.mover);
        facts.limbs.iter().all(|(side, others)| {
            others.is_empty() || others.iter().any(|o| o.spec.bearing.named_from(*side) == name)
        })
    };
    let rank = |m: &Motion| (common(m), m.spec.distance.in_cm());
    let mut best = motions[0];
    for motion in motions {
        let (a, b) = (rank(motion), rank(best));
        if (a.0 && !b.0) || (a.0 == b.0 && a.1 > b.1 + 0.5) {
            best = motion;
        }
    }
    best
}

fn floor(
    mover: Side,
    motions: &[&Motion],
    facts: &ExerciseFacts<'_>,
    rings: Rings,
    body: &Body,
    closed: &[Bearing],
    settings: &SheetSettings,
) -> FloorInput {
    let directions = &settings.wording.words().directions;
    let mut rays: Vec<Ray> = Vec::new();
    for motion in motions {
        let spec = &motion.spec;
        let note = match spec.crossing {
            Crossing::None => None,
            Crossing::InFront => Some(directions.in_front.clone()),
            Crossing::Behind => Some(directions.behind.clone()),
        };
        if let Some(same) = rays.iter_mut().find(|r| r.bearing == spec.bearing) {
            // In front and behind on one bearing: the shorter distance holds for both.
            let shorter = same.state.distance().map_or(spec.distance, |d| d.min(spec.distance));
            same.state = RayState::Open(shorter);
            same.note = Some(format!("{},\n{}", directions.in_front, directions.behind));
            continue;
        }
        rays.push(Ray {
            bearing: spec.bearing,
            state: RayState::Open(spec.distance),
            landing: Some(landing_point(body, spec)),
            landing_yaw_deg: motion.shown().posture.foot_yaw(mover).in_deg(),
            note,
        });
    }
    rays.extend(closed.iter().map(|b| Ray {
        bearing: *b,
        state: RayState::Closed,
        landing: None,
        landing_yaw_deg: 0.0,
        note: None,
    }));
    let start = motions[0].of_phase(Phase::Start).next();
    FloorInput {
        mover,
        standing: if facts.family == Family::BendAndReach { Standing::BothFeet } else { Standing::OtherFoot },
        feet: PerSide::from_fn(|side| FootPrint {
            centre: body.start_foot_centre(side),
            yaw_deg: start.map_or(0.0, |frame| frame.posture.foot_yaw(side).in_deg()),
            length: body.foot_length(),
            breadth: body.foot_breadth(),
        }),
        rays,
        landing: match facts.family {
            Family::Reach => Landing::ToeTouch,
            Family::Step | Family::Lunge | Family::Leap | Family::TwoFootJump | Family::Hop => Landing::Foot,
            Family::BendAndReach => Landing::Hand,
        },
        rings,
        ring_labels: false,
        words: settings.wording.floor_words(),
        names: if settings.edition == Edition::Numerals { Names::Hidden } else { Names::Floor },
        arrows: Arrows::OutAndBack,
        supports: facts.place.into_iter().collect(),
        support_names: false,
        clear_floor: settings
            .clear_floor
            .iter()
            .filter(|(bearing, _)| motions.iter().any(|m| m.spec.bearing == *bearing))
            .copied()
            .collect(),
    }
}

/// Whether the end of the clear floor lies inside what the floor shows.
pub(super) fn shows_clear_floor(limb: &LimbSheet) -> bool {
    let rim = limb.floor.rim();
    limb.floor.clear_floor.iter().any(|(_, distance)| *distance <= rim)
}

fn figures(
    mover: Side,
    facts: &ExerciseFacts<'_>,
    shown: &Motion,
    (person, body): (&Person, &Body),
    wording: Wording,
) -> Vec<FigureInput> {
    let stature = person.body.stature().in_m();
    let moves = if facts.family == Family::BendAndReach { Moves::Hand(mover) } else { Moves::Leg(mover) };
    [View::Behind, View::Side(mover)]
        .into_iter()
        .map(|view| FigureInput {
            points: FigurePoints::of(&shown.shown().posture),
            moves,
            view,
            foot_breadth: body.foot_breadth(),
            body_mass_index: person.body.mass().in_kg() / (stature * stature),
            support: facts.place,
            foot_letters: wording.floor_words().foot_letters,
        })
        .collect()
}
