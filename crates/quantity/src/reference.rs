//! The head that every table in `reference/` carries: title, source, and how it was read.

use std::collections::BTreeMap;

/// How a figure reached us, from most to least trustworthy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum HowRead {
    /// Read in the published text or its open data.
    Text,
    /// Read in the abstract only.
    Abstract,
    /// Computed from figures that were read; the computation is described.
    Derived,
    /// Read in somebody else's summary.
    Secondary,
    /// Remembered; the figure has not been read again.
    Memory,
    /// Common practice of the trade; no publication is claimed.
    Practice,
    /// A choice of this project; named and editable.
    Own,
}

impl std::fmt::Display for HowRead {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Text => "read in the text",
            Self::Abstract => "read in the abstract",
            Self::Derived => "computed from figures that were read",
            Self::Secondary => "read in a summary",
            Self::Memory => "from memory",
            Self::Practice => "common practice",
            Self::Own => "our own choice",
        })
    }
}

/// The `[table]` section of a file in `reference/`.
#[derive(Clone, Debug, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TableHead {
    /// What the table holds.
    pub title: String,
    /// Key into `reference/bibliography.toml`.
    pub source: String,
    /// Page, table or section in that source.
    #[serde(default, rename = "where")]
    pub place: String,
    /// How the figures were read.
    pub read: HowRead,
    /// Whom the figures describe.
    #[serde(default)]
    pub population: String,
    /// Units of the columns.
    #[serde(default)]
    pub units: String,
    /// Anything a reader must know.
    #[serde(default)]
    pub note: String,
}

/// One entry of `reference/bibliography.toml`.
#[derive(Clone, Debug, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Authors, year, journal, pages: enough to find it.
    pub cite: String,
    /// A short form for a sheet or a reason, such as `Eannucci 2019`.
    pub short: String,
    /// What exactly was read, and where.
    #[serde(default)]
    pub seen: String,
}

/// All sources by key.
///
/// # Panics
/// When the built-in bibliography does not parse, which a test rules out.
#[must_use]
pub fn bibliography() -> &'static BTreeMap<String, Source> {
    static ALL: std::sync::OnceLock<BTreeMap<String, Source>> = std::sync::OnceLock::new();
    ALL.get_or_init(|| {
        toml::from_str(include_str!("../../../reference/bibliography.toml"))
            .expect("reference/bibliography.toml parses")
    })
}

/// The short form of a source, or the key itself when the bibliography lacks it.
#[must_use]
pub fn short_cite(key: &str) -> &str {
    bibliography().get(key).map_or(key, |source| source.short.as_str())
}
