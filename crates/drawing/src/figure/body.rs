//! Gives the landmarks a body: round pieces in space, seen in one view.

use anatomy::Side;
use biomech::Landmark;

use super::{FigureInput, FigurePoints, Moves, View};
use crate::shape_table::shape;
use crate::support::{self, Bar};

/// A point as the view sees it, in metres: right on the page, up on the page, away from the eye.
pub(super) type Seen = [f64; 3];

/// How far the eye looks down, degrees: enough to show which foot stands further away.
const LOOKS_DOWN_DEG: f64 = 13.0;

/// The rubber-band outline around some balls.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub balls: Vec<(Seen, f64)>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    Trunk,
    Head,
    Leg(Side),
    Arm(Side),
    Foot(Side),
}

/// Pieces that share one outline.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub group: Group,
    pub pieces: Vec<Piece>,
    pub toned: bool,
    /// How far away it is, for the order of drawing.
    pub away: f64,
}

/// A support's piece as seen.
#[derive(Clone, Debug)]
pub(super) struct SeenBar {
    pub ends: [Seen; 2],
    pub thickness: f64,
}

/// A body ready to be drawn.
pub(super) struct Body {
    pub moves: Moves,
    pub parts: Vec<Part>,
    pub bars: Vec<SeenBar>,
    /// The floor under it, as seen.
    pub ground: Vec<Seen>,
    /// Middle of each foot's sole as seen.
    pub soles: [(Side, Seen); 2],
    /// The letter of the left foot, then of the right.
    pub letters: [&'static str; 2],
}

fn add(a: [f64; 3], b: [f64; 3], times: f64) -> [f64; 3] {
    [a[0] + b[0] * times, a[1] + b[1] * times, a[2] + b[2] * times]
}

fn between(a: [f64; 3], b: [f64; 3], share: f64) -> [f64; 3] {
    add(a, [b[0] - a[0], b[1] - a[1], b[2] - a[2]], share)
}

fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    ((a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2) + (a[2] - b[2]).powi(2)).sqrt()
}

fn unit(v: [f64; 3]) -> [f64; 3] {
    let length = distance(v, [0.0; 3]);
    if length < 1e-9 { [1.0, 0.0, 0.0] } else { [v[0] / length, v[1] / length, v[2] / length] }
}

pub(super) fn seen(view: View, [forward, up, right]: [f64; 3]) -> Seen {
    let (across, away) = match view {
        View::Behind => (right, forward),
        View::Side(Side::Right) => (forward, -right),
        View::Side(Side::Left) => (-forward, right),
        View::Around(degrees) => {
            let (sin, cos) = f64::from(degrees).to_radians().sin_cos();
            (right * cos + forward * sin, forward * cos - right * sin)
        }
    };
    let (sin, cos) = LOOKS_DOWN_DEG.to_radians().sin_cos();
    [across, up * cos + away * sin, away * cos - up * sin]
}

struct Builder<'a> {
    points: &'a FigurePoints,
    view: View,
    /// Metres per unit of the shape table, with the build.
    unit: f64,
    girth: f64,
}

impl Builder<'_> {
    fn at(&self, landmark: Landmark) -> [f64; 3] {
        self.points.point(landmark)
    }

    fn round(&self, balls: &[([f64; 3], f64)]) -> Piece {
        Piece {
            balls: balls.iter().map(|(p, r)| (seen(self.view, *p), r * self.unit * self.girth)).collect(),
        }
    }

    fn away(&self, landmarks: &[Landmark]) -> f64 {
        let sum: f64 = landmarks.iter().map(|l| seen(self.view, self.at(*l))[2]).sum();
        sum / landmarks.len() as f64
    }
}

impl Body {
    pub fn of(input: &FigureInput) -> Self {
        let points = &input.points;
        let leg = |side: Side| {
            let [hip, knee, ankle] = [Landmark::Hip(side), Landmark::Knee(side), Landmark::Ankle(side)];
            distance(points.point(hip), points.point(knee))
                + distance(points.point(knee), points.point(ankle))
        };
        let build = &shape().build;
        let girth = (input.body_mass_index / build.usual_index).sqrt().clamp(build.thinnest, build.thickest);
        let builder = Builder {
            points,
            view: input.view,
            unit: (leg(Side::Left) + leg(Side::Right)) / 2.0,
            girth: if girth.is_finite() { girth } else { 1.0 },
        };
        let mut parts = vec![trunk(&builder), head(&builder)];
        for side in Side::BOTH {
            let far = match input.view {
                View::Behind => false,
                View::Side(near) => side != near,
                View::Around(degrees) => match f64::from(degrees).to_radians().sin() {
                    sin if sin > 0.5 => side == Side::Left,
                    sin if sin < -0.5 => side == Side::Right,
                    _ => false,
                },
            };
            // The leg that stands is toned in every view; where both stand, the far one is.
            let leg_toned = match input.moves {
                Moves::Leg(mover) => side != mover,
                Moves::Hand(_) => far,
            };
            parts.push(leg_part(&builder, side, leg_toned));
            parts.push(foot_part(&builder, side, input.foot_breadth.in_m()));
            parts.push(arm(&builder, side, far));
        }
        parts.sort_by(|a, b| b.away.total_cmp(&a.away));
        let bars = input.support.iter().flat_map(support::bars);
        let bars = bars
            .map(|Bar { ends, thickness }| SeenBar { ends: ends.map(|p| seen(input.view, p)), thickness })
            .collect();
        Self {
            moves: input.moves,
            parts,
            bars,
            ground: ground(&builder, input),
            letters: input.foot_letters,
            soles: Side::BOTH.map(|side| {
                let middle = between(builder.at(Landmark::Heel(side)), builder.at(Landmark::Ball(side)), 0.6);
                (side, seen(input.view, middle))
            }),
        }
    }
}

fn trunk(b: &Builder<'_>) -> Part {
    let r = &shape().radius;
    let (lumbar, neck, mid_hip) = (b.at(Landmark::Lumbar), b.at(Landmark::Neck), b.at(Landmark::MidHip));
    let chest = between(lumbar, neck, shape().place.chest_at);
    let [hip_left, hip_right] = Side::BOTH.map(|s| b.at(Landmark::Hip(s)));
    let [shoulder_left, shoulder_right] = Side::BOTH.map(|s| b.at(Landmark::Shoulder(s)));
    let across = unit([
        shoulder_right[0] - shoulder_left[0],
        shoulder_right[1] - shoulder_left[1],
        shoulder_right[2] - shoulder_left[2],
    ]);
    let aside = |middle: [f64; 3], share: f64, radius: f64| {
        [-1.0, 1.0].map(|sign| (add(middle, across, sign * share * b.unit * b.girth), radius))
    };
    let waist = aside(lumbar, shape().place.lumbar_aside, r.lumbar);
    let chest_wide = aside(chest, shape().place.chest_aside, r.chest);
    // The pelvis is drawn a little above the hip centres, where its widest place is.
    let up = unit([lumbar[0] - mid_hip[0], lumbar[1] - mid_hip[1], lumbar[2] - mid_hip[2]]);
    let raised = |hip: [f64; 3]| add(hip, up, 0.02 * b.unit);
    let pelvis = b.round(&[(raised(hip_left), r.pelvis), (raised(hip_right), r.pelvis), waist[0], waist[1]]);
    let belly = b.round(&[waist[0], waist[1], chest_wide[0], chest_wide[1]]);
    let thorax = b.round(&[
        chest_wide[0],
        chest_wide[1],
        (shoulder_left, r.shoulder),
        (shoulder_right, r.shoulder),
        (between(chest, neck, 0.9), r.neck),
    ]);
    Part {
        group: Group::Trunk,
        pieces: vec![pelvis, belly, thorax],
        toned: false,
        away: b.away(&[Landmark::MidHip, Landmark::Lumbar, Landmark::Neck]),
    }
}

fn head(b: &Builder<'_>) -> Part {
    let r = &shape().radius;
    let (neck, vertex) = (b.at(Landmark::Neck), b.at(Landmark::Vertex));
    let up = unit([vertex[0] - neck[0], vertex[1] - neck[1], vertex[2] - neck[2]]);
    let [left, right] = Side::BOTH.map(|s| b.at(Landmark::Shoulder(s)));
    let across = unit([right[0] - left[0], right[1] - left[1], right[2] - left[2]]);
    // Forward is up times right.
    let facing = unit([
        up[1] * across[2] - up[2] * across[1],
        up[2] * across[0] - up[0] * across[2],
        up[0] * across[1] - up[1] * across[0],
    ]);
    // The head keeps its size whatever the build.
    let plain = |balls: &[([f64; 3], f64)]| Piece {
        balls: balls.iter().map(|(p, radius)| (seen(b.view, *p), radius * b.unit)).collect(),
    };
    let breadth = r.head_half_breadth;
    let crown = add(vertex, up, -breadth * b.unit);
    let chin =
        add(add(vertex, up, -(2.0 * r.head_half_height - 0.6 * breadth) * b.unit), facing, 0.012 * b.unit);
    let middle = add(vertex, up, -r.head_half_height * b.unit);
    let nose = add(middle, facing, (breadth + 0.012) * b.unit);
    Part {
        group: Group::Head,
        pieces: vec![
            plain(&[(neck, r.neck), (middle, r.neck)]),
            plain(&[(crown, breadth), (chin, breadth * 0.62)]),
            plain(&[(add(middle, up, 0.02 * b.unit), 0.03), (nose, 0.014)]),
        ],
        toned: false,
        away: b.away(&[Landmark::Neck, Landmark::Vertex]),
    }
}

fn leg_part(b: &Builder<'_>, side: Side, toned: bool) -> Part {
    let r = &shape().radius;
    let (hip, knee, ankle) =
        (b.at(Landmark::Hip(side)), b.at(Landmark::Knee(side)), b.at(Landmark::Ankle(side)));
    let calf = between(knee, ankle, shape().place.calf_at);
    Part {
        group: Group::Leg(side),
        pieces: vec![
            b.round(&[(hip, r.hip), (knee, r.thigh_end)]),
            b.round(&[(knee, r.knee), (calf, r.calf), (ankle, r.ankle)]),
        ],
        toned,
        away: b.away(&[Landmark::Hip(side), Landmark::Knee(side), Landmark::Ankle(side)]),
    }
}

fn foot_part(b: &Builder<'_>, side: Side, breadth: f64) -> Part {
    let r = &shape().radius;
    let (heel, ball, toe, ankle) = (
        b.at(Landmark::Heel(side)),
        b.at(Landmark::Ball(side)),
        b.at(Landmark::ToeTip(side)),
        b.at(Landmark::Ankle(side)),
    );
    let along = [ball[0] - heel[0], 0.0, ball[2] - heel[2]];
    let along = unit(along);
    let across = [-along[2], 0.0, along[0]];
    let up = [0.0, 1.0, 0.0];
    let half = breadth / 2.0;
    let mut balls: Vec<(Seen, f64)> = Vec::new();
    let mut put = |p: [f64; 3], radius: f64| balls.push((seen(b.view, add(p, up, radius)), radius));
    for sign in [-1.0, 1.0] {
        put(add(heel, across, sign * half * 0.35), r.heel * b.unit);
        put(add(ball, across, sign * (half - r.ball * b.unit)), r.ball * b.unit);
        put(add(toe, across, sign * half * 0.35), r.toe * b.unit);
    }
    balls.push((seen(b.view, ankle), r.ankle * b.unit * 0.95));
    Part {
        group: Group::Foot(side),
        pieces: vec![Piece { balls }],
        toned: false,
        // A foot is drawn right after its leg.
        away: b.away(&[Landmark::Hip(side), Landmark::Knee(side), Landmark::Ankle(side)]) - 1e-6,
    }
}

fn arm(b: &Builder<'_>, side: Side, toned: bool) -> Part {
    let r = &shape().radius;
    let (shoulder, elbow, wrist, hand) = (
        b.at(Landmark::Shoulder(side)),
        b.at(Landmark::Elbow(side)),
        b.at(Landmark::Wrist(side)),
        b.at(Landmark::Hand(side)),
    );
    Part {
        group: Group::Arm(side),
        pieces: vec![
            b.round(&[(shoulder, r.shoulder * 0.92), (elbow, r.elbow)]),
            b.round(&[(elbow, r.elbow), (wrist, r.wrist)]),
            b.round(&[(wrist, r.wrist), (hand, r.hand * 0.8)]),
        ],
        toned,
        away: b.away(&[Landmark::Shoulder(side), Landmark::Elbow(side), Landmark::Wrist(side)]),
    }
}

/// A piece of floor that holds both feet, a little larger.
fn ground(b: &Builder<'_>, input: &FigureInput) -> Vec<Seen> {
    let mut low = [f64::INFINITY; 2];
    let mut high = [f64::NEG_INFINITY; 2];
    for side in Side::BOTH {
        for landmark in [Landmark::Heel(side), Landmark::ToeTip(side)] {
            let p = b.at(landmark);
            for (axis, value) in [p[0], p[2]].into_iter().enumerate() {
                low[axis] = low[axis].min(value);
                high[axis] = high[axis].max(value);
            }
        }
    }
    let margin = 0.16 * b.unit;
    let corner = |f: f64, r: f64| seen(input.view, [f, 0.0, r]);
    vec![
        corner(low[0] - margin, low[1] - margin),
        corner(low[0] - margin, high[1] + margin),
        corner(high[0] + margin, high[1] + margin),
        corner(high[0] + margin, low[1] - margin),
    ]
}
