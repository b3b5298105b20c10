//! Cuts that studies drew through a test: shown as weak evidence with what speaks against them, never a gate.

use std::sync::OnceLock;

use anatomy::Sex;
use movement::AnatomicalDirection;
use quantity::reference::{HowRead, TableHead, short_cite};
use serde::{Deserialize, Serialize};

use crate::norm::Who;
use crate::population::Population;
use crate::session::Reading;
use crate::unit::Scale;
use crate::{InstrumentKey, StanceDirection};

/// On which side of a cut the finding lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CutSide {
    /// Above the cut.
    Above,
    /// Below the cut.
    Below,
    /// Further from zero than the cut, whichever way.
    BeyondEitherWay,
}

/// A cut and what speaks for and against it. There is no way to make it open or close anything.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ResearchCut {
    /// The test.
    pub instrument: InstrumentKey,
    /// The direction, named from the standing limb.
    #[serde(default)]
    direction: Option<AnatomicalDirection>,
    /// On which scale.
    pub scale: Scale,
    /// The cut.
    pub cut: f64,
    /// On which side the finding lies.
    pub side: CutSide,
    /// Whose, where it holds for one sex only.
    #[serde(default)]
    pub sex: Option<Sex>,
    /// What was found.
    pub for_it: String,
    /// What speaks against using it.
    pub against_it: String,
    /// Whom it was found in.
    pub population: Population,
    /// Bibliography key.
    pub source: String,
    /// How it was read.
    pub read: HowRead,
}

impl ResearchCut {
    /// The direction, named from the standing limb.
    #[must_use]
    pub fn direction(&self) -> Option<StanceDirection> {
        self.direction.map(StanceDirection::named)
    }

    /// Whether a value lies on the side of the finding.
    #[must_use]
    pub fn beyond(&self, value: f64) -> bool {
        match self.side {
            CutSide::Above => value > self.cut,
            CutSide::Below => value < self.cut,
            CutSide::BeyondEitherWay => value.abs() > self.cut,
        }
    }
}

impl std::fmt::Display for ResearchCut {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let unit = self.scale.unit(self.instrument.instrument().unit);
        let side = match self.side {
            CutSide::Above => "above",
            CutSide::Below => "below",
            CutSide::BeyondEitherWay => "more than",
        };
        write!(
            f,
            "weak evidence, decides nothing: {side} {} {unit} in {}: {}. Against it: {} ({}, {}).",
            self.cut,
            self.population,
            self.for_it,
            self.against_it,
            short_cite(&self.source),
            self.read
        )
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    cut: Vec<ResearchCut>,
}

/// Every cut.
///
/// # Panics
/// When the built-in table does not parse, which a test rules out.
#[must_use]
pub fn research_cuts() -> &'static [ResearchCut] {
    static ROWS: OnceLock<Vec<ResearchCut>> = OnceLock::new();
    ROWS.get_or_init(|| {
        toml::from_str::<Table>(include_str!("../../../reference/research_cuts.toml"))
            .unwrap_or_else(|e| panic!("reference/research_cuts.toml: {e}"))
            .cut
    })
}

/// The cuts that were drawn through the test of a reading, on its scale and in its direction, in people like this
/// one: of the same population, and of the same sex where the cut names one.
pub fn cuts_beside(reading: &Reading, who: &Who) -> impl Iterator<Item = &'static ResearchCut> {
    let (key, scale, direction) = (reading.instrument, reading.scale, reading.direction);
    let (population, sex) = (who.population, who.sex);
    research_cuts().iter().filter(move |cut| {
        (cut.instrument, cut.scale, cut.direction()) == (key, scale, direction)
            && cut.population == population
            && (cut.sex.is_none() || cut.sex == sex)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cut_belongs_to_a_test_and_says_what_speaks_against_it() {
        for cut in research_cuts() {
            let test = cut.instrument.instrument();
            assert!(test.offers(cut.scale), "{}", cut.instrument);
            assert!(cut.for_it.len() > 10 && cut.against_it.len() > 10, "{}", cut.instrument);
            let said = cut.to_string();
            assert!(said.contains("weak evidence, decides nothing") && said.contains("Against it"), "{said}");
        }
    }
}
