//! The languages of what people read, and how a value is put into a sentence.

use anatomy::Side;
use serde::{Deserialize, Serialize};

/// A language.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Language {
    /// English.
    En,
    /// French.
    Fr,
    /// Spanish.
    Es,
}

impl Language {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::En, Self::Fr, Self::Es];

    /// Its tag, as in `en`.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::En => "en",
            Self::Fr => "fr",
            Self::Es => "es",
        }
    }
}

/// One whole sentence for each side; the key is the side that the sentence names.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BySide {
    /// It names the left.
    pub left: String,
    /// It names the right.
    pub right: String,
}

impl BySide {
    /// The sentence that names this side.
    #[must_use]
    pub fn of(&self, side: Side) -> &str {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }
}

/// Words after a number.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Counted {
    /// After 1.
    pub one: String,
    /// After every other number.
    pub many: String,
}

impl Counted {
    /// The words after this number.
    #[must_use]
    pub fn of(&self, number: usize) -> &str {
        if number == 1 { &self.one } else { &self.many }
    }
}

/// Puts values into a sentence: each `{name}` becomes its value.
#[must_use]
pub fn fill(sentence: &str, values: &[(&str, &str)]) -> String {
    let mut out = sentence.to_owned();
    for (name, value) in values {
        out = out.replace(&format!("{{{name}}}"), value);
    }
    out
}
