//! A computed posture drawn as a body, from behind or from the side.

mod body;
mod marks;
mod paint;

use std::collections::BTreeMap;

use anatomy::Side;
use biomech::{Landmark, Posture};
use movement::Place;
use quantity::Length;

use crate::scene::{Frame, Scene};

/// From where the figure is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum View {
    /// From behind: the person's right is the page's right.
    Behind,
    /// From this side of the person: from the right the person faces the page's right, from the
    /// left they face the page's left.
    Side(Side),
    /// From this many degrees round from behind, toward the person's right: 90 is their right side, 180
    /// their face. For a figure that a hand turns; never on paper, where left and right must stay.
    Around(i16),
}

/// Words at a joint, written beside the figure with a line to it.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureMark {
    /// The joint.
    pub at: Landmark,
    /// The words.
    pub words: String,
    /// Whether they are bold.
    pub heavy: bool,
}

/// What moves; the rest of the feet stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moves {
    /// This leg moves, the other stands.
    Leg(Side),
    /// This side's hand goes out; both feet stand.
    Hand(Side),
}

impl Moves {
    /// The side that moves.
    #[must_use]
    pub fn side(self) -> Side {
        match self {
            Self::Leg(side) | Self::Hand(side) => side,
        }
    }

    fn foot_stands(self, side: Side) -> bool {
        match self {
            Self::Leg(mover) => side != mover,
            Self::Hand(_) => true,
        }
    }
}

/// Where every landmark of a body is: forward, up, right, in metres.
#[derive(Clone, Debug, PartialEq)]
pub struct FigurePoints(BTreeMap<Landmark, [f64; 3]>);

impl FigurePoints {
    /// Every landmark a figure needs.
    #[must_use]
    pub fn landmarks() -> Vec<Landmark> {
        let mut all = vec![Landmark::Vertex, Landmark::Neck, Landmark::Lumbar, Landmark::MidHip];
        for side in Side::BOTH {
            all.extend([
                Landmark::Shoulder(side),
                Landmark::Elbow(side),
                Landmark::Wrist(side),
                Landmark::Hand(side),
                Landmark::Hip(side),
                Landmark::Knee(side),
                Landmark::Ankle(side),
                Landmark::Heel(side),
                Landmark::Ball(side),
                Landmark::ToeTip(side),
            ]);
        }
        all
    }

    /// The landmarks of a computed posture.
    #[must_use]
    pub fn of(posture: &Posture) -> Self {
        Self::from_fn(|landmark| posture.point(landmark))
    }

    /// The landmarks from any function of the landmark.
    #[must_use]
    pub fn from_fn(place: impl Fn(Landmark) -> [f64; 3]) -> Self {
        Self(Self::landmarks().into_iter().map(|landmark| (landmark, place(landmark))).collect())
    }

    /// Where a landmark is.
    #[must_use]
    pub fn point(&self, landmark: Landmark) -> [f64; 3] {
        self.0.get(&landmark).copied().unwrap_or([0.0; 3])
    }

    /// The same body in a mirror that exchanges left and right.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self::from_fn(|landmark| {
            let [forward, up, right] = self.point(swapped(landmark));
            [forward, up, -right]
        })
    }
}

fn swapped(landmark: Landmark) -> Landmark {
    match landmark {
        Landmark::Shoulder(s) => Landmark::Shoulder(s.other()),
        Landmark::Elbow(s) => Landmark::Elbow(s.other()),
        Landmark::Wrist(s) => Landmark::Wrist(s.other()),
        Landmark::Hand(s) => Landmark::Hand(s.other()),
        Landmark::Hip(s) => Landmark::Hip(s.other()),
        Landmark::Knee(s) => Landmark::Knee(s.other()),
        Landmark::Ankle(s) => Landmark::Ankle(s.other()),
        Landmark::Heel(s) => Landmark::Heel(s.other()),
        Landmark::Ball(s) => Landmark::Ball(s.other()),
        Landmark::ToeTip(s) => Landmark::ToeTip(s.other()),
        middle @ (Landmark::Vertex | Landmark::Neck | Landmark::Lumbar | Landmark::MidHip) => middle,
    }
}

/// Everything one figure shows.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureInput {
    /// The posture.
    pub points: FigurePoints,
    /// What moves.
    pub moves: Moves,
    /// From where it is seen.
    pub view: View,
    /// Breadth of the foot.
    pub foot_breadth: Length,
    /// Body mass over stature squared, kg/m²: how broad the figure is drawn.
    pub body_mass_index: f64,
    /// The support that stands there, if any.
    pub support: Option<Place>,
    /// The letter under the left foot, then under the right foot.
    pub foot_letters: [&'static str; 2],
}

impl FigureInput {
    /// The same figure for the person in a mirror.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self {
            points: self.points.mirrored(),
            moves: match self.moves {
                Moves::Leg(side) => Moves::Leg(side.other()),
                Moves::Hand(side) => Moves::Hand(side.other()),
            },
            view: match self.view {
                View::Behind => View::Behind,
                View::Side(side) => View::Side(side.other()),
                View::Around(degrees) => View::Around(-degrees),
            },
            support: self.support.map(Place::mirrored),
            ..self.clone()
        }
    }
}

/// Draws one figure as large as the frame allows.
#[must_use]
pub fn figure(input: &FigureInput, frame: Frame) -> Scene {
    let body = body::Body::of(input);
    let scale = paint::largest_scale(&body, frame);
    paint::paint(&body, frame, scale, paint::needed_height(&body, frame, scale))
}

/// Draws several figures at one scale and one height, so that bodies can be compared.
#[must_use]
pub fn figures(inputs: &[FigureInput], frame: Frame) -> Vec<Scene> {
    let bodies: Vec<_> = inputs.iter().map(body::Body::of).collect();
    let scale = bodies.iter().map(|b| paint::largest_scale(b, frame)).fold(f64::INFINITY, f64::min);
    let height = bodies.iter().map(|b| paint::needed_height(b, frame, scale)).fold(0.0, f64::max);
    bodies.iter().map(|b| paint::paint(b, frame, scale, height)).collect()
}

/// Draws one figure with words beside it, each with a line to its joint: left of the middle what is seen
/// left of it. The words take their room from the figure's width.
#[must_use]
pub fn figure_with_words(input: &FigureInput, frame: Frame, marks: &[FigureMark]) -> Scene {
    marks::paint(input, frame, marks)
}
