//! Furniture on the floor: where it stands and how large it is, seen from above and in space.

use movement::{Place, SupportKind};

use crate::ink;
use crate::letters;
use crate::scene::{Anchor, Paint, Point, Scene};

/// Draws a support seen from above. `to_page` takes forward and right in metres; `side_limit` is
/// how far to the sides the page has room, metres.
pub(crate) fn from_above(
    scene: &mut Scene,
    place: &Place,
    to_page: &dyn Fn(f64, f64) -> Point,
    limit: (f64, f64),
) {
    let (side_limit, front_limit) = limit;
    let left = place.right_from.max(-side_limit);
    let right = place.right_to.min(side_limit);
    let near = place.front_from.max(-front_limit);
    let far = place.front_to.min(front_limit);
    if right <= left || far <= near {
        return;
    }
    let corners = vec![to_page(near, left), to_page(near, right), to_page(far, right), to_page(far, left)];
    let line = Paint::line(ink::QUIET, 1.4);
    match place.kind {
        SupportKind::Bench => {
            scene.polygon("support", corners, Paint::fill(ink::PALE));
            scene.line(
                "support-edge",
                vec![to_page(near, left), to_page(near, right)],
                Paint::line(ink::INK, 2.2),
            );
            for (cut, at) in [(place.right_from < left, left), (place.right_to > right, right)] {
                if !cut {
                    scene.line("support-end", vec![to_page(near, at), to_page(far, at)], line);
                }
            }
        }
        SupportKind::ChairBack => {
            scene.polygon("support", corners, Paint::both(ink::PALE, ink::QUIET, 1.4));
            scene.line(
                "support-edge",
                vec![to_page(near, left), to_page(near, right)],
                Paint::line(ink::INK, 4.0),
            );
        }
        SupportKind::WalkingFrame => {
            // A frame is open toward the person: a bar across the front and one on each side.
            let bar = Paint::line(ink::QUIET, 3.2);
            scene.line(
                "support",
                vec![to_page(near, left), to_page(far, left), to_page(far, right), to_page(near, right)],
                bar,
            );
            for corner in corners {
                scene.circle("support-leg", corner, 2.6, Paint::fill(ink::INK));
            }
        }
    }
}

/// Explains the drawing of a support in one line under the floor: a sample and its name.
pub(crate) fn key(scene: &mut Scene, place: &Place, middle: Point, type_size: f64) {
    let name = place.kind.name();
    let sample = type_size * 1.3;
    let left = middle[0] - (letters::width(name, type_size) + sample + 6.0) / 2.0;
    let bar = |from: f64, y: f64| vec![[from, y], [from + sample, y]];
    match place.kind {
        SupportKind::Bench => scene.line("support-key", bar(left, middle[1]), Paint::line(ink::INK, 2.2)),
        SupportKind::ChairBack => scene.line("support-key", bar(left, middle[1]), Paint::line(ink::INK, 4.0)),
        SupportKind::WalkingFrame => {
            scene.line("support-key", bar(left, middle[1]), Paint::line(ink::QUIET, 3.2));
            for end in [left, left + sample] {
                scene.circle("support-key", [end, middle[1]], 2.6, Paint::fill(ink::INK));
            }
        }
    }
    let at = [left + sample + 6.0, middle[1] + type_size * 0.34];
    scene.words("support-name", at, Anchor::Start, (type_size, false, ink::INK), name);
}

/// A straight piece of a support in space: two ends (forward, up, right, metres) and how thick it
/// is drawn in points.
pub(crate) struct Bar {
    pub ends: [[f64; 3]; 2],
    pub thickness: f64,
}

/// The pieces of a support in space.
pub(crate) fn bars(place: &Place) -> Vec<Bar> {
    let top = place.hand_height.in_m();
    let (near, far, left, right) = (place.front_from, place.front_to, place.right_from, place.right_to);
    let bar = |a: [f64; 3], b: [f64; 3], thickness: f64| Bar { ends: [a, b], thickness };
    let post = |f: f64, r: f64, height: f64| bar([f, 0.0, r], [f, height, r], 2.0);
    match place.kind {
        SupportKind::WalkingFrame => vec![
            post(near, left, top),
            post(far, left, top),
            post(near, right, top),
            post(far, right, top),
            bar([near, top, left], [far, top, left], 3.0),
            bar([near, top, right], [far, top, right], 3.0),
            bar([far, top * 0.8, left], [far, top * 0.8, right], 2.0),
        ],
        SupportKind::Bench => vec![
            bar([near, top, left], [near, top, right], 4.0),
            bar([far, top, left], [far, top, right], 2.0),
            bar([near, top, left], [far, top, left], 3.0),
            bar([near, top, right], [far, top, right], 3.0),
            post(near, left, top),
            post(near, right, top),
            post(far, left, top),
            post(far, right, top),
        ],
        SupportKind::ChairBack => {
            let seat = top * 0.5;
            vec![
                post(near, left, top),
                post(near, right, top),
                bar([near, top, left], [near, top, right], 4.0),
                bar([near, top * 0.75, left], [near, top * 0.75, right], 2.0),
                bar([near, seat, left], [near, seat, right], 2.0),
                bar([near, seat, left], [far, seat, left], 3.0),
                bar([near, seat, right], [far, seat, right], 3.0),
                bar([far, seat, left], [far, seat, right], 2.0),
                post(far, left, seat),
                post(far, right, seat),
            ]
        }
    }
}
