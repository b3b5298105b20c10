//! Arrow 1: from what was found to what is allowed today.

use anatomy::{PerSide, Side};
use biomech::Body;
use jiff::civil::Date;
use person::{Answer, Condition, Finding, Findings, HurtAt, Involved};
use quantity::Length;

use crate::body_measures::BodyMeasures;
use crate::condition_state::{ConditionState, is_older, table_of};
use crate::criteria::Asked;
use crate::finding_key::Value;
use crate::impact::{self, ActiveImpact};
use crate::limits::{self, ActiveLimit, ActivePose};
use crate::ordered_caps::OrderedCaps;
use crate::returns::{self, ReturnToday};
use crate::rules::{self, ActiveRule, OrderedNoPivot};
use crate::tables::{level_criteria, red_flag, red_flags, shelf_life};
use crate::weight::{self, WeightAllowed};
use crate::words;
use crate::{
    Alert, AlertLine, Blocked, FindingKey, Irritability, Layer, Note, NoteKind, Refusal, ServicePreset,
    levels,
};

/// What one person may do on one day. Everything that is not known is shut.
#[derive(Clone, Debug)]
pub struct AllowedSpace {
    pub(crate) on: Date,
    pub(crate) alert: Option<Alert>,
    /// Reasons that close every movement.
    pub(crate) closed: Vec<Refusal>,
    pub(crate) rungs: PerSide<levels::Rungs>,
    pub(crate) limits: Vec<ActiveLimit>,
    pub(crate) poses: Vec<ActivePose>,
    pub(crate) rules: Vec<ActiveRule>,
    pub(crate) impacts: Vec<ActiveImpact>,
    pub(crate) returns: Vec<ReturnToday>,
    pub(crate) ordered: OrderedCaps,
    pub(crate) no_pivot: Vec<OrderedNoPivot>,
    pub(crate) weight: PerSide<WeightAllowed>,
    pub(crate) hurt: Vec<HurtAt>,
    pub(crate) hop: Option<Length>,
    pub(crate) body: BodyMeasures,
    pub(crate) notes: Vec<Note>,
    pub(crate) phases: Vec<PhaseToday>,
}

/// The phase a condition is in today.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct PhaseToday {
    /// The condition, as the preset's title names it.
    pub condition: String,
    /// The phase; 0 when not even the first is open.
    pub phase: u8,
}

/// From findings and body to what is allowed on `today`. Never fails: what is not known closes.
#[must_use]
pub fn allowed_space(findings: &Findings, body: &Body, today: Date) -> AllowedSpace {
    resolve(findings, &[], BodyMeasures::of(body), today)
}

/// As [`allowed_space`], where a clinic's own tables go before the defaults.
#[must_use]
pub fn allowed_space_in(
    services: &[ServicePreset],
    findings: &Findings,
    body: &Body,
    today: Date,
) -> AllowedSpace {
    resolve(findings, services, BodyMeasures::of(body), today)
}

/// As [`allowed_space_in`], from tables as they are written. One that cannot be read closes everything:
/// nobody knows what the clinic meant.
#[must_use]
pub fn allowed_space_by(tables: &[String], findings: &Findings, body: &Body, today: Date) -> AllowedSpace {
    let (mut services, mut closed) = (Vec::new(), Vec::new());
    for text in tables {
        match ServicePreset::read(text) {
            Ok(service) => services.push(service),
            Err(error) => closed.push(Refusal {
                rule: "SERVICE".to_owned(),
                layer: Layer::ServicePreset,
                blocked: Blocked::NotAssessed { finding: "the clinic's own table".to_owned() },
                reason: format!("The clinic's own table cannot be used: {error}."),
                source: "own".to_owned(),
                until: None,
                opens_when: "the table is mended, or left out".to_owned(),
            }),
        }
    }
    let mut space = resolve(findings, &services, BodyMeasures::of(body), today);
    space.closed.extend(closed);
    space
}

pub(crate) fn resolve(
    findings: &Findings,
    services: &[ServicePreset],
    body: BodyMeasures,
    today: Date,
) -> AllowedSpace {
    let asked =
        Asked { findings, today, involved: Involved::General, stance: Side::Left, older: is_older(findings) };
    let states: Vec<(ConditionState<'_>, u8)> = findings
        .conditions
        .iter()
        .filter_map(|condition| ConditionState::of(condition, services, today))
        .chain([ConditionState::of_other_conditions(findings, today)])
        .map(|state| {
            let phase = state.phase(asked);
            (state, phase)
        })
        .collect();
    let alert = alert(findings);
    let weight = weight::resolve(findings, today);
    let mut closed = close_all(findings, alert.as_ref(), today);
    closed.extend(Side::BOTH.into_iter().filter_map(|side| weight.get(side).closes_everything(side)));
    let (limits, poses, mut notes) = limits::resolve(&states, &findings.orders, &body, asked);
    notes.extend(service_notes(services, findings));
    notes.extend(order_notes(asked));
    notes.extend(swelling_notes(findings, today));
    notes.extend(crate::pain::back_off(findings, today));
    notes.extend(person_notes(&states, findings, &body, today));
    let phases = states
        .iter()
        .filter(|(state, phase)| state.has_phases && (state.counts_weeks() || *phase > 1))
        .map(|(state, phase)| PhaseToday { condition: state.name(), phase: *phase })
        .collect();
    AllowedSpace {
        on: today,
        alert,
        closed,
        rungs: levels::resolve(&states, asked),
        limits,
        poses,
        impacts: impact::resolve(&states, &findings.orders, asked),
        returns: returns::resolve(&states, asked),
        ordered: OrderedCaps::of(asked),
        rules: rules::resolve(&states, &findings.orders, asked),
        no_pivot: rules::ordered_no_pivot(&findings.orders, today),
        weight,
        hurt: findings.hurt.clone(),
        hop: crate::longest::hop_on_both_legs(findings, today),
        body,
        notes,
        phases,
    }
}

fn alert(findings: &Findings) -> Option<Alert> {
    // A red flag that was seen stays until a clinician clears it, however old the entry is.
    let Finding::Found { value: flags, .. } = &findings.red_flags else { return None };
    let mut lines: Vec<AlertLine> = flags
        .iter()
        .map(|flag| {
            let row = red_flag(*flag);
            AlertLine {
                flag: *flag,
                rule: row.rule.clone(),
                urgency: row.urgency(),
                words: row.words.clone(),
                call: row.call.clone(),
            }
        })
        .collect();
    lines.sort_by(|a, b| b.urgency.cmp(&a.urgency).then(a.flag.cmp(&b.flag)));
    lines.dedup_by_key(|line| line.flag);
    let urgency = lines.first()?.urgency;
    Some(Alert { urgency, lines })
}

fn close_all(findings: &Findings, alert: Option<&Alert>, today: Date) -> Vec<Refusal> {
    let mut out = Vec::new();
    let table = red_flags();
    if let Some(alert) = alert {
        out.extend(alert.lines.iter().map(|line| Refusal {
            rule: line.rule.clone(),
            layer: Layer::RedFlag,
            blocked: Blocked::RedFlag,
            reason: format!("Everything stops. {} {}", line.words, line.call),
            source: red_flag(line.flag).source.clone().unwrap_or_else(|| table.table.source.clone()),
            until: None,
            opens_when: "a clinician has looked and cleared the red flag".to_owned(),
        }));
        return out;
    }
    let life = shelf_life(FindingKey::RedFlags);
    if findings.red_flags.on(today, life).current().is_none() {
        let when = match &findings.red_flags {
            Finding::Found { on, .. } => {
                format!(
                    "were last asked for on {}, more than {} days ago or after today",
                    words::day(*on),
                    life.days
                )
            }
            Finding::NotAssessed => "were not asked for".to_owned(),
        };
        out.push(Refusal {
            rule: "RF-ASK".to_owned(),
            layer: Layer::RedFlag,
            blocked: Blocked::NotAssessed { finding: FindingKey::RedFlags.words().to_owned() },
            reason: format!("Red flags {when}; nothing is open until they are."),
            source: table.table.source.clone(),
            until: None,
            opens_when: "every red flag was asked for and is absent".to_owned(),
        });
    }
    if findings.conditions.is_empty() {
        out.push(Refusal {
            rule: "CONDITION".to_owned(),
            layer: Layer::DefaultPreset,
            blocked: Blocked::NotAssessed { finding: "condition".to_owned() },
            reason: "No condition was recorded, so no rule says what is open.".to_owned(),
            source: "own".to_owned(),
            until: None,
            opens_when: "a condition is recorded, or another one with the clinician's highest level"
                .to_owned(),
        });
    }
    out
}

/// What a clinic's own table loosens for somebody who has that presentation.
fn service_notes(services: &[ServicePreset], findings: &Findings) -> Vec<Note> {
    let has = |service: &&ServicePreset| {
        findings.conditions.iter().filter_map(table_of).any(|key| service.is_for(key))
    };
    services.iter().filter(has).flat_map(|service| service.loosened().to_vec()).collect()
}

/// Orders that loosen something beside the angles.
fn order_notes(asked: Asked<'_>) -> Vec<Note> {
    let note = |rule: &str, words: String| Note {
        kind: NoteKind::LooserOrder,
        rule: rule.to_owned(),
        words,
        source: "practice".to_owned(),
    };
    let level = levels::may_open(asked).map(|(order, level)| {
        note(
            "ORDER",
            format!("Levels up to {level} may open by order of {}, once their criteria are met.", order.by),
        )
    });
    let pain = crate::pain::accepted(&asked.findings.orders, asked.today).map(|(order, pain)| {
        note(
            "PAIN-MONITORED",
            format!(
                "Pain up to {pain} of 10 is accepted by word of {}; it must have settled by the next morning.",
                order.by
            ),
        )
    });
    let one_leg = crate::pain::of_one_leg(&asked.findings.orders, asked.today);
    level.into_iter().chain(pain).chain(one_leg).collect()
}

/// Swelling of two plus or more holds; the third time somebody else looks.
fn swelling_notes(findings: &Findings, today: Date) -> Vec<Note> {
    let rules = &level_criteria().swelling;
    let mut out = Vec::new();
    for side in Side::BOTH {
        let grade = FindingKey::Effusion.value(findings, side, today);
        let times = FindingKey::Answer(Answer::SwellingEpisodes).value(findings, side, today);
        let Value::Is(grade) = grade else { continue };
        if grade < rules.hold_from {
            continue;
        }
        let refer = matches!(times, Value::Is(times) if times >= rules.refer_at);
        let (kind, rule, words) = if refer {
            (NoteKind::Refer, "SWELLING-REFER", &rules.refer_words)
        } else {
            (NoteKind::Hold, "SWELLING-HOLD", &rules.hold_words)
        };
        out.push(Note {
            kind,
            rule: rule.to_owned(),
            words: format!("{} knee: {words}", words::sentence(&side.to_string())),
            source: rules.source.clone(),
        });
    }
    out
}

fn person_notes(
    states: &[(ConditionState<'_>, u8)],
    findings: &Findings,
    body: &BodyMeasures,
    today: Date,
) -> Vec<Note> {
    let mut out: Vec<Note> = states
        .iter()
        .flat_map(|(state, _)| state.preset.notes.iter().filter(|row| state.told(&row.only)))
        .map(|row| Note {
            kind: if row.varies { NoteKind::Varies } else { NoteKind::Arrange },
            rule: row.rule.clone(),
            words: row.words.clone(),
            source: row.source.clone(),
        })
        .collect();
    if Irritability::on(findings, today) == Irritability::High {
        let rules = &level_criteria().irritability;
        out.push(Note {
            kind: NoteKind::Arrange,
            rule: "IRRITABILITY".to_owned(),
            words: rules.high_words.clone(),
            source: rules.source.clone(),
        });
    }
    for (state, _) in
        states.iter().filter(|(state, _)| state.has_phases && state.counts_weeks() && state.since.is_none())
    {
        out.push(Note {
            kind: NoteKind::Estimate,
            rule: state.preset.phase_rule(1),
            words: format!(
                "{} is not known ({}): the first phase is taken.",
                words::sentence(state.since_words()),
                words::inside(&state.name())
            ),
            source: "own".to_owned(),
        });
    }
    for condition in &findings.conditions {
        match condition {
            Condition::HipReplacement { approach, .. }
                if approach.on(today, shelf_life(FindingKey::Approach)).current().is_none() =>
            {
                out.push(Note {
                    kind: NoteKind::Estimate,
                    rule: "THA-APPROACH".to_owned(),
                    words: "The surgical approach is not known: the limits of every approach are kept."
                        .to_owned(),
                    source: "own".to_owned(),
                });
            }
            Condition::FallsRisk { someone_at_home, .. }
                if someone_at_home.on(today, shelf_life(FindingKey::SomeoneAtHome)).current()
                    != Some(&true) =>
            {
                out.push(Note {
                    kind: NoteKind::Arrange,
                    rule: "FALL-5".to_owned(),
                    words: "Nobody is known to be at home: phone within reach, and the first session in the clinic."
                        .to_owned(),
                    source: "own".to_owned(),
                });
            }
            _ => {}
        }
    }
    if Side::BOTH.into_iter().any(|side| *body.leg_length_estimated.get(side)) {
        out.push(Note {
            kind: NoteKind::Estimate,
            rule: "LEG-LENGTH".to_owned(),
            words: "Leg length was not measured: shares of leg length are taken of an estimate from stature."
                .to_owned(),
            source: "own".to_owned(),
        });
    }
    out
}

impl AllowedSpace {
    /// The day this was worked out for.
    #[must_use]
    pub fn on(&self) -> Date {
        self.on
    }

    /// The alert, while a red flag is present: then nothing else may be shown.
    #[must_use]
    pub fn alert(&self) -> Option<&Alert> {
        self.alert.as_ref()
    }

    /// Reasons that close every movement; empty when something may be open.
    #[must_use]
    pub fn closed(&self) -> &[Refusal] {
        &self.closed
    }

    /// What goes with the whole space, such as a surgeon's looser order.
    #[must_use]
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }

    /// The phase of each condition that has phases.
    #[must_use]
    pub fn phases(&self) -> &[PhaseToday] {
        &self.phases
    }

    /// How far this person is from each activity that a presentation has criteria for.
    #[must_use]
    pub fn returns(&self) -> &[ReturnToday] {
        &self.returns
    }

    /// The highest level that is open while this leg stands.
    #[must_use]
    pub fn open_level(&self, stance: Side) -> u8 {
        if self.closed.is_empty() { levels::open_to(self.rungs.get(stance)) } else { 0 }
    }

    /// Everything that keeps a level shut while this leg stands; empty when it is open.
    #[must_use]
    pub fn why_level_shut(&self, stance: Side, level: u8) -> Vec<Refusal> {
        let mut out = self.closed.clone();
        out.extend(levels::why_shut(self.rungs.get(stance), level));
        out
    }
}
