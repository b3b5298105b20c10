//! What the team ordered about a movement itself: how far, and how much may be carried.

use movement::{Family, MovementSpec};
use person::{OrderedLimit, SurgeonOrder};

use crate::criteria::Asked;
use crate::limits::end_of_order;
use crate::rules::spec_name;
use crate::words;
use crate::{Blocked, Layer, Refusal};

/// Orders with figures that need no posture. They only tighten, however they are known.
#[derive(Clone, Debug)]
pub(crate) struct OrderedCaps {
    orders: Vec<SurgeonOrder>,
    today: jiff::civil::Date,
    about_pain: Vec<SurgeonOrder>,
}

impl OrderedCaps {
    pub(crate) fn of(asked: Asked<'_>) -> Self {
        let orders = || asked.findings.orders.iter();
        let about = |o: &&SurgeonOrder| {
            o.from <= asked.today
                && matches!(o.limit, OrderedLimit::DistanceAtMost(_) | OrderedLimit::LoadAtMost(_))
        };
        Self {
            orders: orders().filter(about).cloned().collect(),
            today: asked.today,
            about_pain: orders()
                .filter(|order| matches!(order.limit, OrderedLimit::PainUpTo(_)))
                .cloned()
                .collect(),
        }
    }

    /// Pain that was accepted for this person on the day it hurt, and still is.
    pub(crate) fn pain_up_to(&self, then: jiff::civil::Date) -> Option<u8> {
        crate::pain::accepted_then(&self.about_pain, then, self.today)
    }

    pub(crate) fn refuse(&self, spec: &MovementSpec) -> Vec<Refusal> {
        let name = words::sentence(&spec_name(spec));
        let mut out = Vec::new();
        for order in &self.orders {
            let concerns = spec.family == Family::TwoFootJump || order.side.is_none_or(|s| s == spec.mover);
            let (blocked, reason) = match order.limit {
                OrderedLimit::DistanceAtMost(at_most)
                    if concerns && spec.distance.in_m() > at_most.in_m() + 1e-6 =>
                {
                    let reason = format!(
                        "{name} at {} is too far: {} ordered {at_most} at most.",
                        spec.distance, order.by
                    );
                    (Blocked::Distance { at_most }, reason)
                }
                OrderedLimit::LoadAtMost(most) if spec.load.total().in_kg() > most.in_kg() + 1e-9 => (
                    Blocked::Carried,
                    format!(
                        "{name} carrying {} is closed: {} ordered {most} at most.",
                        spec.load.total(),
                        order.by
                    ),
                ),
                _ => continue,
            };
            let end = end_of_order(order, self.today);
            out.push(Refusal {
                rule: "ORDER".to_owned(),
                layer: Layer::SurgeonOrder,
                blocked,
                reason,
                source: "practice".to_owned(),
                until: end.until,
                opens_when: end.opens_when,
            });
        }
        out
    }
}
