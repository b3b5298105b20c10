//! Words that only the practice page says.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// Sentences under the names by which the script of the page asks for them; tests hold script and table to
/// each other, both ways.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(transparent)]
pub struct PageWords(BTreeMap<String, String>);

impl PageWords {
    /// The sentence of a name; empty where there is none.
    #[must_use]
    pub fn of(&self, name: &str) -> &str {
        self.0.get(name).map_or("", String::as_str)
    }

    /// Every name, in order of the alphabet.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }
}
