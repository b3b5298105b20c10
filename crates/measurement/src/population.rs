//! Groups of people that figures come from, and whose error may stand in for whose.

use std::sync::OnceLock;

use quantity::reference::TableHead;
use serde::{Deserialize, Serialize};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    population: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    key: String,
    words: String,
    near: Vec<String>,
    #[serde(default)]
    presentations: Vec<String>,
}

fn rows() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| {
        toml::from_str::<Table>(include_str!("../../../reference/populations.toml"))
            .unwrap_or_else(|e| panic!("reference/populations.toml: {e}"))
            .population
    })
}

/// A group of people, a key of `reference/populations.toml`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Population(&'static str);

/// A group that no table has.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("population `{given}` is not known; accepted: {accepted}")]
pub struct UnknownPopulation {
    /// What was given.
    pub given: String,
    /// Every group there is.
    pub accepted: String,
}

impl<'de> Deserialize<'de> for Population {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::find(&String::deserialize(deserializer)?).map_err(serde::de::Error::custom)
    }
}

impl Population {
    /// Finds a group by its key.
    ///
    /// # Errors
    /// Lists the groups when none has this key.
    pub fn find(key: &str) -> Result<Self, UnknownPopulation> {
        rows().iter().find(|row| row.key == key).map(|row| Self(row.key.as_str())).ok_or_else(|| {
            UnknownPopulation {
                given: key.to_owned(),
                accepted: rows().iter().map(|row| row.key.as_str()).collect::<Vec<_>>().join(", "),
            }
        })
    }

    /// The key as text.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        self.0
    }

    /// The group in words: `healthy young adults`.
    #[must_use]
    pub fn words(self) -> &'static str {
        rows().iter().find(|row| row.key == self.0).map_or(self.0, |row| row.words.as_str())
    }

    /// The group that people with this presentation belong to, a key of the tables in `reference/presets/`.
    #[must_use]
    pub fn of_presentation(key: &str) -> Option<Self> {
        rows()
            .iter()
            .find(|row| row.presentations.iter().any(|one| one == key))
            .map(|row| Self(row.key.as_str()))
    }

    /// How far an error found in `studied` is from this group: 0 for the same, then the place among those that
    /// may stand in; `None` when it may not.
    pub(crate) fn distance(self, studied: Self) -> Option<usize> {
        if self == studied {
            return Some(0);
        }
        let row = rows().iter().find(|row| row.key == self.0)?;
        row.near.iter().position(|key| key == studied.0).map(|place| place + 1)
    }
}

impl std::fmt::Display for Population {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.words())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whoever_stands_in_is_a_group_and_not_the_group_itself() {
        for row in rows() {
            for near in &row.near {
                assert!(Population::find(near).is_ok() && *near != row.key, "{}: {near}", row.key);
            }
        }
        let of = |key| Population::find(key).expect("a group");
        assert_eq!(of("soldier").distance(of("soldier")), Some(0));
        assert_eq!(of("soldier").distance(of("athlete")), Some(1));
        assert_eq!(of("older_adult").distance(of("athlete")), None, "the young do not stand in for the old");
    }
}
