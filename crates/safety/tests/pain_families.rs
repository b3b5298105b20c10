//! A note of pain that names its movement: never stricter read than one that names none, never looser than the
//! rule says, the same in a mirror.

mod people;

use anatomy::Side;
use movement::{ArmTask, Bearing, Family, HandHeight, Landing, MovementSpec, OnReturn, Support, TurnToward};
use people::{TODAY, all_well, found, frame, space};
use person::{Condition, Findings, HowKnown, HurtAt, Involved, OrderedLimit, SurgeonOrder};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use quantity::Length;
use safety::counts_for;

fn config() -> Config {
    Config { cases: 150, rng_seed: RngSeed::Fixed(17), failure_persistence: None, ..Config::default() }
}

fn side() -> impl Strategy<Value = Side> {
    prop::sample::select(Side::BOTH.to_vec())
}

/// Two ways that mirror each other and one straight ahead.
fn bearing() -> impl Strategy<Value = Bearing> {
    prop::sample::select(vec![Bearing::ALL[0], Bearing::ALL[1], Bearing::ALL[7]])
}

fn note() -> impl Strategy<Value = HurtAt> {
    let family = prop::option::weighted(0.8, prop::sample::select(Family::ALL.to_vec()));
    let pain = prop::option::weighted(0.8, 1_u8..=8);
    let settled = prop_oneof![Just(None), any::<bool>().prop_map(Some)];
    let spreads = prop::bool::weighted(0.1);
    (side(), bearing(), family, 10_u8..70, pain, settled, spreads).prop_map(
        |(mover, bearing, family, cm, pain, settled, spreads)| HurtAt {
            mover,
            bearing,
            family,
            distance: Length::cm(f64::from(cm)),
            pain,
            settled,
            spreads,
            on: TODAY,
        },
    )
}

fn notes() -> impl Strategy<Value = Vec<HurtAt>> {
    prop::collection::vec(note(), 0..5)
}

/// Somebody who has no other reason against any of it, and in whom pain up to 3 was accepted.
fn person(notes: &[HurtAt]) -> Findings {
    let mut findings = all_well(vec![Condition::KneeOsteoarthritis {
        involved: Involved::Right,
        medial_or_varus_thrust: found(false),
        confirmed: Vec::new(),
    }]);
    findings.hurt = notes.to_vec();
    findings.orders.push(SurgeonOrder {
        limit: OrderedLimit::PainUpTo(3),
        side: None,
        by: "M. Quill".to_owned(),
        known: HowKnown::SpokenToTeam,
        from: TODAY,
        until: None,
    });
    findings
}

/// Every family that way, with each kind of arm task, free and held.
fn that_way(bearing: Bearing) -> Vec<MovementSpec> {
    let bent = ArmTask::BendAndReturn { to: HandHeight::Knee, then: OnReturn::Hang };
    let turned = ArmTask::Turn { toward: TurnToward::SameSide };
    let mut out = Vec::new();
    for (family, mover) in Family::ALL.into_iter().flat_map(|f| Side::BOTH.map(|side| (f, side))) {
        for cm in [8, 20, 35, 55] {
            let way = family.ways(bearing, mover)[0];
            let free = MovementSpec {
                depth: (family == Family::Lunge).then_some(Length::cm(9.0)),
                hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
                landing: family.is_airborne().then_some(Landing::Held),
                ..MovementSpec::bare(family, mover, bearing, way, Length::cm(f64::from(cm)))
            };
            let held = MovementSpec {
                support: Support::BothHands,
                place: Some(frame(Length::cm(176.0))),
                ..free.clone()
            };
            let with_arms = [bent, turned].map(|arms| MovementSpec { arms, ..free.clone() });
            let all = [free, held].into_iter().chain(with_arms);
            out.extend(all.filter_map(|spec| spec.checked().ok()));
        }
    }
    out
}

/// The rules of pain that speak against a movement.
fn against(findings: &Findings, spec: &MovementSpec) -> Vec<String> {
    let refusals = space(findings).screen(spec.clone()).err().unwrap_or_default();
    refusals.into_iter().map(|one| one.rule).filter(|rule| rule.starts_with("PAIN")).collect()
}

fn closed(notes: &[HurtAt], bearing: Bearing) -> Vec<bool> {
    let findings = person(notes);
    that_way(bearing).iter().map(|spec| !against(&findings, spec).is_empty()).collect()
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn one_note_more_of_any_movement_opens_nothing(notes in notes(), more in note()) {
        let mut with = notes.clone();
        with.push(more.clone());
        for ((was, is), spec) in
            closed(&notes, more.bearing).iter().zip(closed(&with, more.bearing)).zip(that_way(more.bearing))
        {
            prop_assert!(is || !was, "{} opened with {more:?} beside {notes:?}", spec.sentence());
        }
    }

    #[test]
    fn a_note_that_names_no_movement_is_never_looser_than_one_that_names_any(notes in notes(), named in note()) {
        let with = |family| -> Vec<HurtAt> {
            notes.iter().cloned().chain([HurtAt { family, ..named.clone() }]).collect()
        };
        let unnamed = closed(&with(None), named.bearing);
        let specs = that_way(named.bearing);
        for family in Family::ALL {
            for ((loose, strict), spec) in closed(&with(Some(family)), named.bearing).iter().zip(&unnamed).zip(&specs) {
                prop_assert!(strict >= loose, "{} beside {family}: {notes:?}", spec.sentence());
            }
        }
    }

    /// What a note counts for in a mirror is the mirror of what it counts for; a jump has no moving side.
    #[test]
    fn a_note_in_a_mirror_counts_for_the_mirror(note in note()) {
        let mirrored = HurtAt { mover: note.mover.other(), bearing: note.bearing.mirrored(), ..note.clone() };
        for spec in Bearing::ALL.into_iter().flat_map(that_way) {
            prop_assert_eq!(counts_for(&note, &spec), counts_for(&mirrored, &spec.mirrored()), "{}", spec.sentence());
        }
    }

    /// Both legs stand and bend under a hand that goes down: such a note never closes one side and leaves the other.
    #[test]
    fn a_note_of_a_hand_that_bends_counts_for_both_sides(note in note()) {
        let note = HurtAt { family: Some(Family::BendAndReach), ..note };
        for spec in Bearing::ALL.into_iter().flat_map(that_way) {
            let other = MovementSpec { mover: spec.mover.other(), ..spec.clone() };
            prop_assert_eq!(counts_for(&note, &spec), counts_for(&note, &other), "{}", spec.sentence());
        }
    }

    /// Of feet: as far and held alike, what stands higher on the ladder never stays open above what hurts.
    #[test]
    fn what_asks_more_of_the_same_limb_never_stays_open(notes in notes(), bearing in bearing()) {
        let findings = person(&notes);
        let specs = that_way(bearing);
        let plain = |s: &&MovementSpec| s.arms == ArmTask::Free && s.family != Family::BendAndReach;
        for light in specs.iter().filter(plain).filter(|spec| !against(&findings, spec).is_empty()) {
            let as_far = |s: &&MovementSpec| s.distance == light.distance && s.support == light.support;
            for heavy in specs.iter().filter(plain).filter(as_far) {
                let limb = heavy.mover == light.mover || heavy.family == Family::TwoFootJump;
                let level = |s: &MovementSpec| safety::level_of(s.family, Support::None, s.load);
                if limb && level(heavy) >= level(light) && light.family != Family::TwoFootJump {
                    prop_assert!(
                        !against(&findings, heavy).is_empty(),
                        "{} is shut, {} is open: {notes:?}", light.sentence(), heavy.sentence()
                    );
                }
            }
        }
    }
}

/// Three notes each, so that what they count for is left out.
fn left_out(family: Family, like: &MovementSpec) -> bool {
    let note = HurtAt {
        mover: Side::Left,
        bearing: Bearing::ALL[0],
        family: Some(family),
        distance: Length::cm(30.0),
        pain: Some(2),
        settled: None,
        spreads: false,
        on: TODAY,
    };
    let mut findings = person(&[note.clone(), note.clone(), note]);
    findings.orders.clear();
    space(&findings).left_out_for_pain(like).is_some()
}

#[test]
fn a_hand_that_hurts_leaves_steps_and_a_foot_that_hurts_leaves_hands() {
    let specs = that_way(Bearing::ALL[0]);
    let of = |family, arms| {
        let found = specs.iter().find(|s| (s.family, s.mover, s.arms) == (family, Side::Left, arms));
        found.unwrap_or_else(|| panic!("{family}"))
    };
    let bent = ArmTask::BendAndReturn { to: HandHeight::Knee, then: OnReturn::Hang };
    for (hurts, like, shut) in [
        (Family::BendAndReach, of(Family::BendAndReach, ArmTask::Free), true),
        (Family::BendAndReach, of(Family::Step, ArmTask::Free), false),
        (Family::BendAndReach, of(Family::Reach, ArmTask::Free), false),
        (Family::BendAndReach, of(Family::Step, bent), true),
        (Family::BendAndReach, of(Family::Lunge, ArmTask::Free), true),
        (Family::Step, of(Family::BendAndReach, ArmTask::Free), false),
        (Family::Step, of(Family::Reach, ArmTask::Free), true),
        (Family::Step, of(Family::Lunge, ArmTask::Free), true),
        (Family::Step, of(Family::Hop, ArmTask::Free), true),
        (Family::Lunge, of(Family::Step, ArmTask::Free), false),
        (Family::Lunge, of(Family::Leap, ArmTask::Free), true),
    ] {
        assert_eq!(left_out(hurts, like), shut, "{hurts} hurts: {}", like.sentence());
    }
}

#[test]
fn a_jump_that_hurts_holds_what_leaves_the_floor_with_either_leg_and_a_step_of_the_left_holds_the_jump() {
    let specs = that_way(Bearing::ALL[0]);
    let jump = specs.iter().find(|s| s.family == Family::TwoFootJump).expect("a jump");
    assert!(left_out(Family::Step, jump), "the left leg jumps too");
    for spec in specs.iter().filter(|s| s.family.is_airborne() && s.arms == ArmTask::Free) {
        assert!(left_out(Family::TwoFootJump, spec), "{}", spec.sentence());
    }
    let step = specs.iter().find(|s| s.family == Family::Step).expect("a step");
    assert!(!left_out(Family::TwoFootJump, step));
}

#[test]
fn pain_that_spreads_counts_for_every_movement_whatever_it_names() {
    let spread = HurtAt {
        mover: Side::Right,
        bearing: Bearing::ALL[1],
        family: Some(Family::BendAndReach),
        distance: Length::cm(30.0),
        pain: Some(1),
        settled: Some(true),
        spreads: true,
        on: TODAY,
    };
    let findings = person(&[spread]);
    for spec in that_way(Bearing::ALL[1]).iter().filter(|spec| spec.mover == Side::Right) {
        assert_eq!(against(&findings, spec), ["PAIN-SPREADS"], "{}", spec.sentence());
    }
}

/// Shortened for another movement's sake, it says which one hurt.
#[test]
fn a_refusal_names_the_movement_that_hurt() {
    let note = HurtAt {
        mover: Side::Left,
        bearing: Bearing::ALL[0],
        family: Some(Family::Step),
        distance: Length::cm(40.0),
        pain: Some(3),
        settled: None,
        spreads: false,
        on: TODAY,
    };
    let mut findings = person(&[note]);
    findings.orders.clear();
    let at = |family: Family| {
        let spec = that_way(Bearing::ALL[0])
            .into_iter()
            .find(|s| (s.family, s.mover) == (family, Side::Left) && s.distance > Length::cm(50.0))
            .expect("a movement");
        let refusals = space(&findings).screen(spec).expect_err("too far");
        refusals.into_iter().find(|one| one.rule == "PAIN-1").expect("the rule of pain").reason
    };
    let day = "2026";
    assert!(at(Family::Step).starts_with("Anterior, left leg step (named from the left leg) hurt at 40 cm"));
    let lunge = at(Family::Lunge);
    assert!(
        lunge.starts_with(
            "Anterior, left leg lunge (named from the left leg) goes the way in which a step hurt at 40 cm"
        ) && lunge.contains(day),
        "{lunge}"
    );
}
