//! Makes what came home from the last programme, and finds what is not one movement.

use anatomy::Side;
use movement::{Bearing, Crossing, Family, Landing, Load, MovementSpec, SpecError, Support};
use quantity::{Length, Mass};

use super::Dated;
use crate::LastProgramme;
use crate::case_file::node::{Fields, Node};
use crate::case_file::problem::{Problems, Wrong};
use crate::case_file::words;

pub(super) fn last_programme(mut fields: Fields, at: &mut Dated<'_>) -> LastProgramme {
    let path = format!("{}last_jumps", fields.path);
    let last_jumps = fields.date("last_jumps").map(|(on, line)| at.not_after_visit(&path, on, line));
    let mut tolerated: Vec<(usize, MovementSpec)> = Vec::new();
    for (index, node) in fields.list("tolerated").into_iter().enumerate() {
        let line = node.line;
        let Some(spec) = node.fields().and_then(|entry| movement(entry, at.problems)) else { continue };
        if let Some((first, _)) = tolerated.iter().find(|(_, other)| *other == spec) {
            at.problems.add(
                Wrong::Contradiction,
                line,
                format!("last_programme.tolerated[{}]", index + 1),
                format!("{} once more", spec.sentence()),
                format!("each movement once; line {first} already gives it"),
                "take the second one out",
            );
        }
        tolerated.push((line, spec));
    }
    LastProgramme { last_jumps, tolerated: tolerated.into_iter().map(|(_, spec)| spec).collect() }
}

fn movement(mut entry: Fields, problems: &mut Problems) -> Option<MovementSpec> {
    let (line, path) = (entry.line, entry.path.clone());
    let family = words::meaning(words::FAMILY, entry.kind?)?;
    let leg = entry.text("leg").and_then(|word| words::meaning(words::LEG, &word));
    let bearing = entry.take("direction").and_then(Node::bearing);
    let distance = entry.number("distance").map(Length::m);
    let said = entry.take("crossing").map(|node| (node.line, node.text()));
    let depth = entry.number("depth").map(Length::m);
    let hand_height = entry.text("height").and_then(|word| words::meaning(words::HAND_HEIGHT, &word));
    let support = entry.text("hands").and_then(|word| words::meaning(words::HANDS, &word));
    let load = entry.number("hand_weight").map_or(Load::None, |kg| Load::HandWeights { each: Mass::kg(kg) });
    // A two-foot jump moves both feet and is kept with the right side.
    let mover = if family == Family::TwoFootJump { Side::Right } else { leg? };
    let (bearing, distance) = (bearing?, distance?);
    let crossing = crossing((family, mover, bearing), said, (&path, line), problems)?;
    let spec = MovementSpec {
        depth,
        hand_height,
        load,
        support: support.unwrap_or(Support::None),
        landing: family.is_airborne().then_some(Landing::Held),
        ..MovementSpec::bare(family, mover, bearing, crossing, distance)
    };
    match spec.checked() {
        Ok(spec) => Some(spec),
        Err(error @ SpecError::HandsFull) => {
            problems.add(
                Wrong::Contradiction,
                line,
                format!("{path}hand_weight"),
                load.total().times(0.5).to_string(),
                "`hand_weight` only where a hand is free: `hands` none, fingertip or one_hand",
                format!("{error}; take one of the two out"),
            );
            None
        }
        // A missing depth or height is told where the keys are checked.
        Err(_) => None,
    }
}

/// How it passes the standing leg: said, or the only way there is.
fn crossing(
    (family, mover, bearing): (Family, Side, Bearing),
    said: Option<(usize, Option<String>)>,
    (path, line): (&str, usize),
    problems: &mut Problems,
) -> Option<Crossing> {
    let ways = family.ways(bearing, mover);
    let word = |way: &Crossing| words::CROSSING.iter().find(|(_, one)| one == way).map(|(word, _)| *word);
    let accepted: Vec<&str> = ways.iter().filter_map(word).collect();
    let where_to = format!("a {mover} leg that goes {}", bearing.plain_words());
    match (said, ways) {
        (None, [only]) => Some(*only),
        (None, _) => {
            problems.add(
                Wrong::Missing,
                line,
                format!("{path}crossing"),
                "",
                format!("one of {}", accepted.join(", ")),
                format!("say how it passed the standing leg: {where_to} can go either way"),
            );
            None
        }
        (Some((line, word)), _) => {
            let word = word?;
            let crossing = words::meaning(words::CROSSING, &word)?;
            if ways.contains(&crossing) {
                return Some(crossing);
            }
            let (accepted, to_do) = match accepted.as_slice() {
                [] => (
                    format!("no `crossing`: {where_to} stays on its own side"),
                    "take the line out, or correct leg or direction".to_owned(),
                ),
                all => (all.join(", "), format!("write \"{}\", or correct leg or direction", all[0])),
            };
            problems.add(Wrong::Contradiction, line, format!("{path}crossing"), word, accepted, to_do);
            None
        }
    }
}
