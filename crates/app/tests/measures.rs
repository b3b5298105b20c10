//! Stories of measuring: from a file of trials to scores, changes, criteria; and what a wrong file is told.

use app::{
    ChangeReport, ChangedResult, ChangedTest, MeasureReport, Measures, change_report, demo_cases,
    demo_measures, measure_report, measures_template, read_measures, return_report,
};
use drawing::Frame;
use jiff::civil::{Date, date};
use measurement::{Course, Verdict, Way};
use person::CaseFile;
use person::case_file::{CaseErrors, Wrong};
use progress::{Activity, Outcome, SportKind, Standing};

/// Later than every invented test.
const TODAY: Date = date(2026, 3, 1);

fn case(number: usize) -> CaseFile {
    demo_cases()[number - 1].read().unwrap_or_else(|e| panic!("{e}"))
}

fn series(name: &str) -> Result<String, String> {
    let path = format!("measures/{name}");
    let found = demo_measures().iter().find(|one| one.file == path);
    found.map(|one| one.text.to_owned()).ok_or_else(|| format!("`{name}` is not there"))
}

fn read(number: usize, text: &str) -> Result<Measures, CaseErrors> {
    read_measures("measures.toml", text, &case(number), TODAY, &series)
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
    let measures = read_measures("template", &measures_template(), &case(4), TODAY, &there);
    let measures = measures.unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(
        measures.entries.len(),
        9,
        "three directions, hop, answer, total, sway, position sense, daily pain"
    );
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
    let Course::Slope { a_week, interval: Some(interval), sessions, .. } = course else {
        panic!("{course:?}")
    };
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
    assert!(said.contains("1001 samples in 20.0 s at 50 Hz, Butterworth low-pass of order 2, run both ways, half the power left at 10 Hz after both"), "{said}");
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
    let measures = read_measures("m", text, &case, TODAY, &series).unwrap_or_else(|e| panic!("{e}"));
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

#[test]
fn a_day_to_come_another_persons_measures_and_a_missing_trial_are_refused() {
    let hop = "[[day.test]]\ntest = \"single_hop\"\nlimb = \"left\"\ntrials = [100, 110]\n";
    for (wrong, why) in [
        (one_day(hop).replace("2026-02-05", "2026-03-02"), "a day up to 2026-03-01"),
        (one_day(hop).replace("2026-02-05", "1931-02-05"), "in the life of this person"),
        (
            one_day(hop).replace("version = 1", "version = 1\nperson = \"Somebody\""),
            "`Ylva`, the name in the case",
        ),
        (one_day(hop).replace("[100, 110]", "[1.48, 1.51]"), "5 to 400 cm"),
        (one_day(hop).replace("[100, 110]", "[]"), "what goes with this test"),
    ] {
        let errors = read(4, &wrong).expect_err(why);
        assert!(errors.to_string().contains(why), "{errors}");
    }
}

/// Both limbs fell, the sound one further: nobody may read that as a gain.
#[test]
fn a_limb_that_only_comes_nearer_because_the_other_lost_is_said_to() {
    let day = |on: &str, right: &str, left: &str| {
        let hop = |limb: &str, trials: &str, more: &str| {
            format!(
                "[[day.test]]\ntest = \"single_hop\"\nlimb = \"{limb}\"\npractice = 1\ntrials = {trials}\n{more}\n"
            )
        };
        format!("[[day]]\ndate = {on}\n\n{}{}", hop("right", right, ""), hop("left", left, ""))
    };
    let head = "format = \"footrose-measures\"\nversion = 1\n\n[protocol]\nhands = \"free\"\nfootwear = \"barefoot\"\n\
                landing_hold = \"two_seconds\"\nends = \"toe_to_toe\"\n\n";
    let text = format!(
        "{head}{}{}",
        day("2026-01-05", "[120, 120]", "[150, 150]"),
        day("2026-02-05", "[115, 115]", "[120, 120]")
    );
    let measures = read(4, &text).unwrap_or_else(|e| panic!("{e}"));
    let report = change_report(&case(4), &measures, None, None);
    let symmetry = &test(&report, "single_hop").symmetry[0];
    assert_eq!(symmetry.change.way, Way::Better);
    assert!(symmetry.sentences[0].contains("this limb did not gain"), "{:?}", symmetry.sentences);
    // With tape on one limb only there is no symmetry at all.
    let taped = text.replace("trials = [115, 115]\n", "trials = [115, 115]\nsupport = \"tape\"\n");
    let measures = read(4, &taped).unwrap_or_else(|e| panic!("{e}"));
    assert!(test(&change_report(&case(4), &measures, None, None), "single_hop").symmetry.is_empty());
    assert!(measure_report(&case(4), &measures).text().contains("one was tested with tape on"));
}

/// The same 60 cm beside a limb that the tape made shorter is no progress.
#[test]
fn another_limb_length_is_no_change_of_the_reach() {
    let day = |on: &str, limb: &str| {
        format!(
            "[[day]]\ndate = {on}\nbody = {{ limb_left_cm = {limb} }}\n\n[[day.test]]\ntest = \"star_reach\"\nlimb = \"left\"\n\
             practice = 4\ndirection = \"anterior\"\ntrials = [60, 60, 60]\n\n"
        )
    };
    let text = format!(
        "format = \"footrose-measures\"\nversion = 1\n\n[protocol]\nhands = \"on_hips\"\nfootwear = \"barefoot\"\n\
         foot_placement = \"foot_centred\"\nheel = \"stays_down\"\n\n{}{}",
        day("2026-01-10", "94.0"),
        day("2026-02-10", "86.0")
    );
    let measures = read(5, &text).unwrap_or_else(|e| panic!("{e}"));
    let report = change_report(&case(5), &measures, None, None);
    let reach = &test(&report, "star_reach").rows[0];
    assert_eq!((reach.scale, reach.change.way), (measurement::Scale::Raw, Way::Neither), "{reach:?}");
    assert!(reach.sentences.iter().any(|said| said.contains("judged in centimetres")), "{reach:?}");
}

/// A plate at 780 N and a person of 647 N: one of the two is wrong, and neither reads as "not possible".
#[test]
fn a_landing_that_rests_at_another_weight_names_both() {
    let landing = |rest: f64, moves: bool| {
        let mut text = "# quantity = force\n# unit = N\n# rate_hz = 200\nvertical\n".to_owned();
        for k in 0..600_u16 {
            let t = f64::from(k) / 200.0 - 0.5;
            let swing = if moves { 300.0 * (20.0 * t).sin() } else { 900.0 * (-6.0 * t).exp() };
            let force = if t < 0.0 { 0.0 } else { (rest + swing).max(0.0) };
            text.push_str(&format!("{force:.1}\n"));
        }
        text
    };
    let file = one_day(
        "[[day.test]]\ntest = \"time_to_stabilisation\"\nlimb = \"left\"\npractice = 3\nseries = [\"a\", \"b\", \"c\"]\n\
         protocol = { stabilisation = \"own rule\", footwear = \"barefoot\", task = \"hop of 40 cm\" }\n",
    );
    let weight = case(4).person.body.mass().in_kg() * 9.806_65;
    let read = |rest: f64, moves: bool| {
        let text = landing(rest, moves);
        read_measures("m", &file, &case(4), TODAY, &move |_: &str| Ok(text.clone()))
    };
    let good = read(weight, false).unwrap_or_else(|e| panic!("{e}"));
    assert!(good.entries[0].session.taken().scored.score().is_some());
    let wrong = read(1.2 * weight, false).expect_err("another weight").to_string();
    assert!(
        wrong.contains("at rest it pushes with") && wrong.contains("the weight of the person"),
        "{wrong}"
    );
    let still_moving = read(weight, true).expect_err("no landing came to rest").to_string();
    assert!(
        still_moving.contains("the force had not come to rest when the recording ended"),
        "{still_moving}"
    );
}

#[test]
fn a_trunk_sensor_is_no_plate() {
    let plate = series("05-sway-left.csv").expect("it is there");
    let sensor = plate.replace("centre_of_pressure", "acceleration").replace("unit = mm", "unit = m/s2");
    let day = |test: &str| {
        one_day(&format!(
            "[[day.test]]\ntest = \"{test}\"\nlimb = \"left\"\nform = \"single\"\npractice = 1\nseries = [\"a\"]\n"
        ))
    };
    let read = |test: &str| {
        let text = sensor.clone();
        read_measures("m", &day(test), &case(5), TODAY, &move |_: &str| Ok(text.clone()))
    };
    let refused = read("sway_area").expect_err("no area of places").to_string();
    assert!(refused.contains("sway_acceleration"), "{refused}");
    let said = measure_report(&case(5), &read("sway_acceleration").unwrap_or_else(|e| panic!("{e}"))).text();
    assert!(said.contains("m/s²"), "{said}");
}

#[test]
fn a_best_that_was_stopped_at_the_cap_needs_no_further_try_and_days_are_averaged() {
    let text = one_day(
        "[[day.test]]\ntest = \"stance_eyes_open\"\nlimb = \"left\"\npractice = 1\ntrials = [12, \"capped\"]\n\n\
         [[day.test]]\ntest = \"pain_0_10\"\ndaily = [5, 6, 5, 6, 7]\nprotocol = { window = \"worst_in_24_hours\" }\n",
    );
    let measures = read(5, &text).unwrap_or_else(|e| panic!("{e}"));
    let told = measure_report(&case(5), &measures).text();
    assert!(told.contains("at least 45.00 s") && told.contains("5.8 points (mean of 5 days)"), "{told}");
}

/// Ibbe's posteromedial reach grew by 8.5 %, beyond the 8.0 % of one look and not beyond those of sixteen: the words
/// say noise, and the chart shows it inside the grey.
#[test]
fn the_grey_of_a_reach_chart_is_raised_for_the_looks_as_the_verdict_is() {
    let (case, measures) = demo(5);
    let report = change_report(&case, &measures, None, None);
    let reach = row(test(&report, "star_reach"), "standing on the left leg, posteromedial");
    let estimate = reach.change.estimate.as_ref().expect("an error is known");
    assert_eq!(reach.change.verdict, Verdict::WithinNoise);
    assert!(estimate.difference > estimate.detectable, "{estimate:?}");
    let frame = Frame { width: 560.0, height: 380.0, type_size: 14.0 };
    let charts = report.charts(frame);
    let scene = &charts.iter().find(|chart| chart.name == "star_reach-left").expect("a chart").scene;
    let [centre] = scene.outlines("standing")[0][..] else { panic!("one place") };
    let from_centre = |at: [f64; 2]| (at[0] - centre[0]).hypot(at[1] - centre[1]);
    let later = scene.outlines("later").into_iter().find(|points| points.len() == 8).expect("an outline");
    let edge = &scene.outlines("noise")[0];
    // Clockwise from straight ahead, posteromedial is the fourth.
    assert!(from_centre(later[3]) < from_centre(edge[3]), "{later:?} {edge:?}");
    let svg = scene.svg();
    for words in
        ["common without any change, in one of 16 results", ">posteromedial<", "from the standing leg"]
    {
        assert!(svg.as_str().contains(words), "{words}");
    }
}

#[test]
fn a_course_that_does_not_begin_at_zero_says_where_it_begins() {
    let (case, measures) = demo(4);
    let report = change_report(&case, &measures, None, None);
    let charts = report.charts(Frame { width: 560.0, height: 380.0, type_size: 14.0 });
    let svg = |name: &str| {
        let chart = charts.iter().find(|chart| chart.name == name).expect("a chart");
        chart.scene.svg().as_str().to_owned()
    };
    // Hops of 110 to 149 cm; confidence of 3 to 5 on a scale from 0.
    assert!(svg("single_hop").contains(">axis begins at 110 cm<"), "{}", svg("single_hop"));
    assert!(svg("three_reach-anterior").contains("% of limb length<"), "{}", svg("three_reach-anterior"));
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
