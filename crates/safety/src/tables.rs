//! The rule tables in `reference/`, read once into typed rows.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use anatomy::JointMotion;
use movement::{AnatomicalDirection, Family, HandHeight, Support};
use person::{HipApproach, RedFlag, ShelfLife, Urgency};
use quantity::reference::{HowRead, TableHead};
use serde::{Deserialize, Deserializer};

use crate::FindingKey;

/// Whose finding a criterion asks for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Whose {
    /// It has no side.
    #[default]
    Person,
    /// The involved leg, or each of them.
    Involved,
    /// Both legs.
    Both,
    /// The leg that stands.
    Stance,
}

/// One thing that must be known and true.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Criterion {
    pub(crate) finding: FindingKey,
    #[serde(default)]
    pub(crate) of: Whose,
    pub(crate) is: Option<bool>,
    pub(crate) at_most: Option<f64>,
    pub(crate) at_least: Option<f64>,
    pub(crate) below: Option<f64>,
    /// An easier finding that counts instead for an older adult at risk of falling.
    pub(crate) or_older_finding: Option<FindingKey>,
    pub(crate) or_older_at_least: Option<f64>,
}

/// One phase after an operation: time gate, criteria and a clinician's confirmation.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PhaseRow {
    pub(crate) phase: u8,
    pub(crate) from_week: u16,
    pub(crate) opens_level: u8,
    pub(crate) criteria: Vec<Criterion>,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

/// A joint angle that must not be passed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LimitRow {
    pub(crate) rule: String,
    #[serde(default)]
    pub(crate) approaches: Vec<HipApproachKey>,
    #[serde(deserialize_with = "motion")]
    pub(crate) motion: JointMotion,
    pub(crate) at_most_deg: Option<f64>,
    /// The limit is what was found in this leg.
    pub(crate) at_most_finding: Option<FindingKey>,
    /// The limit while that finding is not known.
    pub(crate) if_not_assessed_deg: Option<f64>,
    /// The moving foot's inner edge must also stay on its side of the line straight ahead.
    #[serde(default)]
    pub(crate) floor_line: bool,
    /// Only in frames in which this motion goes further than `while_above_deg`.
    #[serde(default, deserialize_with = "optional_motion")]
    pub(crate) while_motion: Option<JointMotion>,
    pub(crate) while_above_deg: Option<f64>,
    /// Only for movements on these levels; empty for all.
    #[serde(default)]
    pub(crate) levels: Vec<u8>,
    /// Holds until this phase was entered; without one it holds for good.
    pub(crate) before_phase: Option<u8>,
    /// A surgeon's "no precautions" lifts it.
    #[serde(default)]
    pub(crate) precaution: bool,
    pub(crate) words: String,
    #[serde(default)]
    pub(crate) varies: String,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

/// Several motions that must not come together.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PoseRow {
    pub(crate) rule: String,
    #[serde(default)]
    pub(crate) approaches: Vec<HipApproachKey>,
    pub(crate) before_phase: Option<u8>,
    pub(crate) all_of: Vec<PosePart>,
    pub(crate) words: String,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

/// One motion of a pose.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PosePart {
    #[serde(deserialize_with = "motion")]
    pub(crate) motion: JointMotion,
    pub(crate) above_deg: f64,
}

/// What a movement rule closes outright.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Closes {
    /// The direction.
    Direction,
    /// The whole family.
    Family,
    /// Turning on the planted foot.
    Pivot,
}

/// Which leg a rule speaks about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Leg {
    /// Either leg.
    #[default]
    Either,
    /// The involved leg.
    Involved,
}

/// A rule about the movement itself, before any posture is computed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RuleRow {
    pub(crate) rule: String,
    #[serde(default)]
    pub(crate) approaches: Vec<HipApproachKey>,
    pub(crate) before_phase: Option<u8>,
    /// Empty for every family.
    #[serde(default, deserialize_with = "families")]
    pub(crate) families: Vec<Family>,
    /// Named from the limb that moves; empty for every direction.
    #[serde(default)]
    pub(crate) directions: Vec<AnatomicalDirection>,
    pub(crate) crossing: Option<bool>,
    #[serde(default)]
    pub(crate) mover: Leg,
    #[serde(default)]
    pub(crate) stance: Leg,
    pub(crate) closed: Option<Closes>,
    pub(crate) at_most_percent_leg_length: Option<f64>,
    pub(crate) support: Option<Support>,
    pub(crate) lowest_hand: Option<HandHeight>,
    /// The rule falls away when all of these hold.
    #[serde(default)]
    pub(crate) unless: Vec<Criterion>,
    /// The rule falls away when any of these holds.
    #[serde(default)]
    pub(crate) unless_any: Vec<Criterion>,
    #[serde(default)]
    pub(crate) precaution: bool,
    pub(crate) words: String,
    #[serde(default)]
    pub(crate) varies: String,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

/// Which general level criteria apply, and what opens without phases.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PresetLevels {
    pub(crate) general_criteria: Vec<u8>,
    /// Highest level of a condition that has no phases.
    pub(crate) opens_level: Option<u8>,
    /// Rule that closes what lies above the highest level for good.
    pub(crate) ceiling_rule: String,
    pub(crate) ceiling_words: String,
    pub(crate) ceiling_source: String,
}

/// A presentation.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Preset {
    pub(crate) table: TableHead,
    pub(crate) levels: PresetLevels,
    #[serde(default, rename = "phase")]
    pub(crate) phases: Vec<PhaseRow>,
    #[serde(default, rename = "limit")]
    pub(crate) limits: Vec<LimitRow>,
    #[serde(default, rename = "pose")]
    pub(crate) poses: Vec<PoseRow>,
    #[serde(default, rename = "rule")]
    pub(crate) rules: Vec<RuleRow>,
    #[serde(default, rename = "note")]
    pub(crate) notes: Vec<NoteRow>,
}

/// Something that is told to everybody with the presentation.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct NoteRow {
    pub(crate) rule: String,
    pub(crate) words: String,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

/// The approaches as written in the tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum HipApproachKey {
    Posterior,
    Anterior,
    Lateral,
    Trochanteric,
}

impl HipApproachKey {
    pub(crate) fn is(self, approach: HipApproach) -> bool {
        matches!(
            (self, approach),
            (Self::Posterior, HipApproach::Posterior)
                | (Self::Anterior, HipApproach::Anterior)
                | (Self::Lateral, HipApproach::Lateral)
                | (Self::Trochanteric, HipApproach::Trochanteric)
        )
    }
}

fn motion<'de, D: Deserializer<'de>>(from: D) -> Result<JointMotion, D::Error> {
    let key = String::deserialize(from)?;
    JointMotion::from_key(&key)
        .ok_or_else(|| serde::de::Error::custom(format!("`{key}` is not a joint motion")))
}

fn optional_motion<'de, D: Deserializer<'de>>(from: D) -> Result<Option<JointMotion>, D::Error> {
    motion(from).map(Some)
}

fn families<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<Family>, D::Error> {
    Vec::<Family>::deserialize(from)
}

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

/// What must hold before each level opens.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LevelCriteria {
    pub(crate) table: TableHead,
    #[serde(rename = "level")]
    pub(crate) levels: Vec<LevelRow>,
    pub(crate) irritability: Irritability,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LevelRow {
    pub(crate) level: u8,
    pub(crate) criteria: Vec<Criterion>,
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
    pub(crate) angle: AngleMargins,
    /// Error of the model by joint motion, degrees, root mean square.
    #[serde(deserialize_with = "errors")]
    pub(crate) error_deg: BTreeMap<JointMotionKey, f64>,
    pub(crate) balance_cm: BalanceMargins,
    pub(crate) support: SupportMargins,
    pub(crate) pain: PainFactors,
    pub(crate) survey: SurveyGrid,
}

/// A motion's key, which is ordered.
pub(crate) type JointMotionKey = String;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SingleSupport {
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

fn errors<'de, D: Deserializer<'de>>(from: D) -> Result<BTreeMap<JointMotionKey, f64>, D::Error> {
    let rows = BTreeMap::<String, f64>::deserialize(from)?;
    for key in rows.keys() {
        if JointMotion::from_key(key).is_none() {
            return Err(serde::de::Error::custom(format!("`{key}` is not a joint motion")));
        }
    }
    Ok(rows)
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

    fn presets() -> [&'static Preset; 4] {
        [hip_replacement(), knee_replacement(), knee_osteoarthritis(), falls_risk()]
    }

    #[test]
    fn every_criterion_about_a_leg_says_which_leg() {
        let of_presets = presets().into_iter().flat_map(|preset| {
            let phases = preset.phases.iter().flat_map(|row| &row.criteria);
            let rules = preset.rules.iter().flat_map(|row| row.unless.iter().chain(&row.unless_any));
            phases.chain(rules)
        });
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
            ];
            assert!(asks.contains(&true), "{:?} asks for nothing", criterion.finding);
        }
    }

    #[test]
    fn every_finding_that_a_criterion_asks_for_has_a_shelf_life() {
        let asked = level_criteria().levels.iter().flat_map(|row| &row.criteria).map(|c| c.finding);
        let of_phases =
            presets().into_iter().flat_map(|p| &p.phases).flat_map(|r| &r.criteria).map(|c| c.finding);
        let of_rules =
            presets().into_iter().flat_map(|p| &p.rules).flat_map(|r| r.unless.iter().chain(&r.unless_any));
        for key in asked.chain(of_phases).chain(of_rules.map(|c| c.finding)) {
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
