//! Which tests may be done today: each has passed the same gates as a movement; refused, it says why.

use std::collections::BTreeMap;

use app::{TestAnswer, TestToday, TestsToday};
use maud::{Markup, html};
use measurement::{InstrumentKey, MadeFrom};

use super::super::{Tab, alert, nothing_found, page, standing};
use super::place_of;
use crate::seat::{Seat, Whose};
use crate::{Answer, words};

/// The groups of the list, in the order of a visit.
const GROUPS: [(&str, &[&str]); 7] = [
    ("What the person says", &["pain", "own_", "confidence", "global"]),
    ("Walking and rising", &["timed_up", "chair", "gait", "fast_walk", "six_minute", "stair"]),
    ("Standing and stepping", &["stance", "tandem", "four_square", "sway", "position_sense", "time_to"]),
    ("Reach", &["star_reach", "three_reach", "hand_star", "functional_reach"]),
    ("Ankle", &["lunge_"]),
    ("Strength", &["torque", "isokinetic", "heel_raise"]),
    ("Hops", &["hop"]),
];

pub(super) async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let Some(tests) = seat.reckon().tests(&standing).await? else {
        return page(&seat, &standing, Tab::Measures, nothing_found(&standing));
    };
    let body = match &tests.alert {
        Some(flag) => alert(flag),
        None => view(&tests, &whose),
    };
    page(&seat, &standing, Tab::Measures, body)
}

fn view(tests: &TestsToday, whose: &Whose) -> Markup {
    let mut by_test: BTreeMap<InstrumentKey, Vec<&TestToday>> = BTreeMap::new();
    for test in &tests.tests {
        if test.instrument.instrument().from != MadeFrom::Derived {
            by_test.entry(test.instrument).or_default().push(test);
        }
    }
    let group_of = |key: &InstrumentKey| {
        GROUPS.iter().position(|(_, parts)| parts.iter().any(|part| key.as_str().contains(part)))
    };
    html! {
        h2 { "Tests of today" }
        p { "A test is a movement: each has passed the same rules as an exercise. What is refused says why, and what may be done instead." }
        @for (place, (title, _)) in GROUPS.iter().enumerate() {
            (group(title, by_test.iter().filter(|(key, _)| group_of(key) == Some(place)), whose))
        }
        (group("Questionnaires, the total only", by_test.iter().filter(|(key, _)| group_of(key).is_none()), whose))
    }
}

fn group<'a>(
    title: &str,
    tests: impl Iterator<Item = (&'a InstrumentKey, &'a Vec<&'a TestToday>)>,
    whose: &Whose,
) -> Markup {
    let tests: Vec<_> = tests.collect();
    html! {
        @if !tests.is_empty() {
            section {
                h3 { (title) }
                ul.doors { @for (key, answers) in tests { li { (one(*key, answers, whose)) } } }
            }
        }
    }
}

fn one(key: InstrumentKey, answers: &[&TestToday], whose: &Whose) -> Markup {
    let refused: Vec<&&TestToday> = answers.iter().filter(|answer| !answer.is_offered()).collect();
    let state = match (refused.len(), answers.len()) {
        (0, _) => "",
        (some, all) if some == all => "refused today",
        _ => "in part refused today",
    };
    html! {
        a href=(whose.at(&format!("measures/take/{key}"))) { (words::capital(&key.instrument().name)) }
        @if !state.is_empty() {
            details {
                summary { (words::capital(state)) ": why" }
                ul { @for answer in refused { li { (why(answer)) } } }
            }
        }
    }
}

/// Every reason against one test, and what may be done instead.
pub(super) fn why(test: &TestToday) -> Markup {
    let nearest = match &test.answer {
        TestAnswer::Refused { nearest, .. } | TestAnswer::Overridden { nearest, .. } => nearest.as_ref(),
        TestAnswer::Offered { .. } => None,
    };
    let direction = test.direction.map(measurement::StanceDirection::name);
    html! {
        p { strong { (words::capital(&place_of(test.limb, direction))) "." } }
        ul { @for reason in test.reasons() { li { (reason.reason) " It opens when " (reason.opens_when) "." } } }
        @if let Some(nearest) = nearest {
            p { "Instead: " (nearest.name) ", " (place_of(nearest.limb, nearest.direction.map(measurement::StanceDirection::name))) "." }
        }
    }
}
