//! The keys of orders and weight-bearing orders.

use super::{Key, Kind, LINE, Shape, Unit, essential, key, motions, number};
use crate::case_file::words::{self, names};

pub(super) fn weight_bearing() -> Vec<Key> {
    vec![
        essential(key(
            "grade",
            Shape::Word(names(words::GRADE)),
            "grade of the order",
            "\"partial_weight_bearing\"",
        )),
        key(
            "share",
            number(Unit::Share, "weight_bearing.share"),
            "ordered share of body weight; only for partial_weight_bearing",
            "\"50 %\"",
        ),
        essential(key(
            "known",
            Shape::Word(names(words::KNOWN)),
            "how we know; what the patient says can only tighten",
            "\"letter_seen\"",
        )),
        essential(key("by", Shape::Text(LINE), "who ordered it", "\"Dr Quill, surgeon\"")),
        key("on", Shape::Date, "the day this was found; the visit when left out", "2026-02-03"),
        key("until", Shape::Date, "last day, if one was given", "2026-03-03"),
    ]
}

pub(super) fn orders() -> Shape {
    let kind = |name, about, own: Vec<Key>| {
        let common = vec![
            key(
                "side",
                Shape::Word(names(words::LEG_OR_BOTH)),
                "the leg it is about; both when left out",
                "\"right\"",
            ),
            essential(key("by", Shape::Text(LINE), "who ordered it", "\"Dr Quill, surgeon\"")),
            essential(key(
                "known",
                Shape::Word(names(words::KNOWN)),
                "how we know; what the patient says can only tighten",
                "\"letter_seen\"",
            )),
            essential(key("from", Shape::Date, "first day", "2026-01-06")),
            key(
                "until",
                Shape::Date,
                "last day, if one was given; without one it holds until withdrawn",
                "2026-03-03",
            ),
        ];
        Kind { name, about, keys: own.into_iter().chain(common).collect() }
    };
    Shape::Kinds(
        "limit",
        vec![
            kind(
                "joint_angle",
                "a joint may go this far and no further",
                vec![
                    essential(key("motion", motions(), "the motion that is limited", "\"hip_flexion\"")),
                    essential(key(
                        "at_most",
                        number(Unit::Angle, "orders.at_most"),
                        "how far, in the direction of the motion",
                        "\"70 deg\"",
                    )),
                ],
            ),
            kind(
                "no_precautions",
                "the usual hip precautions need not be kept; the danger pose is still avoided",
                vec![],
            ),
            kind("no_pivot", "the foot must not turn while the leg stands", vec![]),
            kind(
                "level_at_most",
                "no movement above this rung of the ladder",
                vec![essential(key("level", number(Unit::Whole, "orders.level"), "the rung, 0 to 9", "4"))],
            ),
            kind(
                "distance_at_most",
                "this leg may go out this far and no further",
                vec![essential(key(
                    "distance",
                    number(Unit::Length, "hurt.distance"),
                    "how far from the centre",
                    "\"40 cm\"",
                ))],
            ),
            kind(
                "load_at_most",
                "no more than this may be carried",
                vec![essential(key(
                    "mass",
                    number(Unit::Mass, "orders.mass"),
                    "all of it together",
                    "\"5 kg\"",
                ))],
            ),
            kind(
                "impact_at_most",
                "a landing may press with so many body weights at most",
                vec![essential(key(
                    "body_weights",
                    number(Unit::Decimal, "orders.body_weights"),
                    "peak of the landing force",
                    "3",
                ))],
            ),
            kind(
                "may_open_level",
                "a rung that the presentation keeps shut for good may open once its criteria are met",
                vec![essential(key("level", number(Unit::Whole, "orders.level"), "the rung, 0 to 9", "7"))],
            ),
            kind(
                "pain_up_to",
                "pain up to this number is accepted in an exercise when it has settled by the next morning; where it names one leg it accepts nothing, because a log does not tell which leg hurt",
                vec![essential(key("pain", number(Unit::Whole, "orders.pain"), "0 to 10", "3"))],
            ),
        ],
    )
}
