//! How a test was done: fields without which results are not compared and norms are not used.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use quantity::reference::TableHead;
use serde::{Deserialize, Serialize};

use crate::Instrument;

/// One field of a protocol.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ProtocolField {
    /// Its key.
    pub key: &'static str,
    /// What it is, after "the".
    pub words: String,
    /// What may be chosen; empty where free words are stored.
    pub choices: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    field: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    key: String,
    words: String,
    choices: Vec<String>,
}

/// Every field there is.
///
/// # Panics
/// When the built-in table does not parse, which a test rules out.
#[must_use]
pub fn protocol_fields() -> &'static [ProtocolField] {
    static FIELDS: OnceLock<Vec<ProtocolField>> = OnceLock::new();
    FIELDS.get_or_init(|| {
        let text = include_str!("../../../reference/instruments/protocol_fields.toml");
        toml::from_str::<Table>(text)
            .unwrap_or_else(|e| panic!("reference/instruments/protocol_fields.toml: {e}"))
            .field
            .into_iter()
            .map(|row| ProtocolField { key: String::leak(row.key), words: row.words, choices: row.choices })
            .collect()
    })
}

/// The field with this key.
pub(crate) fn field(key: &str) -> Option<&'static ProtocolField> {
    protocol_fields().iter().find(|field| field.key == key)
}

/// How one result was taken: field and choice, each checked. What is absent was not recorded.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Protocol(BTreeMap<&'static str, String>);

/// Why a protocol cannot be stored.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ProtocolError {
    /// No such field.
    #[error("protocol field `{given}` is not known; accepted: {accepted}")]
    UnknownField {
        /// What was given.
        given: String,
        /// Every field.
        accepted: String,
    },
    /// Not one of the choices of the field.
    #[error("the {words} `{given}` is not one of {accepted}")]
    UnknownChoice {
        /// The field in words.
        words: String,
        /// What was given.
        given: String,
        /// The choices.
        accepted: String,
    },
    /// An empty answer, or one that is too long to be an answer.
    #[error("the {words} is empty or longer than {LONGEST} letters; say it in a few words or leave it out")]
    NotAnAnswer {
        /// The field in words.
        words: String,
    },
}

/// Longest free answer that is stored.
const LONGEST: usize = 400;

/// Whether two protocols agree in the fields that a test needs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "match", rename_all = "snake_case")]
pub enum ProtocolMatch {
    /// Every needed field is known and the same.
    Same,
    /// A field differs.
    Differs {
        /// The field in words.
        field: String,
        /// One of the two.
        one: String,
        /// The other.
        other: String,
    },
    /// A field was not recorded, so nobody knows.
    NotRecorded {
        /// The field in words.
        field: String,
    },
}

impl Protocol {
    /// Checks fields and choices.
    ///
    /// # Errors
    /// Names the field or choice that does not exist and what is accepted.
    pub fn new<'a>(pairs: impl IntoIterator<Item = (&'a str, &'a str)>) -> Result<Self, ProtocolError> {
        let mut map = BTreeMap::new();
        for (key, value) in pairs {
            let field = field(key).ok_or_else(|| ProtocolError::UnknownField {
                given: key.to_owned(),
                accepted: protocol_fields().iter().map(|f| f.key).collect::<Vec<_>>().join(", "),
            })?;
            let value = value.trim();
            if value.is_empty() || value.chars().count() > LONGEST {
                return Err(ProtocolError::NotAnAnswer { words: field.words.clone() });
            }
            if !field.choices.is_empty() && !field.choices.iter().any(|choice| choice == value) {
                return Err(ProtocolError::UnknownChoice {
                    words: field.words.clone(),
                    given: value.to_owned(),
                    accepted: field.choices.join(", "),
                });
            }
            map.insert(field.key, value.to_owned());
        }
        Ok(Self(map))
    }

    /// What was recorded for a field.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&str> {
        self.0.get(key).map(String::as_str)
    }

    /// Field and choice of everything recorded.
    pub fn recorded(&self) -> impl Iterator<Item = (&'static str, &str)> {
        self.0.iter().map(|(key, value)| (*key, value.as_str()))
    }

    /// Compares with another in every field that the test needs.
    #[must_use]
    pub fn matches(&self, other: &Self, test: &Instrument) -> ProtocolMatch {
        self.matches_in(other, test.needs.iter().copied())
    }

    /// Compares with another in the named fields.
    pub(crate) fn matches_in<'a>(
        &self,
        other: &Self,
        keys: impl IntoIterator<Item = &'a str>,
    ) -> ProtocolMatch {
        let mut unknown = None;
        for key in keys {
            let words = || field(key).map_or_else(|| key.to_owned(), |field| field.words.clone());
            match (self.get(key), other.get(key)) {
                // Free words are compared as words, not as letters.
                (Some(one), Some(two)) if one.to_lowercase() == two.to_lowercase() => {}
                (Some(one), Some(two)) => {
                    return ProtocolMatch::Differs {
                        field: words(),
                        one: one.to_owned(),
                        other: two.to_owned(),
                    };
                }
                _ => unknown = unknown.or_else(|| Some(words())),
            }
        }
        unknown.map_or(ProtocolMatch::Same, |field| ProtocolMatch::NotRecorded { field })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::InstrumentKey;

    fn star(pairs: &[(&'static str, &'static str)]) -> Protocol {
        Protocol::new(pairs.iter().copied()).expect("a protocol")
    }

    const WHOLE: [(&str, &str); 4] = [
        ("foot_placement", "foot_centred"),
        ("heel", "stays_down"),
        ("hands", "on_hips"),
        ("footwear", "barefoot"),
    ];

    #[test]
    fn a_protocol_is_the_same_only_when_every_needed_field_is_known_and_equal() {
        let test = InstrumentKey::find("star_reach").expect("it exists").instrument();
        assert_eq!(star(&WHOLE).matches(&star(&WHOLE), test), ProtocolMatch::Same);
        assert!(matches!(
            star(&WHOLE[..3]).matches(&star(&WHOLE), test),
            ProtocolMatch::NotRecorded { field } if field == "footwear"
        ));
        let mut other = WHOLE;
        other[0] = ("foot_placement", "toe_at_line");
        assert!(matches!(
            star(&other).matches(&star(&WHOLE[..2]), test),
            ProtocolMatch::Differs { field, .. } if field == "place of the standing foot"
        ));
    }

    #[test]
    fn free_words_are_the_same_in_any_case() {
        let test = InstrumentKey::find("lefs").expect("it exists").instrument();
        let said = |version| Protocol::new([("version", version)]).expect("a protocol");
        assert_eq!(said("English, full").matches(&said(" english, FULL "), test), ProtocolMatch::Same);
        assert!(matches!(said("English").matches(&said("short"), test), ProtocolMatch::Differs { .. }));
    }

    #[test]
    fn what_is_no_field_no_choice_or_no_answer_is_refused_with_what_is_accepted() {
        let refused = |key, value: &str| Protocol::new([(key, value)]).unwrap_err().to_string();
        assert!(refused("foot", "x").contains("foot_placement"));
        assert!(refused("heel", "up").contains("stays_down, may_lift"));
        assert!(refused("device", "  ").contains("leave it out"));
        assert!(refused("device", &"x".repeat(100_000)).contains("leave it out"));
    }
}
