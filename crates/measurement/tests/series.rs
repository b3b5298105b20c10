//! Sway and landing: the published ellipse, laws of the figures, and files that are not as they should be.

use measurement::series::{
    Axis, CutOff, Filtering, LowPass, Quantity, Series, SeriesError, SeriesUnit, Stabilisation,
    StabilisationRule, Stated, Sway, read, sway, time_to_stabilisation,
};
use measurement::statistics::{Confidence, Problem};
use proptest::prelude::*;

const P95: Confidence = Confidence::P95;

/// The example in the code of Schubert & Kirchner 2014.
const ML: [f64; 16] = [2., 4., 6., 2., 3., 4., 2., 3., 3., 4., 5., 5., 0., 8., 3., 7.];
const AP: [f64; 16] = [1., 2., 3., 4., 3., 3., 1., 1., 2., 1., 4., 5., 0., 0., 1., 1.];

fn close(name: &str, ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() <= 1e-12 * theirs.abs().max(1e-3), "{name}: {ours:?}, theirs {theirs:?}");
}

fn horizontal(quantity: Quantity, unit: SeriesUnit, ml: &[f64], ap: &[f64]) -> Series {
    let columns = vec![(Axis::MedioLateral, ml.to_vec()), (Axis::AnteroPosterior, ap.to_vec())];
    Series::new(quantity, unit, 10.0, columns).unwrap()
}

fn in_cm(ml: &[f64], ap: &[f64]) -> Series {
    horizontal(Quantity::CentreOfPressure, SeriesUnit::Centimetre, ml, ap)
}

fn figures(ml: &[f64], ap: &[f64]) -> Sway {
    sway(&in_cm(ml, ap), Filtering::AsRecorded, P95).unwrap()
}

#[test]
fn schubert_and_kirchner_2014_example_to_the_last_digits() {
    let s = figures(&ML, &AP);
    close("s_mm", s.covariance[0], 4.1625);
    close("s_ma", s.covariance[1], 0.3333333333333333);
    close("s_aa", s.covariance[2], 2.2666666666666666);
    close("PEA", s.ellipse.area, 57.475321765320324);
    close("PEA exact", s.ellipse.area_exact, 81.66077104285674);
    close("angle", s.ellipse.angle_deg, 9.687069884328793);
    close("MDIST", s.mean_distance, 2.123981611347268);
    close("RDIST", s.rms_distance, 2.4550649176752946);
    close("RMS ML", s.rms_ml, 1.9754350786598884);
    close("RMS AP", s.rms_ap, 1.4577379737113252);
    close("path", s.path, 45.58446081573626);
    close("hull", s.hull, 25.0);
    close("mean speed", s.mean_speed, 45.58446081573626 / 1.5);
    let [longer, shorter] = s.ellipse.semi_axes;
    close("axes and area", std::f64::consts::PI * longer * shorter, s.ellipse.area);
}

#[test]
fn an_axis_given_in_millimetres_or_metres_gives_the_same_centimetres() {
    let scaled = |by: f64| (ML.map(|x| x * by), AP.map(|x| x * by));
    for (unit, by) in [(SeriesUnit::Millimetre, 10.0), (SeriesUnit::Metre, 0.01)] {
        let (ml, ap) = scaled(by);
        let s = sway(&horizontal(Quantity::CentreOfPressure, unit, &ml, &ap), Filtering::AsRecorded, P95);
        let s = s.unwrap();
        close("area", s.ellipse.area, 57.475321765320324);
        assert_eq!(s.unit, "cm");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, rng_seed: proptest::test_runner::RngSeed::Fixed(11), ..ProptestConfig::default() })]

    #[test]
    fn turning_and_moving_the_plate_changes_no_area_and_no_path(
        points in prop::collection::vec((-5.0..5.0_f64, -5.0..5.0_f64), 5..60),
        turn in -3.0..3.0_f64,
        shift in -100.0..100.0_f64,
    ) {
        let (ml, ap): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        let (sin, cos) = turn.sin_cos();
        let turned: (Vec<f64>, Vec<f64>) =
            points.iter().map(|(x, y)| (x * cos - y * sin + shift, x * sin + y * cos - shift)).unzip();
        let (a, b) = (figures(&ml, &ap), figures(&turned.0, &turned.1));
        for (one, other) in [
            (a.ellipse.area, b.ellipse.area),
            (a.hull, b.hull),
            (a.path, b.path),
            (a.mean_distance, b.mean_distance),
            (a.rms_distance, b.rms_distance),
        ] {
            prop_assert!((one - other).abs() <= 1e-9 * (1.0 + one), "{one} {other}");
        }
        prop_assert!(a.mean_distance <= a.rms_distance * (1.0 + 1e-12));
        prop_assert!(a.ellipse.area_exact > a.ellipse.area);
    }

    #[test]
    fn a_filter_leaves_straight_lines_and_is_the_same_backward(
        level in -50.0..50.0_f64,
        slope in -1.0..1.0_f64,
        noise in prop::collection::vec(-1.0..1.0_f64, 60),
        order in 1_u8..=8,
        hz in 0.5..9.0_f64,
    ) {
        let filter = LowPass { order, cut_off: CutOff::BothPassesHz(hz) };
        let line: Vec<f64> = (0..60).map(|i| level + slope * f64::from(i)).collect();
        let flat = filter.apply(&vec![level; 60], 100.0).unwrap();
        prop_assert!(flat.iter().all(|y| (y - level).abs() < 1e-7), "{flat:?}");
        let rough: Vec<f64> = line.iter().zip(&noise).map(|(a, b)| a + b).collect();
        let shifted: Vec<f64> = rough.iter().map(|x| x + 7.0).collect();
        let (one, other) = (filter.apply(&rough, 100.0).unwrap(), filter.apply(&shifted, 100.0).unwrap());
        prop_assert!(one.iter().zip(&other).all(|(a, b)| (a + 7.0 - b).abs() < 1e-6));
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "[#a-z_=0-9.,;\\t\\n +-]{0,120}") {
        let _answer = read(&text, &Stated { quantity: Some(Quantity::Force), unit: Some(SeriesUnit::Newton), rate_hz: None });
    }
}

/// Half the power is left at the cut-off, after one pass or after both, as the name says.
#[test]
fn a_sine_at_the_cut_off_is_as_large_as_the_definition_says() {
    let rate = 200.0;
    let sine: Vec<f64> =
        (0..4000).map(|i| (2.0 * std::f64::consts::PI * 5.0 * f64::from(i) / rate).sin()).collect();
    for (cut_off, left) in [(CutOff::OnePassHz(5.0), 0.5), (CutOff::BothPassesHz(5.0), 0.5_f64.sqrt())] {
        for order in [1, 2, 3, 4] {
            let out = LowPass { order, cut_off }.apply(&sine, rate).unwrap();
            let middle = &out[1500..2500];
            let size = (2.0 * middle.iter().map(|y| y * y).sum::<f64>() / 1000.0).sqrt();
            assert!((size - left).abs() < 2e-3, "{cut_off:?} {order}: {size}");
            let phase: f64 = middle.iter().zip(&sine[1500..2500]).map(|(a, b)| a * b).sum::<f64>() / 500.0;
            assert!((phase - left).abs() < 2e-3, "nothing is shifted: {phase}");
        }
    }
}

const FILE: &str = "\u{feff}# a remark\n# quantity = centre_of_pressure\n# unit = mm\n# rate_hz = 10\nml,ap\n1,2\n3,5.5\n-2,1e1\n";

#[test]
fn a_file_says_what_it_holds() {
    let series = read(FILE, &Stated::IN_THE_FILE).unwrap();
    assert_eq!(series.quantity(), Quantity::CentreOfPressure);
    assert_eq!(series.unit_given(), SeriesUnit::Millimetre);
    assert_eq!(series.along(Axis::AnteroPosterior).unwrap(), [0.2, 0.55, 1.0]);
    assert_eq!(series.along(Axis::Vertical), None);
    let decimal_comma = FILE.replace("ml,ap", "ml;ap").replace("1,2", "1;2").replace("3,5.5", "3;5,5");
    let decimal_comma = decimal_comma.replace("-2,1e1", "-2;10");
    assert_eq!(read(&decimal_comma, &Stated::IN_THE_FILE).unwrap(), series);
    let timed = "time_s\tvertical\n0.00\t700\n0.01\t701\n0.02\t699";
    let beside = Stated { quantity: Some(Quantity::Force), unit: Some(SeriesUnit::Newton), rate_hz: None };
    assert!((read(timed, &beside).unwrap().rate_hz() - 100.0).abs() < 1e-9);
}

#[test]
fn what_is_wrong_with_a_file_is_said_with_line_and_column() {
    let cases = [
        ("", "line 1, column 1: header ``"),
        ("ml,ap\n1,2\n3,4", "what was recorded is not stated; write `# quantity = ...`"),
        (&FILE.replace("# unit = mm\n", ""), "the unit is not stated"),
        (&FILE.replace("# rate_hz = 10\n", ""), "the rate is not stated"),
        (&FILE.replace("unit = mm", "unit = inch"), "line 3: `unit = inch` given; mm, cm, m, m/s2, g or N"),
        (&FILE.replace("unit = mm", "unit = N"), "CentreOfPressure in Newton makes no sense"),
        (&FILE.replace("rate_hz = 10", "rate_hz = 0"), "line 4: `rate_hz = 0` given; a number of samples"),
        (&FILE.replace("rate_hz = 10", "rate = 10"), "line 4: `rate = 10` given; a statement of"),
        (&FILE.replace("ml,ap", "ml,x"), "line 5, column 2: header `x`"),
        (&FILE.replace("ml,ap", "ml,ml"), "line 5, column 2: header `ml`"),
        (&FILE.replace("5.5", ""), "line 7, column 2 (`ap`): `` given, a number such as 12.5"),
        (&FILE.replace("5.5", "NaN"), "line 7, column 2 (`ap`): `NaN` given"),
        (&FILE.replace("5.5", "inf"), "line 7, column 2 (`ap`): `inf` given"),
        (&FILE.replace("5.5", "5.5,6"), "line 7: 3 cells, the header has 2"),
        (&FILE.replace("5.5", "1e12"), "AnteroPosterior, sample 2: `1000000000000.0` given"),
        (&FILE.replace("3,5.5\n-2,1e1\n", ""), "`1` samples given, 2 to two million are accepted"),
        (
            "# quantity = force\n# unit = N\ntime_s,vertical\n0,1\n0.01,2\n0.03,3\n0.04,4\n0.05,5",
            "line 6: 0.020000 s after the line before, the steps are 0.012500 s",
        ),
        ("# quantity = force\n# unit = N\ntime_s,vertical\n0,1\n0,2", "line 5: 0.000000 s after"),
        (
            "# quantity = force\n# unit = N\n# rate_hz = 50\ntime_s,vertical\n0,1\n0.01,2",
            "rate_hz: the file says `100.000 by `time_s``, what was given with it says `50`",
        ),
    ];
    for (text, said) in cases {
        let error = read(text, &Stated::IN_THE_FILE).unwrap_err().to_string();
        assert!(error.contains(said), "{error}\ndoes not say: {said}");
    }
    let beside = Stated { quantity: None, unit: Some(SeriesUnit::Centimetre), rate_hz: None };
    let error = read(FILE, &beside).unwrap_err();
    assert!(matches!(error, SeriesError::Contradiction { what: "unit", .. }), "{error}");
}

#[test]
fn sway_of_nothing_of_a_force_or_of_one_axis_is_refused() {
    let still = in_cm(&[5.1; 9], &[2.3; 9]);
    let error = sway(&still, Filtering::AsRecorded, P95).unwrap_err();
    assert!(matches!(error, SeriesError::Figure { why: Problem::NoSpread { .. } }), "{error}");
    let two = in_cm(&[1.0, 2.0], &[1.0, 3.0]);
    let error = sway(&two, Filtering::AsRecorded, P95).unwrap_err();
    assert!(matches!(error, SeriesError::Figure { why: Problem::TooFew { least: 3, .. } }), "{error}");
    let one = vec![(Axis::MedioLateral, ML.to_vec())];
    let one = Series::new(Quantity::Acceleration, SeriesUnit::StandardGravity, 100.0, one).unwrap();
    let error = sway(&one, Filtering::AsRecorded, P95).unwrap_err();
    assert!(matches!(error, SeriesError::Lacking { .. }), "{error}");
    let short = Filtering::LowPass(LowPass { order: 4, cut_off: CutOff::OnePassHz(2.0) });
    let error = sway(&in_cm(&ML[..15], &AP[..15]), short, P95).unwrap_err();
    assert!(matches!(error, SeriesError::Figure { why: Problem::TooFew { least: 16, .. } }), "{error}");
    let line = figures(&[1.0, 2.0, 3.0], &[2.0, 4.0, 6.0]);
    assert_eq!((line.hull, line.ellipse.angle_deg), (0.0, 2.0_f64.atan().to_degrees()));
    assert!(line.ellipse.area.abs() < 1e-6, "{line:?}");
}

/// 700 N of body weight at 100 a second: half a second in the air, a peak, a ringing that is over after
/// 0.8 s, then rest.
fn landing(rest_samples: usize) -> Vec<f64> {
    let mut force = vec![0.0; 50];
    force.extend([300.0, 1500.0, 1800.0]);
    force.extend((0..77).map(|i| if i % 2 == 0 { 760.0 } else { 640.0 }));
    force.extend(vec![705.0; rest_samples]);
    force
}

fn stabilised(force: Vec<f64>) -> Stabilisation {
    let series =
        Series::new(Quantity::Force, SeriesUnit::Newton, 100.0, vec![(Axis::Vertical, force)]).unwrap();
    let rule = StabilisationRule::of_the_table();
    time_to_stabilisation(&series, 700.0, rule, Filtering::AsRecorded).unwrap().stabilisation
}

#[test]
fn a_landing_is_stable_when_the_force_stays_within_the_band_for_the_time_held() {
    assert_eq!(stabilised(landing(150)), Stabilisation::After { seconds: 0.8, contact_at: 0.5 });
    assert_eq!(stabilised(landing(101)), Stabilisation::After { seconds: 0.8, contact_at: 0.5 });
    assert_eq!(stabilised(landing(100)), Stabilisation::NotWithin { seconds: 1.79 });
    assert_eq!(stabilised(vec![3.0; 200]), Stabilisation::NoContact);
    assert_eq!(stabilised(vec![700.0; 200]), Stabilisation::LoadedFromTheStart);
    let mut wobble = landing(150);
    wobble[160] = 600.0;
    assert_eq!(stabilised(wobble.clone()), Stabilisation::After { seconds: 1.11, contact_at: 0.5 });
    wobble[200] = 600.0;
    assert_eq!(stabilised(wobble), Stabilisation::NotWithin { seconds: 2.29 });
}

#[test]
fn a_landing_without_weight_or_on_a_series_of_sway_is_refused() {
    let rule = StabilisationRule::of_the_table();
    let error = time_to_stabilisation(&in_cm(&ML, &AP), 700.0, rule, Filtering::AsRecorded).unwrap_err();
    assert!(matches!(error, SeriesError::Lacking { .. }), "{error}");
    let force = vec![(Axis::Vertical, landing(9))];
    let force = Series::new(Quantity::Force, SeriesUnit::Newton, 100.0, force).unwrap();
    for weight in [0.0, -700.0, f64::NAN, f64::INFINITY] {
        let error = time_to_stabilisation(&force, weight, rule, Filtering::AsRecorded).unwrap_err();
        assert!(error.to_string().contains("body weight in newtons"), "{error}");
    }
}
