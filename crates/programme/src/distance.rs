//! How far a direction is prescribed: comfortable, and inside the clear floor at home.
//!
//! `d = ⌊min(c·f, h, F − e)⌋` in whole centimetres, with `f` the furthest permitted distance,
//! `c` the comfortable share (1 where a rule states the distance), `h` the longest that a family is
//! given for home as a share of leg length (shorter while both hands hold or the legs cross), `F` the clear floor on the bearing and `e` what the foot takes beyond its middle. A direction that hurt is shortened
//! before, by the gates: the furthest permitted distance is then the shortened one.

use biomech::{Landmark, Motion, Phase};
use movement::{Family, MovementSpec, StanceFoot, Support};
use quantity::Length;
use serde::Serialize;

use crate::{Dropped, FootSize, Limits, figures};

/// What set the furthest permitted distance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FurthestSetBy {
    /// A rule stated this distance (a phase, a direction that hurt): it is prescribed as it stands.
    StatedDistance,
    /// The computed body set it (a joint limit, balance, reach): it is backed off to a comfortable share.
    Computed,
}

/// The distance to prescribe, when the furthest permitted one is known.
///
/// # Errors
/// The direction is left out, with the reason, when too little remains.
pub fn prescribed_distance(
    furthest: &MovementSpec,
    set_by: FurthestSetBy,
    limits: &Limits,
) -> Result<Length, Dropped> {
    let figures = figures();
    let share = match set_by {
        FurthestSetBy::StatedDistance => 1.0,
        FurthestSetBy::Computed => figures.comfortable_share,
    };
    let mut distance = furthest.distance.times(share);
    let mut because = "the furthest permitted distance is short".to_owned();
    let longest = limits.longest_of_leg.get(&furthest.family).copied().unwrap_or(Length::ZERO);
    if longest < distance {
        distance = longest;
    }
    if furthest.crosses() && limits.longest_crossing < distance {
        distance = limits.longest_crossing;
    }
    // Who needs both hands begins short: within a rung, shorter comes before longer.
    if furthest.support == Support::BothHands && limits.longest_held < distance {
        distance = limits.longest_held;
    }
    let floor = limits.clear(furthest.bearing);
    let room = floor_room(furthest, limits);
    if room < distance {
        distance = room;
        because = format!("the clear floor at home is {}, and the foot needs part of it", floor.length());
    }
    let whole = whole_cm(distance);
    if whole < figures.shortest_distance {
        return Err(dropped(
            furthest,
            format!(
                "the {} would be {whole}, less than {} that is worth doing: {because}",
                name(furthest),
                figures.shortest_distance
            ),
        ));
    }
    Ok(whole)
}

/// How far the movement may go so that the whole foot stays on the clear floor.
pub(crate) fn floor_room(spec: &MovementSpec, limits: &Limits) -> Length {
    let floor = limits.clear(spec.bearing).length().in_m();
    Length::m((floor - beyond_middle(spec, limits.foot).in_m()).max(0.0))
}

/// How far out on its bearing a computed movement needs clear floor: its distance, or the heel or
/// toe tip of the moving foot where that lies further (a toe that touches behind has its heel beyond).
#[must_use]
pub fn floor_needed(motion: &Motion) -> Length {
    let spec = &motion.spec;
    if spec.family == Family::BendAndReach {
        return spec.distance;
    }
    let (ahead, aside) = spec.bearing.forward_right();
    motion
        .of_phase(Phase::Far)
        .flat_map(|frame| {
            [Landmark::Heel(spec.mover), Landmark::ToeTip(spec.mover)].map(|l| frame.posture.point(l))
        })
        .map(|p| Length::m((p[0] * ahead + p[2] * aside).max(0.0)))
        .fold(spec.distance, Length::max)
}

/// What the moving foot takes on the bearing beyond the point to which distance is measured.
fn beyond_middle(spec: &MovementSpec, foot: FootSize) -> Length {
    match spec.family {
        // Measured to the toe tip and to the hand's floor point: nothing goes beyond.
        Family::Reach | Family::BendAndReach => Length::ZERO,
        // The foot may turn when the standing foot pivots, so its full half length counts.
        _ if spec.stance_foot == StanceFoot::Pivoting => foot.length.times(0.5),
        Family::Step | Family::Lunge | Family::Leap | Family::TwoFootJump | Family::Hop => {
            let (forward, right) = spec.bearing.forward_right();
            foot.length.times(forward.abs() / 2.0) + foot.breadth.times(right.abs() / 2.0)
        }
    }
}

/// Rounded down to whole centimetres; a micrometre is forgiven so that 48 cm stay 48 cm.
pub(crate) fn whole_cm(distance: Length) -> Length {
    Length::cm((distance.in_cm() + 1e-4).floor())
}

pub(crate) fn dropped(spec: &MovementSpec, reason: String) -> Dropped {
    let mut chars = reason.chars();
    let sentence: String = chars.next().map(|c| c.to_uppercase().chain(chars).collect()).unwrap_or_default();
    Dropped { movement: Box::new(spec.clone()), reason: format!("{sentence}.") }
}

/// `left step, posterior`, for use inside a sentence.
pub(crate) fn name(spec: &MovementSpec) -> String {
    format!(
        "{} {}, {} (named from the {} limb)",
        spec.mover,
        spec.family,
        spec.direction(),
        spec.named_from()
    )
}

#[cfg(test)]
mod tests {
    use anatomy::Side;
    use jiff::civil::date;
    use movement::{Bearing, Crossing};

    use super::*;
    use crate::ClearFloor;

    const FORWARD: Bearing = Bearing::ALL[0];

    fn limits(floor_cm: f64) -> Limits {
        Limits {
            for_day: date(2030, 5, 6),
            minutes: quantity::Span::min_(5.0),
            exercises: 3,
            directions: None,
            rounds: None,
            clear_floor: Bearing::ALL
                .map(|b| (b, ClearFloor::Measured { length: Length::cm(floor_cm) }))
                .to_vec(),
            foot: FootSize { length: Length::cm(26.0), breadth: Length::cm(10.0) },
            supports: Vec::new(),
            hand_weights: Vec::new(),
            falls_risk: false,
            demand_at_most: quantity::Share::of_one(1.0),
            demand_at_least: quantity::Share::ZERO,
            last_impact: None,
            tolerated: Vec::new(),
            longest_of_leg: Family::GROUNDED.map(|f| (f, Length::cm(500.0))).into(),
            longest_held: Length::cm(500.0),
            longest_crossing: Length::cm(500.0),
        }
    }

    fn step(cm: f64) -> MovementSpec {
        MovementSpec::bare(Family::Step, Side::Right, FORWARD, Crossing::None, Length::cm(cm))
    }

    fn cm(result: Result<Length, Dropped>) -> f64 {
        result.expect("a distance").in_cm().round()
    }

    #[test]
    fn a_computed_distance_is_backed_off_and_a_stated_one_is_not() {
        // 0.8 of 61 cm is 48.8 cm, rounded down.
        assert_eq!(cm(prescribed_distance(&step(61.0), FurthestSetBy::Computed, &limits(200.0))), 48.0);
        assert_eq!(cm(prescribed_distance(&step(27.0), FurthestSetBy::StatedDistance, &limits(200.0))), 27.0);
    }

    #[test]
    fn the_whole_foot_stays_on_the_clear_floor() {
        // 50 cm of floor less half of a 26 cm foot that points forward.
        assert_eq!(cm(prescribed_distance(&step(90.0), FurthestSetBy::Computed, &limits(50.0))), 37.0);
        let reach = MovementSpec { family: Family::Reach, ..step(90.0) };
        assert_eq!(cm(prescribed_distance(&reach, FurthestSetBy::Computed, &limits(50.0))), 50.0);
    }

    #[test]
    fn without_clear_floor_the_direction_is_left_out_with_the_reason() {
        let out =
            prescribed_distance(&step(60.0), FurthestSetBy::Computed, &limits(20.0)).expect_err("no room");
        assert!(out.reason.contains("clear floor at home is 20 cm"), "{}", out.reason);
    }
}
