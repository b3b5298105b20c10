//! The one table of keys: parser, schema, template and documentation are all read from it.

use std::sync::OnceLock;

use anatomy::{JointMotion, MuscleGroup};
use movement::{AnatomicalDirection, Bearing};

use super::bounds::bounds;
use super::shape::{Key, Kind, Shape, Unit};
use super::words::{self, names};
use crate::RedFlag;

/// The name every case file opens with.
pub const FORMAT: &str = "footrose-case";

/// The version of the format that this program reads.
pub const VERSION: u8 = 1;

/// Every key of the format, from the top.
pub(super) fn format() -> &'static [Key] {
    static KEYS: OnceLock<Vec<Key>> = OnceLock::new();
    KEYS.get_or_init(top)
}

fn key(name: &'static str, shape: Shape, about: &'static str, example: &'static str) -> Key {
    Key { name, shape, essential: false, about, example }
}

fn essential(key: Key) -> Key {
    Key { essential: true, ..key }
}

fn section(name: &'static str, about: &'static str, keys: Vec<Key>) -> Key {
    key(name, Shape::Table(keys), about, "")
}

fn list_of(name: &'static str, about: &'static str, entry: Shape) -> Key {
    key(name, Shape::List(Box::new(entry)), about, "")
}

fn found(shape: Shape) -> Shape {
    Shape::Finding(Box::new(shape))
}

fn number(unit: Unit, path: &str) -> Shape {
    Shape::Number(unit, bounds(unit, path))
}

/// One value for the left and one for the right.
fn sides(name: &'static str, about: &'static str, example: &'static str, shape: impl Fn() -> Shape) -> Key {
    let side = |side| key(side, shape(), about, example);
    section(name, about, vec![side("left"), side("right")])
}

fn motions() -> Shape {
    Shape::Word(JointMotion::all().map(JointMotion::key).collect())
}

fn top() -> Vec<Key> {
    vec![
        essential(key(
            "format",
            Shape::Word(vec![FORMAT.to_owned()]),
            "says that this is a case file",
            "\"footrose-case\"",
        )),
        essential(key("version", number(Unit::Whole, "version"), "version of the format", "1")),
        key("invented", Shape::Flag, "true for an invented person; left out, the person is real", "true"),
        key(
            "planned_for",
            Shape::Date,
            "day an invented case is planned for; a real one is planned for today",
            "2026-02-05",
        ),
        essential(section(
            "visit",
            "the visit",
            vec![essential(key(
                "date",
                Shape::Date,
                "date of every finding that names no other",
                "2026-02-03",
            ))],
        )),
        essential(person()),
        list_of("conditions", "what is wrong, or what was operated on; one entry each", conditions()),
        findings(),
        sides("weight_bearing", "how much weight this leg may carry, and how we know", "", || {
            found(Shape::Table(weight_bearing()))
        }),
        list_of("orders", "what the surgeon or treating team ordered for this person", orders()),
        list_of("strength", "measured joint strength", Shape::Table(strength())),
        list_of("hurt", "directions that hurt", Shape::Table(hurt())),
        home(),
        goals(),
        section(
            "clinic",
            "lines of the sheet that only the clinic knows; left blank when unknown",
            vec![
                key("name", Shape::Text, "name of the clinic", "\"Harbour Lane Clinic\""),
                key("phone", Shape::Text, "telephone of the clinic", "\"000 100\""),
                key("surgical_team_phone", Shape::Text, "telephone of the surgical team", "\"000 200\""),
                key("emergency_number", Shape::Text, "local emergency number", "\"000\""),
                key("therapist", Shape::Text, "who signs the sheet", "\"the therapist's name\""),
            ],
        ),
    ]
}

fn person() -> Key {
    section(
        "person",
        "who the person is",
        vec![
            essential(key("name", Shape::Text, "what the sheet calls the person", "\"Anselm\"")),
            key(
                "about",
                Shape::Text,
                "work, sport or setting in a few words",
                "\"retired lighthouse mechanic\"",
            ),
            essential(key("age", number(Unit::Whole, "person.age"), "whole years", "71")),
            essential(key(
                "sex",
                Shape::Word(names(words::SEX)),
                "which of the two published body tables is used",
                "\"male\"",
            )),
            essential(key(
                "stature",
                number(Unit::Length, "person.stature"),
                "standing height without shoes",
                "\"176 cm\"",
            )),
            essential(key("mass", number(Unit::Mass, "person.mass"), "body mass", "\"82 kg\"")),
            sides(
                "leg_length",
                "measured from the anterior superior iliac spine to the medial malleolus",
                "\"93 cm\"",
                || number(Unit::Length, "person.leg_length"),
            ),
            key("poor_sight", Shape::Flag, "true makes the type of the sheet larger", "false"),
            key("interpreter", Shape::Text, "language that needs an interpreter", "\"Portuguese\""),
        ],
    )
}

fn operation() -> Vec<Key> {
    vec![
        key(
            "operated_on",
            found(Shape::Date),
            "day of the operation; the later one when both sides were done",
            "2026-01-06",
        ),
        key(
            "confirmed",
            Shape::List(Box::new(Shape::Table(vec![
                essential(key(
                    "phase",
                    number(Unit::Whole, "conditions.confirmed.phase"),
                    "phase that may begin",
                    "2",
                )),
                essential(key("by", Shape::Text, "who confirmed it", "\"M. Tarn, physiotherapist\"")),
                essential(key("on", Shape::Date, "the day it was confirmed", "2026-01-22")),
            ]))),
            "phases a clinician confirmed; time alone never opens one",
            "[{ phase = 2, by = \"M. Tarn, physiotherapist\", on = 2026-01-22 }]",
        ),
    ]
}

fn conditions() -> Shape {
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
    Shape::Kinds(
        "kind",
        vec![
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
                vec![],
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
            kind(
                "other",
                "a condition without a preset: everything about it is the clinician's own word",
                vec![
                    essential(key(
                        "name",
                        Shape::Text,
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
                        Shape::Text,
                        "who set the ceiling; needed when there is one",
                        "\"M. Tarn, physiotherapist\"",
                    ),
                ],
                vec![],
            ),
        ],
    )
}

fn findings() -> Key {
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
        ],
    )
}

fn weight_bearing() -> Vec<Key> {
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
        essential(key("by", Shape::Text, "who ordered it", "\"Dr Quill, surgeon\"")),
        key("on", Shape::Date, "the day this was found; the visit when left out", "2026-02-03"),
        key("until", Shape::Date, "last day, if one was given", "2026-03-03"),
    ]
}

fn orders() -> Shape {
    let kind = |name, about, own: Vec<Key>| {
        let common = vec![
            key(
                "side",
                Shape::Word(names(words::LEG_OR_BOTH)),
                "the leg it is about; both when left out",
                "\"right\"",
            ),
            essential(key("by", Shape::Text, "who ordered it", "\"Dr Quill, surgeon\"")),
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
                vec![essential(key("level", number(Unit::Whole, "orders.level"), "the rung, 0 to 6", "4"))],
            ),
        ],
    )
}

fn strength() -> Vec<Key> {
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

fn hurt() -> Vec<Key> {
    vec![
        essential(key("leg", Shape::Word(names(words::LEG)), "the leg that moved", "\"right\"")),
        essential(key(
            "direction",
            Shape::Bearing,
            "where it went, seen from above, in floor words",
            "\"back-left\"",
        )),
        essential(key("distance", number(Unit::Length, "hurt.distance"), "how far out it hurt", "\"45 cm\"")),
        key("on", Shape::Date, "the day; the visit when left out", "2026-02-02"),
    ]
}

fn home() -> Key {
    let clear = Bearing::ALL.map(|bearing| {
        key(
            bearing.plain_words(),
            found(number(Unit::Length, "home.clear_floor")),
            "clear floor from the centre to the nearest thing",
            "\"130 cm\"",
        )
    });
    section(
        "home",
        "the place where the person will practise",
        vec![
            section("clear_floor", "clear floor in each direction, seen from above", clear.into()),
            section(
                "equipment",
                "what is at hand",
                vec![
                    key(
                        "hand_weights",
                        Shape::List(Box::new(number(Unit::Mass, "home.equipment.hand_weights"))),
                        "mass of one of each pair",
                        "[\"2 kg\"]",
                    ),
                    key(
                        "supports",
                        Shape::List(Box::new(Shape::Word(names(words::SUPPORT)))),
                        "what can be held",
                        "[\"bench\", \"chair_back\"]",
                    ),
                ],
            ),
            key("helper", found(Shape::Flag), "somebody can help", "true"),
        ],
    )
}

fn goals() -> Key {
    let group = Shape::Word(MuscleGroup::ALL.map(MuscleGroup::key).to_vec());
    let direction = Shape::Word(AnatomicalDirection::ALL.map(|d| d.name().to_owned()).to_vec());
    let kind = |name, about, own: Vec<Key>| {
        let weight = key(
            "weight",
            number(Unit::Decimal, "goals.work_on.weight"),
            "how much it counts beside the others; 1 when left out",
            "1",
        );
        Kind { name, about, keys: own.into_iter().chain([weight]).collect() }
    };
    let work_on = Shape::Kinds(
        "kind",
        vec![
            kind(
                "strength",
                "strength of a muscle group, both legs",
                vec![essential(key("group", group, "which group", "\"hip_abductors\""))],
            ),
            kind(
                "range",
                "range of a joint",
                vec![essential(key("motion", motions(), "which motion", "\"ankle_dorsiflexion\""))],
            ),
            kind(
                "control",
                "control of position going out in a direction",
                vec![essential(key(
                    "direction",
                    direction,
                    "which direction, named from the limb that moves",
                    "\"lateral\"",
                ))],
            ),
            kind("balance", "balance on one leg and when weight moves", vec![]),
        ],
    );
    section(
        "goals",
        "what the person wants back and what the therapist works on",
        vec![
            key(
                "activities",
                Shape::List(Box::new(Shape::Text)),
                "in the person's own words",
                "[\"walk to the harbour and back\"]",
            ),
            key(
                "minutes",
                number(Unit::Decimal, "goals.minutes"),
                "minutes for all exercises together; 5 when left out",
                "5",
            ),
            key("per_day", number(Unit::Whole, "goals.per_day"), "times a day; 1 when left out", "2"),
            key(
                "exercises",
                number(Unit::Whole, "goals.exercises"),
                "exercises at most; 3 when left out",
                "3",
            ),
            list_of("work_on", "what to work on; one entry each", work_on),
        ],
    )
}
