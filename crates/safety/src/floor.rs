//! Supports occupy floor: whether a foot would stand in one, and whether the hands still reach it.

use anatomy::Side;
use biomech::{Landmark, Motion, Phase};
use movement::{Place, Support};

use crate::body_measures::BodyMeasures;

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

    /// Whether the print and the support share floor (separating axes of two rectangles).
    pub(crate) fn enters(self, place: &Place) -> bool {
        let rectangle = [
            [place.front_from, place.right_from],
            [place.front_from, place.right_to],
            [place.front_to, place.right_from],
            [place.front_to, place.right_to],
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

/// By how much the hands that must hold miss the support in the worst frame, metres; zero or less
/// when they reach it all the time.
pub(crate) fn hands_short_by(motion: &Motion, place: &Place, support: Support, body: &BodyMeasures) -> f64 {
    let mut worst = f64::NEG_INFINITY;
    for frame in &motion.frames {
        let short = |side: Side| {
            let s = frame.posture.point(Landmark::Shoulder(side));
            // The nearest point of the support at the height at which it is held.
            let forward = s[0].clamp(place.front_from, place.front_to);
            let right = s[2].clamp(place.right_from, place.right_to);
            let up = place.hand_height.in_m();
            let distance = ((s[0] - forward).powi(2) + (s[1] - up).powi(2) + (s[2] - right).powi(2)).sqrt();
            distance - body.arm_length
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
