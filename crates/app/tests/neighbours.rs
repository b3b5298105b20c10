//! One step up, one back and to the side: what every neighbour must be.

use app::{Neighbour, Neighbours, PersonToday, demo_cases, neighbours_case, silent};
use biomech::{Beside, motion};
use jiff::civil::{Date, date};
use movement::MovementSpec;
use person::CaseFile;
use programme::{Changed, step_ceilings};

const MOVEMENTS: [&str; 3] = [
    "right step lateral 35 cm",
    "left lunge anterior 45 cm depth 12 cm",
    "right bend and reach anterior 30 cm to knee",
];

/// The ferry cook, and the fell runner.
const PEOPLE: [usize; 2] = [9, 6];

fn asked(index: usize, sentence: &str) -> (CaseFile, Date, Neighbours) {
    let case = demo_cases()[index].read().unwrap_or_else(|e| panic!("{e}"));
    let today = app::day_of(&case, None, date(2000, 1, 1));
    let found = neighbours_case(&case, today, Some(sentence), &silent).unwrap_or_else(|e| panic!("{e}"));
    (case, today, found)
}

/// The parts in which two movements differ.
fn differences(a: &MovementSpec, b: &MovementSpec) -> Vec<Changed> {
    let mut out = Vec::new();
    for (differs, part) in [
        (a.distance != b.distance, Changed::Distance),
        (a.support != b.support, Changed::Hands),
        (a.load != b.load, Changed::Load),
        (a.depth != b.depth, Changed::Depth),
        (a.hand_height != b.hand_height, Changed::HandHeight),
    ] {
        if differs {
            out.push(part);
        }
    }
    out
}

#[test]
fn every_neighbour_passes_both_gates_again_and_a_step_changes_one_thing_to_its_ceiling_at_most() {
    let mut steps = 0;
    for (index, sentence) in PEOPLE.iter().flat_map(|p| MOVEMENTS.map(|m| (*p, m))) {
        let (case, today, found) = asked(index, sentence);
        let person = PersonToday::of(&case, today);
        let leg =
            person.body.leg_length(anatomy::Side::Left).max(person.body.leg_length(anatomy::Side::Right));
        for around in &found.movements {
            for one in around.up.iter().chain(&around.back).chain(&around.sideways) {
                let screened = person.allowed.screen(one.movement.clone());
                let screened = screened.unwrap_or_else(|e| panic!("{}: {e:?}", one.sentence));
                let motion = motion(&person.body, &person.capacity, &one.movement);
                let motion = motion.unwrap_or_else(|e| panic!("{}: {e}", one.sentence));
                let moments = biomech::moments(&person.body, &motion);
                let demands = biomech::demands(&moments, &person.capacity);
                let permitted = person.allowed.permit(screened, &motion, &moments, &demands, today);
                assert!(permitted.is_ok(), "{}: {:?}", one.sentence, permitted.err());
            }
            for one in around.up.iter().chain(&around.back) {
                steps += 1;
                let differ = differences(&around.movement, &one.movement);
                assert_eq!(differ, Vec::from_iter(one.changed), "{}", one.sentence);
                let further = one.movement.distance.in_cm() - around.movement.distance.in_cm();
                assert!(further <= leg.in_cm() * step_ceilings().further_at_most + 1e-6, "{}", one.sentence);
                let least = around.movement.distance.in_cm() * step_ceilings().back_to_at_least;
                assert!(one.movement.distance.in_cm() >= least - 1e-6, "{}", one.sentence);
            }
        }
    }
    assert!(steps >= 6, "{steps} steps: too few to say anything");
}

/// A smaller change of the same kind is either felt less, or refused.
#[test]
fn up_and_back_point_apart_and_what_is_felt_goes_first() {
    let mut felt = 0;
    for (index, sentence) in PEOPLE.iter().flat_map(|p| MOVEMENTS.map(|m| (*p, m))) {
        let (_, _, found) = asked(index, sentence);
        for around in &found.movements {
            for (all, wanted) in [(&around.up, Beside::More), (&around.back, Beside::Less)] {
                let first_not = all.iter().position(|n| n.beside != wanted).unwrap_or(all.len());
                assert!(all[first_not..].iter().all(|n| n.beside != wanted), "{}", around.sentence);
                felt += first_not;
            }
            let distance = |all: &[Neighbour]| {
                all.iter().find(|n| n.changed == Some(Changed::Distance)).map(|n| n.movement.distance)
            };
            if let (Some(up), Some(back)) = (distance(&around.up), distance(&around.back)) {
                assert!(back < around.movement.distance && around.movement.distance < up);
            }
        }
    }
    assert!(felt >= 1, "no step of any movement is felt");
}

#[test]
fn sideways_is_another_direction_of_the_same_limb_with_about_the_same_hardest_work() {
    let mut sides = 0;
    for (index, sentence) in PEOPLE.iter().flat_map(|p| MOVEMENTS.map(|m| (*p, m))) {
        let (_, _, found) = asked(index, sentence);
        for around in &found.movements {
            for one in &around.sideways {
                sides += 1;
                let (a, b) = (&around.movement, &one.movement);
                assert_eq!((a.family, a.mover, a.support, a.depth), (b.family, b.mover, b.support, b.depth));
                assert!(a.bearing != b.bearing || a.crossing != b.crossing, "{}", one.sentence);
                let off = one.percent.unwrap_or(f64::MAX) - around.percent.unwrap_or(0.0);
                assert!(off.abs() <= step_ceilings().same_demand_within, "{}: {off}", one.sentence);
            }
        }
    }
    assert!(sides >= 3, "{sides} sides: too few to say anything");
}

#[test]
fn the_same_question_gets_the_same_answer_and_a_refused_movement_has_nothing_to_step_from() {
    let (_, _, once) = asked(9, MOVEMENTS[0]);
    assert_eq!(once, asked(9, MOVEMENTS[0]).2);
    // The lighthouse mechanic, four weeks after a hip replacement, makes no deep lunge.
    let (_, _, refused) = asked(0, "left lunge anterior 60 cm depth 20 cm");
    let around = &refused.movements[0];
    assert!(around.refused.is_some());
    assert!(around.up.is_empty() && around.back.is_empty() && around.sideways.is_empty());
}
