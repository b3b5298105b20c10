//! `reference/test_gates.toml`: which movement each test is, and what to offer instead.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use anatomy::JointMotion;
use measurement::InstrumentKey;
use movement::AnatomicalDirection;
use quantity::reference::TableHead;
use quantity::{Angle, Length};
use safety::{Bend, Criterion};
use serde::Deserialize;

/// Which movement stands for a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum As {
    /// A reach of the other foot, followed outward in the direction of the test.
    Reach,
    /// A hand going out, both feet standing.
    HandReach,
    /// The moment of a short step in which this leg carries everything.
    Stance,
    /// The shortest reach without hands.
    StanceEyesClosed,
    /// What a step across does to the hips.
    InLine,
    /// Short steps with each leg.
    Steps,
    /// Walking as the person does it every day.
    OwnWalk,
    /// Short steps ahead, with the aid that the person walks with.
    Walk,
    /// Steps onto a tread.
    Stairs,
    /// A first hop.
    Hop,
}

/// Whose weight order must leave the leg free.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Weight {
    /// The tested limb.
    Limb,
    /// Both.
    Both,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BendRow {
    motion: String,
    to_deg: Option<f64>,
    #[serde(default)]
    loaded: bool,
}

impl BendRow {
    /// # Panics
    /// When a motion is misspelt, which a test rules out.
    pub(super) fn bend(&self) -> Bend {
        Bend { motion: motion(&self.motion), to: self.to_deg.map(Angle::deg), loaded: self.loaded }
    }
}

/// # Panics
/// When a motion is misspelt, which a test rules out.
fn motion(key: &str) -> JointMotion {
    JointMotion::from_key(key)
        .unwrap_or_else(|| panic!("reference/test_gates.toml: `{key}` is no joint motion"))
}

/// One test.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Row {
    pub(super) key: String,
    #[serde(rename = "as")]
    pub(super) movement: Option<As>,
    /// Named from the limb that moves; for hand reaches from the hand.
    #[serde(default)]
    pub(super) ways: Vec<AnatomicalDirection>,
    distance_cm: Option<f64>,
    #[serde(default)]
    pub(super) onward: bool,
    #[serde(default)]
    pub(super) turns: bool,
    pub(super) level: Option<u8>,
    pub(super) weight: Option<Weight>,
    #[serde(default)]
    pub(super) bends: Vec<BendRow>,
    pushes: Option<String>,
    #[serde(default)]
    pub(super) no_frame: bool,
    /// Whether the gates decide for whom the test is not.
    #[serde(default)]
    pub(super) decides_not_for: bool,
    /// Tests that this one is computed from.
    #[serde(default)]
    pub(super) parts: Vec<String>,
    #[serde(default)]
    pub(super) words: String,
    nearest: Vec<String>,
}

impl Row {
    /// A distance that the protocol fixes.
    pub(super) fn distance(&self) -> Option<Length> {
        self.distance_cm.map(Length::cm)
    }

    /// The motion that is pushed with full effort.
    pub(super) fn pushes(&self) -> Option<JointMotion> {
        self.pushes.as_deref().map(motion)
    }

    pub(super) fn parts(&self) -> impl Iterator<Item = InstrumentKey> + '_ {
        self.parts.iter().map(|key| known(key))
    }

    /// What is offered instead, the nearest first.
    pub(super) fn nearest(&self) -> impl Iterator<Item = InstrumentKey> + '_ {
        self.nearest.iter().map(|key| known(key))
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Short {
    pub(super) step_percent_leg_length: f64,
}

/// What full effort waits for.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FullEffort {
    pub(super) rule: String,
    pub(super) conditions: Vec<String>,
    pub(super) criterion: Criterion,
    pub(super) words: String,
    pub(super) opens_when: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    pub(super) short: Short,
    pub(super) full_effort: FullEffort,
    test: Vec<Row>,
}

/// # Panics
/// When the built-in table names a test that does not exist, which a test rules out.
fn known(key: &str) -> InstrumentKey {
    InstrumentKey::find(key).unwrap_or_else(|error| panic!("reference/test_gates.toml: {error}"))
}

/// The table.
///
/// # Panics
/// When it does not parse, which a test rules out.
pub(super) fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../../../../reference/test_gates.toml"))
            .unwrap_or_else(|e| panic!("reference/test_gates.toml: {e}"))
    })
}

/// The row of a test; none for what the person answers.
pub(super) fn row(key: InstrumentKey) -> Option<&'static Row> {
    static ROWS: OnceLock<BTreeMap<InstrumentKey, &'static Row>> = OnceLock::new();
    ROWS.get_or_init(|| table().test.iter().map(|row| (known(&row.key), row)).collect()).get(&key).copied()
}

#[cfg(test)]
mod tests {
    use measurement::{MadeFrom, Per};

    use super::*;

    #[test]
    fn every_test_that_is_done_has_one_row_and_every_question_none() {
        for key in InstrumentKey::all() {
            let done = matches!(key.instrument().from, MadeFrom::Trials | MadeFrom::Derived);
            let rows = table().test.iter().filter(|row| row.key == key.as_str()).count();
            assert_eq!(rows, usize::from(done), "{key}");
            if let Some(row) = row(key) {
                let derived = key.instrument().from == MadeFrom::Derived;
                assert_eq!(!row.parts.is_empty(), derived, "{key}: parts");
                let asks = row.movement.is_some() || row.weight.is_some() || derived;
                assert!(asks, "{key}: nothing would close it");
                let _ = (row.bends.iter().map(BendRow::bend).count(), row.pushes(), row.parts().count());
            }
        }
    }

    #[test]
    fn what_is_nearest_ends_with_a_question_and_belongs_to_the_same_limb_or_to_the_person() {
        for row in &table().test {
            let of_person = known(&row.key).instrument().per == Per::Person;
            let last = row.nearest().last().map(InstrumentKey::instrument);
            assert_eq!(last.map(|test| test.from), Some(MadeFrom::Answer), "{}", row.key);
            for near in row.nearest() {
                assert!(!of_person || near.instrument().per == Per::Person, "{}: {near}", row.key);
                assert_ne!(near.as_str(), row.key);
            }
        }
    }
}
