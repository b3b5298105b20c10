//! Arms in time: hanging straight down from a shoulder that moves, or on the way to a point.

use anatomy::Side;

use crate::body::Body;
use crate::state::{Seg, State, V3};
use crate::tables::segment;

/// How far the elbow points outward beside backward.
const ELBOW_OUT: f64 = 0.3;

/// What a hand does in one frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Hand {
    /// The arm hangs straight down.
    Hangs,
    /// It is at this point of the floor frame.
    At(V3),
    /// It is held in the trunk's frame.
    WithTrunk(V3),
}

impl Hand {
    /// Where it is.
    pub(crate) fn place(self, body: &Body, state: &State, side: Side) -> V3 {
        match self {
            Self::Hangs => hanging(body, shoulder(body, state, side)),
            Self::At(point) => point,
            Self::WithTrunk(local) => state.point(Seg::Trunk, local),
        }
    }
}

/// Mass of the upper arm and of forearm with hand, each with the distance of its centre from its joint.
pub(crate) fn links(body: &Body) -> [(f64, f64); 2] {
    let row = |name: &str| segment(name, body.size().sex());
    let (upper, fore, hand) = (row("upper_arm"), row("forearm"), row("hand"));
    let palm = body.arm_reach - body.upper_arm - body.forearm;
    let (m, n) = (fore.mass * body.mass, hand.mass * body.mass);
    let along = (m * fore.cm * body.forearm + n * (body.forearm + hand.cm * palm)) / (m + n);
    [(upper.mass * body.mass, upper.cm * body.upper_arm), (m + n, along)]
}

/// Where a shoulder is.
pub(crate) fn shoulder(body: &Body, state: &State, side: Side) -> V3 {
    state.point(Seg::Trunk, *body.shoulder_from_lumbar.get(side))
}

/// Where the hand of an arm that hangs is.
pub(crate) fn hanging(body: &Body, shoulder: V3) -> V3 {
    shoulder - V3::y() * body.arm_reach
}

/// The four coordinates of the tree (shoulder flexion, abduction, internal rotation, elbow flexion)
/// of an arm whose hand goes to `hand`, as far as the arm is long. The elbow bends backward and
/// outward.
///
/// In the trunk's frame the upper arm points along `d = (sin f cos a, −cos f cos a, s sin a)` for
/// flexion `f`, abduction `a` and side sign `s`.
pub(crate) fn angles(body: &Body, state: &State, side: Side, hand: V3) -> [f64; 4] {
    let s = side.sign();
    let (upper, fore) = (body.upper_arm, body.arm_reach - body.upper_arm);
    let axes = [V3::x(), V3::y(), V3::z()].map(|v| state.dir(Seg::Trunk, v));
    let line = hand - shoulder(body, state, side);
    let line = V3::new(line.dot(&axes[0]), line.dot(&axes[1]), line.dot(&axes[2]));
    let length = line.norm().clamp((upper - fore).abs() + 1e-3, upper + fore);
    let along = line / line.norm().max(1e-9);
    let cosine = (upper * upper + fore * fore - length * length) / (2.0 * upper * fore);
    let bend = std::f64::consts::PI - cosine.clamp(-1.0, 1.0).acos();
    let a = (upper * upper + length * length - fore * fore) / (2.0 * length);
    let off = (upper * upper - a * a).max(0.0).sqrt();
    let hint = V3::new(-1.0, 0.0, ELBOW_OUT * s);
    let out = (hint - along * along.dot(&hint)).normalize();
    let d = (along * a + out * off).normalize();
    let (flexion, abduction) = (d.x.atan2(-d.y), (s * d.z).clamp(-1.0, 1.0).asin());
    // The forearm leaves the upper arm on the side away from the elbow.
    let forward = V3::new(flexion.cos(), flexion.sin(), 0.0);
    let turn = s * out.dot(&d.cross(&forward)).atan2(-out.dot(&forward));
    [flexion, abduction, turn, bend]
}

#[cfg(test)]
mod tests {
    use anatomy::{BodySize, PerSide, Sex};
    use quantity::{Length, Mass};

    use super::*;
    use crate::tree::{Scratch, Segment, TREE_COORDINATES, Tree, arm_from};

    #[test]
    fn the_hand_of_the_tree_is_where_the_arm_was_sent() {
        let size =
            BodySize::new(Length::cm(171.0), Mass::kg(74.0), Sex::Female, 47, PerSide::default()).unwrap();
        let body = Body::of(&size);
        let tree = Tree::of(&body, &[]);
        let mut q = [0.0; TREE_COORDINATES];
        (q[1], q[3], q[4], q[6], q[7], q[8]) = (0.9, 0.4, -0.3, 0.5, 0.1, -0.2);
        let state = State::new(&body, &q[..23]);
        for side in Side::BOTH {
            let from = shoulder(&body, &state, side);
            for to in [
                hanging(&body, from),
                from + V3::new(0.45, -0.1, 0.2 * side.sign()),
                from + V3::new(0.1, -0.3, -0.2),
                from + V3::new(0.2, 0.4, 0.1),
            ] {
                q[arm_from(side)..arm_from(side) + 4].copy_from_slice(&angles(&body, &state, side, to));
                let mut scratch = Scratch::new();
                let pose = tree.pose(&q, &mut scratch);
                let palm = V3::new(0.0, -(body.arm_reach - body.upper_arm), 0.0);
                let there = pose.point(Segment::Forearm(side), palm);
                assert!((there - to).norm() < 1e-6, "{side}: {there} for {to}");
            }
        }
    }
}
