//! The keys of what came home from the last programme.

use super::{Key, Kind, Shape, Unit, essential, key, list_of, number, section};
use crate::case_file::words::{self, names};

pub(super) fn last_programme() -> Key {
    section(
        "last_programme",
        "what came home from the last programme; it prefers what is known, and never opens anything",
        vec![
            key(
                "last_jumps",
                Shape::Date,
                "last day on which leaps, jumps or hops were done, also outside the programme",
                "2026-02-02",
            ),
            list_of(
                "tolerated",
                "movements that were done and tolerated, as the sheet tells them; one entry each",
                Shape::Kinds("family", words::FAMILY.iter().map(|(name, _)| tolerated(name)).collect()),
            ),
        ],
    )
}

fn tolerated(family: &'static str) -> Kind {
    let about = match family {
        "reach" => "toes touch out, no weight on them",
        "step" => "a step out and back",
        "lunge" => "a long step with bent knees",
        "leap" => "from one leg onto the other",
        "two_foot_jump" => "with both feet, so no leg is named",
        "single_leg_hop" => "on one leg",
        _ => "both feet stay, one hand goes out",
    };
    let mut keys = Vec::new();
    match family {
        "two_foot_jump" => {}
        "bend_and_reach" => keys.push(leg("the hand that went out")),
        _ => keys.push(leg("the leg that moved")),
    }
    keys.push(essential(key(
        "direction",
        Shape::Bearing,
        "where it went, seen from above, in floor words",
        if ["reach", "step", "lunge", "leap"].contains(&family) { "\"left\"" } else { "\"forward\"" },
    )));
    keys.push(essential(key(
        "distance",
        number(Unit::Length, "last_programme.tolerated.distance"),
        "how far out it went",
        "\"45 cm\"",
    )));
    if ["reach", "step", "lunge", "leap"].contains(&family) {
        keys.push(key(
            "crossing",
            Shape::Word(names(words::CROSSING)),
            "how it passed the standing leg; needed where both ways are possible",
            "\"in_front\"",
        ));
    }
    if family == "lunge" {
        keys.push(essential(key(
            "depth",
            number(Unit::Length, "last_programme.tolerated.depth"),
            "how far the pelvis sank",
            "\"10 cm\"",
        )));
    }
    if family == "bend_and_reach" {
        keys.push(essential(key(
            "height",
            Shape::Word(names(words::HAND_HEIGHT)),
            "how low the hand went",
            "\"knee\"",
        )));
    }
    let holding = if family == "bend_and_reach" { words::OTHER_HAND } else { words::HANDS };
    keys.push(key(
        "hands",
        Shape::Word(names(holding)),
        "what the hands held on to; none when left out",
        "\"fingertip\"",
    ));
    keys.push(key(
        "hand_weight",
        number(Unit::Mass, "last_programme.tolerated.hand_weight"),
        "weight in each hand; none when left out",
        "\"2 kg\"",
    ));
    Kind { name: family, about, keys }
}

fn leg(about: &'static str) -> Key {
    essential(key("leg", Shape::Word(names(words::LEG)), about, "\"right\""))
}
