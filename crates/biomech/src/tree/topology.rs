//! Which segment hangs on which, and about which axes it turns: the same for every body.

use anatomy::Side;
use nalgebra::Vector3;

/// Number of coordinates of the tree.
pub const TREE_COORDINATES: usize = 31;

/// One value for each coordinate: metres for the first three, radians for the rest, or their rates.
pub type Coordinates = [f64; TREE_COORDINATES];

/// Number of segments.
pub const SEGMENTS: usize = 12;

/// First coordinate that is an angle: yaw of the pelvis; before it stand the three translations.
pub const ANGLES_FROM: usize = 3;

/// First of the three coordinates between pelvis and trunk.
pub const TRUNK_FROM: usize = 6;

/// First of the seven coordinates of a leg: hip flexion, adduction, internal rotation, knee
/// flexion, knee internal rotation, ankle dorsiflexion, foot inversion.
#[must_use]
pub const fn leg_from(side: Side) -> usize {
    match side {
        Side::Left => 9,
        Side::Right => 16,
    }
}

/// First of the four coordinates of an arm: shoulder flexion, abduction, internal rotation, elbow
/// flexion.
#[must_use]
pub const fn arm_from(side: Side) -> usize {
    match side {
        Side::Left => 23,
        Side::Right => 27,
    }
}

/// Names of the coordinates, in order, for tables and files.
pub const COORDINATE_NAMES: [&str; TREE_COORDINATES] = [
    "forward",
    "up",
    "right",
    "pelvis_yaw",
    "pelvis_tilt",
    "pelvis_list",
    "trunk_flexion",
    "trunk_lateral_flexion",
    "trunk_rotation",
    "left_hip_flexion",
    "left_hip_adduction",
    "left_hip_internal_rotation",
    "left_knee_flexion",
    "left_knee_internal_rotation",
    "left_ankle_dorsiflexion",
    "left_foot_inversion",
    "right_hip_flexion",
    "right_hip_adduction",
    "right_hip_internal_rotation",
    "right_knee_flexion",
    "right_knee_internal_rotation",
    "right_ankle_dorsiflexion",
    "right_foot_inversion",
    "left_shoulder_flexion",
    "left_shoulder_abduction",
    "left_shoulder_internal_rotation",
    "left_elbow_flexion",
    "right_shoulder_flexion",
    "right_shoulder_abduction",
    "right_shoulder_internal_rotation",
    "right_elbow_flexion",
];

/// A rigid segment of the tree. Its frame has its origin in the joint nearer to the pelvis; that
/// of the pelvis in the middle between the hip centres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Segment {
    /// From the hips to the navel.
    Pelvis,
    /// From the navel up, with the head, without the arms.
    Trunk,
    /// Hip to knee.
    Thigh(Side),
    /// Knee to ankle.
    Shank(Side),
    /// The foot; its origin is the ankle.
    Foot(Side),
    /// Shoulder to elbow.
    UpperArm(Side),
    /// Elbow to fingers: forearm and hand as one.
    Forearm(Side),
}

impl Segment {
    /// All segments; each stands after the one it hangs on.
    pub const ALL: [Self; SEGMENTS] = [
        Self::Pelvis,
        Self::Trunk,
        Self::Thigh(Side::Left),
        Self::Shank(Side::Left),
        Self::Foot(Side::Left),
        Self::Thigh(Side::Right),
        Self::Shank(Side::Right),
        Self::Foot(Side::Right),
        Self::UpperArm(Side::Left),
        Self::Forearm(Side::Left),
        Self::UpperArm(Side::Right),
        Self::Forearm(Side::Right),
    ];

    /// Place in [`Self::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        match self {
            Self::Pelvis => 0,
            Self::Trunk => 1,
            Self::Thigh(Side::Left) => 2,
            Self::Shank(Side::Left) => 3,
            Self::Foot(Side::Left) => 4,
            Self::Thigh(Side::Right) => 5,
            Self::Shank(Side::Right) => 6,
            Self::Foot(Side::Right) => 7,
            Self::UpperArm(Side::Left) => 8,
            Self::Forearm(Side::Left) => 9,
            Self::UpperArm(Side::Right) => 10,
            Self::Forearm(Side::Right) => 11,
        }
    }

    /// The segment it hangs on; `None` for the pelvis.
    #[must_use]
    pub fn parent(self) -> Option<Self> {
        (self != Self::Pelvis).then(|| Self::ALL[PARENT[self.index()]])
    }

    /// Whether coordinate `i` moves this segment.
    #[must_use]
    pub fn is_moved_by(self, coordinate: usize) -> bool {
        coordinate < TREE_COORDINATES && (CARRIES[coordinate] >> self.index()) & 1 == 1
    }
}

/// Segment each segment hangs on; the pelvis names itself.
pub(super) const PARENT: [usize; SEGMENTS] = [0, 0, 0, 2, 3, 0, 5, 6, 1, 8, 1, 10];

/// First angle that turns each segment against its parent, and the first that no longer does.
pub(super) const TURNS: [(usize, usize); SEGMENTS] = [
    (3, 6),
    (6, 9),
    (9, 12),
    (12, 14),
    (14, 16),
    (16, 19),
    (19, 21),
    (21, 23),
    (23, 26),
    (26, 27),
    (27, 30),
    (30, 31),
];

/// A coordinate axis of a segment frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Axis {
    X,
    Y,
    Z,
}

use Axis::{X, Y, Z};

/// Axis and sense of every coordinate; the first three are translations along the floor axes.
pub(super) const AXES: [(Axis, f64); TREE_COORDINATES] = [
    (X, 1.0),
    (Y, 1.0),
    (Z, 1.0),
    // Pelvis: yaw clockwise seen from above, tilt, list.
    (Y, -1.0),
    (Z, 1.0),
    (X, 1.0),
    // Trunk: flexion, lateral flexion to the right, rotation to the right.
    (Z, -1.0),
    (X, 1.0),
    (Y, -1.0),
    // Left leg.
    (Z, 1.0),
    (X, -1.0),
    (Y, -1.0),
    (Z, -1.0),
    (Y, -1.0),
    (Z, 1.0),
    (X, -1.0),
    // Right leg.
    (Z, 1.0),
    (X, 1.0),
    (Y, 1.0),
    (Z, -1.0),
    (Y, 1.0),
    (Z, 1.0),
    (X, 1.0),
    // Left arm.
    (Z, 1.0),
    (X, 1.0),
    (Y, -1.0),
    (Z, 1.0),
    // Right arm.
    (Z, 1.0),
    (X, -1.0),
    (Y, 1.0),
    (Z, 1.0),
];

/// Bit `s` of entry `i`: coordinate `i` moves segment `s`.
const CARRIES: [u16; TREE_COORDINATES] = {
    let mut carries = [0; TREE_COORDINATES];
    let mut segment = 0;
    while segment < SEGMENTS {
        let mut at = segment;
        loop {
            let (from, to) = TURNS[at];
            let mut i = if at == 0 { 0 } else { from };
            while i < to {
                carries[i] |= 1 << segment;
                i += 1;
            }
            if at == 0 {
                break;
            }
            at = PARENT[at];
        }
        segment += 1;
    }
    carries
};

/// One coordinate as another program needs it to build the same tree.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    /// Whether it slides along its axis (the first three) or turns about it.
    pub slides: bool,
    /// The axis at zero, a unit vector; it is fixed in what stands before it in the chain.
    pub axis: Vector3<f64>,
    /// The segment that this coordinate and its neighbours turn; several coordinates of one
    /// segment act in order, the first one nearest to the parent.
    pub segment: Segment,
}

impl Joint {
    /// The joint of a coordinate.
    ///
    /// # Panics
    /// For a coordinate that the tree does not have.
    #[must_use]
    pub fn of(coordinate: usize) -> Self {
        let (axis, sense) = AXES[coordinate];
        let axis = sense
            * match axis {
                X => Vector3::x(),
                Y => Vector3::y(),
                Z => Vector3::z(),
            };
        let segment = TURNS.iter().position(|(_, to)| coordinate < *to).unwrap_or(0);
        Self { slides: coordinate < ANGLES_FROM, axis, segment: Segment::ALL[segment] }
    }
}
