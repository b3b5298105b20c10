//! Puts a floor's shapes on the page, back to front.

use anatomy::Side;
use quantity::Length;

use super::layout::{self, Layout};
use super::{Arrows, FloorInput, Landing, Ray, RayState, Standing};
use crate::geometry::{ellipse, hatch, out_and_back_arrow};
use crate::ink::{self, Ink};
use crate::scene::{Anchor, Frame, Paint, Point, Scene};
use crate::shape_table::shape;
use crate::{foot, letters, support};

pub(super) fn paint(input: &FloorInput, frame: Frame, layout: &Layout) -> Scene {
    let mut scene = Scene::new(frame.width, layout.height);
    rings(&mut scene, input, layout);
    if input.arrows == Arrows::Area {
        area(&mut scene, input, layout);
    }
    clear_floor(&mut scene, input, layout);
    let clear_of_words = input.rays.iter().any(|r| matches!(r.bearing.degrees(), 45 | 315));
    let side_limit = if clear_of_words { layout.rim * 0.7 } else { layout.rim };
    for place in &input.supports {
        let to_page = |f: f64, r: f64| layout.page(f, r);
        support::from_above(&mut scene, place, &to_page, (side_limit, layout.rim));
    }
    for (row, place) in input.supports.iter().filter(|_| input.support_names).enumerate() {
        let up = (input.supports.len() - row) as f64 - 0.5;
        let y = layout.height - up * frame.type_size * 1.5;
        support::key(&mut scene, place, [frame.width / 2.0, y], frame.type_size);
    }
    person(&mut scene, input, layout);
    landings(&mut scene, input, layout);
    for ray in &input.rays {
        draw_ray(&mut scene, input, layout, ray, frame.type_size);
    }
    feet(&mut scene, input, layout, frame);
    if input.ring_labels {
        ring_labels(&mut scene, input, layout, frame);
    }
    labels(&mut scene, input, layout, frame);
    scene
}

fn rings(scene: &mut Scene, input: &FloorInput, layout: &Layout) {
    let step = input.rings.step().in_m();
    let count = (layout.rim / step + 1e-9).floor() as u32;
    for k in (1..=count).rev() {
        let outermost = k == count;
        let paint =
            Paint::line(if outermost { ink::QUIET } else { ink::HAIR }, if outermost { 1.0 } else { 0.8 });
        scene.circle("ring", layout.centre, f64::from(k) * step * layout.scale, paint);
    }
}

fn ring_labels(scene: &mut Scene, input: &FloorInput, layout: &Layout, frame: Frame) {
    let step = input.rings.step().in_m();
    let count = (layout.rim / step + 1e-9).floor() as u32;
    let bearing = layout::ring_label_bearing(input).to_radians();
    let size = frame.type_size * 0.85;
    for k in 1..=count {
        let distance = f64::from(k) * step;
        let [x, y] = layout.page(distance * bearing.cos(), distance * bearing.sin());
        let text = input.words.lengths.write(Length::m(distance));
        let half = letters::width(&text, size) / 2.0;
        let (top, bottom) = (y - size * 0.6, y + size * 0.6);
        scene.polygon(
            "ring-ground",
            vec![[x - half, top], [x + half, top], [x + half, bottom], [x - half, bottom]],
            Paint::fill(ink::PAPER),
        );
        scene.words("ring-label", [x, y + size * 0.35], Anchor::Middle, (size, false, ink::QUIET), &text);
    }
}

/// Distance at which the boundary of a closed direction is drawn, as a share of a foot's length.
const CLOSED_AT: f64 = 0.85;

fn closed_at(input: &FloorInput) -> f64 {
    input.feet.right.length.in_m() * CLOSED_AT
}

fn area(scene: &mut Scene, input: &FloorInput, layout: &Layout) {
    let mut rays: Vec<(u16, f64)> = input
        .rays
        .iter()
        .map(|r| (r.bearing.degrees(), r.state.distance().map_or(closed_at(input) * 0.6, |d| d.in_m())))
        .collect();
    rays.sort_by_key(|(bearing, _)| *bearing);
    let outline: Vec<Point> = rays.iter().map(|(bearing, d)| on_ray(layout, *bearing, *d)).collect();
    if outline.len() < 3 {
        return;
    }
    let ink = Ink::of(input.mover);
    scene.polygon("area", outline.clone(), Paint::both(ink.tint(0.12), ink, 2.0));
    if input.mover == Side::Right {
        for line in hatch(&outline, 7.0, -45.0) {
            scene.line("area-hatch", line.to_vec(), Paint::line(ink.tint(0.55), 0.8));
        }
    }
}

fn clear_floor(scene: &mut Scene, input: &FloorInput, layout: &Layout) {
    let ends: Vec<(u16, f64)> = input.clear_floor.iter().map(|(b, d)| (b.degrees(), d.in_m())).collect();
    for (bearing, distance) in ends {
        // Only where the free floor ends inside what is drawn.
        if distance > layout.rim + 1e-6 {
            continue;
        }
        let half = layout.rim * 0.17;
        let (sin, cos) = f64::from(bearing).to_radians().sin_cos();
        let end = |across: f64| layout.page(distance * cos - across * sin, distance * sin + across * cos);
        scene.line("clear-floor", vec![end(-half), end(half)], Paint::line(ink::QUIET, 1.6).dashed(1.5, 4.0));
    }
}

fn person(scene: &mut Scene, input: &FloorInput, layout: &Layout) {
    let foot_length = input.feet.right.length.in_m();
    let seen = &shape().from_above;
    let points = |share: f64| share * foot_length * layout.scale;
    let shoulders =
        ellipse(layout.centre, points(seen.shoulder_breadth) / 2.0, points(seen.shoulder_depth) / 2.0);
    scene.polygon("shoulders", shoulders, Paint::both(ink::PALE, ink::QUIET, 0.9));
    let (half_breadth, half_length) = (points(seen.head_breadth) / 2.0, points(seen.head_length) / 2.0);
    let nose_tip = layout.centre[1] - half_length - points(seen.nose_length);
    let nose_base = layout.centre[1] - half_length * 0.86;
    scene.polygon(
        "nose",
        vec![
            [layout.centre[0], nose_tip],
            [layout.centre[0] + half_breadth * 0.42, nose_base],
            [layout.centre[0] - half_breadth * 0.42, nose_base],
        ],
        Paint::both(ink::QUIET, ink::QUIET, 0.9),
    );
    let head = ellipse(layout.centre, half_breadth, half_length);
    scene.polygon("head", head, Paint::both(ink::TONE, ink::QUIET, 0.9));
}

fn on_ray(layout: &Layout, bearing: u16, distance: f64) -> Point {
    let (sin, cos) = f64::from(bearing).to_radians().sin_cos();
    layout.page(distance * cos, distance * sin)
}

fn landings(scene: &mut Scene, input: &FloorInput, layout: &Layout) {
    if input.arrows != Arrows::OutAndBack {
        return;
    }
    for ray in &input.rays {
        let Some(distance) = ray.state.distance() else { continue };
        let [_, at] = ray.line(distance.in_m());
        match input.landing {
            Landing::Foot => {
                let print = input.feet.get(input.mover);
                let outline = foot::placed(
                    input.mover,
                    print.length.in_m(),
                    print.breadth.in_m(),
                    at,
                    ray.landing_yaw_deg,
                );
                let outline = outline.into_iter().map(|[f, r]| layout.page(f, r)).collect();
                scene.polygon("landing", outline, Paint::line(ink::QUIET, 1.1).dashed(3.0, 2.4));
            }
            Landing::ToeTouch | Landing::Hand => {
                let [x, y] = layout.page(at[0], at[1]);
                scene.circle("landing", [x, y], 6.5, Paint::line(ink::QUIET, 1.1).dashed(3.0, 2.4));
            }
        }
    }
}

fn draw_ray(scene: &mut Scene, input: &FloorInput, layout: &Layout, ray: &Ray, type_size: f64) {
    let ink = Ink::of(input.mover);
    let bearing = ray.bearing.degrees();
    let part = format!("ray-{bearing}");
    let Some(distance) = ray.state.distance().map(|d| d.in_m()) else {
        notch(scene, input, layout, bearing);
        return;
    };
    let [begin, end] = ray.line(distance);
    let length = (end[0] - begin[0]).hypot(end[1] - begin[1]).max(1e-6);
    let along = [(end[0] - begin[0]) / length, (end[1] - begin[1]) / length];
    let at = |out: f64| layout.page(begin[0] + along[0] * out, begin[1] + along[1] * out);
    let across = |half: f64| {
        let [x, y] = at(length);
        // Right of the way out, on the page.
        vec![[x - along[0] * half, y - along[1] * half], [x + along[0] * half, y + along[1] * half]]
    };
    if input.arrows == Arrows::OutAndBack {
        let start = silhouette(input, bearing).min(length * 0.42);
        let arrow = out_and_back_arrow(at(start), at(length), type_size * 0.165, type_size * 0.76);
        match input.mover {
            Side::Left => scene.polygon(&part, arrow, Paint::both(ink, ink, 1.2)),
            Side::Right => {
                scene.polygon(&part, arrow.clone(), Paint::both(ink::PAPER, ink, 1.4));
                // Hatch across the arrow, whichever way it points.
                let hatching = f64::from(bearing) - 90.0 + 55.0;
                for line in hatch(&arrow, 3.6, hatching) {
                    scene.line("ray-hatch", line.to_vec(), Paint::line(ink, 1.1));
                }
            }
        }
        scene.line("tick", across(8.0), Paint::line(ink::INK, 2.0));
    } else {
        let heavy = matches!(ray.state, RayState::Limited(_));
        scene.line(&part, vec![at(0.0), at(length)], Paint::line(ink, 1.0));
        scene.line("tick", across(7.0), Paint::line(ink::INK, if heavy { 3.4 } else { 1.6 }));
    }
}

/// How far the drawn person reaches on a bearing, metres: arrows begin outside.
fn silhouette(input: &FloorInput, bearing: u16) -> f64 {
    let seen = &shape().from_above;
    let foot_length = input.feet.right.length.in_m();
    let (sin, cos) = f64::from(bearing).to_radians().sin_cos();
    let (a, b) = (seen.shoulder_depth * foot_length / 2.0, seen.shoulder_breadth * foot_length / 2.0);
    let shoulders = a * b / ((b * cos).powi(2) + (a * sin).powi(2)).sqrt();
    // Straight ahead and back the foot reaches further than the shoulders.
    let foot = if bearing.is_multiple_of(180) { foot_length / 2.0 } else { 0.0 };
    shoulders.max(foot) + 0.01
}

/// A closed direction: a bracket that opens outward, like a gate that is shut.
fn notch(scene: &mut Scene, input: &FloorInput, layout: &Layout, bearing: u16) {
    let at = closed_at(input).max(layout.rim * 0.55);
    let [x, y] = on_ray(layout, bearing, at);
    let (sin, cos) = f64::from(bearing).to_radians().sin_cos();
    let half = 7.0;
    let depth = 4.5;
    let point = |across: f64, out: f64| [x + cos * across + sin * out, y + sin * across - cos * out];
    scene.line(
        &format!("notch-{bearing}"),
        vec![point(-half, -depth), point(-half, 0.0), point(half, 0.0), point(half, -depth)],
        Paint::line(ink::QUIET, 2.4),
    );
}

fn feet(scene: &mut Scene, input: &FloorInput, layout: &Layout, frame: Frame) {
    for side in Side::BOTH {
        let print = input.feet.get(side);
        let stands = match input.standing {
            Standing::BothFeet => true,
            Standing::OtherFoot => side != input.mover,
        };
        let (length, breadth) = (print.length.in_m(), print.breadth.in_m());
        let outline: Vec<Point> = foot::placed(side, length, breadth, print.centre, print.yaw_deg)
            .into_iter()
            .map(|[f, r]| layout.page(f, r))
            .collect();
        let (fill, letter) = if stands { (ink::INK, ink::PAPER) } else { (ink::PAPER, ink::INK) };
        scene.polygon(&format!("foot-{side}"), outline, Paint::both(fill, ink::INK, 1.6));
        let breadth_points = breadth * layout.scale;
        let (size, at, ink) = if breadth_points >= frame.type_size * 0.85 {
            let size = frame.type_size.max((breadth_points * 1.05).min(frame.type_size * 1.5));
            let [x, y] = layout.page(print.centre[0], print.centre[1]);
            (size, [x, y + size * 0.34], letter)
        } else {
            // The foot is drawn too small for its letter: the letter stands behind the heel.
            let [x, y] = layout.page(print.centre[0] - length / 2.0, print.centre[1]);
            (frame.type_size, [x + side.sign() * frame.type_size * 0.2, y + frame.type_size], ink::INK)
        };
        let letter = input.words.foot_letter(side);
        scene.words(&format!("letter-{side}"), at, Anchor::Middle, (size, true, ink), letter);
    }
}

fn labels(scene: &mut Scene, input: &FloorInput, layout: &Layout, frame: Frame) {
    for (bearing, label) in layout::labels(input, frame, layout.rim(), layout.split_names) {
        let part = format!("label-{bearing}");
        let x = layout.centre[0] + label.at[0];
        let mut top = layout.centre[1] + label.at[1];
        for line in &label.lines {
            let height = layout::line_height(line);
            let baseline = top + height * 0.8;
            if let [(text, size, bold)] = line.as_slice() {
                scene.words(&part, [x, baseline], label.anchor, (*size, *bold, ink::INK), text);
            } else {
                // Only labels in the middle have several runs in a line.
                let mut left = x - layout::line_width(line) / 2.0;
                for (text, size, bold) in line {
                    scene.words(&part, [left, baseline], Anchor::Start, (*size, *bold, ink::INK), text);
                    left += letters::width(text, *size) + layout::run_gap(line);
                }
            }
            top += height;
        }
    }
}
