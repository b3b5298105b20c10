//! The floor: eight directions from a centre, seen from above, the person facing up the page.

mod layout;
mod log;
mod paint;
mod words;

use anatomy::{PerSide, Side};
use movement::{Bearing, Place};
use quantity::Length;

use crate::scene::{Frame, Scene};

pub use log::log_floor;
pub use words::{FloorWords, LengthWords};

/// How far apart the rings are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rings {
    /// Every 10 cm.
    Every10Cm,
    /// Every 20 cm.
    Every20Cm,
}

impl Rings {
    /// Distance from ring to ring.
    #[must_use]
    pub fn step(self) -> Length {
        match self {
            Self::Every10Cm => Length::cm(10.0),
            Self::Every20Cm => Length::cm(20.0),
        }
    }
}

/// What is known of one direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RayState {
    /// Out to this distance, nothing in the way before the body's own limit.
    Open(Length),
    /// Out to this distance; a rule, the floor or the body ends it there.
    Limited(Length),
    /// Not to be done.
    Closed,
}

impl RayState {
    /// How far out, unless closed.
    #[must_use]
    pub fn distance(self) -> Option<Length> {
        match self {
            Self::Open(distance) | Self::Limited(distance) => Some(distance),
            Self::Closed => None,
        }
    }
}

/// One direction of one limb.
#[derive(Clone, Debug, PartialEq)]
pub struct Ray {
    /// Where to.
    pub bearing: Bearing,
    /// How far, or closed.
    pub state: RayState,
    /// Where it touches the floor: forward and right of the centre, metres. `None` is on the bearing.
    pub landing: Option<[f64; 2]>,
    /// Direction of the foot that lands there, degrees clockwise from straight ahead.
    pub landing_yaw_deg: f64,
    /// A word or two under the distance, such as `hands on frame`.
    pub note: Option<String>,
}

impl Ray {
    /// The same direction for the person in a mirror.
    fn mirrored(&self) -> Self {
        Self {
            bearing: self.bearing.mirrored(),
            landing: self.landing.map(|[forward, right]| [forward, -right]),
            landing_yaw_deg: -self.landing_yaw_deg,
            ..self.clone()
        }
    }

    /// Where the line to the far point begins and where it ends: forward, right, metres. A limb that
    /// keeps its own lane straight ahead or back starts beside the centre.
    #[must_use]
    pub fn line(&self, distance: f64) -> [[f64; 2]; 2] {
        let (forward, right) = self.bearing.forward_right();
        let end = self.landing.unwrap_or([forward * distance, right * distance]);
        let begin = if self.bearing.side_sign() == 0 { [0.0, end[1]] } else { [0.0, 0.0] };
        [begin, end]
    }
}

/// Which names stand at the rim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Names {
    /// Plain words from the floor, for the patient.
    Floor,
    /// The trade's names, which depend on the limb they are named from.
    Trade {
        /// That limb.
        named_from: Side,
    },
    /// No names; distances only.
    Hidden,
}

/// Whether the way out and back is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrows {
    /// An arrow out and back on each open ray: the sheet.
    OutAndBack,
    /// One pale permitted area bounded through the limits: the movement space.
    Area,
}

/// What touches the far point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Landing {
    /// A whole foot, its middle at the distance.
    Foot,
    /// The tip of the toes, without weight.
    ToeTouch,
    /// A hand, above that point of the floor.
    Hand,
}

/// Which feet stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// The foot of the other side than the one that moves.
    OtherFoot,
    /// Both feet; a hand moves.
    BothFeet,
}

/// The print of one foot at the start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FootPrint {
    /// Middle of the print: forward and right of the centre, metres.
    pub centre: [f64; 2],
    /// Direction of the toes, degrees clockwise from straight ahead.
    pub yaw_deg: f64,
    /// Length of the foot.
    pub length: Length,
    /// Breadth of the foot.
    pub breadth: Length,
}

/// Everything one floor shows. Plain data: this crate does not know why a direction is closed.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorInput {
    /// The limb that moves.
    pub mover: Side,
    /// Which feet stand.
    pub standing: Standing,
    /// The feet at the start.
    pub feet: PerSide<FootPrint>,
    /// The directions to show; others are left blank.
    pub rays: Vec<Ray>,
    /// What touches the far point.
    pub landing: Landing,
    /// Rings.
    pub rings: Rings,
    /// Whether each ring carries its distance; where not, the page beside it says how far apart they are.
    pub ring_labels: bool,
    /// The words on it.
    pub words: FloorWords,
    /// Names at the rim.
    pub names: Names,
    /// Arrows or area.
    pub arrows: Arrows,
    /// Furniture that stands there.
    pub supports: Vec<Place>,
    /// Whether the furniture is named under the floor; where not, the page beside it names it.
    pub support_names: bool,
    /// Clear floor where it is known.
    pub clear_floor: Vec<(Bearing, Length)>,
}

impl FloorInput {
    /// Radius of what is drawn around the centre; the outermost ring lies inside.
    #[must_use]
    pub fn rim(&self) -> Length {
        Length::m(layout::rim(self))
    }

    /// The same floor for the person in a mirror: every side and every bearing changes over.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let foot = |print: &FootPrint| FootPrint {
            centre: [print.centre[0], -print.centre[1]],
            yaw_deg: -print.yaw_deg,
            ..*print
        };
        Self {
            mover: self.mover.other(),
            feet: PerSide { left: foot(&self.feet.right), right: foot(&self.feet.left) },
            rays: self.rays.iter().map(Ray::mirrored).collect(),
            names: match self.names {
                Names::Trade { named_from } => Names::Trade { named_from: named_from.other() },
                same => same,
            },
            supports: self.supports.iter().map(|p| p.mirrored()).collect(),
            clear_floor: self.clear_floor.iter().map(|(b, d)| (b.mirrored(), *d)).collect(),
            ..self.clone()
        }
    }
}

/// Draws one floor as large as the frame allows.
#[must_use]
pub fn floor(input: &FloorInput, frame: Frame) -> Scene {
    let layout = layout::fit(input, frame);
    paint::paint(input, frame, &layout)
}

/// Draws two floors at the same scale with their centres at the same height, to stand side by
/// side: the left limb's floor first.
#[must_use]
pub fn floor_pair(left: &FloorInput, right: &FloorInput, frame: Frame) -> [Scene; 2] {
    let layouts = layout::fit_pair(left, right, frame);
    [paint::paint(left, frame, &layouts[0]), paint::paint(right, frame, &layouts[1])]
}

/// Where the words of each direction stand, for checks: bearing, then left, right, upper and lower
/// edge relative to the centre of the floor.
#[must_use]
pub fn label_boxes(input: &FloorInput, frame: Frame) -> Vec<(u16, [f64; 4])> {
    let layout = layout::fit(input, frame);
    layout::labels(input, frame, layout.rim(), layout.split_names)
        .into_iter()
        .map(|(bearing, label)| (bearing, label.edges()))
        .collect()
}

/// Where a drawn floor lies on its page: what a hand needs that points at it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FloorPlace {
    /// The centre: right and down, points.
    pub centre: [f64; 2],
    /// Points a metre.
    pub scale: f64,
    /// Radius of what is drawn, metres.
    pub rim: f64,
}

/// Where [`floor`] puts the centre, and how large it draws a metre.
#[must_use]
pub fn floor_place(input: &FloorInput, frame: Frame) -> FloorPlace {
    let layout = layout::fit(input, frame);
    FloorPlace { centre: layout.centre, scale: layout.scale, rim: layout.rim }
}

/// Where [`floor_pair`] puts the two centres, the left limb's first; both at one scale.
#[must_use]
pub fn floor_places(left: &FloorInput, right: &FloorInput, frame: Frame) -> [FloorPlace; 2] {
    layout::fit_pair(left, right, frame).map(|layout| FloorPlace {
        centre: layout.centre,
        scale: layout.scale,
        rim: layout.rim,
    })
}

/// How large the floor of one limb, or of two at one scale, would be drawn in this frame: the
/// radius of what is drawn, in points.
#[must_use]
pub fn floor_radius(inputs: &[&FloorInput], frame: Frame) -> f64 {
    let layout = match inputs {
        [left, right] => layout::fit_pair(left, right, frame)[0].clone(),
        [one] => layout::fit(one, frame),
        _ => return 0.0,
    };
    layout.rim * layout.scale
}
