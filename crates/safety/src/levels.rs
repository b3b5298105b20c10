//! Which rungs of the ladder are open today, for each standing leg, and why the others are not.

use anatomy::{PerSide, Side};
use person::{Condition, OrderedLimit, SurgeonOrder};

use crate::condition_state::ConditionState;
use crate::criteria::{Asked, Unmet};
use crate::finding_key::Value;
use crate::limits::end_of_order;
use crate::tables::{ladder, level_criteria};
use crate::words;
use crate::{Blocked, FindingKey, Layer, Refusal};

/// For each rung from 1 to the highest, what keeps it shut; empty when it is open.
pub(crate) type Rungs = Vec<Vec<Refusal>>;

/// The rungs for each standing leg.
pub(crate) fn resolve(states: &[(ConditionState<'_>, u8)], asked: Asked<'_>) -> PerSide<Rungs> {
    PerSide::from_fn(|stance| {
        let asked = Asked { stance, ..asked };
        (1..=ladder().top.level).map(|level| shut(level, states, asked)).collect()
    })
}

fn shut(level: u8, states: &[(ConditionState<'_>, u8)], asked: Asked<'_>) -> Vec<Refusal> {
    let mut out = Vec::new();
    for (state, phase) in states {
        out.extend(by_phase(level, state, *phase, asked));
    }
    let top_offered = ladder().loaded.level;
    let opened = states.iter().any(|(state, _)| state.top().is_some_and(|top| level <= top))
        || may_open(asked).is_some_and(|(_, open_to)| level <= open_to);
    if level > top_offered && out.is_empty() && !opened {
        out.push(Refusal {
            rule: "LADDER-TOP".to_owned(),
            layer: Layer::DefaultPreset,
            blocked: Blocked::Level { level, open_to: top_offered },
            reason: format!(
                "Level {level} (jumps, hops, called order) is closed: no condition that was recorded has criteria for it."
            ),
            source: level_criteria().table.source.clone(),
            until: None,
            opens_when: format!("a presentation with criteria for level {level} is recorded, or the team orders that it may open"),
        });
    }
    out.extend(by_general_criteria(level, states, asked));
    out.extend(by_irritability(level, asked));
    out.extend(by_ceiling(level, asked));
    out.extend(by_order(level, asked));
    out
}

fn by_phase(asked_for: u8, state: &ConditionState<'_>, phase: u8, asked: Asked<'_>) -> Option<Refusal> {
    let (preset, level) = (state.preset, asked_for);
    let levels = preset.levels.as_ref()?;
    let top = state.top().unwrap_or(0);
    let by_order = may_open(asked).filter(|_| !levels.ceiling_is_fixed).map_or(0, |(_, open_to)| open_to);
    if level > top.max(by_order) {
        let opens_when = if levels.ceiling_is_fixed {
            format!("{} is no longer recorded for this person", words::inside(&state.name()))
        } else {
            format!("clinician and surgeon or treating doctor open level {level} for this person by an order")
        };
        return Some(Refusal {
            rule: levels.ceiling_rule.clone(),
            layer: Layer::DefaultPreset,
            blocked: Blocked::Level { level, open_to: top },
            reason: format!("Level {level} is closed: {}.", levels.ceiling_words),
            source: levels.ceiling_source.clone(),
            until: None,
            opens_when,
        });
    }
    // What an order opens above the presentation's own ladder still asks for its last phase.
    let level = level.min(top);
    if !state.has_phases {
        return None;
    }
    let open_to =
        preset.phases.iter().filter(|row| row.phase <= phase).map(|row| row.opens_level).max().unwrap_or(0);
    if level <= open_to {
        return None;
    }
    let next = preset.phases.iter().filter(|row| row.opens_level >= level).min_by_key(|row| row.phase)?;
    let end = state.end_of(Some(next.phase), asked);
    Some(Refusal {
        rule: preset.phase_rule(next.phase),
        layer: Layer::of_row(next.edited.as_ref()),
        blocked: Blocked::Level { level: asked_for, open_to },
        reason: format!(
            "Level {asked_for} is closed: it opens with phase {} of {}, and {}{}.{}",
            next.phase,
            words::inside(&state.name()),
            state.why_shut(next.phase, asked),
            next.edited.as_ref().map(crate::Edited::words).unwrap_or_default(),
            if next.varies.is_empty() { String::new() } else { format!(" Varies: {}", next.varies) }
        ),
        source: next.source.clone(),
        until: end.until,
        opens_when: end.opens_when,
    })
}

fn by_general_criteria(level: u8, states: &[(ConditionState<'_>, u8)], asked: Asked<'_>) -> Vec<Refusal> {
    // A condition without a preset has every general criterion.
    let without_preset = asked.findings.conditions.iter().any(|c| matches!(c, Condition::Other(_)));
    // Nobody jumps or hops without the criteria of those levels.
    let wanted = without_preset
        || level > ladder().loaded.level
        || states.iter().any(|(state, _)| {
            state.preset.levels.as_ref().is_some_and(|l| l.general_criteria.contains(&level))
        });
    if !wanted {
        return Vec::new();
    }
    level_criteria()
        .levels
        .iter()
        .filter(|row| row.level == level)
        .flat_map(|row| &row.criteria)
        .flat_map(|criterion| criterion.unmet(asked))
        .map(|unmet| unmet_refusal(level, &unmet))
        .collect()
}

fn unmet_refusal(level: u8, unmet: &Unmet) -> Refusal {
    let blocked = match unmet {
        Unmet::NotAssessed { finding, .. } => Blocked::NotAssessed { finding: finding.clone() },
        Unmet::NotEnough { .. } => Blocked::Level { level, open_to: level - 1 },
    };
    Refusal {
        rule: format!("LEVEL-{level}"),
        layer: Layer::DefaultPreset,
        blocked,
        reason: format!("Level {level} is closed: {}.", unmet.words()),
        source: level_criteria().table.source.clone(),
        until: None,
        opens_when: unmet.needed().to_owned(),
    }
}

fn by_irritability(level: u8, asked: Asked<'_>) -> Vec<Refusal> {
    let rules = &level_criteria().irritability;
    let pain = FindingKey::PainInMovement.value(asked.findings, asked.stance, asked.today);
    let night = FindingKey::ConsistentNightPain.value(asked.findings, asked.stance, asked.today);
    let mut out = Vec::new();
    let mut refuse = |open_to: u8, blocked: Blocked, because: String, needed: String| {
        if level > open_to {
            out.push(Refusal {
                rule: "IRRITABILITY".to_owned(),
                layer: Layer::DefaultPreset,
                blocked,
                reason: format!(
                    "Level {level} is closed: {because}, and level {open_to} is the highest then."
                ),
                source: rules.source.clone(),
                until: None,
                opens_when: needed,
            });
        }
    };
    let below = words::number(rules.moderate_pain_from);
    match pain {
        Value::Is(p) if p >= rules.high_pain_from => refuse(
            rules.high_opens_level,
            Blocked::Level { level, open_to: rules.high_opens_level },
            format!("irritability is high (pain in movement {} of 10)", words::number(p)),
            format!("pain in movement below {below} of 10"),
        ),
        Value::Is(p) if p >= rules.moderate_pain_from => refuse(
            rules.moderate_opens_level,
            Blocked::Level { level, open_to: rules.moderate_opens_level },
            format!("irritability is moderate (pain in movement {} of 10)", words::number(p)),
            format!("pain in movement below {below} of 10"),
        ),
        Value::Is(_) => {}
        unknown => refuse(
            rules.high_opens_level,
            Blocked::NotAssessed { finding: FindingKey::PainInMovement.words().to_owned() },
            not_known(FindingKey::PainInMovement, unknown),
            format!("pain in movement assessed, and below {below} of 10"),
        ),
    }
    match night {
        Value::Is(yes) if yes > 0.5 => refuse(
            rules.high_opens_level,
            Blocked::Level { level, open_to: rules.high_opens_level },
            "irritability is high (consistent night or rest pain)".to_owned(),
            "no consistent night or rest pain".to_owned(),
        ),
        Value::Is(_) => {}
        unknown => refuse(
            rules.high_opens_level,
            Blocked::NotAssessed { finding: FindingKey::ConsistentNightPain.words().to_owned() },
            not_known(FindingKey::ConsistentNightPain, unknown),
            "night and rest pain assessed, and not consistent".to_owned(),
        ),
    }
    out
}

fn not_known(key: FindingKey, value: Value) -> String {
    match value {
        Value::Stale(on) => {
            format!("{} dates from {} and counts as not assessed", key.words(), words::day(on))
        }
        _ => format!("{} was not assessed", key.words()),
    }
}

fn by_ceiling(level: u8, asked: Asked<'_>) -> Vec<Refusal> {
    let life = crate::tables::shelf_life(FindingKey::Ceiling);
    let others = asked.findings.conditions.iter().filter_map(|c| match c {
        Condition::Other(other) => Some(other),
        _ => None,
    });
    others
        .filter_map(|other| {
            let known = other.ceiling.on(asked.today, life).current().copied();
            if known.is_some_and(|open_to| level <= open_to) {
                return None;
            }
            let (blocked, reason, opens_when) = match known {
                Some(open_to) => (
                    Blocked::Level { level, open_to },
                    format!(
                        "Level {level} is closed: {} set level {open_to} as the highest for {}.",
                        other.ceiling_by, other.name
                    ),
                    format!("{} sets a higher level", other.ceiling_by),
                ),
                None => (
                    Blocked::NotAssessed { finding: FindingKey::Ceiling.words().to_owned() },
                    format!(
                        "Level {level} is closed: there is no preset for {}, and no clinician has stated a highest level that still counts.",
                        other.name
                    ),
                    format!("a clinician states the highest level for {}", other.name),
                ),
            };
            Some(Refusal {
                rule: "CEILING".to_owned(),
                layer: Layer::SurgeonOrder,
                blocked,
                reason,
                source: "practice".to_owned(),
                until: None,
                opens_when,
            })
        })
        .collect()
}

fn by_order(level: u8, asked: Asked<'_>) -> Vec<Refusal> {
    let orders = asked.findings.orders.iter().filter(|o| o.from <= asked.today);
    orders
        .filter_map(|order| {
            let OrderedLimit::LevelAtMost(open_to) = order.limit else { return None };
            if level <= open_to {
                return None;
            }
            let end = end_of_order(order, asked.today);
            Some(Refusal {
                rule: "ORDER".to_owned(),
                layer: Layer::SurgeonOrder,
                blocked: Blocked::Level { level, open_to },
                reason: format!(
                    "Level {level} is closed: {} ordered nothing above level {open_to}.",
                    order.by
                ),
                source: "practice".to_owned(),
                until: end.until,
                opens_when: end.opens_when,
            })
        })
        .collect()
}

/// The team's word that a rung may open which presentations keep shut, when it holds today; the
/// lowest of several.
pub(crate) fn may_open(asked: Asked<'_>) -> Option<(&SurgeonOrder, u8)> {
    let all = asked.findings.orders.iter();
    let orders = all.filter(|order| order.known.may_loosen() && order.holds_on(asked.today));
    orders
        .filter_map(|order| match order.limit {
            OrderedLimit::MayOpenLevel(level) => Some((order, level)),
            _ => None,
        })
        .min_by_key(|(_, level)| *level)
}

/// The highest rung up to which every rung is open.
pub(crate) fn open_to(rungs: &Rungs) -> u8 {
    let mut open = 0;
    for (level, shut) in (1..).zip(rungs) {
        if !shut.is_empty() {
            break;
        }
        open = level;
    }
    open
}

/// Everything that keeps a level shut, from its own rung and those below, each reason once.
pub(crate) fn why_shut(rungs: &Rungs, level: u8) -> Vec<Refusal> {
    let mut out: Vec<Refusal> = Vec::new();
    for shut in rungs.iter().take(usize::from(level)) {
        for refusal in shut {
            let same = |r: &Refusal| r.rule == refusal.rule && r.opens_when == refusal.opens_when;
            if !out.iter().any(same) {
                out.push(refusal.clone());
            }
        }
    }
    out
}

/// Which legs carry all of the body, together or one after the other: a leap leaves one and lands on the other.
pub(crate) fn stances(spec: &movement::MovementSpec) -> Vec<Side> {
    use movement::Family::{BendAndReach, Leap, TwoFootJump};
    if matches!(spec.family, BendAndReach | TwoFootJump | Leap) {
        Side::BOTH.to_vec()
    } else {
        vec![spec.stance()]
    }
}
