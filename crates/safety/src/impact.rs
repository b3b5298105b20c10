//! Landings: how hard they may press, and whose limit that is.

use biomech::Motion;
use movement::{Family, MovementSpec};
use person::{OrderedLimit, SurgeonOrder};

use crate::condition_state::{ConditionState, End};
use crate::criteria::Asked;
use crate::limits::end_of_order;
use crate::rules::spec_name;
use crate::scope::Legs;
use crate::words;
use crate::{AllowedSpace, Blocked, Layer, Note, NoteKind, Refusal};

/// A limit of landing force that holds today.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ActiveImpact {
    pub(crate) rule: String,
    layer: Layer,
    legs: Legs,
    at_most: f64,
    words: String,
    source: String,
    end: End,
}

/// Every impact limit that holds today.
pub(crate) fn resolve(
    states: &[(ConditionState<'_>, u8)],
    orders: &[SurgeonOrder],
    asked: Asked<'_>,
) -> Vec<ActiveImpact> {
    let mut out = Vec::new();
    for (state, phase) in states {
        for row in &state.preset.impacts {
            if !state.concerns(&row.only) || !state.holds(row.before_phase, *phase) {
                continue;
            }
            let mut text = row.words.clone();
            if !row.varies.is_empty() {
                text.push_str(&format!("; varies: {}", row.varies.trim_end_matches('.')));
            }
            if let Some(edited) = &row.edited {
                text.push_str(&edited.words());
            }
            out.push(ActiveImpact {
                rule: row.rule.clone(),
                layer: Layer::of_row(row.edited.as_ref()),
                legs: Legs::of(state.involved),
                at_most: row.at_most_body_weights,
                words: text,
                source: row.source.clone(),
                end: state.end_of(row.before_phase, asked),
            });
        }
    }
    out.extend(orders.iter().filter(|o| o.from <= asked.today).filter_map(|order| {
        let OrderedLimit::ImpactAtMost(at_most) = order.limit else { return None };
        Some(ActiveImpact {
            rule: "ORDER".to_owned(),
            layer: Layer::SurgeonOrder,
            legs: order.side.map_or(Legs::BOTH, Legs::only),
            at_most,
            words: format!("ordered by {} from {}", order.by, words::day(order.from)),
            source: "practice".to_owned(),
            end: end_of_order(order, asked.today),
        })
    }));
    out
}

fn lands_on(spec: &MovementSpec, legs: Legs) -> bool {
    match spec.family {
        Family::TwoFootJump => legs.left || legs.right,
        _ => legs.has(spec.mover),
    }
}

impl AllowedSpace {
    /// The landing of a flight against every limit; what was computed is told where it passes.
    pub(crate) fn check_impact(&self, motion: &Motion, refusals: &mut Vec<Refusal>, notes: &mut Vec<Note>) {
        let Some(flight) = &motion.flight else { return };
        let peak = flight.landing.peak;
        for limit in self.impacts.iter().filter(|limit| lands_on(&motion.spec, limit.legs)) {
            if peak.high <= limit.at_most + 1e-9 {
                notes.push(Note {
                    kind: NoteKind::Estimate,
                    rule: limit.rule.clone(),
                    words: format!(
                        "The landing is estimated to press with {:.1} body weights ({:.1} to {:.1}); {:.1} is the limit.",
                        peak.typical, peak.low, peak.high, limit.at_most
                    ),
                    source: limit.source.clone(),
                });
                continue;
            }
            let mut reason = format!(
                "{} at {} is closed: the landing may press with {:.1} body weights on a stiff leg (typically {:.1}); {:.1} is the limit; {}",
                words::sentence(&spec_name(&motion.spec)),
                motion.spec.distance,
                peak.high,
                peak.typical,
                limit.at_most,
                limit.words
            );
            if let Some(until) = limit.end.until {
                reason.push_str(&format!(", until {}", words::day(until)));
            }
            reason.push('.');
            refusals.push(Refusal {
                rule: limit.rule.clone(),
                layer: limit.layer,
                blocked: Blocked::Impact { computed: peak.high, at_most: limit.at_most },
                reason,
                source: limit.source.clone(),
                until: limit.end.until,
                opens_when: limit.end.opens_when.clone(),
            });
        }
    }
}
