//! Reach in eight directions at two dates, seen from above with the person facing up the page.

use movement::{AnatomicalDirection, Bearing};

use super::axis::{Scale, decimals};
use crate::ink::{HAIR, INK, Ink, PAPER, QUIET, TONE};
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
    /// How far each direction commonly differs between two dates without any change, either way.
    pub noise: Vec<(Bearing, f64)>,
    /// What the grey is, such as `grey: changes that are common without any change`, or why there is none.
    pub noise_words: String,
    /// The two dates as they are written.
    pub dates: [String; 2],
    /// Smallest step between two results.
    pub resolution: f64,
    /// What is written in the chart.
    pub words: ReachWords,
}

/// What is written in a chart of reach, in the language of its reader.
#[derive(Clone, Debug, PartialEq)]
pub struct ReachWords {
    /// Which leg stands and in which unit the numbers are.
    pub title: String,
    /// The name of each direction.
    pub directions: [(AnatomicalDirection, String); 8],
    /// What stands at the earlier result, with `{value}`.
    pub was: String,
    /// What the mark of a missing result means.
    pub not_measured: String,
    /// From which leg directions are named.
    pub named: String,
    /// What stands before the tenths.
    pub decimal: char,
    /// The letter of the standing foot.
    pub foot: String,
}

impl ReachWords {
    /// The words in English.
    #[must_use]
    pub fn english(standing: Side, unit: &str) -> Self {
        let side = standing.to_string();
        Self {
            title: format!("{}{} leg stands, {unit}", side[..1].to_uppercase(), &side[1..]),
            directions: AnatomicalDirection::ALL.map(|one| (one, one.name().to_owned())),
            was: "was {value}".to_owned(),
            not_measured: "not measured".to_owned(),
            named: "directions are named from the standing leg".to_owned(),
            decimal: '.',
            foot: if standing == Side::Left { "L" } else { "R" }.to_owned(),
        }
    }

    fn name(&self, direction: AnatomicalDirection) -> String {
        let known = self.directions.iter().find(|(one, _)| *one == direction);
        known.map_or_else(|| direction.name().to_owned(), |(_, name)| name.clone())
    }
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

/// Half of the angle that a grey piece of one direction takes, degrees: eight of them leave gaps.
const HALF_PIECE: f64 = 9.0;

/// A piece of a ring about a bearing, from one radius to another.
fn piece(centre: Point, bearing: Bearing, inner: f64, outer: f64) -> Vec<Point> {
    let middle = f64::from(bearing.degrees());
    let at = |radius: f64, degrees: f64| {
        let (right, forward) = degrees.to_radians().sin_cos();
        [centre[0] + right * radius, centre[1] - forward * radius]
    };
    let turn = [-1.0, -0.5, 0.0, 0.5, 1.0].map(|share| middle + share * HALF_PIECE);
    turn.iter().map(|d| at(outer, *d)).chain(turn.iter().rev().map(|d| at(inner, *d))).collect()
}

/// What is written at the rim of one direction: its name, the later result, the earlier one.
fn rim(input: &ReachChart, bearing: Bearing) -> Option<[String; 3]> {
    let of = |results: &[(Bearing, f64)]| {
        let found = sorted(results).into_iter().find(|(b, _)| *b == bearing);
        found.map(|(_, v)| decimals(v, input.resolution).replace('.', &input.words.decimal.to_string()))
    };
    let (was, now) = (of(&input.earlier), of(&input.later));
    if was.is_none() && now.is_none() {
        return None;
    }
    Some([
        input.words.name(bearing.named_from(input.standing)),
        now.unwrap_or_else(|| MISSING.to_owned()),
        input.words.was.replace("{value}", was.as_deref().unwrap_or(MISSING)),
    ])
}

/// One date: how its marks and its outline look.
struct Look {
    name: &'static str,
    line: Paint,
    mark: Paint,
    radius: f64,
}

/// Draws both dates around the standing foot, with the direction and both results at the rim of every direction
/// that was measured. Grey around the first date is what commonly differs without any change. Directions beside
/// each other are joined by a line; a line stands in the key only where one is drawn.
#[must_use]
pub fn reach_chart(input: &ReachChart, frame: Frame) -> Scene {
    let mut scene = Scene::new(frame.width, frame.height);
    let size = frame.type_size;
    let (earlier, later) = (sorted(&input.earlier), sorted(&input.later));
    let grey: Vec<(Bearing, [f64; 2])> = earlier
        .iter()
        .filter_map(|(bearing, value)| {
            let (_, by) = sorted(&input.noise).into_iter().find(|(b, _)| b == bearing)?;
            Some((*bearing, [(value - by).max(0.0), value + by]))
        })
        .collect();
    let most = earlier.iter().chain(&later).map(|(_, v)| *v);
    let most = most.chain(grey.iter().map(|(_, [_, outer])| *outer)).fold(0.0, f64::max);
    let labels = Bearing::ALL.map(|bearing| (bearing, rim(input, bearing)));
    let texts = || labels.iter().filter_map(|(_, words)| words.as_ref()).flatten();
    let widest = texts().map(|words| width(words, size)).fold(0.0, f64::max);
    let mut below = vec![input.words.named.clone()];
    below.extend(
        texts()
            .any(|words| words.contains(MISSING))
            .then(|| format!("{MISSING} {}", input.words.not_measured)),
    );
    let row = size * 1.25;
    #[allow(clippy::cast_precision_loss)] // two or three
    let foot = row * (below.len() as f64 + 0.4);
    let (head, label) = (size * 4.3 + row, size * 4.2);
    let radius = ((frame.width - 2.0 * widest - size * 1.6) / 2.0)
        .min((frame.height - head - foot - 2.0 * label) / 2.0)
        .max(size * 2.0);
    let centre = [frame.width / 2.0, head + label + radius];
    // As many rings as their labels have room for.
    let many = (radius / (size * 2.0)).floor().clamp(2.0, 6.0);
    let rings = Scale::holding([0.0, most].into_iter(), many, 0.0, radius);
    let out = |value: f64| rings.at(value);

    let side = input.standing;
    scene.words("title", [size * 0.3, size * 1.1], Anchor::Start, (size, true, INK), &input.words.title);
    let ink = Ink::of(side);
    let looks = [
        Look {
            name: "earlier",
            line: Paint::line(QUIET, 1.6).dashed(5.0, 4.0),
            mark: Paint::both(PAPER, QUIET, 1.6),
            radius: size * 0.36,
        },
        Look {
            name: "later",
            line: Paint::line(ink, 2.2),
            mark: Paint::both(ink, ink, 1.0),
            radius: size * 0.22,
        },
    ];
    let both = [&earlier, &later];
    for (nth, ((look, results), date)) in (0_u8..).zip(looks.iter().zip(both).zip(&input.dates)) {
        let y = size * 2.3 + row * f64::from(nth);
        if joined(results).next().is_some() {
            scene.line("key line", vec![[size * 0.4, y], [size * 2.6, y]], look.line);
        }
        scene.circle("key mark", [size * 1.5, y], look.radius, look.mark);
        let at = [size * 3.1, y + size * 0.35];
        scene.words("key", at, Anchor::Start, (size, false, INK), date);
    }
    let y = size * 2.3 + row * 2.0;
    let mut key = [size * 0.3, y + size * 0.35];
    if !grey.is_empty() {
        let (top, bottom) = (y - size * 0.4, y + size * 0.4);
        let box_ = vec![[size * 0.4, top], [size * 2.6, top], [size * 2.6, bottom], [size * 0.4, bottom]];
        scene.polygon("key noise", box_, Paint::fill(TONE));
        key[0] = size * 3.1;
    }
    scene.words("key", key, Anchor::Start, (size, false, INK), &input.noise_words);

    if grey.len() == Bearing::ALL.len() {
        let edge = |which: usize| -> Vec<Point> {
            grey.iter().map(|(b, edges)| place(centre, *b, out(edges[which]))).collect()
        };
        scene.polygon("noise", edge(1), Paint::fill(TONE));
        scene.polygon("inside the noise", edge(0), Paint::fill(PAPER));
    } else {
        for (bearing, [inner, outer]) in &grey {
            scene.polygon("noise", piece(centre, *bearing, out(*inner), out(*outer)), Paint::fill(TONE));
        }
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
    for (look, results) in looks.iter().zip(both) {
        if results.len() == Bearing::ALL.len() {
            let points = results.iter().map(|(b, v)| place(centre, *b, out(*v))).collect();
            scene.polygon(look.name, points, look.line);
        } else {
            for ends in joined(results) {
                scene.line(look.name, ends.map(|(b, v)| place(centre, b, out(v))).to_vec(), look.line);
            }
        }
        for (bearing, value) in results {
            scene.circle(look.name, place(centre, *bearing, out(*value)), look.radius, look.mark);
        }
    }
    scene.circle("standing", centre, size * 0.75, Paint::fill(INK));
    let at = [centre[0], centre[1] + size * 0.35];
    scene.words("standing", at, Anchor::Middle, (size, true, PAPER), &input.words.foot);
    for (bearing, words) in labels {
        let Some(words) = words else { continue };
        let [x, y] = place(centre, bearing, radius + size * 0.6);
        let anchor = match bearing.side_sign() {
            1 => Anchor::Start,
            -1 => Anchor::End,
            _ => Anchor::Middle,
        };
        let (forward, _) = bearing.forward_right();
        let mut y = y - size * (0.8 + 1.6 * forward);
        for (part, bold, text) in
            [("direction", false, &words[0]), ("label", true, &words[1]), ("label", false, &words[2])]
        {
            scene.words(part, [x, y], anchor, (size, bold, INK), text);
            y += size * 1.15;
        }
    }
    let mut y = frame.height - foot + row;
    for words in &below {
        scene.words("key", [size * 0.3, y], Anchor::Start, (size, false, INK), words);
        y += row;
    }
    scene
}

/// Pairs of results in directions beside each other: an outline is not closed over a missing one.
fn joined(results: &[(Bearing, f64)]) -> impl Iterator<Item = [(Bearing, f64); 2]> + '_ {
    results.iter().filter_map(|(bearing, value)| {
        let next = results.iter().find(|(b, _)| b.degrees() == (bearing.degrees() + 45) % 360)?;
        Some([(*bearing, *value), *next])
    })
}
