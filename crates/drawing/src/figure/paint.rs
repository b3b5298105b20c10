//! Puts a body's shapes on the page, back to front.

use anatomy::Side;

use super::body::{Body, Group, Part, Seen};
use crate::geometry::{hatch, hull_of_circles};
use crate::ink;
use crate::scene::{Anchor, Frame, Paint, Point, Scene};

const OUTLINE: f64 = 1.3;

/// Left, right, lowest, highest of everything, in metres as seen.
fn bounds(body: &Body) -> [f64; 4] {
    let mut out = [f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::NEG_INFINITY];
    let mut include = |p: Seen, radius: f64| {
        out[0] = out[0].min(p[0] - radius);
        out[1] = out[1].max(p[0] + radius);
        out[2] = out[2].min(p[1] - radius);
        out[3] = out[3].max(p[1] + radius);
    };
    for part in &body.parts {
        for (centre, radius) in part.pieces.iter().flat_map(|piece| &piece.balls) {
            include(*centre, *radius);
        }
    }
    for corner in &body.ground {
        include(*corner, 0.0);
    }
    for bar in &body.bars {
        for end in bar.ends {
            // A support wider than the picture is cut, not shrunk to.
            if end[0].abs() < 0.45 {
                include(end, 0.01);
            }
        }
    }
    out
}

/// Room for the letters under the feet.
fn letter_room(frame: Frame) -> f64 {
    frame.type_size * 1.75
}

pub(super) fn largest_scale(body: &Body, frame: Frame) -> f64 {
    let [left, right, low, high] = bounds(body);
    let width = (frame.width - 2.0 * OUTLINE) / (right - left);
    let height = (frame.height - 2.0 * OUTLINE - letter_room(frame)) / (high - low);
    width.min(height)
}

pub(super) fn needed_height(body: &Body, frame: Frame, scale: f64) -> f64 {
    let [_, _, low, high] = bounds(body);
    (high - low) * scale + 2.0 * OUTLINE + letter_room(frame)
}

/// Where a point as seen stands on the page.
pub(super) fn place(body: &Body, frame: Frame, scale: f64, height: f64) -> impl Fn(Seen) -> Point + use<> {
    let [left, right, low, _] = bounds(body);
    let ground_line = height - letter_room(frame) - OUTLINE;
    let shift = frame.width / 2.0 - (left + right) / 2.0 * scale;
    move |p: Seen| -> Point { [p[0] * scale + shift, ground_line - (p[1] - low) * scale] }
}

pub(super) fn paint(body: &Body, frame: Frame, scale: f64, height: f64) -> Scene {
    let page = place(body, frame, scale, height);
    let mut scene = Scene::new(frame.width, height);
    scene.polygon("ground", body.ground.iter().map(|p| page(*p)).collect(), Paint::fill(ink::PALE));
    let (front, back): (Vec<_>, Vec<_>) = body.bars.iter().partition(|bar| in_front(body, bar.ends));
    for bar in back {
        draw_bar(&mut scene, bar.ends.map(&page), bar.thickness, frame);
    }
    for part in &body.parts {
        draw_part(&mut scene, body, part, scale, &page);
    }
    for bar in front {
        draw_bar(&mut scene, bar.ends.map(&page), bar.thickness, frame);
    }
    letters(&mut scene, body, frame, height, &page);
    scene
}

/// Whether a piece of the support is nearer to the eye than the whole body.
fn in_front(body: &Body, ends: [Seen; 2]) -> bool {
    let nearest = body.parts.iter().map(|part| part.away).fold(f64::INFINITY, f64::min);
    ends.iter().all(|end| end[2] < nearest - 0.02)
}

fn draw_bar(scene: &mut Scene, ends: [Point; 2], thickness: f64, frame: Frame) {
    let [a, b] = ends;
    // Cut to the picture.
    let cut = |p: Point, q: Point| {
        let (low, high) = (0.0, frame.width);
        let x = p[0].clamp(low, high);
        if (q[0] - p[0]).abs() < 1e-9 {
            return [x, p[1]];
        }
        [x, p[1] + (q[1] - p[1]) * (x - p[0]) / (q[0] - p[0])]
    };
    if a[0].max(b[0]) < 0.0 || a[0].min(b[0]) > frame.width {
        return;
    }
    scene.line("support", vec![cut(a, b), cut(b, a)], Paint::line(ink::QUIET, thickness));
}

fn name(group: Group) -> String {
    match group {
        Group::Trunk => "trunk".to_owned(),
        Group::Head => "head".to_owned(),
        Group::Leg(side) => format!("leg-{side}"),
        Group::Arm(side) => format!("arm-{side}"),
        Group::Foot(side) => format!("foot-{side}"),
    }
}

fn draw_part(scene: &mut Scene, body: &Body, part: &Part, scale: f64, page: &dyn Fn(Seen) -> Point) {
    let name = name(part.group);
    let outlines: Vec<Vec<Point>> = part
        .pieces
        .iter()
        .map(|piece| {
            let circles: Vec<(Point, f64)> =
                piece.balls.iter().map(|(centre, radius)| (page(*centre), radius * scale)).collect();
            hull_of_circles(&circles)
        })
        .collect();
    // First every outline, then every fill: the pieces of one part share one contour.
    for outline in &outlines {
        scene.polygon(
            &format!("{name}-line"),
            outline.clone(),
            Paint::both(ink::INK, ink::INK, 2.0 * OUTLINE),
        );
    }
    let fill = match part.group {
        Group::Trunk => ink::CLOTH,
        Group::Foot(side) if body.moves.foot_stands(side) => ink::INK,
        Group::Foot(_) => ink::PAPER,
        _ if part.toned => ink::TONE,
        _ => ink::LIGHT,
    };
    for outline in &outlines {
        scene.polygon(&name, outline.clone(), Paint::fill(fill));
    }
    if part.toned {
        for outline in &outlines {
            for line in hatch(outline, 4.0, 45.0) {
                scene.line(&format!("{name}-hatch"), line.to_vec(), Paint::line(ink::QUIET, 0.7));
            }
        }
    }
}

/// The letter of each foot in a disc under it: filled where the foot stands, open where it moves.
fn letters(scene: &mut Scene, body: &Body, frame: Frame, height: f64, page: &dyn Fn(Seen) -> Point) {
    let radius = frame.type_size * 0.72;
    let y = height - radius - 1.0;
    let mut discs: Vec<(Side, Point, f64)> = body
        .soles
        .iter()
        .map(|(side, sole)| {
            let foot = page(*sole);
            (*side, foot, foot[0].clamp(radius + 1.0, frame.width - radius - 1.0))
        })
        .collect();
    discs.sort_by(|a, b| a.2.total_cmp(&b.2));
    let need = 2.0 * radius + 3.0;
    let apart = discs[1].2 - discs[0].2;
    if apart < need {
        let push = (need - apart) / 2.0;
        discs[0].2 -= push;
        discs[1].2 += push;
    }
    for (side, foot, x) in discs {
        let stands = body.moves.foot_stands(side);
        let (fill, letter) = if stands { (ink::INK, ink::PAPER) } else { (ink::PAPER, ink::INK) };
        scene.line(
            &format!("leader-{side}"),
            vec![[foot[0], foot[1] + 2.0], [x, y - radius]],
            Paint::line(ink::QUIET, 0.8),
        );
        scene.circle(&format!("disc-{side}"), [x, y], radius, Paint::both(fill, ink::INK, 1.3));
        scene.words(
            &format!("letter-{side}"),
            [x, y + frame.type_size * 0.35],
            Anchor::Middle,
            (frame.type_size, true, letter),
            match side {
                Side::Left => body.letters[0],
                Side::Right => body.letters[1],
            },
        );
    }
}
