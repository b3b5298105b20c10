//! A straight scale with round ticks, and the ground of a chart.

use crate::ink::{HAIR, INK, QUIET};
use crate::letters::width;
use crate::scene::{Anchor, Frame, Paint, Point, Scene};

/// Numbers along one edge of a chart.
#[derive(Clone, Debug)]
pub(super) struct Scale {
    pub low: f64,
    pub high: f64,
    from: f64,
    to: f64,
    /// Distance between ticks.
    pub step: f64,
}

/// The steps between ticks that read well, in powers of ten.
const ROUND: [f64; 4] = [1.0, 2.0, 5.0, 10.0];

impl Scale {
    /// Holds these values with about as many ticks, between two places on the page.
    pub fn holding(values: impl Iterator<Item = f64>, ticks: f64, from: f64, to: f64) -> Self {
        let finite = values.filter(|v| v.is_finite());
        let (mut low, mut high) =
            finite.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
        if low > high {
            (low, high) = (0.0, 1.0);
        }
        let room = (high - low).max(high.abs().max(low.abs()) * 1e-6).max(1e-9);
        let rough = room / ticks.max(1.0);
        let ten = 10.0_f64.powf(rough.log10().floor());
        let step = ROUND.iter().map(|r| r * ten).find(|s| *s >= rough * 0.999).unwrap_or(10.0 * ten);
        Self { low: (low / step).floor() * step, high: (high / step).ceil() * step, from, to, step }
            .not_flat()
    }

    fn not_flat(self) -> Self {
        if self.high - self.low > self.step * 0.5 {
            self
        } else {
            Self { low: self.low - self.step, high: self.high + self.step, ..self }
        }
    }

    /// Where a value stands on the page.
    pub fn at(&self, value: f64) -> f64 {
        self.from + (value - self.low) / (self.high - self.low) * (self.to - self.from)
    }

    /// Values with a tick.
    pub fn ticks(&self) -> Vec<f64> {
        #[allow(clippy::cast_possible_truncation)] // a handful
        let count = ((self.high - self.low) / self.step).round() as i32;
        (0..=count).map(|k| self.low + self.step * f64::from(k)).collect()
    }

    /// A value with as many decimals as the ticks need.
    pub fn words(&self, value: f64) -> String {
        decimals(value, self.step)
    }
}

/// A value with as many decimals as steps of this size need.
pub(super) fn decimals(value: f64, step: f64) -> String {
    let places = (0..6).find(|p| {
        let scaled = step * 10.0_f64.powi(*p);
        (scaled - scaled.round()).abs() < 1e-6 * scaled.max(1.0)
    });
    let places = usize::try_from(places.unwrap_or(6)).unwrap_or(6);
    let text = format!("{value:.places$}");
    let bare = text.trim_start_matches('-');
    if bare.chars().all(|c| c == '0' || c == '.') { bare.to_owned() } else { text.replace('-', "\u{2212}") }
}

/// The inner rectangle of a chart: left, top, right, bottom.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ground {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Ground {
    /// Leaves room for words: above, at the right, below, and at the left for numbers of this width.
    pub fn within(frame: Frame, left: f64, right: f64) -> Self {
        let line = frame.type_size * 1.3;
        Self {
            left,
            top: line * 1.6,
            right: (frame.width - right).max(left + line),
            bottom: (frame.height - line * 2.6).max(line * 3.0),
        }
    }
}

/// Width of numbers like these, with a gap.
pub(super) fn number_room(words: &[String], size: f64) -> f64 {
    words.iter().map(|w| width(w, size)).fold(0.0, f64::max) + size
}

/// Draws hairlines and numbers of the upright scale, and its name above it.
pub(super) fn upright(scene: &mut Scene, ground: Ground, scale: &Scale, frame: Frame, name: &str) {
    for value in scale.ticks() {
        let y = scale.at(value);
        scene.line("hairline", vec![[ground.left, y], [ground.right, y]], Paint::line(HAIR, 0.6));
        let at = [ground.left - frame.type_size * 0.4, y + frame.type_size * 0.35];
        let style = (frame.type_size, false, INK);
        scene.words("number", at, Anchor::End, style, &scale.words(value));
    }
    let at = [frame.type_size * 0.3, frame.type_size * 1.1];
    scene.words("name", at, Anchor::Start, (frame.type_size, true, INK), name);
}

/// Draws the line below with a tick and words at each place, and a name under it.
pub(super) fn level(scene: &mut Scene, ground: Ground, ticks: &[(f64, String)], frame: Frame, name: &str) {
    let line = Paint::line(QUIET, 1.0);
    scene.line("axis", vec![[ground.left, ground.bottom], [ground.right, ground.bottom]], line);
    let mut free = f64::NEG_INFINITY;
    for (x, words) in ticks {
        scene.line("tick", vec![[*x, ground.bottom], [*x, ground.bottom + 4.0]], line);
        let half = width(words, frame.type_size) / 2.0;
        let x = x.min(frame.width - half).max(half);
        if x - half < free {
            continue;
        }
        free = x + half + frame.type_size * 0.5;
        let at: Point = [x, ground.bottom + 4.0 + frame.type_size];
        scene.words("number", at, Anchor::Middle, (frame.type_size, false, INK), words);
    }
    let at = [f64::midpoint(ground.left, ground.right), ground.bottom + 4.0 + frame.type_size * 2.3];
    scene.words("name", at, Anchor::Middle, (frame.type_size, false, INK), name);
}

/// A cross of two lines, a square or a disc, by which marks are told apart without ink.
pub(super) fn square(centre: Point, half: f64) -> Vec<Point> {
    let [x, y] = centre;
    vec![[x - half, y - half], [x + half, y - half], [x + half, y + half], [x - half, y + half]]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_holds_its_values_between_round_ticks() {
        let cases =
            [vec![3.0, 97.0], vec![-79.7, 75.5], vec![0.1312, 0.1318], vec![5.0], vec![], vec![1e6, 1e6]];
        for values in cases {
            let scale = Scale::holding(values.iter().copied(), 5.0, 100.0, 0.0);
            for v in &values {
                assert!(scale.low <= *v && *v <= scale.high, "{values:?}: {scale:?}");
                assert!((0.0..=100.0).contains(&scale.at(*v)));
            }
            let ticks = scale.ticks();
            assert!((2..=12).contains(&ticks.len()), "{ticks:?}");
        }
    }

    #[test]
    fn numbers_have_the_decimals_of_their_steps_and_no_negative_zero() {
        assert_eq!(decimals(12.5, 0.5), "12.5");
        assert_eq!(decimals(-3.0, 20.0), "\u{2212}3");
        assert_eq!(decimals(-0.01, 0.2), "0.0");
        assert_eq!(decimals(0.13, 0.05), "0.13");
    }
}
