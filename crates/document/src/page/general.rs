//! Figures of a general body, for the page that knows a programme and no person.

use std::collections::BTreeMap;

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::{Body, Capacity, motion};
use movement::{Bearing, Family, HandHeight, MovementSpec};
use quantity::{Length, Mass};
use serde_json::Value;

use super::pictures;

/// The general body: round figures of our own, nobody's.
fn body_size() -> Option<BodySize> {
    BodySize::new(Length::cm(170.0), Mass::kg(70.0), Sex::Female, 60, PerSide { left: None, right: None })
        .ok()
}

/// How far the general figure goes, a round choice.
const SHOWN_CM: f64 = 40.0;

/// The site speaks each language: letters of the feet stand on its floor, in the language, not in its figures.
const NO_LETTERS: [&str; 2] = ["", ""];

/// The drawings of the site: figures under `family-mover-bearing`, for the four straight bearings.
pub(super) fn drawings() -> Value {
    let Some(size) = body_size() else { return Value::Null };
    let body = Body::of(&size);
    let capacity = Capacity::of(&size, &[]);
    let stature = size.stature().in_m();
    let index = size.mass().in_kg() / (stature * stature);
    let mut figures = BTreeMap::new();
    let mut lane = 0.0;
    for family in Family::ALL {
        for mover in Side::BOTH {
            for bearing in Bearing::ALL.into_iter().filter(|b| b.degrees() % 90 == 0) {
                let crossing = family.ways(bearing, mover)[0];
                let mut spec = MovementSpec::bare(family, mover, bearing, crossing, Length::cm(SHOWN_CM));
                spec.depth = (family == Family::Lunge).then(|| Length::cm(12.0));
                spec.hand_height = (family == Family::BendAndReach).then_some(HandHeight::Knee);
                let Ok(motion) = motion(&body, &capacity, &spec) else { continue };
                if family == Family::BendAndReach {
                    lane = pictures::beside(&body, &motion).unwrap_or(lane);
                }
                let drawn = pictures::drawn(&motion, mover, &body, index, NO_LETTERS);
                figures.insert(format!("{}-{}-{}", key(family), side(mover), bearing.degrees()), drawn);
            }
        }
    }
    pictures::floor(&body, lane, figures)
}

fn side(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

fn key(family: Family) -> String {
    serde_json::to_value(family).ok().and_then(|v| v.as_str().map(str::to_owned)).unwrap_or_default()
}
