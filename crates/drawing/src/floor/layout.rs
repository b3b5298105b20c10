//! How large a floor can be drawn so that its words fit, and where each word stands.

use anatomy::Side;

use super::{FloorInput, Names, Ray};
use crate::letters;
use crate::scene::{Anchor, Frame, Point};
use crate::shape_table::shape;

/// Where the centre is on the page and how many points a metre takes.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    pub centre: Point,
    pub scale: f64,
    /// Radius of the outermost ring, metres.
    pub rim: f64,
    pub height: f64,
    pub split_names: bool,
}

impl Layout {
    /// The outermost ring.
    pub fn rim(&self) -> Rim {
        Rim { radius: self.rim, scale: self.scale }
    }

    /// A floor point (forward, right, metres) on the page. Forward is up, right is right.
    pub fn page(&self, forward: f64, right: f64) -> Point {
        [self.centre[0] + right * self.scale, self.centre[1] - forward * self.scale]
    }
}

/// The outermost ring on the page.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rim {
    /// Metres on the floor.
    pub radius: f64,
    /// Points a metre.
    pub scale: f64,
}

impl Rim {
    fn points(self) -> f64 {
        self.radius * self.scale
    }
}

/// A piece of a line: its text, its size and whether it is bold.
pub(super) type Run = (String, f64, bool);

/// The words at one ray, in lines from top to bottom, with where they stand relative to the centre.
pub(super) struct Label {
    pub lines: Vec<Vec<Run>>,
    pub anchor: Anchor,
    /// Upper edge and the anchored edge, relative to the centre of the floor, points.
    pub at: Point,
    pub width: f64,
    pub height: f64,
}

pub(super) const GAP: f64 = 7.0;
const LEADING: f64 = 1.12;

/// The size of the distance beside the size of the words.
fn number_size(type_size: f64) -> f64 {
    (type_size * 1.25).round()
}

fn name_of(input: &FloorInput, ray: &Ray) -> Option<&'static str> {
    match input.names {
        Names::Floor => Some(input.words.direction(ray.bearing)),
        Names::Trade { named_from } => Some(ray.bearing.named_from(named_from).name()),
        Names::Hidden => None,
    }
}

/// Space between the runs of one line.
pub(super) fn run_gap(line: &[Run]) -> f64 {
    line.iter().map(|(_, size, _)| size * 0.32).fold(0.0, f64::max)
}

/// Width of one line.
pub(super) fn line_width(line: &[Run]) -> f64 {
    let words: f64 = line.iter().map(|(text, size, _)| letters::width(text, *size)).sum();
    words + run_gap(line) * line.len().saturating_sub(1) as f64
}

/// Height of one line.
pub(super) fn line_height(line: &[Run]) -> f64 {
    line.iter().map(|(_, size, _)| size * LEADING).fold(0.0, f64::max)
}

/// The words of one ray at a rim of `rim_points`; none for a closed direction of a sheet.
pub(super) fn label(input: &FloorInput, ray: &Ray, frame: Frame, rim: Rim, split: bool) -> Option<Label> {
    let size = frame.type_size;
    let value: Run = match ray.state.distance() {
        Some(distance) => (input.words.lengths.write(distance), number_size(size), true),
        None if input.arrows == super::Arrows::OutAndBack => return None,
        None => ("closed".to_owned(), size, true),
    };
    let (forward, right) = ray.bearing.forward_right();
    let (ux, uy) = (right, -forward);
    let straight = ux.abs() < 0.1;
    let mut lines: Vec<Vec<Run>> = Vec::new();
    match name_of(input, ray) {
        // Straight ahead and straight back there is room to the sides: one line keeps the floor large.
        Some(name) if straight => lines.push(vec![(name.to_owned(), size, false), value]),
        Some(name) => {
            match name.split_once('-') {
                Some((first, second)) if split => {
                    lines.push(vec![(format!("{first}-"), size, false)]);
                    lines.push(vec![(second.to_owned(), size, false)]);
                }
                _ => lines.push(vec![(name.to_owned(), size, false)]),
            }
            lines.push(vec![value]);
        }
        None => lines.push(vec![value]),
    }
    if let Some(note) = &ray.note {
        lines.extend(note.lines().map(|line| vec![(line.to_owned(), size, false)]));
    }
    let width = lines.iter().map(|line| line_width(line)).fold(0.0, f64::max);
    let height = lines.iter().map(|line| line_height(line)).sum::<f64>();
    let anchor = if straight {
        Anchor::Middle
    } else if ux > 0.0 {
        Anchor::Start
    } else {
        Anchor::End
    };
    // Straight ahead and back a landing print may reach beyond the rim.
    let print = match (ray.state.distance(), input.landing) {
        (Some(distance), super::Landing::Foot) if straight => {
            (distance.in_m() + input.feet.right.length.in_m() / 2.0) * rim.scale
        }
        _ => 0.0,
    };
    let out = rim.points().max(print) + GAP;
    let at = [ux * out, uy * out - height * (1.0 - uy) / 2.0];
    Some(Label { lines, anchor, at, width, height })
}

/// Every label where it stands: outside the rim, a diagonal one clear of its neighbours straight
/// ahead or back and to the side.
pub(super) fn labels(input: &FloorInput, frame: Frame, rim: Rim, split: bool) -> Vec<(u16, Label)> {
    let mut all: Vec<(u16, Label)> = input
        .rays
        .iter()
        .filter_map(|ray| Some((ray.bearing.degrees(), label(input, ray, frame, rim, split)?)))
        .collect();
    let fixed: Vec<(u16, [f64; 4])> =
        all.iter().filter(|(b, _)| b % 90 == 0).map(|(b, l)| (*b, l.edges())).collect();
    let edges_of = |bearing: u16| fixed.iter().find(|(b, _)| *b == bearing).map(|(_, edges)| *edges);
    for (bearing, label) in &mut all {
        if *bearing % 90 == 0 {
            continue;
        }
        let up = matches!(*bearing, 45 | 315);
        let [left, right, top, bottom] = label.edges();
        let mut shift: f64 = 0.0;
        if let Some([straight_left, straight_right, straight_top, straight_bottom]) =
            edges_of(if up { 0 } else { 180 })
            && left < straight_right + APART
            && right > straight_left - APART
        {
            shift = if up {
                (straight_bottom + 1.0 - top).max(0.0)
            } else {
                (straight_top - 1.0 - bottom).min(0.0)
            };
        }
        if let Some([.., side_top, side_bottom]) = edges_of(if *bearing < 180 { 90 } else { 270 }) {
            shift = if up { shift.min(side_top - 1.0 - bottom) } else { shift.max(side_bottom + 1.0 - top) };
        }
        label.at[1] += shift;
        // Then out to the side until it is clear of the rim.
        let [_, _, top, bottom] = label.edges();
        let nearest = if up { bottom.min(0.0) } else { top.max(0.0) };
        let clear = ((rim.points() + 4.0).powi(2) - nearest * nearest).max(0.0).sqrt();
        let sign = label.at[0].signum();
        label.at[0] = sign * label.at[0].abs().max(clear);
    }
    // Where a diagonal one had too little height between its neighbours, the one straight ahead or back
    // goes further out.
    let diagonal: Vec<(u16, [f64; 4])> =
        all.iter().filter(|(b, _)| b % 90 != 0).map(|(b, l)| (*b, l.edges())).collect();
    for (bearing, label) in all.iter_mut().filter(|(b, _)| b % 180 == 0) {
        let up = *bearing == 0;
        for (_, [left, right, top, bottom]) in diagonal.iter().filter(|(b, _)| matches!(b, 45 | 315) == up) {
            let [own_left, own_right, own_top, own_bottom] = label.edges();
            if *left < own_right + APART
                && *right > own_left - APART
                && *top < own_bottom
                && *bottom > own_top
            {
                label.at[1] += if up { top - 1.0 - own_bottom } else { bottom + 1.0 - own_top };
            }
        }
    }
    all
}

/// Space between a diagonal label and the one straight ahead or back.
const APART: f64 = 6.0;

impl Label {
    /// Left, right, upper and lower edge relative to the centre of the floor.
    pub fn edges(&self) -> [f64; 4] {
        let left = match self.anchor {
            Anchor::Start => self.at[0],
            Anchor::Middle => self.at[0] - self.width / 2.0,
            Anchor::End => self.at[0] - self.width,
        };
        [left, left + self.width, self.at[1], self.at[1] + self.height]
    }
}

/// Room under the floor for the names of the supports.
pub(super) fn key_height(input: &FloorInput, frame: Frame) -> f64 {
    if input.support_names { input.supports.len() as f64 * frame.type_size * 1.5 } else { 0.0 }
}

/// What is drawn beyond the furthest point, metres.
const BEYOND: f64 = 0.03;

/// Radius of what is drawn: a little beyond the furthest point, never so small that the person
/// would not fit in it. Words stand outside.
pub(super) fn rim(input: &FloorInput) -> f64 {
    let furthest = input.rays.iter().filter_map(|r| r.state.distance()).map(|d| d.in_m()).fold(0.0, f64::max);
    let foot = input.feet.right.length.in_m();
    let person = foot * shape().from_above.shoulder_breadth / 2.0;
    (furthest + BEYOND).max(person * 1.25)
}

/// Left, right, up and down extents from the centre, in points.
fn extents(input: &FloorInput, frame: Frame, rim: f64, scale: f64, split: bool) -> [f64; 4] {
    let radius = rim * scale + 1.0;
    let mut out = [radius; 4];
    for (_, label) in labels(input, frame, Rim { radius: rim, scale }, split) {
        let [left, right, top, bottom] = label.edges();
        out = [out[0].max(-left), out[1].max(right), out[2].max(-top), out[3].max(bottom)];
    }
    // A landing print reaches beyond the rim; the name of a support stands above it.
    let foot = input.feet.right.length.in_m() / 2.0;
    for ray in &input.rays {
        if let (Some(distance), super::Landing::Foot) = (ray.state.distance(), input.landing) {
            let (forward, right) = ray.bearing.forward_right();
            let d = distance.in_m();
            let breadth = input.feet.right.breadth.in_m() / 2.0;
            out[0] = out[0].max((breadth - right * d) * scale);
            out[1] = out[1].max((breadth + right * d) * scale);
            out[2] = out[2].max((foot + forward * d) * scale);
            out[3] = out[3].max((foot - forward * d) * scale);
        }
    }
    out[3] += key_height(input, frame);
    out
}

fn largest_scale(input: &FloorInput, frame: Frame, rim: f64, split: bool) -> f64 {
    let (mut low, mut high) = (0.0, frame.width.max(frame.height) / (2.0 * rim));
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        let [left, right, up, down] = extents(input, frame, rim, middle, split);
        if left + right <= frame.width && up + down <= frame.height {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

fn place(input: &FloorInput, frame: Frame, rim: f64, scale: f64, split: bool) -> Layout {
    let [left, right, up, down] = extents(input, frame, rim, scale, split);
    // In the middle where there is room, moved only as far as words need.
    let x =
        (frame.width / 2.0).clamp(left.min(frame.width), (frame.width - right).max(left.min(frame.width)));
    Layout { centre: [x, up], scale, rim, height: up + down, split_names: split }
}

pub(super) fn fit(input: &FloorInput, frame: Frame) -> Layout {
    let rim = rim(input);
    let (split, scale) = best(|split| largest_scale(input, frame, rim, split));
    place(input, frame, rim, scale, split)
}

pub(super) fn fit_pair(left: &FloorInput, right: &FloorInput, frame: Frame) -> [Layout; 2] {
    let rim = rim(left).max(rim(right));
    let (split, scale) =
        best(|split| largest_scale(left, frame, rim, split).min(largest_scale(right, frame, rim, split)));
    let mut out = [place(left, frame, rim, scale, split), place(right, frame, rim, scale, split)];
    let up = out[0].centre[1].max(out[1].centre[1]);
    let down = out.iter().map(|l| l.height - l.centre[1]).fold(0.0, f64::max);
    for layout in &mut out {
        layout.centre[1] = up;
        layout.height = up + down;
    }
    out
}

/// Names in one line unless breaking them at the hyphen gains a twentieth of the size.
fn best(scale_of: impl Fn(bool) -> f64) -> (bool, f64) {
    let (whole, broken) = (scale_of(false), scale_of(true));
    if broken > whole * 1.05 { (true, broken) } else { (false, whole) }
}

/// A bearing between rays with the most room for the labels of the rings, degrees.
pub(super) fn ring_label_bearing(input: &FloorInput) -> f64 {
    // On the side of the standing limb first: there a ray is more often closed.
    let order = [22.5, 157.5, 67.5, 112.5, 337.5, 202.5, 292.5, 247.5];
    let sign = if input.mover == Side::Left { 1.0 } else { -1.0 };
    let room = |bearing: f64| {
        input
            .rays
            .iter()
            .filter(|r| r.state.distance().is_some())
            .map(|r| {
                let apart = (f64::from(r.bearing.degrees()) - bearing).rem_euclid(360.0);
                apart.min(360.0 - apart)
            })
            .fold(180.0, f64::min)
    };
    let mut best = (sign * order[0], room(sign * order[0]));
    for bearing in order.map(|b| b * sign) {
        if room(bearing) > best.1 + 1.0 {
            best = (bearing, room(bearing));
        }
    }
    best.0
}
