//! How long it takes to say what is allowed: rules alone, without any posture.

#[path = "../tests/people/mod.rs"]
mod people;

use person::{Findings, HipApproach, Involved, Pattern, Presentation};

fn main() {
    divan::main();
}

fn three_conditions() -> Findings {
    people::all_well(vec![
        people::hip(Involved::Left, Some(HipApproach::Posterior), 4, &[2]),
        people::presented(
            Presentation::MeniscusRepair,
            Involved::Right,
            Some(Pattern::RadialRootOrComplex),
            8,
            &[2],
        ),
        people::falls_risk(),
    ])
}

/// One condition.
#[divan::bench]
fn one_condition(bencher: divan::Bencher<'_, '_>) {
    let findings =
        people::all_well(vec![people::hip(Involved::Right, Some(HipApproach::Posterior), 4, &[2])]);
    let body = people::average();
    bencher.bench(|| safety::allowed_space(&findings, &body, people::TODAY));
}

/// Three conditions on both legs.
#[divan::bench]
fn three(bencher: divan::Bencher<'_, '_>) {
    let (findings, body) = (three_conditions(), people::average());
    bencher.bench(|| safety::allowed_space(&findings, &body, people::TODAY));
}

/// Three conditions of which nothing is known.
#[divan::bench]
fn nothing_known(bencher: divan::Bencher<'_, '_>) {
    let findings = Findings { conditions: three_conditions().conditions, ..people::nothing() };
    let body = people::average();
    bencher.bench(|| safety::allowed_space(&findings, &body, people::TODAY));
}
