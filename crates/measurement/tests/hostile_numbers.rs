//! Whatever is given, a statistic answers with numbers or with a reason: no panic, no NaN, no infinity.

use measurement::statistics::agreement::{
    LimitError, Width, bias, limits_of_agreement, mean_interval, repeatability, responsiveness,
    typical_error, typical_percent, zero_mean_error,
};
use measurement::statistics::anova::two_way;
use measurement::statistics::change::{Prior, change, error_of_difference};
use measurement::statistics::correlation::{correlation, fisher_interval};
use measurement::statistics::distribution::{
    beta, beta_upper, chi_square, chi_square_upper, f, f_upper, normal, normal_upper, student_t,
    student_t_upper,
};
use measurement::statistics::error_of_measurement::{
    agreement, consistency, detectable_change, from_correlation, of_mean_of_sessions,
};
use measurement::statistics::icc::all_six;
use measurement::statistics::kappa::{Weights, kappa, table_of_pairs};
use measurement::statistics::many::{Correction, bias_of_best, chance_of_any, corrected_z, expected_largest};
use measurement::statistics::percentile::{among_few, among_many};
use measurement::statistics::proportion::{clopper_pearson, fisher_exact, wilson};
use measurement::statistics::ratio::{Measured, ratio};
use measurement::statistics::trend::{control_limits, theil_sen, trend};
use measurement::statistics::true_score::{Group, drift, true_score};
use measurement::statistics::{Confidence, Problem, Scores};
use proptest::prelude::*;
use serde::Serialize;
use serde_json::Value;

const P95: Confidence = Confidence::P95;

/// The answer as JSON, in which a NaN or an infinity would be null; or a reason that says something.
fn sound<T: Serialize>(name: &str, answer: Result<T, Problem>) -> Result<(), TestCaseError> {
    match answer {
        Ok(found) => {
            let json = serde_json::to_value(found).unwrap();
            prop_assert!(whole(&json), "{name}: {json}");
        }
        Err(why) => prop_assert!(why.to_string().len() > 20, "{name}: {why}"),
    }
    Ok(())
}

/// Whether every number is one; three fields may be absent.
fn whole(json: &Value) -> bool {
    match json {
        Value::Null => false,
        Value::Array(list) => list.iter().all(whole),
        Value::Object(map) => map.iter().all(|(key, value)| {
            (value.is_null() && ["satterthwaite", "interval", "degrees"].contains(&key.as_str()))
                || whole(value)
        }),
        _ => true,
    }
}

fn hostile() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -100.0..100.0_f64,
        4 => prop::sample::select(vec![0.0, -0.0, 1.0, 1.0, 2.0, 2.0, 5.0, 0.1, 0.3]),
        1 => prop::sample::select(vec![
            f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, -f64::MAX, f64::MIN_POSITIVE, 5e-324, 1e100,
            -1e100, 1e99, 1e-200, 1e16, 1e16 + 2.0,
        ]),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1500,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(7),
        ..ProptestConfig::default()
    })]

    #[test]
    fn lists_of_anything(
        first in prop::collection::vec(hostile(), 0..9),
        second in prop::collection::vec(hostile(), 0..9),
        same_length in any::<bool>(),
    ) {
        let n = if same_length { first.len().min(second.len()) } else { usize::MAX };
        let (a, b) = (&first[..first.len().min(n)], &second[..second.len().min(n)]);
        sound("mean", mean_interval(a, P95))?;
        sound("bias", bias(a, b, P95))?;
        sound("limits", limits_of_agreement(a, b, Width::Two, LimitError::WrittenOut, P95))?;
        sound("repeatability", repeatability(a, b, Width::OneNinetySix))?;
        sound("zero mean", zero_mean_error(a, b))?;
        sound("typical error", typical_error(a, b, P95))?;
        sound("per cent", typical_percent(a, b, P95))?;
        sound("responsiveness", responsiveness(a, b))?;
        sound("correlation", correlation(a, b, P95))?;
        sound("trend", trend(a, b))?;
        sound("slope", theil_sen(a, b, P95))?;
        sound("control", control_limits(a))?;
    }

    #[test]
    fn tables_of_anything(
        rows in prop::collection::vec(prop::collection::vec(hostile(), 2..4), 0..6),
        width in 2_usize..4,
        even in any::<bool>(),
    ) {
        let rows: Vec<Vec<f64>> = rows.into_iter().filter(|row| !even || row.len() == width).collect();
        match Scores::new(rows).and_then(|scores| two_way(&scores)) {
            Err(why) => prop_assert!(why.to_string().len() > 20, "{why}"),
            Ok(table) => {
                prop_assert!(whole(&serde_json::to_value(table).unwrap()), "{table:?}");
                sound("consistency", consistency(&table, P95))?;
                sound("agreement", agreement(&table, P95))?;
                for (form, icc) in all_six(&table, P95) {
                    sound(&format!("{form:?}"), icc)?;
                }
            }
        }
    }

    #[test]
    fn single_numbers_of_anything(
        (a, b, c, d) in (hostile(), hostile(), hostile(), hostile()),
        (e, g) in (hostile(), hostile()),
        n in prop::sample::select(vec![0_usize, 1, 2, 3, 15, 5_000]),
    ) {
        sound("error of difference", error_of_difference(a, b))?;
        if let Ok(change) = change(a, b, c, d) {
            sound("index", change.reliable_change_index())?;
            sound("p", change.p())?;
            sound("about", change.true_change_about(e))?;
            if let Ok(shrunk) = change.with_prior(Prior { mean: e, sd: g }) {
                sound("shrunk", Ok(shrunk))?;
                sound("shrunk about", shrunk.true_change_about(a))?;
            }
        }
        let group = Group { mean: a, sd: b, reliability: c };
        sound("true score", true_score(d, n, group, P95))?;
        sound("drift", drift(d, group))?;
        sound("ratio", ratio(Measured { value: a, error: b }, Measured { value: c, error: d }, P95))?;
        sound("many", among_many(a, b, c))?;
        sound("few", among_few(a, b, c, n))?;
        sound("SEM", from_correlation(a, b))?;
        sound("MDC", detectable_change(a, P95))?;
        sound("sessions", of_mean_of_sessions(a, n))?;
        sound("Fisher z", fisher_interval(a, n, P95))?;
        sound("Sidak", corrected_z(n, P95, Correction::Sidak))?;
        sound("Bonferroni", corrected_z(n, P95, Correction::Bonferroni))?;
        sound("any", chance_of_any(n, P95))?;
        sound("largest", expected_largest(n))?;
        sound("best", bias_of_best(n, a))?;
        sound("confidence", Confidence::share(a))?;
        sound("normal", normal(a))?;
        sound("t", student_t(a, b))?;
        sound("chi-square", chi_square(a, b))?;
        sound("F", f(a, b, c))?;
        sound("beta", beta(a, b, c))?;
        sound("normal quantile", normal_upper(a))?;
        sound("t quantile", student_t_upper(a, b))?;
        sound("chi-square quantile", chi_square_upper(a, b))?;
        sound("F quantile", f_upper(a, b, c))?;
        sound("beta quantile", beta_upper(a, b, c))?;
    }

    #[test]
    fn counts_of_anything(
        counts in prop::collection::vec(prop::collection::vec(prop::sample::select(vec![0, 0, 1, 7, 1 << 40, u64::MAX]), 1..4), 0..4),
        (hits, of) in (prop::sample::select(vec![0, 1, 5, u64::MAX]), prop::sample::select(vec![0, 1, 5, 10_000_000, u64::MAX])),
        cells in prop::array::uniform2(prop::array::uniform2(prop::sample::select(vec![0, 1, 3, 50, u64::MAX]))),
    ) {
        for weights in [Weights::None, Weights::Linear, Weights::Quadratic] {
            sound("kappa", kappa(&counts, weights, P95))?;
        }
        sound("exact share", clopper_pearson(hits, of, P95))?;
        sound("Wilson", wilson(hits, of, P95))?;
        sound("exact test", fisher_exact(cells))?;
    }
}

#[test]
fn a_reason_says_what_was_given_what_is_accepted_and_what_to_do() {
    let cells = vec![vec![Some(1.0), None], vec![Some(2.0), Some(3.0)], vec![Some(2.5), Some(2.0)]];
    let said = [
        Scores::new(vec![vec![1.0, 2.0]]).unwrap_err().to_string(),
        Scores::new(vec![vec![1.0, 2.0], vec![1.0]]).unwrap_err().to_string(),
        Scores::from_cells(&cells).unwrap_err().to_string(),
        mean_interval(&[1.0, f64::NAN], P95).unwrap_err().to_string(),
        bias(&[1.0, 2.0], &[1.0], P95).unwrap_err().to_string(),
        bias(&[1.1, 2.2, 3.3], &[0.1, 1.2, 2.3], P95).unwrap_err().to_string(),
        Confidence::share(95.0).unwrap_err().to_string(),
        table_of_pairs(&[0, 3], &[1, 1], 3).unwrap_err().to_string(),
    ];
    let expected = [
        "persons: `1` given, at least 2 needed; measure more before this can be said",
        "row 2: `1` values given, the first row has 2; fill in or leave out that person",
        "row 1, column 2 is empty; every person needs every trial: leave out the person and say so, or measure again",
        "values, value 2: `NaN` given, a number of size up to 1e100 is accepted; correct it or leave it out and say so",
        "first and second reading: `1` and `2` values given, as many of one as of the other are accepted; pair them by person",
        "differences of first and second do not differ, so nothing can be said of their spread; a scale that is capped or read too coarsely looks like this, look at the raw values",
        "confidence: `95.0` given, a share between 0.5 and 0.999999, such as 0.95 is accepted",
        "category: `3` given, a number below the number of categories, of which there are at most 1000, is accepted",
    ];
    assert_eq!(said, expected);
    let (kept, left_out) = Scores::of_complete_rows(&cells).unwrap();
    assert_eq!((kept.persons(), left_out), (2, vec![1]));
}
