//! What was odd when a physiotherapist read the table of presentations, and must not come back.

mod people;

use anatomy::{Coordinate, Side};
use biomech::synthetic;
use biomech::{Phase, Turn, demands, moments};
use movement::{AnatomicalDirection as D, Bearing, Crossing, Family, HandHeight, Landing, MovementSpec};
use people::{TODAY, all_well, average, capacity, found, hip, is_specific, presented, rules, space};
use person::{Aid, Answer, Condition, Finding, Findings, HipApproach, Involved, Presentation as P};
use quantity::Length;
use safety::{Blocked, Ray, Refusal};

fn going(family: Family, mover: Side, direction: D, cm: f64) -> MovementSpec {
    let bearing = Bearing::of(direction, mover);
    let crossing = family.ways(bearing, mover)[0];
    MovementSpec {
        depth: (family == Family::Lunge).then(|| Length::cm(10.0)),
        landing: family.is_airborne().then_some(Landing::Held),
        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
        ..MovementSpec::bare(family, mover, bearing, crossing, Length::cm(cm))
    }
}

fn refused(findings: &Findings, spec: MovementSpec) -> Vec<Refusal> {
    match space(findings).screen(spec) {
        Ok(_) => Vec::new(),
        Err(refusals) => refusals,
    }
}

fn athlete() -> Findings {
    all_well(vec![presented(P::HealthyAthlete, Involved::General, None, 0, &[])])
}

fn new_hip(approach: HipApproach, weeks: i64, phase: u8) -> Findings {
    all_well(vec![hip(Involved::Right, Some(approach), weeks, &[phase])])
}

#[test]
fn four_weeks_after_a_new_hip_no_step_is_as_long_as_a_stride() {
    let findings = new_hip(HipApproach::Posterior, 4, 2);
    let short = refused(&findings, going(Family::Step, Side::Right, D::Anterolateral, 45.0));
    assert!(short.is_empty(), "{short:#?}");
    let long = refused(&findings, going(Family::Step, Side::Right, D::Anterolateral, 70.0));
    assert_eq!(rules(&long), ["SHORT-FIRST"]);
    assert!(long[0].opens_when.contains("phase 3"), "{}", long[0].opens_when);
    is_specific(&long[0]).unwrap();
}

#[test]
fn a_step_that_is_longer_than_a_walking_step_is_asked_as_a_lunge() {
    let long = refused(&athlete(), going(Family::Step, Side::Left, D::Lateral, 95.0));
    assert_eq!(rules(&long), ["LONG-STEP"]);
    is_specific(&long[0]).unwrap();
    let lunge = refused(&athlete(), going(Family::Lunge, Side::Left, D::Lateral, 95.0));
    assert!(lunge.is_empty(), "{lunge:#?}");
}

#[test]
fn landings_go_less_far_sideways_than_ahead_and_least_far_where_nobody_looks() {
    // 140 cm hopped on both legs: three quarters ahead, of that 0.6 to the side and 0.4 backward.
    for family in [Family::TwoFootJump, Family::Leap, Family::Hop] {
        for (direction, most) in [
            (D::Anterior, 105.0),
            (D::Anterolateral, 105.0),
            (D::Lateral, 63.0),
            (D::Posterolateral, 42.0),
            (D::Posterior, 42.0),
        ] {
            let at = |cm: f64| refused(&athlete(), going(family, Side::Right, direction, cm));
            assert!(at(most - 1.0).is_empty(), "{family} {direction}: {:#?}", at(most - 1.0));
            let over = at(most + 1.0);
            assert_eq!(rules(&over), ["LAND-SHORT"], "{family} {direction}");
            let Blocked::Distance { at_most } = over[0].blocked else { panic!("{over:#?}") };
            assert!((at_most.in_cm() - most).abs() < 1e-6);
            is_specific(&over[0]).unwrap();
        }
    }
}

#[test]
fn a_hop_that_nobody_measured_opens_no_landing_that_a_measured_one_closes() {
    let mut unmeasured = athlete();
    for side in Side::BOTH {
        unmeasured.answers.set(Answer::HopDistance, side, Finding::NotAssessed);
    }
    let open = |findings: &Findings, cm: f64| {
        !rules(&refused(findings, going(Family::Hop, Side::Right, D::Anterior, cm))).contains(&"LAND-SHORT")
    };
    assert!(open(&unmeasured, 40.0) && !open(&unmeasured, 60.0));
    for hop in [20.0, 50.0, 90.0, 180.0] {
        let mut measured = athlete();
        for side in Side::BOTH {
            measured.answers.set(Answer::HopDistance, side, found(hop));
        }
        for cm in (10..120).map(f64::from) {
            assert!(!open(&unmeasured, cm) || open(&measured, cm), "hop {hop}, {cm} cm");
        }
    }
}

#[test]
fn after_an_anterior_approach_the_other_leg_does_not_cross_behind_the_standing_one() {
    let findings = new_hip(HipApproach::Anterior, 4, 2);
    for direction in [D::Medial, D::Posteromedial] {
        let behind =
            MovementSpec { crossing: Crossing::Behind, ..going(Family::Step, Side::Left, direction, 25.0) };
        assert!(rules(&refused(&findings, behind.clone())).contains(&"THA-A3"), "{direction}");
        let later = refused(&new_hip(HipApproach::Anterior, 13, 4), behind);
        assert!(later.is_empty(), "{later:#?}");
    }
    let in_front =
        MovementSpec { crossing: Crossing::InFront, ..going(Family::Step, Side::Left, D::Medial, 25.0) };
    assert!(!rules(&refused(&findings, in_front)).contains(&"THA-A3"));
}

#[test]
fn after_an_anterior_approach_the_operated_leg_does_not_reach_backward_either() {
    let findings = new_hip(HipApproach::Anterior, 1, 1);
    for direction in [D::Posterior, D::Posterolateral, D::Posteromedial] {
        let operated = refused(&findings, going(Family::Reach, Side::Right, direction, 25.0));
        assert!(rules(&operated).contains(&"THA-A2"), "{direction}: {operated:#?}");
        let sound = refused(&findings, going(Family::Reach, Side::Left, direction, 25.0));
        assert!(!rules(&sound).contains(&"THA-A2"), "{direction}");
    }
}

#[test]
fn the_danger_pose_outlasts_the_single_limits_and_its_reason_gives_the_angles() {
    let posed = |phase: u8, weeks: i64| {
        let findings = new_hip(HipApproach::Posterior, weeks, phase);
        let spec = going(Family::Lunge, Side::Right, D::Anterior, 50.0);
        let angles = [
            (Side::Right, Coordinate::HipFlexion, 86.0),
            (Side::Right, Coordinate::HipAdduction, 7.0),
            (Side::Right, Coordinate::HipInternalRotation, 6.0),
        ];
        let far = synthetic::posture(&angles, &[]);
        let frames = [Turn::Square, Turn::Turned]
            .map(|t| synthetic::frame(Phase::Far, t, far.clone(), [0.5, 0.5], 0.05));
        let motion = synthetic::motion(spec.clone(), frames.to_vec());
        let space = space(&findings);
        let moments = moments(&average(), &motion);
        let demands = demands(&moments, &capacity(&people::size(anatomy::Sex::Male, 176.0, 80.0)));
        space.permit(space.screen(spec).unwrap(), &motion, &moments, &demands, TODAY)
    };
    let refusals = posed(3, 8).unwrap_err();
    assert_eq!(rules(&refusals), ["THA-P4"]);
    for angle in ["86°", "7°", "6°", "80°"] {
        assert!(refusals[0].reason.contains(angle), "{}", refusals[0].reason);
    }
    assert!(refusals[0].until.is_some(), "{:#?}", refusals[0]);
    posed(4, 13).unwrap();
}

#[test]
fn who_walks_with_a_frame_keeps_a_hand_on_a_support_whatever_the_balance_tests_say() {
    let findings = Findings { aid: found(Aid::WalkingFrame), ..all_well(vec![people::falls_risk()]) };
    let free = refused(&findings, going(Family::Step, Side::Right, D::Anterior, 25.0));
    assert_eq!(rules(&free), ["FALL-7"]);
    assert!(
        refused(&all_well(vec![people::falls_risk()]), going(Family::Step, Side::Right, D::Anterior, 25.0))
            .is_empty()
    );
}

#[test]
fn a_long_shallow_lunge_is_found_where_a_short_one_bends_a_worn_knee_too_far() {
    let findings = all_well(vec![Condition::KneeOsteoarthritis {
        involved: Involved::Right,
        medial_or_varus_thrust: found(false),
        confirmed: Vec::new(),
    }]);
    let size = people::size(anatomy::Sex::Male, 176.0, 80.0);
    let (body, capacity, space) = (average(), capacity(&size), space(&findings));
    let lunge = going(Family::Lunge, Side::Right, D::Anterior, 0.0);
    let ray = Ray {
        family: Family::Lunge,
        mover: Side::Right,
        bearing: lunge.bearing,
        crossing: lunge.crossing,
        stance_foot: lunge.stance_foot,
        support: lunge.support,
        place: None,
        depth: lunge.depth,
        hand_height: None,
    };
    let short = lunge.at(body.leg_length(Side::Right).times(0.4));
    let computed = biomech::motion(&body, &capacity, &short).unwrap();
    let (moments, demands) = {
        let moments = moments(&body, &computed);
        let demands = demands(&moments, &capacity);
        (moments, demands)
    };
    let refusals =
        space.permit(space.screen(short).unwrap(), &computed, &moments, &demands, TODAY).unwrap_err();
    assert_eq!(rules(&refusals), ["KOA-1"]);
    let surveyed = space.survey_ray(&body, &capacity, ray);
    assert!(surveyed.verdict.to().is_some(), "{}", surveyed.sentence());
}

#[test]
fn a_lateral_lunge_on_a_worn_inner_knee_comes_last_and_not_never() {
    let thrust = |phases: &[u8]| {
        all_well(vec![Condition::KneeOsteoarthritis {
            involved: Involved::Right,
            medial_or_varus_thrust: found(true),
            confirmed: phases.iter().map(|phase| people::confirmation(*phase)).collect(),
        }])
    };
    let lunge = || going(Family::Lunge, Side::Right, D::Lateral, 60.0);
    let early = refused(&thrust(&[2]), lunge());
    assert_eq!(rules(&early), ["KOA-2"]);
    // A knee that thrusts stays one: the phase is the way that is open.
    assert!(early[0].opens_when.contains("phase 3"), "{}", early[0].opens_when);
    assert!(refused(&thrust(&[3]), lunge()).is_empty());
}

#[test]
fn an_angle_past_neutral_is_told_with_what_is_left_for_the_error() {
    let findings = new_hip(HipApproach::Posterior, 4, 2);
    let spec = going(Family::Step, Side::Right, D::Anterior, 40.0);
    let far = synthetic::posture(&[(Side::Right, Coordinate::HipAdduction, 8.0)], &[]);
    let frames =
        [Turn::Square, Turn::Turned].map(|t| synthetic::frame(Phase::Far, t, far.clone(), [0.5, 0.5], 0.05));
    let motion = synthetic::motion(spec.clone(), frames.to_vec());
    let space = space(&findings);
    let moments = moments(&average(), &motion);
    let demands = demands(&moments, &capacity(&people::size(anatomy::Sex::Male, 176.0, 80.0)));
    let refusals = space.permit(space.screen(spec).unwrap(), &motion, &moments, &demands, TODAY).unwrap_err();
    let reason = &refusals.iter().find(|r| r.rule == "THA-P2").unwrap().reason;
    assert!(reason.contains("8°") && reason.contains("3°"), "{reason}");
}
