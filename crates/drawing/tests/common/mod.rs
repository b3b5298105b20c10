//! A person of 1.75 m whose landmarks were worked out by hand, and floors for them.
#![allow(dead_code)] // Each test file uses its own part.

use anatomy::{PerSide, Side};
use biomech::Landmark;
use drawing::{
    AgreementChart, Arrows, Band, CourseChart, CourseLine, CoursePoint, FigureInput, FigurePoints,
    FloorInput, FootPrint, Landing, Moves, Names, Ray, RayState, ReachChart, ReachWords, Rings, Standing,
    View,
};
use movement::{Bearing, Place, SupportKind};
use quantity::Length;

/// Thigh, shank, ankle height, half of hip spacing: metres.
const THIGH: f64 = 0.43;
const SHANK: f64 = 0.43;
const ANKLE: f64 = 0.07;
const HALF_HIP: f64 = 0.09;

/// Where the middle of a foot's print is (forward, right), for the moving foot.
pub struct Step {
    pub mover: Side,
    pub foot: [f64; 2],
    pub drop: f64,
}

pub fn points(step: &Step) -> FigurePoints {
    let sole = |side: Side| {
        if side == step.mover { step.foot } else { [0.0, HALF_HIP * side.sign()] }
    };
    let hips_at = [step.foot[0] * 0.5, (step.foot[1] + HALF_HIP * step.mover.other().sign()) * 0.5];
    let hip_height = THIGH + SHANK + ANKLE - step.drop;
    let lean = step.foot[0] * 0.12;
    let hip = |side: Side| [hips_at[0], hip_height, hips_at[1] + HALF_HIP * side.sign()];
    let ankle = |side: Side| [sole(side)[0] - 0.07, ANKLE, sole(side)[1]];
    let knee = |side: Side| {
        let (h, a) = (hip(side), ankle(side));
        let line = [a[0] - h[0], a[1] - h[1], a[2] - h[2]];
        let apart = (line[0] * line[0] + line[1] * line[1] + line[2] * line[2]).sqrt();
        let bend = (THIGH * THIGH - apart * apart / 4.0).max(0.0).sqrt();
        // At right angles to the line from hip to ankle, forward.
        let (sin, cos) = (line[0] / apart, line[1] / apart);
        [h[0] + line[0] / 2.0 - bend * cos, h[1] + line[1] / 2.0 + bend * sin, h[2] + line[2] / 2.0]
    };
    FigurePoints::from_fn(|landmark| match landmark {
        Landmark::MidHip => [hips_at[0], hip_height, hips_at[1]],
        Landmark::Lumbar => [hips_at[0] + lean * 0.25, hip_height + 0.14, hips_at[1]],
        Landmark::Neck => [hips_at[0] + lean, hip_height + 0.56, hips_at[1]],
        Landmark::Vertex => [hips_at[0] + lean * 1.2, hip_height + 0.82, hips_at[1]],
        Landmark::Shoulder(s) => [hips_at[0] + lean * 0.9, hip_height + 0.50, hips_at[1] + 0.18 * s.sign()],
        Landmark::Elbow(s) => {
            [hips_at[0] + lean * 0.6 - 0.02, hip_height + 0.20, hips_at[1] + 0.24 * s.sign()]
        }
        Landmark::Wrist(s) => {
            [hips_at[0] + lean * 0.6 + 0.10, hip_height - 0.02, hips_at[1] + 0.25 * s.sign()]
        }
        Landmark::Hand(s) => {
            [hips_at[0] + lean * 0.6 + 0.14, hip_height - 0.09, hips_at[1] + 0.25 * s.sign()]
        }
        Landmark::Hip(s) => hip(s),
        Landmark::Knee(s) => knee(s),
        Landmark::Ankle(s) => ankle(s),
        Landmark::Heel(s) => [sole(s)[0] - 0.13, 0.0, sole(s)[1]],
        Landmark::Ball(s) => [sole(s)[0] + 0.06, 0.0, sole(s)[1]],
        Landmark::ToeTip(s) => [sole(s)[0] + 0.13, 0.0, sole(s)[1]],
    })
}

pub fn figure_input(step: &Step, view: View) -> FigureInput {
    FigureInput {
        points: points(step),
        moves: Moves::Leg(step.mover),
        foot_letters: ["L", "R"],
        view,
        foot_breadth: Length::cm(10.0),
        body_mass_index: 25.0,
        support: None,
    }
}

pub fn bearing(degrees: u16) -> Bearing {
    Bearing::try_from(degrees).expect("one of eight")
}

/// The right leg steps to its own side; the three crossing directions are closed.
pub fn right_leg_floor() -> FloorInput {
    let foot = |side: Side| FootPrint {
        centre: [0.0, HALF_HIP * side.sign()],
        yaw_deg: 0.0,
        length: Length::cm(26.0),
        breadth: Length::cm(10.0),
    };
    let open = |degrees: u16, cm: f64| Ray {
        bearing: bearing(degrees),
        state: RayState::Open(Length::cm(cm)),
        landing: None,
        landing_yaw_deg: 0.0,
        note: None,
    };
    let closed = |degrees: u16| Ray {
        bearing: bearing(degrees),
        state: RayState::Closed,
        landing: None,
        landing_yaw_deg: 0.0,
        note: None,
    };
    FloorInput {
        mover: Side::Right,
        standing: Standing::OtherFoot,
        feet: PerSide::from_fn(foot),
        words: drawing::FloorWords::english(),
        rays: vec![
            open(0, 48.0),
            open(45, 48.0),
            open(90, 42.0),
            open(135, 26.0),
            open(180, 26.0),
            closed(225),
            closed(270),
            closed(315),
        ],
        landing: Landing::Foot,
        rings: Rings::Every20Cm,
        ring_labels: false,
        names: Names::Floor,
        arrows: Arrows::OutAndBack,
        supports: Vec::new(),
        support_names: true,
        clear_floor: Vec::new(),
    }
}

pub fn frame_in_front() -> Place {
    Place {
        kind: SupportKind::WalkingFrame,
        front_from: 0.12,
        front_to: 0.52,
        right_from: -0.30,
        right_to: 0.30,
        hand_height: Length::cm(86.0),
    }
}

/// Peak flow of 17 people with two meters, first readings (Bland and Altman 1986, Lancet 1:307), and the
/// limits that follow from them.
pub fn agreement_of_two_meters() -> AgreementChart {
    let first = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427];
    let second = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451];
    let points = first.iter().zip(second).map(|(a, b)| [f64::from(a + b) / 2.0, f64::from(a - b)]).collect();
    AgreementChart {
        points,
        bias: Band { value: -2.12, lower: -22.05, upper: 17.81 },
        lower: Band { value: -78.10, lower: -114.17, upper: -45.13 },
        upper: Band { value: 73.86, lower: 40.89, upper: 109.93 },
        difference: "large \u{2212} small meter".to_owned(),
        unit: "l/min".to_owned(),
    }
}

/// Invented: reach of two legs at four visits; the last left one ended at a cap.
pub fn course_of_two_legs() -> CourseChart {
    let line = |side: Side, values: [f64; 4]| CourseLine {
        side: Some(side),
        points: values
            .iter()
            .zip([(0.0, "3 Feb"), (21.0, "24 Feb"), (42.0, "17 Mar"), (84.0, "28 Apr")])
            .enumerate()
            .map(|(k, (value, (day, date)))| CoursePoint {
                day,
                date: date.to_owned(),
                value: *value,
                interval: Some([value - 5.7, value + 5.7]),
                capped: side == Side::Left && k == 3,
            })
            .collect(),
    };
    CourseChart {
        name: "Reach, anterior (% of leg length)".to_owned(),
        unit: "% of leg length".to_owned(),
        least: Some(0.0),
        better: "higher is better".to_owned(),
        bands: "grey: 95 % interval of the true value".to_owned(),
        lines: vec![line(Side::Left, [61.0, 66.5, 72.0, 74.5]), line(Side::Right, [74.0, 75.5, 74.5, 76.0])],
        resolution: 0.5,
    }
}

/// Invented: reach around one standing leg; one direction was not measured again.
pub fn reach_at_two_dates(standing: Side) -> ReachChart {
    let of = |values: [f64; 8]| -> Vec<(Bearing, f64)> {
        let way = |b: Bearing| if standing == Side::Left { b } else { b.mirrored() };
        Bearing::ALL.into_iter().map(way).zip(values).collect()
    };
    let mut later = of([74.0, 79.0, 84.0, 92.0, 88.0, 85.0, 73.0, 70.0]);
    later.remove(6);
    ReachChart {
        standing,
        earlier: of([66.0, 74.0, 80.0, 83.0, 80.0, 78.0, 70.0, 64.0]),
        later,
        noise: of([7.0, 7.5, 8.0, 8.0, 7.5, 7.0, 6.5, 6.0]),
        noise_words: "grey: changes that are common without any change".to_owned(),
        dates: ["3 February 2026".to_owned(), "28 April 2026".to_owned()],
        resolution: 1.0,
        words: ReachWords::english(standing, "% of leg length"),
    }
}
