//! Charts: everything lands inside, nothing is told by ink alone, missing and infinite values are survived.

mod common;

use anatomy::Side;
use common::{agreement_of_two_meters, course_of_two_legs, reach_at_two_dates};
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
