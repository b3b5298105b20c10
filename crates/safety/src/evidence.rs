//! What studies counted with and without hip precautions, for the surgeon who is asked whether they may end.

use std::sync::OnceLock;

use quantity::reference::{HowRead, TableHead};
use serde::{Deserialize, Serialize};

/// How certain the authors of a study call what it found, in the usual four grades.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Certainty {
    High,
    Moderate,
    Low,
    VeryLow,
}

/// Dislocations in one study.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PrecautionStudy {
    /// Hips that came out, and all hips, with precautions.
    pub with_precautions: [u32; 2],
    /// The same without.
    pub without_precautions: [u32; 2],
    /// How certain its authors call it.
    pub certainty: Certainty,
    /// Bibliography key.
    pub source: String,
    /// How it was read.
    pub read: HowRead,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    row: Vec<PrecautionStudy>,
}

/// Every study of `reference/precautions_evidence.toml`. It is shown and decides nothing.
#[must_use]
pub fn precaution_studies() -> &'static [PrecautionStudy] {
    static TABLE: OnceLock<Table> = OnceLock::new();
    &TABLE
        .get_or_init(|| {
            toml::from_str(include_str!("../../../reference/precautions_evidence.toml"))
                .unwrap_or_else(|e| panic!("reference/precautions_evidence.toml: {e}"))
        })
        .row
}
