//! Stories of measuring: from a file of trials to scores, changes, criteria; and what a wrong file is told.

use app::{
    ChangeReport, ChangedResult, ChangedTest, MeasureReport, Measures, change_report, demo_cases,
    demo_measures, measure_report, measures_template, read_measures, return_report,
};
use drawing::Frame;
use jiff::civil::date;
use measurement::{Course, Verdict, Way};
use person::CaseFile;
use person::case_file::{CaseErrors, Wrong};
use progress::{Activity, Outcome, SportKind, Standing};

fn case(number: usize) -> CaseFile {
    demo_cases()[number - 1].read().unwrap_or_else(|e| panic!("{e}"))
}

fn series(name: &str) -> Result<String, String> {
    let path = format!("measures/{name}");
    let found = demo_measures().iter().find(|one| one.file == path);
    found.map(|one| one.text.to_owned()).ok_or_else(|| format!("`{name}` is not there"))
}

fn read(number: usize, text: &str) -> Result<Measures, CaseErrors> {
    read_measures("measures.toml", text, &case(number), &series)
}

fn demo(number: usize) -> (CaseFile, Measures) {
    let case_name = demo_cases()[number - 1].file;
    let found = demo_measures().iter().find(|one| one.file.strip_prefix("measures/") == Some(case_name));
    let measures = read(number, found.expect("measures of that person").text);
    (case(number), measures.unwrap_or_else(|e| panic!("{e}")))
}

fn one_day(tests: &str) -> String {
    format!("format = \"footrose-measures\"\nversion = 1\n\n[[day]]\ndate = 2026-02-05\n\n{tests}")
}

fn test<'a>(report: &'a ChangeReport, key: &str) -> &'a ChangedTest {
    report.tests.iter().find(|test| test.test.as_str() == key).expect("the test was done twice")
}

fn row<'a>(test: &'a ChangedTest, what: &str) -> &'a ChangedResult {
    test.rows.iter().find(|row| row.what == what).expect("that limb")
}

#[test]
fn the_template_is_read_whole() {
    let there = |_: &str| Ok(series("05-sway-right.csv").expect("it is there"));
    let measures = read_measures("template", &measures_template(), &case(4), &there);
    let measures = measures.unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(measures.entries.len(), 8, "three directions, hop, answer, total, sway, position sense");
    assert_eq!(measures.own.len(), 1);
    assert_eq!(measures.entries.iter().filter(|entry| entry.done_anyway.is_some()).count(), 1);
}

/// Ylva's two legs look alike at 92 %, and her good leg is 19 % weaker in hopping than before the injury.
#[test]
fn symmetry_alone_would_mislead_and_the_decision_says_so() {
    let (case, measures) = demo(4);
    let report = return_report(&case, &measures, date(2026, 2, 6), &[Activity::Sport(SportKind::Pivoting)]);
    let decision = &report.decisions[0];
    assert_eq!(decision.outcome, Outcome::NotYet);
    let hop = decision.checks.iter().find(|check| check.key.ends_with("/single_hop")).expect("the hop");
    let Standing::NotMet { measured: Some(hop), .. } = &hop.standing else { panic!("{hop:?}") };
    assert!((hop.value - 91.55).abs() < 0.01, "{}", hop.value);
    let before = hop.before_injury.expect("her other leg was tested before the season");
    assert!((before - 81.38).abs() < 0.01, "{before}");
    assert!(report.text().contains("A licensed clinician decides"));
}

#[test]
fn what_was_measured_before_the_injury_is_no_baseline() {
    let (case, measures) = demo(4);
    let report = change_report(&case, &measures, None, None);
    let hop = row(test(&report, "single_hop"), "right leg");
    assert_eq!((hop.from, hop.to), (date(2025, 11, 18), date(2026, 2, 5)));
    let asked = change_report(&case, &measures, Some(date(2025, 1, 1)), None);
    assert_eq!(row(test(&asked, "single_hop"), "right leg").from, date(2025, 2, 20));
}

#[test]
fn a_composite_is_asked_before_its_directions_and_each_carries_its_own_bar() {
    let (case, measures) = demo(5);
    let report = change_report(&case, &measures, None, None);
    let order: Vec<&str> = report.tests.iter().map(|test| test.test.as_str()).collect();
    let composite = order.iter().position(|key| *key == "star_reach_composite").expect("it follows");
    assert_eq!(order[composite + 1], "star_reach");
    assert_eq!((report.tests[composite].together, test(&report, "star_reach").together), (2, 16));
    let needed = |key: &str| {
        test(&report, key).rows[0].change.estimate.as_ref().expect("an error is known").needed_for_real
    };
    assert!(needed("star_reach") > needed("star_reach_composite"));
}

/// Ibbe's left knee to wall grew by 3 cm; a detectable change is about 1.2 cm.
#[test]
fn a_change_far_beyond_the_error_is_told_apart_from_one_within_it() {
    let (case, measures) = demo(5);
    let report = change_report(&case, &measures, None, None);
    let lunge = test(&report, "lunge_distance");
    let left = row(lunge, "left leg");
    assert_eq!(left.change.way, Way::Better);
    assert!(matches!(left.change.verdict, Verdict::RealAndLarge | Verdict::ProbablyReal), "{left:?}");
    assert_eq!(row(lunge, "right leg").change.verdict, Verdict::WithinNoise);
}

/// A stance that was stopped at 45 s twice has no amount; it never reads as "no change".
#[test]
fn a_test_stopped_at_its_cap_gives_no_amount() {
    let (case, measures) = demo(5);
    let report = change_report(&case, &measures, None, None);
    let right = row(test(&report, "stance_eyes_open"), "right leg");
    assert_eq!(right.change.verdict, Verdict::CannotSay);
    assert!(right.first.starts_with("at least 45"), "{}", right.first);
}

#[test]
fn four_days_have_a_course_with_its_interval() {
    let (case, measures) = demo(1);
    let report = change_report(&case, &measures, None, None);
    let course = &test(&report, "gait_speed_comfortable").courses[0].course;
    let Course::Slope { a_week, interval, sessions, .. } = course else { panic!("{course:?}") };
    assert_eq!(*sessions, 4);
    assert!(interval.lower < *a_week && *a_week < interval.upper);
    // From 0.325 to 0.525 m/s in three weeks.
    assert!((a_week - 0.2 / 3.0).abs() < 0.01, "{a_week}");
}

#[test]
fn recordings_become_figures_with_their_filter() {
    let (case, measures) = demo(5);
    let report: MeasureReport = measure_report(&case, &measures);
    let last = report.days.last().expect("days");
    let sway = last.results.iter().find(|row| row.test.as_str() == "sway_area").expect("sway");
    let said = sway.cautions.join("\n");
    assert!(said.contains("1001 samples in 20.0 s at 50 Hz, low-pass 10 Hz, order 2, both ways"), "{said}");
    let toward = last.results.iter().find(|row| row.test.as_str() == "position_sense").expect("it was done");
    assert!(toward.cautions.iter().any(|line| line.contains("80°, 95°, 110°")), "{toward:?}");
}

#[test]
fn without_limb_length_there_is_no_percentage_and_nothing_stands_in() {
    let mut case = case(5);
    let size = &case.person.body;
    case.person.body = anatomy::BodySize::new(
        size.stature(),
        size.mass(),
        size.sex(),
        size.age(),
        anatomy::PerSide { left: None, right: Some(quantity::Length::cm(94.0)) },
    )
    .expect("a body");
    let text = demo_measures()[2].text;
    let measures = read_measures("m", text, &case, &series).unwrap_or_else(|e| panic!("{e}"));
    let report = measure_report(&case, &measures);
    for result in &report.days[0].results {
        if result.test.as_str() == "star_reach" {
            let share = &result.scales[1];
            assert_eq!(share.value.is_some(), result.side == Some(anatomy::Side::Right), "{result:?}");
        }
    }
    let changes = change_report(&case, &measures, None, None);
    let of = |what: &str| row(test(&changes, "star_reach_composite"), what).scale;
    assert_eq!(of("left leg"), measurement::Scale::Raw);
    assert_eq!(of("right leg"), measurement::Scale::LimbLength);
}

#[test]
fn not_possible_is_told_and_is_no_zero() {
    let text = one_day(
        "[[day.test]]\ntest = \"single_hop\"\nlimb = \"right\"\npractice = 1\ntrials = [\"unable\"]\n",
    ) + "\n[[day]]\ndate = 2026-02-19\n\n[[day.test]]\ntest = \"single_hop\"\nlimb = \"right\"\npractice = 1\ntrials = [80, 90]\n";
    let measures = read(4, &text).unwrap_or_else(|e| panic!("{e}"));
    let case = case(4);
    let told = measure_report(&case, &measures).text();
    assert!(told.contains("not possible that day (this is not a zero)"), "{told}");
    let report = change_report(&case, &measures, None, None);
    let hop = &test(&report, "single_hop").rows[0];
    assert_eq!((hop.change.verdict, hop.change.way), (Verdict::CannotSay, Way::Better));
    assert!(hop.sentences[0].contains("say that it became possible"), "{:?}", hop.sentences);
}

#[test]
fn a_brace_on_one_of_two_days_says_nothing_about_the_limb() {
    let day = |on: &str, more: &str| {
        format!(
            "[[day]]\ndate = {on}\n\n[[day.test]]\ntest = \"single_hop\"\nlimb = \"right\"\npractice = 1\ntrials = [80, 90]\n{more}\n"
        )
    };
    let text = format!(
        "format = \"footrose-measures\"\nversion = 1\n\n{}{}",
        day("2026-01-05", ""),
        day("2026-02-05", "support = \"tape\"")
    );
    let measures = read(4, &text).unwrap_or_else(|e| panic!("{e}"));
    let report = change_report(&case(4), &measures, None, None);
    let hop = &test(&report, "single_hop").rows[0];
    assert_eq!(hop.change.verdict, Verdict::CannotSay);
}

#[test]
fn the_clinics_own_error_goes_before_a_published_one() {
    let (case, measures) = demo(1);
    let own = "\n[[own_error]]\ntest = \"timed_up_and_go\"\npeople = 12\nraters = \"same\"\nstandard_error = 2.0\n\
               protocol = { chair = \"46_cm_with_arms\", aid = \"frame\", footwear = \"own_shoes\" }\n";
    let with = format!("{}{own}", demo_measures()[0].text);
    let with = read(1, &with).unwrap_or_else(|e| panic!("{e}"));
    let error = |measures: &Measures| {
        let report = change_report(&case, measures, None, None);
        test(&report, "timed_up_and_go").rows[0].change.error_from.clone().expect("an error")
    };
    assert!(error(&measures).contains("Arch Physioter"), "{}", error(&measures));
    assert!(error(&with).contains("own repeats of 12 people"), "{}", error(&with));
}

#[test]
fn every_wrong_line_is_told_at_once_with_what_is_accepted() {
    let text = one_day(
        "[[day.test]]\ntest = \"single_hopp\"\nlimb = \"right\"\ntrials = [1, 2]\n\n\
         [[day.test]]\ntest = \"single_hop\"\nlimb = \"rigth\"\ntrials = [100, 110]\n\n\
         [[day.test]]\ntest = \"single_hop\"\nlimb = \"left\"\ntrials = [100, \"heel_lifted\", 110]\n\n\
         [[day.test]]\ntest = \"single_hop\"\nlimb = \"left\"\nform = \"best_of_9\"\ntrials = [100, 110]\n\n\
         [[day.test]]\ntest = \"star_reach\"\nlimb = \"left\"\ndirections = { backwards = [1, 2, 3] }\n\n\
         [[day.test]]\ntest = \"koos_subscale\"\ntotal = 140\n",
    );
    let errors = read(4, &text).expect_err("six things are wrong");
    let told: Vec<(usize, &str)> = errors.problems.iter().map(|p| (p.line, p.key.as_str())).collect();
    assert_eq!(
        told,
        [(8, "test"), (14, "limb"), (20, "trials"), (25, "form"), (31, "direction"), (35, "total")],
        "{errors}"
    );
    for problem in &errors.problems {
        assert!(!problem.accepted.is_empty() && !problem.to_do.is_empty(), "{problem}");
    }
    assert!(errors.problems[0].accepted.contains("single_hop"));
}

#[test]
fn a_result_that_stands_twice_is_refused_with_both_lines() {
    let hop = "[[day.test]]\ntest = \"single_hop\"\nlimb = \"left\"\ntrials = [100, 110]\n\n";
    let errors = read(4, &one_day(&hop.repeat(2))).expect_err("nobody knows which one counts");
    assert_eq!(errors.problems[0].wrong, Wrong::Contradiction);
    assert!(errors.problems[0].to_do.contains("line 8"), "{errors}");
}

#[test]
fn an_override_needs_reason_and_name() {
    let hop = "[[day.test]]\ntest = \"single_hop\"\nlimb = \"left\"\ntrials = [100, 110]\n\
               override = { reason = \" \", by = \"Tarn\", on = 2026-02-05 }\n";
    let errors = read(4, &one_day(hop)).expect_err("no reason");
    assert!(errors.to_string().contains("an override needs a reason"), "{errors}");
}

#[test]
fn hostile_files_are_answered() {
    let hostile = [
        "",
        "\u{feff}format",
        "format = 3",
        "format = \"footrose-case\"\nversion = 1",
        "format = \"footrose-measures\"\nversion = 99999999999",
        "format = \"footrose-measures\"\nversion = 1\n[[day]]\ndate = 2026-02-30",
        "format = \"footrose-measures\"\nversion = 1\n[[day]]\ndate = 2026-02-05T10:00:00",
        "format = \"footrose-measures\"\nversion = 1\n[[day]]\ndate = 2026-02-05\n[[day]]\ndate = 2026-02-05",
    ];
    for text in hostile {
        let errors = read(4, text).expect_err(text);
        assert!(!errors.problems.is_empty(), "{text}");
    }
    for trials in ["[nan, 1]", "[inf, 1]", "[-1, 2]", "[1e300, 2]", "[]", "[true, 1]", "[[1], 2]"] {
        let hop = format!("[[day.test]]\ntest = \"single_hop\"\nlimb = \"left\"\ntrials = {trials}\n");
        let errors = read(4, &one_day(&hop)).expect_err(trials);
        assert!(!errors.problems.is_empty(), "{trials}");
    }
}

#[test]
fn every_test_that_changed_has_its_chart() {
    let (case, measures) = demo(5);
    let report = change_report(&case, &measures, None, None);
    let frame = Frame { width: 560.0, height: 380.0, type_size: 14.0 };
    let names: Vec<String> = report.charts(frame).into_iter().map(|chart| chart.name).collect();
    for name in ["star_reach-left", "star_reach-right", "star_reach_composite", "lunge_distance", "pain_0_10"]
    {
        assert!(names.iter().any(|known| known == name), "{name}: {names:?}");
    }
    let once: std::collections::BTreeSet<&String> = names.iter().collect();
    assert_eq!(once.len(), names.len(), "no file over another");
}

/// What a therapist reads about the three invented people with measures.
#[test]
fn the_stories_read_as_they_were_read_before() {
    for number in [1, 4, 5] {
        let (case, measures) = demo(number);
        let name = demo_cases()[number - 1].file.trim_end_matches(".toml");
        let told = format!(
            "{}\n==== what changed ====\n{}",
            measure_report(&case, &measures).text(),
            change_report(&case, &measures, None, None).text()
        );
        let mut settings = insta::Settings::clone_current();
        settings.set_snapshot_path(concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases/snapshots"));
        settings.set_prepend_module_to_snapshot(false);
        settings.set_omit_expression(true);
        settings.bind(|| insta::assert_snapshot!(format!("{name}-measures"), told));
    }
}
