//! The course of one result over the weeks, both limbs, with the error of every point.

use anatomy::Side;

use super::axis::{Ground, Scale, decimals, level, number_room, square, upright};
use crate::ink::{INK, Ink, PAPER, QUIET, TONE};
use crate::letters::width;
use crate::scene::{Anchor, Frame, Paint, Point, Scene};

/// One session.
#[derive(Clone, Debug, PartialEq)]
pub struct CoursePoint {
    /// Days since the first session of the chart.
    pub day: f64,
    /// The date as it is written under the chart.
    pub date: String,
    /// The result.
    pub value: f64,
    /// The interval in which the true value lies, where the error of the test is known.
    pub interval: Option<[f64; 2]>,
    /// The test ended at its cap: the true value may be higher.
    pub capped: bool,
}

/// The sessions of one limb, or of the whole person.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseLine {
    /// The limb; none for a result of the whole person.
    pub side: Option<Side>,
    /// In the order of their days.
    pub points: Vec<CoursePoint>,
}

/// What the chart shows.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseChart {
    /// The result and its unit, such as `reach forward (% of leg length)`.
    pub name: String,
    /// The unit alone, as it stands behind a value, such as `% of leg length`.
    pub unit: String,
    /// The least the test can give, where it has one: the axis begins there where that costs at most half of the
    /// height.
    pub least: Option<f64>,
    /// Which way is better, such as `higher is better`.
    pub better: String,
    /// What the bands are, such as `bands: 95 % interval of the true value`.
    pub bands: String,
    /// One or two lines.
    pub lines: Vec<CourseLine>,
    /// Smallest step between two results, for the digits that are written.
    pub resolution: f64,
}

fn mark(scene: &mut Scene, side: Option<Side>, at: Point, size: f64, ink: Ink) {
    match side {
        Some(Side::Right) => scene.polygon("result right", square(at, size), Paint::both(PAPER, ink, 1.8)),
        Some(Side::Left) => scene.circle("result left", at, size * 1.1, Paint::both(ink, ink, 1.8)),
        None => scene.circle("result", at, size * 1.1, Paint::both(ink, ink, 1.8)),
    }
}

/// The values the axis holds: the least of the test too, where the results still fill half of the height.
fn held(values: &[f64], least: Option<f64>) -> Vec<f64> {
    let (low, high) =
        values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(*v), h.max(*v)));
    let least = least.filter(|least| *least <= low && low - least <= high - low);
    values.iter().copied().chain(least).collect()
}

/// Draws the upright axis with the mark of a piece left out below its first number, and says where it begins.
fn cut(scene: &mut Scene, ground: Ground, scale: &Scale, frame: Frame, unit: &str) {
    let (size, left, gap) = (frame.type_size, ground.left, ground.bottom - scale.at(scale.low));
    let up = |share: f64| ground.bottom - share * gap;
    let line = Paint::line(QUIET, 1.0);
    scene.line("axis", vec![[left, up(0.8)], [left, scale.at(scale.high)]], line);
    let aside = size * 0.4;
    let mark = vec![
        [left, ground.bottom],
        [left, up(0.2)],
        [left - aside, up(0.35)],
        [left + aside, up(0.65)],
        [left, up(0.8)],
    ];
    scene.line("break", mark, Paint::line(INK, 1.6));
    let words = format!("axis begins at {} {unit}", scale.words(scale.low));
    let at = [f64::midpoint(left, ground.right), ground.bottom + 4.0 + size * 3.6];
    scene.words("begins", at, Anchor::Middle, (size, true, INK), &words);
}

/// Draws results over time. Left: full line and disc; right: dashed line and open square. An axis without zero is
/// drawn broken and says where it begins.
#[must_use]
pub fn course_chart(input: &CourseChart, frame: Frame) -> Scene {
    let mut scene = Scene::new(frame.width, frame.height);
    let size = frame.type_size;
    let points = || input.lines.iter().flat_map(|l| &l.points).filter(|p| p.value.is_finite());
    let values: Vec<f64> =
        points().flat_map(|p| [p.value].into_iter().chain(p.interval.into_iter().flatten())).collect();
    let values = held(&values, input.least);
    let rough = Scale::holding(values.iter().copied(), 5.0, 1.0, 0.0);
    let room = number_room(&rough.ticks().iter().map(|v| rough.words(*v)).collect::<Vec<_>>(), size);
    let end = |line: &CourseLine| -> String {
        let last = line.points.last().map_or(String::new(), |p| {
            let at_least = if p.capped { "\u{2265}\u{a0}" } else { "" };
            format!("{at_least}{}", decimals(p.value, input.resolution))
        });
        line.side.map_or(last.clone(), |side| format!("{side} {last}"))
    };
    let ends = input.lines.iter().map(|l| width(&end(l), size)).fold(0.0, f64::max);
    let mut ground = Ground::within(frame, room, ends + size * 1.4);
    let without_zero = !values.is_empty() && (rough.low > 0.0 || rough.high < 0.0);
    let gap = if without_zero { size * 1.1 } else { 0.0 };
    if without_zero {
        ground.bottom -= size * 1.3;
    }
    let y = Scale::holding(values.into_iter(), 5.0, ground.bottom - gap, ground.top + size * 0.8);
    upright(&mut scene, ground, &y, frame, &input.name);
    if without_zero {
        cut(&mut scene, ground, &y, frame, &input.unit);
    }
    let (first, last) =
        points().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p.day), b.max(p.day)));
    let inset = size * 1.2;
    let x = |day: f64| {
        let span = (last - first).max(1e-9);
        if last > first {
            ground.left + inset + (day - first) / span * (ground.right - ground.left - 2.0 * inset)
        } else {
            f64::midpoint(ground.left, ground.right)
        }
    };
    let mut dates: Vec<(f64, String)> = points().map(|p| (x(p.day), p.date.clone())).collect();
    dates.sort_by(|a, b| a.0.total_cmp(&b.0));
    dates.dedup();
    level(&mut scene, ground, &dates, frame, &format!("{}; {}", input.better, input.bands));

    // The two limbs of one day stand beside each other.
    let aside = |side: Option<Side>| side.map_or(0.0, |s| s.sign() * size * 0.28);
    for line in &input.lines {
        for p in line.points.iter().filter(|p| p.value.is_finite()) {
            if let Some([low, high]) = p.interval {
                let at = x(p.day) + aside(line.side);
                let half = size * 0.22;
                let box_ = vec![
                    [at - half, y.at(low)],
                    [at + half, y.at(low)],
                    [at + half, y.at(high)],
                    [at - half, y.at(high)],
                ];
                scene.polygon("error", box_, Paint::fill(TONE));
            }
        }
    }
    let mut taken: Vec<f64> = Vec::new();
    for line in &input.lines {
        let ink = line.side.map_or(INK, Ink::of);
        let places: Vec<Point> = line
            .points
            .iter()
            .filter(|p| p.value.is_finite())
            .map(|p| [x(p.day) + aside(line.side), y.at(p.value)])
            .collect();
        let paint = Paint::line(ink, 1.8);
        let paint = if line.side == Some(Side::Right) { paint.dashed(6.0, 4.0) } else { paint };
        if places.len() > 1 {
            scene.line("course", places.clone(), paint);
        }
        for (p, at) in line.points.iter().filter(|p| p.value.is_finite()).zip(&places) {
            mark(&mut scene, line.side, *at, size * 0.28, ink);
            if p.capped {
                let up = [
                    [at[0] - 4.0, at[1] - size * 0.6],
                    [at[0], at[1] - size],
                    [at[0] + 4.0, at[1] - size * 0.6],
                ];
                scene.line("capped", up.to_vec(), Paint::line(QUIET, 1.4));
            }
        }
        if let Some(at) = places.last() {
            // Labels of two limbs that end close to each other are moved apart.
            let mut down = at[1] + size * 0.35;
            while let Some(other) = taken.iter().find(|t| (**t - down).abs() < size * 1.1) {
                down = other + size * 1.1;
            }
            taken.push(down);
            let place = [ground.right + size * 0.4, down];
            scene.words("label", place, Anchor::Start, (size, true, INK), &end(line));
        }
    }
    scene
}
