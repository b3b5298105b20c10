//! One step up, one back and to the side: what every neighbour must be.

mod mirror;

use app::{Around, Neighbour, Neighbours, PersonToday, demo_cases, neighbours_case, silent};
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

/// Everybody who is asked in a mirror, and one movement more for each: what they are given is narrow
/// after a hip replacement, with a frame, with accepted pain, and wide for who came back to running.
const IN_A_MIRROR: [usize; 6] = [0, 2, 4, 6, 9, 11];

const MORE_MOVEMENTS: [&str; 4] = [
    "left step posterior 30 cm both hands",
    "right reach lateral 35 cm crossing behind",
    "left bend and reach anterolateral 40 cm to thigh 1 kg",
    "right step medial 25 cm crossing in front one hand",
];

/// Everything that an answer says, one line each; in the mirror when asked so.
fn told(around: &Around, in_a_mirror: bool) -> Vec<String> {
    let spec = |s: &MovementSpec| if in_a_mirror { s.mirrored() } else { s.clone() };
    let words = |s: &str| if in_a_mirror { mirror::words(s) } else { s.to_owned() };
    let percent = |p: Option<f64>| p.map_or_else(|| "unknown".to_owned(), |p| format!("{p:.6}"));
    let mut out = vec![
        format!("{:?}", spec(&around.movement)),
        words(&around.sentence),
        format!("refused: {:?}", around.refused.as_deref().map(words)),
        format!("hardest: {:?} {}", around.hardest.as_deref().map(words), percent(around.percent)),
    ];
    let lists = [("up", &around.up), ("back", &around.back), ("sideways", &around.sideways)];
    out.extend(lists.into_iter().flat_map(|(way, all)| {
        let line = |n: &Neighbour| {
            format!(
                "{way} {:?} {:?} {} {:?} {} {:?} {:.6}",
                n.changed,
                spec(&n.movement),
                words(&n.sentence),
                n.compared.as_deref().map(words),
                percent(n.percent),
                n.beside,
                n.margin_change_cm + 0.0
            )
        };
        all.iter().map(line).collect::<Vec<_>>()
    }));
    let none = around.none.iter();
    out.extend(
        none.map(|n| format!("none {:?} {:?} {} {}", n.way, n.changed, words(&n.tried), words(&n.because))),
    );
    out
}

/// The whole answer of the person in a mirror is the answer in a mirror: every step up, back and to the
/// side, in the same order, with the same figures, and every reason why there is none.
#[test]
fn the_neighbours_of_the_person_in_a_mirror_are_the_neighbours_in_a_mirror() {
    let (mut neighbours, mut reasons, mut refused) = (0, 0, 0);
    for index in IN_A_MIRROR {
        let case = demo_cases()[index].read().unwrap_or_else(|e| panic!("{e}"));
        let today = app::day_of(&case, None, date(2000, 1, 1));
        let twin = mirror::mirrored(&case);
        for sentence in MOVEMENTS.iter().chain(&MORE_MOVEMENTS) {
            let ask = |case: &CaseFile, sentence: &str| {
                let found = neighbours_case(case, today, Some(sentence), &silent);
                found.unwrap_or_else(|e| panic!("{sentence}: {e}")).movements.swap_remove(0)
            };
            let (here, there) = (ask(&case, sentence), ask(&twin, &mirror::words(sentence)));
            assert_eq!(told(&here, false), told(&there, true), "{}: {sentence}", demo_cases()[index].file);
            neighbours += here.up.len() + here.back.len() + here.sideways.len();
            reasons += here.none.len();
            refused += usize::from(here.refused.is_some());
        }
    }
    assert!(neighbours > 50 && reasons > 10 && refused > 3, "{neighbours}, {reasons}, {refused}");
}
