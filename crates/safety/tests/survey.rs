//! The survey of rays: what it says of one is what the gates say of its distances.

mod people;

use anatomy::{Sex, Side};
use biomech::{Body, Capacity, demands, moments, motion};
use movement::{AnatomicalDirection as D, Crossing, Family, HandHeight, Load, Support};
use people::{TODAY, all_well, capacity, found, frame, hip, size};
use person::{Aid, Condition, Findings, HipApproach, Involved};
use quantity::Length;
use safety::{Blocked, OpenTo, RayVerdict, Setup, Space, SurveyChoices, allowed_space, grid, rays};

fn woman() -> (Body, Capacity) {
    let size = size(Sex::Female, 163.0, 66.0);
    (Body::of(&size), capacity(&size))
}

fn held() -> Setup {
    Setup { support: Support::BothHands, place: Some(frame(Length::cm(163.0))) }
}

fn choices(families: &[Family], setup: Setup) -> SurveyChoices {
    SurveyChoices {
        families: families.to_vec(),
        setups: vec![setup],
        depths: vec![Length::cm(8.0)],
        hand_heights: vec![HandHeight::Knee],
        pivoting: false,
    }
}

fn survey(findings: &Findings, choices: &SurveyChoices) -> Space {
    let (body, capacity) = woman();
    allowed_space(findings, &body, TODAY).survey(&body, &capacity, choices)
}

fn both_hips() -> Findings {
    Findings {
        aid: found(Aid::WalkingFrame),
        ..all_well(vec![hip(Involved::Both, Some(HipApproach::Posterior), 4, &[])])
    }
}

fn worn_knee() -> Findings {
    all_well(vec![Condition::KneeOsteoarthritis {
        involved: Involved::Right,
        medial_or_varus_thrust: found(false),
        confirmed: Vec::new(),
    }])
}

#[test]
fn both_hips_replaced_have_five_directions_a_leg_and_the_crossing_ones_say_why_not() {
    let space = survey(&both_hips(), &choices(&[Family::Step], held()));
    // Eight bearings a leg, pure medial in front and behind.
    assert_eq!(space.rays.len(), 18);
    for surveyed in &space.rays {
        let (direction, limb) = surveyed.ray.direction();
        assert_eq!(limb, surveyed.ray.mover);
        if surveyed.ray.crossing == Crossing::None {
            let to = surveyed.verdict.to().unwrap_or_else(|| panic!("{}", surveyed.sentence()));
            // Phase 1: 30 % of leg length, which lies on the grid.
            let (body, _) = woman();
            let percent = to.ratio(body.leg_length(limb)) * 100.0;
            assert!((20.0..=30.0 + 1e-6).contains(&percent), "{direction} {percent}");
        } else {
            let RayVerdict::Closed { by } = &surveyed.verdict else { panic!("{}", surveyed.sentence()) };
            assert!(by.iter().any(|r| r.rule == "THA-P2" || r.rule == "THA-P3"), "{by:#?}");
            assert!(surveyed.furthest.is_none());
        }
    }
}

#[test]
fn every_verdict_that_a_rule_sets_carries_a_reason_with_rule_source_and_a_way_out() {
    let free = Setup { support: Support::None, place: None };
    for findings in [both_hips(), worn_knee()] {
        for setup in [free, held()] {
            let space = survey(&findings, &choices(&Family::GROUNDED, setup));
            for surveyed in &space.rays {
                match &surveyed.verdict {
                    RayVerdict::Open { to, .. } => {
                        assert_eq!(surveyed.furthest.as_ref().unwrap().spec().distance, *to);
                    }
                    RayVerdict::Limited { by, .. } | RayVerdict::Closed { by } => assert!(!by.is_empty()),
                }
                for reason in surveyed.verdict.reasons() {
                    assert!(reason.reason.ends_with('.') && reason.reason.len() > 20, "{reason}");
                    assert!(!reason.rule.is_empty() && !reason.opens_when.is_empty(), "{reason}");
                    assert!(quantity::reference::bibliography().contains_key(&reason.source), "{reason}");
                }
            }
        }
    }
}

#[test]
fn the_furthest_movement_passes_both_gates_again_and_the_next_step_of_the_grid_does_not() {
    let (body, capacity) = woman();
    let findings = worn_knee();
    let space = allowed_space(&findings, &body, TODAY);
    let choices = choices(&[Family::Step, Family::Lunge], Setup { support: Support::None, place: None });
    let passes = |spec: movement::MovementSpec| {
        let Ok(screened) = space.screen(spec) else { return false };
        let Ok(motion) = motion(&body, &capacity, screened.spec()) else { return false };
        let moments = moments(&body, &motion);
        let demands = demands(&moments, &capacity);
        space.permit(screened, &motion, &moments, &demands, TODAY).is_ok()
    };
    let mut limited = 0;
    for ray in rays(&choices).into_iter().filter(|ray| ray.mover == Side::Right) {
        let surveyed = space.survey_ray(&body, &capacity, ray.clone());
        let Some(to) = surveyed.verdict.to() else { continue };
        assert!(passes(ray.at(to)), "{}", surveyed.sentence());
        if let RayVerdict::Limited { .. } = surveyed.verdict {
            let next = grid(body.leg_length(ray.mover)).into_iter().find(|d| d.in_m() > to.in_m() + 1e-6);
            assert!(!passes(ray.at(next.unwrap())), "{}", surveyed.sentence());
            limited += 1;
        }
    }
    assert!(limited > 0);
}

#[test]
fn a_stated_distance_between_two_steps_of_the_grid_is_used_to_the_full() {
    let mut findings = worn_knee();
    findings.hurt.push(person::HurtAt {
        mover: Side::Right,
        bearing: movement::Bearing::of(D::Lateral, Side::Right),
        family: None,
        distance: Length::cm(55.0),
        on: TODAY,
        pain: None,
        settled: None,
        spreads: false,
    });
    let choices = choices(&[Family::Step], Setup { support: Support::None, place: None });
    let space = survey(&findings, &choices);
    let lateral =
        space.rays.iter().find(|r| r.ray.mover == Side::Right && r.ray.direction().0 == D::Lateral).unwrap();
    // Three quarters of 55 cm.
    assert!((lateral.verdict.to().unwrap().in_cm() - 41.25).abs() < 1e-9, "{}", lateral.sentence());
    assert!(lateral.verdict.reasons().iter().all(|r| matches!(r.blocked, Blocked::Distance { .. })));
}

#[test]
fn a_crossing_that_needs_room_is_not_called_closed_because_the_shortest_fails() {
    let free = Setup { support: Support::None, place: None };
    let space = survey(&worn_knee(), &choices(&[Family::Step], free));
    for surveyed in &space.rays {
        assert!(surveyed.verdict.to().is_some(), "{}", surveyed.sentence());
        assert_eq!(surveyed.ray.at(Length::cm(30.0)).load, Load::None);
    }
    let by_body = space.rays.iter().filter(|r| {
        matches!(&r.verdict, RayVerdict::Open { set_by: OpenTo::BodyReach { because }, .. } if because.contains("cannot be reached"))
    });
    assert!(by_body.count() > 0);
}
