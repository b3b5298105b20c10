//! What is asked, for the three questions whose wording may be shipped.

use std::sync::OnceLock;

use quantity::reference::TableHead;
use serde::{Deserialize, Serialize};

use crate::InstrumentKey;

/// The wording of one question, ours.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ItemText {
    /// The test it belongs to.
    pub instrument: InstrumentKey,
    /// The question.
    pub question: String,
    /// What the lowest value means.
    pub low: String,
    /// What the middle means, where it has a meaning.
    #[serde(default)]
    pub middle: Option<String>,
    /// What the highest value means.
    pub high: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    text: Vec<ItemText>,
}

/// The wording of a test, where it may be shipped.
///
/// # Panics
/// When the built-in table does not parse, which a test rules out.
#[must_use]
pub fn item_text(key: InstrumentKey) -> Option<&'static ItemText> {
    static TEXTS: OnceLock<Vec<ItemText>> = OnceLock::new();
    let texts = TEXTS.get_or_init(|| {
        let text = include_str!("../../../reference/instruments/item_texts.toml");
        toml::from_str::<Table>(text)
            .unwrap_or_else(|e| panic!("reference/instruments/item_texts.toml: {e}"))
            .text
    });
    texts.iter().find(|text| text.instrument == key)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::MadeFrom;

    #[test]
    fn wording_is_shipped_for_pain_own_activities_and_overall_change_only() {
        let with: Vec<&str> =
            InstrumentKey::all().filter(|key| item_text(*key).is_some()).map(InstrumentKey::as_str).collect();
        assert_eq!(with, ["global_change", "own_activities", "own_activity", "pain_0_10"]);
        for key in InstrumentKey::all().filter(|key| key.instrument().from == MadeFrom::Stored) {
            assert!(item_text(key).is_none(), "{key} is stored as a score and a date");
        }
    }
}
