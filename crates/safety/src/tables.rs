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
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SurveyGrid {
    pub(crate) first_tries: usize,
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
mod tests {
    use super::*;
    use crate::preset::Whose;

    fn presets() -> Vec<&'static Preset> {
        preset_keys().into_iter().map(preset).chain([other_conditions()]).collect()
    }

    fn criteria(preset: &'static Preset) -> impl Iterator<Item = &'static Criterion> {
        let phases = preset.phases.iter().flat_map(|row| &row.criteria);
        let rules = preset.rules.iter().flat_map(|row| row.unless.iter().chain(&row.unless_any));
        let limits = preset.limits.iter().flat_map(|row| &row.unless);
        let returns = preset.returns.iter().flat_map(|row| &row.criteria);
        let own = phases.chain(rules).chain(limits).chain(returns);
        own.flat_map(|criterion| std::iter::once(criterion).chain(&criterion.or))
    }

    #[test]
    fn every_form_a_row_is_limited_to_is_declared_and_every_declared_form_is_a_word_of_the_case_file() {
        for preset in presets() {
            let only = preset
                .limits
                .iter()
                .map(|row| &row.only)
                .chain(preset.rules.iter().map(|row| &row.only))
                .chain(preset.poses.iter().map(|row| &row.only))
                .chain(preset.impacts.iter().map(|row| &row.only))
                .chain(preset.ranges.iter().map(|row| &row.only))
                .chain(preset.notes.iter().map(|row| &row.only));
            for key in only.flatten() {
                assert!(preset.variants.contains(key), "{}: `{key}`", preset.table.title);
            }
        }
        for presentation in Presentation::ALL {
            let words: Vec<&str> = presentation.patterns().iter().map(|one| one.key()).collect();
            assert_eq!(preset_of(presentation).variants, words, "{presentation:?}");
        }
        let others: Vec<&str> = person::Comorbidity::ALL.iter().map(|one| one.key()).collect();
        assert_eq!(other_conditions().variants, others);
    }

    #[test]
    fn no_phase_opens_without_criteria_but_the_first_and_later_ones_never_open_less() {
        for preset in presets() {
            for (at, row) in preset.phases.iter().enumerate() {
                assert_eq!(usize::from(row.phase), at + 1, "{}", preset.table.title);
                assert!(row.phase == 1 || !row.criteria.is_empty(), "{} {}", preset.table.title, row.phase);
            }
            for pair in preset.phases.windows(2) {
                assert!(pair[0].from_week <= pair[1].from_week, "{}", preset.table.title);
                assert!(pair[0].opens_level <= pair[1].opens_level, "{}", preset.table.title);
            }
            for end in preset.limits.iter().filter_map(|row| row.before_phase) {
                assert!(preset.phases.iter().any(|row| row.phase == end), "{}", preset.table.title);
            }
        }
    }

    #[test]
    fn every_criterion_about_a_leg_says_which_leg() {
        let of_presets = presets().into_iter().flat_map(criteria);
        let of_levels = level_criteria().levels.iter().flat_map(|row| &row.criteria);
        for criterion in of_presets.chain(of_levels) {
            assert_eq!(
                criterion.finding.has_side(),
                criterion.of != Whose::Person,
                "{:?} of {:?}",
                criterion.finding,
                criterion.of
            );
            let asks = [
                criterion.is.is_some(),
                criterion.at_most.is_some(),
                criterion.at_least.is_some(),
                criterion.below.is_some(),
                criterion.above.is_some(),
            ];
            assert!(asks.contains(&true), "{:?} asks for nothing", criterion.finding);
        }
    }

    #[test]
    fn every_finding_that_a_criterion_asks_for_has_a_shelf_life() {
        let asked = level_criteria().levels.iter().flat_map(|row| &row.criteria).map(|c| c.finding);
        for key in asked.chain(presets().into_iter().flat_map(criteria).map(|c| c.finding)) {
            assert!(shelf_life(key).days > 0, "{key:?}");
        }
    }

    #[test]
    fn swelling_and_rest_pain_last_7_days_strength_6_weeks() {
        for key in [FindingKey::Effusion, FindingKey::PainAtRest] {
            assert_eq!(shelf_life(key).days, 7);
        }
        for key in [FindingKey::AbductorStrengthPercent, FindingKey::QuadricepsStrengthPercent] {
            assert_eq!(shelf_life(key).days, 42);
        }
    }

    #[test]
    fn every_limit_has_an_angle_and_every_rule_does_something() {
        for preset in presets() {
            for row in &preset.limits {
                assert!(row.at_most_deg.is_some() || row.if_not_assessed_deg.is_some(), "{}", row.rule);
                assert_eq!(row.while_motion.is_some(), row.while_above_deg.is_some(), "{}", row.rule);
            }
            for row in &preset.rules {
                let does = row.closed.is_some()
                    || row.at_most_percent_leg_length.is_some()
                    || row.support.is_some()
                    || row.lowest_hand.is_some();
                assert!(does, "{}", row.rule);
            }
        }
    }

    #[test]
    fn every_red_flag_has_words_and_says_whom_to_call() {
        for flag in RedFlag::ALL {
            let row = red_flag(flag);
            assert!(
                !row.words.is_empty() && row.call.contains("all") || row.call.contains("seen"),
                "{flag:?}"
            );
        }
        assert_eq!(red_flags().flags.len(), RedFlag::ALL.len());
    }
}
