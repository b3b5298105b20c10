//! A table of readings from text to report: published figures, spreadsheets of all kinds, bad input.

use super::*;

/// Peak flow, first readings of two meters, 17 people: Bland and Altman 1986, Lancet 1:307, Table 1.
const METERS: &str = "\
large meter,small meter
494,512\n395,430\n516,520\n434,428\n476,500\n557,600\n413,364\n442,380\n650,658
433,445\n417,432\n656,626\n267,260\n478,477\n178,259\n423,350\n427,451
";

fn report(text: &str) -> Result<AgreementReport, TableError> {
    let settings = AgreementSettings { unit: Some("l/min".to_owned()), confidence: Confidence::P95 };
    agreement_report(&RatingTable::read(text)?, &settings)
}

fn good(text: &str) -> AgreementReport {
    report(text).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn two_flow_meters_agree_as_the_paper_says() {
    let report = good(METERS);
    assert_eq!((report.persons, report.pairs.len()), (17, 1));
    let limits = report.pairs[0].limits.value().expect("limits");
    // The paper prints a mean difference of -2.1 and a standard deviation of 38.8 l/min.
    assert!((limits.bias.mean + 2.1).abs() < 0.05 && (limits.bias.sd - 38.8).abs() < 0.05, "{limits:?}");
    let text = report.text();
    assert!(text.contains("mean difference \u{2212}2.12") && text.contains("17 persons are few"), "{text}");
    let frame = Frame { width: 480.0, height: 320.0, type_size: 13.0 };
    let chart = report.pairs[0].chart(report.unit.as_deref(), frame).expect("a chart");
    assert_eq!(chart.outlines("person").len(), 17);
}

#[test]
fn semicolons_decimal_commas_labels_and_empty_cells_are_read_as_a_spreadsheet_means_them() {
    let plain = good("a,b\n78.2,80.1\n65.4,66.0\n90.3,88.7\n72.5,74.9\n");
    let foreign = good(
        "\u{feff}person;a;b\r\nUna;78,2;80,1\r\nBo;65,4;66,0\r\nEb;;70\r\nIsa;90,3;88,7\r\nAd;72,5;74,9\r\n",
    );
    assert_eq!(plain.variance, foreign.variance);
    assert_eq!(foreign.left_out, vec![LeftOut { line: 4, person: Some("Eb".to_owned()) }]);
    assert!(foreign.text().contains("Left out, a reading is missing: Eb (line 4)."));
}

#[test]
fn what_cannot_be_read_is_named_with_its_line_and_what_to_do() {
    let told = |text: &str| report(text).expect_err("not a table").to_string();
    assert!(told("").contains("header row"));
    assert!(told("a,b\n").contains("a header and no row"));
    assert!(told("a,b\n1,2\n3\n").contains("line 3 has 1 cells, the header has 2"));
    assert!(told("a,b\n1,2\n3,many\n").contains("line 3, column `b`: `many` is no number"));
    assert!(told("a,a\n1,2\n").contains("column 2"));
    assert!(told("1,2\n3,4\n").contains("column 1 of the header is `1`"));
    assert!(told("a,b\n1,2\n").contains("at least 2 needed"));
    assert!(told("a\n1\n2\n").contains("raters or trials"));
    assert!(told("a,b\n1,nan\n2,inf\n").contains("is no number"));
    assert!(matches!(report(&"x".repeat(5_000_000)), Err(TableError::TooLarge { .. })));
}

#[test]
fn readings_without_any_spread_are_answered_and_no_figure_is_made_up() {
    let report = good("a,b\n5,5\n5,5\n5,5\n");
    assert!(report.same_rater.error.value().is_none() && report.pairs[0].limits.value().is_none());
    assert!(report.text().contains("cannot be said"), "{}", report.text());
}

#[test]
fn a_bias_and_an_error_that_grows_are_cautions() {
    let mut text = String::from("first,second\n");
    for k in 1..=40 {
        let value = 10.0 * f64::from(k);
        let error = value * 0.05 * if k % 2 == 0 { 1.0 } else { -0.6 };
        text.push_str(&format!("{value},{}\n", value - 12.0 + error));
    }
    let told = good(&text).text();
    assert!(told.contains("first reads higher than second by about"), "{told}");
    assert!(told.contains("Larger values differ more"), "{told}");
}

#[test]
fn grades_get_kappa_weighted_only_where_they_have_an_order() {
    // Twenty and fifteen agreements, five and ten disagreements: kappa 0.40 by hand.
    let mut text = String::from("one,two\n");
    for (pair, times) in [("no,no", 20), ("no,yes", 5), ("yes,no", 10), ("yes,yes", 15)] {
        text.push_str(&format!("{pair}\n").repeat(times));
    }
    let table = RatingTable::read(&text).unwrap_or_else(|e| panic!("{e}"));
    let report = grades_report(&table, None, Confidence::P95).unwrap_or_else(|e| panic!("{e}"));
    let kappa = report.pairs[0].plain.value().expect("kappa").kappa;
    assert!((kappa - 0.4).abs() < 1e-12 && report.pairs[0].linear.is_none());
    let order = ["no".to_owned(), "yes".to_owned()];
    let ordered = grades_report(&table, Some(&order), Confidence::P95).unwrap_or_else(|e| panic!("{e}"));
    assert!(ordered.pairs[0].linear.is_some());
    let told = grades_report(&table, Some(&order[..1]), Confidence::P95).expect_err("a grade is missing");
    assert!(told.to_string().contains("`yes` is not in the order given (no)"), "{told}");
}

#[test]
fn a_person_named_on_two_lines_is_refused_with_both_lines() {
    let told = |text: &str| report(text).expect_err("one person twice").to_string();
    let twice = told("person,a,b\nUna,5,6\nBo,7,8\n\nuna ,9,9\n");
    // An empty line counts as a line.
    assert!(twice.contains("lines 2 and 5 both name `Una`"), "{twice}");
    assert!(twice.contains("one row for each person"), "{twice}");
    // The same for grades, and for names under a header of another kind.
    assert!(RatingTable::read("name,one,two\nUna,yes,no\nUna,no,no\n").is_err());
    assert!(told("who,a,b\nUna,5,6\nUna,7,8\n").contains("lines 2 and 3"));
    assert_eq!(good("person,a,b\nUna,5,6\nBo,7,9\nUna B,9,9\n").persons, 3);
}

#[test]
fn a_bias_that_is_the_same_for_everybody_is_told_and_warned_of() {
    let report = good("a,b\n10.1,11.1\n12,13\n14.7,15.7\n16,17\n");
    let by = report.pairs[0].constant.expect("the same for everybody");
    assert!((by + 1.0).abs() < 1e-12 && report.pairs[0].limits.value().is_none());
    let text = report.text();
    assert!(
        text.contains("mean difference \u{2212}1.00 l/min, the same for every person: no spread"),
        "{text}"
    );
    assert!(text.contains("b reads higher than a by 1.00 for every person"), "{text}");
    let same = good("a,b\n10,10\n12,12\n").text();
    assert!(same.contains("mean difference 0, for every person") && !same.contains("reads higher"), "{same}");
    assert!(same.contains("a and b are the same for every person; a copied column"), "{same}");
    // A bias with spread whose interval leaves out zero names the one that reads higher.
    let spread = good("a,b\n10,11\n12,13.2\n14,15.1\n16,16.9\n11,12\n").text();
    assert!(spread.contains("b reads higher than a by about 1.04"), "{spread}");
}

#[test]
fn an_interval_of_kappa_ends_at_the_end_of_the_scale_and_four_persons_are_few() {
    let table = RatingTable::read("a,b\nyes,yes\nyes,yes\nno,no\nno,yes\n").unwrap_or_else(|e| panic!("{e}"));
    let report = grades_report(&table, None, Confidence::P95).unwrap_or_else(|e| panic!("{e}"));
    // By hand: observed 3/4, by chance 1/2, so kappa 0.5; the formula's upper limit is beyond 1.
    let kappa = report.pairs[0].plain.value().expect("kappa");
    assert!((kappa.kappa - 0.5).abs() < 1e-12 && kappa.unclipped.upper > 1.2, "{kappa:?}");
    assert!((kappa.interval.upper - 1.0).abs() < f64::EPSILON && kappa.clipped);
    let text = report.text();
    assert!(text.contains("to 1.00, cut at the end of the scale)") && !text.contains("1.2"), "{text}");
    assert!(text.contains("4 persons are few") && text.contains("is cut there"), "{text}");
    let all = RatingTable::read("a,b\nyes,yes\nno,no\n").unwrap_or_else(|e| panic!("{e}"));
    let all = grades_report(&all, None, Confidence::P95).unwrap_or_else(|e| panic!("{e}")).text();
    assert!(all.contains("1.00 (1.00 to 1.00)") && all.contains("without width is no certainty"), "{all}");
}

#[test]
fn no_message_and_no_figure_runs_to_hundreds_of_digits() {
    let huge = format!("1{}", "0".repeat(300));
    for cell in ["1e300", huge.as_str(), &format!("{huge} cm")] {
        let told = report(&format!("a,b\n1,2\n3,{cell}\n")).expect_err("too large").to_string();
        assert!(told.starts_with("line 3, column `b`: `1") && told.len() < 250, "{told}");
    }
    let told = report(&format!("a,{}\n1,2\n", "b".repeat(5000)).replace('2', "x")).expect_err("a word");
    assert!(told.to_string().len() < 250, "{told}");
    let large = good("a,b\n1e90,2e90\n3e90,1e90\n5e90,7e90\n").text();
    assert!(large.split_whitespace().all(|word| word.len() < 30), "{large}");
    let tiny = good("a,b\n1e-12,2e-12\n3e-12,1e-12\n5e-12,7e-12\n").text();
    assert!(!tiny.contains("0.00000000"), "{tiny}");
}
