//! What the page draws with: the feet, where they stand, and a figure of each movement from behind.

use std::collections::BTreeMap;

use anatomy::{PerSide, Side};
use biomech::{Body, Motion, landing_point};
use drawing::{FigureInput, FigurePoints, Frame, Moves, View, figure, foot_outline};
use movement::{Bearing, Family};
use person::Person;
use serde_json::{Value, json};

use super::lean::lean;
use crate::language::Wording;
use crate::make::ExerciseFacts;

/// How large a figure is, points: small enough to be many, large enough for a phone.
const FIGURE: Frame = Frame { width: 150.0, height: 190.0, type_size: 12.0 };

/// The drawings of one person's page; figures under `exercise-limb-direction`, counted from 0.
pub(super) fn of(exercises: &[ExerciseFacts<'_>], person: &Person, wording: Wording) -> Value {
    let letters = wording.floor_words().foot_letters;
    let body = Body::of(&person.body);
    let stature = person.body.stature().in_m();
    let index = person.body.mass().in_kg() / (stature * stature);
    let mut figures = BTreeMap::new();
    for (e, facts) in exercises.iter().enumerate() {
        let limbs = facts.limbs.iter().filter(|(_, motions)| !motions.is_empty());
        for (l, (mover, motions)) in limbs.enumerate() {
            for (c, motion) in motions.iter().enumerate() {
                figures.insert(format!("{e}-{l}-{c}"), drawn(motion, *mover, &body, index, letters));
            }
        }
    }
    let hands = exercises.iter().flat_map(|facts| &facts.limbs).flat_map(|(_, motions)| motions);
    let lane =
        hands.filter(|motion| motion.spec.family == Family::BendAndReach).find_map(|m| beside(&body, m));
    floor(&body, lane.unwrap_or(0.0), figures)
}

/// What the floor needs, centimetres, with figures under their names.
pub(super) fn floor(body: &Body, hand_lane: f64, figures: BTreeMap<String, String>) -> Value {
    let (length, breadth) = (body.foot_length().in_cm(), body.foot_breadth().in_cm());
    let tenth = |value: f64| (value * 10.0).round() / 10.0;
    let outline = PerSide::from_fn(|side| {
        let points = foot_outline(side, length, breadth).into_iter();
        points.map(|[f, r]| [tenth(f - length / 2.0), tenth(r)]).collect::<Vec<_>>()
    });
    let feet = PerSide::from_fn(|side| body.start_foot_centre(side).map(|metres| tenth(metres * 100.0)));
    json!({
        "foot": { "left": outline.left, "right": outline.right },
        "feet": { "left": feet.left, "right": feet.right },
        "footLength": tenth(length),
        "handLane": tenth(hand_lane),
        "figures": figures,
    })
}

/// How far outside the leg a hand passes that goes straight ahead or back, centimetres; `None` for other ways.
pub(super) fn beside(body: &Body, motion: &Motion) -> Option<f64> {
    let straight = [Bearing::ALL[0], Bearing::ALL[4]].contains(&motion.spec.bearing);
    let start = body.start_foot_centre(motion.spec.mover)[1].abs();
    straight.then(|| (landing_point(body, &motion.spec)[1].abs() - start) * 100.0)
}

/// One figure from behind as SVG, without what only a drawing program needs, with the letters of left and right
/// foot.
pub(super) fn drawn(
    motion: &Motion,
    mover: Side,
    body: &Body,
    body_mass_index: f64,
    foot_letters: [&'static str; 2],
) -> String {
    let spec = &motion.spec;
    let moves = if spec.family == Family::BendAndReach { Moves::Hand(mover) } else { Moves::Leg(mover) };
    let input = FigureInput {
        points: FigurePoints::of(&motion.shown().posture),
        moves,
        view: View::Behind,
        foot_breadth: body.foot_breadth(),
        body_mass_index,
        support: spec.place,
        foot_letters,
    };
    lean(figure(&input, FIGURE).svg().as_str())
}
