//! Two readings of the same people: their difference against their mean, after Bland and Altman.

use super::axis::{Ground, Scale, level, number_room, upright};
use crate::ink::{INK, PALE, QUIET, TONE};
use crate::letters::width;
use crate::scene::{Anchor, Frame, Paint, Scene};

/// A line with the interval of its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// The line.
    pub value: f64,
    /// Lower limit of the interval.
    pub lower: f64,
    /// Upper limit of the interval.
    pub upper: f64,
}

/// What the chart shows, all in one unit.
#[derive(Clone, Debug, PartialEq)]
pub struct AgreementChart {
    /// Mean and difference of each person's two readings.
    pub points: Vec<[f64; 2]>,
    /// Mean difference.
    pub bias: Band,
    /// Lower limit of agreement.
    pub lower: Band,
    /// Upper limit of agreement.
    pub upper: Band,
    /// Which is taken from which, such as `first \u{2212} second`.
    pub difference: String,
    /// Such as `cm`.
    pub unit: String,
}

/// Draws differences against means with bias, limits and their intervals. Values that are not finite
/// are left out.
#[must_use]
pub fn agreement_chart(input: &AgreementChart, frame: Frame) -> Scene {
    let mut scene = Scene::new(frame.width, frame.height);
    let bands = [(&input.upper, "upper limit"), (&input.bias, "mean"), (&input.lower, "lower limit")];
    let limits = bands.iter().flat_map(|(b, _)| [b.lower, b.upper]);
    let points: Vec<[f64; 2]> =
        input.points.iter().copied().filter(|p| p.iter().all(|x| x.is_finite())).collect();
    let heights: Vec<f64> = points.iter().map(|p| p[1]).chain(limits).chain([0.0]).collect();
    let line = frame.type_size * 1.3;
    let sized = Scale::holding(heights.iter().copied(), 6.0, frame.height - line * 2.6, line * 1.6);
    let room =
        number_room(&sized.ticks().iter().map(|v| sized.words(*v)).collect::<Vec<_>>(), frame.type_size);
    let fine = sized.step / 10.0;
    let names: Vec<[String; 2]> =
        bands.iter().map(|(b, name)| [(*name).to_owned(), super::axis::decimals(b.value, fine)]).collect();
    let names_room = names.iter().flatten().map(|w| width(w, frame.type_size)).fold(0.0, f64::max);
    let ground = Ground::within(frame, room, names_room + frame.type_size);
    let y = Scale::holding(heights.into_iter(), 6.0, ground.bottom, ground.top);
    let x = Scale::holding(points.iter().map(|p| p[0]), 5.0, ground.left, ground.right);

    for (band, _) in bands {
        let (top, bottom) = (y.at(band.upper), y.at(band.lower));
        if top.is_finite() && bottom.is_finite() {
            let corners =
                [[ground.left, top], [ground.right, top], [ground.right, bottom], [ground.left, bottom]];
            scene.polygon("interval", corners.to_vec(), Paint::fill(PALE));
        }
    }
    upright(&mut scene, ground, &y, frame, &format!("difference, {} ({})", input.difference, input.unit));
    let ticks: Vec<(f64, String)> = x.ticks().iter().map(|v| (x.at(*v), x.words(*v))).collect();
    level(&mut scene, ground, &ticks, frame, &format!("mean of the two ({})", input.unit));
    let across = |value: f64| vec![[ground.left, y.at(value)], [ground.right, y.at(value)]];
    scene.line("zero", across(0.0), Paint::line(QUIET, 0.8));
    for ((band, name), words) in bands.into_iter().zip(&names) {
        let paint = Paint::line(INK, 1.4);
        let paint = if name == "mean" { paint } else { paint.dashed(6.0, 4.0) };
        scene.line(name, across(band.value), paint);
        for (row, text) in words.iter().enumerate() {
            #[allow(clippy::cast_precision_loss)] // two
            let down = (row as f64 - 0.15) * frame.type_size * 1.1;
            let at = [ground.right + frame.type_size * 0.4, y.at(band.value) + down];
            scene.words("label", at, Anchor::Start, (frame.type_size, row == 1, INK), text);
        }
    }
    for [mean, difference] in points {
        let at = [x.at(mean), y.at(difference)];
        scene.circle("person", at, frame.type_size * 0.26, Paint::both(TONE, INK, 1.1));
    }
    scene
}
