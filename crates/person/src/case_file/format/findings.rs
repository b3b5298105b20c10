//! The keys of what was found, measured and hurt.

use super::{Key, Shape, Unit, essential, found, key, motions, number, section, sides};
use crate::case_file::words::{self, names};
use crate::{Answer, AnswerKind, Comorbidity, RedFlag};

pub(super) fn findings() -> Key {
    let score = |name, path, about, example| key(name, found(number(Unit::Whole, path)), about, example);
    let flag = |name, about, example| key(name, found(Shape::Flag), about, example);
    let time = |name, path, about, example| key(name, found(number(Unit::Span, path)), about, example);
    let angle = |path: &'static str| move || found(number(Unit::Angle, path));
    let seconds = |path: &'static str| move || found(number(Unit::Span, path));
    section(
        "findings",
        "what was found; whatever is left out was not assessed, and closes",
        vec![
            key(
                "red_flags",
                found(Shape::List(Box::new(Shape::Word(
                    RedFlag::ALL.map(|flag| flag.key().to_owned()).to_vec(),
                )))),
                "red flags that are present; `[]` when they were asked for and absent",
                "[]",
            ),
            key("aid", found(Shape::Word(names(words::AID))), "walking aid", "\"one_stick\""),
            score("pain_at_rest", "findings.pain_at_rest", "pain at rest now, 0 to 10", "1"),
            score(
                "pain_in_movement",
                "findings.pain_in_movement",
                "worst pain in movement over the last day, 0 to 10",
                "3",
            ),
            flag("consistent_night_pain", "pain at night or at rest that is there every time", "false"),
            flag("stands_and_shifts", "stands for 30 s and shifts weight", "true"),
            flag("wound_dry", "the wound is dry", "true"),
            sides(
                "effusion",
                "knee swelling by the stroke test: 0 none, 1 trace, 2 one plus, 3 two plus, 4 three plus",
                "0",
                || found(number(Unit::Whole, "findings.effusion")),
            ),
            sides("knee_flexion", "passive knee flexion", "\"118 deg\"", angle("findings.knee_flexion")),
            sides(
                "extension_lag",
                "how far active knee extension falls short of passive",
                "\"0 deg\"",
                angle("findings.extension_lag"),
            ),
            sides(
                "ankle_dorsiflexion",
                "weight-bearing dorsiflexion, knee to wall, angle of the shank",
                "\"36 deg\"",
                angle("findings.ankle_dorsiflexion"),
            ),
            sides(
                "single_leg_stance",
                "standing on this leg without holding",
                "\"12 s\"",
                seconds("findings.single_leg_stance"),
            ),
            sides(
                "single_leg_stance_fingertip",
                "standing on this leg with a fingertip held",
                "\"30 s\"",
                seconds("findings.single_leg_stance_fingertip"),
            ),
            sides(
                "trendelenburg",
                "the pelvis drops to the other side when standing on this leg",
                "false",
                || found(Shape::Flag),
            ),
            time("tandem_stance", "findings.tandem_stance", "standing heel to toe", "\"20 s\""),
            time("timed_up_and_go", "findings.timed_up_and_go", "timed up and go", "\"9.5 s\""),
            score("sit_to_stands", "findings.sit_to_stands", "sit-to-stands in a row without hands", "10"),
            flag("stairs_reciprocal", "goes up stairs foot over foot", "true"),
            flag("dizzy_bending", "dizzy on standing up or on bending head down", "false"),
            score(
                "clean_step_directions",
                "findings.clean_step_directions",
                "directions in which steps without hands were seen clean, 0 to 8",
                "5",
            ),
            flag(
                "clean_reaches",
                "reaches on both sides were seen with level pelvis and knee over foot, and the day after was quiet, twice",
                "true",
            ),
            flag(
                "surgeon_review",
                "the surgeon's review was done and nothing stands against the next phase",
                "true",
            ),
            score("falls_past_year", "findings.falls_past_year", "falls in the past year", "0"),
            flag(
                "consent",
                "agrees to examination, exercises and the record of them; false is shown wherever a programme is",
                "true",
            ),
            key(
                "other_conditions",
                found(Shape::List(Box::new(Shape::Word(
                    Comorbidity::ALL.map(|one| one.key().to_owned()).to_vec(),
                )))),
                "other conditions and medicines; `[]` when they were asked for and absent",
                "[]",
            ),
        ]
        .into_iter()
        .chain(Answer::ALL.iter().map(|answer| answered(*answer)))
        .collect(),
    )
}

/// The key of something that only serves as a criterion.
fn answered(answer: Answer) -> Key {
    let path = words::path_of(answer);
    let shape = || {
        found(match answer.kind() {
            AnswerKind::Flag => Shape::Flag,
            AnswerKind::Count => number(Unit::Whole, path),
            AnswerKind::Degrees => number(Unit::Angle, path),
            AnswerKind::Centimetres => number(Unit::Length, path),
            AnswerKind::Minutes => number(Unit::Span, path),
            AnswerKind::Percent => number(Unit::Share, path),
        })
    };
    if answer.has_side() {
        sides(answer.key(), answer.about(), answer.example(), shape)
    } else {
        key(answer.key(), shape(), answer.about(), answer.example())
    }
}

pub(super) fn strength() -> Vec<Key> {
    vec![
        essential(key("motion", motions(), "the motion the muscles produce", "\"knee_extension\"")),
        essential(key("side", Shape::Word(names(words::LEG)), "the person's own left or right", "\"right\"")),
        essential(key(
            "moment",
            found(number(Unit::Moment, "strength.moment")),
            "moment that was measured",
            "\"95 Nm\"",
        )),
        key(
            "at_angle",
            number(Unit::Angle, "strength.at_angle"),
            "joint angle at which it was measured",
            "\"90 deg\"",
        ),
    ]
}

pub(super) fn hurt() -> Vec<Key> {
    vec![
        essential(key(
            "leg",
            Shape::Word(names(words::LEG)),
            "the leg that moved, or the side of the hand that reached",
            "\"right\"",
        )),
        essential(key(
            "direction",
            Shape::Bearing,
            "where it went, seen from above, in floor words",
            "\"back-left\"",
        )),
        key(
            "family",
            Shape::Word(names(words::FAMILY)),
            "in which movement; it counts for that one and for what asks as much of the same limb or more; left out, or where the pain spread (`spreads`), it counts for every movement that way",
            "\"step\"",
        ),
        essential(key("distance", number(Unit::Length, "hurt.distance"), "how far out it hurt", "\"45 cm\"")),
        key("on", Shape::Date, "the day; the visit when left out", "2026-02-02"),
        key(
            "pain",
            number(Unit::Whole, "hurt.pain"),
            "how much it hurt, 0 to 10; left out, it counts as too much",
            "2",
        ),
        key(
            "times",
            number(Unit::Whole, "hurt.times"),
            "how often it hurt so on that day; once when left out",
            "2",
        ),
        key("settled", Shape::Flag, "true when it was back to its level by the next morning", "true"),
        key(
            "spreads",
            Shape::Flag,
            "true for pain that went further down the leg, or that shot or tingled",
            "true",
        ),
    ]
}
