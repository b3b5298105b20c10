//! Reach in eight directions at two dates, seen from above with the person facing up the page.

use movement::Bearing;

use super::axis::{Scale, decimals};
use crate::ink::{HAIR, INK, Ink, PALE, PAPER, QUIET};
use crate::letters::width;
use crate::scene::{Anchor, Frame, Paint, Point, Scene};
use anatomy::Side;

/// What the chart shows: one standing leg.
#[derive(Clone, Debug, PartialEq)]
pub struct ReachChart {
    /// The leg that stands.
    pub standing: Side,
    /// Where the other foot reached at the first date, and how far.
    pub earlier: Vec<(Bearing, f64)>,
    /// And at the second.
    pub later: Vec<(Bearing, f64)>,
    /// Such as `%` or `cm`.
    pub unit: String,
    /// The two dates as they are written.
    pub dates: [String; 2],
    /// Smallest step between two results.
    pub resolution: f64,
}

/// Stands where a result is missing.
const MISSING: &str = "\u{2013}";

fn place(centre: Point, bearing: Bearing, radius: f64) -> Point {
    let (forward, right) = bearing.forward_right();
    [centre[0] + right * radius, centre[1] - forward * radius]
}

fn sorted(results: &[(Bearing, f64)]) -> Vec<(Bearing, f64)> {
    let known = |b: &Bearing| results.iter().find(|(of, v)| of == b && v.is_finite() && *v >= 0.0);
    Bearing::ALL.iter().filter_map(|b| known(b).copied()).collect()
}

/// Draws both dates as areas around the standing foot, with both results at the rim of every direction
/// that was measured.
#[must_use]
pub fn reach_chart(input: &ReachChart, frame: Frame) -> Scene {
    let mut scene = Scene::new(frame.width, frame.height);
    let size = frame.type_size;
    let (earlier, later) = (sorted(&input.earlier), sorted(&input.later));
    let most = earlier.iter().chain(&later).map(|(_, v)| *v).fold(0.0, f64::max);
    let label = |b: Bearing| -> [String; 2] {
        let of = |results: &[(Bearing, f64)]| {
            results.iter().find(|(other, _)| *other == b).map(|(_, v)| decimals(*v, input.resolution))
        };
        match (of(&earlier), of(&later)) {
            (None, None) => [String::new(), String::new()],
            (was, now) => [
                now.unwrap_or_else(|| MISSING.to_owned()),
                format!("was {}", was.unwrap_or_else(|| MISSING.to_owned())),
            ],
        }
    };
    let labels = Bearing::ALL.map(label);
    let widest = labels.iter().flatten().map(|words| width(words, size)).fold(0.0, f64::max);
    let missing = labels.iter().flatten().any(|words| words.contains(MISSING));
    let head = size * 3.6;
    let radius = ((frame.width - 2.0 * widest - size * 1.6) / 2.0)
        .min((frame.height - head - size * 6.4) / 2.0)
        .max(size * 2.0);
    let centre = [frame.width / 2.0, head + size * 2.6 + radius];
    let rings = Scale::holding([0.0, most].into_iter(), 4.0, 0.0, radius);
    let out = |value: f64| rings.at(value);

    let side = input.standing;
    let title = format!(
        "{}{} leg stands, {}",
        side.to_string()[..1].to_uppercase(),
        &side.to_string()[1..],
        input.unit
    );
    scene.words("title", [size * 0.3, size * 1.1], Anchor::Start, (size, true, INK), &title);
    let ink = Ink::of(side);
    let keys = [
        (&input.dates[0], Paint::line(QUIET, 1.6).dashed(5.0, 4.0)),
        (&input.dates[1], Paint::line(ink, 2.2)),
    ];
    for (row, (date, paint)) in (0_u8..).zip(keys) {
        let y = size * (2.3 + 1.25 * f64::from(row));
        scene.line("key", vec![[size * 0.4, y], [size * 2.6, y]], paint);
        let at = [size * 3.1, y + size * 0.35];
        scene.words("key", at, Anchor::Start, (size, false, INK), date);
    }
    let area = |results: &[(Bearing, f64)]| -> Vec<Point> {
        results.iter().map(|(b, v)| place(centre, *b, out(*v))).collect()
    };
    if later.len() == Bearing::ALL.len() {
        scene.polygon("area now", area(&later), Paint::fill(PALE));
    }
    for ring in rings.ticks().into_iter().skip(1) {
        scene.circle("ring", centre, out(ring), Paint::line(HAIR, 0.7));
    }
    for bearing in Bearing::ALL {
        scene.line("ray", vec![centre, place(centre, bearing, radius)], Paint::line(HAIR, 0.7));
    }
    // Rings are labelled once, between two rays.
    for ring in rings.ticks().into_iter().skip(1) {
        let (x, y) = 22.5_f64.to_radians().sin_cos();
        let at = [centre[0] + out(ring) * x, centre[1] - out(ring) * y + size * 0.3];
        scene.words("ring", at, Anchor::Middle, (size * 0.85, false, QUIET), &rings.words(ring));
    }
    for (name, results, paint) in [("earlier", &earlier, keys[0].1), ("later", &later, keys[1].1)] {
        let points = area(results);
        match results.len() {
            0 | 1 => {}
            8 => scene.polygon(name, points.clone(), paint),
            // Where a direction is missing the outline is not closed over it.
            _ => {
                for (bearing, value) in results.iter() {
                    let next = results.iter().find(|(b, _)| b.degrees() == (bearing.degrees() + 45) % 360);
                    if let Some((beside, other)) = next {
                        let ends = [(*bearing, *value), (*beside, *other)];
                        scene.line(name, ends.map(|(b, v)| place(centre, b, out(v))).to_vec(), paint);
                    }
                }
            }
        }
        for at in points {
            scene.circle(name, at, size * 0.22, Paint { dash: None, fill: paint.stroke, ..paint });
        }
    }
    let letter = if side == Side::Left { "L" } else { "R" };
    scene.circle("standing", centre, size * 0.75, Paint::fill(INK));
    let at = [centre[0], centre[1] + size * 0.35];
    scene.words("standing", at, Anchor::Middle, (size, true, PAPER), letter);
    for (bearing, words) in Bearing::ALL.into_iter().zip(&labels) {
        let [x, y] = place(centre, bearing, radius + size * 0.6);
        let anchor = match bearing.side_sign() {
            1 => Anchor::Start,
            -1 => Anchor::End,
            _ => Anchor::Middle,
        };
        let (forward, _) = bearing.forward_right();
        let y = y - size * (0.2 + 0.8 * forward);
        scene.words("label", [x, y], anchor, (size, true, INK), &words[0]);
        scene.words("label", [x, y + size * 1.15], anchor, (size, false, INK), &words[1]);
    }
    if missing {
        let at = [size * 0.3, frame.height - size * 0.5];
        scene.words("key", at, Anchor::Start, (size, false, INK), &format!("{MISSING} not measured"));
    }
    scene
}
