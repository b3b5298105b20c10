//! What one centimetre, kilogram or degree changes, and the smallest step that is felt.

use anatomy::{BodySize, Coordinate, JointMotion, LegMuscles, PerSide, Sex, Side};
use biomech::{
    Beside, Body, Capacity, Demand, Lever, Motion, Sensitivity, SetSlope, Slope, StepOf, StepUp, demands,
    moments, motion, motion_near, sensitivities, set_sensitivities, smallest_step_up,
};
use movement::{ArmTask, Bearing, Family, HandHeight, HandShare, Load, MovementSpec, StanceFoot, Support};
use quantity::{Length, Mass};

fn person() -> (Body, Capacity) {
    let size = BodySize::new(Length::cm(176.0), Mass::kg(80.0), Sex::Male, 60, PerSide::default()).unwrap();
    (Body::of(&size), Capacity::of(&size, &[]))
}

fn spec(body: &Body, family: Family, bearing: usize, percent: f64) -> MovementSpec {
    MovementSpec {
        family,
        mover: Side::Right,
        bearing: Bearing::ALL[bearing],
        crossing: family.ways(Bearing::ALL[bearing], Side::Right)[0],
        stance_foot: StanceFoot::Fixed,
        distance: body.leg_length(Side::Right).times(percent / 100.0),
        depth: (family == Family::Lunge).then(|| body.leg_length(Side::Right).times(0.15)),
        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
        load: Load::None,
        support: Support::None,
        place: None,
        hand_share: HandShare::NotAssessed,
        arms: ArmTask::Free,
        landing: None,
        rise: Length::ZERO,
    }
}

fn solved(family: Family, bearing: usize, percent: f64) -> (Body, Capacity, Motion) {
    let (body, capacity) = person();
    let spec = spec(&body, family, bearing, percent);
    let found = motion(&body, &capacity, &spec).unwrap();
    (body, capacity, found)
}

fn slope(of: &Sensitivity, lever: Lever) -> (f64, Option<f64>) {
    match of.slopes[lever as usize] {
        Slope::PerUnit { moment, share, .. } => (moment, share),
        Slope::CannotSay { why } => panic!("{} per {}: {why:?}", of.motion, lever.unit()),
    }
}

const HIP_EXTENSION: fn() -> JointMotion = || Coordinate::HipFlexion.negative();
const KNEE_EXTENSION: fn() -> JointMotion = || Coordinate::KneeFlexion.negative();
const TRUNK_EXTENSION: fn() -> JointMotion = || Coordinate::LumbarFlexion.negative();

/// The weight of the trunk moves ahead of hip and back: both must hold more.
#[test]
fn leaning_forward_loads_the_back() {
    let mut asked = 0;
    for (family, bearing, percent) in
        [(Family::Lunge, 0, 60.0), (Family::Step, 1, 50.0), (Family::Lunge, 1, 50.0)]
    {
        let (body, capacity, found) = solved(family, bearing, percent);
        let all = sensitivities(&body, &capacity, &found);
        let trunk = all.iter().find(|s| s.side.is_none() && s.motion == TRUNK_EXTENSION());
        // Upright by least effort the back may do nothing yet.
        if let Some(trunk) = trunk {
            let (moment, share) = slope(trunk, Lever::Lean);
            assert!(moment > 1.0, "{family} {bearing}: {moment} N·m per degree");
            assert_eq!(share, None, "the back's capacity is unknown, so is the change of its share");
            asked += 1;
        }
    }
    assert!(asked >= 2, "{asked}");
}

#[test]
fn a_heavier_load_asks_more_of_the_legs_that_carry_it() {
    let (body, capacity, found) = solved(Family::Lunge, 0, 60.0);
    let all = sensitivities(&body, &capacity, &found);
    let whole: f64 = Side::BOTH
        .into_iter()
        .flat_map(|side| [HIP_EXTENSION(), KNEE_EXTENSION()].map(|m| (side, m)))
        .filter_map(|(side, m)| all.iter().find(|s| s.side == Some(side) && s.motion == m))
        .map(|s| slope(s, Lever::Load).0)
        .sum();
    assert!(whole > 0.0, "{whole}");
    for s in &all {
        if let Slope::PerUnit { one_sided, .. } = s.slopes[Lever::Load as usize] {
            assert!(one_sided, "nobody carries less than nothing");
        }
    }
}

/// The difference over another step agrees: what is printed is a slope and not the noise of a solver.
#[test]
fn half_the_step_gives_the_same_slope() {
    for (family, bearing, percent) in [(Family::Lunge, 0, 60.0), (Family::Step, 2, 50.0)] {
        let (body, capacity, found) = solved(family, bearing, percent);
        let base = motion_near(&body, &capacity, &found.spec, Some(&found)).unwrap();
        let at = |cm: f64, side: Side, motion: JointMotion| {
            let spec = found.spec.at(Length::cm(found.spec.distance.in_cm() + cm));
            let there = motion_near(&body, &capacity, &spec, Some(&base)).unwrap();
            demands(&moments(&body, &there), &capacity)
                .of(side, motion)
                .and_then(Demand::share)
                .unwrap()
                .in_one()
        };
        let mut compared = 0;
        for s in sensitivities(&body, &capacity, &found) {
            let (Some(side), Slope::PerUnit { share: Some(share), one_sided: false, .. }) =
                (s.side, s.slopes[Lever::Distance as usize])
            else {
                continue;
            };
            let half = at(0.5, side, s.motion) - at(-0.5, side, s.motion);
            assert!(
                (half - share).abs() < 0.0015 + 0.15 * share.abs(),
                "{family} {side} {}: {share} per cm over 1 cm, {half} over half",
                s.motion
            );
            compared += 1;
        }
        assert!(compared >= 4, "{compared}");
    }
}

#[test]
fn a_movement_at_the_end_of_reach_has_one_sided_slopes_or_says_why_not() {
    let (body, capacity) = person();
    // Walk out until the next centimetre fails.
    let mut last = motion(&body, &capacity, &spec(&body, Family::Reach, 0, 60.0)).unwrap();
    for _ in 0..120 {
        let next = last.spec.at(Length::cm(last.spec.distance.in_cm() + 1.0));
        match motion_near(&body, &capacity, &next, Some(&last)) {
            Some(found) => last = found,
            None => break,
        }
    }
    let beyond = last.spec.at(Length::cm(last.spec.distance.in_cm() + 1.0));
    assert!(motion_near(&body, &capacity, &beyond, Some(&last)).is_none(), "reach has an end");
    for s in sensitivities(&body, &capacity, &last) {
        if let Slope::PerUnit { one_sided, .. } = s.slopes[Lever::Distance as usize] {
            assert!(one_sided, "{}", s.motion);
        }
    }
}

#[test]
fn the_smallest_step_up_is_more_and_a_step_less_is_not() {
    let (body, capacity, found) = solved(Family::Lunge, 0, 50.0);
    let (side, motion) = (Side::Right, KNEE_EXTENSION());
    let demand = |m: &Motion| demands(&moments(&body, m), &capacity).of(side, motion).unwrap();
    let now = demand(&found);
    let mut some = 0;
    for (kind, step) in smallest_step_up(&body, &capacity, &found, side, motion) {
        let StepUp::Found { by, to, demand: then } = step else { continue };
        some += 1;
        assert_eq!(then.beside(now), Beside::More, "{kind:?}");
        assert_eq!((to.bearing, to.mover, to.family), (found.spec.bearing, Side::Right, Family::Lunge));
        if kind == StepOf::Distance && by > 1.0 {
            let less = to.at(Length::cm(to.distance.in_cm() - 1.0));
            let there = biomech::motion(&body, &capacity, &less).unwrap();
            assert_ne!(demand(&there).beside(now), Beside::More, "{by} cm");
        }
    }
    assert!(some > 0, "at least one kind of step is felt");
}

#[test]
fn no_step_up_is_named_for_a_demand_that_is_unknown() {
    let (body, capacity, found) = solved(Family::Lunge, 0, 50.0);
    let steps = smallest_step_up(&body, &capacity, &found, Side::Right, Coordinate::HipAdduction.negative());
    for (kind, step) in steps {
        assert_eq!(step, StepUp::DemandUnknown, "{kind:?}");
    }
}

/// What the hips hold the muscles behind them hold: they answer to lean and load as the moment does.
#[test]
fn leaning_and_loads_raise_the_muscles_behind_the_hip_of_the_leg_in_front() {
    let (body, capacity, found) = solved(Family::Lunge, 0, 60.0);
    let all = set_sensitivities(&body, &capacity, &found);
    let of = |set: LegMuscles, lever: Lever| {
        let found = all.iter().find(|s| s.side == Side::Right && s.set == set);
        let slopes = found.unwrap_or_else(|| panic!("{set:?} is known")).slopes;
        match slopes[lever as usize] {
            SetSlope::PerUnit { share, .. } => share,
            SetSlope::CannotSay { why } => panic!("{set:?} per {}: {why:?}", lever.unit()),
        }
    };
    for set in [LegMuscles::GluteusMaximus, LegMuscles::Hamstrings] {
        assert!(of(set, Lever::Lean) > 0.0, "{set:?} with lean");
        assert!(of(set, Lever::Load) > 0.0, "{set:?} with load");
    }
    assert!(of(LegMuscles::Vasti, Lever::Load) > 0.0, "vasti with load");
    assert!(of(LegMuscles::Vasti, Lever::Lean) < 0.0, "vasti with lean");
    // One set stands for all the vasti, and a set whose share is unknown has no slope at all.
    assert!(all.iter().all(|s| s.demand.share().is_some()));
}
