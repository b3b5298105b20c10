//! Makes findings, measured strengths and directions that hurt.

use anatomy::{JointMotion, Side};
use quantity::{Angle, Length, Moment};

use super::{Dated, whole};
use crate::case_file::node::{Checked, Fields, Node};
use crate::case_file::problem::Wrong;
use crate::case_file::words;
use crate::{Answer, AnswerKind, Answers, Comorbidity, Finding, Findings, HurtAt, RedFlag, Strength};

/// Everything of the table `findings`; what stands in tables of its own is left empty.
pub(super) fn findings(mut fields: Fields, at: &mut Dated<'_>) -> Findings {
    let f = &mut fields;
    let made = Findings {
        conditions: Vec::new(),
        red_flags: at.finding(f, "red_flags", red_flags),
        other_conditions: at.finding(f, "other_conditions", comorbidities),
        weight_bearing: anatomy::PerSide::default(),
        orders: Vec::new(),
        aid: at.finding(f, "aid", |node| words::meaning(words::AID, &node.text()?)),
        pain_at_rest: at.finding(f, "pain_at_rest", whole),
        pain_in_movement: at.finding(f, "pain_in_movement", whole),
        consistent_night_pain: at.finding(f, "consistent_night_pain", Node::flag),
        stands_and_shifts: at.finding(f, "stands_and_shifts", Node::flag),
        wound_dry: at.finding(f, "wound_dry", Node::flag),
        effusion: at.sides(f, "effusion", whole),
        knee_flexion: at.sides(f, "knee_flexion", angle),
        extension_lag: at.sides(f, "extension_lag", angle),
        ankle_dorsiflexion: at.sides(f, "ankle_dorsiflexion", angle),
        single_leg_stance: at.sides(f, "single_leg_stance", Node::number),
        single_leg_stance_fingertip: at.sides(f, "single_leg_stance_fingertip", Node::number),
        trendelenburg: at.sides(f, "trendelenburg", Node::flag),
        tandem_stance: at.finding(f, "tandem_stance", Node::number),
        timed_up_and_go: at.finding(f, "timed_up_and_go", Node::number),
        sit_to_stands: at.finding(f, "sit_to_stands", whole),
        stairs_reciprocal: at.finding(f, "stairs_reciprocal", Node::flag),
        dizzy_bending: at.finding(f, "dizzy_bending", Node::flag),
        clean_step_directions: at.finding(f, "clean_step_directions", whole),
        clean_reaches: at.finding(f, "clean_reaches", Node::flag),
        surgeon_review: at.finding(f, "surgeon_review", Node::flag),
        falls_past_year: at.finding(f, "falls_past_year", whole),
        consent: at.finding(f, "consent", Node::flag),
        answers: answers(f, at),
        strength: Vec::new(),
        hurt: Vec::new(),
    };
    debug_assert!(fields.map.is_empty(), "findings that nobody read: {:?}", fields.map.keys());
    made
}

fn answers(fields: &mut Fields, at: &mut Dated<'_>) -> Answers {
    let mut out = Answers::default();
    for answer in Answer::ALL.iter().copied() {
        let make = |node: Node| number(answer.kind(), node);
        if answer.has_side() {
            let found = at.sides(fields, answer.key(), make);
            for side in Side::BOTH {
                out.set(answer, side, found.get(side).clone());
            }
        } else {
            let found: Finding<f64> = at.finding(fields, answer.key(), make);
            out.set(answer, Side::Left, found);
        }
    }
    out
}

/// The number of an answer in the unit it is kept in.
fn number(kind: AnswerKind, node: Node) -> Option<f64> {
    Some(match kind {
        AnswerKind::Flag => {
            if node.flag()? {
                1.0
            } else {
                0.0
            }
        }
        AnswerKind::Count | AnswerKind::Degrees | AnswerKind::Percent => node.number()?,
        AnswerKind::Centimetres => Length::m(node.number()?).in_cm(),
        AnswerKind::Minutes => node.number()? / 60.0,
    })
}

fn comorbidities(node: Node) -> Option<Vec<Comorbidity>> {
    let Checked::List(nodes) = node.value else { return None };
    Some(nodes.into_iter().filter_map(|node| Comorbidity::from_key(&node.text()?)).collect())
}

fn angle(node: Node) -> Option<Angle> {
    node.number().map(Angle::deg)
}

fn red_flags(node: Node) -> Option<Vec<RedFlag>> {
    let Checked::List(nodes) = node.value else { return None };
    Some(nodes.into_iter().filter_map(|node| RedFlag::from_key(&node.text()?)).collect())
}

pub(super) fn strength(nodes: Vec<Node>, at: &mut Dated<'_>) -> Vec<Strength> {
    let mut made: Vec<(usize, Strength)> = Vec::new();
    for (index, node) in nodes.into_iter().enumerate() {
        let line = node.line;
        let Some(mut fields) = node.fields() else { continue };
        let motion = fields.text("motion").and_then(|key| JointMotion::from_key(&key));
        let side = fields.text("side").and_then(|word| words::meaning(words::LEG, &word));
        let moment = at.finding(&mut fields, "moment", |node| node.number().map(Moment::nm));
        let at_angle = fields.number("at_angle").map(Angle::deg);
        let (Some(motion), Some(side)) = (motion, side) else { continue };
        let one = Strength { motion, side, moment, at_angle };
        let same = |other: &Strength| {
            (other.motion, other.side, other.at_angle) == (one.motion, one.side, one.at_angle)
        };
        if let Some((first, _)) = made.iter().find(|(_, other)| same(other)) {
            at.problems.add(
                Wrong::Contradiction,
                line,
                format!("strength[{}]", index + 1),
                format!("{side} {motion} once more"),
                format!("one entry for each motion, side and angle; line {first} already gives one"),
                "keep the newer one",
            );
        }
        made.push((line, one));
    }
    made.into_iter().map(|(_, one)| one).collect()
}

pub(super) fn hurt(nodes: Vec<Node>, at: &mut Dated<'_>) -> Vec<HurtAt> {
    let mut made: Vec<(usize, HurtAt)> = Vec::new();
    for (index, node) in nodes.into_iter().enumerate() {
        let line = node.line;
        let Some(mut fields) = node.fields() else { continue };
        let mover = fields.text("leg").and_then(|word| words::meaning(words::LEG, &word));
        let bearing = fields.take("direction").and_then(Node::bearing);
        let family = fields.text("family").and_then(|word| words::meaning(words::FAMILY, &word));
        let distance = fields.number("distance").map(Length::m);
        let path = format!("{}on", fields.path);
        let on = match fields.date("on") {
            Some((on, line)) => Some(at.not_after_visit(&path, on, line)),
            None => at.visit,
        };
        let pain = fields.take("pain").and_then(whole);
        let times = fields.take("times").and_then(whole).unwrap_or(1);
        let settled = fields.flag("settled");
        let spreads = fields.flag("spreads").unwrap_or(false);
        let (Some(mover), Some(bearing), Some(distance), Some(on)) = (mover, bearing, distance, on) else {
            continue;
        };
        let one = HurtAt { mover, bearing, family, distance, on, pain, settled, spreads };
        if let Some((first, _)) = made.iter().find(|(_, other)| *other == one) {
            at.problems.add(
                Wrong::Contradiction,
                line,
                format!("hurt[{}]", index + 1),
                format!("{mover} leg, {}, {distance} once more", bearing.plain_words()),
                format!("each direction, movement, distance and day once; line {first} already gives it"),
                "take the second one out, or say `times` in the first",
            );
        }
        made.extend(std::iter::repeat_n((line, one), usize::from(times)));
    }
    made.into_iter().map(|(_, one)| one).collect()
}
