//! Charts: everything lands inside, nothing is told by ink alone, missing and infinite values are survived.

mod common;

use anatomy::Side;
use common::{agreement_of_two_meters, course_of_two_legs, reach_at_two_dates};
use drawing::ink::PAPER;
use drawing::{Frame, Scene, agreement_chart, course_chart, reach_chart};

const FRAME: Frame = Frame { width: 520.0, height: 340.0, type_size: 13.0 };

fn all() -> Vec<(&'static str, Scene)> {
    vec![
        ("agreement", agreement_chart(&agreement_of_two_meters(), FRAME)),
        ("course", course_chart(&course_of_two_legs(), FRAME)),
        ("reach", reach_chart(&reach_at_two_dates(Side::Left), FRAME)),
    ]
}

#[test]
fn every_line_and_mark_lies_on_the_page() {
    for (name, scene) in all() {
        for part in scene.parts() {
            for outline in scene.outlines(part) {
                for [x, y] in outline {
                    assert!((0.0..=FRAME.width).contains(&x), "{name}, {part}: x {x}");
                    assert!((0.0..=FRAME.height).contains(&y), "{name}, {part}: y {y}");
                }
            }
        }
    }
}

#[test]
fn a_point_of_the_agreement_chart_stands_where_its_difference_says() {
    let scene = agreement_chart(&agreement_of_two_meters(), FRAME);
    // The person whose difference is the largest stands highest, above the upper limit's line or below
    // it as the numbers say: 70 against a limit of 73.86.
    let people: Vec<f64> = scene.outlines("person").iter().map(|o| o[0][1]).collect();
    let upper = scene.outlines("upper limit")[0][0][1];
    let bias = scene.outlines("mean")[0][0][1];
    assert_eq!(people.len(), 17);
    let input = agreement_of_two_meters();
    for (y, [_, difference]) in people.iter().zip(&input.points) {
        assert_eq!(*y < upper, *difference > input.upper.value, "{difference}");
        assert_eq!(*y < bias, *difference > input.bias.value, "{difference}");
    }
}

#[test]
fn left_and_right_differ_in_mark_and_line_besides_ink() {
    let scene = course_chart(&course_of_two_legs(), FRAME);
    assert!(!scene.outlines("result left").is_empty() && !scene.outlines("result right").is_empty());
    let svg = scene.svg();
    let dashed = svg.as_str().lines().filter(|l| l.contains("\"course\"") && l.contains("dasharray")).count();
    assert_eq!(dashed, 1, "one of the two lines is dashed");
}

#[test]
fn the_reach_chart_of_the_other_leg_is_its_mirror() {
    let (left, right) = (reach_at_two_dates(Side::Left), reach_at_two_dates(Side::Right));
    let (a, b) = (reach_chart(&left, FRAME), reach_chart(&right, FRAME));
    let mirrored: Vec<[f64; 2]> =
        a.outlines("later").into_iter().flatten().map(|[x, y]| [FRAME.width - x, y]).collect();
    let points: Vec<[f64; 2]> = b.outlines("later").into_iter().flatten().collect();
    for p in &points {
        assert!(mirrored.iter().any(|m| (m[0] - p[0]).abs() < 1e-6 && (m[1] - p[1]).abs() < 1e-6), "{p:?}");
    }
}

/// The words of a drawing whose part has this name.
fn said(scene: &Scene, part: &str) -> Vec<String> {
    let svg = scene.svg();
    let of_part = format!("data-part=\"{part}\"");
    let text =
        |line: &str| line.rsplit_once("</text>")?.0.rsplit_once('>').map(|(_, words)| words.to_owned());
    svg.as_str().lines().filter(|line| line.contains(&of_part)).filter_map(text).collect()
}

#[test]
fn an_axis_without_zero_is_broken_and_says_where_it_begins() {
    // Invented: hops between 120 and 148 cm; from zero, most of the height would be empty.
    let mut hops = course_of_two_legs();
    hops.unit = "cm".to_owned();
    for (line, more) in hops.lines.iter_mut().zip([60.0, 70.0]) {
        line.points.iter_mut().for_each(|p| (p.value, p.interval) = (p.value + more, None));
    }
    let scene = course_chart(&hops, FRAME);
    assert_eq!(scene.outlines("break").len(), 1, "{:?}", scene.parts());
    assert_eq!(said(&scene, "begins"), ["axis begins at 120 cm"]);
    // The lowest result stands above the piece that is left out.
    let floor = scene.outlines("break")[0][0][1];
    let lowest = scene.outlines("course").iter().flatten().map(|p| p[1]).fold(0.0, f64::max);
    assert!(lowest < floor - FRAME.type_size, "{lowest} {floor}");
}

#[test]
fn an_axis_begins_at_the_least_of_the_test_where_that_leaves_half_of_the_height() {
    let mut walk = course_of_two_legs();
    for line in &mut walk.lines {
        line.points.iter_mut().for_each(|p| (p.value, p.interval) = (p.value - 55.0, None));
    }
    let zero = |chart: &drawing::CourseChart| {
        let scene = course_chart(chart, FRAME);
        (scene.outlines("break").is_empty(), said(&scene, "number").contains(&"0".to_owned()))
    };
    // 6 to 21: from 0 they fill more than half.
    assert_eq!(zero(&walk), (true, true));
    walk.least = None;
    assert_eq!(zero(&walk), (false, false));
}

#[test]
fn every_measured_direction_is_named_at_the_rim_as_the_standing_leg_names_it() {
    let name_left_of_centre = |standing: Side| {
        let scene = reach_chart(&reach_at_two_dates(standing), FRAME);
        let names = said(&scene, "direction");
        assert_eq!(names.len(), 8, "{names:?}");
        assert!(
            said(&scene, "key").iter().any(|words| words == "directions are named from the standing leg")
        );
        // Names come clockwise from straight ahead: the seventh points to the person's left.
        names[6].clone()
    };
    assert_eq!(name_left_of_centre(Side::Left), "lateral");
    assert_eq!(name_left_of_centre(Side::Right), "medial");
    let mut two = reach_at_two_dates(Side::Left);
    two.earlier.truncate(2);
    two.later.truncate(1);
    assert_eq!(said(&reach_chart(&two, FRAME), "direction"), ["anterior", "anteromedial"]);
}

fn distance(scene: &Scene, at: [f64; 2]) -> f64 {
    let centre = scene.outlines("standing")[0][0];
    (at[0] - centre[0]).hypot(at[1] - centre[1])
}

#[test]
fn a_reach_within_the_noise_lies_in_the_grey_and_one_beyond_it_outside() {
    let mut input = reach_at_two_dates(Side::Left);
    // Half of the usual difference more in the first four directions, twice as much in the others.
    input.later = input
        .earlier
        .iter()
        .zip(&input.noise)
        .enumerate()
        .map(|(nth, ((b, was), (_, by)))| (*b, was + by * if nth < 4 { 0.5 } else { 2.0 }))
        .collect();
    let scene = reach_chart(&input, FRAME);
    let (outer, inner) = (scene.outlines("noise"), scene.outlines("inside the noise"));
    assert_eq!((outer.len(), inner.len(), outer[0].len()), (1, 1, 8));
    let later = scene.outlines("later").into_iter().find(|points| points.len() == 8).expect("an outline");
    for nth in 0..8 {
        let [inner, now, outer] = [inner[0][nth], later[nth], outer[0][nth]].map(|at| distance(&scene, at));
        assert_eq!(inner < now && now < outer, nth < 4, "{nth}: {inner} {now} {outer}");
    }
    assert!(said(&scene, "key").contains(&"grey: changes that are common without any change".to_owned()));
    input.noise.clear();
    input.noise_words = "no grey: the error of this test is not known".to_owned();
    let bare = reach_chart(&input, FRAME);
    assert!(bare.outlines("noise").is_empty() && bare.outlines("key noise").is_empty());
    assert!(said(&bare, "key").contains(&input.noise_words));
}

#[test]
fn three_directions_have_three_grey_pieces_and_a_key_without_lines() {
    let mut input = reach_at_two_dates(Side::Right);
    let kept =
        |of: &mut Vec<(movement::Bearing, f64)>| of.retain(|(b, _)| [0, 135, 225].contains(&b.degrees()));
    kept(&mut input.earlier);
    kept(&mut input.later);
    kept(&mut input.noise);
    let scene = reach_chart(&input, FRAME);
    assert_eq!(scene.outlines("noise").len(), 3);
    assert!(scene.outlines("key line").is_empty(), "no line is drawn, so none is in the key");
    assert_eq!(scene.outlines("key mark").len(), 2);
    assert_eq!(reach_chart(&reach_at_two_dates(Side::Right), FRAME).outlines("key line").len(), 2);
    // The two dates differ in fill besides ink.
    assert!(scene.inks("earlier").contains(&PAPER) && !scene.inks("later").contains(&PAPER));
}

#[test]
fn nothing_measured_or_nothing_finite_still_gives_a_page() {
    let mut agreement = agreement_of_two_meters();
    agreement.points = vec![[f64::NAN, 1.0], [f64::INFINITY, f64::NEG_INFINITY]];
    agreement.bias.upper = f64::INFINITY;
    let mut course = course_of_two_legs();
    course.lines[0].points[0].value = f64::NAN;
    course.lines[1].points.clear();
    let mut reach = reach_at_two_dates(Side::Left);
    reach.earlier.clear();
    reach.later = vec![(movement::Bearing::ALL[0], f64::NAN)];
    for svg in [
        agreement_chart(&agreement, FRAME).svg(),
        course_chart(&course, FRAME).svg(),
        reach_chart(&reach, FRAME).svg(),
    ] {
        assert!(!svg.as_str().contains("NaN") && !svg.as_str().contains("inf"), "{}", svg.as_str());
    }
}
