//! A programme in an address, and a log as a table: both come back as they were, and say what is wrong.

mod common;

use common::{Chance, by_chance, largest, programme, simulated, usual};
use exchange::programme::{Carried, Days, Hold, Order};
use exchange::{Programme, fragment, table};
use movement::Family;
use proptest::prelude::*;

fn any_programme(seed: u64) -> Programme {
    let mut chance = Chance(seed);
    let families: Vec<Family> = (0..=chance.below(3))
        .map(|_| Family::ALL[usize::try_from(chance.below(7)).expect("small")])
        .collect();
    let of: Vec<u16> = common::EIGHT.into_iter().filter(|_| chance.of_256(160)).collect();
    let mut all =
        programme("a0b1c2d3e4f50617", &families, &anatomy::Side::BOTH[..1 + (seed % 2) as usize], &of);
    for exercise in &mut all.exercises {
        let tenth = |chance: &mut Chance, most: u64| chance.below(most) as f64 / 10.0;
        exercise.seed = u32::try_from(chance.next() >> 32).expect("32 bits");
        (exercise.out_s, exercise.hold_s) = (tenth(&mut chance, 1000), tenth(&mut chance, 1000));
        exercise.rest_s = tenth(&mut chance, 6000);
        exercise.support = [Hold::Sticks, Hold::Person, Hold::Fixed, Hold::BothHands][(seed % 4) as usize];
        exercise.order = [Order::Round, Order::Reverse, Order::Called][(seed % 3) as usize];
        exercise.days = [Days::Daily, Days::Alternate, Days::TwoAWeek, Days::ThreeAWeek][(seed % 4) as usize];
        exercise.load.kind = [Carried::None, Carried::HandWeights, Carried::InBothHands, Carried::OnTrunk]
            [(seed % 4) as usize];
        exercise.load.kg = tenth(&mut chance, 300);
        for target in exercise.limbs.iter_mut().flat_map(|limb| &mut limb.cells) {
            target.cm = chance.below(400) as f64 / 2.0;
            target.yaw = Some(chance.below(361) as f64 - 180.0).filter(|_| chance.of_256(200));
            target.pivot = [None, Some(true), Some(false)][usize::try_from(chance.below(3)).expect("small")];
            target.out_s = Some(tenth(&mut chance, 1000)).filter(|_| chance.of_256(60));
        }
    }
    all
}

proptest! {
    #[test]
    fn any_programme_comes_back_from_its_address_and_from_its_json(seed: u64) {
        let of = any_programme(seed);
        let text = fragment::write(&of).expect("it has room");
        prop_assert!(text.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_'));
        prop_assert_eq!(fragment::read(&text).expect("ours"), of.clone());
        let json = serde_json::to_string(&of).expect("JSON");
        prop_assert_eq!(Programme::from_json(&json).expect("ours"), of);
    }

    #[test]
    fn any_log_comes_back_from_its_table(seed: u64, days in 0..6) {
        let of = usual();
        let log = by_chance(&of, days, 2, &mut Chance(seed));
        let text = table::write(of.mark, &log);
        let read = table::read(&text).expect("ours");
        prop_assert_eq!(read.into_iter().flat_map(|(mark, log)| { assert_eq!(mark, of.mark); log }).collect::<Vec<_>>(), log);
    }

    #[test]
    fn no_text_makes_a_reader_fall_over(text in "\\PC{0,200}", cells in "[a-z0-9,;\"\n.-]{0,300}") {
        let _ = fragment::read(&text);
        let _ = table::read(&text);
        let _ = Programme::from_json(&text);
        let header = table::COLUMNS.join(",");
        let _ = table::read(&format!("{header}\n{cells}"));
    }
}

#[test]
fn an_address_carries_no_name_and_is_short() {
    let mut of = usual();
    of.person = "Anselm".to_owned();
    let text = fragment::write(&of).expect("it has room");
    assert_eq!(fragment::read(&text).expect("ours").person, "");
    of.person = String::new();
    assert_eq!(text, fragment::write(&of).expect("it has room"), "the name changes nothing");
    // Ten directions; and the largest programme there is.
    assert_eq!((text.len(), fragment::write(&largest()).expect("it has room").len()), (107, 354));
}

#[test]
fn every_damaged_character_of_an_address_is_seen() {
    let text = fragment::write(&usual()).expect("it has room");
    for at in 0..text.len() {
        for other in "AZaz09-_".chars() {
            let mut wrong: Vec<char> = text.chars().collect();
            if wrong[at] == other {
                continue;
            }
            wrong[at] = other;
            assert!(fragment::read(&wrong.into_iter().collect::<String>()).is_err());
        }
        assert!(fragment::read(&text[..at]).is_err());
    }
}

#[test]
fn a_distance_is_never_rounded() {
    let mut of = usual();
    of.exercises[0].limbs[0].cells[0].cm = 30.3;
    let told = fragment::write(&of).expect_err("refused");
    assert!(told.contains("`30.3`") && told.contains("half a centimetre"), "{told}");
}

/// 1.44 s would be 1.4, which is faster than both gates passed, and 2.27 kg would be 2.3.
#[test]
fn behind_an_address_a_pace_is_never_quicker_and_a_load_never_heavier() {
    let mut of = usual();
    of.exercises[0].out_s = 1.44;
    of.exercises[0].back_s = 2.0;
    of.exercises[0].load.kg = 2.27;
    of.exercises[0].limbs[0].cells[0].out_s = Some(3.01);
    let read = fragment::read(&fragment::write(&of).expect("it has room")).expect("ours");
    let told = &read.exercises[0];
    assert_eq!((told.out_s, told.back_s, told.load.kg), (1.5, 2.0, 2.2));
    assert_eq!(told.limbs[0].cells[0].out_s, Some(3.1));
}

/// An address carries numbers and no words, so whoever scans it would step and leave the arms as they are.
#[test]
fn a_task_of_the_arms_is_refused_by_an_address_and_kept_by_the_file() {
    let mut of = usual();
    of.exercises[0].arms = true;
    let told = fragment::write(&of).expect_err("refused");
    assert!(told.contains("exercise 1") && told.contains("accepted") && told.contains("as a file"), "{told}");
    let json = serde_json::to_string(&of).expect("JSON");
    assert_eq!(Programme::from_json(&json).expect("ours"), of);
}

#[test]
fn a_programme_of_another_version_or_a_file_of_another_kind_says_so() {
    let json = serde_json::to_string(&usual()).expect("JSON");
    for (wrong, part) in [
        (json.replace("\"v\":1", "\"v\":2"), "version `2`"),
        ("{}".to_owned(), "no programme"),
        ("x".to_owned(), "no programme"),
        (json.replace("2027-01-10", "2026-01-10"), "before its first day"),
        (json.replace("\"bearing\":45", "\"bearing\":44"), "bearing `44`"),
    ] {
        assert!(Programme::from_json(&wrong).is_err_and(|told| told.contains(part)), "{wrong}");
    }
}

#[test]
fn a_table_that_a_spreadsheet_saved_again_is_read() {
    let of = usual();
    let log = simulated(&of, 4, &mut Chance(4));
    let text = table::write(of.mark, &log);
    let saved = format!("\u{feff}{}", text.replace(',', ";").replace('\n', "\r\n"));
    assert_eq!(table::read(&saved), table::read(&text));
}

#[test]
fn what_is_wrong_in_a_table_is_named_with_line_and_column() {
    let of = usual();
    let log = simulated(&of, 4, &mut Chance(4));
    let text = table::write(of.mark, &log);
    let change = |column: &str, to: &str| {
        let at = table::COLUMNS.iter().position(|name| *name == column).expect("a column");
        let mut lines: Vec<Vec<String>> =
            text.lines().map(|l| l.split(',').map(str::to_owned).collect()).collect();
        lines[3][at] = to.to_owned();
        let wrong: String = lines.iter().map(|line| format!("{}\n", line.join(","))).collect();
        table::read(&wrong).expect_err("refused").to_string()
    };
    for (column, to, parts) in [
        ("pain", "11", ["line 4", "`pain`", "0 to 10"]),
        ("pain", "2.5", ["line 4", "`2.5`", "whole number"]),
        ("rung", "half", ["line 4", "`half`", "shortened"]),
        ("bearing", "44", ["line 4", "`44`", "0, 45, 90"]),
        ("on", "30.11.2026", ["line 4", "`30.11.2026`", "2026-11-30"]),
        ("morning", "fine", ["line 4", "`fine`", "better"]),
        ("done", "maybe", ["line 4", "`maybe`", "yes, no"]),
        ("programme", "12", ["line 4", "`12`", "16 hexadecimal"]),
        ("effort", "9", ["line 4", "something else", "accepted"]),
    ] {
        let told = change(column, to);
        assert!(parts.iter().all(|part| told.contains(part)), "{column}: {told}");
    }
    let header = text.replacen("rung", "step", 1);
    assert!(table::read(&header).expect_err("refused").to_string().contains("`rung`"));
}
