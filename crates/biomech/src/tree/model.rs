//! Masses, inertias and joint places of one body, with what it carries.

use anatomy::Side;
use nalgebra::{Matrix3, Vector3};
use quantity::GRAVITY;

use super::topology::{ANGLES_FROM, Coordinates, SEGMENTS, Segment, TRUNK_FROM, arm_from};
use crate::body::Body;
use crate::rigid::{Part, together};
use crate::state::{Seg, V3};
use crate::tables::{SegmentRow, segment};

/// A mass held in a hand or worn on a segment, taken as a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carried {
    /// What carries it.
    pub segment: Segment,
    /// Where, in the segment's frame, metres.
    pub local: Vector3<f64>,
    /// Kilograms.
    pub mass: f64,
}

impl Carried {
    /// A mass in the middle of one hand.
    #[must_use]
    pub fn in_hand(body: &Body, side: Side, mass: f64) -> Self {
        let local = V3::new(0.0, body.upper_arm - body.arm_reach, 0.0);
        Self { segment: Segment::Forearm(side), local, mass }
    }
}

/// What the recursions need of one segment.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    /// Origin in the parent's frame.
    pub(super) offset: V3,
    pub(super) mass: f64,
    /// Centre of mass in its own frame.
    pub(super) centre: V3,
    /// Inertia about its own centre, in its own frame.
    pub(super) inertia: Matrix3<f64>,
}

/// The rigid tree of one body with what it carries. It never changes.
///
/// Masses and centres of mass are those of [`Body`]; radii of gyration are de Leva's fractions of
/// the same lengths (`reference/segments_deleva1996.toml`). Trunk and head, and forearm and hand,
/// are joined by the parallel-axis theorem. The foot's longitudinal axis runs from heel to toe,
/// its sagittal axis through the sole (an assumption: the table names axes for a foot in line with
/// the shank; the two radii differ by 7 %). The tree does not know soft tissue, and the spine is one joint.
#[derive(Clone, Debug)]
pub struct Tree {
    pub(super) links: [Link; SEGMENTS],
    pub(super) gravity: V3,
    mass: f64,
    hand: V3,
}

/// Inertia about the own centre of a part of this length; `long` names the axis along it.
fn inertia(row: &SegmentRow, mass: f64, length: f64, long: super::topology::Axis) -> Matrix3<f64> {
    use super::topology::Axis;
    let about = |r: f64| mass * (r * length).powi(2);
    let (sagittal, transverse, along) =
        (about(row.r_sagittal), about(row.r_transverse), about(row.r_longitudinal));
    Matrix3::from_diagonal(&match long {
        Axis::X => V3::new(along, sagittal, transverse),
        Axis::Y | Axis::Z => V3::new(sagittal, along, transverse),
    })
}

/// A part that stands on the segment's own Y axis between two heights; the table's `cm` runs
/// from the first to the second.
fn upright(row: &SegmentRow, body_mass: f64, from: f64, to: f64) -> Part {
    use super::topology::Axis;
    let mass = row.mass * body_mass;
    Part {
        mass,
        centre: V3::new(0.0, from + row.cm * (to - from), 0.0),
        inertia: inertia(row, mass, (to - from).abs(), Axis::Y),
    }
}

fn joined(parts: &[Part]) -> Part {
    together(parts).unwrap_or_else(|| Part::point(0.0, V3::zeros()))
}

impl Tree {
    /// Builds the tree of a body with what it carries (masses of zero are welcome).
    #[must_use]
    pub fn of(body: &Body, carried: &[Carried]) -> Self {
        let sex = body.size().sex();
        let row = |name: &str| segment(name, sex);
        let m = body.mass;
        let hand_length = body.arm_reach - body.upper_arm - body.forearm;
        let down = |length: f64| V3::new(0.0, -length, 0.0);
        let (lumbar, neck, vertex) =
            (body.lumbar_from_mid_hip.y, body.neck_from_lumbar.y, body.vertex_from_lumbar.y);
        let xiphion = row("middle_trunk").length * lumbar / row("lower_trunk").length;

        let part = |seg: Segment| match seg {
            Segment::Pelvis => upright(row("lower_trunk"), m, lumbar, 0.0),
            Segment::Trunk => joined(&[
                upright(row("middle_trunk"), m, xiphion, 0.0),
                upright(row("upper_trunk"), m, neck, xiphion),
                upright(row("head"), m, vertex, neck),
            ]),
            Segment::Thigh(side) => upright(row("thigh"), m, 0.0, -body.thigh.get(side)),
            Segment::Shank(side) => upright(row("shank"), m, 0.0, -body.shank.get(side)),
            Segment::Foot(side) => {
                let (mass, centre) = body.segment(Seg::Foot(side));
                let long = super::topology::Axis::X;
                Part { mass, centre, inertia: inertia(row("foot"), mass, body.foot_length, long) }
            }
            Segment::UpperArm(_) => upright(row("upper_arm"), m, 0.0, -body.upper_arm),
            Segment::Forearm(_) => joined(&[
                upright(row("forearm"), m, 0.0, -body.forearm),
                upright(row("hand"), m, -body.forearm, -body.forearm - hand_length),
            ]),
        };
        let offset = |seg: Segment| match seg {
            Segment::Pelvis => V3::zeros(),
            Segment::Trunk => body.lumbar_from_mid_hip,
            Segment::Thigh(side) => V3::new(0.0, 0.0, side.sign() * body.half_hip_spacing),
            Segment::Shank(side) => down(*body.thigh.get(side)),
            Segment::Foot(side) => down(*body.shank.get(side)),
            Segment::UpperArm(side) => *body.shoulder_from_lumbar.get(side),
            Segment::Forearm(_) => down(body.upper_arm),
        };
        let links = Segment::ALL.map(|seg| {
            let loads = carried.iter().filter(|c| c.segment == seg && c.mass != 0.0);
            let whole = loads.fold(part(seg), |whole, c| joined(&[whole, Part::point(c.mass, c.local)]));
            Link { offset: offset(seg), mass: whole.mass, centre: whole.centre, inertia: whole.inertia }
        });
        Self::from_links(links, down(body.forearm + hand_length))
    }

    /// A tree of the same shape with any masses: for each segment of [`Segment::ALL`] its origin in
    /// the parent's frame and its part in its own frame, then the middle of the hand in the
    /// forearm's frame. For trees that another program has computed too.
    #[must_use]
    pub fn from_parts(segments: &[(Vector3<f64>, Part); SEGMENTS], hand: Vector3<f64>) -> Self {
        let link = |(offset, part): (Vector3<f64>, Part)| Link {
            offset,
            mass: part.mass,
            centre: part.centre,
            inertia: part.inertia,
        };
        Self::from_links(segments.map(link), hand)
    }

    fn from_links(links: [Link; SEGMENTS], hand: V3) -> Self {
        let mass = links.iter().map(|link| link.mass).sum();
        Self { links, gravity: V3::new(0.0, -GRAVITY, 0.0), mass, hand }
    }

    /// The same tree under another gravity (m/s², floor frame); zero for tests of free flight.
    #[must_use]
    pub fn with_gravity(mut self, gravity: Vector3<f64>) -> Self {
        self.gravity = gravity;
        self
    }

    /// Gravity, m/s².
    #[must_use]
    pub fn gravity(&self) -> Vector3<f64> {
        self.gravity
    }

    /// Mass of body and carried loads, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.mass
    }

    /// Mass, centre and inertia of a segment with what it carries, in its own frame.
    #[must_use]
    pub fn part(&self, segment: Segment) -> Part {
        let link = &self.links[segment.index()];
        Part { mass: link.mass, centre: link.centre, inertia: link.inertia }
    }

    /// Where a segment's origin lies in its parent's frame, metres; zero for the pelvis.
    #[must_use]
    pub fn offset(&self, segment: Segment) -> Vector3<f64> {
        self.links[segment.index()].offset
    }

    /// The middle of the hand, where a load is held, in the frame of [`Segment::Forearm`].
    #[must_use]
    pub fn hand(&self) -> Vector3<f64> {
        self.hand
    }

    /// Sets the four coordinates of an arm so that it hangs straight down from the shoulder,
    /// whatever pelvis and trunk do (shoulder flexion and abduction; rotation and elbow zero).
    pub fn hang_arm(side: Side, q: &mut Coordinates) {
        let trunk = (ANGLES_FROM..TRUNK_FROM + 3).fold(Matrix3::identity(), |mut rot, i| {
            super::kinematics::turn(&mut rot, i, q[i]);
            rot
        });
        let down = trunk.transpose() * V3::new(0.0, -1.0, 0.0);
        let first = arm_from(side);
        // Rz(flexion) Rx(∓abduction) takes −Y to this direction.
        q[first] = down.x.atan2(-down.y);
        q[first + 1] = side.sign() * down.z.clamp(-1.0, 1.0).asin();
        q[first + 2] = 0.0;
        q[first + 3] = 0.0;
    }
}
