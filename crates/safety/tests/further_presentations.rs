//! Stories of ligaments, menisci, tendons, ankles, backs and athletes, of returns and of clinics' tables.

mod people;

use anatomy::{Coordinate, PerSide, Side};
use biomech::synthetic;
use biomech::{Landmark, Motion, Phase, Turn, demands, moments};
use movement::{
    AnatomicalDirection as D, ArmTask, Bearing, Crossing, Family, HandHeight, Landing, Load, MovementSpec,
    Support,
};
use people::{
    TODAY, all_well, average, both_gates, capacity, found, hip, knee, order_of, presented, rules, space,
    step, weight,
};
use person::{
    Answer, Comorbidity, Condition, Finding, Findings, HipApproach, HowKnown, HurtAt, Involved, OrderedLimit,
    Pattern, Presentation as P, WeightBearingGrade,
};
use quantity::{Angle, Length, Mass};
use safety::{
    Layer, NoteKind, PermittedMovement, Readiness, Refusal, ServiceError, ServicePreset, allowed_space_in,
};

const NOT_CONFIRMED: [u8; 0] = [];

fn right(presentation: P, pattern: Option<Pattern>, weeks: i64, confirmed: &[u8]) -> Findings {
    all_well(vec![presented(presentation, Involved::Right, pattern, weeks, confirmed)])
}

fn general(presentation: P, confirmed: &[u8]) -> Findings {
    all_well(vec![presented(presentation, Involved::General, None, 0, confirmed)])
}

fn with(mut findings: Findings, answers: &[(Answer, Side, f64)]) -> Findings {
    for (answer, side, value) in answers {
        findings.answers.set(*answer, *side, found(*value));
    }
    findings
}

fn strong(mut findings: Findings, right_percent: f64) -> Findings {
    for strength in &mut findings.strength {
        let nm = if strength.side == Side::Right { right_percent } else { 100.0 };
        strength.moment = found(quantity::Moment::nm(nm));
    }
    findings
}

fn free(spec: MovementSpec) -> MovementSpec {
    MovementSpec { support: Support::None, place: None, ..spec }
}

fn going(family: Family, mover: Side, direction: D, cm: f64) -> MovementSpec {
    let bearing = Bearing::of(direction, mover);
    let crossing = family.ways(bearing, mover)[0];
    MovementSpec {
        family,
        depth: (family == Family::Lunge).then(|| Length::cm(10.0)),
        landing: family.is_airborne().then_some(Landing::Held),
        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
        ..free(step(mover, direction, crossing, Length::cm(cm)))
    }
}

/// A motion with these angles of the right leg at the far point, which carries half the weight.
fn posed(spec: &MovementSpec, right: &[(Coordinate, f64)]) -> Motion {
    let angles: Vec<_> = right.iter().map(|(c, deg)| (Side::Right, *c, *deg)).collect();
    let foot = |side: Side| {
        let z = side.sign() * 0.12;
        [(Landmark::Heel(side), [-0.13, 0.0, z]), (Landmark::ToeTip(side), [0.13, 0.0, z])]
    };
    let points: Vec<_> = Side::BOTH.into_iter().flat_map(foot).collect();
    let far = synthetic::posture(&angles, &points);
    let frames = [Turn::Square, Turn::Turned]
        .map(|turn| synthetic::frame(Phase::Far, turn, far.clone(), [0.5, 0.5], 0.05));
    synthetic::motion(spec.clone(), frames.to_vec())
}

fn gate_b(
    findings: &Findings,
    spec: MovementSpec,
    motion: &Motion,
) -> Result<PermittedMovement, Vec<Refusal>> {
    let space = space(findings);
    let moments = moments(&average(), motion);
    let demands = demands(&moments, &capacity(&people::size(anatomy::Sex::Male, 176.0, 80.0)));
    space.permit(space.screen(spec)?, motion, &moments, &demands, TODAY)
}

// ---- weight bearing ------------------------------------------------------------------------

#[test]
fn half_weight_ordered_leaves_no_single_leg_movement_no_lunge_and_no_jump() {
    let findings = Findings {
        weight_bearing: PerSide {
            left: weight(WeightBearingGrade::Full, None),
            right: weight(WeightBearingGrade::PartialWeightBearing, Some(50.0)),
        },
        ..right(P::MeniscusRepair, Some(Pattern::Vertical), 30, &[4])
    };
    for family in [Family::Reach, Family::Lunge, Family::Hop, Family::TwoFootJump, Family::Leap] {
        let refusals = space(&findings).screen(going(family, Side::Right, D::Anterior, 30.0)).unwrap_err();
        assert!(rules(&refusals).contains(&"WB-PARTIAL"), "{family}: {refusals:#?}");
    }
}

// ---- meniscus ------------------------------------------------------------------------------

#[test]
fn a_sewn_meniscus_in_week_8_is_not_bent_to_95_degrees_under_load() {
    let findings = right(P::MeniscusRepair, Some(Pattern::Vertical), 8, &[2]);
    let spec = going(Family::Lunge, Side::Right, D::Anterior, 50.0);
    let bent = |deg| gate_b(&findings, spec.clone(), &posed(&spec, &[(Coordinate::KneeFlexion, deg)]));
    let refusals = bent(95.0).unwrap_err();
    assert_eq!(rules(&refusals), ["MEN-2"]);
    assert!(
        refusals[0].reason.contains("95°") && refusals[0].reason.contains("90°"),
        "{}",
        refusals[0].reason
    );
    // 90° less the margin of 10°.
    bent(79.0).unwrap();
}

#[test]
fn a_root_repair_or_an_unknown_tear_bends_less_than_a_vertical_one() {
    let spec = going(Family::Lunge, Side::Right, D::Anterior, 50.0);
    let bent = |pattern| {
        let findings = right(P::MeniscusRepair, pattern, 8, &[2]);
        gate_b(&findings, spec.clone(), &posed(&spec, &[(Coordinate::KneeFlexion, 65.0)]))
    };
    bent(Some(Pattern::Vertical)).unwrap();
    assert_eq!(rules(&bent(Some(Pattern::RadialRootOrComplex)).unwrap_err()), ["MEN-3"]);
    let unknown = bent(None).unwrap_err();
    assert_eq!(rules(&unknown), ["MEN-3"]);
    assert!(
        unknown[0].opens_when.contains("radial root or complex is not among it"),
        "{}",
        unknown[0].opens_when
    );
}

#[test]
fn a_leg_in_the_air_may_bend_further_than_one_that_carries() {
    let findings = right(P::MeniscusRepair, Some(Pattern::Vertical), 8, &[2]);
    let spec = going(Family::Lunge, Side::Right, D::Anterior, 50.0);
    let mut motion = posed(&spec, &[(Coordinate::KneeFlexion, 95.0)]);
    for frame in &mut motion.frames {
        frame.load_share = PerSide { left: quantity::Share::of_one(1.0), right: quantity::Share::ZERO };
    }
    gate_b(&findings, spec, &motion).unwrap();
}

// ---- ligament ------------------------------------------------------------------------------

/// Week 12 with the figures of a published return-to-run set.
fn ligament(weeks: i64, swelling: u8, strength: f64, hop: f64) -> Findings {
    let mut f = right(P::AclReconstruction, Some(Pattern::OtherGraft), weeks, &NOT_CONFIRMED);
    f.pain_in_movement = found(1);
    f.knee_flexion = PerSide { left: found(Angle::deg(140.0)), right: found(Angle::deg(0.96 * 140.0)) };
    f.effusion.right = found(swelling);
    f = with(f, &[(Answer::HopDistance, Side::Left, 100.0), (Answer::HopDistance, Side::Right, hop)]);
    strong(f, strength)
}

fn readiness(findings: &Findings, rule: &str) -> Readiness {
    let space = space(findings);
    space.returns().iter().find(|r| r.rule == rule).map(|r| r.readiness.clone()).unwrap()
}

#[test]
fn a_ligament_in_week_12_with_every_criterion_is_for_the_clinician_to_let_run() {
    assert_eq!(readiness(&ligament(12, 1, 72.0, 71.0), "ACL-RUN"), Readiness::ForTheClinicianToConfirm);
}

#[test]
fn one_plus_of_swelling_keeps_a_ligament_from_running_and_the_reason_says_so() {
    let Readiness::NotYet { because, .. } = readiness(&ligament(12, 2, 72.0, 71.0), "ACL-RUN") else {
        panic!("ran")
    };
    assert_eq!(because, ["knee swelling (stroke test), right leg: one plus"]);
}

#[test]
fn eight_months_with_everything_above_90_percent_is_too_early_for_sport() {
    let Readiness::NotYet { because, .. } = readiness(&ligament(35, 0, 97.0, 95.0), "ACL-SPORT") else {
        panic!("played")
    };
    assert_eq!(because.len(), 1, "{because:?}");
    assert!(because[0].contains("too early before"), "{because:?}");
    assert_eq!(readiness(&ligament(40, 0, 97.0, 95.0), "ACL-SPORT"), Readiness::ForTheClinicianToConfirm);
}

#[test]
fn a_ligament_jumps_only_after_week_12_the_criteria_and_a_clinicians_word() {
    let jump = |weeks, confirmed: &[u8]| {
        let findings = right(P::AclReconstruction, Some(Pattern::OtherGraft), weeks, confirmed);
        space(&findings).screen(going(Family::TwoFootJump, Side::Right, D::Anterior, 25.0)).is_ok()
    };
    assert!(jump(12, &[4]));
    assert!(!jump(12, &[3]) && !jump(11, &[4]) && !jump(60, &NOT_CONFIRMED));
    let weak = strong(right(P::AclReconstruction, Some(Pattern::OtherGraft), 30, &[4]), 79.0);
    let refusals =
        space(&weak).screen(going(Family::TwoFootJump, Side::Right, D::Anterior, 25.0)).unwrap_err();
    assert_eq!(rules(&refusals), ["LEVEL-7"]);
}

/// Both legs carry all of the body in a jump on two feet, and one after the other in a leap: what keeps either leg on a
/// lower rung keeps the movement there, whichever leg it is written with.
#[test]
fn a_jump_and_a_leap_ask_what_was_found_on_both_legs() {
    let athlete = with(general(P::HealthyAthlete, &[]), &[]);
    for family in [Family::TwoFootJump, Family::Leap] {
        let movement = going(family, Side::Right, D::Anterior, 25.0);
        space(&athlete).screen(movement.clone()).unwrap();
        for side in Side::BOTH {
            let mut tilts = athlete.clone();
            *tilts.trendelenburg.get_mut(side) = people::found(true);
            let refusals = space(&tilts).screen(movement.clone()).unwrap_err();
            assert!(refusals.iter().any(|one| one.rule == "LEVEL-4"), "{family}, {side}: {refusals:?}");
        }
    }
}

#[test]
fn a_ligament_lands_straight_ahead_before_it_lands_to_the_side() {
    let findings = right(P::AclReconstruction, Some(Pattern::OtherGraft), 14, &[4]);
    let side = going(Family::TwoFootJump, Side::Right, D::Lateral, 25.0);
    assert_eq!(rules(&space(&findings).screen(side.clone()).unwrap_err()), ["ACL-2"]);
    space(&right(P::AclReconstruction, Some(Pattern::OtherGraft), 24, &[5])).screen(side).unwrap();
}

#[test]
fn a_knee_that_gives_way_does_not_stand_alone() {
    let findings = with(general(P::HealthyAthlete, &[]), &[]);
    let mut findings = Findings {
        conditions: vec![presented(P::AclWithoutOperation, Involved::Right, None, 0, &[5])],
        ..findings
    };
    let reach = going(Family::Reach, Side::Left, D::Anterior, 30.0);
    space(&findings).screen(reach.clone()).unwrap();
    findings.answers.set(Answer::KneeGivesWay, Side::Right, found(1.0));
    let refusals = space(&findings).screen(reach).unwrap_err();
    assert_eq!(rules(&refusals), ["ACL-3"]);
    assert!(refusals[0].reason.contains("giving way of the knee, right leg: yes"), "{}", refusals[0].reason);
}

// ---- Achilles tendon -----------------------------------------------------------------------

#[test]
fn a_sewn_tendon_in_week_5_is_not_dorsiflexed_by_10_degrees() {
    let findings = right(P::AchillesRepair, None, 5, &[]);
    let spec = step(Side::Right, D::Anterior, Crossing::None, Length::cm(25.0));
    let motion = posed(&spec, &[(Coordinate::AnkleDorsiflexion, 10.0)]);
    let refusals = gate_b(&findings, spec, &motion).unwrap_err();
    assert!(rules(&refusals).contains(&"ACH-R1"), "{refusals:#?}");
    let lunge = going(Family::Lunge, Side::Right, D::Anterior, 50.0);
    assert!(rules(&space(&findings).screen(lunge).unwrap_err()).contains(&"ACH-PHASE-4"));
}

#[test]
fn a_sewn_tendon_in_week_13_leads_a_lunge_and_is_not_left_behind() {
    let findings = right(P::AchillesRepair, None, 13, &[4]);
    let lunge = |mover, direction| space(&findings).screen(going(Family::Lunge, mover, direction, 50.0));
    lunge(Side::Right, D::Anterior).unwrap();
    lunge(Side::Left, D::Posterior).unwrap();
    for (mover, direction) in [(Side::Left, D::Anterior), (Side::Right, D::Posterior)] {
        assert_eq!(rules(&lunge(mover, direction).unwrap_err()), ["ACH-R2"], "{mover} {direction}");
    }
}

#[test]
fn a_sore_tendon_hops_after_20_heel_raises_or_90_percent_of_the_other_side() {
    let hop = |left, raises| {
        let f = right(P::AchillesTendinopathy, Some(Pattern::MidPortion), 0, &[2]);
        let f = with(f, &[(Answer::HeelRaises, Side::Left, left), (Answer::HeelRaises, Side::Right, raises)]);
        space(&f).screen(going(Family::Hop, Side::Right, D::Anterior, 25.0)).is_ok()
    };
    assert!(hop(20.0, 20.0) && hop(10.0, 9.0));
    assert!(!hop(10.0, 8.0));
}

#[test]
fn an_insertional_tendon_leaves_deep_forward_lunges_for_later() {
    let lunge = |pattern, confirmed: &[u8]| {
        let f = right(P::AchillesTendinopathy, pattern, 0, confirmed);
        space(&f).screen(going(Family::Lunge, Side::Right, D::Anterior, 50.0))
    };
    assert_eq!(rules(&lunge(Some(Pattern::Insertional), &[]).unwrap_err()), ["AT-2"]);
    assert_eq!(rules(&lunge(None, &[]).unwrap_err()), ["AT-2"]);
    lunge(Some(Pattern::MidPortion), &[]).unwrap();
    lunge(Some(Pattern::Insertional), &[2]).unwrap();
}

// ---- hip tendons, ankle, kneecap, back -----------------------------------------------------

#[test]
fn a_sore_hip_tendon_crosses_neither_stepping_nor_stood_on() {
    let findings = right(P::GlutealTendinopathy, None, 0, &[]);
    for (mover, direction) in [
        (Side::Right, D::Medial),
        (Side::Right, D::Anteromedial),
        (Side::Right, D::Posteromedial),
        // Lateral named from the leg that stands is medial of the leg that goes.
        (Side::Left, D::Medial),
        (Side::Left, D::Anteromedial),
        (Side::Left, D::Posteromedial),
    ] {
        let refusals = space(&findings).screen(going(Family::Step, mover, direction, 30.0)).unwrap_err();
        assert_eq!(rules(&refusals), ["GT-1"], "{mover} {direction}");
    }
    both_gates(&findings, going(Family::Step, Side::Right, D::Lateral, 30.0)).unwrap();
}

#[test]
fn a_sprained_ankle_is_stepped_onto_sideways_late() {
    let lateral = going(Family::Step, Side::Right, D::Lateral, 30.0);
    let early = right(P::AnkleSprain, Some(Pattern::FirstSprain), 2, &[2]);
    assert_eq!(rules(&space(&early).screen(lateral.clone()).unwrap_err()), ["ANK-2"]);
    space(&early).screen(going(Family::Step, Side::Left, D::Lateral, 30.0)).unwrap();
    space(&right(P::AnkleSprain, Some(Pattern::FirstSprain), 4, &[3])).screen(lateral).unwrap();
}

#[test]
fn a_jump_on_both_feet_is_named_from_the_injured_leg_whichever_it_is() {
    for (involved, injured) in [(Involved::Left, Side::Left), (Involved::Right, Side::Right)] {
        let sprain = all_well(vec![presented(P::AnkleSprain, involved, Some(Pattern::FirstSprain), 5, &[3])]);
        let toward = |side| MovementSpec {
            bearing: Bearing::of(D::Lateral, side),
            ..going(Family::TwoFootJump, Side::Right, D::Anterior, 25.0)
        };
        assert_eq!(rules(&space(&sprain).screen(toward(injured)).unwrap_err()), ["ANK-3"], "{injured}");
        space(&sprain).screen(toward(injured.other())).unwrap();
    }
}

#[test]
fn a_sore_kneecap_begins_in_the_early_range_and_deepens_by_criteria_and_word() {
    let spec = going(Family::Lunge, Side::Right, D::Anterior, 60.0);
    let bent = |confirmed: &[u8], deg| {
        let findings = right(P::PatellofemoralPain, None, 0, confirmed);
        gate_b(&findings, spec.clone(), &posed(&spec, &[(Coordinate::KneeFlexion, deg)]))
    };
    bent(&[], 34.0).unwrap();
    assert!(rules(&bent(&[], 36.0).unwrap_err()).contains(&"PFP-1"));
    bent(&[2], 49.0).unwrap();
    assert_eq!(rules(&bent(&[2], 51.0).unwrap_err()), ["PFP-4"]);
    bent(&[3], 80.0).unwrap();
    // A short lunge stays shallower: 60 % of a leg of about 93 cm is 56 cm.
    let short = going(Family::Lunge, Side::Right, D::Anterior, 45.0);
    let findings = right(P::PatellofemoralPain, None, 0, &[3]);
    let deep = posed(&short, &[(Coordinate::KneeFlexion, 65.0)]);
    assert_eq!(rules(&gate_b(&findings, short, &deep).unwrap_err()), ["PFP-3"]);
}

#[test]
fn a_back_that_bending_provokes_bends_to_the_knee_without_a_load() {
    let low = MovementSpec {
        hand_height: Some(HandHeight::Ankle),
        ..going(Family::BendAndReach, Side::Right, D::Anterior, 40.0)
    };
    let loaded = MovementSpec {
        load: Load::HandWeights { each: Mass::kg(2.0) },
        ..going(Family::BendAndReach, Side::Right, D::Anterior, 40.0)
    };
    let well = general(P::LowBackPain, &[]);
    for spec in [low, loaded] {
        space(&well).screen(spec.clone()).unwrap();
        let sore = with(well.clone(), &[(Answer::BackFlexionProvokes, Side::Left, 1.0)]);
        assert_eq!(rules(&space(&sore).screen(spec).unwrap_err()), ["LBP-1"]);
    }
    let overhead =
        MovementSpec { arms: ArmTask::Overhead, ..going(Family::Step, Side::Right, D::Anterior, 30.0) };
    let stiff = with(well, &[(Answer::BackExtensionProvokes, Side::Left, 1.0)]);
    assert_eq!(rules(&space(&stiff).screen(overhead).unwrap_err()), ["LBP-2"]);
}

#[test]
fn pain_that_runs_down_the_leg_leaves_the_direction_out_at_once() {
    let mut findings = general(P::LowBackPain, &[]);
    findings.orders.push(accepts(5));
    findings.hurt.push(hurt(Some(1), Some(true), true));
    let refusals = space(&findings).screen(going(Family::Step, Side::Right, D::Posterior, 10.0)).unwrap_err();
    assert_eq!(rules(&refusals), ["PAIN-SPREADS"]);
}

// ---- pain ----------------------------------------------------------------------------------

fn hurt(pain: Option<u8>, settled: Option<bool>, spreads: bool) -> HurtAt {
    HurtAt {
        mover: Side::Right,
        bearing: Bearing::of(D::Posterior, Side::Right),
        family: None,
        distance: Length::cm(40.0),
        on: TODAY,
        pain,
        settled,
        spreads,
    }
}

#[test]
fn accepted_pain_that_settled_holds_a_direction_and_strict_pain_shortens_it() {
    let at = |findings: &Findings, cm: f64| {
        space(findings)
            .screen(going(Family::Step, Side::Right, D::Posterior, cm))
            .map_err(|e| e[0].rule.clone())
    };
    let mut strict = right(P::AchillesTendinopathy, Some(Pattern::MidPortion), 0, &[]);
    strict.hurt.push(hurt(Some(4), Some(true), false));
    assert!(at(&strict, 30.0).is_ok());
    assert_eq!(at(&strict, 40.0).unwrap_err(), "PAIN-1");
    let mut relaxed = strict.clone();
    relaxed.orders.push(accepts(5));
    assert!(at(&relaxed, 40.0).is_ok());
    assert_eq!(at(&relaxed, 45.0).unwrap_err(), "PAIN-HOLD");
    // Not settled, more than accepted, or only the patient's word: strict again.
    for (pain, settled, known) in [
        (Some(4), Some(false), HowKnown::SpokenToTeam),
        (Some(6), Some(true), HowKnown::SpokenToTeam),
        (None, Some(true), HowKnown::SpokenToTeam),
        (Some(4), Some(true), HowKnown::PatientSays),
    ] {
        let mut again = relaxed.clone();
        again.hurt = vec![hurt(pain, settled, false)];
        again.orders[0].known = known;
        assert_eq!(at(&again, 40.0).unwrap_err(), "PAIN-1", "{pain:?} {settled:?} {known:?}");
    }
    // It hurt before the order's first day, or the order is about one leg and nobody told which leg hurt.
    let mut before = relaxed.clone();
    before.hurt[0].on = before.orders[0].from.yesterday().unwrap();
    assert_eq!(at(&before, 40.0).unwrap_err(), "PAIN-1");
    before.hurt[0].on = before.orders[0].from;
    assert!(at(&before, 40.0).is_ok());
    let one_leg = |findings: &Findings| space(findings).notes().iter().any(|n| n.rule == "PAIN-ONE-LEG");
    for side in Side::BOTH {
        let mut of_one = relaxed.clone();
        of_one.orders[0].side = Some(side);
        assert_eq!(at(&of_one, 40.0).unwrap_err(), "PAIN-1", "{side}");
        assert!(one_leg(&of_one) && !one_leg(&relaxed));
    }
}

/// An order that accepts pain, of whichever leg.
fn accepts(pain: u8) -> person::SurgeonOrder {
    person::SurgeonOrder { side: None, ..order_of(OrderedLimit::PainUpTo(pain)) }
}

#[test]
fn two_directions_in_one_session_or_a_worse_morning_take_the_programme_back() {
    let told = |hurt: Vec<HurtAt>| {
        let mut f = right(P::AchillesTendinopathy, Some(Pattern::MidPortion), 0, &[]);
        f.orders.push(accepts(5));
        f.hurt = hurt;
        space(&f).notes().iter().any(|n| n.rule == "PAIN-BACK-OFF")
    };
    let other = |pain| HurtAt { bearing: Bearing::of(D::Lateral, Side::Right), ..hurt(pain, None, false) };
    assert!(told(vec![hurt(Some(6), None, false), other(Some(2))]));
    assert!(!told(vec![hurt(Some(6), None, false)]));
    assert!(!told(vec![hurt(Some(6), None, false), hurt(Some(6), None, false)]));
    assert!(told(vec![hurt(Some(2), Some(false), false)]));
    // Accepted pain that settled does not count.
    let fine = HurtAt { settled: Some(true), ..other(Some(2)) };
    assert!(!told(vec![hurt(Some(2), Some(true), false), fine]));
}

#[test]
fn two_plus_of_swelling_holds_and_the_third_time_refers() {
    let mut findings = right(P::AclReconstruction, Some(Pattern::OtherGraft), 12, &[2]);
    findings.effusion.right = found(3);
    let kinds = |f: &Findings| space(f).notes().iter().map(|n| n.kind.clone()).collect::<Vec<_>>();
    assert!(kinds(&findings).contains(&NoteKind::Hold));
    let third = with(findings.clone(), &[(Answer::SwellingEpisodes, Side::Right, 3.0)]);
    assert!(kinds(&third).contains(&NoteKind::Refer) && !kinds(&third).contains(&NoteKind::Hold));
    findings.effusion.right = found(2);
    assert!(!kinds(&findings).contains(&NoteKind::Hold));
    assert!(space(&third).open_level(Side::Right) < 4);
}

// ---- athlete, other conditions, orders -----------------------------------------------------

#[test]
fn an_athlete_who_meets_every_criterion_hops_and_one_who_was_not_tested_does_not() {
    let hop = going(Family::Hop, Side::Right, D::Anterior, 30.0);
    let well = general(P::HealthyAthlete, &[]);
    both_gates(&well, hop.clone()).unwrap();
    let mut untested = well;
    untested.answers.set(Answer::CleanLandings, Side::Left, Finding::NotAssessed);
    let refusals = space(&untested).screen(hop).unwrap_err();
    assert_eq!(rules(&refusals), ["LEVEL-8"]);
    assert!(refusals[0].reason.contains("clean landings: not assessed"), "{}", refusals[0].reason);
}

#[test]
fn other_conditions_tighten_each_in_its_own_way() {
    let screen = |other: &[Comorbidity], spec: MovementSpec| {
        let mut f = general(P::HealthyAthlete, &[]);
        f.other_conditions = found(other.to_vec());
        for answer in [
            Answer::CardiacClearance,
            Answer::CarerLeads,
            Answer::BoneSpecialistPlan,
            Answer::PelvicHealthClearance,
        ] {
            f.answers.set(answer, Side::Left, Finding::NotAssessed);
        }
        let space = space(&f);
        space.screen(spec).map(|_| ()).map_err(|e| e.into_iter().map(|r| r.rule).collect::<Vec<_>>())
    };
    let walk = || going(Family::Step, Side::Right, D::Anterior, 30.0);
    let jump = || going(Family::TwoFootJump, Side::Right, D::Anterior, 25.0);
    screen(&[], walk()).unwrap();
    screen(&[], jump()).unwrap();
    screen(&[Comorbidity::Anticoagulant], jump()).unwrap();
    assert_eq!(screen(&[Comorbidity::Osteoporosis], jump()).unwrap_err(), ["OST-3"]);
    assert_eq!(screen(&[Comorbidity::Pregnancy], jump()).unwrap_err(), ["PRG-1"]);
    assert_eq!(screen(&[Comorbidity::Neuropathy], walk()).unwrap_err(), ["NEU-1"]);
    assert_eq!(screen(&[Comorbidity::Vestibular], walk()).unwrap_err(), ["VES-1"]);
    assert_eq!(screen(&[Comorbidity::CognitiveImpairment], walk()).unwrap_err(), ["COG-1"]);
    assert_eq!(screen(&[Comorbidity::HeartOrBloodPressure], walk()).unwrap_err(), ["HRT-1"]);
}

#[test]
fn other_conditions_that_nobody_asked_about_are_all_kept() {
    let mut f = general(P::HealthyAthlete, &[]);
    f.other_conditions = Finding::NotAssessed;
    let refusals = space(&f).screen(going(Family::Step, Side::Right, D::Anterior, 30.0)).unwrap_err();
    assert_eq!(rules(&refusals), ["NEU-1", "VES-1"]);
    assert!(refusals[0].reason.contains("other conditions and medicines: not assessed"));
}

#[test]
fn a_hypermobile_joint_stops_10_degrees_short_of_its_end() {
    let mut f = general(P::HealthyAthlete, &[]);
    f.other_conditions = found(vec![Comorbidity::Hypermobility]);
    let spec = going(Family::Lunge, Side::Right, D::Anterior, 50.0);
    let end = average().range_of(Side::Right, Coordinate::KneeFlexion.positive()).in_deg();
    let bent = |deg| gate_b(&f, spec.clone(), &posed(&spec, &[(Coordinate::KneeFlexion, deg)]));
    bent(end - 11.0).unwrap();
    assert_eq!(rules(&bent(end - 9.0).unwrap_err()), ["HYP-1"]);
}

#[test]
fn an_order_in_centimetres_kilograms_or_body_weights_is_kept_and_named() {
    let well = general(P::HealthyAthlete, &[]);
    let ordered = |limit| {
        let mut f = well.clone();
        f.orders.push(order_of(limit));
        f
    };
    let far = going(Family::Step, Side::Right, D::Anterior, 41.0);
    let refusals =
        space(&ordered(OrderedLimit::DistanceAtMost(Length::cm(40.0)))).screen(far.clone()).unwrap_err();
    assert_eq!(refusals[0].layer, Layer::SurgeonOrder);
    assert!(refusals[0].reason.contains("Dr Ferrow ordered 40 cm at most"), "{}", refusals[0].reason);
    // The order is about the right leg only.
    space(&ordered(OrderedLimit::DistanceAtMost(Length::cm(40.0))))
        .screen(going(Family::Step, Side::Left, D::Anterior, 41.0))
        .unwrap();
    let loaded = MovementSpec { load: Load::HandWeights { each: Mass::kg(2.0) }, ..far };
    let refusals = space(&ordered(OrderedLimit::LoadAtMost(Mass::kg(3.0)))).screen(loaded).unwrap_err();
    assert_eq!(rules(&refusals), ["ORDER"]);
    let hop = going(Family::Hop, Side::Right, D::Anterior, 30.0);
    both_gates(&ordered(OrderedLimit::ImpactAtMost(9.0)), hop.clone()).unwrap();
    let refusals = both_gates(&ordered(OrderedLimit::ImpactAtMost(1.5)), hop).unwrap_err();
    assert_eq!(rules(&refusals), ["ORDER"]);
    assert!(refusals[0].reason.contains("1.5 is the limit"), "{}", refusals[0].reason);
}

#[test]
fn a_new_knee_jumps_only_when_the_team_opens_it_and_every_criterion_is_met() {
    let jump = going(Family::TwoFootJump, Side::Right, D::Anterior, 25.0);
    let mut findings = all_well(vec![knee(Involved::Right, 60, &[4])]);
    let refusals = space(&findings).screen(jump.clone()).unwrap_err();
    assert_eq!(rules(&refusals), ["TKA-J"]);
    assert!(refusals[0].opens_when.contains("by an order"), "{}", refusals[0].opens_when);
    findings.orders.push(order_of(OrderedLimit::MayOpenLevel(7)));
    space(&findings).screen(jump.clone()).unwrap();
    assert!(space(&findings).notes().iter().any(|n| n.kind == NoteKind::LooserOrder));
    let mut weak = strong(findings.clone(), 70.0);
    assert!(rules(&space(&weak).screen(jump.clone()).unwrap_err()).contains(&"LEVEL-7"));
    weak.orders[0].known = HowKnown::PatientSays;
    assert!(rules(&space(&weak).screen(jump.clone()).unwrap_err()).contains(&"TKA-J"));
    // Nobody at risk of falling jumps, whatever was ordered.
    findings.conditions.push(people::falls_risk());
    assert_eq!(rules(&space(&findings).screen(jump).unwrap_err()), ["FALL-2"]);
}

// ---- clinics -------------------------------------------------------------------------------

fn service(changes: &str) -> Result<ServicePreset, ServiceError> {
    ServicePreset::read(&format!(
        "[service]\nclinic = \"Harbour Lane Clinic\"\npresentation = \"hip_replacement\"\nby = \"Tarn\"\n\
         on = 2026-01-05\nwhy = \"agreed in the house\"\n{changes}"
    ))
}

const SIGNED: &str = "by = \"Tarn\"\non = 2026-01-05\nwhy = \"four quiet weeks\"\n";

fn hip_bent(
    services: &[ServicePreset],
    findings: &Findings,
    deg: f64,
) -> Result<PermittedMovement, Vec<Refusal>> {
    let space = allowed_space_in(services, findings, &average(), TODAY);
    let spec = going(Family::BendAndReach, Side::Right, D::Anterior, 40.0);
    let motion = posed(&spec, &[(Coordinate::HipFlexion, deg)]);
    let moments = moments(&average(), &motion);
    let demands = demands(&moments, &capacity(&people::size(anatomy::Sex::Male, 176.0, 80.0)));
    space.permit(space.screen(spec)?, &motion, &moments, &demands, TODAY)
}

#[test]
fn a_clinics_70_degrees_goes_before_the_default_and_an_order_before_the_clinic() {
    let mut findings = all_well(vec![hip(Involved::Right, Some(HipApproach::Posterior), 3, &[2])]);
    let services = [service(&format!("[[change]]\nrule = \"THA-P1\"\nat_most_deg = 70\n{SIGNED}")).unwrap()];
    hip_bent(&[], &findings, 75.0).unwrap();
    let refusals = hip_bent(&services, &findings, 75.0).unwrap_err();
    assert_eq!(refusals[0].layer, Layer::ServicePreset);
    let told = "as Tarn of Harbour Lane Clinic set it on 5 January 2026 (four quiet weeks)";
    assert!(refusals[0].reason.contains(told), "{}", refusals[0].reason);
    let flexion = Coordinate::HipFlexion.positive();
    findings.orders.push(order_of(OrderedLimit::JointAngle { motion: flexion, at_most: Angle::deg(100.0) }));
    let permitted = hip_bent(&services, &findings, 75.0).unwrap();
    assert!(permitted.notes().iter().any(|n| n.kind == NoteKind::LooserOrder && n.words.contains("70°")));
}

#[test]
fn a_clinics_looser_table_is_kept_and_told_with_who_when_and_why() {
    let findings = all_well(vec![hip(Involved::Right, Some(HipApproach::Posterior), 3, &[2])]);
    let services = [service(&format!("[[change]]\nrule = \"THA-P1\"\nat_most_deg = 110\n{SIGNED}")).unwrap()];
    let permitted = hip_bent(&services, &findings, 95.0).unwrap();
    let note = permitted.notes().iter().find(|n| n.kind == NoteKind::LooserService).unwrap();
    assert!(note.words.contains("looser than the default (90°)") && note.words.contains("Tarn"), "{note}");
    // Somebody without a new hip hears nothing of it.
    let other = allowed_space_in(&services, &general(P::LowBackPain, &[]), &average(), TODAY);
    assert!(!other.notes().iter().any(|n| n.kind == NoteKind::LooserService));
}

#[test]
fn a_clinics_later_phase_holds_and_its_own_rule_is_refused_in_its_name() {
    let findings = all_well(vec![hip(Involved::Right, Some(HipApproach::Posterior), 7, &[3])]);
    let later = [service(&format!("[[change]]\nphase = 3\nfrom_week = 8\n{SIGNED}")).unwrap()];
    let phase = |services: &[ServicePreset]| {
        allowed_space_in(services, &findings, &average(), TODAY).phases()[0].phase
    };
    assert_eq!((phase(&[]), phase(&later)), (3, 2));
    let own = "[[rule]]\nrule = \"HOUSE-1\"\nabout = { families = [\"step\"], directions = [\"medial\"] }\n\
               closed = \"direction\"\nwords = \"no step across in this house\"\nsource = \"practice\"\nread = \"practice\"\n";
    let services = [service(own).unwrap()];
    let spec = going(Family::Step, Side::Right, D::Medial, 30.0);
    let refusals = allowed_space_in(&services, &findings, &average(), TODAY).screen(spec).unwrap_err();
    let house = refusals.iter().find(|r| r.rule == "HOUSE-1").unwrap();
    assert_eq!(house.layer, Layer::ServicePreset);
}

#[test]
fn a_clinics_table_without_signature_effect_or_target_is_refused_with_what_is_accepted() {
    let unsigned =
        service("[[change]]\nrule = \"THA-P1\"\nat_most_deg = 70\nby = \"\"\non = 2026-01-05\nwhy = \"x\"\n");
    assert!(matches!(unsigned, Err(ServiceError::Unsigned { .. })));
    let nothing = service(&format!("[[change]]\nrule = \"THA-P1\"\nfrom_week = 3\n{SIGNED}"));
    assert!(matches!(nothing, Err(ServiceError::NoEffect { .. })));
    let Err(unknown) = service(&format!("[[change]]\nrule = \"THA-X\"\nat_most_deg = 70\n{SIGNED}")) else {
        panic!("read")
    };
    assert!(unknown.to_string().contains("THA-P1"), "{unknown}");
    let Err(other) = ServicePreset::read(
        "[service]\nclinic = \"C\"\npresentation = \"hip\"\nby = \"T\"\non = 2026-01-05\nwhy = \"w\"\n",
    ) else {
        panic!("read")
    };
    assert!(other.to_string().contains("hip_replacement"), "{other}");
}

#[test]
fn two_presentations_of_one_knee_keep_the_rules_of_both() {
    let mut findings = right(P::AclReconstruction, Some(Pattern::OtherGraft), 10, &[3]);
    findings.conditions.push(presented(
        P::MeniscusRepair,
        Involved::Right,
        Some(Pattern::RadialRootOrComplex),
        10,
        &[2],
    ));
    let spec = going(Family::Lunge, Side::Right, D::Anterior, 50.0);
    let refusals =
        gate_b(&findings, spec.clone(), &posed(&spec, &[(Coordinate::KneeFlexion, 82.0)])).unwrap_err();
    assert_eq!(rules(&refusals), ["ACL-K2", "MEN-2", "MEN-3"]);
    let alone = |condition: Condition| space(&all_well(vec![condition])).open_level(Side::Right);
    let ligament =
        alone(presented(P::AclReconstruction, Involved::Right, Some(Pattern::OtherGraft), 10, &[3]));
    let meniscus = alone(presented(P::MeniscusRepair, Involved::Right, Some(Pattern::Vertical), 10, &[2]));
    assert_eq!((ligament, meniscus), (6, 5));
    assert_eq!(space(&findings).open_level(Side::Right), 5);
}
