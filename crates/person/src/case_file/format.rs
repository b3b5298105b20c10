//! The one table of keys: parser, schema, template and documentation are all read from it.

mod conditions;
mod findings;
mod last_programme;
mod orders;

use std::sync::OnceLock;

use anatomy::{JointMotion, MuscleGroup};
use movement::{AnatomicalDirection, Bearing, GoalTask};

use super::bounds::bounds;
use super::limits::{LINE, SENTENCE};
use super::shape::{Key, Kind, Shape, Unit};
use super::words::{self, names};

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
        list_of(
            "conditions",
            "what is wrong, or what was operated on; one entry each",
            conditions::conditions(),
        ),
        findings::findings(),
        sides("weight_bearing", "how much weight this leg may carry, and how we know", "", || {
            found(Shape::Table(orders::weight_bearing()))
        }),
        list_of("orders", "what the surgeon or treating team ordered for this person", orders::orders()),
        list_of("strength", "measured joint strength", Shape::Table(findings::strength())),
        list_of("hurt", "directions that hurt", Shape::Table(findings::hurt())),
        last_programme::last_programme(),
        home(),
        goals(),
        section(
            "clinic",
            "lines of the sheet that only the clinic knows; left blank when unknown",
            vec![
                key("name", Shape::Text(LINE), "name of the clinic", "\"Harbour Lane Clinic\""),
                key("phone", Shape::Text(LINE), "telephone of the clinic", "\"000 100\""),
                key(
                    "surgical_team_phone",
                    Shape::Text(LINE),
                    "telephone of the surgical team",
                    "\"000 200\"",
                ),
                key("emergency_number", Shape::Text(LINE), "local emergency number", "\"000\""),
                key("therapist", Shape::Text(LINE), "who signs the sheet", "\"the therapist's name\""),
            ],
        ),
    ]
}

fn person() -> Key {
    section(
        "person",
        "who the person is",
        vec![
            essential(key("name", Shape::Text(LINE), "what the sheet calls the person", "\"Anselm\"")),
            key(
                "about",
                Shape::Text(LINE),
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
            key(
                "poor_sight",
                Shape::Flag,
                "true makes the type of the sheet larger; the older word for `sight = \"large_type\"`",
                "false",
            ),
            key(
                "sight",
                Shape::Word(names(words::SIGHT)),
                "type the person can read; `large_type` and `no_type` get the sheet in 24 points",
                "\"usual_type\"",
            ),
            key(
                "hearing",
                Shape::Word(names(words::HEARING)),
                "how the person hears; with `hard` and `none` no pace relies on a sound",
                "\"usual\"",
            ),
            key("interpreter", Shape::Text(LINE), "language that needs an interpreter", "\"Portuguese\""),
        ],
    )
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
            key(
                "footwear",
                Shape::Word(names(words::FOOTWEAR)),
                "what is on the feet while practising; the sheet says what to wear",
                "\"closed_shoes\"",
            ),
        ],
    )
}

fn goals() -> Key {
    let group = Shape::Word(MuscleGroup::ALL.map(MuscleGroup::key).to_vec());
    let direction = Shape::Word(AnatomicalDirection::ALL.map(|d| d.name().to_owned()).to_vec());
    let task = Shape::Word(GoalTask::ALL.map(|task| task.key().to_owned()).to_vec());
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
            kind(
                "task",
                "a task of the person's own sport, work or day, to both sides",
                vec![essential(key("task", task, "which task", "\"up_stair\""))],
            ),
        ],
    );
    section(
        "goals",
        "what the person wants back and what the therapist works on",
        vec![
            key(
                "activities",
                Shape::List(Box::new(Shape::Text(SENTENCE))),
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
