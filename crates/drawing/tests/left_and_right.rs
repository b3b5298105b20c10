//! Left and right can never be exchanged: the person's right is the page's right.

mod common;

use anatomy::Side;
use common::{Step, bearing, figure_input, frame_in_front, right_leg_floor};
use drawing::{Frame, Names, Scene, View, figure, floor, floor_pair};

const FRAME: Frame = Frame { width: 250.0, height: 300.0, type_size: 16.0 };

fn middle(scene: &Scene, part: &str) -> [f64; 2] {
    let points: Vec<[f64; 2]> = scene.outlines(part).into_iter().flatten().collect();
    assert!(!points.is_empty(), "no part `{part}` in {:?}", scene.parts());
    let n = points.len() as f64;
    [points.iter().map(|p| p[0]).sum::<f64>() / n, points.iter().map(|p| p[1]).sum::<f64>() / n]
}

#[test]
fn a_ray_to_the_right_lies_right_of_the_centre_and_forward_is_up() {
    let scene = floor(&right_leg_floor(), FRAME);
    let centre = middle(&scene, "ring");
    assert!(middle(&scene, "ray-90")[0] > centre[0] + 10.0);
    assert!(middle(&scene, "ray-0")[1] < centre[1] - 10.0);
    assert!(middle(&scene, "ray-180")[1] > centre[1] + 10.0);
    assert!(middle(&scene, "notch-270")[0] < centre[0] - 10.0);
    assert!(middle(&scene, "foot-right")[0] > centre[0] && middle(&scene, "foot-left")[0] < centre[0]);
    assert!(middle(&scene, "nose")[1] < centre[1], "the person faces up the page");
}

#[test]
fn the_ray_is_as_long_on_the_page_as_on_the_floor() {
    let scene = floor(&right_leg_floor(), FRAME);
    let centre = middle(&scene, "ring");
    // Both feet are 18 cm apart, so the page's scale can be read from them; the ray is 42 cm.
    let feet = middle(&scene, "letter-right")[0] - middle(&scene, "letter-left")[0];
    let tip = scene.outlines("ray-90")[0].iter().map(|p| p[0]).fold(f64::NEG_INFINITY, f64::max);
    assert!(((tip - centre[0]) / feet - 42.0 / 18.0).abs() < 0.01);
}

#[test]
fn a_limb_that_keeps_its_lane_is_drawn_beside_the_centre_line() {
    let mut input = right_leg_floor();
    input.rays[0].landing = Some([0.47, 0.09]);
    let scene = floor(&input, FRAME);
    let lane = middle(&scene, "letter-right")[0];
    assert!((middle(&scene, "ray-0")[0] - lane).abs() < 0.01, "the right foot steps straight ahead");
    let mirror = floor(&input.mirrored(), FRAME);
    assert!((middle(&mirror, "ray-0")[0] - middle(&mirror, "letter-left")[0]).abs() < 0.01);
}

#[test]
fn the_person_in_a_mirror_gives_the_mirrored_floor() {
    let mut input = right_leg_floor();
    input.supports = vec![frame_in_front()];
    input.clear_floor = vec![(bearing(90), quantity::Length::cm(50.0))];
    for names in [Names::Hidden, Names::Trade { named_from: Side::Right }] {
        input.names = names;
        let [scene, mirror] = [floor(&input, FRAME), floor(&input.mirrored(), FRAME)];
        let parts = [
            ("ray-90", "ray-270"),
            ("ray-45", "ray-315"),
            ("ray-180", "ray-180"),
            ("notch-315", "notch-45"),
            ("foot-right", "foot-left"),
            ("foot-left", "foot-right"),
            ("tick", "tick"),
            ("landing", "landing"),
            ("support", "support"),
            ("clear-floor", "clear-floor"),
            ("label-45", "label-315"),
        ];
        let width = scene.width();
        for (part, mirrored_part) in parts {
            let [x, y] = middle(&scene, part);
            let [mx, my] = middle(&mirror, mirrored_part);
            assert!(
                (width - x - mx).abs() < 0.02 && (y - my).abs() < 0.02,
                "{part}: {x},{y} against {mx},{my}"
            );
        }
    }
}

#[test]
fn two_floors_side_by_side_share_scale_and_height() {
    let right = right_leg_floor();
    let mut left = right.mirrored();
    // A shorter left side must not be drawn larger.
    left.rays.truncate(2);
    let [a, b] = floor_pair(&left, &right, FRAME);
    let spread = |s: &Scene| middle(s, "letter-right")[0] - middle(s, "letter-left")[0];
    assert!((spread(&a) - spread(&b)).abs() < 1e-9);
    assert!((middle(&a, "ring")[1] - middle(&b, "ring")[1]).abs() < 1e-9);
}

#[test]
fn the_standing_foot_is_solid_and_the_moving_foot_an_outline() {
    use drawing::ink::{INK, PAPER};
    let scene = floor(&right_leg_floor(), FRAME);
    assert_eq!(scene.inks("foot-left"), [INK, INK]);
    assert_eq!(scene.inks("foot-right"), [PAPER, INK]);
}

#[test]
fn seen_from_behind_the_persons_right_is_on_the_right() {
    let step = Step { mover: Side::Right, foot: [0.30, 0.40], drop: 0.06 };
    let scene = figure(&figure_input(&step, View::Behind), FRAME);
    assert!(middle(&scene, "foot-right")[0] > middle(&scene, "foot-left")[0]);
    assert!(middle(&scene, "disc-right")[0] > middle(&scene, "disc-left")[0]);
    // The foot that went forward is further away: higher on the page.
    assert!(middle(&scene, "foot-right")[1] < middle(&scene, "foot-left")[1]);
}

#[test]
fn seen_from_the_right_the_person_faces_right_and_from_the_left_left() {
    let step = Step { mover: Side::Right, foot: [0.45, 0.09], drop: 0.06 };
    let from_right = figure(&figure_input(&step, View::Side(Side::Right)), FRAME);
    assert!(middle(&from_right, "foot-right")[0] > middle(&from_right, "foot-left")[0]);
    let from_left = figure(&figure_input(&step, View::Side(Side::Left)), FRAME);
    assert!(middle(&from_left, "foot-right")[0] < middle(&from_left, "foot-left")[0]);
}

#[test]
fn the_person_in_a_mirror_gives_the_mirrored_figure() {
    let step = Step { mover: Side::Right, foot: [0.25, 0.40], drop: 0.08 };
    for view in [View::Behind, View::Side(Side::Right)] {
        let input = figure_input(&step, view);
        let [scene, mirror] = [figure(&input, FRAME), figure(&input.mirrored(), FRAME)];
        for (part, other) in [
            ("foot-right", "foot-left"),
            ("leg-right", "leg-left"),
            ("arm-left", "arm-right"),
            ("head", "head"),
            ("trunk", "trunk"),
            ("disc-left", "disc-right"),
        ] {
            let extent = |s: &Scene, p: &str| {
                let all: Vec<[f64; 2]> = s.outlines(p).into_iter().flatten().collect();
                let low = all.iter().map(|p| p[0]).fold(f64::INFINITY, f64::min);
                let high = all.iter().map(|p| p[0]).fold(f64::NEG_INFINITY, f64::max);
                (low, high)
            };
            let (low, high) = extent(&scene, part);
            let (mirror_low, mirror_high) = extent(&mirror, other);
            let width = scene.width();
            // The outlines are sampled at the same angles, so they mirror to the last digit.
            assert!(
                (width - low - mirror_high).abs() < 1e-6 && (width - high - mirror_low).abs() < 1e-6,
                "{view:?} {part}"
            );
        }
    }
}
