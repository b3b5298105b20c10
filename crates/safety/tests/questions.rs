//! Stories of a first visit: what is worth asking first.

mod people;

use anatomy::Side;
use movement::{AnatomicalDirection as D, Bearing, Crossing, MovementSpec, Support};
use people::{TODAY, all_well, average, found, nothing, presented, step};
use person::{Answer, Condition, Finding, Findings, Involved, Presentation};
use quantity::Length;
use safety::{Computed, Questions, questions};

/// Free and held steps of both legs in every direction.
fn wished() -> Vec<(MovementSpec, Option<&'static Computed>)> {
    Side::BOTH
        .into_iter()
        .flat_map(|mover| D::ALL.map(|direction| (mover, direction)))
        .flat_map(|(mover, direction)| {
            let crossing = Crossing::ways(Bearing::of(direction, mover), mover)[0];
            let held = step(mover, direction, crossing, Length::cm(30.0));
            let free = MovementSpec { support: Support::None, place: None, ..held.clone() };
            [(held, None), (free, None)]
        })
        .collect()
}

fn ask(findings: &Findings) -> Questions {
    questions(findings, &[], &average(), TODAY, &wished())
}

fn worn_knee() -> Vec<Condition> {
    vec![Condition::KneeOsteoarthritis {
        involved: Involved::Right,
        medial_or_varus_thrust: Finding::NotAssessed,
        confirmed: Vec::new(),
    }]
}

#[test]
fn when_nobody_looked_at_anything_what_closes_everything_is_asked_first() {
    let asked = ask(&Findings { conditions: worn_knee(), ..nothing() });
    assert_eq!(asked.open, 0);
    assert!(asked.open_at_best > 0);
    assert_eq!(asked.questions[0].key, "red_flags");
    for key in ["red_flags", "weight_bearing", "pain_at_rest", "stands_and_shifts"] {
        assert!(asked.first_visit.contains(&key.to_owned()), "{:?}", asked.first_visit);
    }
    // Nothing is asked for a first programme that only matters for jumps.
    assert!(!asked.first_visit.contains(&"hop_distance".to_owned()));
}

#[test]
fn the_answers_for_a_first_visit_open_something_and_none_can_be_left_out() {
    let bare = Findings { conditions: worn_knee(), ..nothing() };
    let first = ask(&bare).first_visit;
    let mut with = bare;
    let well = all_well(worn_knee());
    for key in &first {
        match key.as_str() {
            "red_flags" => with.red_flags = well.red_flags.clone(),
            "weight_bearing" => with.weight_bearing = well.weight_bearing.clone(),
            "other_conditions" => with.other_conditions = well.other_conditions.clone(),
            "pain_at_rest" => with.pain_at_rest = well.pain_at_rest.clone(),
            "stands_and_shifts" => with.stands_and_shifts = well.stands_and_shifts.clone(),
            key => {
                let answer = Answer::from_key(key).unwrap_or_else(|| panic!("asked for {key}"));
                with.answers.set(answer, Side::Left, found(1.0));
            }
        }
    }
    assert!(ask(&with).open > 0);
    let again = ask(&Findings { red_flags: Finding::NotAssessed, ..with });
    assert_eq!(again.open, 0);
    assert_eq!(again.questions[0].key, "red_flags");
    assert_eq!(again.first_visit, ["red_flags"]);
}

#[test]
fn one_missing_answer_is_told_with_what_it_opens() {
    let mut findings = all_well(worn_knee());
    let before = ask(&findings);
    assert!(before.questions.iter().all(|q| q.opens == 0), "{before}");
    findings.other_conditions = Finding::NotAssessed;
    let asked = ask(&findings);
    assert_eq!(asked.questions[0].key, "other_conditions");
    assert_eq!(asked.open + asked.questions[0].opens, before.open);
    assert!(asked.to_string().contains("Other conditions and medicines: opens"), "{asked}");
}

#[test]
fn a_phase_that_only_waits_for_a_clinicians_word_is_asked_for() {
    let sprain = |confirmed: &[u8]| {
        all_well(vec![presented(
            Presentation::AnkleSprain,
            Involved::Right,
            Some(person::Pattern::FirstSprain),
            4,
            confirmed,
        )])
    };
    let asked = ask(&sprain(&[]));
    assert_eq!(asked.questions[0].key, "confirmation of ankle_sprain");
    assert_eq!(asked.open + asked.questions[0].opens, ask(&sprain(&[3])).open);
}
