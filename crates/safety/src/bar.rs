//! What a criterion asks, as data, for whoever says it in other words.

use serde::Serialize;

use crate::FindingKey;
use crate::preset::Criterion;

/// What a value must show.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(tag = "bar", content = "value", rename_all = "snake_case")]
pub enum Bar {
    /// It must be so.
    Yes,
    /// It must not be so.
    No,
    /// No more than this.
    AtMost(f64),
    /// No less than this.
    AtLeast(f64),
    /// Less than this.
    Below(f64),
    /// More than this.
    Above(f64),
}

/// A finding and what it must show, in the unit of the finding.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Asked {
    /// The finding.
    pub finding: FindingKey,
    /// All of these must hold.
    pub bars: Vec<Bar>,
}

impl Criterion {
    /// What is asked, the finding itself first, then what counts instead of it.
    #[must_use]
    pub fn asks(&self) -> Vec<Asked> {
        let flag = self.is.map(|want| if want { Bar::Yes } else { Bar::No });
        let bars = [
            flag,
            self.at_most.map(Bar::AtMost),
            self.at_least.map(Bar::AtLeast),
            self.below.map(Bar::Below),
            self.above.map(Bar::Above),
        ];
        let own = Asked { finding: self.finding, bars: bars.into_iter().flatten().collect() };
        std::iter::once(own).chain(self.or.iter().flat_map(Self::asks)).collect()
    }
}
