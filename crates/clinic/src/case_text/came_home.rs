//! What was decided about a log, written into the text of a case: what hurt, an order of level, what was tolerated.

use jiff::civil::Date;
use movement::{Crossing, Family, Load, MovementSpec, Support};
use person::{CaseFile, HowKnown, HurtAt, OrderedLimit, SurgeonOrder};
use quantity::Length;

use super::{CaseText, CaseValue};

impl CaseText {
    /// Takes over what a decision of a day changed in a case. `before` is the case that the text says now.
    ///
    /// Where something is written that happened after the visit, the visit becomes the day of the decision, and what
    /// was found before keeps its own day. A movement that the format has no words for is not written among those
    /// that were tolerated: they open nothing.
    pub fn take_over(&mut self, before: &CaseFile, after: &CaseFile, on: Date) {
        if after.findings.hurt.iter().any(|one| one.on > before.visit) {
            self.move_visit(on);
        }
        if after.findings.hurt != before.findings.hurt {
            self.remove("hurt");
            for (hurt, times) in counted(&after.findings.hurt) {
                self.push("hurt", &hurt_entry(hurt, times));
            }
        }
        for order in after.findings.orders.iter().filter(|one| !before.findings.orders.contains(one)) {
            if let Some(entry) = order_entry(order) {
                self.push("orders", &entry);
            }
        }
        if after.last_programme.tolerated != before.last_programme.tolerated {
            self.remove("last_programme.tolerated");
            let mut written: Vec<Vec<(&'static str, CaseValue)>> = Vec::new();
            for entry in after.last_programme.tolerated.iter().filter_map(tolerated_entry) {
                if !written.contains(&entry) {
                    self.push("last_programme.tolerated", &entry);
                    written.push(entry);
                }
            }
        }
    }
}

/// Equal entries once, with how often they stand there.
fn counted(all: &[HurtAt]) -> Vec<(&HurtAt, i64)> {
    let mut out: Vec<(&HurtAt, i64)> = Vec::new();
    for one in all {
        match out.iter_mut().find(|(known, _)| *known == one) {
            Some((_, times)) => *times += 1,
            None => out.push((one, 1)),
        }
    }
    out
}

fn text(words: &str) -> CaseValue {
    CaseValue::Text(words.to_owned())
}

/// Tenths of a centimetre: what a floor can be marked with, and more.
fn length(of: Length) -> CaseValue {
    CaseValue::Text(format!("{} cm", (of.in_cm() * 10.0).round() / 10.0))
}

fn hurt_entry(hurt: &HurtAt, times: i64) -> Vec<(&'static str, CaseValue)> {
    let mut entry = vec![
        ("leg", text(&hurt.mover.to_string())),
        ("direction", text(hurt.bearing.plain_words())),
        ("distance", length(hurt.distance)),
        ("on", CaseValue::Day(hurt.on)),
    ];
    if let Some(of) = hurt.family {
        entry.push(("family", text(family(of))));
    }
    if let Some(pain) = hurt.pain {
        entry.push(("pain", CaseValue::Whole(i64::from(pain))));
    }
    if times > 1 {
        entry.push(("times", CaseValue::Whole(times)));
    }
    if let Some(settled) = hurt.settled {
        entry.push(("settled", CaseValue::Flag(settled)));
    }
    if hurt.spreads {
        entry.push(("spreads", CaseValue::Flag(true)));
    }
    entry
}

/// An order of level, the only one that a decision about a log gives.
fn order_entry(order: &SurgeonOrder) -> Option<Vec<(&'static str, CaseValue)>> {
    let OrderedLimit::LevelAtMost(level) = order.limit else { return None };
    let known = match order.known {
        HowKnown::LetterSeen => "letter_seen",
        HowKnown::SpokenToTeam => "spoken_to_team",
        HowKnown::PatientSays => "patient_says",
    };
    let mut entry = vec![("limit", text("level_at_most")), ("level", CaseValue::Whole(i64::from(level)))];
    if let Some(side) = order.side {
        entry.push(("side", text(&side.to_string())));
    }
    entry.extend([("by", text(&order.by)), ("known", text(known)), ("from", CaseValue::Day(order.from))]);
    if let Some(until) = order.until {
        entry.push(("until", CaseValue::Day(until)));
    }
    Some(entry)
}

fn tolerated_entry(spec: &MovementSpec) -> Option<Vec<(&'static str, CaseValue)>> {
    let bare = MovementSpec::bare(spec.family, spec.mover, spec.bearing, spec.crossing, spec.distance);
    let has_words = (spec.stance_foot, spec.arms, spec.rise) == (bare.stance_foot, bare.arms, bare.rise);
    if !has_words {
        return None;
    }
    let mut entry = vec![("family", text(family(spec.family)))];
    if spec.family != Family::TwoFootJump {
        entry.push(("leg", text(&spec.mover.to_string())));
    }
    entry.extend([("direction", text(spec.bearing.plain_words())), ("distance", length(spec.distance))]);
    match spec.crossing {
        Crossing::None => {}
        Crossing::InFront => entry.push(("crossing", text("in_front"))),
        Crossing::Behind => entry.push(("crossing", text("behind"))),
    }
    if let Some(depth) = spec.depth {
        entry.push(("depth", length(depth)));
    }
    if let Some(height) = spec.hand_height {
        entry.push(("height", text(height.name())));
    }
    match spec.support {
        Support::None => {}
        Support::Fingertip => entry.push(("hands", text("fingertip"))),
        Support::OneHand => entry.push(("hands", text("one_hand"))),
        Support::BothHands => entry.push(("hands", text("both_hands"))),
    }
    match spec.load {
        Load::None => {}
        Load::HandWeights { each } => {
            entry.push((
                "hand_weight",
                CaseValue::Text(format!("{} kg", (each.in_kg() * 100.0).round() / 100.0)),
            ));
        }
        Load::InBothHands { .. } | Load::OnTrunk { .. } => return None,
    }
    Some(entry)
}

fn family(family: Family) -> &'static str {
    match family {
        Family::Reach => "reach",
        Family::Step => "step",
        Family::Lunge => "lunge",
        Family::Leap => "leap",
        Family::TwoFootJump => "two_foot_jump",
        Family::Hop => "single_leg_hop",
        Family::BendAndReach => "bend_and_reach",
    }
}
