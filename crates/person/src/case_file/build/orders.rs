//! Makes orders and weight-bearing orders, and finds those that contradict themselves.

use anatomy::{JointMotion, PerSide};
use quantity::{Angle, Length, Mass, Share};

use super::{Dated, whole};
use crate::case_file::node::{Checked, Fields, Node};
use crate::case_file::problem::{Problems, Wrong};
use crate::case_file::words;
use crate::{Finding, Involved, OrderedLimit, SurgeonOrder, WeightBearing, WeightBearingGrade};

pub(super) fn orders(nodes: Vec<Node>, problems: &mut Problems) -> Vec<SurgeonOrder> {
    let mut made: Vec<(usize, SurgeonOrder)> = Vec::new();
    for (index, node) in nodes.into_iter().enumerate() {
        let line = node.line;
        let Some(order) = node.fields().and_then(|fields| order(fields, problems)) else { continue };
        if let Some((first, _)) = made.iter().find(|(_, other)| contradict(other, &order)) {
            problems.add(
                Wrong::Contradiction,
                line,
                format!("orders[{}]", index + 1),
                "an order about the same thing from the same day",
                format!("one order for each limit, leg and day; line {first} already gives one"),
                "keep the one that is true, or end the older with `until`",
            );
        }
        made.push((line, order));
    }
    made.into_iter().map(|(_, order)| order).collect()
}

fn order(mut fields: Fields, problems: &mut Problems) -> Option<SurgeonOrder> {
    let limit = match fields.kind? {
        "joint_angle" => {
            let motion = fields.text("motion").and_then(|key| JointMotion::from_key(&key));
            let at_most = fields.number("at_most").map(Angle::deg);
            motion.zip(at_most).map(|(motion, at_most)| OrderedLimit::JointAngle { motion, at_most })
        }
        "no_precautions" => Some(OrderedLimit::NoPrecautions),
        "no_pivot" => Some(OrderedLimit::NoPivot),
        "distance_at_most" => fields.number("distance").map(Length::m).map(OrderedLimit::DistanceAtMost),
        "load_at_most" => fields.number("mass").map(Mass::kg).map(OrderedLimit::LoadAtMost),
        "impact_at_most" => fields.number("body_weights").map(OrderedLimit::ImpactAtMost),
        "may_open_level" => fields.take("level").and_then(whole).map(OrderedLimit::MayOpenLevel),
        "pain_up_to" => fields.take("pain").and_then(whole).map(OrderedLimit::PainUpTo),
        _ => fields.take("level").and_then(whole).map(OrderedLimit::LevelAtMost),
    };
    let side = match fields.text("side").and_then(|word| words::meaning(words::LEG_OR_BOTH, &word)) {
        Some(Involved::Left) => Some(anatomy::Side::Left),
        Some(Involved::Right) => Some(anatomy::Side::Right),
        _ => None,
    };
    let by = fields.text("by");
    let known = fields.text("known").and_then(|word| words::meaning(words::KNOWN, &word));
    let from = fields.date("from").map(|(date, _)| date);
    let until = until(&mut fields, from, problems);
    Some(SurgeonOrder { limit: limit?, side, by: by?, known: known?, from: from?, until })
}

/// The last day, which cannot lie before the first.
fn until(
    fields: &mut Fields,
    from: Option<jiff::civil::Date>,
    problems: &mut Problems,
) -> Option<jiff::civil::Date> {
    let path = format!("{}until", fields.path);
    let (until, line) = fields.date("until")?;
    if let Some(from) = from.filter(|from| until < *from) {
        problems.add(
            Wrong::Contradiction,
            line,
            path,
            until.to_string(),
            format!("the first day, {from}, or later"),
            "correct one of the two dates",
        );
    }
    Some(until)
}

fn contradict(a: &SurgeonOrder, b: &SurgeonOrder) -> bool {
    let same_leg = a.side.is_none() || b.side.is_none() || a.side == b.side;
    let same_limit = match (&a.limit, &b.limit) {
        (OrderedLimit::JointAngle { motion: a, .. }, OrderedLimit::JointAngle { motion: b, .. }) => a == b,
        (a, b) => std::mem::discriminant(a) == std::mem::discriminant(b),
    };
    same_leg && same_limit && a.from == b.from
}

pub(super) fn weight_bearing(mut legs: Fields, at: &mut Dated<'_>) -> PerSide<Finding<WeightBearing>> {
    PerSide::from_fn(|side| {
        let Some(Checked::Found { value, .. }) = legs.take(&side.to_string()).map(|node| node.value) else {
            return Finding::NotAssessed;
        };
        value.fields().and_then(|fields| one_leg(fields, at)).unwrap_or_default()
    })
}

fn one_leg(mut fields: Fields, at: &mut Dated<'_>) -> Option<Finding<WeightBearing>> {
    let path = fields.path.clone();
    let grade = fields.text("grade").and_then(|word| words::meaning(words::GRADE, &word));
    let share = fields.take("share").and_then(|node| {
        let line = node.line;
        Some((Share::percent(node.number()?), line))
    });
    if let Some((share, line)) = share
        && grade.is_some_and(|grade| grade != WeightBearingGrade::PartialWeightBearing)
    {
        at.problems.add(
            Wrong::Contradiction,
            line,
            format!("{path}share"),
            share.to_string(),
            "a share only with `grade = \"partial_weight_bearing\"`",
            "correct the grade or take the share out",
        );
    }
    let on = match fields.date("on") {
        Some((on, line)) => Some(at.not_after_visit(&format!("{path}on"), on, line)),
        None => at.visit,
    };
    let by = fields.text("by");
    let known = fields.text("known").and_then(|word| words::meaning(words::KNOWN, &word));
    let until = until(&mut fields, on, at.problems);
    let value =
        WeightBearing { grade: grade?, share: share.map(|(share, _)| share), known: known?, by: by?, until };
    Some(Finding::Found { value, on: on? })
}
