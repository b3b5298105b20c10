//! What one limb does: sentences, distances, the floor and the figures.

use anatomy::{PerSide, Side};
use biomech::{Body, Motion, Phase, landing_point};
use drawing::{
    Arrows, FigureInput, FigurePoints, FloorInput, FootPrint, Landing, Moves, Names, Ray, RayState, Rings,
    Standing, View,
};
use movement::{Bearing, Crossing, Family, MovementSpec, StanceFoot};
use person::Person;
use quantity::Length;

use super::ExerciseFacts;
use crate::data::{DistanceTo, LimbSheet};
use crate::settings::SheetSettings;
use crate::words;

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
    let part = if hand { "hand" } else { "leg" };
    let closed: Vec<Bearing> = settings
        .closed
        .iter()
        .filter(|c| c.family == facts.family && c.mover == mover)
        .map(|c| c.bearing)
        .filter(|bearing| !motions.iter().any(|m| m.spec.bearing == *bearing))
        .collect();
    let distances: Vec<DistanceTo> = motions
        .iter()
        .map(|m| DistanceTo { direction: direction(&m.spec), distance: m.spec.distance })
        .collect();
    let shown = shown(motions, facts);
    let steps = steps(mover, motions, facts);
    LimbSheet {
        mover,
        heading: format!("{} {part} moves", words::side(mover)),
        floor_in_words: floor_in_words(mover, hand, &distances, &closed),
        figure_in_words: figure_in_words(mover, facts.family, &shown.spec),
        floor: floor(mover, motions, facts, rings, body, &closed, settings),
        figures: figures(mover, facts, shown, person, body),
        steps,
        distances,
        closed: closed.iter().map(|b| b.plain_words().to_owned()).collect(),
        movements: motions.iter().map(|m| m.spec.clone()).collect(),
    }
}

/// Plain words of where a movement goes, with the way it crosses.
fn direction(spec: &MovementSpec) -> String {
    let words = spec.bearing.plain_words();
    match spec.crossing {
        Crossing::None => words.to_owned(),
        Crossing::InFront => format!("{words}, across, in front"),
        Crossing::Behind => format!("{words}, across, behind"),
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

/// One movement that is done slower than the rest of its exercise: `pace` says how fast.
pub(super) fn slower(spec: &MovementSpec, pace: &str) -> String {
    let part = if spec.family == Family::BendAndReach { "hand" } else { "foot" };
    let count = pace.trim_start_matches("Count ");
    format!("Slower with your {} {part} {}: count {count}", words::side(spec.mover), where_to(spec))
}

fn steps(mover: Side, motions: &[&Motion], facts: &ExerciseFacts<'_>) -> Vec<String> {
    let (moves, stays) = (words::side(mover), words::side(mover.other()));
    let hand = facts.family == Family::BendAndReach;
    let out_to = match motions {
        [one] => where_to(&one.spec),
        _ => "out".to_owned(),
    };
    let back = "Come back to the middle.".to_owned();
    let mut out = match facts.family {
        Family::Step => vec![
            format!("Your {stays} foot stays."),
            format!("Step your {moves} foot {out_to}."),
            "Put weight on it.".to_owned(),
            back,
        ],
        Family::Reach => vec![
            format!("Your {stays} foot stays."),
            format!("Reach your {moves} toes {out_to}."),
            "Touch lightly. No weight.".to_owned(),
            back,
        ],
        Family::Leap => vec![
            format!("Push off your {stays} foot."),
            format!("Leap {out_to} onto your {moves} foot."),
            "Land softly. Bend your knee.".to_owned(),
            back,
        ],
        Family::TwoFootJump => {
            vec![format!("Jump {out_to} with both feet."), "Land softly. Bend your knees.".to_owned(), back]
        }
        Family::Hop => vec![
            format!("Stand on your {moves} leg."),
            format!("Hop {out_to} on it."),
            "Land softly. Bend your knee.".to_owned(),
            back,
        ],
        Family::Lunge => vec![
            format!("Your {stays} foot stays."),
            format!("Step your {moves} foot far {out_to}."),
            match facts.depth {
                Some(depth) => format!("Sink down about {}.", words::cm(depth)),
                None => "Bend your knees a little.".to_owned(),
            },
            back,
        ],
        Family::BendAndReach => vec![
            "Both feet stay.".to_owned(),
            format!("Reach your {moves} hand {out_to}."),
            match facts.hand_height {
                Some(height) => format!("Go down to {} height.", words::hand_height(height)),
                None => "Bend as far as feels easy.".to_owned(),
            },
            "Stand up tall again.".to_owned(),
        ],
    };
    if facts.family != Family::BendAndReach {
        out.splice(2..2, passing(motions));
        if motions.iter().any(|m| m.spec.stance_foot == StanceFoot::Pivoting) {
            out.insert(1, format!("As you cross, turn on your {stays} toes."));
        } else if motions.iter().any(|m| m.spec.crosses()) {
            out[0] = format!("Your {stays} foot stays flat.");
        }
    }
    out.splice(1..1, words::one_hand(facts.support, facts.place.as_ref(), hand, mover.other()));
    out
}

/// Which way round the standing leg, where every movement goes the same way; where they differ
/// the picture says it at each arrow.
fn passing(motions: &[&Motion]) -> Option<String> {
    let all = |crossing: Crossing| motions.iter().all(|m| m.spec.crossing == crossing);
    if all(Crossing::InFront) {
        Some("Cross in front.".to_owned())
    } else if all(Crossing::Behind) {
        Some("Cross behind.".to_owned())
    } else {
        None
    }
}

fn where_to(spec: &MovementSpec) -> String {
    match spec.bearing.degrees() {
        90 | 270 => format!("to the {}", spec.bearing.plain_words()),
        _ => spec.bearing.plain_words().to_owned(),
    }
}

fn floor_in_words(mover: Side, hand: bool, distances: &[DistanceTo], closed: &[Bearing]) -> String {
    let moves = words::side(mover);
    let stand = if hand {
        "Both feet stand.".to_owned()
    } else {
        format!("Your {} foot stands.", words::side(mover.other()))
    };
    let part = if hand { "hand" } else { "foot" };
    let ways: Vec<String> =
        distances.iter().map(|d| format!("{} {}", d.direction, words::cm(d.distance))).collect();
    let mut out = format!(
        "The floor seen from above; you face up the page. {stand} Your {moves} {part} goes out and back: {}.",
        ways.join("; ")
    );
    if !closed.is_empty() {
        let closed: Vec<String> = closed.iter().map(|b| b.plain_words().to_owned()).collect();
        out.push_str(&format!(" Do not go: {}.", closed.join(", ")));
    }
    out
}

fn figure_in_words(mover: Side, family: Family, spec: &MovementSpec) -> String {
    let moves = words::side(mover);
    let to = where_to(spec);
    match family {
        Family::TwoFootJump => format!("Here: both feet {to}."),
        Family::Step | Family::Lunge | Family::Leap | Family::Hop => format!("Here: {moves} foot {to}."),
        Family::Reach => format!("Here: {moves} toes {to}."),
        Family::BendAndReach => format!("Here: {moves} hand {to}."),
    }
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
    let mut rays: Vec<Ray> = Vec::new();
    for motion in motions {
        let spec = &motion.spec;
        let note = match spec.crossing {
            Crossing::None => None,
            Crossing::InFront => Some("in front"),
            Crossing::Behind => Some("behind"),
        };
        if let Some(same) = rays.iter_mut().find(|r| r.bearing == spec.bearing) {
            // In front and behind on one bearing: the shorter distance holds for both.
            let shorter = same.state.distance().map_or(spec.distance, |d| d.min(spec.distance));
            same.state = RayState::Open(shorter);
            same.note = Some("in front,\nbehind".to_owned());
            continue;
        }
        rays.push(Ray {
            bearing: spec.bearing,
            state: RayState::Open(spec.distance),
            landing: Some(landing_point(body, spec)),
            landing_yaw_deg: motion.shown().posture.foot_yaw(mover).in_deg(),
            note: note.map(str::to_owned),
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
        names: Names::Floor,
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
    person: &Person,
    body: &Body,
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
        })
        .collect()
}
