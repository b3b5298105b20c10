//! The report of agreement in words: what was found, which figure is for what, and what to watch.

use std::fmt::Write as _;

use measurement::reading_of_agreement;
use measurement::statistics::error_of_measurement::ErrorOfMeasurement;
use measurement::statistics::icc::{Form, Icc, Limits};
use measurement::statistics::kappa::Kappa;
use measurement::statistics::{Interval, Problem};

use super::{AgreementReport, Answer, ErrorRow, GradePair, GradesReport, LeftOut, Pair};

/// Three significant digits, as a reading deserves, with a true minus; in powers of ten far from 1.
fn figure(x: f64) -> String {
    if x == 0.0 {
        return "0".to_owned();
    }
    let size = x.abs().log10().floor();
    if !(-6.0..9.0).contains(&size) {
        return format!("{x:.2e}").replace('-', "\u{2212}");
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // small
    let places = (2.0 - size).clamp(0.0, 8.0) as usize;
    format!("{x:.places$}").replace('-', "\u{2212}")
}

fn between(lower: f64, upper: f64) -> String {
    format!("{} to {}", figure(lower), figure(upper))
}

fn form(form: Form) -> &'static str {
    match form {
        Form::OneWaySingle => "ICC(1,1), other raters for each person, one reading",
        Form::AgreementSingle => "ICC(2,1), any raters, one reading",
        Form::ConsistencySingle => "ICC(3,1), these raters, one reading",
        Form::OneWayMean => "ICC(1,k), other raters for each person, mean of all",
        Form::AgreementMean => "ICC(2,k), any raters, mean of all",
        Form::ConsistencyMean => "ICC(3,k), these raters, mean of all",
    }
}

fn correlation(icc: &Icc) -> String {
    let (limits, word) = match icc.limits {
        Limits::Between(of) => {
            let [low, high] = [of.lower, of.upper].map(|x| reading_of_agreement().word(x));
            let word = if low == high { low.to_owned() } else { format!("{low} to {high}") };
            (format!("{:.2} to {:.2}", of.lower, of.upper), word)
        }
        Limits::Unknown => ("no limits".to_owned(), "cannot be told".to_owned()),
        Limits::AtMost(upper) => (format!("no lower limit, at most {upper:.2}"), "cannot be told".to_owned()),
    };
    format!("{:.2} ({limits}): {word}", icc.estimate).replace('-', "\u{2212}")
}

fn no_answer(problem: &Problem) -> String {
    format!("cannot be said: {problem}")
}

fn left_out(out: &mut String, all: &[LeftOut]) {
    if all.is_empty() {
        return;
    }
    let names: Vec<String> = all
        .iter()
        .map(|one| match &one.person {
            Some(person) => format!("{person} (line {})", one.line),
            None => format!("line {}", one.line),
        })
        .collect();
    let _ = writeln!(out, "Left out, a reading is missing: {}.", names.join(", "));
}

/// What to watch when the figures are used.
pub(super) fn cautions(report: &AgreementReport) -> Vec<String> {
    let reading = reading_of_agreement();
    let mut out = Vec::new();
    if report.unit.is_none() {
        out.push(
            "The unit was not stated; a figure without a unit is easily used for the wrong test.".to_owned(),
        );
    }
    out.extend(few(report.persons));
    for pair in &report.pairs {
        let names = format!("{} and {}", pair.columns[0], pair.columns[1]);
        out.extend(reads_higher(pair));
        if let Some([tau, p]) = pair.grows
            && tau > 0.0
            && p < reading.chance()
        {
            out.push(format!(
                "Larger values differ more between {names} (Kendall's tau {tau:.2}): one error in the unit is too large for small values and too small for large ones; use the error in per cent."
            ));
        }
    }
    out.push(
        "A correlation depends on how far apart these persons are: a narrow group gives a small one with the same test. The error in the unit is what a change is compared with.".to_owned(),
    );
    out
}

/// Said where fewer persons were measured than are wanted.
fn few(persons: usize) -> Option<String> {
    let wanted = reading_of_agreement().persons_wanted();
    (persons < wanted).then(|| {
        format!(
            "{persons} persons are few: about {wanted} are wanted before the error of a test is relied on; look at the intervals, not at the figures."
        )
    })
}

/// Said where one of two reads systematically higher: the interval of the bias leaves out zero, or the bias has
/// no spread at all.
fn reads_higher(pair: &Pair) -> Option<String> {
    let [first, second] = &pair.columns;
    let bias = match (pair.limits.value(), pair.constant) {
        (Some(limits), _) if !limits.bias.interval.contains(0.0) => limits.bias.mean,
        (Some(_), _) | (None, None) => return None,
        (None, Some(0.0)) => {
            return Some(format!(
                "{first} and {second} are the same for every person; a copied column, a capped scale or one that is read too coarsely looks like this: look at the raw values."
            ));
        }
        (None, Some(constant)) => constant,
    };
    let (high, low) = if bias > 0.0 { (first, second) } else { (second, first) };
    let by = figure(bias.abs());
    let by = if pair.constant.is_some() { format!("{by} for every person") } else { format!("about {by}") };
    Some(format!(
        "{high} reads higher than {low} by {by}: practice, another habit or another device. Take it off, or agree on how it is done, before a change is judged."
    ))
}

/// What to watch when kappa is used.
pub(super) fn cautions_of_grades(report: &GradesReport) -> Vec<String> {
    let mut out: Vec<String> = few(report.persons).into_iter().collect();
    let found = || {
        let of =
            |pair: &'_ GradePair| [Some(pair.plain.clone()), pair.linear.clone(), pair.quadratic.clone()];
        report.pairs.iter().flat_map(of).flatten().filter_map(|answer| answer.value().cloned())
    };
    if found().any(|kappa| kappa.clipped) {
        out.push(
            "An interval went beyond \u{2212}1 or 1, which no kappa can, and is cut there: the persons are too few for this kind of interval.".to_owned(),
        );
    }
    if found().any(|kappa| kappa.standard_error == 0.0) {
        out.push(
            "An interval without width is no certainty: where raters agree on everybody this kind of interval cannot tell how sure that is.".to_owned(),
        );
    }
    out.push(
        "A grade that is rare makes kappa small although raters agree; read it beside the share of the same grade.".to_owned(),
    );
    if !report.ordered {
        out.push(
            "Without an order every disagreement counts alike; give the order where there is one.".to_owned(),
        );
    }
    out
}

fn error(out: &mut String, name: &str, row: &ErrorRow, unit: &str) {
    let told = match &row.error {
        Answer::Value(ErrorOfMeasurement { sem, interval, .. }) => {
            let limits = interval.map_or(String::new(), |of| format!(" ({})", between(of.lower, of.upper)));
            let changes: Vec<String> = row
                .detectable
                .iter()
                .map(|d| format!("{} at {:.0} %", figure(d.change), 100.0 * d.confidence.in_share()))
                .collect();
            format!(
                "{}{limits}{unit}; a change is more than error from {}{unit}",
                figure(*sem),
                changes.join(", ")
            )
        }
        Answer::None(problem) => no_answer(problem),
    };
    let _ = writeln!(out, "- {name}: {told}");
}

fn pair(out: &mut String, pair: &Pair, unit: &str) {
    let _ = writeln!(out, "\n{} \u{2212} {}", pair.columns[0], pair.columns[1]);
    match &pair.limits {
        Answer::Value(of) => {
            let bias = of.bias;
            let _ = writeln!(
                out,
                "  mean difference {} ({}){unit}\n  95 % of differences lie between {} ({}) and {} ({}){unit}",
                figure(bias.mean),
                between(bias.interval.lower, bias.interval.upper),
                figure(of.limits.lower),
                between(of.of_lower.lower, of.of_lower.upper),
                figure(of.limits.upper),
                between(of.of_upper.lower, of.of_upper.upper),
            );
        }
        Answer::None(problem) => match pair.constant {
            Some(0.0) => {
                let _ = writeln!(out, "  mean difference 0, for every person: no spread to take limits from");
            }
            Some(by) => {
                let by = figure(by);
                let _ = writeln!(
                    out,
                    "  mean difference {by}{unit}, the same for every person: no spread, so no interval; both limits are {by} too"
                );
            }
            None => drop(writeln!(out, "  limits: {}", no_answer(problem))),
        },
    }
    for (name, answer, unit) in
        [("typical error", &pair.typical, unit), ("in per cent", &pair.typical_percent, " %")]
    {
        let told = match answer {
            Answer::Value(of) => {
                format!("{} ({}){unit}", figure(of.error), between(of.interval.lower, of.interval.upper))
            }
            Answer::None(problem) => no_answer(problem),
        };
        let _ = writeln!(out, "  {name} {told}");
    }
}

impl AgreementReport {
    /// The report as text. Intervals stand in brackets.
    #[must_use]
    pub fn text(&self) -> String {
        let unit = self.unit.as_ref().map_or(String::new(), |unit| format!(" {unit}"));
        let mut out = format!(
            "{} persons, {} readings each. Brackets: {:.0} % interval.\n",
            self.persons,
            self.columns.len(),
            100.0 * self.confidence.in_share()
        );
        left_out(&mut out, &self.left_out);
        for (name, mean) in &self.columns {
            let told = match mean {
                Answer::Value(m) => format!(
                    "mean {} ({}), standard deviation {}{unit}",
                    figure(m.mean),
                    between(m.interval.lower, m.interval.upper),
                    figure(m.sd)
                ),
                Answer::None(problem) => no_answer(problem),
            };
            let _ = writeln!(out, "- {name}: {told}");
        }
        out.push_str("\nError of one measurement\n");
        error(&mut out, "same rater again, bias taken off", &self.same_rater, &unit);
        error(&mut out, "another rater next time", &self.other_rater, &unit);
        out.push_str("\nAgreement in pairs\n");
        for one in &self.pairs {
            pair(&mut out, one, &unit);
        }
        out.push_str("\nIntraclass correlation; the word follows from the interval, not from the figure\n");
        for (of, answer) in &self.correlations {
            let told = match answer {
                Answer::Value(icc) => correlation(icc),
                Answer::None(problem) => no_answer(problem),
            };
            let _ = writeln!(out, "- {}: {told}", form(*of));
        }
        out.push_str("\nTo watch\n");
        for caution in &self.cautions {
            let _ = writeln!(out, "- {caution}");
        }
        out
    }
}

fn kappa(answer: &Answer<Kappa>) -> String {
    match answer {
        Answer::Value(k) => {
            let cut = if k.clipped { ", cut at the end of the scale" } else { "" };
            let Interval { lower, upper } = k.interval;
            format!("{:.2} ({lower:.2} to {upper:.2}{cut})", k.kappa).replace('-', "\u{2212}")
        }
        Answer::None(problem) => no_answer(problem),
    }
}

impl GradesReport {
    /// The report as text. Intervals stand in brackets.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = format!(
            "{} persons; grades {}{}. Brackets: {:.0} % interval.\n",
            self.persons,
            self.grades.join(", "),
            if self.ordered { " in this order" } else { ", without order" },
            100.0 * self.confidence.in_share()
        );
        left_out(&mut out, &self.left_out);
        for pair in &self.pairs {
            let _ = writeln!(out, "\n{} and {}", pair.columns[0], pair.columns[1]);
            if let Some(k) = pair.plain.value() {
                let _ = writeln!(
                    out,
                    "  the same grade: {:.0} % of persons; by chance {:.0} % would be",
                    100.0 * k.observed,
                    100.0 * k.expected
                );
            }
            let _ = writeln!(out, "  kappa {}", kappa(&pair.plain));
            for (name, weighted) in [("steps", &pair.linear), ("squared steps", &pair.quadratic)] {
                if let Some(weighted) = weighted {
                    let _ = writeln!(out, "  weighted by {name} {}", kappa(weighted));
                }
            }
            for (row, grade) in pair.counts.iter().zip(&self.grades) {
                let cells: Vec<String> = row.iter().map(|n| format!("{n:>4}")).collect();
                let _ = writeln!(out, "  {grade:>12} |{}", cells.concat());
            }
        }
        out.push_str("\nTo watch\n");
        for caution in &self.cautions {
            let _ = writeln!(out, "- {caution}");
        }
        out
    }
}
