//! Square tags that a camera can find: four of the family 36h11 of AprilTag.

use std::sync::LazyLock;

use serde::Deserialize;

/// Side of the black square on paper, millimetres.
pub(crate) const SIDE_MM: f64 = 120.0;

/// One tag: black and white modules.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tag {
    /// Its number in the family.
    pub id: u8,
    /// The code inside the black border, row by row from the top; `1` is white.
    pub code: Vec<String>,
}

#[derive(Deserialize)]
struct Table {
    family: Family,
    tags: Vec<Tag>,
}

#[derive(Deserialize)]
struct Family {
    modules: u8,
}

static TABLE: LazyLock<Table> = LazyLock::new(|| {
    // The file is embedded and a test reads it.
    toml::from_str(include_str!("../../../../assets/tags/apriltag_36h11.toml"))
        .unwrap_or_else(|error| panic!("the table of tags does not load: {error}"))
});

/// The four tags, ids 0 to 3.
#[must_use]
pub fn tags() -> &'static [Tag] {
    &TABLE.tags
}

impl Tag {
    /// Modules along one side, the black border with them.
    #[must_use]
    pub fn modules() -> u8 {
        TABLE.family.modules
    }

    /// Runs of white modules as (row, first column, count), the border counted: row and column 0 are black.
    #[must_use]
    pub fn white_runs(&self) -> Vec<(usize, usize, usize)> {
        let mut out = Vec::new();
        for (row, line) in self.code.iter().enumerate() {
            let mut start = None;
            for (column, module) in line.chars().chain(std::iter::once('0')).enumerate() {
                match (module, start) {
                    ('1', None) => start = Some(column),
                    ('1', Some(_)) => {}
                    (_, Some(first)) => {
                        out.push((row + 1, first + 1, column - first));
                        start = None;
                    }
                    (_, None) => {}
                }
            }
        }
        out
    }
}
