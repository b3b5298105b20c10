//! What the person has at home: floor, furniture, equipment, people.

use movement::{Bearing, SupportKind};
use quantity::{Length, Mass};
use serde::Serialize;

use crate::{Finding, Footwear};

/// Things to exercise with.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Equipment {
    /// Hand weights, each.
    pub hand_weights: Vec<Mass>,
    /// Supports that are at hand.
    pub supports: Vec<SupportKind>,
}

/// The place where the person will practise.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Home {
    /// Clear floor from the centre in each bearing. Unknown gives no more than our named default.
    pub clear_floor: Vec<(Bearing, Finding<Length>)>,
    /// Equipment.
    pub equipment: Equipment,
    /// Somebody can help.
    pub helper: Finding<bool>,
    /// What is on the feet while practising; none when nobody asked.
    pub footwear: Option<Footwear>,
}

impl Home {
    /// The clear floor on one bearing.
    #[must_use]
    pub fn clear(&self, bearing: Bearing) -> &Finding<Length> {
        const UNKNOWN: &Finding<Length> = &Finding::NotAssessed;
        self.clear_floor.iter().find(|(b, _)| *b == bearing).map_or(UNKNOWN, |(_, found)| found)
    }
}
