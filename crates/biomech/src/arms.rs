//! What the arms do in a posture: where each hand is, what it carries, what carries it.

use std::sync::OnceLock;

use anatomy::Side;
use movement::{Place, SupportKind};
use quantity::reference::TableHead;
use quantity::{Angle, GRAVITY, Moment};
use serde::Deserialize;

use crate::body::Body;
use crate::goals::HandAt;
use crate::result::ArmState;
use crate::state::V3;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "the head is checked by the repository's own tests")]
    table: TableHead,
    pose: Poses,
    place: Places,
}

/// Named hand places in the trunk's frame.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Poses {
    pub(crate) chest: HandAt,
    pub(crate) overhead: HandAt,
    pub(crate) row: HandAt,
}

/// Other named choices.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Places {
    pack_behind_of_stature: f64,
    pack_up_share: f64,
    pub(crate) turn_deg: f64,
    pub(crate) hands_beside_of_stature: f64,
    pub(crate) hands_ahead_of_stature: f64,
    pub(crate) hands_apart_of_stature: f64,
    pub(crate) forearm_radius_of_stature: f64,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../../../reference/arm_poses.toml"))
            .unwrap_or_else(|e| panic!("reference/arm_poses.toml: {e}"))
    })
}

/// Named hand places.
pub(crate) fn poses() -> &'static Poses {
    &table().pose
}

/// Named choices about hands and loads.
pub(crate) fn places() -> &'static Places {
    &table().place
}

/// What one arm does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum ArmPose {
    /// It hangs straight down; its weight and what it carries act at the shoulder.
    Hanging,
    /// Its hand is at this point of the floor frame; its weight acts partly at the shoulder, partly
    /// at the hand, as for a straight arm.
    Reaching { target: V3 },
    /// Hand and the arm's centre of mass are fixed in the trunk's frame.
    Fixed { hand: V3, centre: V3 },
}

/// A hand that takes weight off the feet: an upward force at the place it holds, acting on the trunk
/// through the arm as a strut. The place stays; the hand slides along it with the shoulder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Prop {
    pub(crate) place: Place,
    /// Share of body weight on this hand.
    pub(crate) share: f64,
}

impl Prop {
    /// Where the hand holds for a shoulder there, and along which axes the place follows the shoulder.
    pub(crate) fn hold(&self, side: Side, shoulder: V3) -> (V3, [bool; 3]) {
        let p = &self.place;
        let at = V3::from(p.hold(side.sign(), shoulder.x, shoulder.z));
        let follows = match p.kind {
            SupportKind::WalkingFrame => [shoulder.x > p.front_from && shoulder.x < p.front_to, false, false],
            SupportKind::Bench | SupportKind::ChairBack => {
                [false, false, shoulder.z > p.right_from && shoulder.z < p.right_to]
            }
        };
        (at, follows)
    }
}

/// What arms and trunk carry and hold, left first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Carry {
    pub(crate) arms: [ArmPose; 2],
    /// Kilograms in each hand.
    pub(crate) in_hand: [f64; 2],
    /// Kilograms on the trunk.
    pub(crate) on_trunk: f64,
    pub(crate) props: [Option<Prop>; 2],
}

impl Carry {
    /// Arms that hang with so much in each hand.
    pub(crate) fn hanging(in_hand: f64) -> Self {
        Self { arms: [ArmPose::Hanging; 2], in_hand: [in_hand; 2], on_trunk: 0.0, props: [None; 2] }
    }

    pub(crate) fn pose(&self, side: Side) -> ArmPose {
        self.arms[side as usize]
    }

    /// Both arms in a pose.
    pub(crate) fn both(mut self, pose: impl Fn(Side) -> ArmPose) -> Self {
        self.arms = Side::BOTH.map(pose);
        self
    }

    /// Arm of a side, for a shoulder there: centre of its mass and its hand, floor frame. `to_floor`
    /// carries a point of the trunk's frame over.
    pub(crate) fn arm_and_hand(
        &self,
        body: &Body,
        side: Side,
        shoulder: V3,
        to_floor: impl Fn(V3) -> V3,
    ) -> (V3, V3) {
        match self.pose(side) {
            ArmPose::Hanging => {
                let down = -V3::y() * body.arm_reach;
                (shoulder + down * body.arm_com, shoulder + down)
            }
            ArmPose::Reaching { target } => (shoulder + (target - shoulder) * body.arm_com, target),
            ArmPose::Fixed { hand, centre } => (to_floor(centre), to_floor(hand)),
        }
    }
}

/// Where a pack or vest acts in the trunk's frame.
pub(crate) fn pack_place(body: &Body) -> V3 {
    let p = places();
    V3::new(-p.pack_behind_of_stature * body.stature, body.shoulder_from_lumbar.left.y * p.pack_up_share, 0.0)
}

/// An arm whose hand is at a place given from its own shoulder, in shares of arm length.
pub(crate) fn fixed(body: &Body, side: Side, at: HandAt) -> ArmPose {
    let offset = V3::new(at.ahead, at.up, at.out * side.sign()) * body.arm_reach;
    let shoulder = *body.shoulder_from_lumbar.get(side);
    let links = Links::of(body, side, shoulder, shoulder + offset, -V3::x(), V3::z());
    ArmPose::Fixed { hand: links.hand, centre: links.centre(body) }
}

/// The end of a curl: upper arm along the trunk, elbow at a right angle, hand ahead.
pub(crate) fn curl(body: &Body, side: Side) -> ArmPose {
    let ahead = (body.arm_reach - body.upper_arm) / body.arm_reach;
    fixed(body, side, HandAt { ahead, up: -body.upper_arm / body.arm_reach, out: 0.0 })
}

/// Upper arm and forearm between shoulder and hand; the elbow bends backward and outward.
pub(crate) struct Links {
    pub(crate) shoulder: V3,
    pub(crate) elbow: V3,
    pub(crate) wrist: V3,
    pub(crate) hand: V3,
}

impl Links {
    /// `back` and `right` are the trunk's directions in the frame of the points. A hand further away
    /// than the arm is long is drawn at arm's length toward it.
    pub(crate) fn of(body: &Body, side: Side, shoulder: V3, hand: V3, back: V3, right: V3) -> Self {
        let palm = body.arm_reach - body.upper_arm - body.forearm;
        let (upper, fore) = (body.upper_arm, body.forearm + palm);
        let outward = back + right * (0.3 * side.sign());
        let line = hand - shoulder;
        let length = line.norm().min((upper + fore) * 0.9999).max((upper - fore).abs() + 1e-3);
        let along = line / line.norm().max(1e-9);
        let a = (upper * upper + length * length - fore * fore) / (2.0 * length);
        let off = (upper * upper - a * a).max(0.0).sqrt();
        let across = outward - along * along.dot(&outward);
        let elbow = shoulder + along * a + across / across.norm().max(1e-9) * off;
        let hand = shoulder + along * length;
        let wrist = hand + (elbow - hand) / (elbow - hand).norm().max(1e-9) * palm;
        Self { shoulder, elbow, wrist, hand }
    }

    /// Weights of upper arm, forearm and hand: kilograms and where.
    fn weights(&self, body: &Body) -> [(f64, V3); 3] {
        let [upper, fore, palm] = body.arm_parts;
        [
            (upper.0, self.shoulder + (self.elbow - self.shoulder) * upper.1),
            (fore.0, self.elbow + (self.wrist - self.elbow) * fore.1),
            (palm.0, self.wrist + (self.hand - self.wrist) * palm.1),
        ]
    }

    /// Centre of mass of the whole arm.
    pub(crate) fn centre(&self, body: &Body) -> V3 {
        let weights = self.weights(body);
        weights.iter().map(|(m, p)| p * *m).sum::<V3>() / weights.iter().map(|(m, _)| m).sum::<f64>()
    }

    /// Angles and net holding moments of this arm with so much mass in the hand and such an upward
    /// force of a support on it. `trunk_up` is the trunk's upward direction.
    pub(crate) fn state(&self, body: &Body, trunk_up: V3, in_hand: f64, prop: f64) -> ArmState {
        let angle = |a: V3, b: V3| {
            let cosine = a.dot(&b) / (a.norm() * b.norm()).max(1e-9);
            Angle::rad(cosine.clamp(-1.0, 1.0).acos())
        };
        let parts = self.weights(body);
        let moment = |about: V3, first: usize| {
            let weights = parts[first..].iter().map(|(m, p)| (p - about).cross(&(-V3::y() * *m * GRAVITY)));
            let hand = (self.hand - about).cross(&(V3::y() * (prop - in_hand * GRAVITY)));
            Moment::nm((weights.sum::<V3>() + hand).norm())
        };
        ArmState {
            shoulder_elevation: angle(self.elbow - self.shoulder, -trunk_up),
            elbow_flexion: angle(self.elbow - self.shoulder, self.wrist - self.elbow),
            shoulder_moment: moment(self.shoulder, 0),
            elbow_moment: moment(self.elbow, 1),
        }
    }
}
