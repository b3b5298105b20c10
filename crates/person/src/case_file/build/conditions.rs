//! Makes conditions, and finds those that cannot stand together.

use jiff::civil::Date;

use super::{Dated, whole};
use crate::case_file::node::{Fields, Node};
use crate::case_file::problem::Wrong;
use crate::case_file::words;
use crate::{
    Condition, Finding, Involved, KneeSurgery, OtherCondition, PhaseConfirmation, Presentation, Presented,
};

pub(super) fn conditions(nodes: Vec<Node>, at: &mut Dated<'_>) -> Vec<Condition> {
    let mut made: Vec<(usize, Condition)> = Vec::new();
    for (index, node) in nodes.into_iter().enumerate() {
        let line = node.line;
        let Some(condition) = node.fields().and_then(|fields| condition(fields, at)) else { continue };
        if let Some((first, _)) = made.iter().find(|(_, other)| clash(other, &condition)) {
            at.problems.add(
                Wrong::Contradiction,
                line,
                format!("conditions[{}]", index + 1),
                kind_and_side(&condition),
                format!("one entry for each joint; line {first} already says something about this one"),
                "keep the entry that is true, or correct the side",
            );
        }
        made.push((line, condition));
    }
    made.into_iter().map(|(_, condition)| condition).collect()
}

fn condition(mut fields: Fields, at: &mut Dated<'_>) -> Option<Condition> {
    Some(match fields.kind? {
        "hip_replacement" => {
            let involved = side(&mut fields)?;
            let approach =
                at.finding(&mut fields, "approach", |node| words::meaning(words::APPROACH, &node.text()?));
            let (operated_on, confirmed) = operation(&mut fields, at);
            Condition::HipReplacement { involved, approach, operated_on, confirmed }
        }
        "knee_replacement" => {
            let involved = side(&mut fields)?;
            let surgery = fields.text("surgery").and_then(|word| words::meaning(words::KNEE_SURGERY, &word));
            let (operated_on, confirmed) = operation(&mut fields, at);
            let surgery = surgery.unwrap_or(KneeSurgery::TotalReplacement);
            Condition::KneeReplacement { involved, surgery, operated_on, confirmed }
        }
        "knee_osteoarthritis" => Condition::KneeOsteoarthritis {
            involved: side(&mut fields)?,
            medial_or_varus_thrust: at.finding(&mut fields, "medial_or_varus_thrust", Node::flag),
            confirmed: confirmed(&mut fields, &Finding::NotAssessed, at),
        },
        "falls_risk" => Condition::FallsRisk {
            someone_at_home: at.finding(&mut fields, "someone_at_home", Node::flag),
            programme_began: past_day(&mut fields, "programme_began", at),
            alone_waived: at.finding(&mut fields, "alone_waived", Node::flag),
        },
        word => match Presentation::from_key(word) {
            Some(presentation) => Condition::Presented(presented(presentation, fields, at)?),
            None => Condition::Other(other(fields, at)?),
        },
    })
}

fn presented(presentation: Presentation, mut fields: Fields, at: &mut Dated<'_>) -> Option<Presented> {
    let involved = if presentation.has_side() { side(&mut fields)? } else { Involved::General };
    let pattern = at.finding(&mut fields, "pattern", |node| {
        let word = node.text()?;
        presentation.patterns().iter().copied().find(|one| one.key() == word)
    });
    let since = presentation.clock().key().map_or(Finding::NotAssessed, |key| past_day(&mut fields, key, at));
    let confirmed = confirmed(&mut fields, &since, at);
    Some(Presented { presentation, involved, pattern, since, confirmed })
}

fn other(mut fields: Fields, at: &mut Dated<'_>) -> Option<OtherCondition> {
    let name = fields.text("name");
    let involved = side(&mut fields);
    let line = fields.line;
    let ceiling = at.finding(&mut fields, "ceiling", whole);
    let by = fields.text("ceiling_by");
    if ceiling != Finding::NotAssessed && by.is_none() {
        at.problems.add(
            Wrong::Missing,
            line,
            format!("{}ceiling_by", fields.path),
            "",
            "text in quotation marks: who set the ceiling",
            "add for example `ceiling_by = \"M. Tarn, physiotherapist\"`, or take the ceiling out",
        );
    }
    Some(OtherCondition { name: name?, involved: involved?, ceiling, ceiling_by: by.unwrap_or_default() })
}

fn side(fields: &mut Fields) -> Option<Involved> {
    fields.text("side").and_then(|word| words::meaning(words::ANY_SIDE, &word))
}

/// A day that was found out and that lies not after the visit.
fn past_day(fields: &mut Fields, key: &str, at: &mut Dated<'_>) -> Finding<Date> {
    let path = format!("{}{key}", fields.path);
    let mut line = fields.line;
    let day = at.finding(fields, key, |node| {
        line = node.line;
        node.date()
    });
    if let Finding::Found { value, .. } = &day {
        at.not_after_visit(&path, *value, line);
    }
    day
}

fn operation(fields: &mut Fields, at: &mut Dated<'_>) -> (Finding<Date>, Vec<PhaseConfirmation>) {
    let operated_on = past_day(fields, "operated_on", at);
    let confirmed = confirmed(fields, &operated_on, at);
    (operated_on, confirmed)
}

fn confirmed(fields: &mut Fields, since: &Finding<Date>, at: &mut Dated<'_>) -> Vec<PhaseConfirmation> {
    let mut confirmed: Vec<PhaseConfirmation> = Vec::new();
    for mut entry in fields.list("confirmed").into_iter().filter_map(Node::fields) {
        let line = entry.line;
        let path = entry.path.clone();
        let phase = entry.take("phase").and_then(whole);
        let by = entry.text("by");
        let on =
            entry.date("on").map(|(on, line)| (at.not_after_visit(&format!("{path}on"), on, line), line));
        if let (Some((on, line)), Finding::Found { value: operation, .. }) = (on, since)
            && on < *operation
        {
            at.problems.add(
                Wrong::Contradiction,
                line,
                format!("{path}on"),
                on.to_string(),
                format!("the day of the operation or injury, {operation}, or later"),
                "correct this date or the day of the operation or injury",
            );
        }
        let (Some(phase), Some(by), Some((on, _))) = (phase, by, on) else { continue };
        if confirmed.iter().any(|other| other.phase == phase) {
            at.problems.add(
                Wrong::Contradiction,
                line,
                format!("{path}phase"),
                phase.to_string(),
                "each phase confirmed once",
                "keep the confirmation that is true",
            );
        }
        confirmed.push(PhaseConfirmation { phase, by, on });
    }
    confirmed
}

/// Whether two entries speak about the same joint.
fn clash(a: &Condition, b: &Condition) -> bool {
    use Condition as C;
    let same_joint = match (a, b) {
        (C::HipReplacement { .. }, C::HipReplacement { .. }) | (C::FallsRisk { .. }, C::FallsRisk { .. }) => {
            true
        }
        (
            C::KneeReplacement { .. } | C::KneeOsteoarthritis { .. },
            C::KneeReplacement { .. } | C::KneeOsteoarthritis { .. },
        ) => true,
        (C::Presented(a), C::Presented(b)) => return a.shares_joint_with(b),
        (C::Other(a), C::Other(b)) => a.name == b.name,
        _ => false,
    };
    let (a, b) = (a.involved(), b.involved());
    same_joint && (a == b || anatomy::Side::BOTH.into_iter().any(|side| a.includes(side) && b.includes(side)))
}

fn kind_and_side(condition: &Condition) -> String {
    let kind = match condition {
        Condition::HipReplacement { .. } => "hip_replacement",
        Condition::KneeReplacement { .. } => "knee_replacement",
        Condition::KneeOsteoarthritis { .. } => "knee_osteoarthritis",
        Condition::FallsRisk { .. } => return "falls_risk".to_owned(),
        Condition::Presented(presented) => presented.presentation.key(),
        Condition::Other(other) => other.name.as_str(),
    };
    let side = words::ANY_SIDE.iter().find(|(_, side)| *side == condition.involved());
    format!("{kind}, {}", side.map_or("general", |(word, _)| word))
}
