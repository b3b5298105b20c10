//! Published examples with their data, and the figures that two other packages gave for them.
//!
//! "To the last digits" are figures computed beforehand with scipy 1.17, pingouin 0.7 and statsmodels
//! 0.15 from the same data; "as printed" are the publication's own.

use measurement::statistics::agreement::{
    LimitError, Width, bias, limits_of_agreement, mean_interval, repeatability, responsiveness,
    typical_error, typical_percent, zero_mean_error,
};
use measurement::statistics::anova::{TwoWay, two_way};
use measurement::statistics::change::{Prior, change, error_of_difference};
use measurement::statistics::correlation::{correlation, fisher_interval};
use measurement::statistics::error_of_measurement::{
    agreement, consistency, detectable_change, from_correlation, restated,
};
use measurement::statistics::icc::{Form, Icc, Limits, icc};
use measurement::statistics::kappa::{Weights, kappa};
use measurement::statistics::many::{Correction, chance_of_any, corrected_z, expected_largest};
use measurement::statistics::percentile::{among_few, among_many};
use measurement::statistics::proportion::{OddsRatio, clopper_pearson, fisher_exact, wilson};
use measurement::statistics::ratio::{Fieller, Measured, ratio};
use measurement::statistics::trend::{control_limits, theil_sen, trend};
use measurement::statistics::true_score::{Group, drift, spearman_brown, true_score};
use measurement::statistics::{Confidence, Interval, Scores};

const P95: Confidence = Confidence::P95;

fn close(name: &str, ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() <= 1e-12 * theirs.abs().max(1e-3), "{name}: {ours:?}, theirs {theirs:?}");
}

fn near(name: &str, ours: f64, printed: f64, half_a_digit: f64) {
    assert!((ours - printed).abs() <= half_a_digit, "{name}: {ours}, printed {printed}");
}

fn spans(name: &str, ours: Interval, lower: f64, upper: f64) {
    close(name, ours.lower, lower);
    close(name, ours.upper, upper);
}

fn table(rows: &[&[f64]]) -> TwoWay {
    two_way(&Scores::new(rows.iter().map(|row| row.to_vec()).collect()).unwrap()).unwrap()
}

/// Shrout & Fleiss 1979, Table 2: six targets by four judges.
fn shrout_fleiss() -> TwoWay {
    table(&[
        &[9., 2., 5., 8.],
        &[6., 1., 3., 2.],
        &[8., 4., 6., 8.],
        &[7., 1., 2., 6.],
        &[10., 5., 6., 9.],
        &[6., 2., 4., 7.],
    ])
}

fn of(table: &TwoWay, form: Form) -> Icc {
    icc(table, form, P95).unwrap()
}

#[test]
fn shrout_and_fleiss_1979_mean_squares_as_printed() {
    let t = shrout_fleiss();
    near("MSR", t.between_persons, 11.24, 0.005);
    near("MSC", t.between_raters, 32.49, 0.005);
    near("MSE", t.residual, 1.02, 0.005);
    near("MSW", t.within_persons, 6.26, 0.005);
}

#[test]
fn shrout_and_fleiss_1979_all_six_as_printed_and_their_intervals_to_the_last_digits() {
    let t = shrout_fleiss();
    let rows = [
        (Form::OneWaySingle, 0.17, 0.16574176840547553, -0.13293232487475096, 0.7225600623281211),
        (Form::AgreementSingle, 0.29, 0.2897637795275592, 0.018786513374712027, 0.761084369648953),
        (Form::ConsistencySingle, 0.71, 0.7148407148407154, 0.34246476503392614, 0.9458582599553597),
        (Form::OneWayMean, 0.44, 0.4427971336792688, -0.8844421552381196, 0.9124154203407755),
        (Form::AgreementMean, 0.62, 0.6200505475989893, 0.0711368153025034, 0.927232040167722),
        (Form::ConsistencyMean, 0.91, 0.9093155423770697, 0.6756747138163055, 0.9858916781690623),
    ];
    for (form, printed, estimate, lower, upper) in rows {
        let icc = of(&t, form);
        let name = format!("{form:?}");
        near(&name, icc.estimate, printed, 0.005);
        close(&name, icc.estimate, estimate);
        let Limits::Between(limits) = icc.limits else { panic!("{name}: {icc:?}") };
        spans(&name, limits, lower, upper);
    }
    let one = of(&t, Form::OneWaySingle);
    near("F(5, 18)", one.f, 1.7946785, 5e-8);
    near("p", one.p, 0.164_768_8, 5e-8);
    near("p", of(&t, Form::ConsistencySingle).p, 0.000_134_567, 5e-10);
    close("v", of(&t, Form::AgreementSingle).satterthwaite.unwrap(), 4.785143862212758);
    close("SEM", consistency(&t, P95).unwrap().sem, 1.0096754153907295);
    close("SEM", agreement(&t, P95).unwrap().sem, 2.5027762362802006);
}

#[test]
fn an_invented_retest_of_ten_people_to_the_last_digits() {
    let t = table(&[
        &[78.2, 80.1],
        &[65.4, 66.0],
        &[90.3, 88.7],
        &[72.5, 74.9],
        &[84.0, 85.5],
        &[69.8, 68.9],
        &[77.1, 79.6],
        &[81.3, 81.0],
        &[60.2, 63.5],
        &[88.8, 90.2],
    ]);
    close("ICC(2,1)", of(&t, Form::AgreementSingle).estimate, 0.981313546026048);
    close("ICC(3,1)", of(&t, Form::ConsistencySingle).estimate, 0.9861805493467237);
    let sem = consistency(&t, P95).unwrap();
    close("SEM", sem.sem, 1.1273370786454526);
    spans("SEM", sem.interval.unwrap(), 0.7754221325659081, 2.058078049907008);
    let across = agreement(&t, P95).unwrap();
    close("MDC", detectable_change(sem.sem, P95).unwrap().change, 3.124761537251853);
    close("MDC", detectable_change(across.sem, P95).unwrap().change, 3.642581332884322);
}

const WRIGHT_1: [f64; 17] =
    [494., 395., 516., 434., 476., 557., 413., 442., 650., 433., 417., 656., 267., 478., 178., 423., 427.];
const WRIGHT_2: [f64; 17] =
    [490., 397., 512., 401., 470., 611., 415., 431., 638., 429., 420., 633., 275., 492., 165., 372., 421.];
const MINI_1: [f64; 17] =
    [512., 430., 520., 428., 500., 600., 364., 380., 658., 445., 432., 626., 260., 477., 259., 350., 451.];
const MINI_2: [f64; 17] =
    [525., 415., 508., 444., 500., 625., 460., 390., 642., 432., 420., 605., 227., 467., 268., 370., 443.];

/// Bland & Altman 1986, Table 1: peak expiratory flow by two meters, l/min. The paper works with a
/// mean of −2.1 and a standard deviation of 38.8 as rounded there, so its limits differ in the first
/// decimal.
#[test]
fn bland_and_altman_1986_limits_of_agreement_as_printed_and_to_the_last_digits() {
    let two = limits_of_agreement(&WRIGHT_1, &MINI_1, Width::Two, LimitError::ThreeOverN, P95).unwrap();
    near("mean", two.bias.mean, -2.1, 0.05);
    near("SD", two.bias.sd, 38.8, 0.05);
    near("lower limit", two.limits.lower, -79.7, 0.1);
    near("upper limit", two.limits.upper, 75.5, 0.1);
    near("lower of lower", two.of_lower.lower, -114.3, 0.15);
    near("upper of lower", two.of_lower.upper, -45.1, 0.15);
    close("mean", two.bias.mean, -2.1176470588235294);
    close("SD", two.bias.sd, 38.76512987360738);
    spans("mean", two.bias.interval, -22.04883769664517, 17.81354357899811);
    spans("limits", two.limits, -79.64790680603829, 75.41261268839122);
    close("SE", two.standard_error, 16.284611795031495);
    spans("of lower", two.of_lower, -114.1697416460865, -45.12607196599008);
    spans("of upper", two.of_upper, 40.890777848343006, 109.93444752843943);
    let width = Width::OneNinetySix;
    let modern = limits_of_agreement(&WRIGHT_1, &MINI_1, width, LimitError::WrittenOut, P95).unwrap();
    spans("limits", modern.limits, -78.097301611094, 73.86200749344692);
    near("SE written out", modern.standard_error, 16.3951, 5e-5);
    let by_z = Width::Share(P95);
    let by_z = limits_of_agreement(&WRIGHT_1, &MINI_1, by_z, LimitError::ThreeOverN, P95).unwrap();
    spans("limits", by_z.limits, -78.09590546711173, 73.86061134946466);
    close("r", correlation(&WRIGHT_1, &MINI_1, P95).unwrap().r, 0.943279446890946);
}

/// The paper prints 43.2 and 56.4 by hand; its own data give 43.3 and 56.3.
#[test]
fn bland_and_altman_1986_repeatability_of_both_meters() {
    let wright = repeatability(&WRIGHT_1, &WRIGHT_2, Width::Two).unwrap();
    let mini = repeatability(&MINI_1, &MINI_2, Width::Two).unwrap();
    near("Wright as printed", wright, 43.2, 0.1);
    near("mini as printed", mini, 56.4, 0.1);
    close("Wright", wright, 43.29379795278384);
    close("mini", mini, 56.31633343679883);
    close("zero mean", zero_mean_error(&WRIGHT_1, &WRIGHT_2).unwrap(), 15.306669057866863);
}

#[test]
fn typical_error_and_variation_by_the_formulae_of_hopkins_2000() {
    let te = typical_error(&WRIGHT_1, &WRIGHT_2, P95).unwrap();
    close("TE", te.error, 15.361214527657173);
    spans("TE", te.interval, 11.440569237748337, 23.378677079472947);
    close("CV", typical_percent(&WRIGHT_1, &WRIGHT_2, P95).unwrap().error, 3.5117668741601715);
    let te = typical_error(&MINI_1, &MINI_2, P95).unwrap();
    close("TE", te.error, 20.415806304401094);
    spans("TE", te.interval, 15.205076730712292, 31.071406629229344);
    close("CV", typical_percent(&MINI_1, &MINI_2, P95).unwrap().error, 5.358457489862456);
}

#[test]
fn responsiveness_of_six_invented_people() {
    let before = [60., 65., 70., 72., 68., 75.];
    let after = [68., 70., 74., 80., 70., 83.];
    let r = responsiveness(&before, &after).unwrap();
    close("ES", r.effect_size, 1.0971840743839478);
    close("SRM", r.standardised_response_mean, 2.2763776253211163);
    close("t", r.t, 5.575963643925204);
    close("p", r.p, 0.00255619317720957);
    close("CV", typical_percent(&before, &after, P95).unwrap().error, 2.552771782268004);
    assert!(bias(&before, &after, P95).unwrap().mean < 0.0, "first less second");
}

#[test]
fn detectable_change_from_a_correlation_and_at_another_confidence() {
    let sem = from_correlation(7.0, 0.9).unwrap().sem;
    close("SEM", sem, 2.2135943621178655);
    let ninety = detectable_change(sem, Confidence::P90).unwrap();
    close("MDC90", ninety.change, 5.1492063320608015);
    close("MDC95", restated(ninety, P95).unwrap().change, 6.135657784036072);
}

/// Jacobson & Truax 1991: a score of 47.5 before and 32.5 after, SD 7.5, reliability 0.80, RC −3.16.
#[test]
fn jacobson_and_truax_1991_reliable_change_as_printed() {
    let sem = from_correlation(7.5, 0.8).unwrap().sem;
    close("SEM", sem, 3.3541019662496843);
    let error = error_of_difference(sem, sem).unwrap();
    close("error of the difference", error, 4.743416490252569);
    let rc = change(47.5, 32.5, 0.0, error).unwrap().reliable_change_index().unwrap();
    near("RC", rc, -3.16, 0.005);
    close("RC", rc, -3.162277660168379);
}

#[test]
fn chances_of_a_true_change_with_and_without_a_prior() {
    let change = change(20.0, 25.0, 0.0, error_of_difference(2.0, 2.0).unwrap()).unwrap();
    close("z", change.reliable_change_index().unwrap(), 1.7677669529663687);
    close("p", change.p().unwrap(), 0.07709987174354177);
    close("above 0", change.true_change_about(0.0).unwrap().upper, 0.9614500641282291);
    close("above 3", change.true_change_about(3.0).unwrap().upper, 0.7602499389065233);
    let shrunk = change.with_prior(Prior { mean: 2.0, sd: 3.0 }).unwrap();
    close("weight", shrunk.weight, 0.5294117647058824);
    close("mean", shrunk.mean, 3.588235294117647);
    close("sd", shrunk.sd, 2.0579830217101063);
    close("above 3", shrunk.true_change_about(3.0).unwrap().upper, 0.6124962086993471);
}

#[test]
fn true_score_from_one_and_from_three_measurements() {
    let group = Group { mean: 80.0, sd: 8.0, reliability: 0.85 };
    let one = true_score(64.0, 1, group, P95).unwrap();
    close("estimate", one.estimate, 66.4);
    close("error", one.standard_error, 2.85657137141714);
    spans("interval", one.interval, 60.80122299275422, 71.99877700724579);
    close("retest", one.retest_error, 4.214261501141096);
    let three = true_score(64.0, 3, group, P95).unwrap();
    close("estimate", three.estimate, 64.88888888888889);
    close("error", three.standard_error, 1.7384539747207066);
    close("drift", drift(64.0, group).unwrap(), 2.4);
    close("two", spearman_brown(0.85, 2).unwrap(), 0.918_918_918_918_918_9);
}

#[test]
fn place_among_many_and_among_few() {
    let many = among_many(70.0, 79.2, 7.0).unwrap();
    close("share below", 100.0 * many.share.lower, 9.437503645164675);
    let few = among_few(60.0, 79.2, 7.0, 15).unwrap();
    close("t", few.score, -2.6557600088279436);
    close("share below", 100.0 * few.share.lower, 0.9408136317212428);
}

#[test]
fn kappa_of_two_tables_plain_and_weighted() {
    let two = kappa(&[vec![20, 5], vec![10, 15]], Weights::None, P95).unwrap();
    close("kappa", two.kappa, 0.4);
    close("SE", two.standard_error, 0.12699606293110033);
    spans("interval", two.interval, 0.151092290476661, 0.6489077095233389);
    close("observed", two.observed, 0.7);
    let three = [vec![11, 3, 1], vec![2, 14, 4], vec![0, 3, 12]];
    for (weights, value, error) in [
        (Weights::None, 0.6060606060606061, 0.0947562832860134),
        (Weights::Linear, 0.6666666666666666, 0.08534311168464709),
        (Weights::Quadratic, 0.7333333333333333, 0.08287643635982259),
    ] {
        let k = kappa(&three, weights, P95).unwrap();
        close("kappa", k.kappa, value);
        close("SE", k.standard_error, error);
    }
}

#[test]
fn shares_by_clopper_and_pearson_and_by_wilson() {
    for (hits, of, lower, upper) in [
        (9, 12, 0.4281415381218108, 0.9451393554720072),
        (0, 10, 0.0, 0.3084971078187607),
        (38, 42, 0.7737751284472205, 0.9734364303592397),
        (10, 10, 0.6915028921812392, 1.0),
    ] {
        spans("exact", clopper_pearson(hits, of, P95).unwrap(), lower, upper);
    }
    spans("Wilson", wilson(9, 12, P95).unwrap(), 0.46769466506643426, 0.9110583316059453);
    let exact = fisher_exact([[2, 8], [10, 3]]).unwrap();
    assert_eq!(exact.odds_ratio, OddsRatio::Is(0.075));
    close("p", exact.p, 0.012278137799742322);
}

#[test]
fn many_directions_and_the_best_of_several_trials() {
    for (m, any, sidak, bonferroni) in [
        (3, 0.1426250000000001, 2.387737887070818, 2.3939797998185104),
        (8, 0.33657956871093775, 2.727007896719966, 2.7343687865331767),
        (16, 0.5598733313482347, 2.947775153304809, 2.955166847497834),
    ] {
        close("any", chance_of_any(m, P95).unwrap(), any);
        close("Šidák", corrected_z(m, P95, Correction::Sidak).unwrap(), sidak);
        close("Bonferroni", corrected_z(m, P95, Correction::Bonferroni).unwrap(), bonferroni);
    }
    let largest =
        [0.5641895835477563, 0.8462843753216344, 1.0293753730039643, 1.1629644736405198, 1.2672063606114714];
    for (n, value) in (2..).zip(largest) {
        close("largest", expected_largest(n).unwrap(), value);
    }
}

#[test]
fn symmetry_of_two_hops_by_the_delta_method_and_by_fieller() {
    let limb = |value| Measured { value, error: 6.0 };
    let lsi = ratio(limb(150.0), limb(180.0), P95).unwrap();
    close("LSI", 100.0 * lsi.ratio, 83.33333333333333);
    close("SE", 100.0 * lsi.standard_error, 4.339027597725919);
    spans("delta", lsi.delta, 0.748_289_955_138_651_8, 0.918_376_711_528_014_8);
    let Fieller::Bounded(fieller) = lsi.fieller else { panic!("{lsi:?}") };
    spans("Fieller", fieller, 0.751_605_201_506_311, 0.922_205_771_746_328_8);
}

#[test]
fn a_pain_log_of_ten_days() {
    let days: Vec<f64> = (0..10).map(f64::from).collect();
    let pain = [6., 5., 6., 5., 4., 4., 3., 4., 3., 2.];
    let t = trend(&days, &pain).unwrap();
    assert_eq!(t.s, -35);
    close("variance", t.variance, 118.33333333333333);
    close("Z", t.z, -3.125542206483068);
    close("p", t.p, 0.0017747759975943321);
    close("τ-b", t.tau_b, -0.835467353046005);
    let slope = theil_sen(&days, &pain, P95).unwrap();
    close("slope", slope.slope, -0.4);
    spans("slope", slope.interval, -0.5714285714285714, -0.25);
    let chart = control_limits(&pain).unwrap();
    close("mean", chart.mean, 4.2);
    spans("limits", chart.limits, 1.8355555555555556, 6.564444444444445);
}

#[test]
fn intervals_of_a_mean_and_of_a_correlation() {
    let mean = mean_interval(&[72.1, 74.0, 73.3], P95).unwrap();
    near("lower", mean.interval.lower, 70.7463, 5e-5);
    near("upper", mean.interval.upper, 75.5203, 5e-5);
    let z = fisher_interval(0.943279446890946, 17, P95).unwrap();
    spans("Fisher z", z, 0.8463588087924644, 0.9797313373519239);
}
