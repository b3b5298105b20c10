//! A clinic's own table: the defaults of one presentation, changed by somebody, on a day, for a reason.

use jiff::civil::Date;
use movement::Support;
use serde::Deserialize;

use crate::ladder::firmness;
use crate::preset::{Edited, LimitRow, Preset, RuleRow};
use crate::{Note, NoteKind, tables};

/// A presentation as one clinic treats it. Every change carries who, when and why; one that is looser
/// than the default is kept and told with every space it takes part in.
#[derive(Clone, Debug)]
pub struct ServicePreset {
    key: String,
    preset: Preset,
    notes: Vec<Note>,
}

/// Why a clinic's table cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ServiceError {
    /// It is not TOML of the right form.
    #[error("the clinic's table cannot be read: {0}; write [service], [[change]], [[limit]] and [[rule]]")]
    Unreadable(String),
    /// No such presentation.
    #[error("there is no presentation `{given}`; accepted: {accepted}")]
    Presentation {
        /// What was given.
        given: String,
        /// Every key.
        accepted: String,
    },
    /// A change names nothing that is there.
    #[error("`{given}` is neither a rule nor a phase of `{presentation}`; accepted: {accepted}")]
    NothingToChange {
        /// What was given.
        given: String,
        /// The presentation.
        presentation: String,
        /// Every rule.
        accepted: String,
    },
    /// A change says nothing that its row has.
    #[error("the change of `{given}` changes nothing; state the figure that its row has, or `off = true`")]
    NoEffect {
        /// The rule or phase.
        given: String,
    },
    /// A change does not say why.
    #[error("the change of `{given}` needs `by`, `on` and `why`, none of them empty")]
    Unsigned {
        /// The rule or phase.
        given: String,
    },
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    service: Head,
    #[serde(default, rename = "change")]
    changes: Vec<Change>,
    #[serde(default, rename = "limit")]
    limits: Vec<LimitRow>,
    #[serde(default, rename = "rule")]
    rules: Vec<RuleRow>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    clinic: String,
    presentation: String,
    by: String,
    #[serde(deserialize_with = "day")]
    on: Date,
    why: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Change {
    rule: Option<String>,
    phase: Option<u8>,
    at_most_deg: Option<f64>,
    at_most_percent_leg_length: Option<f64>,
    at_most_body_weights: Option<f64>,
    support: Option<Support>,
    from_week: Option<u16>,
    opens_level: Option<u8>,
    #[serde(default)]
    off: bool,
    by: String,
    #[serde(deserialize_with = "day")]
    on: Date,
    why: String,
}

/// A day as TOML writes it.
fn day<'de, D: serde::Deserializer<'de>>(from: D) -> Result<Date, D::Error> {
    let written = toml::value::Datetime::deserialize(from)?;
    written.to_string().parse().map_err(serde::de::Error::custom)
}

impl ServicePreset {
    /// Reads a clinic's table.
    ///
    /// # Errors
    /// Names the presentation, rule or change that does not fit, and what is accepted.
    ///
    /// ```
    /// let text = r#"
    /// [service]
    /// clinic = "Harbour Lane Clinic"
    /// presentation = "hip_replacement"
    /// by = "Tarn, physiotherapist"
    /// on = 2026-01-05
    /// why = "agreed with the surgeons of the house"
    ///
    /// [[change]]
    /// rule = "THA-P1"
    /// at_most_deg = 70
    /// by = "Tarn, physiotherapist"
    /// on = 2026-01-05
    /// why = "four quiet weeks first"
    /// "#;
    /// assert!(safety::ServicePreset::read(text)?.loosened().is_empty());
    /// # Ok::<(), safety::ServiceError>(())
    /// ```
    pub fn read(text: &str) -> Result<Self, ServiceError> {
        let file: File =
            toml::from_str(text).map_err(|e| ServiceError::Unreadable(e.message().to_owned()))?;
        let key = file.service.presentation.clone();
        let default = tables::preset_keys().contains(&key.as_str()).then(|| tables::preset(&key));
        let mut preset = default.cloned().ok_or_else(|| ServiceError::Presentation {
            given: key.clone(),
            accepted: tables::preset_keys().join(", "),
        })?;
        let signed = |by: &str, why: &str| !by.trim().is_empty() && !why.trim().is_empty();
        if !signed(&file.service.by, &file.service.why) || file.service.clinic.trim().is_empty() {
            return Err(ServiceError::Unsigned { given: key });
        }
        let mut notes = Vec::new();
        for change in &file.changes {
            let given = change.name();
            if !signed(&change.by, &change.why) {
                return Err(ServiceError::Unsigned { given });
            }
            notes.extend(change.apply(&file.service, &mut preset)?);
        }
        let own = Edited {
            clinic: file.service.clinic,
            by: file.service.by,
            on: file.service.on,
            why: file.service.why,
            looser_than: None,
        };
        preset
            .limits
            .extend(file.limits.into_iter().map(|row| LimitRow { edited: Some(own.clone()), ..row }));
        preset.rules.extend(file.rules.into_iter().map(|row| RuleRow { edited: Some(own.clone()), ..row }));
        Ok(Self { key, preset, notes })
    }

    /// Each change that is looser than the default, as it is told with every space.
    #[must_use]
    pub fn loosened(&self) -> &[Note] {
        &self.notes
    }

    pub(crate) fn is_for(&self, key: &str) -> bool {
        self.key == key
    }

    pub(crate) fn preset(&self) -> &Preset {
        &self.preset
    }
}

/// A figure that is replaced: the new one, and what the old one was where that was stricter.
fn replace<T: Copy + PartialOrd + std::fmt::Display>(
    old: &mut Option<T>,
    new: Option<T>,
    unit: &str,
    larger_is_looser: bool,
) -> Option<Option<String>> {
    let new = new?;
    let before = (*old)?;
    *old = Some(new);
    let looser = if larger_is_looser { new > before } else { new < before };
    Some(looser.then(|| format!("{before}{unit}")))
}

impl Change {
    fn name(&self) -> String {
        match (&self.rule, self.phase) {
            (Some(rule), _) => rule.clone(),
            (None, Some(phase)) => format!("phase {phase}"),
            (None, None) => "a change without `rule` or `phase`".to_owned(),
        }
    }

    /// Applies to every row of that rule or phase; the note when it is looser.
    fn apply(&self, head: &Head, preset: &mut Preset) -> Result<Option<Note>, ServiceError> {
        let mut hit = false;
        let mut done = Vec::new();
        let edited = |looser_than: Option<String>| Edited {
            clinic: head.clinic.clone(),
            by: self.by.clone(),
            on: self.on,
            why: self.why.clone(),
            looser_than,
        };
        if let Some(rule) = &self.rule {
            let accepted = preset.rule_names();
            for row in preset.limits.iter_mut().filter(|row| row.rule == *rule) {
                hit = true;
                if let Some(looser) = replace(&mut row.at_most_deg, self.at_most_deg, "°", true) {
                    row.edited = Some(edited(looser.clone()));
                    done.push(looser);
                }
            }
            for row in preset.rules.iter_mut().filter(|row| row.rule == *rule) {
                hit = true;
                let percent = replace(
                    &mut row.at_most_percent_leg_length,
                    self.at_most_percent_leg_length,
                    " % of leg length",
                    true,
                );
                let support = self.support.zip(row.support).map(|(new, before)| {
                    row.support = Some(new);
                    let words = crate::ladder::support_words(before);
                    (firmness(new) < firmness(before)).then(|| words.to_owned())
                });
                for looser in percent.into_iter().chain(support) {
                    row.edited = Some(edited(looser.clone()));
                    done.push(looser);
                }
            }
            for row in preset.impacts.iter_mut().filter(|row| row.rule == *rule) {
                hit = true;
                let mut at_most = Some(row.at_most_body_weights);
                if let Some(looser) = replace(&mut at_most, self.at_most_body_weights, " body weights", true)
                {
                    row.at_most_body_weights = at_most.unwrap_or(row.at_most_body_weights);
                    row.edited = Some(edited(looser.clone()));
                    done.push(looser);
                }
            }
            hit |= preset.poses.iter().any(|row| row.rule == *rule);
            if hit && self.off {
                preset.limits.retain(|row| row.rule != *rule);
                preset.rules.retain(|row| row.rule != *rule);
                preset.impacts.retain(|row| row.rule != *rule);
                preset.poses.retain(|row| row.rule != *rule);
                done.push(Some("the rule itself".to_owned()));
            }
            if !hit {
                return Err(ServiceError::NothingToChange {
                    given: rule.clone(),
                    presentation: head.presentation.clone(),
                    accepted,
                });
            }
        }
        if let (None, Some(phase)) = (&self.rule, self.phase) {
            let accepted = preset.rule_names();
            let Some(row) = preset.phases.iter_mut().find(|row| row.phase == phase) else {
                return Err(ServiceError::NothingToChange {
                    given: self.name(),
                    presentation: head.presentation.clone(),
                    accepted,
                });
            };
            let mut week = Some(row.from_week);
            let mut level = Some(row.opens_level);
            let changed = [
                replace(&mut week, self.from_week, " weeks", false),
                replace(&mut level, self.opens_level, " as the highest level", true),
            ];
            row.from_week = week.unwrap_or(row.from_week);
            row.opens_level = level.unwrap_or(row.opens_level);
            for looser in changed.into_iter().flatten() {
                row.edited = Some(edited(looser.clone()));
                done.push(looser);
            }
        }
        if done.is_empty() {
            return Err(ServiceError::NoEffect { given: self.name() });
        }
        let looser: Vec<String> = done.into_iter().flatten().collect();
        if looser.is_empty() {
            return Ok(None);
        }
        Ok(Some(Note {
            kind: NoteKind::LooserService,
            rule: self.rule.clone().unwrap_or_else(|| preset.phase_rule(self.phase.unwrap_or_default())),
            words: format!(
                "{} is looser than the default ({}){}.",
                crate::words::sentence(&self.name()),
                crate::words::list(&looser),
                edited(None).words()
            ),
            source: "practice".to_owned(),
        }))
    }
}
