//! Words that every letter shares: names of sides and units, orders, changes, what frames the page.

use serde::Deserialize;

use crate::language::{BySide, Counted};

/// One for each side a condition can be on.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct BySides {
    pub left: String,
    pub right: String,
    pub both: String,
    pub general: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct Legs {
    pub left: String,
    pub right: String,
    pub both: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct UnitWords {
    pub points: Counted,
    pub times: Counted,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct ScaleWords {
    pub limb_length: String,
    pub height: String,
    pub body_mass: String,
    pub symmetry: String,
    pub side_difference: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct Names {
    pub leg: Legs,
    pub whole_person: String,
    pub standing_on: BySide,
    pub named_from: BySide,
    pub units: UnitWords,
    pub scales: ScaleWords,
    pub weeks_ago: Counted,
    pub less_than_a_week: String,
    pub quoted: String,
    pub yes: String,
    pub no: String,
    pub colon: String,
    pub semicolon: String,
    pub grades: Vec<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct WeightWords {
    pub non_weight_bearing: BySide,
    pub touch_weight_bearing: BySide,
    pub partial_weight_bearing: BySide,
    pub as_tolerated: BySide,
    pub full: BySide,
    pub unknown: BySide,
    pub share_unknown: String,
    pub order: String,
    pub until: String,
    pub ended: String,
    pub no_end: String,
    pub letter_seen: String,
    pub spoken_to_team: String,
    pub patient_says: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct OrderWords {
    pub joint_angle: String,
    pub no_precautions: String,
    pub no_pivot: String,
    pub level_at_most: String,
    pub distance_at_most: String,
    pub load_at_most: String,
    pub impact_at_most: String,
    pub may_open_level: String,
    pub pain_up_to: String,
    pub said: String,
    pub none: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct WayWords {
    pub better: String,
    pub worse: String,
    pub neither: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct ChanceWords {
    pub better: String,
    pub worse: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct BecauseWords {
    pub other_thing: String,
    pub other_form: String,
    pub protocol: String,
    pub not_later: String,
    pub capped: String,
    pub became_possible: String,
    pub no_longer_possible: String,
    pub no_value: String,
    pub anchor_only: String,
    pub no_better_way: String,
    pub no_error: String,
    pub not_computable: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct ChangeWords {
    pub real_and_large: WayWords,
    pub probably_real: WayWords,
    pub within_noise: WayWords,
    pub cannot_say: String,
    pub chance: ChanceWords,
    pub of_together: String,
    pub percentage_points: Counted,
    pub more_than: String,
    pub less_than: String,
    pub because: BecauseWords,
    pub no_value: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct SignWords {
    pub name: String,
    pub role: String,
    pub signature: String,
    pub date: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct FrameWords {
    pub to: String,
    pub person: String,
    pub person_plain: String,
    pub invented: String,
    pub more: Counted,
    pub sign: SignWords,
    pub prepared_for: String,
    pub prepared: String,
    pub estimate: String,
    pub judgement: String,
    pub error: String,
    pub therapist: String,
    pub phone: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in super::super) struct ChartWords {
    pub title: BySide,
    pub was: String,
    pub not_measured: String,
    pub named: String,
    pub grey: String,
    pub no_grey: String,
    pub percent_limb: String,
    pub alt: BySide,
}
