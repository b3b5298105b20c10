//! Rules about the movement itself, as they hold today for this person.

use anatomy::Side;
use jiff::civil::Date;
use movement::{ArmTask, Load, MovementSpec, StanceFoot};
use person::{OrderedLimit, SurgeonOrder};

use crate::body_measures::BodyMeasures;
use crate::condition_state::{ConditionState, End, needed_words, unmet_words};
use crate::criteria::{Asked, concerns};
use crate::ladder::{firmness, support_words};
use crate::limits::{end_of_order, no_precautions};
use crate::preset::{Closes, Criterion, RuleRow};
use crate::scope::Legs;
use crate::words;
use crate::{Blocked, Layer, Refusal};

/// A movement rule that holds today.
#[derive(Clone, Debug)]
pub(crate) struct ActiveRule {
    row: RuleRow,
    /// Legs the condition is on.
    legs: Legs,
    /// Findings that do not lift the rule yet, in words.
    because: Vec<String>,
    end: End,
}

/// An order that the standing foot must not turn.
#[derive(Clone, Debug)]
pub(crate) struct OrderedNoPivot {
    side: Option<Side>,
    by: String,
    end: End,
}

pub(crate) fn resolve(
    states: &[(ConditionState<'_>, u8)],
    orders: &[SurgeonOrder],
    asked: Asked<'_>,
) -> Vec<ActiveRule> {
    let mut out = Vec::new();
    for (state, phase) in states {
        let asked = state.ask(asked);
        for row in &state.preset.rules {
            if !state.concerns(&row.only) || !state.holds(row.before_phase, *phase) {
                continue;
            }
            if let Some(rule) = active(row, state, orders, asked) {
                out.push(rule);
            }
        }
    }
    out
}

fn active(
    row: &RuleRow,
    state: &ConditionState<'_>,
    orders: &[SurgeonOrder],
    asked: Asked<'_>,
) -> Option<ActiveRule> {
    let kept = |side: Side| {
        concerns(state.involved, side)
            && !(row.precaution && no_precautions(orders, side, asked.today).is_some())
    };
    let legs = Legs { left: kept(Side::Left), right: kept(Side::Right) };
    if !legs.left && !legs.right {
        return None;
    }
    let mut because = Vec::new();
    let mut needed = Vec::new();
    if !row.unless.is_empty() {
        because = unmet_words(&row.unless, asked);
        needed = needed_words(&row.unless, asked);
        if because.is_empty() {
            return None;
        }
    }
    if !row.unless_any.is_empty() {
        if row.unless_any.iter().any(|criterion| criterion.unmet(asked).is_empty()) {
            return None;
        }
        because = unmet_words(&row.unless_any, asked);
        needed = vec![needed_words(&row.unless_any, asked).join(", or ")];
    }
    let mut end = state.end_of(row.before_phase, asked);
    if !needed.is_empty() {
        // A row that ends with a phase, whatever was found, says both ways.
        let by_phase = row.before_phase.map(|_| format!(", or {}", end.opens_when)).unwrap_or_default();
        end.opens_when = words::list(&needed) + &by_phase;
    } else if row.before_phase.is_none() {
        end.opens_when = state.no_longer(&row.only).unwrap_or_else(|| format!(
            "the clinic's own table changes {} (who, when and why are recorded), or it no longer applies to this person",
            row.rule
        ));
    }
    if let Some((case, needed)) = state.unknown_form(&row.only) {
        because.push(case.to_owned());
        // What is not recorded cannot cease to be recorded.
        end.opens_when = if needed_opens(&row.unless, &row.unless_any, row.before_phase) {
            format!("{needed}, or {}", end.opens_when)
        } else {
            needed
        };
    }
    Some(ActiveRule { row: row.clone(), legs, because, end })
}

/// Whether a row ends by something that can be found, or by a phase.
fn needed_opens(unless: &[Criterion], unless_any: &[Criterion], before_phase: Option<u8>) -> bool {
    !unless.is_empty() || !unless_any.is_empty() || before_phase.is_some()
}

pub(crate) fn ordered_no_pivot(orders: &[SurgeonOrder], today: Date) -> Vec<OrderedNoPivot> {
    orders
        .iter()
        .filter(|o| o.limit == OrderedLimit::NoPivot && o.from <= today)
        .map(|o| OrderedNoPivot { side: o.side, by: o.by.clone(), end: end_of_order(o, today) })
        .collect()
}

impl OrderedNoPivot {
    pub(crate) fn refuse(&self, spec: &MovementSpec) -> Option<Refusal> {
        if spec.stance_foot != StanceFoot::Pivoting || self.side.is_some_and(|s| s != spec.stance()) {
            return None;
        }
        Some(Refusal {
            rule: "ORDER".to_owned(),
            layer: Layer::SurgeonOrder,
            blocked: Blocked::Direction,
            reason: format!("Turning on the {} foot is closed by order of {}.", spec.stance(), self.by),
            source: "practice".to_owned(),
            until: self.end.until,
            opens_when: self.end.opens_when.clone(),
        })
    }
}

impl ActiveRule {
    /// Everything in which the movement breaks this rule.
    pub(crate) fn refuse(&self, spec: &MovementSpec, body: &BodyMeasures) -> Vec<Refusal> {
        if !self.row.about.includes(spec, self.legs, body) {
            return Vec::new();
        }
        let row = &self.row;
        let name = words::sentence(&spec_name(spec));
        let mut out = Vec::new();
        match row.closed {
            Some(Closes::Pivot) if spec.stance_foot == StanceFoot::Pivoting => out.push(self.refusal(
                Blocked::Direction,
                format!("{name} is closed with the {} foot turning on the floor", spec.stance()),
            )),
            Some(Closes::Load) if spec.load != Load::None => {
                out.push(
                    self.refusal(
                        Blocked::Carried,
                        format!("{name} carrying {} is closed", spec.load.total()),
                    ),
                );
            }
            Some(Closes::Overhead) if spec.arms == ArmTask::Overhead => {
                out.push(self.refusal(Blocked::Direction, format!("{name} reaching overhead is closed")));
            }
            Some(Closes::Direction | Closes::Family) => {
                out.push(self.refusal(Blocked::Direction, format!("{name} is closed")));
            }
            Some(Closes::Pivot | Closes::Load | Closes::Overhead) | None => {}
        }
        if let Some(percent) = row.at_most_percent_leg_length {
            let at_most = body.percent_of_leg(spec.mover, percent);
            if spec.distance.in_m() > at_most.in_m() + 1e-6 {
                out.push(self.refusal(
                    Blocked::Distance { at_most },
                    format!(
                        "{name} at {} is too far: {at_most} ({percent:.0} % of leg length) is the limit",
                        spec.distance
                    ),
                ));
            }
        }
        if let Some(needed) = row.support
            && firmness(spec.support) < firmness(needed)
        {
            out.push(self.refusal(Blocked::Support, format!("{name} needs {}", support_words(needed))));
        }
        if let (Some(lowest), Some(hand)) = (row.lowest_hand, spec.hand_height)
            && hand > lowest
        {
            out.push(self.refusal(
                Blocked::Direction,
                format!("{name} to {} height is closed: {} is the lowest", hand.name(), lowest.name()),
            ));
        }
        out
    }

    fn refusal(&self, blocked: Blocked, what: String) -> Refusal {
        let mut reason = format!("{what}: {}", self.row.words);
        if let Some(edited) = &self.row.edited {
            reason.push_str(&edited.words());
        }
        if let Some(until) = self.end.until {
            reason.push_str(&format!(", until {}", words::day(until)));
        }
        if !self.because.is_empty() {
            reason.push_str(&format!(" ({})", self.because.join("; ")));
        }
        reason.push('.');
        if !self.row.varies.is_empty() {
            reason.push_str(&format!(" Varies: {}", self.row.varies));
        }
        Refusal {
            rule: self.row.rule.clone(),
            layer: Layer::of_row(self.row.edited.as_ref()),
            blocked,
            reason,
            source: self.row.source.clone(),
            until: self.end.until,
            opens_when: self.end.opens_when.clone(),
        }
    }
}

/// Family, limb and direction of a movement in a few words, such as
/// `medial in front, left leg step`.
pub(crate) fn spec_name(spec: &MovementSpec) -> String {
    let limb = if spec.family == movement::Family::BendAndReach { "hand" } else { "leg" };
    let crossing = match spec.crossing {
        movement::Crossing::None => "",
        movement::Crossing::InFront => " crossing in front",
        movement::Crossing::Behind => " crossing behind",
    };
    format!(
        "{}{crossing}, {} {limb} {} (named from the {} leg)",
        spec.direction(),
        spec.mover,
        spec.family,
        spec.named_from()
    )
}
