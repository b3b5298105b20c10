//! The rule tables in `reference/`, read once into typed rows.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use movement::{Family, Support};
use person::{Presentation, RedFlag, ShelfLife, Urgency};
use quantity::reference::{HowRead, TableHead};
use serde::Deserialize;

use crate::FindingKey;
use crate::preset::{Criterion, JointMotionKey, Preset};

macro_rules! table {
    ($(#[$doc:meta])* $name:ident -> $type:ty = $path:literal) => {
        $(#[$doc])*
        pub(crate) fn $name() -> &'static $type {
            static TABLE: OnceLock<$type> = OnceLock::new();
            TABLE.get_or_init(|| {
                toml::from_str(include_str!(concat!("../../../reference/", $path)))
                    .unwrap_or_else(|e| panic!("{} does not parse: {e}", $path))
            })
        }
    };
}

table!(
    /// Hip replacement.
    hip_replacement -> Preset = "presets/hip_replacement.toml"
);
table!(
    /// Knee replacement.
    knee_replacement -> Preset = "presets/knee_replacement.toml"
);
table!(
    /// Knee osteoarthritis.
    knee_osteoarthritis -> Preset = "presets/knee_osteoarthritis.toml"
);
table!(
    /// Falls risk.
    falls_risk -> Preset = "presets/falls_risk.toml"
);

table!(
    /// hip osteoarthritis.
    hip_osteoarthritis -> Preset = "presets/hip_osteoarthritis.toml"
);
table!(
    /// patellofemoral pain.
    patellofemoral_pain -> Preset = "presets/patellofemoral_pain.toml"
);
table!(
    /// acl reconstruction.
    acl_reconstruction -> Preset = "presets/acl_reconstruction.toml"
);
table!(
    /// acl without operation.
    acl_without_operation -> Preset = "presets/acl_without_operation.toml"
);
table!(
    /// meniscus repair.
    meniscus_repair -> Preset = "presets/meniscus_repair.toml"
);
table!(
    /// ankle sprain.
    ankle_sprain -> Preset = "presets/ankle_sprain.toml"
);
table!(
    /// achilles tendinopathy.
    achilles_tendinopathy -> Preset = "presets/achilles_tendinopathy.toml"
);
table!(
    /// achilles repair.
    achilles_repair -> Preset = "presets/achilles_repair.toml"
);
table!(
    /// low back pain.
    low_back_pain -> Preset = "presets/low_back_pain.toml"
);
table!(
    /// gluteal tendinopathy.
    gluteal_tendinopathy -> Preset = "presets/gluteal_tendinopathy.toml"
);
table!(
    /// healthy athlete.
    healthy_athlete -> Preset = "presets/healthy_athlete.toml"
);
table!(
    /// Other conditions and medicines.
    other_conditions -> Preset = "presets/other_conditions.toml"
);

/// The key of every presentation with a table.
pub(crate) fn preset_keys() -> Vec<&'static str> {
    let before = ["hip_replacement", "knee_replacement", "knee_osteoarthritis", "falls_risk"];
    before.into_iter().chain(Presentation::ALL.map(Presentation::key)).collect()
}

/// The table behind a key.
pub(crate) fn preset(key: &str) -> &'static Preset {
    match key {
        "hip_replacement" => hip_replacement(),
        "knee_replacement" => knee_replacement(),
        "knee_osteoarthritis" => knee_osteoarthritis(),
        "falls_risk" => falls_risk(),
        key => Presentation::from_key(key).map_or_else(|| panic!("no table `{key}`"), preset_of),
    }
}

/// The table of a presentation.
fn preset_of(presentation: Presentation) -> &'static Preset {
    match presentation {
        Presentation::HipOsteoarthritis => hip_osteoarthritis(),
        Presentation::PatellofemoralPain => patellofemoral_pain(),
        Presentation::AclReconstruction => acl_reconstruction(),
        Presentation::AclWithoutOperation => acl_without_operation(),
        Presentation::MeniscusRepair => meniscus_repair(),
        Presentation::AnkleSprain => ankle_sprain(),
        Presentation::AchillesTendinopathy => achilles_tendinopathy(),
        Presentation::AchillesRepair => achilles_repair(),
        Presentation::LowBackPain => low_back_pain(),
        Presentation::GlutealTendinopathy => gluteal_tendinopathy(),
        Presentation::HealthyAthlete => healthy_athlete(),
    }
}

/// What must hold before each level opens.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LevelCriteria {
    pub(crate) table: TableHead,
    #[serde(rename = "level")]
    pub(crate) levels: Vec<LevelRow>,
    pub(crate) irritability: Irritability,
    pub(crate) swelling: Swelling,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LevelRow {
    pub(crate) level: u8,
    pub(crate) criteria: Vec<Criterion>,
}

/// What swelling of the knee holds.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Swelling {
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
    pub(crate) hold_from: f64,
    pub(crate) refer_at: f64,
    pub(crate) hold_words: String,
    pub(crate) refer_words: String,
}

/// How irritability caps the level.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Irritability {
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
    pub(crate) high_pain_from: f64,
    pub(crate) moderate_pain_from: f64,
    pub(crate) high_opens_level: u8,
    pub(crate) moderate_opens_level: u8,
    pub(crate) high_words: String,
}

table!(
    /// General criteria of the ladder.
    level_criteria -> LevelCriteria = "level_criteria.toml"
);

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Ladder {
    #[serde(rename = "table")]
    pub(crate) _table: TableHead,
    #[serde(rename = "row")]
    pub(crate) rows: Vec<LadderRow>,
    pub(crate) loaded: OneLevel,
    pub(crate) top: OneLevel,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct OneLevel {
    pub(crate) level: u8,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LadderRow {
    pub(crate) family: Family,
    pub(crate) support: Option<Support>,
    pub(crate) level: u8,
}

table!(
    /// Level of each family and support.
    ladder -> Ladder = "levels.toml"
);

/// How far a movement may go at all.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Longest {
    pub(crate) table: TableHead,
    pub(crate) early: LongestEarly,
    pub(crate) step: LongestStep,
    pub(crate) landing: LongestLanding,
}

/// While only the first rungs are open.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LongestEarly {
    pub(crate) rule: String,
    pub(crate) up_to_level: u8,
    pub(crate) at_most_percent_leg_length: f64,
    pub(crate) words: String,
}

/// Beyond this a step is a lunge.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LongestStep {
    pub(crate) rule: String,
    pub(crate) at_most_percent_leg_length: f64,
    pub(crate) words: String,
    pub(crate) opens_when: String,
}

/// Jumps, leaps and hops beside the hop that was measured.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LongestLanding {
    pub(crate) rule: String,
    pub(crate) share_of_hop: f64,
    pub(crate) percent_leg_length_before: f64,
    pub(crate) sideways: f64,
    pub(crate) backward: f64,
    pub(crate) words: String,
}

table!(
    /// How far a movement may go at all.
    longest -> Longest = "longest.toml"
);

/// Weight-bearing caps.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WeightTable {
    pub(crate) table: TableHead,
    pub(crate) touch: WeightRow,
    pub(crate) hands: WeightRow,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WeightRow {
    pub(crate) at_most_percent: f64,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
    #[serde(rename = "note")]
    pub(crate) _note: String,
}

table!(
    /// Weight-bearing grades.
    weight_bearing -> WeightTable = "weight_bearing.toml"
);

/// Margins of the gates.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Margins {
    #[serde(rename = "table")]
    pub(crate) _table: TableHead,
    pub(crate) single_support: SingleSupport,
    pub(crate) loaded: LoadedLeg,
    pub(crate) angle: AngleMargins,
    /// Error of the model by joint motion, degrees, root mean square.
    #[serde(deserialize_with = "crate::preset::ends")]
    pub(crate) error_deg: BTreeMap<JointMotionKey, f64>,
    pub(crate) balance_cm: BalanceMargins,
    pub(crate) support: SupportMargins,
    pub(crate) pain: PainFactors,
    pub(crate) survey: SurveyGrid,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SingleSupport {
    pub(crate) share: f64,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LoadedLeg {
    pub(crate) share: f64,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AngleMargins {
    pub(crate) away_from_neutral_deg: f64,
    pub(crate) error_factor: f64,
    pub(crate) at_neutral_deg: f64,
    pub(crate) close_to_neutral_deg: f64,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct BalanceMargins {
    pub(crate) solved_to: f64,
    pub(crate) none: f64,
    pub(crate) fingertip: f64,
    pub(crate) one_hand: f64,
    pub(crate) both_hands: f64,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SupportMargins {
    pub(crate) shoulder_comes_forward_cm: f64,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PainFactors {
    pub(crate) first_factor: f64,
    pub(crate) second_factor: f64,
    pub(crate) back_off_from_directions: usize,
    pub(crate) counts_for: Vec<CountsFor>,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

/// The families for which pain in one counts.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CountsFor {
    pub(crate) family: Family,
    pub(crate) counts_for: Vec<Family>,
    #[serde(rename = "note")]
    pub(crate) _note: String,
    #[serde(rename = "source")]
    pub(crate) _source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SurveyGrid {
    pub(crate) first_tries: usize,
    pub(crate) first_tries_of_lunge: usize,
    pub(crate) stride_steps: usize,
    pub(crate) step_percent_leg_length: f64,
    pub(crate) shortest_percent_leg_length: f64,
    pub(crate) longest_percent_leg_length: f64,
}

table!(
    /// Margins of the gates.
    margins -> Margins = "safety_margins.toml"
);

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RedFlagTable {
    pub(crate) table: TableHead,
    #[serde(rename = "flag")]
    pub(crate) flags: Vec<RedFlagRow>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RedFlagRow {
    pub(crate) key: String,
    pub(crate) rule: String,
    urgency: UrgencyKey,
    pub(crate) ask: String,
    pub(crate) words: String,
    pub(crate) call: String,
    pub(crate) source: Option<String>,
    #[serde(rename = "read")]
    pub(crate) _read: Option<HowRead>,
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
enum UrgencyKey {
    BeforeNextSession,
    SameDay,
    EmergencyNow,
}

impl RedFlagRow {
    pub(crate) fn urgency(&self) -> Urgency {
        match self.urgency {
            UrgencyKey::BeforeNextSession => Urgency::BeforeNextSession,
            UrgencyKey::SameDay => Urgency::SameDay,
            UrgencyKey::EmergencyNow => Urgency::EmergencyNow,
        }
    }
}

table!(
    /// Words and urgency of the red flags.
    red_flags -> RedFlagTable = "red_flags.toml"
);

/// The row of one red flag.
pub(crate) fn red_flag(flag: RedFlag) -> &'static RedFlagRow {
    red_flags()
        .flags
        .iter()
        .find(|row| row.key == flag.key())
        .unwrap_or_else(|| panic!("reference/red_flags.toml has no row `{}`", flag.key()))
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ShelfTable {
    #[serde(rename = "table")]
    pub(crate) _table: TableHead,
    #[serde(rename = "finding")]
    pub(crate) rows: Vec<ShelfRow>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ShelfRow {
    pub(crate) days: u16,
    pub(crate) of: Vec<FindingKey>,
}

table!(
    /// Shelf lives.
    shelf_lives -> ShelfTable = "shelf_life.toml"
);

/// How long a finding may be relied on; a finding without a row cannot be relied on after its day.
#[must_use]
pub fn shelf_life(key: FindingKey) -> ShelfLife {
    let days = shelf_lives().rows.iter().find(|row| row.of.contains(&key)).map_or(0, |row| row.days);
    ShelfLife { days }
}

#[cfg(test)]
mod tests;
