//! What is said about each kind of bad case file, word for word.
//!
//! Each entry of a list is one change to a good file; the snapshot shows the change and the answer.

use std::fmt::Write;

use person::case_file;

/// A snapshot without the expression that made it, which stands in the snapshot anyway.
macro_rules! snapshot {
    ($($what:expr),+) => {
        insta::with_settings!({ omit_expression => true }, { insta::assert_snapshot!($($what),+) })
    };
}

/// A good, short case. Everything below is one change away from it.
const GOOD: &str = r#"format = "footrose-case"
version = 1
invented = true
planned_for = 2026-02-05

[visit]
date = 2026-02-03

[person]
name = "Anselm"
age = 71
sex = "male"
stature = "176 cm"
mass = "82 kg"
leg_length = { left = "93 cm", right = "92 cm" }

[[conditions]]
kind = "hip_replacement"
side = "right"
approach = "posterior"
operated_on = 2026-01-06
confirmed = [{ phase = 2, by = "Tarn", on = 2026-01-22 }]

[findings]
red_flags = []
pain_at_rest = 1
stands_and_shifts = { value = true, on = 2026-02-01 }
knee_flexion = { left = "120 deg", right = "not assessed" }
tandem_stance = "8 s"

[weight_bearing.right]
grade = "as_tolerated"
known = "letter_seen"
by = "Dr Quill"

[[orders]]
limit = "joint_angle"
motion = "hip_flexion"
at_most = "70 deg"
side = "right"
by = "Dr Quill"
known = "letter_seen"
from = 2026-01-06

[[strength]]
motion = "knee_extension"
side = "left"
moment = "95 Nm"

[[hurt]]
leg = "right"
direction = "back-left"
distance = "45 cm"

[home]
clear_floor = { forward = "130 cm", back-left = "70 cm" }
equipment = { hand_weights = ["2 kg"], supports = ["bench"] }

[goals]
minutes = 5
work_on = [{ kind = "strength", group = "hip_abductors" }]
"#;

/// The answer to a file in which `from` was replaced by `to`.
fn answer(from: &str, to: &str) -> String {
    assert!(GOOD.contains(from), "the good case has no `{from}`");
    match case_file::read("case.toml", &GOOD.replacen(from, to, 1)) {
        Ok(_) => "accepted".to_owned(),
        Err(errors) => errors.to_string(),
    }
}

fn answers(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(String::new(), |mut out, (from, to)| {
        let from = if from.is_empty() { "(nothing)" } else { from };
        let _ = writeln!(out, "--- {from}\n+++ {to}\n{}\n", answer(from, to));
        out
    })
}

#[test]
fn the_good_case_is_good() {
    case_file::read("case.toml", GOOD).unwrap_or_else(|errors| panic!("{errors}"));
}

#[test]
fn a_quantity_needs_its_unit_and_the_right_one() {
    snapshot!(answers(&[
        ("\"176 cm\"", "176"),
        ("\"176 cm\"", "1.76"),
        ("\"176 cm\"", "\"176\""),
        ("\"176 cm\"", "\"176 kg\""),
        ("\"176 cm\"", "\"5 ft 9\""),
        ("\"176 cm\"", "\"tall\""),
        ("\"176 cm\"", "\"1,76 m\""),
        ("\"176 cm\"", "\"-176 cm\""),
        ("\"176 cm\"", "true"),
        ("\"82 kg\"", "\"13 st\""),
        ("\"120 deg\"", "120"),
        ("\"120 deg\"", "\"2.1 rad\""),
        ("\"8 s\"", "8"),
        ("\"95 Nm\"", "\"95 kg\""),
        ("\"45 cm\"", "45"),
        ("[\"2 kg\"]", "[2]"),
        ("minutes = 5", "minutes = \"5 min\""),
    ]));
}

#[test]
fn an_impossible_value_is_refused() {
    snapshot!(answers(&[
        ("\"176 cm\"", "\"400 cm\""),
        ("\"176 cm\"", "400"),
        ("\"82 kg\"", "\"8.2 kg\""),
        ("age = 71", "age = 7"),
        ("age = 71", "age = 71.5"),
        ("age = 71", "age = \"71\""),
        ("left = \"93 cm\"", "left = \"60 cm\""),
        ("left = \"93 cm\", right = \"92 cm\"", "left = \"120 cm\", right = \"60 cm\""),
        ("pain_at_rest = 1", "pain_at_rest = 12"),
        ("pain_at_rest = 1", "pain_at_rest = -1"),
        ("pain_at_rest = 1", "pain_at_rest = nan"),
        ("pain_at_rest = 1", "pain_at_rest = \"mild\""),
        ("\"120 deg\"", "\"190 deg\""),
        ("phase = 2", "phase = 7"),
        ("minutes = 5", "minutes = 90"),
        ("minutes = 5", "exercises = 4"),
        ("\"130 cm\"", "\"13000 cm\""),
        ("name = \"Anselm\"", "name = \"\""),
        ("name = \"Anselm\"", "name = \"one\\ntwo\""),
        (
            "name = \"Anselm\"",
            "name = \"a name that goes on and on, longer than any line of the sheet could ever hold it\"",
        ),
    ]));
}

#[test]
fn a_date_is_a_day_that_can_be() {
    snapshot!(answers(&[
        ("on = 2026-02-01", "on = 2026-02-04"),
        ("operated_on = 2026-01-06", "operated_on = 2026-02-04"),
        ("operated_on = 2026-01-06", "operated_on = 2026-01-30"),
        ("operated_on = 2026-01-06", "operated_on = \"06.01.2026\""),
        ("operated_on = 2026-01-06", "operated_on = \"2026-02-30\""),
        ("operated_on = 2026-01-06", "operated_on = 2026-01-06T10:00:00"),
        ("operated_on = 2026-01-06", "operated_on = 4"),
        ("planned_for = 2026-02-05", "planned_for = 2026-02-02"),
        ("invented = true", "invented = false"),
        ("from = 2026-01-06", "from = 2026-01-06\nuntil = 2026-01-05"),
        ("by = \"Dr Quill\"", "by = \"Dr Quill\"\nuntil = 2026-02-02"),
        ("distance = \"45 cm\"", "distance = \"45 cm\"\non = 2026-02-04"),
    ]));
}

#[test]
fn what_is_essential_must_be_there_and_a_finding_need_not() {
    snapshot!(answers(&[
        ("sex = \"male\"\n", ""),
        ("age = 71\n", ""),
        ("stature = \"176 cm\"\n", ""),
        ("mass = \"82 kg\"\n", ""),
        ("format = \"footrose-case\"\n", ""),
        ("version = 1\n", ""),
        ("[visit]\ndate = 2026-02-03\n", ""),
        ("kind = \"hip_replacement\"\n", ""),
        ("side = \"right\"\napproach", "approach"),
        ("grade = \"as_tolerated\"\n", ""),
        ("value = true, ", ""),
        ("pain_at_rest = 1\n", ""),
        ("pain_at_rest = 1", "pain_at_rest = \"not assessed\""),
        ("approach = \"posterior\"\n", ""),
        ("operated_on = 2026-01-06\n", ""),
    ]));
    let nothing = case_file::read("empty.toml", "").expect_err("an empty file is no case");
    snapshot!("empty_file", nothing.to_string());
}

#[test]
fn an_unknown_key_or_word_is_answered_with_the_nearest() {
    snapshot!(answers(&[
        ("stature =", "statrue ="),
        ("stature =", "height ="),
        ("mass =", "weight ="),
        ("distance = \"45 cm\"", "distance = \"45 cm\"\nfamily = \"hop\""),
        ("distance = \"45 cm\"", "distance = \"45 cm\"\nmovement = \"step\""),
        ("[weight_bearing.right]", "[weightbearing.right]"),
        ("right = \"not assessed\"", "rigth = \"not assessed\""),
        ("pain_at_rest = 1", "pain_at_reast = 1"),
        ("name = \"Anselm\"", "name = \"Anselm\"\npain_at_rest = 1"),
        ("pain_at_rest = 1", "approach = \"posterior\""),
        ("pain_at_rest = 1", "shoe_colour = \"red\""),
        ("value = true, on", "value = true, date"),
        ("sex = \"male\"", "sex = \"man\""),
        ("sex = \"male\"", "sex = \"unknown\""),
        ("kind = \"hip_replacement\"", "kind = \"hip_replacment\""),
        ("kind = \"hip_replacement\"", "kind = \"acl\""),
        ("approach = \"posterior\"", "approach = \"posterolateral\""),
        ("motion = \"hip_flexion\"", "motion = \"hip flexion\""),
        ("\"back-left\"", "\"posteromedial\""),
        ("\"back-left\"", "100"),
        ("forward = \"130 cm\"", "forwards = \"130 cm\""),
        ("\"bench\"", "\"table\""),
        ("red_flags = []", "red_flags = [\"dvt\"]"),
    ]));
}

#[test]
fn a_value_of_another_shape_is_answered_with_the_shape() {
    snapshot!(answers(&[
        ("red_flags = []", "red_flags = false"),
        ("red_flags = []", "red_flags = \"none\""),
        ("knee_flexion = { left = \"120 deg\", right = \"not assessed\" }", "knee_flexion = \"120 deg\""),
        ("stands_and_shifts = { value = true, on = 2026-02-01 }", "stands_and_shifts = \"yes\""),
        ("stands_and_shifts = { value = true, on = 2026-02-01 }", "stands_and_shifts = [true]"),
        ("[weight_bearing.right]", "[[weight_bearing.right]]"),
        ("[[orders]]", "[orders]"),
        ("name = \"Anselm\"", "name = { first = \"Anselm\" }"),
        ("supports = [\"bench\"]", "supports = \"bench\""),
    ]));
}

#[test]
fn what_contradicts_itself_is_refused() {
    snapshot!(answers(&[
        ("[[conditions]]", "[[conditions]]\nkind = \"hip_replacement\"\nside = \"both\"\n[[conditions]]"),
        (
            "[[conditions]]",
            "[[conditions]]\nkind = \"knee_osteoarthritis\"\nside = \"left\"\n[[conditions]]\nkind = \"knee_replacement\"\nside = \"left\"\n[[conditions]]",
        ),
        ("on = 2026-01-22 }", "on = 2026-01-22 }, { phase = 2, by = \"Quill\", on = 2026-01-23 }"),
        ("grade = \"as_tolerated\"", "grade = \"as_tolerated\"\nshare = \"50 %\""),
        (
            "[[orders]]",
            "[[orders]]\nlimit = \"joint_angle\"\nmotion = \"hip_flexion\"\nat_most = \"90 deg\"\nby = \"Dr Quill\"\nknown = \"letter_seen\"\nfrom = 2026-01-06\n[[orders]]",
        ),
        (
            "[[strength]]",
            "[[strength]]\nmotion = \"knee_extension\"\nside = \"left\"\nmoment = \"90 Nm\"\n[[strength]]"
        ),
        ("[[hurt]]", "[[hurt]]\nleg = \"right\"\ndirection = 225\ndistance = \"450 mm\"\n[[hurt]]"),
        ("supports = [\"bench\"]", "supports = [\"bench\", \"bench\"]"),
        (
            "[[conditions]]",
            "[[conditions]]\nkind = \"other\"\nname = \"sore back\"\nside = \"general\"\nceiling = 3\n[[conditions]]",
        ),
    ]));
}

#[test]
fn what_came_home_is_one_movement_each_or_refused() {
    // Each entry stands before the section of the home.
    let entry = |keys: &str| {
        let keys = keys.replace("; ", "\n");
        ("[home]", format!("[[last_programme.tolerated]]\n{keys}\n\n[home]"))
    };
    let right_step = "family = \"step\"; leg = \"right\"; distance = \"40 cm\"";
    let changes = [
        entry(&format!("{right_step}; direction = \"left\"")),
        entry(&format!("{right_step}; direction = \"right\"; crossing = \"behind\"")),
        entry(&format!("{right_step}; direction = \"forward-left\"; crossing = \"behind\"")),
        entry(&format!("{right_step}; direction = \"lateral\"")),
        entry(&format!("{right_step}; direction = \"right\"; depth = \"10 cm\"")),
        entry(&format!(
            "{right_step}; direction = \"right\"; hands = \"both_hands\"; hand_weight = \"2 kg\""
        )),
        entry("family = \"lunge\"; leg = \"right\"; direction = \"right\"; distance = \"60 cm\""),
        entry("family = \"hop\"; leg = \"right\"; direction = \"right\"; distance = \"30 cm\""),
        entry("family = \"two_foot_jump\"; leg = \"right\"; direction = \"forward\"; distance = \"30 cm\""),
        entry(&format!(
            "{right_step}; direction = \"right\"\n[[last_programme.tolerated]]; {right_step}; direction = 90"
        )),
        ("[home]", "[last_programme]\nlast_jumps = 2026-02-04\n\n[home]".to_owned()),
        ("[home]", "[last_programme]\njumps = 2026-02-02\n\n[home]".to_owned()),
    ];
    let changes: Vec<(&str, &str)> = changes.iter().map(|(from, to)| (*from, to.as_str())).collect();
    snapshot!(answers(&changes));
}

#[test]
fn text_that_is_not_toml_is_answered_with_its_line_and_the_rest_is_still_checked() {
    snapshot!(answers(&[
        ("stature = \"176 cm\"", "stature = 176 cm"),
        ("sex = \"male\"", "sex = male"),
        ("invented = true", "invented = yes"),
        ("pain_at_rest = 1", "pain_at_rest ="),
        ("pain_at_rest = 1", "pain_at_rest 1"),
        ("pain_at_rest = 1", "pain_at_rest = 1\npain_at_rest = 2"),
        ("name = \"Anselm\"", "name = \"Anselm"),
        ("[visit]", "[visit"),
        ("[findings]", "[person]"),
        ("operated_on = 2026-01-06", "operated_on = 2026-02-30"),
        ("stature = \"176 cm\"\nmass = \"82 kg\"", "stature = 176 cm\nmass = 82 kg\nheight = 3"),
    ]));
}

#[test]
fn another_version_is_named_and_not_looked_into() {
    snapshot!(answers(&[
        ("version = 1", "version = 2\nnew_key = 1"),
        ("version = 1", "version = \"1\""),
        ("format = \"footrose-case\"", "format = \"other\""),
    ]));
}
