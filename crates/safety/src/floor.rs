//! Supports occupy floor: whether a foot would stand in one, and whether the hands still reach it.

use anatomy::Side;
use biomech::{Landmark, Motion, Phase};
use movement::{Place, Solid, Support};

use crate::body_measures::BodyMeasures;
use crate::tables::margins;

/// The print of a foot: a rectangle on the floor, metres forward and right of the centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Print {
    /// Middle of the print.
    pub(crate) middle: [f64; 2],
    /// Unit vector from heel to toe.
    pub(crate) along: [f64; 2],
    pub(crate) half_length: f64,
    pub(crate) half_breadth: f64,
}

impl Print {
    /// A foot that points straight ahead.
    pub(crate) fn ahead(middle: [f64; 2], body: &BodyMeasures) -> Self {
        Self {
            middle,
            along: [1.0, 0.0],
            half_length: body.foot_length / 2.0,
            half_breadth: body.foot_breadth / 2.0,
        }
    }

    /// The print of a computed foot, from its heel and toe tip seen from above.
    pub(crate) fn computed(heel: [f64; 3], toe: [f64; 3], body: &BodyMeasures) -> Self {
        let (dx, dz) = (toe[0] - heel[0], toe[2] - heel[2]);
        let length = dx.hypot(dz);
        let along = if length > 1e-6 { [dx / length, dz / length] } else { [1.0, 0.0] };
        Self {
            middle: [f64::midpoint(heel[0], toe[0]), f64::midpoint(heel[2], toe[2])],
            along,
            half_length: length / 2.0,
            half_breadth: body.foot_breadth / 2.0,
        }
    }

    fn corners(self) -> [[f64; 2]; 4] {
        let [ax, az] = self.along;
        let across = [-az, ax];
        [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)].map(|(l, b)| {
            [
                self.middle[0] + l * self.half_length * ax + b * self.half_breadth * across[0],
                self.middle[1] + l * self.half_length * az + b * self.half_breadth * across[1],
            ]
        })
    }

    /// How far the inner edge lies on its own side of the line straight ahead through the centre;
    /// negative when it has passed it. Metres.
    pub(crate) fn inner_edge(self, side: Side) -> f64 {
        self.corners().into_iter().map(|c| c[1] * side.sign()).fold(f64::INFINITY, f64::min)
    }

    /// Whether the print and the floor that a support really takes share a place.
    pub(crate) fn enters(self, place: &Place) -> bool {
        place.solids().iter().any(|solid| self.shares_floor_with(solid))
    }

    /// Two rectangles share floor when no axis of either separates them.
    fn shares_floor_with(self, solid: &Solid) -> bool {
        let rectangle = [
            [solid.front_from, solid.right_from],
            [solid.front_from, solid.right_to],
            [solid.front_to, solid.right_from],
            [solid.front_to, solid.right_to],
        ];
        let corners = self.corners();
        let across = [-self.along[1], self.along[0]];
        [[1.0, 0.0], [0.0, 1.0], self.along, across].into_iter().all(|axis| {
            let span = |points: &[[f64; 2]]| {
                points
                    .iter()
                    .map(|p| p[0] * axis[0] + p[1] * axis[1])
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
            };
            let (a, b) = (span(&corners), span(&rectangle));
            a.0 < b.1 && b.0 < a.1
        })
    }
}

/// Whether a foot that goes straight from one place to another would enter the support on its way.
pub(crate) fn sweeps_through(from: [f64; 2], to: Print, place: &Place) -> bool {
    const PIECES: u8 = 12;
    (0..=PIECES).any(|i| {
        let share = f64::from(i) / f64::from(PIECES);
        let middle = [from[0] + (to.middle[0] - from[0]) * share, from[1] + (to.middle[1] - from[1]) * share];
        Print { middle, ..to }.enters(place)
    })
}

/// The print of the moving foot at the far point, in every computed turn.
pub(crate) fn far_prints<'a>(
    motion: &'a Motion,
    side: Side,
    body: &'a BodyMeasures,
) -> impl Iterator<Item = Print> + 'a {
    motion.of_phase(Phase::Far).map(move |frame| {
        let p = &frame.posture;
        Print::computed(p.point(Landmark::Heel(side)), p.point(Landmark::ToeTip(side)), body)
    })
}

/// By how much the hands that must hold miss the support at the far point, metres; zero or less
/// when they reach it. A shoulder may come forward by a named few centimetres.
pub(crate) fn hands_short_by(motion: &Motion, place: &Place, support: Support, body: &BodyMeasures) -> f64 {
    let mut worst = f64::NEG_INFINITY;
    let forward_by = margins().support.shoulder_comes_forward_cm / 100.0;
    for frame in motion.of_phase(Phase::Far) {
        let short = |side: Side| {
            let s = frame.posture.point(Landmark::Shoulder(side));
            let [forward, up, right] = place.hold(side.sign(), s[0], s[2]);
            let distance = ((s[0] - forward).powi(2) + (s[1] - up).powi(2) + (s[2] - right).powi(2)).sqrt();
            distance - body.arm_length - forward_by
        };
        let (left, right) = (short(Side::Left), short(Side::Right));
        let needed = match support {
            Support::BothHands => left.max(right),
            Support::OneHand | Support::Fingertip => left.min(right),
            Support::None => f64::NEG_INFINITY,
        };
        worst = worst.max(needed);
    }
    worst
}

#[cfg(test)]
mod tests {
    use super::*;
    use anatomy::PerSide;
    use biomech::{Turn, synthetic};
    use movement::{Bearing, Crossing, Family, Load, MovementSpec, StanceFoot, SupportKind};
    use quantity::Length;

    fn body() -> BodyMeasures {
        BodyMeasures {
            leg_length: PerSide::from_fn(|_| Length::cm(90.0)),
            leg_length_estimated: PerSide::from_fn(|_| false),
            foot_length: 0.26,
            foot_breadth: 0.10,
            arm_length: 0.65,
            ranges: Vec::new(),
            start: PerSide { left: [0.0, -0.09], right: [0.0, 0.09] },
        }
    }

    fn bench() -> Place {
        Place {
            kind: SupportKind::Bench,
            front_from: 0.30,
            front_to: 0.90,
            right_from: -1.0,
            right_to: 1.0,
            hand_height: Length::cm(90.0),
        }
    }

    #[test]
    fn a_foot_may_come_up_to_a_bench_but_not_under_it() {
        // Half a foot of 26 cm before a bench at 30 cm: the middle may be 17 cm forward.
        assert!(!Print::ahead([0.169, 0.09], &body()).enters(&bench()));
        assert!(Print::ahead([0.171, 0.09], &body()).enters(&bench()));
    }

    #[test]
    fn a_turned_foot_takes_the_floor_of_its_own_rectangle() {
        // Turned out by a right angle it is only as deep as it is broad.
        let turned = Print { along: [0.0, 1.0], ..Print::ahead([0.24, 0.09], &body()) };
        assert!(!turned.enters(&bench()));
        assert!(Print::ahead([0.24, 0.09], &body()).enters(&bench()));
    }

    #[test]
    fn the_inner_edge_is_measured_from_the_line_straight_ahead_on_either_side() {
        for side in Side::BOTH {
            let own = Print::ahead([0.3, side.sign() * 0.09], &body());
            let across = Print::ahead([0.3, -side.sign() * 0.02], &body());
            assert!((own.inner_edge(side) - 0.04).abs() < 1e-9);
            assert!((across.inner_edge(side) + 0.07).abs() < 1e-9);
        }
    }

    #[test]
    fn a_foot_that_would_pass_through_a_support_on_its_way_is_caught() {
        let post = Place { front_from: 0.2, front_to: 0.25, right_from: 0.15, right_to: 0.2, ..bench() };
        let far = Print::ahead([0.6, 0.3], &body());
        assert!(!far.enters(&post));
        assert!(sweeps_through([0.0, 0.09], far, &post));
    }

    #[test]
    fn hands_must_reach_the_support_at_the_far_point_both_when_both_must_hold() {
        let lean = |left_back: f64| {
            let shoulder =
                |side: Side, back: f64| (Landmark::Shoulder(side), [-back, 1.4, side.sign() * 0.18]);
            let points = [shoulder(Side::Left, left_back), shoulder(Side::Right, 0.0)];
            let far = synthetic::frame(
                Phase::Far,
                Turn::Square,
                synthetic::posture(&[], &points),
                [0.5, 0.5],
                0.05,
            );
            synthetic::motion(spec(), vec![far])
        };
        // Shoulder 50 cm above the bench's edge and 30 cm behind it: 58 cm away, the arm is 65 cm.
        let near = lean(0.0);
        assert!(hands_short_by(&near, &bench(), Support::BothHands, &body()) < 0.0);
        // One shoulder 60 cm further back: one hand is enough for one hand only.
        let far = lean(0.6);
        assert!(hands_short_by(&far, &bench(), Support::BothHands, &body()) > 0.0);
        assert!(hands_short_by(&far, &bench(), Support::OneHand, &body()) < 0.0);
    }

    fn spec() -> MovementSpec {
        MovementSpec {
            family: Family::Step,
            mover: Side::Right,
            bearing: Bearing::ALL[0],
            crossing: Crossing::None,
            stance_foot: StanceFoot::Fixed,
            distance: Length::cm(30.0),
            depth: None,
            hand_height: None,
            load: Load::None,
            support: Support::BothHands,
            place: Some(bench()),
            hand_share: movement::HandShare::NotAssessed,
            arms: movement::ArmTask::Free,
            landing: None,
            rise: quantity::Length::ZERO,
        }
    }
}
