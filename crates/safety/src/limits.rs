//! Which joint-angle limits hold today: presets, and the orders that tighten or replace them.

use anatomy::{Joint, JointMotion, Side};
use jiff::civil::Date;
use person::{OrderedLimit, SurgeonOrder};
use quantity::Angle;

use crate::body_measures::BodyMeasures;
use crate::condition_state::{ConditionState, End, needed_words, unmet_words};
use crate::criteria::{Asked, concerns};
use crate::finding_key::Value;
use crate::preset::{LimitRow, PosePart, Scope};
use crate::scope::Legs;
use crate::tables::margins;
use crate::words;
use crate::{Layer, Note, NoteKind};

/// A limit that holds today for one leg.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ActiveLimit {
    pub(crate) rule: String,
    pub(crate) layer: Layer,
    pub(crate) side: Side,
    pub(crate) motion: JointMotion,
    pub(crate) at_most: Angle,
    /// Only in frames in which this motion goes further than this.
    pub(crate) condition: Option<(JointMotion, Angle)>,
    pub(crate) floor_line: bool,
    /// Movements it is about, and the legs the condition is on.
    pub(crate) about: Scope,
    pub(crate) legs: Legs,
    /// Only in frames in which this leg carries weight.
    pub(crate) loaded: bool,
    /// The distance kept from the limit is already in it.
    pub(crate) exact: bool,
    pub(crate) words: String,
    pub(crate) source: String,
    pub(crate) end: End,
}

/// A pose that stays closed even when single limits were lifted.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ActivePose {
    pub(crate) rule: String,
    pub(crate) side: Side,
    pub(crate) parts: Vec<PosePart>,
    pub(crate) loaded: bool,
    pub(crate) words: String,
    pub(crate) source: String,
    pub(crate) end: End,
}

/// The angle above which a movement is blocked, and the margin between it and the limit.
///
/// Away from neutral: `limit − max(10°, 1.64 × error of the model)`. At neutral (a limit of 0°):
/// `limit + 3°`. A small positive limit is never held to be tighter than a limit at neutral, so
/// that a looser limit never blocks more.
pub(crate) fn threshold(motion: JointMotion, at_most: Angle) -> Angle {
    let m = margins();
    let error = m.error_deg.get(&motion.key()).copied().unwrap_or(0.0);
    let away = m.angle.away_from_neutral_deg.max(m.angle.error_factor * error);
    let limit = at_most.in_deg();
    let at_neutral = limit.min(0.0) + m.angle.at_neutral_deg;
    Angle::deg((limit - away).max(at_neutral))
}

/// Whether a limit is one at neutral, where closeness is shown.
pub(crate) fn is_at_neutral(at_most: Angle) -> bool {
    at_most.in_deg().abs() < 1e-9
}

impl ActiveLimit {
    pub(crate) fn threshold(&self) -> Angle {
        if self.exact { self.at_most } else { threshold(self.motion, self.at_most) }
    }
}

/// What a set of orders says about one motion of one leg.
struct Ordered<'a> {
    /// The strictest order of the team that holds today: it replaces presets.
    decides: Option<(&'a SurgeonOrder, Angle)>,
    /// Orders that only tighten: the patient's word, and orders past their last day.
    tightens: Vec<(&'a SurgeonOrder, Angle)>,
}

fn about(order: &SurgeonOrder, side: Side) -> bool {
    order.side.is_none_or(|s| s == side)
}

fn ordered(orders: &[SurgeonOrder], side: Side, motion: JointMotion, today: Date) -> Ordered<'_> {
    let mut out = Ordered { decides: None, tightens: Vec::new() };
    let trunk = motion.coordinate.joint() == Joint::Lumbar;
    for order in orders.iter().filter(|o| (trunk || about(o, side)) && o.from <= today) {
        let OrderedLimit::JointAngle { motion: m, at_most } = &order.limit else { continue };
        if *m != motion {
            continue;
        }
        if order.known.may_loosen() && order.holds_on(today) {
            if out.decides.is_none_or(|(_, so_far)| at_most.in_rad() < so_far.in_rad()) {
                out.decides = Some((order, *at_most));
            }
        } else {
            out.tightens.push((order, *at_most));
        }
    }
    out
}

/// The team's "no precautions" for a leg, when it holds today.
pub(crate) fn no_precautions(orders: &[SurgeonOrder], side: Side, today: Date) -> Option<&SurgeonOrder> {
    orders.iter().find(|o| {
        o.limit == OrderedLimit::NoPrecautions && about(o, side) && o.holds_on(today) && o.known.may_loosen()
    })
}

/// How an order ends. One that is past its last day stays until somebody removes or renews it.
pub(crate) fn end_of_order(order: &SurgeonOrder, today: Date) -> End {
    match order.until {
        Some(last) if last < today => End {
            until: None,
            opens_when: format!(
                "the team says what holds now: the order ran until {} and was neither renewed nor withdrawn",
                words::day(last)
            ),
        },
        Some(last) => End {
            until: Some(last),
            opens_when: format!("the team says after {} that the order no longer holds", words::day(last)),
        },
        None => End { until: None, opens_when: format!("{} withdraws or changes the order", order.by) },
    }
}

fn from_order(
    order: &SurgeonOrder,
    side: Side,
    motion: JointMotion,
    at_most: Angle,
    today: Date,
) -> ActiveLimit {
    let known = match order.known {
        person::HowKnown::LetterSeen => "letter seen",
        person::HowKnown::SpokenToTeam => "spoken to the team",
        person::HowKnown::PatientSays => "the patient says so; this can only tighten",
    };
    ActiveLimit {
        rule: "ORDER".to_owned(),
        layer: Layer::SurgeonOrder,
        side,
        motion,
        at_most,
        condition: None,
        floor_line: motion == anatomy::Coordinate::HipAdduction.positive() && at_most.in_deg() <= 0.0,
        about: Scope::default(),
        legs: Legs::BOTH,
        loaded: false,
        exact: false,
        words: format!("ordered by {} ({known})", order.by),
        source: "practice".to_owned(),
        end: end_of_order(order, today),
    }
}

/// What a row's limit is for this leg, and words that go with it.
fn limit_of(row: &LimitRow, asked: Asked<'_>, side: Side) -> Option<(Angle, String)> {
    if let Some(finding) = row.at_most_finding {
        return match finding.value(asked.findings, side, asked.today) {
            Value::Is(found) => Some((Angle::deg(found), row.words.clone())),
            Value::Stale(_) | Value::Unknown => row
                .if_not_assessed_deg
                .map(|deg| (Angle::deg(deg), format!("{}; {} was not assessed", row.words, finding.words()))),
        };
    }
    row.at_most_deg.map(|deg| (Angle::deg(deg), row.words.clone()))
}

/// Every limit that holds today, and what to tell about limits that were replaced.
pub(crate) fn resolve(
    states: &[(ConditionState<'_>, u8)],
    orders: &[SurgeonOrder],
    body: &BodyMeasures,
    asked: Asked<'_>,
) -> (Vec<ActiveLimit>, Vec<ActivePose>, Vec<Note>) {
    let today = asked.today;
    let mut limits = Vec::new();
    let mut poses = Vec::new();
    let mut notes = Vec::new();
    for side in Side::BOTH {
        let lifted = no_precautions(orders, side, today);
        let mut loosened: Vec<String> = Vec::new();
        for (state, phase) in states.iter().filter(|(s, _)| concerns(s.involved, side)) {
            for row in &state.preset.limits {
                if !state.concerns(&row.only) || !state.holds(row.before_phase, *phase) {
                    continue;
                }
                let because = unmet_words(&row.unless, state.ask(asked));
                if !row.unless.is_empty() && because.is_empty() {
                    continue;
                }
                let Some((at_most, mut text)) = limit_of(row, asked, side) else { continue };
                let order = ordered(orders, side, row.motion, today).decides;
                // What a knee was found to reach is not a limit that an order can replace.
                if let (Some((order, said)), None) = (order, row.at_most_finding) {
                    if said.in_rad() > at_most.in_rad() {
                        loosened.push(row.rule.clone());
                        notes.push(looser(row, side, at_most, said, order));
                    }
                    continue;
                }
                if let (Some(order), true) = (lifted, row.precaution) {
                    loosened.push(row.rule.clone());
                    notes.push(lifted_note(row, side, at_most, order));
                    continue;
                }
                if !row.varies.is_empty() {
                    notes.push(Note::varies(&row.rule, &row.varies, &row.source));
                }
                let mut end = state.end_of(row.before_phase, asked);
                if let Some(finding) = row.at_most_finding {
                    end.opens_when = format!("{} is measured again and goes further", finding.words());
                }
                if !because.is_empty() {
                    text.push_str(&format!(" ({})", because.join("; ")));
                    end.opens_when = words::list(&needed_words(&row.unless, state.ask(asked)));
                }
                if let Some((case, needed)) = state.unknown_form(&row.only) {
                    text.push_str(&format!(" ({case})"));
                    end.opens_when = format!("{needed}, or {}", end.opens_when);
                }
                if let Some(edited) = &row.edited {
                    text.push_str(&edited.words());
                }
                limits.push(ActiveLimit {
                    rule: row.rule.clone(),
                    layer: Layer::of_row(row.edited.as_ref()),
                    side,
                    motion: row.motion,
                    at_most,
                    condition: row.while_motion.zip(row.while_above_deg.map(Angle::deg)),
                    floor_line: row.floor_line,
                    about: row.about.clone(),
                    legs: Legs::of(state.involved),
                    loaded: row.loaded,
                    exact: false,
                    words: text,
                    source: row.source.clone(),
                    end,
                });
            }
            for row in state.preset.ranges.iter().filter(|row| state.concerns(&row.only)) {
                let mut text = row.words.clone();
                let mut end = state.end_of(None, asked);
                end.opens_when = state.no_longer(&row.only).unwrap_or(end.opens_when);
                if let Some((case, needed)) = state.unknown_form(&row.only) {
                    text.push_str(&format!(" ({case})"));
                    end.opens_when = needed;
                }
                for motion in &row.motions {
                    let Some(end_of_range) = body.range_of(side, *motion) else { continue };
                    limits.push(ActiveLimit {
                        rule: row.rule.clone(),
                        layer: Layer::DefaultPreset,
                        side,
                        motion: *motion,
                        at_most: Angle::deg(end_of_range.in_deg() - row.short_of_end_deg),
                        condition: None,
                        floor_line: false,
                        about: Scope::default(),
                        legs: Legs::BOTH,
                        loaded: false,
                        exact: true,
                        words: text.clone(),
                        source: row.source.clone(),
                        end: end.clone(),
                    });
                }
            }
            for pose in &state.preset.poses {
                if !state.concerns(&pose.only) || !state.holds(pose.before_phase, *phase) {
                    continue;
                }
                if !loosened.is_empty() {
                    notes.push(Note {
                        kind: NoteKind::PoseAvoidance,
                        rule: pose.rule.clone(),
                        words: format!(
                            "Pose to avoid on the {side} although limits were lifted: {}.",
                            pose.words
                        ),
                        source: pose.source.clone(),
                    });
                }
                if !pose.varies.is_empty() {
                    notes.push(Note::varies(&pose.rule, &pose.varies, &pose.source));
                }
                let mut end = state.end_of(pose.before_phase, asked);
                end.opens_when = state.no_longer(&pose.only).unwrap_or(end.opens_when);
                poses.push(ActivePose {
                    rule: pose.rule.clone(),
                    side,
                    parts: pose.all_of.clone(),
                    loaded: pose.loaded,
                    words: pose.words.clone(),
                    source: pose.source.clone(),
                    end,
                });
            }
        }
        for motion in JointMotion::all() {
            // The trunk has no side: an order about it is taken once.
            if motion.coordinate.joint() == Joint::Lumbar && side == Side::Right {
                continue;
            }
            let said = ordered(orders, side, motion, today);
            let all = said.decides.into_iter().chain(said.tightens);
            limits.extend(all.map(|(order, at_most)| from_order(order, side, motion, at_most, today)));
        }
    }
    notes.dedup();
    (limits, poses, notes)
}

fn looser(row: &LimitRow, side: Side, preset: Angle, said: Angle, order: &SurgeonOrder) -> Note {
    Note {
        kind: NoteKind::LooserOrder,
        rule: row.rule.clone(),
        words: format!(
            "{} may go to {said} by order of {}, where the preset says {preset}.",
            words::sentence(&format!("{side} {}", row.motion)),
            order.by
        ),
        source: row.source.clone(),
    }
}

fn lifted_note(row: &LimitRow, side: Side, preset: Angle, order: &SurgeonOrder) -> Note {
    Note {
        kind: NoteKind::LooserOrder,
        rule: row.rule.clone(),
        words: format!(
            "{} ordered no precautions: the preset limit of {preset} for {} on the {side} is not kept.",
            order.by, row.motion
        ),
        source: row.source.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use anatomy::Coordinate;

    #[test]
    fn a_movement_is_blocked_10_degrees_before_a_limit_and_3_degrees_past_neutral() {
        let flexion = Coordinate::HipFlexion.positive();
        for (limit, blocked_above) in [(90.0, 80.0), (70.0, 60.0), (20.0, 10.0), (0.0, 3.0), (-5.0, -2.0)] {
            let found = threshold(flexion, Angle::deg(limit)).in_deg();
            assert!((found - blocked_above).abs() < 1e-9, "{limit}: {found}");
        }
    }

    #[test]
    fn a_looser_limit_never_blocks_more() {
        let adduction = Coordinate::HipAdduction.positive();
        let mut last = f64::NEG_INFINITY;
        for tenth in -300..1300 {
            let now = threshold(adduction, Angle::deg(f64::from(tenth) / 10.0)).in_deg();
            assert!(now >= last - 1e-9);
            last = now;
        }
    }
}
