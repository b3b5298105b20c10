//! What may stand behind one key of a case file.

use quantity::{Angle, Length, Mass, Moment, QuantityError, Share, Span};

/// One key: its name, what may stand there, and what it means.
#[derive(Debug)]
pub(super) struct Key {
    pub name: &'static str,
    pub shape: Shape,
    pub essential: bool,
    /// One line for whoever fills it in.
    pub about: &'static str,
    /// A value that is accepted, as it is written in the file; empty where keys or kinds stand below.
    pub example: &'static str,
}

/// One of several forms an entry of a list may take, told apart by a word.
#[derive(Debug)]
pub(super) struct Kind {
    pub name: &'static str,
    pub about: &'static str,
    pub keys: Vec<Key>,
}

/// What may stand behind a key.
#[derive(Debug)]
pub(super) enum Shape {
    /// Text of at most so many letters.
    Text(usize),
    Flag,
    Date,
    /// A direction on the floor, by its plain words or by degrees.
    Bearing,
    Number(Unit, Bounds),
    /// One word of a list.
    Word(Vec<String>),
    /// Something found: the plain value, `{ value, on }`, or "not assessed".
    Finding(Box<Shape>),
    List(Box<Shape>),
    Table(Vec<Key>),
    /// A table whose other keys depend on the word behind `tag`.
    Kinds(&'static str, Vec<Kind>),
}

/// What a number counts or measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    Whole,
    Decimal,
    Length,
    Mass,
    Angle,
    Moment,
    Share,
    Span,
}

/// The smallest and the largest value, in the base unit, with the words to print them.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bounds {
    pub least: f64,
    pub most: f64,
    pub least_text: String,
    pub most_text: String,
}

impl Key {
    /// What is accepted, in words.
    pub(super) fn accepted(&self) -> String {
        match self.sides() {
            Some(one) => format!("`{{ left = ..., right = ... }}`, each {}", one.shape.accepted()),
            None => self.shape.accepted(),
        }
    }

    /// A value that is accepted, as it is written in the file; empty where a table of its own is opened.
    pub(super) fn example_value(&self) -> String {
        match self.sides() {
            Some(one) if one.example.is_empty() => String::new(),
            Some(one) => format!("{{ left = {0}, right = {0} }}", one.example),
            None => self.example.to_owned(),
        }
    }

    /// Whether this key holds a value for the left and one for the right.
    pub(super) fn is_sides(&self) -> bool {
        self.sides().is_some()
    }

    /// What stands for one side, when this key holds a value for each.
    fn sides(&self) -> Option<&Key> {
        match &self.shape {
            Shape::Table(keys) if keys.len() == 2 && keys[0].name == "left" => keys.first(),
            _ => None,
        }
    }
}

impl Unit {
    /// The quantity as people call it.
    pub(super) fn noun(self) -> &'static str {
        match self {
            Self::Whole => "a whole number",
            Self::Decimal => "a number",
            Self::Length => "a length",
            Self::Mass => "a mass",
            Self::Angle => "an angle",
            Self::Moment => "a moment",
            Self::Share => "a share",
            Self::Span => "a time",
        }
    }

    /// The units that are read; empty for a plain number.
    pub(super) fn symbols(self) -> &'static [&'static str] {
        match self {
            Self::Whole | Self::Decimal => &[],
            Self::Length => &["cm", "m", "mm", "in"],
            Self::Mass => &["kg", "lb"],
            Self::Angle => &["deg", "°"],
            Self::Moment => &["Nm", "N·m", "N m"],
            Self::Share => &["%", "percent"],
            Self::Span => &["s", "min"],
        }
    }

    /// Reads what a person typed; the value in the base unit.
    pub(super) fn read(self, text: &str) -> Result<f64, QuantityError> {
        match self {
            Self::Whole | Self::Decimal => text
                .trim()
                .parse::<f64>()
                .map_err(|_| QuantityError::NoNumber { given: text.to_owned(), example: "1" }),
            Self::Length => Length::parse(text).map(Length::in_m),
            Self::Mass => Mass::parse(text).map(Mass::in_kg),
            Self::Angle => Angle::parse(text).map(Angle::in_deg),
            Self::Moment => Moment::parse(text).map(Moment::in_nm),
            Self::Share => Share::parse(text).map(Share::in_percent),
            Self::Span => Span::parse(text).map(Span::in_s),
        }
    }
}

impl Bounds {
    /// Whether the value lies within, both ends included.
    pub(super) fn hold(&self, value: f64) -> bool {
        // Typed units are converted by one multiplication; a billionth absorbs its rounding.
        let slack = 1e-9 * self.most.abs().max(1.0);
        value >= self.least - slack && value <= self.most + slack
    }
}

impl Shape {
    /// What is accepted, in words.
    pub(super) fn accepted(&self) -> String {
        match self {
            Self::Text(longest) => format!("text in quotation marks, at most {longest} letters"),
            Self::Flag => "`true` or `false`, without quotation marks".to_owned(),
            Self::Date => "a date such as 2026-02-03".to_owned(),
            Self::Bearing => {
                format!("{}, or its degrees clockwise from straight ahead (0 to 315 by 45)", bearings())
            }
            Self::Number(unit, Bounds { least_text, most_text, .. }) if least_text == most_text => {
                format!("{} that is {most_text}", unit.noun())
            }
            Self::Number(unit @ (Unit::Whole | Unit::Decimal), bounds) => {
                format!("{} from {} to {}", unit.noun(), bounds.least_text, bounds.most_text)
            }
            Self::Number(unit, bounds) => format!(
                "{} from {} to {}, in quotation marks with its unit ({})",
                unit.noun(),
                bounds.least_text,
                bounds.most_text,
                unit.symbols().join(", ")
            ),
            Self::Word(words) if words.len() == 1 => format!("\"{}\"", words[0]),
            Self::Word(words) => format!("one of {}", words.join(", ")),
            Self::Finding(inner) => format!("{}; or \"not assessed\"", inner.accepted()),
            Self::List(inner) => format!("a list in square brackets; each entry {}", inner.accepted()),
            Self::Table(keys) => {
                format!("a table with {}", keys.iter().map(|key| key.name).collect::<Vec<_>>().join(", "))
            }
            Self::Kinds(tag, kinds) => format!(
                "a table whose `{tag}` is one of {}",
                kinds.iter().map(|kind| kind.name).collect::<Vec<_>>().join(", ")
            ),
        }
    }
}

/// The eight directions in plain words.
pub(super) fn bearings() -> String {
    movement::Bearing::ALL.map(movement::Bearing::plain_words).join(", ")
}
