//! Laws of every presentation in every phase, over all movements that need no posture to be judged.

mod people;

use anatomy::Side;
use movement::{Bearing, Crossing, Family, HandHeight, Landing, Load, MovementSpec, StanceFoot};
use people::{TODAY, all_well, average, hip, knee, presented};
use person::{Condition, HipApproach, Involved, Presentation};
use quantity::{Length, Mass};
use safety::{AllowedSpace, allowed_space};

/// Every family, limb, bearing and way, free and loaded, short and long, fixed and turning.
fn movements() -> Vec<MovementSpec> {
    let mut out = Vec::new();
    for family in Family::ALL {
        for mover in Side::BOTH {
            if family == Family::TwoFootJump && mover == Side::Left {
                continue;
            }
            for bearing in Bearing::ALL {
                for &crossing in family.ways(bearing, mover) {
                    for cm in [20.0, 45.0, 80.0] {
                        out.extend(variants(family, mover, bearing, crossing, cm));
                    }
                }
            }
        }
    }
    out
}

fn variants(family: Family, mover: Side, bearing: Bearing, crossing: Crossing, cm: f64) -> Vec<MovementSpec> {
    let free = MovementSpec {
        depth: (family == Family::Lunge).then(|| Length::cm(10.0)),
        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Ankle),
        landing: family.is_airborne().then_some(Landing::Held),
        ..MovementSpec::bare(family, mover, bearing, crossing, Length::cm(cm))
    };
    let loaded = MovementSpec { load: Load::HandWeights { each: Mass::kg(2.0) }, ..free.clone() };
    let turning = (crossing != Crossing::None)
        .then(|| MovementSpec { stance_foot: StanceFoot::Pivoting, ..free.clone() });
    [free, loaded].into_iter().chain(turning).collect()
}

/// Every presentation on one side: as many weeks on as needed, the phase confirmed.
fn presentations(involved: Involved, phase: u8) -> Vec<Condition> {
    let weeks = 60;
    let hips =
        [HipApproach::Posterior, HipApproach::Anterior, HipApproach::Lateral, HipApproach::Trochanteric];
    let mut out: Vec<Condition> =
        hips.into_iter().map(|approach| hip(involved, Some(approach), weeks, &[phase])).collect();
    out.push(knee(involved, weeks, &[phase]));
    out.push(Condition::KneeOsteoarthritis {
        involved,
        medial_or_varus_thrust: people::found(true),
        confirmed: vec![people::confirmation(phase)],
    });
    for presentation in Presentation::ALL {
        let side = if presentation.has_side() { involved } else { Involved::General };
        let forms: Vec<_> =
            std::iter::once(None).chain(presentation.patterns().iter().copied().map(Some)).collect();
        out.extend(forms.into_iter().map(|form| presented(presentation, side, form, weeks, &[phase])));
    }
    out
}

fn space(condition: &Condition) -> AllowedSpace {
    let mut findings = all_well(vec![condition.clone()]);
    findings.single_leg_stance = anatomy::PerSide::from_fn(|_| people::found(40.0));
    allowed_space(&findings, &average(), TODAY)
}

fn open(space: &AllowedSpace, specs: &[MovementSpec]) -> Vec<bool> {
    specs.iter().map(|spec| space.screen(spec.clone()).is_ok()).collect()
}

#[test]
fn every_presentation_in_every_phase_is_its_own_mirror() {
    let specs = movements();
    let mirrored: Vec<MovementSpec> = specs.iter().map(MovementSpec::mirrored).collect();
    for phase in 1..=6 {
        let sides =
            presentations(Involved::Left, phase).into_iter().zip(presentations(Involved::Right, phase));
        for (left, right) in sides {
            let (here, there) = (open(&space(&left), &specs), open(&space(&right), &mirrored));
            for ((spec, here), there) in specs.iter().zip(here).zip(there) {
                assert_eq!(here, there, "{left:?}: {}", spec.sentence());
            }
        }
    }
}

#[test]
fn a_later_phase_opens_all_that_an_earlier_one_opened() {
    let specs = movements();
    for phase in 1..6 {
        let pairs =
            presentations(Involved::Right, phase).into_iter().zip(presentations(Involved::Right, phase + 1));
        for (earlier, later) in pairs {
            let (before, after) = (open(&space(&earlier), &specs), open(&space(&later), &specs));
            for ((spec, before), after) in specs.iter().zip(before).zip(after) {
                assert!(!before || after, "{later:?}: {}", spec.sentence());
            }
        }
    }
}

#[test]
fn an_unknown_form_opens_nothing_that_a_known_form_closes() {
    let specs = movements();
    for phase in 1..=6 {
        for presentation in Presentation::ALL {
            let of = |form| space(&presented(presentation, Involved::Right, form, 60, &[phase]));
            let unknown = open(&of(None), &specs);
            for form in presentation.patterns() {
                let known = open(&of(Some(*form)), &specs);
                for ((spec, unknown), known) in specs.iter().zip(&unknown).zip(known) {
                    assert!(!unknown || known, "{presentation:?} {form:?}: {}", spec.sentence());
                }
            }
        }
    }
}

#[test]
fn every_presentation_opens_something_when_all_is_well_and_no_jump_before_its_last_phases() {
    let specs = movements();
    for condition in presentations(Involved::Right, 1) {
        let space = space(&condition);
        let athlete =
            matches!(&condition, Condition::Presented(p) if p.presentation == Presentation::HealthyAthlete);
        let jumps = specs.iter().filter(|spec| spec.family.is_airborne());
        assert_eq!(jumps.clone().any(|spec| space.screen(spec.clone()).is_ok()), athlete, "{condition:?}");
        let held = people::step(
            Side::Right,
            movement::AnatomicalDirection::Anterior,
            Crossing::None,
            Length::cm(20.0),
        );
        space.screen(held).unwrap_or_else(|e| panic!("{condition:?}: {e:#?}"));
    }
}
