//! The kinds of rows that presentations are written in.

use std::collections::BTreeMap;

use anatomy::JointMotion;
use jiff::civil::Date;
use movement::{AnatomicalDirection, Family, HandHeight, Support};
use quantity::reference::{HowRead, TableHead};
use serde::{Deserialize, Deserializer};

use crate::FindingKey;

/// A motion's key, which is ordered.
pub(crate) type JointMotionKey = String;

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

/// One thing that must be known and true, as a table states it.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Criterion {
    pub(crate) finding: FindingKey,
    #[serde(default)]
    pub(crate) of: Whose,
    pub(crate) is: Option<bool>,
    pub(crate) at_most: Option<f64>,
    pub(crate) at_least: Option<f64>,
    pub(crate) below: Option<f64>,
    pub(crate) above: Option<f64>,
    /// Any of these counts instead.
    #[serde(default)]
    pub(crate) or: Vec<Criterion>,
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
    #[serde(default)]
    pub(crate) varies: String,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
    #[serde(skip)]
    pub(crate) edited: Option<Edited>,
}

/// A joint angle that must not be passed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LimitRow {
    pub(crate) rule: String,
    /// Only for these forms of the presentation; empty for all.
    #[serde(default)]
    pub(crate) only: Vec<String>,
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
    /// Which movements it is about.
    #[serde(default)]
    pub(crate) about: Scope,
    /// Only in frames in which this leg carries weight.
    #[serde(default)]
    pub(crate) loaded: bool,
    /// The limit falls away when all of these hold.
    #[serde(default)]
    pub(crate) unless: Vec<Criterion>,
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
    #[serde(skip)]
    pub(crate) edited: Option<Edited>,
}

/// Several motions that must not come together.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PoseRow {
    pub(crate) rule: String,
    /// Only for these forms of the presentation; empty for all.
    #[serde(default)]
    pub(crate) only: Vec<String>,
    pub(crate) before_phase: Option<u8>,
    /// Only in frames in which this leg carries weight.
    #[serde(default)]
    pub(crate) loaded: bool,
    pub(crate) all_of: Vec<PosePart>,
    pub(crate) words: String,
    #[serde(default)]
    pub(crate) varies: String,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

/// One motion of a pose.
#[derive(Clone, Debug, PartialEq, Deserialize)]
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
    /// Carrying anything.
    Load,
    /// Reaching overhead.
    Overhead,
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

/// Which movements a row is about; what is left out does not narrow it.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Scope {
    #[serde(default)]
    pub(crate) families: Vec<Family>,
    /// Named from the limb that moves.
    #[serde(default)]
    pub(crate) directions: Vec<AnatomicalDirection>,
    pub(crate) crossing: Option<bool>,
    /// Whether the limb passes behind the one that stands.
    pub(crate) behind: Option<bool>,
    #[serde(default)]
    pub(crate) mover: Leg,
    #[serde(default)]
    pub(crate) stance: Leg,
    /// The leg that is left behind and pushes off.
    #[serde(default)]
    pub(crate) trails: Leg,
    #[serde(default)]
    pub(crate) levels: Vec<u8>,
    pub(crate) shorter_than_percent_leg_length: Option<f64>,
}

/// A landing that must not press harder.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ImpactRow {
    pub(crate) rule: String,
    #[serde(default)]
    pub(crate) only: Vec<String>,
    pub(crate) before_phase: Option<u8>,
    /// Peak of the landing force for a stiff leg, in weights of body and load.
    pub(crate) at_most_body_weights: f64,
    pub(crate) words: String,
    #[serde(default)]
    pub(crate) varies: String,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
    #[serde(skip)]
    pub(crate) edited: Option<Edited>,
}

/// Every joint stays this far from the end of its range.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RangeRow {
    pub(crate) rule: String,
    #[serde(default)]
    pub(crate) only: Vec<String>,
    pub(crate) short_of_end_deg: f64,
    /// The ends of range that count.
    #[serde(deserialize_with = "motions")]
    pub(crate) motions: Vec<JointMotion>,
    pub(crate) words: String,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

/// An activity that somebody returns to: time, criteria and a clinician's confirmation.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ReturnRow {
    pub(crate) rule: String,
    pub(crate) activity: String,
    pub(crate) from_week: u16,
    pub(crate) criteria: Vec<Criterion>,
    #[serde(default)]
    pub(crate) varies: String,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

/// Who changed a row for a clinic, when and why.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Edited {
    /// The clinic.
    pub clinic: String,
    /// Who.
    pub by: String,
    /// When.
    pub on: Date,
    /// Why.
    pub why: String,
    /// What the default says instead, where the clinic is looser.
    pub looser_than: Option<String>,
}

impl Edited {
    /// Whose change it is, to follow the words of a rule.
    pub(crate) fn words(&self) -> String {
        let looser = self.looser_than.as_ref().map(|default| format!("; the default is {default}"));
        format!(
            ", as {} of {} set it on {} ({}{})",
            self.by,
            self.clinic,
            crate::words::day(self.on),
            self.why,
            looser.unwrap_or_default()
        )
    }
}

/// A rule about the movement itself, before any posture is computed.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RuleRow {
    pub(crate) rule: String,
    /// Only for these forms of the presentation; empty for all.
    #[serde(default)]
    pub(crate) only: Vec<String>,
    pub(crate) before_phase: Option<u8>,
    /// Which movements it is about.
    #[serde(default)]
    pub(crate) about: Scope,
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
    #[serde(skip)]
    pub(crate) edited: Option<Edited>,
}

/// Which general level criteria apply, and what opens without phases.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PresetLevels {
    pub(crate) general_criteria: Vec<u8>,
    /// Name of the rule of its phases, such as `THA-PHASE`; the number of the phase follows it.
    pub(crate) phase_rule: Option<String>,
    /// Highest level of a condition that has no phases.
    pub(crate) opens_level: Option<u8>,
    /// No order of the team lifts the ceiling.
    #[serde(default)]
    pub(crate) ceiling_is_fixed: bool,
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
    /// The forms that rows may be limited to; a test holds the rows against them.
    #[serde(default)]
    #[cfg_attr(not(test), expect(dead_code, reason = "declares what a test checks"))]
    pub(crate) variants: Vec<String>,
    /// `None` for what opens nothing and only tightens.
    pub(crate) levels: Option<PresetLevels>,
    #[serde(default, rename = "phase")]
    pub(crate) phases: Vec<PhaseRow>,
    #[serde(default, rename = "limit")]
    pub(crate) limits: Vec<LimitRow>,
    #[serde(default, rename = "pose")]
    pub(crate) poses: Vec<PoseRow>,
    #[serde(default, rename = "rule")]
    pub(crate) rules: Vec<RuleRow>,
    #[serde(default, rename = "impact")]
    pub(crate) impacts: Vec<ImpactRow>,
    #[serde(default, rename = "range")]
    pub(crate) ranges: Vec<RangeRow>,
    #[serde(default, rename = "return")]
    pub(crate) returns: Vec<ReturnRow>,
    #[serde(default, rename = "note")]
    pub(crate) notes: Vec<NoteRow>,
}

impl Preset {
    /// The rule that keeps a phase of this presentation shut, such as `THA-PHASE-2`.
    pub(crate) fn phase_rule(&self, phase: u8) -> String {
        let own = self.levels.as_ref().and_then(|levels| levels.phase_rule.as_deref());
        format!("{}-{phase}", own.unwrap_or("PHASE"))
    }

    /// Every rule that a clinic may change, each once.
    pub(crate) fn rule_names(&self) -> String {
        let mut names: Vec<&str> = self
            .limits
            .iter()
            .map(|row| row.rule.as_str())
            .chain(self.rules.iter().map(|row| row.rule.as_str()))
            .chain(self.impacts.iter().map(|row| row.rule.as_str()))
            .chain(self.poses.iter().map(|row| row.rule.as_str()))
            .collect();
        names.sort_unstable();
        names.dedup();
        names.join(", ")
    }
}

/// Something that is told to everybody with the presentation.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct NoteRow {
    pub(crate) rule: String,
    #[serde(default)]
    pub(crate) only: Vec<String>,
    /// Sources disagree about this; it gates nothing.
    #[serde(default)]
    pub(crate) varies: bool,
    pub(crate) words: String,
    pub(crate) source: String,
    #[serde(rename = "read")]
    pub(crate) _read: HowRead,
}

fn motion<'de, D: Deserializer<'de>>(from: D) -> Result<JointMotion, D::Error> {
    let key = String::deserialize(from)?;
    JointMotion::from_key(&key)
        .ok_or_else(|| serde::de::Error::custom(format!("`{key}` is not a joint motion")))
}

fn optional_motion<'de, D: Deserializer<'de>>(from: D) -> Result<Option<JointMotion>, D::Error> {
    motion(from).map(Some)
}

fn motions<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<JointMotion>, D::Error> {
    Vec::<String>::deserialize(from)?
        .into_iter()
        .map(|key| {
            JointMotion::from_key(&key)
                .ok_or_else(|| serde::de::Error::custom(format!("`{key}` is not a joint motion")))
        })
        .collect()
}

/// Degrees by joint motion; a key that is no motion is an error of the table.
pub(crate) fn ends<'de, D: Deserializer<'de>>(from: D) -> Result<BTreeMap<JointMotionKey, f64>, D::Error> {
    let rows = BTreeMap::<String, f64>::deserialize(from)?;
    for key in rows.keys() {
        if JointMotion::from_key(key).is_none() {
            return Err(serde::de::Error::custom(format!("`{key}` is not a joint motion")));
        }
    }
    Ok(rows)
}
