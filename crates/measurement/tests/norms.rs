//! Norms are used only where people and protocol are the same, in published values and stories.

mod common;

use anatomy::Sex;
use common::{changed, close, day, group, key, reading, taken, toward};
use measurement::norm::{NoZ, NormAnswer, OtherProtocol, Who, norm, norms};
use measurement::{Reading, Scale, ScoreForm, Session, cuts_beside};
use movement::AnatomicalDirection;
use quantity::reference::HowRead;
use quantity::{Length, Mass};

fn who(population: &str, sex: Sex, age: u8) -> Who {
    Who { population: group(population), sex: Some(sex), age: Some(age), height: None, mass: None }
}

fn with(name: &str, value: f64, form: ScoreForm, scale: Scale, protocol: &[(&str, &str)]) -> Reading {
    let mut taken = taken(name, value, form, day(0));
    taken.protocol = changed(key(name), protocol);
    Session::new(taken).expect("a session").reading(scale).expect("a reading")
}

/// Enright and Sherrill's equations: a man of 170 cm, 65 years, 80 kg 510.8 m; a woman of 160 cm, 65, 70 kg 468.6.
#[test]
fn the_six_minute_walk_is_predicted_as_published() {
    let walked = with("six_minute_walk", 468.6, ScoreForm::Single, Scale::Raw, &[("aid", "none")]);
    for (sex, cm, kg, expected) in [(Sex::Male, 170.0, 80.0, 510.8), (Sex::Female, 160.0, 70.0, 468.6)] {
        let mut who = who("healthy_adult", sex, 65);
        who.height = Some(Length::cm(cm));
        assert!(matches!(norm(&walked, &who), NormAnswer::Missing { .. }), "mass is not known");
        who.mass = Some(Mass::kg(kg));
        let NormAnswer::Predicted { predicted, percent, .. } = norm(&walked, &who) else {
            panic!("predicted")
        };
        close(predicted, expected);
        who.population = group("older_adult");
        assert!(matches!(norm(&walked, &who), NormAnswer::Predicted { .. }));
        close(percent, 100.0 * 468.6 / expected);
    }
}

/// Controls of Doherty 2015 with the toe at the line: forward 64.86, spread 5.99, so the mean is half way.
#[test]
fn a_percentile_names_its_sample_and_counts_its_size() {
    let on = |value| {
        with(
            "star_reach",
            value,
            ScoreForm::MeanOf(3),
            Scale::LimbLength,
            &[("foot_placement", "toe_at_line")],
        )
    };
    let who = who("healthy_young", Sex::Female, 24);
    let percent = |value| match norm(&on(value), &who) {
        NormAnswer::Percentile { percent, sample, .. } => {
            assert!(
                sample.to_string().contains("n = 19") && sample.to_string().contains("Doherty"),
                "{sample}"
            );
            percent
        }
        other => panic!("{other}"),
    };
    close(percent(64.86), 50.0);
    // Two spreads below: the normal curve says 2.3, a sample of nineteen with 18 degrees of freedom more.
    let low = percent(64.86 - 2.0 * 5.99);
    assert!((3.0..4.0).contains(&low), "{low}");
    assert!(norm(&on(20.0), &who).to_string().contains("fewer than 1 of 100"));
}

#[test]
fn foot_placement_decides_which_norm_and_an_unknown_one_uses_none() {
    let man = who("healthy_young", Sex::Male, 24);
    let on =
        |pairs: &[(&str, &str)]| with("star_reach", 70.0, ScoreForm::MeanOf(3), Scale::LimbLength, pairs);
    let centred = norm(&on(&[("foot_placement", "foot_centred")]), &man);
    let NormAnswer::NoZ { why: NoZ::SpreadFromMemory, mean: Some(mean), .. } = centred else {
        panic!("{centred}")
    };
    assert_eq!(mean, 79.2);
    let varied = norm(&on(&[("foot_placement", "heel_or_toe_by_direction")]), &man);
    assert!(matches!(&varied, NormAnswer::OtherProtocol(OtherProtocol { given: Some(_), .. })), "{varied}");
    let mut unknown = on(&[]);
    unknown.protocol = measurement::Protocol::default();
    let answer = norm(&unknown, &man);
    assert!(matches!(&answer, NormAnswer::OtherProtocol(OtherProtocol { given: None, .. })), "{answer}");
    assert!(answer.to_string().contains("was not recorded"), "{answer}");
}

#[test]
fn another_age_sex_or_group_uses_no_norm_and_names_those_there_are() {
    let on = with("star_reach", 70.0, ScoreForm::MeanOf(3), Scale::LimbLength, &[]);
    for who in [
        who("healthy_young", Sex::Male, 70),
        who("knee_osteoarthritis", Sex::Male, 24),
        Who { age: None, ..who("healthy_young", Sex::Male, 24) },
    ] {
        let answer = norm(&on, &who);
        assert!(matches!(&answer, NormAnswer::OtherPopulation { .. }), "{answer}");
        assert!(answer.to_string().contains("healthy young adults"), "{answer}");
    }
    let nobody = reading("position_sense", 3.0, ScoreForm::MeanOf(3), Scale::Raw, day(0));
    assert_eq!(norm(&nobody, &who("healthy_young", Sex::Male, 24)), NormAnswer::NoNorm);
}

#[test]
fn skewed_and_capped_times_get_no_z() {
    let fields = [("hands", "crossed_on_chest"), ("footwear", "barefoot"), ("surface", "firm")];
    let stand = |value| with("stance_eyes_open", value, ScoreForm::BestOf(3), Scale::Raw, &fields);
    let person = who("older_adult", Sex::Female, 74);
    let short = norm(&stand(8.0), &person);
    assert!(matches!(short, NormAnswer::NoZ { why: NoZ::Skewed, mean: Some(21.5), .. }), "{short}");
    let full = norm(&stand(45.0), &person);
    assert!(matches!(full, NormAnswer::NoZ { why: NoZ::Capped { at_least: 45.0 }, .. }), "{full}");
    let closed = with("stance_eyes_closed", 3.0, ScoreForm::BestOf(3), Scale::Raw, &fields);
    assert!(matches!(norm(&closed, &person), NormAnswer::FromMemory { .. }));
}

/// Rikli and Jones: women of 70 to 74, middle half 10 to 15.
#[test]
fn chair_stands_lie_below_within_or_above_the_middle_half() {
    let on = |value| {
        with("chair_stand_30", value, ScoreForm::Single, Scale::Raw, &[("chair", "43_cm_no_arms_used")])
    };
    let woman = who("older_adult", Sex::Female, 72);
    for (value, word) in [(9.0, "below"), (10.0, "within"), (15.0, "within"), (16.0, "above")] {
        let said = norm(&on(value), &woman).to_string();
        assert!(said.starts_with(word) && said.contains("10 to 15"), "{said}");
    }
}

#[test]
fn limits_of_a_mean_are_not_called_limits_of_people() {
    let go = with("timed_up_and_go", 9.5, ScoreForm::Single, Scale::Raw, &[("aid", "none")]);
    let answer = norm(&go, &who("older_adult", Sex::Male, 65));
    assert!(matches!(answer, NormAnswer::MeanOnly { high: Some(9.0), .. }), "{answer}");
    assert!(answer.to_string().contains("says nothing about how far people lie apart"), "{answer}");
}

/// The rule of this repository: a figure from memory is never printed as a norm.
#[test]
fn nothing_from_memory_becomes_a_percentile_or_a_band() {
    for row in norms().iter().filter(|row| row.read == HowRead::Memory || row.sd_read == HowRead::Memory) {
        let mut reading = reading("star_reach", 70.0, ScoreForm::MeanOf(3), Scale::LimbLength, day(0));
        reading.instrument = row.instrument;
        reading.direction = row.direction;
        reading.scale = row.scale;
        reading.form = row.forms.first().copied().unwrap_or(ScoreForm::Single);
        reading.protocol = row.protocol.clone();
        let who = Who {
            population: row.population,
            sex: row.sex,
            age: Some(row.age_from),
            height: Some(Length::cm(170.0)),
            mass: Some(Mass::kg(70.0)),
        };
        let answer = norm(&reading, &who);
        let printed = matches!(answer, NormAnswer::Percentile { .. } | NormAnswer::MiddleHalf { .. });
        assert!(!printed, "{}: {answer}", row.source);
    }
}

#[test]
fn a_research_cut_is_shown_with_what_speaks_against_it() {
    let mut lower = reading("three_reach_side", 0.0);
    lower.value = -5.0;
    let cuts: Vec<String> = cuts_beside(&lower, &who("school_athlete", Sex::Female, 16))
        .filter(|cut| cut.beyond(-5.0))
        .map(ToString::to_string)
        .collect();
    assert_eq!(cuts.len(), 1);
    assert_eq!(
        cuts_beside(&lower, &who("ankle_patient", Sex::Female, 16)).count(),
        0,
        "found in other people"
    );
    assert!(cuts[0].contains("decides nothing") && cuts[0].contains("31 of 100 healthy"), "{}", cuts[0]);

    fn reading(_: &str, value: f64) -> Reading {
        let mut made = common::reading("three_reach", 70.0, ScoreForm::MeanOf(3), Scale::Raw, day(0));
        made.scale = Scale::SideDifference;
        made.value = value;
        made.direction = Some(toward(AnatomicalDirection::Anterior));
        made
    }
}

/// Doherty 2015 again, spread 5.99: with an error of 2.0 the reliability of one measurement is 1 − (2/5.99)².
#[test]
fn the_group_whose_middle_draws_is_the_persons_own_or_none() {
    use measurement::norm::group as drawn;
    let place = [("foot_placement", "toe_at_line")];
    let on = |form, pairs: &[(&str, &str)]| with("star_reach", 55.0, form, Scale::LimbLength, pairs);
    let own = who("healthy_young", Sex::Female, 24);
    let reading = on(ScoreForm::MeanOf(3), &place);
    let found = drawn(&reading, &own, 2.0).expect("the same people and protocol");
    close(found.mean, 64.86);
    close(found.sd, 5.99);
    close(found.reliability, 1.0 - (2.0_f64 / 5.99).powi(2));
    assert!(drawn(&reading, &own, 6.0).is_none(), "an error as large as the spread tells nobody apart");
    assert!(drawn(&reading, &who("older_adult", Sex::Female, 24), 2.0).is_none(), "another group misleads");
    assert!(drawn(&on(ScoreForm::MeanOf(3), &[("foot_placement", "foot_centred")]), &own, 2.0).is_none());
}

/// The floor of the hop is 90 % of height for men and 80 % for women.
#[test]
fn a_cut_for_one_sex_is_not_shown_to_the_other() {
    let hop = common::reading("single_hop", 140.0, ScoreForm::MeanOf(2), Scale::Height, day(0));
    for (sex, cut) in [(Sex::Male, 90.0), (Sex::Female, 80.0)] {
        let shown: Vec<f64> =
            cuts_beside(&hop, &who("acl_reconstruction", sex, 20)).map(|one| one.cut).collect();
        assert_eq!(shown, [cut]);
    }
}
