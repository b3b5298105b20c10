//! Published and worked values, stories and hostile input for scoring.

use anatomy::{PerSide, Side};
use measurement::{
    Attempts, BodyMeasures, Bound, Caution, CompositeError, InstrumentKey, InvalidReason, MadeFrom,
    Normalised, Per, Scale, Score, ScoreError, ScoreForm, Scored, StanceDirection, SymmetryError, Torque,
    Trial, Unit, capacity_before_injury, composite, hop_battery, normalise, score, share_of, stored_score,
    symmetry, torque,
};
use movement::AnatomicalDirection as D;
use proptest::prelude::*;
use quantity::{Force, Length, Mass};

fn key(key: &str) -> InstrumentKey {
    InstrumentKey::find(key).expect("the test exists")
}

fn tried(key: InstrumentKey, values: &[f64]) -> Attempts {
    Attempts {
        unit: key.instrument().unit,
        practice: Some(key.instrument().practice),
        trials: values.iter().map(|value| Trial::Valid(*value)).collect(),
    }
}

fn scored(name: &str, values: &[f64], form: ScoreForm) -> Score {
    match score(key(name), &tried(key(name), values), form) {
        Ok(Scored::Score(score)) => score,
        other => panic!("{name}: {other:?}"),
    }
}

fn refused(name: &str, trials: Vec<Trial>, form: ScoreForm) -> ScoreError {
    let tried = Attempts { unit: key(name).instrument().unit, practice: Some(4), trials };
    score(key(name), &tried, form).expect_err("no score")
}

fn body(limb_cm: f64) -> BodyMeasures {
    let limb = Some(Length::cm(limb_cm));
    BodyMeasures {
        limb_length: PerSide { left: limb, right: limb },
        height: Some(Length::cm(175.0)),
        mass: Some(Mass::kg(75.0)),
    }
}

fn close(value: f64, expected: f64) {
    assert!((value - expected).abs() < 1e-9 * expected.abs().max(1.0), "{value} instead of {expected}");
}

/// Worked example: limb 90 cm; the composite of means and of bests lie on either side of a cut of 94 that is
/// used in research, which is why the two forms are never mixed.
#[test]
fn three_directions_give_the_worked_percentages_and_both_composites() {
    let set = [
        (D::Anterior, [63.0, 64.0, 65.0], 72.222_222_222_222_23),
        (D::Posteromedial, [96.0, 97.0, 98.0], 108.888_888_888_888_89),
        (D::Posterolateral, [90.0, 92.0, 91.0], 102.222_222_222_222_23),
    ];
    for (form, expected) in
        [(ScoreForm::BestOf(3), 94.444_444_444_444_44), (ScoreForm::MeanOf(3), 93.333_333_333_333_33)]
    {
        let parts: Vec<(StanceDirection, Scored)> = set
            .iter()
            .map(|(name, values, best)| {
                let score = scored("three_reach", values, form);
                if form == ScoreForm::BestOf(3) {
                    let value = normalise(&score, Scale::LimbLength, Some(Side::Right), &body(90.0)).value();
                    close(value.expect("a percentage"), *best);
                }
                (StanceDirection::named(*name), Scored::Score(score))
            })
            .collect();
        let parts: Vec<(StanceDirection, &Scored)> = parts.iter().map(|(d, s)| (*d, s)).collect();
        let whole = composite(&parts).expect("a composite");
        assert_eq!((whole.instrument.as_str(), whole.form), ("three_reach_composite", form));
        let share = normalise(&whole, Scale::LimbLength, Some(Side::Right), &body(90.0)).value();
        close(share.expect("a percentage"), expected);
    }
}

#[test]
fn eight_directions_make_a_composite_and_seven_do_not() {
    let parts: Vec<(StanceDirection, Scored)> = StanceDirection::all()
        .enumerate()
        .map(|(i, direction)| {
            let value = 70.0 + i as f64;
            (direction, Scored::Score(scored("star_reach", &[value; 3], ScoreForm::MeanOf(3))))
        })
        .collect();
    let parts: Vec<(StanceDirection, &Scored)> = parts.iter().map(|(d, s)| (*d, s)).collect();
    // 70 + (0 + … + 7) / 8
    close(composite(&parts).expect("eight").value, 73.5);
    assert!(matches!(composite(&parts[..7]), Err(CompositeError::Directions { .. })));
    let mut doubled = parts.clone();
    doubled[7] = doubled[0];
    assert!(matches!(composite(&doubled), Err(CompositeError::Directions { .. })));
    assert!(matches!(composite(&[]), Err(CompositeError::NoComposite { .. })));
    let unable = Scored::Unable { instrument: key("star_reach"), raw: vec![Trial::Unable] };
    let mut with = parts.clone();
    with[2].1 = &unable;
    assert!(matches!(composite(&with), Err(CompositeError::Unable { .. })));
    let best = Scored::Score(scored("star_reach", &[70.0; 3], ScoreForm::BestOf(3)));
    let mut mixed = parts;
    mixed[1].1 = &best;
    assert!(matches!(composite(&mixed), Err(CompositeError::Mixed { .. })));
}

/// 2.00 s against 1.80 s is 90.0 %, not 111.1 %: the slower limb is the worse one.
#[test]
fn a_timed_test_is_inverted_so_that_below_a_hundred_is_worse() {
    let involved = scored("timed_hop", &[2.0, 2.0], ScoreForm::MeanOf(2));
    let other = scored("timed_hop", &[1.8, 1.8], ScoreForm::MeanOf(2));
    close(symmetry(&involved, &other).expect("a ratio").value, 90.0);
    close(symmetry(&other, &involved).expect("a ratio").value, 111.111_111_111_111_11);
}

/// 150 cm beside 170 cm now and 185 cm before the operation: 88.24 % and 81.08 %.
#[test]
fn capacity_before_the_injury_is_lower_than_symmetry_when_the_other_limb_lost_too() {
    let hop = |cm: f64| scored("single_hop", &[cm, cm], ScoreForm::MeanOf(2));
    let now = symmetry(&hop(150.0), &hop(170.0)).expect("a ratio");
    let before = capacity_before_injury(&hop(150.0), &hop(185.0)).expect("a ratio");
    close(now.value, 88.235_294_117_647_06);
    close(before.value, 81.081_081_081_081_08);
    assert_eq!((now.involved, now.reference, before.reference), (150.0, 170.0, 185.0));
}

#[test]
fn the_four_hops_average_once_each_in_one_form() {
    let pair = |name: &str, a: f64, b: f64| {
        let form = ScoreForm::MeanOf(2);
        symmetry(&scored(name, &[a, a], form), &scored(name, &[b, b], form)).expect("a ratio")
    };
    let four = [
        pair("single_hop", 90.0, 100.0),
        pair("timed_hop", 2.0, 1.6),
        pair("triple_hop", 340.0, 400.0),
        pair("crossover_hop", 285.0, 300.0),
    ];
    // (90 + 80 + 85 + 95) / 4
    close(hop_battery(&four).expect("a mean").value, 87.5);
    assert!(hop_battery(&four[..3]).is_err());
    assert!(hop_battery(&[four[0].clone(), four[0].clone(), four[2].clone(), four[3].clone()]).is_err());
}

/// 300 N at 0.32 m and 75 kg: 1.28 N·m/kg. Held by hand it measures the tester.
#[test]
fn a_force_at_a_lever_becomes_a_torque_for_each_kilogram() {
    let Torque::Value { moment, tester_measured } = torque(Force::n(300.0), Length::m(0.32), true) else {
        panic!("a torque");
    };
    assert!(tester_measured);
    let trial = scored("knee_extension_torque", &[moment.in_nm(); 3], ScoreForm::BestOf(3));
    let per_kg = normalise(&trial, Scale::BodyMass, Some(Side::Left), &body(90.0));
    assert!(matches!(per_kg, Normalised::Value { unit: Unit::NmPerKg, .. }));
    close(per_kg.value().expect("a value"), 1.28);
    assert!(matches!(torque(Force::n(300.0), Length::m(32.0), false), Torque::Implausible { .. }));
    let flexion = scored("knee_flexion_torque", &[48.0; 3], ScoreForm::BestOf(3));
    close(share_of(&flexion, &trial).expect("a share"), 50.0);
}

#[test]
fn not_possible_is_a_result_and_never_a_zero() {
    let reach = key("star_reach");
    let heel = InvalidReason::find("heel_lifted").expect("a reason");
    for trials in
        [vec![Trial::Unable], vec![Trial::Invalid(heel), Trial::Unable], vec![Trial::Invalid(heel); 6]]
    {
        let tried = Attempts { unit: Unit::Cm, practice: Some(4), trials: trials.clone() };
        let outcome = score(reach, &tried, ScoreForm::MeanOf(3)).expect("an outcome");
        assert_eq!(outcome, Scored::Unable { instrument: reach, raw: trials });
        assert!(outcome.score().is_none());
    }
    let five = refused("star_reach", vec![Trial::Invalid(heel); 5], ScoreForm::MeanOf(3));
    assert!(
        five.to_string().contains("needs 3 valid trials, there are 0 (others: the heel lifted)"),
        "{five}"
    );
    let no_answer = refused("pain_0_10", vec![Trial::Unable], ScoreForm::Single);
    assert!(matches!(no_answer, ScoreError::CannotBeUnable { .. }));
}

#[test]
fn a_stance_stopped_at_the_cap_is_a_lower_limit() {
    let stance = key("stance_eyes_open");
    let tried = |trials: Vec<Trial>| Attempts { unit: Unit::S, practice: Some(1), trials };
    let of = |trials, form| match score(stance, &tried(trials), form) {
        Ok(Scored::Score(score)) => score,
        other => panic!("{other:?}"),
    };
    let trials = vec![Trial::Valid(30.0), Trial::Capped, Trial::Valid(15.0)];
    let best = of(trials.clone(), ScoreForm::BestOf(3));
    assert_eq!((best.value, best.bound), (45.0, Bound::AtLeast));
    assert!(best.to_string().starts_with("at least 45.00 s"), "{best}");
    let mean = of(trials.clone(), ScoreForm::MeanOf(3));
    assert_eq!((mean.value, mean.bound), (30.0, Bound::AtLeast));
    // A clock that shows the cap is the cap.
    let full = of(vec![Trial::Valid(45.0), Trial::Valid(2.0), Trial::Valid(3.0)], ScoreForm::BestOf(3));
    assert_eq!(full.bound, Bound::AtLeast);
    let short = of(vec![Trial::Valid(44.9), Trial::Valid(2.0), Trial::Valid(3.0)], ScoreForm::BestOf(3));
    assert_eq!(short.bound, Bound::Exact);
    assert!(matches!(symmetry(&best, &short), Err(SymmetryError::Capped { .. })));
    assert!(matches!(
        refused("single_hop", vec![Trial::Capped; 2], ScoreForm::MeanOf(2)),
        ScoreError::NoCap { .. }
    ));
    assert!(matches!(
        refused("stance_eyes_open", vec![Trial::Valid(46.0); 3], ScoreForm::BestOf(3)),
        ScoreError::OutOfRange { .. }
    ));
}

#[test]
fn a_missing_limb_length_gives_no_percentage_and_the_other_limb_does_not_stand_in() {
    let reach = scored("star_reach", &[70.0; 3], ScoreForm::MeanOf(3));
    let mut only_left = BodyMeasures::NONE;
    only_left.limb_length.left = Some(Length::cm(90.0));
    let of = |side, body: &BodyMeasures| normalise(&reach, Scale::LimbLength, side, body);
    assert!(of(Some(Side::Left), &only_left).value().is_some());
    assert_eq!(
        of(Some(Side::Right), &only_left),
        Normalised::Missing { what: "length of the right limb".to_owned() }
    );
    assert!(matches!(of(None, &body(90.0)), Normalised::Missing { .. }));
    for wrong in [0.0, 0.9, 900.0] {
        assert!(matches!(of(Some(Side::Left), &body(wrong)), Normalised::Implausible { .. }), "{wrong}");
    }
    assert_eq!(normalise(&reach, Scale::BodyMass, None, &body(90.0)), Normalised::NotOffered);
}

#[test]
fn a_wrong_unit_form_number_or_reason_is_named_with_what_is_accepted() {
    let reach = key("star_reach");
    let wrong_unit = Attempts { unit: Unit::M, practice: None, trials: vec![Trial::Valid(0.7); 3] };
    let said = score(reach, &wrong_unit, ScoreForm::MeanOf(3)).unwrap_err().to_string();
    assert!(said.contains("`cm`") && said.contains("`m`"), "{said}");
    let form = score(reach, &tried(reach, &[70.0; 6]), ScoreForm::BestOf(6)).unwrap_err().to_string();
    assert!(form.contains("mean of 3, best of 3"), "{form}");
    let few = refused("star_reach", vec![Trial::Valid(70.0); 2], ScoreForm::MeanOf(3)).to_string();
    assert!(few.contains("needs 3 valid trials, there are 2"), "{few}");
    let half = refused("pain_0_10", vec![Trial::Valid(3.5)], ScoreForm::Single).to_string();
    assert!(half.contains("whole"), "{half}");
    let arms = InvalidReason::find("arms_used").expect("a reason");
    let other = refused("star_reach", vec![Trial::Invalid(arms)], ScoreForm::MeanOf(3));
    assert!(matches!(other, ScoreError::OtherReason { .. }));
    let derived = refused("hop_battery", vec![], ScoreForm::MeanOf(2));
    assert!(matches!(derived, ScoreError::Derived { .. }));
    assert!(InvalidReason::find("bored").unwrap_err().to_string().contains("heel_lifted"));
}

#[test]
fn later_trials_are_kept_and_do_not_make_a_better_best() {
    let six = scored("star_reach", &[70.0, 71.0, 69.0, 75.0, 76.0, 80.0], ScoreForm::BestOf(3));
    assert_eq!((six.value, six.used.len(), six.raw.len()), (71.0, 3, 6));
    assert!(six.cautions.contains(&Caution::LaterTrialsLeftOut { count: 3 }));
    let unpractised = Attempts { unit: Unit::Cm, practice: Some(1), trials: vec![Trial::Valid(70.0); 3] };
    let Ok(Scored::Score(first)) = score(key("star_reach"), &unpractised, ScoreForm::MeanOf(3)) else {
        panic!("a score");
    };
    assert_eq!(first.cautions, [Caution::LittlePractice { done: 1, asked: 4 }]);
}

#[test]
fn own_activities_are_three_to_five_and_average() {
    let of = |values: &[f64]| {
        score(key("own_activities"), &tried(key("own_activities"), values), ScoreForm::MeanOfItems)
    };
    let Ok(Scored::Score(three)) = of(&[2.0, 4.0, 3.0]) else { panic!("a score") };
    close(three.value, 3.0);
    let Ok(Scored::Score(five)) = of(&[2.0, 4.0, 3.0, 10.0, 1.0]) else { panic!("a score") };
    close(five.value, 4.0);
    assert!(matches!(of(&[2.0, 4.0]), Err(ScoreError::TooFewValid { .. })));
    assert!(matches!(of(&[1.0; 6]), Err(ScoreError::TooManyItems { given: 6, accepted: 5, .. })));
}

#[test]
fn a_questionnaire_is_a_total_and_a_date() {
    assert_eq!(stored_score(key("lefs"), 62.0).expect("a total").value, 62.0);
    for wrong in [81.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(stored_score(key("lefs"), wrong), Err(ScoreError::OutOfRange { .. })), "{wrong}");
    }
    assert!(matches!(stored_score(key("star_reach"), 70.0), Err(ScoreError::NotStored { .. })));
    assert!(matches!(
        refused("lefs", vec![Trial::Valid(62.0)], ScoreForm::Single),
        ScoreError::StoredOnly { .. }
    ));
}

#[test]
fn a_share_of_nothing_is_refused() {
    let reach = |cm: f64| scored("star_reach", &[cm, cm, cm], ScoreForm::MeanOf(3));
    assert!(matches!(symmetry(&reach(100.0), &reach(0.0)), Err(SymmetryError::Zero { .. })));
    assert!(matches!(symmetry(&reach(0.0), &reach(0.0)), Err(SymmetryError::Zero { .. })));
    close(symmetry(&reach(0.0), &reach(100.0)).expect("a reach of nothing is a result").value, 0.0);
    assert!(matches!(symmetry(&reach(100.0), &reach(5e-324)), Err(SymmetryError::Zero { .. })));
    let best = scored("star_reach", &[100.0, 100.0, 100.0], ScoreForm::BestOf(3));
    assert!(matches!(symmetry(&reach(100.0), &best), Err(SymmetryError::Different { .. })));
}

fn any_trial() -> impl Strategy<Value = Trial> {
    prop_oneof![
        any::<f64>().prop_map(Trial::Valid),
        (-5.0..60.0).prop_map(Trial::Valid),
        (0u8..60).prop_map(|n| Trial::Valid(f64::from(n))),
        Just(Trial::Capped),
        Just(Trial::Unable),
        prop::sample::select(InvalidReason::all().collect::<Vec<_>>()).prop_map(Trial::Invalid),
    ]
}

proptest! {
    /// Whatever is typed, a score lies among its used trials and in the range of the test.
    #[test]
    fn a_score_lies_among_its_trials(
        test in prop::sample::select(InstrumentKey::all().collect::<Vec<_>>()),
        trials in prop::collection::vec(any_trial(), 0..8),
        practice in prop::option::of(0u8..9),
    ) {
        let row = test.instrument();
        for form in row.forms.iter().copied() {
            let tried = Attempts { unit: row.unit, practice, trials: trials.clone() };
            match score(test, &tried, form) {
                Ok(Scored::Score(score)) => {
                    let least = score.used.iter().copied().fold(f64::INFINITY, f64::min);
                    let most = score.used.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                    prop_assert!(least <= score.value + 1e-9 && score.value <= most + 1e-9);
                    prop_assert!(row.least <= least && most <= row.most);
                    prop_assert_eq!(&score.raw, &trials);
                }
                Ok(Scored::Unable { .. }) => prop_assert!(row.unable && row.from == MadeFrom::Trials),
                Err(error) => prop_assert!(error.to_string().contains('`')),
            }
        }
    }

    /// Exchanging the limbs turns a ratio into its inverse and a difference into its opposite.
    #[test]
    fn limbs_exchange(a in 1.0..40.0f64, b in 1.0..40.0f64) {
        for test in InstrumentKey::all() {
            let row = test.instrument();
            if row.per == Per::Person || row.from != MadeFrom::Trials || row.whole {
                continue;
            }
            let (a, b) = (a.clamp(row.least, row.most * 0.9), b.clamp(row.least, row.most * 0.9));
            let form = row.forms[0];
            let n = usize::from(form.needs().unwrap_or(row.trials));
            let (one, other) =
                (scored(test.as_str(), &vec![a; n], form), scored(test.as_str(), &vec![b; n], form));
            let (forth, back) = (symmetry(&one, &other).expect("limbs"), symmetry(&other, &one).expect("limbs"));
            if forth.scale == Scale::Symmetry {
                prop_assert!((forth.value * back.value - 10_000.0).abs() < 1e-6);
            } else {
                prop_assert!((forth.value + back.value).abs() < 1e-9);
            }
            if row.is_better(one.value, other.value) && forth.scale == Scale::Symmetry {
                prop_assert!(forth.value > 100.0, "{test}: the better limb is above 100");
            }
        }
    }
}
