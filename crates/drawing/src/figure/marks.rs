//! Words beside a figure, each with a line to its joint, none over another.

use super::body::{Body, seen};
use super::{FigureInput, FigureMark, paint as figure};
use crate::ink;
use crate::letters;
use crate::scene::{Anchor, Frame, Paint, Point, Scene};

/// Between words and figure.
const GAP: f64 = 8.0;
const LEADING: f64 = 1.15;
/// Between two marks, in lines.
const APART: f64 = 0.35;
/// The figure keeps at least this share of the width.
const FIGURE_SHARE: f64 = 0.3;

/// A mark with its joint on the page.
struct Set<'a> {
    mark: &'a FigureMark,
    joint: Point,
    /// Upper edge of its words.
    top: f64,
}

impl Set<'_> {
    fn lines(&self) -> f64 {
        self.mark.words.lines().count() as f64
    }
}

pub(super) fn paint(input: &FigureInput, frame: Frame, marks: &[FigureMark]) -> Scene {
    let body = Body::of(input);
    let size = frame.type_size;
    let lines = marks.iter().flat_map(|mark| mark.words.lines());
    let widest = lines.map(|line| letters::width(line, size)).fold(0.0, f64::max);
    let most = frame.width * (1.0 - FIGURE_SHARE) / 2.0;
    let column = (widest + GAP).min(most);
    let spot = |mark: &FigureMark| seen(input.view, input.points.point(mark.at));
    let middle = marks.iter().map(|mark| spot(mark)[0]).sum::<f64>() / marks.len().max(1) as f64;
    // Only a side that has words gives them room.
    let sides = marks.iter().partition::<Vec<_>, _>(|mark| spot(mark)[0] < middle + 1e-9);
    let room = |of: &[&FigureMark]| if of.is_empty() { 0.0 } else { column };
    let (before, after) = (room(&sides.0), room(&sides.1));
    let inner = Frame { width: frame.width - before - after, ..frame };
    let scale = figure::largest_scale(&body, inner);
    let height = figure::needed_height(&body, inner, scale);
    let place = figure::place(&body, inner, scale, height);
    let mut scene = Scene::new(frame.width, height);
    scene.lay(figure::paint(&body, inner, scale, height), before);
    let joint = |mark: &FigureMark| {
        let [x, y] = place(spot(mark));
        [x + before, y]
    };
    let places = [(sides.0, Anchor::End, before - GAP), (sides.1, Anchor::Start, frame.width - after + GAP)];
    for (side, anchor, x) in places {
        let side = side.into_iter().map(|mark| (mark, joint(mark))).collect();
        for set in apart(side, size * LEADING, height) {
            let near = if anchor == Anchor::End { x + GAP * 0.4 } else { x - GAP * 0.4 };
            let y = set.top + size * LEADING / 2.0;
            scene.line("mark-line", vec![[near, y], set.joint], Paint::line(ink::INK, 0.8));
            scene.circle("mark-joint", set.joint, 2.6, Paint::both(ink::PAPER, ink::INK, 1.1));
            for (number, line) in set.mark.words.lines().enumerate() {
                let at = [x, y + size * 0.35 + number as f64 * size * LEADING];
                scene.words("mark", at, anchor, (size, set.mark.heavy, ink::INK), line);
            }
        }
    }
    scene
}

/// From top to bottom, each at its joint or as little below as the marks above need; pushed up again
/// where the last would leave the picture.
fn apart(of: Vec<(&FigureMark, Point)>, line: f64, height: f64) -> Vec<Set<'_>> {
    let mut out: Vec<Set<'_>> =
        of.into_iter().map(|(mark, joint)| Set { mark, joint, top: joint[1] - line / 2.0 }).collect();
    out.sort_by(|a, b| a.top.total_cmp(&b.top));
    let mut free = 0.0_f64;
    for set in &mut out {
        set.top = set.top.max(free);
        free = set.top + (set.lines() + APART) * line;
    }
    let mut free = height;
    for set in out.iter_mut().rev() {
        set.top = set.top.min(free - set.lines() * line);
        free = set.top - APART * line;
    }
    out
}
