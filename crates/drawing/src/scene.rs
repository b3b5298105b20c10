//! A drawing as a list of plain shapes, and the SVG text it becomes.

use std::fmt::Write as _;

use crate::ink::Ink;

/// A point on the page: right and down from the upper left corner, points.
pub(crate) type Point = [f64; 2];

/// How large a drawing is and how large its words are, in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Widest it may be.
    pub width: f64,
    /// Highest it may be.
    pub height: f64,
    /// Size of the smallest word in it.
    pub type_size: f64,
}

/// How a shape is painted.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub(crate) struct Paint {
    pub fill: Option<Ink>,
    pub stroke: Option<Ink>,
    pub width: f64,
    pub dash: Option<(f64, f64)>,
}

impl Paint {
    pub fn fill(ink: Ink) -> Self {
        Self { fill: Some(ink), ..Self::default() }
    }

    pub fn line(ink: Ink, width: f64) -> Self {
        Self { stroke: Some(ink), width, ..Self::default() }
    }

    pub fn both(fill: Ink, stroke: Ink, width: f64) -> Self {
        Self { fill: Some(fill), stroke: Some(stroke), width, dash: None }
    }

    pub fn dashed(self, on: f64, off: f64) -> Self {
        Self { dash: Some((on, off)), ..self }
    }
}

/// Which end of a text stands at its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Shape {
    Lines { points: Vec<Point>, closed: bool },
    Circle { centre: Point, radius: f64 },
    Words { at: Point, size: f64, anchor: Anchor, bold: bool, text: String },
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Item {
    pub part: String,
    pub shape: Shape,
    pub paint: Paint,
}

/// A drawing before it is written: its size and its shapes, back to front.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    width: f64,
    height: f64,
    items: Vec<Item>,
}

/// A drawing as SVG text, with its size in points.
#[derive(Clone, Debug, PartialEq)]
pub struct Svg {
    text: String,
    width: f64,
    height: f64,
}

impl Svg {
    /// The SVG document.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// Width in points.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.width
    }

    /// Height in points.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.height
    }
}

impl Scene {
    pub(crate) fn new(width: f64, height: f64) -> Self {
        Self { width, height, items: Vec::new() }
    }

    pub(crate) fn polygon(&mut self, part: &str, points: Vec<Point>, paint: Paint) {
        self.items.push(Item { part: part.to_owned(), shape: Shape::Lines { points, closed: true }, paint });
    }

    pub(crate) fn line(&mut self, part: &str, points: Vec<Point>, paint: Paint) {
        self.items.push(Item { part: part.to_owned(), shape: Shape::Lines { points, closed: false }, paint });
    }

    pub(crate) fn circle(&mut self, part: &str, centre: Point, radius: f64, paint: Paint) {
        self.items.push(Item { part: part.to_owned(), shape: Shape::Circle { centre, radius }, paint });
    }

    pub(crate) fn words(
        &mut self,
        part: &str,
        at: Point,
        anchor: Anchor,
        style: (f64, bool, Ink),
        text: &str,
    ) {
        self.items.push(Item {
            part: part.to_owned(),
            shape: Shape::Words { at, size: style.0, anchor, bold: style.1, text: text.to_owned() },
            paint: Paint::fill(style.2),
        });
    }

    /// Everything of another scene, moved to the right.
    pub(crate) fn lay(&mut self, other: Self, right: f64) {
        self.items.extend(other.items.into_iter().map(|mut item| {
            match &mut item.shape {
                Shape::Lines { points, .. } => points.iter_mut().for_each(|p| p[0] += right),
                Shape::Circle { centre: at, .. } | Shape::Words { at, .. } => at[0] += right,
            }
            item
        }));
    }

    /// The outline points of every shape whose part has this name, for checks: right and down.
    #[must_use]
    pub fn outlines(&self, part: &str) -> Vec<Vec<[f64; 2]>> {
        self.items
            .iter()
            .filter(|item| item.part == part)
            .map(|item| match &item.shape {
                Shape::Lines { points, .. } => points.clone(),
                Shape::Circle { centre, .. } => vec![*centre],
                Shape::Words { at, .. } => vec![*at],
            })
            .collect()
    }

    /// The names of all parts, in drawing order, without repeats next to each other.
    #[must_use]
    pub fn parts(&self) -> Vec<&str> {
        let mut names: Vec<&str> = self.items.iter().map(|item| item.part.as_str()).collect();
        names.dedup();
        names
    }

    /// The smallest and largest size of the words in it, if there are any.
    #[must_use]
    pub fn word_sizes(&self) -> Option<(f64, f64)> {
        let sizes = self.items.iter().filter_map(|item| match item.shape {
            Shape::Words { size, .. } => Some(size),
            _ => None,
        });
        sizes.fold(None, |range, size| match range {
            None => Some((size, size)),
            Some((low, high)) => Some((size.min(low), size.max(high))),
        })
    }

    /// Colours of fills and strokes of the shapes whose part has this name.
    #[must_use]
    pub fn inks(&self, part: &str) -> Vec<Ink> {
        self.items
            .iter()
            .filter(|item| item.part == part)
            .flat_map(|item| [item.paint.fill, item.paint.stroke])
            .flatten()
            .collect()
    }

    /// Width in points.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.width
    }

    /// Height in points.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.height
    }

    /// Writes the drawing. The same scene gives the same bytes.
    #[must_use]
    pub fn svg(&self) -> Svg {
        let mut out = String::new();
        let (w, h) = (number(self.width), number(self.height));
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" font-family=\"Atkinson Hyperlegible Next, sans-serif\">"
        );
        for item in &self.items {
            write_item(&mut out, item);
        }
        out.push_str("</svg>\n");
        Svg { text: out, width: self.width, height: self.height }
    }
}

fn write_item(out: &mut String, item: &Item) {
    let part = escape(&item.part);
    let _ = match &item.shape {
        Shape::Lines { points, closed } => {
            let mut path = String::new();
            for (index, point) in points.iter().enumerate() {
                let letter = if index == 0 { 'M' } else { 'L' };
                let _ = write!(path, "{letter}{} {}", number(point[0]), number(point[1]));
            }
            if *closed {
                path.push('Z');
            }
            write!(out, "<path data-part=\"{part}\" d=\"{path}\"")
        }
        Shape::Circle { centre, radius } => write!(
            out,
            "<circle data-part=\"{part}\" cx=\"{}\" cy=\"{}\" r=\"{}\"",
            number(centre[0]),
            number(centre[1]),
            number(*radius)
        ),
        Shape::Words { at, size, anchor, bold, .. } => write!(
            out,
            "<text data-part=\"{part}\" x=\"{}\" y=\"{}\" font-size=\"{}\" font-weight=\"{}\" text-anchor=\"{}\"",
            number(at[0]),
            number(at[1]),
            number(*size),
            if *bold { 700 } else { 400 },
            match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            }
        ),
    };
    match item.paint.fill {
        Some(ink) => drop(write!(out, " fill=\"{}\"", ink.hex())),
        None => out.push_str(" fill=\"none\""),
    }
    if let Some(ink) = item.paint.stroke {
        let _ = write!(
            out,
            " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\" stroke-linecap=\"round\"",
            ink.hex(),
            number(item.paint.width)
        );
    }
    if let Some((on, off)) = item.paint.dash {
        let _ = write!(out, " stroke-dasharray=\"{} {}\"", number(on), number(off));
    }
    match &item.shape {
        Shape::Words { text, .. } => drop(writeln!(out, ">{}</text>", escape(text))),
        _ => out.push_str("/>\n"),
    }
}

/// Two decimals, no trailing zeros, never a negative zero.
fn number(value: f64) -> String {
    let rounded = (value * 100.0).round() / 100.0;
    let rounded = if rounded == 0.0 { 0.0 } else { rounded };
    let text = format!("{rounded:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // Control characters are not allowed in XML, even escaped.
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
