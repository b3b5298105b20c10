//! Words beside a figure, each with a line to its joint, none over another.

use super::body::{Body, seen};
use super::{FigureInput, FigureMark, paint as figure};
use crate::ink;
use crate::letters;
use crate::scene::{Anchor, Frame, Paint, Point, Scene};

/// Between words and figure.
const GAP: f64 = 10.0;
const LEADING: f64 = 1.3;

/// A mark with its joint on the page.
struct Set<'a> {
    mark: &'a FigureMark,
    joint: Point,
    /// Middle of its line of words.
    y: f64,
}

pub(super) fn paint(input: &FigureInput, frame: Frame, marks: &[FigureMark]) -> Scene {
    let body = Body::of(input);
    let widest = marks.iter().map(|mark| letters::width(&mark.words, frame.type_size)).fold(0.0, f64::max);
    let column = if marks.is_empty() { 0.0 } else { widest + GAP };
    let inner = Frame { width: (frame.width - 2.0 * column).max(frame.width * 0.3), ..frame };
    let scale = figure::largest_scale(&body, inner);
    let height = figure::needed_height(&body, inner, scale);
    let place = figure::place(&body, inner, scale, height);
    let mut scene = Scene::new(frame.width, height);
    scene.lay(figure::paint(&body, inner, scale, height), column);
    let joint = |mark: &FigureMark| {
        let [x, y] = place(seen(input.view, input.points.point(mark.at)));
        [x + column, y]
    };
    let middle = frame.width / 2.0;
    let (left, right): (Vec<_>, Vec<_>) =
        marks.iter().map(|mark| (mark, joint(mark))).partition(|(_, [x, _])| *x < middle);
    for (side, anchor, x) in [(left, Anchor::End, widest), (right, Anchor::Start, frame.width - widest)] {
        for set in apart(side, frame.type_size * LEADING, height) {
            let near = if anchor == Anchor::End { x + GAP * 0.4 } else { x - GAP * 0.4 };
            scene.line("mark-line", vec![[near, set.y], set.joint], Paint::line(ink::QUIET, 0.9));
            scene.circle("mark-joint", set.joint, 2.6, Paint::both(ink::PAPER, ink::INK, 1.1));
            let at = [x, set.y + frame.type_size * 0.35];
            scene.words("mark", at, anchor, (frame.type_size, set.mark.heavy, ink::INK), &set.mark.words);
        }
    }
    scene
}

/// From top to bottom, each at its joint or as little below as the line above needs; pushed up again
/// where the last would leave the picture.
fn apart(of: Vec<(&FigureMark, Point)>, line: f64, height: f64) -> Vec<Set<'_>> {
    let mut out: Vec<Set<'_>> = of.into_iter().map(|(mark, joint)| Set { mark, joint, y: joint[1] }).collect();
    out.sort_by(|a, b| a.y.total_cmp(&b.y));
    let mut free = line / 2.0;
    for set in &mut out {
        set.y = set.y.max(free);
        free = set.y + line;
    }
    let mut free = height - line / 2.0;
    for set in out.iter_mut().rev() {
        set.y = set.y.min(free);
        free = set.y - line;
    }
    out
}
