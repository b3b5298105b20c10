//! The keys of conditions and operations.

use super::{Key, Kind, LINE, SENTENCE, Shape, Unit, essential, found, key, number};
use crate::Presentation;
use crate::case_file::words::{self, names};

fn operation() -> Vec<Key> {
    vec![
        key(
            "operated_on",
            found(Shape::Date),
            "day of the operation; the later one when both sides were done",
            "2026-01-06",
        ),
        confirmed(),
    ]
}

fn confirmed() -> Key {
    key(
        "confirmed",
        Shape::List(Box::new(Shape::Table(vec![
            essential(key(
                "phase",
                number(Unit::Whole, "conditions.confirmed.phase"),
                "phase that may begin",
                "2",
            )),
            essential(key("by", Shape::Text(LINE), "who confirmed it", "\"M. Tarn, physiotherapist\"")),
            essential(key("on", Shape::Date, "the day it was confirmed", "2026-01-22")),
        ]))),
        "phases a clinician confirmed; time alone never opens one",
        "[{ phase = 2, by = \"M. Tarn, physiotherapist\", on = 2026-01-22 }]",
    )
}

/// A presentation whose rules stand in a table of its own.
fn presented(presentation: Presentation, leg: Key) -> Kind {
    let mut keys = Vec::new();
    if presentation.has_side() {
        keys.push(leg);
    }
    let patterns = presentation.patterns();
    if let Some(first) = patterns.first() {
        keys.push(key(
            "pattern",
            found(Shape::Word(patterns.iter().map(|one| one.key().to_owned()).collect())),
            "which form; unknown keeps the rules of all",
            words::quoted(first.key()),
        ));
    }
    let clock = presentation.clock();
    if let Some(name) = clock.key() {
        keys.push(key(name, found(Shape::Date), clock.words(), "2026-01-06"));
    }
    keys.push(confirmed());
    Kind { name: presentation.key(), about: presentation.words(), keys }
}

pub(super) fn conditions() -> Shape {
    let leg = || {
        essential(key(
            "side",
            Shape::Word(names(words::LEG_OR_BOTH)),
            "the person's own left or right",
            "\"right\"",
        ))
    };
    let kind = |name, about, first: Vec<Key>, rest: Vec<Key>| Kind {
        name,
        about,
        keys: first.into_iter().chain(rest).collect(),
    };
    let other = other();
    let before = vec![
        kind(
            "hip_replacement",
            "total hip replacement",
            vec![
                leg(),
                key(
                    "approach",
                    found(Shape::Word(names(words::APPROACH))),
                    "how the hip was opened; unknown keeps the rules of all",
                    "\"posterior\"",
                ),
            ],
            operation(),
        ),
        kind(
            "knee_replacement",
            "total knee replacement",
            vec![
                leg(),
                key(
                    "surgery",
                    Shape::Word(names(words::KNEE_SURGERY)),
                    "what was done; total when left out",
                    "\"total_replacement\"",
                ),
            ],
            operation(),
        ),
        kind(
            "knee_osteoarthritis",
            "knee osteoarthritis",
            vec![
                Key { example: "\"left\"", ..leg() },
                key(
                    "medial_or_varus_thrust",
                    found(Shape::Flag),
                    "medial compartment disease, or the knee thrusts outward in walking",
                    "false",
                ),
            ],
            vec![confirmed()],
        ),
        kind(
            "falls_risk",
            "an older adult at risk of falling",
            vec![
                key("someone_at_home", found(Shape::Flag), "somebody else is at home", "true"),
                key("programme_began", found(Shape::Date), "first day of the programme", "2026-01-27"),
                key(
                    "alone_waived",
                    found(Shape::Flag),
                    "a clinician waived the rule that somebody must be there",
                    "false",
                ),
            ],
            vec![],
        ),
    ];
    let tables = Presentation::ALL.into_iter().map(|one| presented(one, leg()));
    Shape::Kinds("kind", before.into_iter().chain(tables).chain([other]).collect())
}

fn other() -> Kind {
    Kind {
        name: "other",
        about: "a condition without a preset: everything about it is the clinician's own word",
        keys: vec![
            essential(key(
                "name",
                Shape::Text(SENTENCE),
                "the condition in the clinician's words",
                "\"ankle sprain\"",
            )),
            essential(key(
                "side",
                Shape::Word(names(words::ANY_SIDE)),
                "`general` when it has no side",
                "\"left\"",
            )),
            key(
                "ceiling",
                found(number(Unit::Whole, "conditions.ceiling")),
                "highest rung of the movement ladder the clinician allows",
                "4",
            ),
            key(
                "ceiling_by",
                Shape::Text(LINE),
                "who set the ceiling; needed when there is one",
                "\"M. Tarn, physiotherapist\"",
            ),
        ],
    }
}
