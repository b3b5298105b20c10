//! Laws that the statistics keep whatever the data: shifts, scales, permutations, swaps, duals.

use measurement::statistics::agreement::{LimitError, Width, bias, limits_of_agreement, typical_error};
use measurement::statistics::anova::two_way;
use measurement::statistics::change::{Prior, change};
use measurement::statistics::distribution::{
    beta, beta_upper, chi_square, chi_square_upper, f, f_upper, normal, normal_upper, student_t,
    student_t_upper,
};
use measurement::statistics::error_of_measurement::consistency;
use measurement::statistics::icc::{Form, Limits, icc};
use measurement::statistics::kappa::{Weights, kappa};
use measurement::statistics::proportion::{clopper_pearson, fisher_exact};
use measurement::statistics::ratio::{Fieller, Measured, ratio};
use measurement::statistics::trend::{theil_sen, trend};
use measurement::statistics::true_score::{Group, true_score};
use measurement::statistics::{Confidence, Scores};
use proptest::prelude::*;

const P95: Confidence = Confidence::P95;

fn same(a: f64, b: f64, scale: f64) -> bool {
    (a - b).abs() <= 1e-9 * (a.abs().max(scale))
}

fn fixed(seed: u64) -> ProptestConfig {
    let rng_seed = proptest::test_runner::RngSeed::Fixed(seed);
    ProptestConfig { cases: 200, rng_seed, failure_persistence: None, ..ProptestConfig::default() }
}

/// Scores of 3 to 12 people by 2 to 4 raters.
fn scores() -> impl Strategy<Value = Vec<Vec<f64>>> {
    (2_usize..5).prop_flat_map(|k| prop::collection::vec(prop::collection::vec(-50.0..50.0_f64, k), 3..12))
}

fn pairs() -> impl Strategy<Value = (Vec<f64>, Vec<f64>)> {
    prop::collection::vec((1.0..50.0_f64, 1.0..50.0_f64), 3..20).prop_map(|p| p.into_iter().unzip())
}

proptest! {
    #![proptest_config(fixed(5))]

    #[test]
    fn correlations_do_not_mind_level_scale_order_of_persons_or_of_raters(
        rows in scores(),
        shift in -1e3..1e3_f64,
        scale in 0.01..100.0_f64,
        turn in 0_usize..12,
    ) {
        let changed = |by: &dyn Fn(f64) -> f64| -> Vec<Vec<f64>> {
            rows.iter().map(|row| row.iter().map(|x| by(*x)).collect()).collect()
        };
        let mut turned = changed(&|x| x * scale + shift);
        let n = turned.len();
        turned.rotate_left(turn % n);
        turned.iter_mut().for_each(|row| row.reverse());
        let (one, other) = (two_way(&Scores::new(rows).unwrap()).unwrap(), two_way(&Scores::new(turned).unwrap()).unwrap());
        for form in Form::ALL {
            let (Ok(a), Ok(b)) = (icc(&one, form, P95), icc(&other, form, P95)) else { continue };
            prop_assert!(same(a.estimate, b.estimate, 1.0), "{a:?} {b:?}");
            prop_assert!(a.estimate <= 1.0);
            if let (Limits::Between(x), Limits::Between(y)) = (a.limits, b.limits) {
                prop_assert!(same(x.lower, y.lower, 1.0) && same(x.upper, y.upper, 1.0), "{a:?} {b:?}");
                prop_assert!(x.lower <= x.upper, "{a:?}");
            }
        }
        let (a, b) = (consistency(&one, P95).unwrap(), consistency(&other, P95).unwrap());
        prop_assert!(same(a.sem * scale, b.sem, scale));
    }

    #[test]
    fn sums_of_squares_add_up_to_the_whole(rows in scores()) {
        let t = two_way(&Scores::new(rows.clone()).unwrap()).unwrap();
        let (n, k) = (t.n as f64, t.k as f64);
        let whole: f64 = rows.iter().flatten().map(|x| (x - t.grand_mean).powi(2)).sum();
        let parts = t.between_persons * (n - 1.0) + t.between_raters * (k - 1.0) + t.residual * t.residual_degrees();
        prop_assert!(same(whole, parts, 1.0));
        let within = t.between_raters * (k - 1.0) + t.residual * t.residual_degrees();
        prop_assert!(same(t.within_persons * n * (k - 1.0), within, 1.0));
    }

    #[test]
    fn swapping_the_raters_turns_the_bias_and_the_limits_and_nothing_else((a, b) in pairs()) {
        let (one, other) = (bias(&a, &b, P95).unwrap(), bias(&b, &a, P95).unwrap());
        prop_assert!(same(one.mean, -other.mean, 1.0));
        prop_assert!(same(one.interval.lower, -other.interval.upper, 1.0));
        let limits = |x: &[f64], y: &[f64]| limits_of_agreement(x, y, Width::Share(P95), LimitError::ThreeOverN, P95).unwrap();
        prop_assert!(same(limits(&a, &b).limits.lower, -limits(&b, &a).limits.upper, 1.0));
        let te = typical_error(&a, &b, P95).unwrap();
        prop_assert!(same(te.error, typical_error(&b, &a, P95).unwrap().error, 1e-3));
        let rows: Vec<Vec<f64>> = a.iter().zip(&b).map(|(x, y)| vec![*x, *y]).collect();
        let mse = two_way(&Scores::new(rows).unwrap()).unwrap().residual;
        prop_assert!(same(te.error, mse.sqrt(), 1e-3), "typical error is the root of the residual of two columns");
    }

    #[test]
    fn a_shift_of_one_rater_moves_the_bias_and_leaves_the_typical_error((a, b) in pairs(), by in -20.0..20.0_f64) {
        let moved: Vec<f64> = a.iter().map(|x| x + by).collect();
        prop_assert!(same(bias(&a, &b, P95).unwrap().mean + by, bias(&moved, &b, P95).unwrap().mean, 1.0));
        let (x, y) = (typical_error(&a, &b, P95).unwrap(), typical_error(&moved, &b, P95).unwrap());
        prop_assert!(same(x.error, y.error, 1.0));
    }

    #[test]
    fn kappa_is_the_same_for_either_rater_first_and_one_for_full_agreement(
        counts in prop::collection::vec(prop::collection::vec(0_u64..9, 3), 3),
    ) {
        let turned: Vec<Vec<u64>> = (0..3).map(|j| counts.iter().map(|row| row[j]).collect()).collect();
        for weights in [Weights::None, Weights::Linear, Weights::Quadratic] {
            let (Ok(a), Ok(b)) = (kappa(&counts, weights, P95), kappa(&turned, weights, P95)) else { continue };
            prop_assert!(same(a.kappa, b.kappa, 1.0) && same(a.standard_error, b.standard_error, 1.0));
            prop_assert!(a.kappa <= 1.0);
            prop_assert!(-1.0 <= a.interval.lower && a.interval.upper <= 1.0);
            prop_assert!(a.unclipped.lower <= a.interval.lower && a.interval.upper <= a.unclipped.upper);
            prop_assert!(a.interval.lower <= a.kappa + 1e-12 && a.kappa <= a.interval.upper + 1e-12);
        }
        let agreed = [vec![counts[0][0] + 1, 0, 0], vec![0, counts[1][1] + 1, 0], vec![0, 0, counts[2][2]]];
        prop_assert!(same(kappa(&agreed, Weights::Quadratic, P95).unwrap().kappa, 1.0, 1.0));
    }

    #[test]
    fn a_quantile_leaves_the_tail_that_was_asked_for(exponent in -250.0..-0.01_f64, a in 0.5..400.0_f64, b in 0.5..400.0_f64) {
        let p = 10.0_f64.powf(exponent);
        let left = |upper: f64, name: &str| {
            // A quantile that is rounded to the last bit moves a far tail by as many parts as ln p.
            let good = (upper / p - 1.0).abs() < 1e-11 * (1.0 - p.ln()).max(1.0);
            prop_assert!(good, "{name} {p:e} {a} {b}: {upper:e}");
            Ok(())
        };
        left(normal(normal_upper(p).unwrap()).unwrap().upper, "normal")?;
        left(chi_square(chi_square_upper(p, a).unwrap(), a).unwrap().upper, "chi-square")?;
        if let Ok(x) = student_t_upper(p, a) {
            left(student_t(x, a).unwrap().upper, "t")?;
        }
        if let Ok(x) = f_upper(p, a, b) {
            left(f(x, a, b).unwrap().upper, "F")?;
        }
        let x = beta_upper(p.max(1e-3), a, b).unwrap();
        prop_assert!((beta(x, a, b).unwrap().upper / p.max(1e-3) - 1.0).abs() < 1e-8);
    }

    #[test]
    fn t_squared_is_f_and_tails_add_to_one(t in -50.0..50.0_f64, v in 0.5..500.0_f64) {
        let tails = student_t(t, v).unwrap();
        prop_assert!(same(tails.lower + tails.upper, 1.0, 1.0));
        let both = f(t * t, 1.0, v).unwrap().upper;
        prop_assert!((2.0 * tails.lower.min(tails.upper) / both - 1.0).abs() < 1e-10);
        prop_assert_eq!(student_t(-t, v).unwrap().upper, tails.lower);
    }

    #[test]
    fn both_answers_about_a_change_add_to_one_and_a_prior_draws_it_in(
        before in -50.0..50.0_f64,
        after in -50.0..50.0_f64,
        error in 0.1..10.0_f64,
        mean in -10.0..10.0_f64,
        sd in 0.1..20.0_f64,
    ) {
        let change = change(before, after, 0.0, error).unwrap();
        let tails = change.true_change_about(3.0).unwrap();
        prop_assert!(same(tails.lower + tails.upper, 1.0, 1.0));
        let shrunk = change.with_prior(Prior { mean, sd }).unwrap();
        let (low, high) = (mean.min(change.difference), mean.max(change.difference));
        prop_assert!(shrunk.mean >= low - 1e-9 && shrunk.mean <= high + 1e-9 && shrunk.sd < error.min(sd));
    }

    #[test]
    fn a_true_score_lies_between_the_score_and_the_group(x in 0.0..100.0_f64, mean in 0.0..100.0_f64, r in 0.01..0.99_f64, k in 1_usize..9) {
        let group = Group { mean, sd: 8.0, reliability: r };
        let (one, more) = (true_score(x, k, group, P95).unwrap(), true_score(x, k + 1, group, P95).unwrap());
        prop_assert!(one.estimate >= x.min(mean) - 1e-9 && one.estimate <= x.max(mean) + 1e-9);
        prop_assert!(more.weight > one.weight && more.standard_error < one.standard_error);
    }

    #[test]
    fn the_limits_of_fieller_are_ratios_that_just_pass(x in -50.0..50.0_f64, y in 1.0..50.0_f64, s in 0.1..20.0_f64) {
        let r = ratio(Measured { value: x, error: s }, Measured { value: y, error: s }, P95).unwrap();
        let passes = |theta: f64| (x - theta * y).abs() / (s * theta.hypot(1.0)) / P95.z();
        match r.fieller {
            Fieller::Bounded(i) => {
                prop_assert!((passes(i.lower) - 1.0).abs() < 1e-6 && (passes(i.upper) - 1.0).abs() < 1e-6);
                prop_assert!(i.contains(r.ratio));
            }
            Fieller::AllBut(i) => {
                prop_assert!(passes(0.5 * (i.lower + i.upper)) >= 1.0);
                prop_assert!(!(i.lower < r.ratio && r.ratio < i.upper));
            }
            Fieller::Any => {
                for theta in [-100.0, -1.0, 0.0, 0.5, 1.0, 2.0, 100.0, -x / y] {
                    prop_assert!(passes(theta) <= 1.0 + 1e-9, "{theta}");
                }
            }
        }
    }

    #[test]
    fn a_share_and_its_complement_have_mirrored_limits(hits in 0_u64..200, more in 0_u64..200) {
        let of = (hits + more).max(1);
        let hits = hits.min(of);
        let (a, b) = (clopper_pearson(hits, of, P95).unwrap(), clopper_pearson(of - hits, of, P95).unwrap());
        prop_assert!(same(a.lower, 1.0 - b.upper, 1.0) && same(a.upper, 1.0 - b.lower, 1.0));
        prop_assert!(a.contains(hits as f64 / of as f64));
    }

    #[test]
    fn an_exact_test_does_not_mind_which_way_the_table_lies(a in 0_u64..30, b in 0_u64..30, c in 0_u64..30, d in 0_u64..30) {
        let p = fisher_exact([[a, b], [c, d]]).unwrap().p;
        prop_assert!(p > 0.0 && p <= 1.0);
        for other in [[[a, c], [b, d]], [[b, a], [d, c]], [[c, d], [a, b]]] {
            prop_assert!(same(p, fisher_exact(other).unwrap().p, 1e-12));
        }
    }

    #[test]
    fn a_falling_series_is_a_rising_one_in_a_mirror(values in prop::collection::vec(-9_i32..9, 4..30)) {
        let times: Vec<f64> = (0..values.len()).map(|i| i as f64).collect();
        let up: Vec<f64> = values.iter().map(|v| f64::from(*v)).collect();
        let down: Vec<f64> = up.iter().map(|v| -v).collect();
        if let (Ok(a), Ok(b)) = (trend(&times, &up), trend(&times, &down)) {
            prop_assert_eq!(a.s, -b.s);
            prop_assert!(same(a.tau_b, -b.tau_b, 1.0) && same(a.p, b.p, 1e-3) && a.tau_b.abs() <= 1.0 + 1e-12);
        }
        let (a, b) = (theil_sen(&times, &up, P95).unwrap(), theil_sen(&times, &down, P95).unwrap());
        prop_assert!(same(a.slope, -b.slope, 1.0));
        prop_assert!(a.interval.lower <= a.slope && a.slope <= a.interval.upper, "{a:?}");
    }
}

/// From tables of the normal distribution; the last is e^−450.
#[test]
fn far_tails_keep_their_digits() {
    let upper = |z: f64| normal(z).unwrap().upper;
    assert!((upper(8.0) / 6.220960574271785e-16 - 1.0).abs() < 1e-14);
    assert!((upper(30.0) / 4.906713927148187e-198 - 1.0).abs() < 1e-13);
    assert_eq!(normal(-30.0).unwrap().lower, upper(30.0));
    // Student's t with 16 degrees of freedom at 40, and a million at 5 (40-digit arithmetic).
    assert!((student_t(40.0, 16.0).unwrap().upper / 9.107880771886494e-18 - 1.0).abs() < 1e-12);
    assert!((student_t(5.0, 1e6).unwrap().upper / 2.866_998_935_445_371e-7 - 1.0).abs() < 1e-12);
}
