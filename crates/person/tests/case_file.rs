//! Case files: what is accepted and what is said about what is not.

use anatomy::{PerSide, Side};
use jiff::civil::date;
use movement::Bearing;
use person::{CaseFile, Finding, OrderedLimit, RedFlag, case_file};

#[test]
fn the_template_is_a_valid_case() {
    let text = case_file::template();
    let case = case_file::read("template.toml", &text).unwrap_or_else(|errors| panic!("{errors}\n{text}"));
    assert_eq!(case.person.body.stature().in_cm(), 176.0);
}

fn invented() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases");
    let mut cases: Vec<(String, String)> = std::fs::read_dir(folder)
        .expect("cases/ is there")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).expect("a case is text"))
        })
        .collect();
    cases.sort();
    cases
}

#[test]
fn thirteen_invented_people_read_without_a_problem() {
    let cases = invented();
    assert_eq!(cases.len(), 13);
    for (name, text) in cases {
        let case = case_file::read(&name, &text).unwrap_or_else(|errors| panic!("{errors}"));
        assert!(case.invented, "{name} must say that the person is invented");
        let story = text.lines().take_while(|line| line.starts_with("# ")).count();
        assert_eq!(story, 2, "{name} opens with its story in two lines");
    }
}

/// A short case: what is essential, and whatever is added.
fn short(more: &str) -> String {
    format!(
        "format = \"footrose-case\"\nversion = 1\nvisit = {{ date = 2026-02-03 }}\n\
         person = {{ name = \"A\", age = 71, sex = \"female\", stature = \"1.62 m\", mass = \"150 lb\" }}\n{more}"
    )
}

fn case(more: &str) -> CaseFile {
    case_file::read("short.toml", &short(more)).unwrap_or_else(|errors| panic!("{errors}"))
}

#[test]
fn a_case_with_nothing_but_the_essentials_is_a_case_in_which_nothing_was_assessed() {
    let case = case("");
    assert!(!case.invented);
    assert_eq!(case.findings.red_flags, Finding::NotAssessed);
    assert_eq!(case.findings.weight_bearing, PerSide::default());
    assert_eq!(case.home.clear(Bearing::ALL[0]), &Finding::NotAssessed);
    let wishes = case.wishes;
    // What the documentation says is taken when the file is silent.
    assert_eq!((wishes.minutes.in_min(), wishes.per_day, wishes.exercises), (5.0, 1, 3));
}

#[test]
fn a_left_out_finding_and_one_that_says_not_assessed_are_the_same() {
    let said = case(
        "weight_bearing = { left = \"not assessed\" }\n[findings]\nred_flags = \"not assessed\"\n\
         pain_at_rest = { value = \"not assessed\", on = 2026-01-01 }\nknee_flexion = { left = \"not assessed\" }\n",
    );
    assert_eq!(said.findings, case("").findings);
}

#[test]
fn a_plain_finding_has_the_day_of_the_visit_and_another_its_own() {
    let findings = case(
        "[findings]\npain_at_rest = 2\npain_in_movement = { value = 3, on = 2026-01-28 }\nred_flags = { value = [], on = 2026-02-01 }\n",
    )
    .findings;
    assert_eq!(findings.pain_at_rest, Finding::Found { value: 2, on: date(2026, 2, 3) });
    assert_eq!(findings.pain_in_movement, Finding::Found { value: 3, on: date(2026, 1, 28) });
    assert_eq!(findings.red_flags, Finding::Found { value: vec![], on: date(2026, 2, 1) });
}

#[test]
fn units_of_one_quantity_come_to_the_same() {
    let pounds = case("").person.body.mass().in_kg();
    // 150 international pounds of 0.453 592 37 kg.
    assert!((pounds - 68.038_855_5).abs() < 1e-9);
    let floor =
        case("home = { clear_floor = { right = \"0.9 m\", left = \"900 mm\", back = \"90 cm\" } }").home;
    assert!(floor.clear_floor.iter().all(
        |(_, found)| matches!(found, Finding::Found { value, .. } if (value.in_cm() - 90.0).abs() < 1e-9)
    ));
    assert_eq!(floor.clear_floor.len(), 3);
}

#[test]
fn a_direction_that_hurt_is_read_from_words_and_from_degrees() {
    let one = |direction: &str| {
        case(&format!("[[hurt]]\nleg = \"left\"\ndirection = {direction}\ndistance = \"40 cm\"\n"))
            .findings
            .hurt[0]
            .bearing
    };
    for (words, degrees) in [("forward", 0), ("back-right", 135), ("left", 270)] {
        assert_eq!(one(&format!("\"{words}\"")).degrees(), degrees);
        assert_eq!(one(&degrees.to_string()).degrees(), degrees);
        assert_eq!(one(&format!("\"{degrees} deg\"")).degrees(), degrees);
    }
}

#[test]
fn a_direction_that_hurt_may_say_in_which_movement_and_one_nobody_knows_is_refused_with_those_there_are() {
    use movement::Family;
    let text = |family: &str| {
        format!("[[hurt]]\nleg = \"left\"\ndirection = \"forward\"\ndistance = \"40 cm\"\n{family}")
    };
    let one = |family: &str| case(&text(family)).findings.hurt[0].family;
    assert_eq!(one(""), None, "nobody said");
    for (word, family) in [
        ("reach", Family::Reach),
        ("step", Family::Step),
        ("lunge", Family::Lunge),
        ("leap", Family::Leap),
        ("two_foot_jump", Family::TwoFootJump),
        ("single_leg_hop", Family::Hop),
        ("bend_and_reach", Family::BendAndReach),
    ] {
        assert_eq!(one(&format!("family = \"{word}\"\n")), Some(family));
    }
    // The same direction and day in two movements are two notes.
    let two = format!("{}{}", text("family = \"step\"\n"), text("family = \"bend_and_reach\"\n"));
    assert_eq!(case(&two).findings.hurt.len(), 2);
}

#[test]
fn what_came_home_arrives_with_its_way_and_holds_nothing_that_was_not_said() {
    use movement::{Crossing, Family, Load, Support};
    let came_home = case(
        "[last_programme]\nlast_jumps = 2026-02-01\n\
         [[last_programme.tolerated]]\nfamily = \"step\"\nleg = \"left\"\ndirection = \"back-right\"\ndistance = \"30 cm\"\n\
         [[last_programme.tolerated]]\nfamily = \"two_foot_jump\"\ndirection = \"forward\"\ndistance = \"0.4 m\"\n\
         [[last_programme.tolerated]]\nfamily = \"lunge\"\nleg = \"right\"\ndirection = 0\ndistance = \"60 cm\"\n\
         depth = \"12 cm\"\nhands = \"one_hand\"\nhand_weight = \"2 kg\"\n",
    )
    .last_programme;
    assert_eq!(came_home.last_jumps, Some(date(2026, 2, 1)));
    let [step, jump, lunge] = came_home.tolerated.as_slice() else { panic!("{came_home:?}") };
    // Back across the standing leg there is only one way: behind it.
    assert_eq!((step.family, step.mover, step.crossing), (Family::Step, Side::Left, Crossing::Behind));
    assert_eq!((step.support, step.load, step.depth), (Support::None, Load::None, None));
    assert_eq!((jump.family, jump.distance.in_cm().round()), (Family::TwoFootJump, 40.0));
    assert_eq!((lunge.support, lunge.load.total().in_kg()), (Support::OneHand, 4.0));
    assert!(lunge.depth.is_some_and(|depth| (depth.in_cm() - 12.0).abs() < 1e-9));
    assert_eq!(case("").last_programme, person::LastProgramme::default());
}

#[test]
fn an_order_for_both_legs_names_no_leg_and_one_for_a_leg_names_it() {
    let order = |side: &str| {
        case(&format!(
            "[[orders]]\nlimit = \"joint_angle\"\nmotion = \"hip_adduction\"\nat_most = \"-5 deg\"\n{side}by = \"Q\"\nknown = \"patient_says\"\nfrom = 2026-03-01\n"
        ))
        .findings
        .orders
        .remove(0)
    };
    assert_eq!(order("").side, None);
    assert_eq!(order("side = \"both\"\n").side, None);
    let left = order("side = \"left\"\n");
    assert_eq!(left.side, Some(Side::Left));
    let OrderedLimit::JointAngle { motion, at_most } = left.limit else { panic!("{left:?}") };
    assert_eq!((motion.key().as_str(), at_most.in_deg()), ("hip_adduction", -5.0));
    assert!(!left.known.may_loosen());
}

#[test]
fn every_word_for_a_red_flag_stands_for_that_red_flag() {
    for flag in RedFlag::ALL {
        let read = case(&format!("[findings]\nred_flags = [\"{}\"]\n", flag.key())).findings.red_flags;
        assert_eq!(read, Finding::Found { value: vec![flag], on: date(2026, 2, 3) });
    }
}

#[test]
fn what_was_found_on_one_side_is_not_known_of_the_other() {
    let findings = case("[findings]\nsingle_leg_stance = { left = \"0.5 min\" }\n").findings;
    assert_eq!(findings.single_leg_stance.left, Finding::Found { value: 30.0, on: date(2026, 2, 3) });
    assert_eq!(findings.single_leg_stance.right, Finding::NotAssessed);
}

#[test]
fn the_ages_of_the_invented_people_run_from_16_to_83_and_one_has_a_red_flag() {
    let cases: Vec<CaseFile> = invented()
        .iter()
        .map(|(name, text)| case_file::read(name, text).unwrap_or_else(|errors| panic!("{errors}")))
        .collect();
    let ages: Vec<u8> = cases.iter().map(|case| case.person.body.age()).collect();
    assert_eq!((ages.iter().min(), ages.iter().max()), (Some(&16), Some(&83)));
    let alerted = cases
        .iter()
        .filter(|case| matches!(&case.findings.red_flags, Finding::Found { value, .. } if !value.is_empty()));
    assert_eq!(alerted.count(), 1);
    assert_eq!(cases.iter().filter(|case| case.person.sight.is_poor()).count(), 1);
    assert_eq!(cases.iter().filter(|case| case.person.interpreter.is_some()).count(), 1);
    for case in &cases {
        assert_eq!(
            case.home.clear_floor.len(),
            8,
            "{}: clear floor in all eight directions",
            case.person.name
        );
        assert!(case.planned_for.is_some_and(|day| day >= case.visit), "{}", case.person.name);
    }
}

/// Keys that were added to version 1: a file without them is what it was, and the older word for sight stands.
#[test]
fn sight_hearing_footwear_and_consent_are_read_and_may_be_left_out() {
    use person::{Footwear, Hearing, Sight};
    let without = case("");
    assert_eq!((without.person.sight, without.person.hearing), (Sight::NotAssessed, Hearing::NotAssessed));
    assert_eq!((without.home.footwear, without.findings.consent), (None, Finding::NotAssessed));
    let with =
        case("[findings]\nconsent = { value = true, on = 2026-01-20 }\n[home]\nfootwear = \"socks\"\n");
    assert_eq!(with.home.footwear, Some(Footwear::Socks));
    assert_eq!(with.findings.consent, Finding::Found { value: true, on: date(2026, 1, 20) });
    let of_person = |lines: &str| {
        let senses = ["poor_sight = ", "sight = ", "hearing = "];
        let text = case_file::template()
            .lines()
            .filter(|line| !senses.iter().any(|key| line.starts_with(key)))
            .map(|line| format!("{line}\n"))
            .collect::<String>()
            .replacen("age = 71\n", &format!("age = 71\n{lines}"), 1);
        case_file::read("senses.toml", &text).unwrap_or_else(|errors| panic!("{errors}")).person
    };
    assert_eq!(of_person("poor_sight = true\n").sight, Sight::LargeType);
    assert_eq!(of_person("sight = \"no_type\"\npoor_sight = true\n").sight, Sight::NoType);
    assert_eq!(of_person("sight = \"usual_type\"\npoor_sight = true\n").sight, Sight::LargeType);
    assert!(of_person("hearing = \"hard\"\n").hearing.is_poor());
}
