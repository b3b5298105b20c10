//! Stories of a hip replacement: crossing closes because of computed angles, own side stays open.

mod people;

use anatomy::{Coordinate, Side};
use biomech::synthetic;
use biomech::{Body, Landmark, Motion, Phase, Turn, demands, moments, motion};
use movement::{AnatomicalDirection as D, Bearing, Crossing, Family, HandHeight, MovementSpec, Support};
use people::{TODAY, all_well, average, bodies, capacity, frame, hip, step};
use person::{Aid, Finding, Findings, HipApproach, Involved};
use quantity::{Length, Share};
use safety::{AllowedSpace, Blocked, NoteKind, PermittedMovement, Refusal, allowed_space};

const OWN_SIDE: [D; 5] = [D::Anterior, D::Anterolateral, D::Lateral, D::Posterolateral, D::Posterior];
const CROSSING: [(D, Crossing); 4] = [
    (D::Anteromedial, Crossing::InFront),
    (D::Medial, Crossing::InFront),
    (D::Medial, Crossing::Behind),
    (D::Posteromedial, Crossing::Behind),
];

fn both_gates(
    space: &AllowedSpace,
    size: &anatomy::BodySize,
    spec: MovementSpec,
) -> Result<PermittedMovement, Vec<Refusal>> {
    let (body, capacity) = (Body::of(size), capacity(size));
    let place = spec.place.map(|_| frame(size.stature()));
    let spec = MovementSpec { place, ..spec };
    let screened = space.screen(spec)?;
    let motion = motion(&body, &capacity, screened.spec()).unwrap_or_else(|e| panic!("{e}"));
    let moments = moments(&body, &motion);
    let demands = demands(&moments, &capacity);
    space.permit(screened, &motion, &moments, &demands, TODAY)
}

fn percent(size: &anatomy::BodySize, side: Side, percent: f64) -> Length {
    Body::of(size).leg_length(side).times(percent / 100.0)
}

fn rules(refusals: &[Refusal]) -> Vec<&str> {
    refusals.iter().map(|r| r.rule.as_str()).collect()
}

fn frame_user(involved: Involved, approach: Option<HipApproach>, weeks: i64) -> Findings {
    Findings { aid: people::found(Aid::WalkingFrame), ..all_well(vec![hip(involved, approach, weeks, &[])]) }
}

/// A motion with these angles of the right leg at the far point; feet under the hips.
fn posed(spec: &MovementSpec, right: &[(Coordinate, f64)], mover_right: f64) -> Motion {
    let angles: Vec<_> = right.iter().map(|(c, deg)| (Side::Right, *c, *deg)).collect();
    let foot = |side: Side, z: f64| {
        [(Landmark::Heel(side), [-0.13, 0.0, z]), (Landmark::ToeTip(side), [0.13, 0.0, z])]
    };
    let other = spec.mover.other();
    let mut points: Vec<_> = foot(spec.mover, mover_right).into_iter().collect();
    points.extend(foot(other, other.sign() * 0.09));
    points.extend(Side::BOTH.map(|s| (Landmark::Shoulder(s), [0.0, 1.4, s.sign() * 0.18])));
    let far = synthetic::posture(&angles, &points);
    let start = synthetic::posture(&[], &points);
    synthetic::motion(
        spec.clone(),
        vec![
            synthetic::frame(Phase::Start, Turn::Square, start, [0.5, 0.5], 0.05),
            synthetic::frame(Phase::Far, Turn::Square, far.clone(), [0.5, 0.5], 0.05),
            synthetic::frame(Phase::Far, Turn::Turned, far, [0.5, 0.5], 0.05),
        ],
    )
}

fn gate_b(
    space: &AllowedSpace,
    spec: MovementSpec,
    motion: &Motion,
) -> Result<PermittedMovement, Vec<Refusal>> {
    let body = average();
    let moments = moments(&body, motion);
    let demands = demands(&moments, &capacity(&people::size(anatomy::Sex::Male, 176.0, 80.0)));
    space.permit(space.screen(spec)?, motion, &moments, &demands, TODAY)
}

#[test]
fn a_posterior_hip_in_week_3_may_not_step_anteromedially_because_it_would_adduct() {
    let space =
        allowed_space(&frame_user(Involved::Right, Some(HipApproach::Posterior), 3), &average(), TODAY);
    let spec = step(Side::Right, D::Anteromedial, Crossing::InFront, Length::cm(20.0));
    let motion = posed(&spec, &[(Coordinate::HipFlexion, 75.0), (Coordinate::HipAdduction, 5.0)], 0.1);
    let refusals = gate_b(&space, spec, &motion).unwrap_err();
    assert_eq!(rules(&refusals), ["THA-P2"], "{refusals:#?}");
    assert!(
        matches!(refusals[0].blocked, Blocked::JointAngle { motion, .. } if motion == Coordinate::HipAdduction.positive())
    );
}

#[test]
fn a_posterior_hip_in_week_3_may_step_sideways_with_both_hands_held() {
    let space =
        allowed_space(&frame_user(Involved::Right, Some(HipApproach::Posterior), 3), &average(), TODAY);
    let spec = step(Side::Right, D::Lateral, Crossing::None, Length::cm(20.0));
    let motion = posed(&spec, &[(Coordinate::HipFlexion, 60.0), (Coordinate::HipAdduction, -20.0)], 0.2);
    let permitted = gate_b(&space, spec.clone(), &motion).unwrap();
    assert_eq!(permitted.level(), 1);
    assert_eq!(permitted.valid_on(), TODAY);
    let free = MovementSpec { support: Support::None, ..spec };
    assert!(!space.screen(free).unwrap_err().is_empty());
}

/// Weeks 3 with phase 2 confirmed: bend and reach to the knee is on an open level, so angles decide.
fn bending(flexion: f64) -> Result<PermittedMovement, Vec<Refusal>> {
    let findings = all_well(vec![hip(Involved::Right, Some(HipApproach::Posterior), 3, &[2])]);
    let space = allowed_space(&findings, &average(), TODAY);
    let spec = MovementSpec {
        family: Family::BendAndReach,
        hand_height: Some(HandHeight::Knee),
        support: Support::None,
        place: None,
        ..step(Side::Right, D::Anterior, Crossing::None, Length::cm(40.0))
    };
    let motion = posed(&spec, &[(Coordinate::HipFlexion, flexion)], 0.09);
    gate_b(&space, spec, &motion)
}

#[test]
fn bending_a_posterior_hip_to_100_degrees_is_blocked() {
    assert_eq!(rules(&bending(100.0).unwrap_err()), ["THA-P1"]);
}

#[test]
fn bending_a_posterior_hip_to_85_degrees_is_blocked_by_the_margin_and_to_79_is_not() {
    let refusals = bending(85.0).unwrap_err();
    assert_eq!(rules(&refusals), ["THA-P1"]);
    // 90° less the margin of 10°.
    let Blocked::JointAngle { margin, limit, .. } = &refusals[0].blocked else { panic!("{refusals:#?}") };
    assert!((limit.in_deg() - 90.0).abs() < 1e-9 && (margin.in_deg() - 10.0).abs() < 1e-9);
    bending(79.0).unwrap();
}

#[test]
fn bending_below_the_knee_starts_closed_after_a_posterior_approach() {
    let findings = all_well(vec![hip(Involved::Right, Some(HipApproach::Posterior), 3, &[2])]);
    let space = allowed_space(&findings, &average(), TODAY);
    let spec = MovementSpec {
        family: Family::BendAndReach,
        hand_height: Some(HandHeight::Ankle),
        support: Support::None,
        place: None,
        ..step(Side::Right, D::Anterior, Crossing::None, Length::cm(40.0))
    };
    assert_eq!(rules(&space.screen(spec).unwrap_err()), ["THA-P6"]);
}

#[test]
fn the_sound_leg_may_not_cross_in_front_of_a_posterior_hip_that_stands() {
    for size in bodies() {
        let space = allowed_space(
            &frame_user(Involved::Right, Some(HipApproach::Posterior), 3),
            &Body::of(&size),
            TODAY,
        );
        let spec = step(Side::Left, D::Anteromedial, Crossing::InFront, percent(&size, Side::Left, 30.0));
        let refusals = both_gates(&space, &size, spec).unwrap_err();
        assert!(rules(&refusals).contains(&"THA-P2"), "{refusals:#?}");
        assert!(refusals.iter().any(|r| matches!(
            r.blocked,
            Blocked::JointAngle { side: Side::Right, motion, .. } if motion == Coordinate::HipAdduction.positive()
        )));
        let turned_in =
            allowed_space(&frame_user(Involved::Right, Some(HipApproach::Posterior), 3), &average(), TODAY);
        let spec = step(Side::Left, D::Anteromedial, Crossing::InFront, Length::cm(20.0));
        let pose =
            posed(&spec, &[(Coordinate::HipAdduction, 8.0), (Coordinate::HipInternalRotation, 6.0)], -0.12);
        assert_eq!(rules(&gate_b(&turned_in, spec, &pose).unwrap_err()), ["THA-P2", "THA-P3"]);
    }
}

#[test]
fn a_standing_hip_may_adduct_as_far_as_standing_itself_needs_and_no_further_than_the_tolerance() {
    let space =
        allowed_space(&frame_user(Involved::Right, Some(HipApproach::Posterior), 3), &average(), TODAY);
    let spec = step(Side::Left, D::Anterior, Crossing::None, Length::cm(20.0));
    let adducted = |degrees: f64, on_the_right: f64| {
        let mut motion = posed(&spec, &[(Coordinate::HipAdduction, degrees)], -0.09);
        for far in motion.frames.iter_mut().filter(|f| f.phase == Phase::Far) {
            far.load_share.left = Share::of_one(1.0 - on_the_right);
            far.load_share.right = Share::of_one(on_the_right);
        }
        let alone = synthetic::posture(&[(Side::Right, Coordinate::HipAdduction, 5.0)], &[]);
        motion.frames.push(synthetic::frame(Phase::SingleSupport, Turn::Turned, alone, [0.0, 1.0], 0.03));
        gate_b(&space, spec.clone(), &motion)
    };
    // Standing by itself needs 5°; 3° more are the tolerance at neutral.
    let permitted = adducted(7.9, 1.0).unwrap();
    let close = permitted.notes().iter().find(|n| n.rule == "THA-P2").unwrap();
    assert!(close.words.contains("standing on that leg by itself needs 5°"), "{close}");
    let refusals = adducted(8.1, 1.0).unwrap_err();
    assert_eq!(rules(&refusals), ["THA-P2"]);
    assert!(
        refusals[0].reason.contains("by 8°, where standing on that leg by itself needs 5°"),
        "{}",
        refusals[0]
    );
}

#[test]
fn the_same_adduction_counts_in_full_on_the_leg_that_moves() {
    let space =
        allowed_space(&frame_user(Involved::Right, Some(HipApproach::Posterior), 3), &average(), TODAY);
    let spec = step(Side::Right, D::Anterior, Crossing::None, Length::cm(20.0));
    let mut motion = posed(&spec, &[(Coordinate::HipAdduction, 4.0)], 0.09);
    let alone = synthetic::posture(&[(Side::Right, Coordinate::HipAdduction, 5.0)], &[]);
    motion.frames.push(synthetic::frame(Phase::SingleSupport, Turn::Turned, alone, [1.0, 0.0], 0.03));
    assert_eq!(rules(&gate_b(&space, spec, &motion).unwrap_err()), ["THA-P2"]);
}

#[test]
fn a_square_posture_that_is_worse_than_the_turned_one_decides() {
    let space =
        allowed_space(&frame_user(Involved::Right, Some(HipApproach::Posterior), 3), &average(), TODAY);
    let spec = step(Side::Right, D::Anterior, Crossing::None, Length::cm(20.0));
    let mut motion = posed(&spec, &[(Coordinate::HipInternalRotation, 4.0)], 0.09);
    let turned = motion.frames.pop().unwrap();
    assert_eq!(turned.turn, Turn::Turned);
    let easy = posed(&spec, &[], 0.09).frames.pop().unwrap();
    motion.frames.push(easy);
    assert_eq!(rules(&gate_b(&space, spec, &motion).unwrap_err()), ["THA-P3"]);
}

#[test]
fn an_anterior_hip_in_week_2_may_not_step_backward() {
    let space =
        allowed_space(&frame_user(Involved::Right, Some(HipApproach::Anterior), 2), &average(), TODAY);
    let spec = step(Side::Right, D::Posterior, Crossing::None, Length::cm(20.0));
    assert_eq!(rules(&space.screen(spec).unwrap_err()), ["THA-A2"]);
}

#[test]
fn an_unknown_approach_refuses_what_any_approach_refuses() {
    let size = people::size(anatomy::Sex::Male, 176.0, 80.0);
    let known =
        [HipApproach::Posterior, HipApproach::Anterior, HipApproach::Lateral, HipApproach::Trochanteric];
    let space_of =
        |approach| allowed_space(&frame_user(Involved::Right, approach, 3), &Body::of(&size), TODAY);
    for mover in Side::BOTH {
        for direction in D::ALL {
            for &crossing in Crossing::ways(Bearing::of(direction, mover), mover) {
                let spec = || step(mover, direction, crossing, percent(&size, mover, 25.0));
                let passes = |approach| both_gates(&space_of(approach), &size, spec()).is_ok();
                let every = known.iter().all(|approach| passes(Some(*approach)));
                assert_eq!(passes(None), every, "{mover} {direction}");
            }
        }
    }
}

#[test]
fn week_20_without_a_confirmation_keeps_the_precautions() {
    let well =
        |confirmed: &[u8]| all_well(vec![hip(Involved::Right, Some(HipApproach::Posterior), 20, confirmed)]);
    let space = allowed_space(&well(&[2]), &average(), TODAY);
    assert_eq!(space.phases()[0].phase, 2);
    assert_eq!(space.open_level(Side::Right), 3);
    assert_eq!(allowed_space(&well(&[]), &average(), TODAY).phases()[0].phase, 1);
    let spec = step(Side::Right, D::Anteromedial, Crossing::InFront, Length::cm(20.0));
    let motion = posed(&spec, &[(Coordinate::HipAdduction, 8.0)], 0.1);
    let refusals = gate_b(&space, spec, &motion).unwrap_err();
    assert_eq!(rules(&refusals), ["THA-P2"]);
    assert_eq!(refusals[0].until, None);
    assert!(refusals[0].opens_when.contains("confirmation of phase 3"), "{}", refusals[0].opens_when);
}

#[test]
fn lunges_are_not_offered_until_phase_3_is_confirmed() {
    let lunge = MovementSpec {
        family: Family::Lunge,
        depth: Some(Length::cm(10.0)),
        support: Support::None,
        place: None,
        ..step(Side::Right, D::Anterior, Crossing::None, Length::cm(50.0))
    };
    let space = |confirmed: &[u8]| {
        let findings = all_well(vec![hip(Involved::Right, Some(HipApproach::Posterior), 8, confirmed)]);
        allowed_space(&findings, &average(), TODAY)
    };
    assert!(rules(&space(&[2]).screen(lunge.clone()).unwrap_err()).contains(&"THA-2"));
    space(&[3]).screen(lunge).unwrap();
}

#[test]
fn a_confirmation_before_the_time_gate_does_not_count() {
    let mut findings = all_well(vec![hip(Involved::Right, Some(HipApproach::Posterior), 8, &[3])]);
    let person::Condition::HipReplacement { confirmed, .. } = &mut findings.conditions[0] else {
        unreachable!()
    };
    // Five weeks after the operation: phase 3 begins at six.
    confirmed[0].on = people::weeks_ago(3);
    let space = allowed_space(&findings, &average(), TODAY);
    assert_eq!(space.phases()[0].phase, 2);
}

#[test]
fn both_hips_replaced_lose_the_crossing_directions_on_both_legs_and_keep_the_others() {
    for size in bodies() {
        let findings = frame_user(Involved::Both, Some(HipApproach::Posterior), 4);
        let space = allowed_space(&findings, &Body::of(&size), TODAY);
        for mover in Side::BOTH {
            for direction in OWN_SIDE {
                let spec = step(mover, direction, Crossing::None, percent(&size, mover, 30.0));
                let permitted = both_gates(&space, &size, spec)
                    .unwrap_or_else(|e| panic!("{mover} {direction}, {}: {e:#?}", size.stature()));
                assert_eq!(permitted.level(), 1);
                assert!(permitted.notes().iter().any(|n| matches!(n.kind, NoteKind::CloseToLimit { .. })));
            }
            for (direction, crossing) in CROSSING {
                let spec = step(mover, direction, crossing, percent(&size, mover, 30.0));
                space.screen(spec.clone()).expect("no table of directions closes crossing: gate A passes");
                let refusals = both_gates(&space, &size, spec).unwrap_err();
                let angle = |r: &Refusal| matches!(r.blocked, Blocked::JointAngle { .. });
                assert!(refusals.iter().any(angle), "{mover} {direction} {crossing:?}: {refusals:#?}");
            }
            for direction in [D::Posterior, D::Posterolateral] {
                let spec = step(mover, direction, Crossing::None, percent(&size, mover, 35.0));
                assert!(rules(&space.screen(spec).unwrap_err()).contains(&"THA-P5"));
            }
        }
    }
}

#[test]
fn one_operated_hip_closes_crossing_as_mover_and_as_the_leg_that_stands() {
    for size in bodies() {
        let findings = frame_user(Involved::Right, Some(HipApproach::Posterior), 4);
        let space = allowed_space(&findings, &Body::of(&size), TODAY);
        for mover in Side::BOTH {
            for (direction, crossing) in CROSSING {
                let spec = step(mover, direction, crossing, percent(&size, mover, 30.0));
                let refusals = both_gates(&space, &size, spec).unwrap_err();
                assert!(rules(&refusals).contains(&"THA-P2"), "{mover} {direction}: {refusals:#?}");
                assert!(
                    rules(&refusals).iter().all(|rule| ["THA-P2", "THA-P3", "SUPPORT"].contains(rule)),
                    "{mover} {direction}: {refusals:#?}"
                );
            }
        }
    }
}

#[test]
fn the_other_leg_steps_forward_past_an_operated_hip_that_stands_but_not_across_it() {
    for size in bodies() {
        let findings = frame_user(Involved::Right, Some(HipApproach::Posterior), 4);
        let space = allowed_space(&findings, &Body::of(&size), TODAY);
        let at =
            |direction, crossing| step(Side::Left, direction, crossing, percent(&size, Side::Left, 30.0));
        both_gates(&space, &size, at(D::Anterior, Crossing::None)).unwrap();
        both_gates(&space, &size, at(D::Anteromedial, Crossing::InFront)).unwrap_err();
    }
}

#[test]
fn a_refusal_says_rule_value_limit_date_and_what_would_open_it() {
    let size = people::size(anatomy::Sex::Female, 163.0, 66.0);
    let findings = frame_user(Involved::Right, Some(HipApproach::Posterior), 4);
    let space = allowed_space(&findings, &Body::of(&size), TODAY);
    let spec = step(Side::Right, D::Medial, Crossing::InFront, percent(&size, Side::Right, 30.0));
    let refusals = both_gates(&space, &size, spec).unwrap_err();
    let reason = refusals[0].to_string();
    // Operated on 2 February 2026; phase 3 begins six weeks later, on 16 March.
    assert!(reason.contains("until 15 March 2026"), "{reason}");
    assert!(reason.contains("hip adduction would pass the midline by"), "{reason}");
    assert!(reason.starts_with("Medial crossing in front, right leg step"), "{reason}");
    assert!(refusals[0].opens_when.contains("phase 3"), "{}", refusals[0].opens_when);
}

#[test]
fn nothing_is_open_while_the_wound_was_not_looked_at() {
    let findings = Findings {
        wound_dry: Finding::NotAssessed,
        ..frame_user(Involved::Right, Some(HipApproach::Posterior), 3)
    };
    let space = allowed_space(&findings, &average(), TODAY);
    assert_eq!(space.open_level(Side::Right), 0);
    let spec = step(Side::Right, D::Lateral, Crossing::None, Length::cm(20.0));
    let refusals = space.screen(spec).unwrap_err();
    assert!(refusals.iter().any(|r| r.reason.contains("a dry wound: not assessed")), "{refusals:#?}");
}
