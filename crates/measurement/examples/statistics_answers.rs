//! Answers data sets given as JSON lines with every statistic of this crate, in full precision.
//!
//! One line in: `{"kind": "icc", "rows": [["1.5", ...], ...]}`; numbers come as text, so that they are read
//! to the last digit. One line out: the names and values of the answer, or `{"refused": ...}` with the
//! reason. `validation/statistics/compare.py` asks and compares.

use std::io::{BufRead, Write, stdin, stdout};

use measurement::series::{
    Axis, CutOff, Filtering, LowPass, Quantity, Series, SeriesUnit, Stabilisation, StabilisationRule, sway,
    time_to_stabilisation,
};
use measurement::statistics::agreement::{self, LimitError, Width};
use measurement::statistics::anova::two_way;
use measurement::statistics::change::{Prior, change, error_of_difference};
use measurement::statistics::correlation::correlation;
use measurement::statistics::error_of_measurement::{self as error, detectable_change};
use measurement::statistics::icc::{Form, icc};
use measurement::statistics::kappa::{Weights, kappa};
use measurement::statistics::many::{Correction, bias_of_best, chance_of_any, corrected_z};
use measurement::statistics::percentile::{among_few, among_many};
use measurement::statistics::proportion::{clopper_pearson, fisher_exact, wilson};
use measurement::statistics::ratio::{Measured, ratio};
use measurement::statistics::trend::{control_limits, theil_sen, trend};
use measurement::statistics::true_score::{Group, drift, true_score};
use measurement::statistics::{Confidence, Scores, distribution};
use serde_json::{Value, json};

/// A data set of the line: named numbers and lists of numbers.
struct Asked(Value);

type Answer = Result<Value, Box<dyn std::error::Error>>;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut out = stdout().lock();
    for line in stdin().lock().lines() {
        let asked = Asked(serde_json::from_str(&line?)?);
        let answer = answer(&asked).unwrap_or_else(|why| json!({ "refused": why.to_string() }));
        writeln!(out, "{answer}")?;
    }
    Ok(())
}

impl Asked {
    fn number(&self, name: &str) -> f64 {
        number(&self.0[name])
    }

    fn list(&self, name: &str) -> Vec<f64> {
        list(&self.0[name])
    }

    fn rows(&self, name: &str) -> Vec<Vec<f64>> {
        self.0[name].as_array().expect("rows").iter().map(list).collect()
    }

    fn count(&self, name: &str) -> usize {
        self.0[name].as_u64().expect("a count").try_into().expect("a small count")
    }

    fn confidence(&self) -> Result<Confidence, Box<dyn std::error::Error>> {
        Ok(Confidence::share(self.number("confidence"))?)
    }
}

fn number(value: &Value) -> f64 {
    value.as_str().expect("a number as text").parse().expect("a number")
}

fn list(value: &Value) -> Vec<f64> {
    value.as_array().expect("a list").iter().map(number).collect()
}

fn answer(asked: &Asked) -> Answer {
    match asked.0["kind"].as_str().expect("a kind") {
        "icc" => reliability(asked),
        "pairs" => pairs(asked),
        "kappa" => categories(asked),
        "change" => one_person(asked),
        "many" => many(asked),
        "place" => place(asked),
        "share" => share(asked),
        "exact" => {
            let t: Vec<u64> = serde_json::from_value(asked.0["table"].clone())?;
            Ok(json!(fisher_exact([[t[0], t[1]], [t[2], t[3]]])?))
        }
        "trend" => over_time(asked),
        "mean" => {
            let values = asked.list("values");
            let mean = agreement::mean_interval(&values, asked.confidence()?)?;
            Ok(json!({ "mean": mean, "chart": control_limits(&values)? }))
        }
        "correlation" => {
            Ok(json!(correlation(&asked.list("first"), &asked.list("second"), asked.confidence()?)?))
        }
        "distribution" => tails(asked),
        "sway" => standing(asked),
        "landing" => landing(asked),
        other => panic!("no such kind: {other}"),
    }
}

fn reliability(asked: &Asked) -> Answer {
    let table = two_way(&Scores::new(asked.rows("rows"))?)?;
    let confidence = asked.confidence()?;
    let forms: Vec<Value> = Form::ALL
        .into_iter()
        .map(|form| match icc(&table, form, confidence) {
            Ok(icc) => json!(icc),
            Err(why) => json!({ "refused": why.to_string() }),
        })
        .collect();
    let consistency = error::consistency(&table, confidence)?;
    Ok(json!({
        "table": table,
        "forms": forms,
        "consistency": consistency,
        "agreement": error::agreement(&table, confidence)?,
        "mdc": detectable_change(consistency.sem, confidence)?,
    }))
}

fn pairs(asked: &Asked) -> Answer {
    let (first, second, confidence) = (asked.list("first"), asked.list("second"), asked.confidence()?);
    let width = Width::Share(confidence);
    let limits = |error| agreement::limits_of_agreement(&first, &second, width, error, confidence);
    Ok(json!({
        "limits": limits(LimitError::ThreeOverN)?,
        "written_out": limits(LimitError::WrittenOut)?,
        "repeatability": agreement::repeatability(&first, &second, Width::OneNinetySix)?,
        "zero_mean": agreement::zero_mean_error(&first, &second)?,
        "typical": agreement::typical_error(&first, &second, confidence)?,
        "percent": agreement::typical_percent(&first, &second, confidence).ok(),
        "responsiveness": agreement::responsiveness(&first, &second)?,
    }))
}

fn categories(asked: &Asked) -> Answer {
    let counts: Vec<Vec<u64>> = serde_json::from_value(asked.0["counts"].clone())?;
    let of = |weights| kappa(&counts, weights, asked.confidence().expect("a confidence"));
    Ok(json!([of(Weights::None)?, of(Weights::Linear)?, of(Weights::Quadratic)?]))
}

fn one_person(asked: &Asked) -> Answer {
    let error = error_of_difference(asked.number("sem"), asked.number("sem"))?;
    let change = change(asked.number("before"), asked.number("after"), asked.number("practice"), error)?;
    let threshold = asked.number("threshold");
    let shrunk = change.with_prior(Prior { mean: asked.number("mean"), sd: asked.number("sd") })?;
    let group = Group {
        mean: asked.number("mean"),
        sd: asked.number("sd"),
        reliability: asked.number("reliability"),
    };
    let (before, confidence) = (asked.number("before"), asked.confidence()?);
    let with_error = |value| Measured { value, error: asked.number("sem") };
    Ok(json!({
        "index": change.reliable_change_index()?,
        "p": change.p()?,
        "about": change.true_change_about(threshold)?,
        "shrunk": shrunk,
        "shrunk_about": shrunk.true_change_about(threshold)?,
        "score": true_score(before, asked.count("measurements"), group, confidence)?,
        "drift": drift(before, group)?,
        "ratio": ratio(with_error(before), with_error(asked.number("after")), confidence)?,
    }))
}

fn many(asked: &Asked) -> Answer {
    let (m, confidence) = (asked.count("m"), asked.confidence()?);
    Ok(json!({
        "sidak": corrected_z(m, confidence, Correction::Sidak)?,
        "bonferroni": corrected_z(m, confidence, Correction::Bonferroni)?,
        "any": chance_of_any(m, confidence)?,
        "best": bias_of_best(m, 1.0)?,
    }))
}

fn place(asked: &Asked) -> Answer {
    let (x, mean, sd) = (asked.number("x"), asked.number("mean"), asked.number("sd"));
    Ok(json!({ "many": among_many(x, mean, sd)?, "few": among_few(x, mean, sd, asked.count("n"))? }))
}

fn share(asked: &Asked) -> Answer {
    let (hits, of) = (asked.count("hits") as u64, asked.count("of") as u64);
    let confidence = asked.confidence()?;
    Ok(json!({ "exact": clopper_pearson(hits, of, confidence)?, "wilson": wilson(hits, of, confidence)? }))
}

fn over_time(asked: &Asked) -> Answer {
    let (times, values) = (asked.list("times"), asked.list("values"));
    Ok(json!({
        "trend": trend(&times, &values)?,
        "slope": theil_sen(&times, &values, asked.confidence()?)?,
    }))
}

fn tails(asked: &Asked) -> Answer {
    let (x, a, b, p) = (asked.number("x"), asked.number("a"), asked.number("b"), asked.number("p"));
    let name = asked.0["of"].as_str().expect("a distribution");
    let (tails, quantile) = match name {
        "normal" => (distribution::normal(x)?, distribution::normal_upper(p)),
        "t" => (distribution::student_t(x, a)?, distribution::student_t_upper(p, a)),
        "chi2" => (distribution::chi_square(x, a)?, distribution::chi_square_upper(p, a)),
        "f" => (distribution::f(x, a, b)?, distribution::f_upper(p, a, b)),
        "beta" => (distribution::beta(x, a, b)?, distribution::beta_upper(p, a, b)),
        other => panic!("no such distribution: {other}"),
    };
    Ok(json!({ "lower": tails.lower, "upper": tails.upper, "quantile": quantile.ok() }))
}

fn low_pass(asked: &Asked) -> LowPass {
    let order = u8::try_from(asked.count("order")).expect("a small order");
    LowPass { order, cut_off: CutOff::OnePassHz(asked.number("hz")) }
}

fn standing(asked: &Asked) -> Answer {
    let (ml, ap, rate) = (asked.list("ml"), asked.list("ap"), asked.number("rate"));
    let filter = low_pass(asked);
    let filtered = filter.apply(&ml, rate)?;
    let columns = vec![(Axis::MedioLateral, ml), (Axis::AnteroPosterior, ap)];
    let series = Series::new(Quantity::CentreOfPressure, SeriesUnit::Centimetre, rate, columns)?;
    let confidence = asked.confidence()?;
    Ok(json!({
        "raw": sway(&series, Filtering::AsRecorded, confidence)?,
        "smooth": sway(&series, Filtering::LowPass(filter), confidence)?,
        "filtered": filtered,
    }))
}

fn landing(asked: &Asked) -> Answer {
    let columns = vec![(Axis::Vertical, asked.list("force"))];
    let series = Series::new(Quantity::Force, SeriesUnit::Newton, asked.number("rate"), columns)?;
    let rule = StabilisationRule {
        contact_newton: asked.number("contact"),
        band_share: asked.number("band"),
        hold_seconds: asked.number("hold"),
    };
    let landing = time_to_stabilisation(&series, asked.number("weight"), rule, Filtering::AsRecorded)?;
    Ok(match landing.stabilisation {
        Stabilisation::After { seconds, contact_at } => json!({ "after": seconds, "contact": contact_at }),
        other => json!({ "other": other }),
    })
}
