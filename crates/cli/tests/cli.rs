//! The binary as a stranger runs it: exit codes, messages, files.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn cases() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases")
}

fn run(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_footrose"))
        .args(args)
        .current_dir(cases())
        .output()
        .expect("the binary runs")
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A fresh folder for one test.
fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&path);
    path
}

fn text(path: &Path) -> &str {
    path.to_str().expect("a path that is text")
}

#[test]
fn plan_writes_both_sheets_the_text_and_the_json_and_says_whose_case_it_is_first() {
    let folder = folder("plan");
    let done = run(&["plan", "01-lighthouse-mechanic.toml", "--out", text(&folder)]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let first = out(&done).lines().next().unwrap_or_default().to_owned();
    assert!(first.starts_with("Anselm, an invented person, 2026-02-04."), "{first}");
    assert!(first.contains("estimates"), "{first}");
    for pdf in ["01-lighthouse-mechanic-sheet-a4.pdf", "01-lighthouse-mechanic-sheet-letter.pdf"] {
        assert!(std::fs::read(folder.join(pdf)).expect(pdf).starts_with(b"%PDF-"));
    }
    let json = std::fs::read_to_string(folder.join("01-lighthouse-mechanic-programme.json")).expect("JSON");
    let json: serde_json::Value = serde_json::from_str(&json).expect("parses");
    assert_eq!(json["person"], "Anselm");
    assert!(
        std::fs::read_to_string(folder.join("01-lighthouse-mechanic-programme.txt"))
            .expect("text")
            .starts_with("Programme for Anselm")
    );
}

#[test]
fn a_sheet_in_two_languages_is_named_after_them_and_a_language_beside_itself_is_refused() {
    let folder = folder("languages");
    let asked = |beside: &str| {
        let mut args =
            vec!["plan", "01-lighthouse-mechanic.toml", "--out", text(&folder), "--paper", "letter"];
        args.extend([
            "--language",
            "es",
            "--edition",
            "bilingual",
            "--units",
            "imperial",
            "--beside",
            beside,
        ]);
        run(&args)
    };
    let refused = asked("es");
    assert_eq!(refused.status.code(), Some(15));
    assert!(err(&refused).contains("give --beside another of en, fr, es"), "{}", err(&refused));
    assert_eq!(asked("fr").status.code(), Some(0));
    let sheet =
        std::fs::read(folder.join("01-lighthouse-mechanic-sheet-es-bilingual-letter.pdf")).expect("a sheet");
    assert!(sheet.starts_with(b"%PDF-"));
    let programme =
        std::fs::read_to_string(folder.join("01-lighthouse-mechanic-programme.txt")).expect("text");
    assert!(programme.contains("SUS EJERCICIOS EN CASA") && programme.contains(" pulg\n"), "{programme}");
    let unknown = run(&["plan", "01-lighthouse-mechanic.toml", "--out", text(&folder), "--language", "de"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(err(&unknown).contains("accepted: en, fr, es"), "{}", err(&unknown));
}

#[test]
fn a_floor_guide_has_the_distances_of_the_sheet() {
    let folder = folder("guide");
    let args =
        ["floor-guide", "01-lighthouse-mechanic.toml", "--out", text(&folder), "--paper", "a4", "--json"];
    let done = run(&args);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let json: serde_json::Value = serde_json::from_str(&out(&done)).expect("parses");
    let guide = std::fs::read(folder.join("01-lighthouse-mechanic-floor-guide-a4.pdf")).expect("a guide");
    assert!(guide.starts_with(b"%PDF-"));
    assert_eq!(json["guide"]["tags"].as_array().map(Vec::len), Some(4));
    assert!(json["guide"]["marks"].as_array().is_some_and(|marks| !marks.is_empty()));
}

#[test]
fn its_own_files_are_replaced_and_somebody_elses_are_left_alone() {
    let folder = folder("again");
    let plan = || run(&["plan", "01-lighthouse-mechanic.toml", "--out", text(&folder), "--paper", "a4"]);
    assert_eq!(plan().status.code(), Some(0));
    assert!(!folder.join("01-lighthouse-mechanic-sheet-letter.pdf").exists());
    assert_eq!(plan().status.code(), Some(0));
    std::fs::write(folder.join("01-lighthouse-mechanic-programme.txt"), "my own notes").expect("written");
    let refused = plan();
    assert_eq!(refused.status.code(), Some(13));
    assert!(err(&refused).contains("01-lighthouse-mechanic-programme.txt"), "{}", err(&refused));
    assert_eq!(
        std::fs::read_to_string(folder.join("01-lighthouse-mechanic-programme.txt")).expect("there"),
        "my own notes"
    );
}

#[test]
fn a_red_flag_gives_the_alert_and_no_file() {
    let folder = folder("red");
    for command in ["plan", "floor-guide", "space", "explain"] {
        let mut args = vec![command, "13-market-gardener.toml"];
        match command {
            "plan" | "floor-guide" => args.extend(["--out", text(&folder)]),
            "explain" => args.extend(["--movement", "right step lateral 30 cm"]),
            _ => {}
        }
        let alert = run(&args);
        assert_eq!(alert.status.code(), Some(12), "{command}");
        assert!(out(&alert).starts_with("STOP: RED FLAG"), "{}", out(&alert));
        assert_eq!(err(&alert), "", "{command}");
    }
    assert!(!folder.exists());
}

#[test]
fn a_sheet_made_before_a_red_flag_is_left_there_and_named() {
    let folder = folder("older");
    std::fs::create_dir_all(&folder).expect("a folder");
    let sheet = folder.join("13-market-gardener-sheet-a4.pdf");
    std::fs::write(&sheet, "an older sheet").expect("written");
    let alert = run(&["plan", "13-market-gardener.toml", "--out", text(&folder)]);
    assert_eq!(alert.status.code(), Some(12));
    assert!(err(&alert).contains("13-market-gardener-sheet-a4.pdf was made before this alert"));
    assert_eq!(std::fs::read_to_string(&sheet).expect("there"), "an older sheet");
}

#[test]
fn a_case_file_with_errors_ends_with_10_and_names_line_and_key() {
    let folder = folder("errors");
    std::fs::create_dir_all(&folder).expect("made");
    let file = folder.join("wrong.toml");
    let good = std::fs::read_to_string(cases().join("01-lighthouse-mechanic.toml")).expect("a case");
    std::fs::write(&file, good.replace("\"176 cm\"", "\"176\"")).expect("written");
    let told = run(&["space", text(&file)]);
    assert_eq!(told.status.code(), Some(10));
    assert!(err(&told).contains("wrong.toml:16") && err(&told).contains("person.stature"), "{}", err(&told));
    let json = run(&["space", text(&file), "--json"]);
    assert_eq!(json.status.code(), Some(10));
    let json: serde_json::Value = serde_json::from_str(&out(&json)).expect("JSON");
    assert_eq!(json["error"]["exit_code"], 10);
    assert_eq!(json["error"]["problems"][0]["key"], "person.stature");
}

#[test]
fn a_missing_file_ends_with_13_and_wrong_usage_with_2() {
    let missing = run(&["space", "nobody.toml"]);
    assert_eq!(missing.status.code(), Some(13));
    assert!(err(&missing).contains("`nobody.toml`"), "{}", err(&missing));
    assert_eq!(run(&["plan", "01-lighthouse-mechanic.toml"]).status.code(), Some(2));
    assert_eq!(run(&["space", "01-lighthouse-mechanic.toml", "--today", "tomorrow"]).status.code(), Some(2));
}

#[test]
fn after_the_findings_grew_old_there_is_no_programme_and_it_says_what_is_missing() {
    // Red flags may be relied on for seven days (reference/shelf_life.toml).
    let folder = folder("old");
    let none = run(&["plan", "01-lighthouse-mechanic.toml", "--out", text(&folder), "--today", "2026-06-01"]);
    assert_eq!(none.status.code(), Some(11), "{}", out(&none));
    assert!(err(&none).contains("Red flags were last asked for"), "{}", err(&none));
    assert!(!folder.exists());
}

#[test]
fn explain_tells_both_gates_and_a_refused_movement_ends_with_14() {
    let crossing = "right step anteromedial 25 cm crossing in front both hands walking frame";
    let refused = run(&["explain", "01-lighthouse-mechanic.toml", "--movement", crossing]);
    assert_eq!(refused.status.code(), Some(14));
    let told = out(&refused);
    assert!(told.contains("THA-P2 right hip adduction: computed") && told.contains("REFUSED"), "{told}");
    let fine = run(&[
        "explain",
        "01-lighthouse-mechanic.toml",
        "--movement",
        "right step lateral 25 cm both hands walking frame",
    ]);
    assert_eq!(fine.status.code(), Some(0), "{}", out(&fine));
    assert!(out(&fine).contains("Permitted today."));
    let unread = run(&["explain", "01-lighthouse-mechanic.toml", "--movement", "right step sideways 25 cm"]);
    assert_eq!(unread.status.code(), Some(14));
    assert!(err(&unread).contains("`sideways` is not understood"), "{}", err(&unread));
}

#[test]
fn space_tells_every_family_and_leg_with_reasons_and_sources() {
    let told = out(&run(&["space", "01-lighthouse-mechanic.toml"]));
    for needed in [
        "Left leg, step",
        "Right leg, step",
        "Left leg, reach",
        "Right hand, bend and reach",
        "closed",
        "THA-P2",
    ] {
        assert!(told.contains(needed), "{needed}");
    }
    let json: serde_json::Value =
        serde_json::from_str(&out(&run(&["space", "01-lighthouse-mechanic.toml", "--json"]))).expect("JSON");
    assert!(json["rows"].as_array().is_some_and(|rows| rows.len() > 100));
}

#[test]
fn the_cases_it_writes_it_reads_and_the_schema_is_json() {
    let folder = folder("cases");
    assert_eq!(run(&["cases", "--out", text(&folder)]).status.code(), Some(0));
    let first = std::fs::read(folder.join("01-lighthouse-mechanic.toml")).expect("there");
    assert_eq!(first, std::fs::read(cases().join("01-lighthouse-mechanic.toml")).expect("there"));
    let schema: serde_json::Value = serde_json::from_str(&out(&run(&["schema"]))).expect("JSON");
    assert!(schema["$schema"].is_string());
}

#[test]
fn validate_tries_a_table_of_orderings_and_says_what_it_cannot_read() {
    let folder = folder("orderings");
    std::fs::create_dir_all(&folder).expect("a folder");
    let missing = run(&["validate", "--orderings", "nothing.toml"]);
    assert_eq!(missing.status.code(), Some(13), "{}", err(&missing));
    let wrong = folder.join("wrong.toml");
    std::fs::write(&wrong, "[table]\ntitle = 1\n").expect("written");
    let told = run(&["validate", "--orderings", text(&wrong)]);
    assert_eq!(told.status.code(), Some(10));
    assert!(err(&told).contains("wrong.toml"), "{}", err(&told));
    let good = folder.join("good.toml");
    let table = r#"
[table]
title = "one ordering"
source = "own"
read = "own"

[[movement]]
id = "near"
family = "step"
direction = "lateral"
named_from = "mover"

[[claim]]
id = "bends more than it turns"
what = "knee against hip"
published = "knee"
source = "own"
read = "own"
bodies = ["young_man"]
distances = [{ of_leg_length = 0.4 }]
expect = { kind = "order" }
term = [
    { name = "hip abduction", movements = ["near"], measure = { kind = "angle", motion = "hip_abduction", limb = "mover" } },
    { name = "share", movements = ["near"], measure = { kind = "carried", limb = "mover" } },
]
"#;
    std::fs::write(&good, table).expect("written");
    let json: serde_json::Value =
        serde_json::from_str(&out(&run(&["validate", "--orderings", text(&good), "--json"]))).expect("JSON");
    assert_eq!(json["rows"][0]["verdict"], "agrees", "{json}");
    assert_eq!(json["count"]["agree"], 1);
}

#[test]
fn ask_ranks_what_was_not_assessed_and_says_what_a_first_programme_needs() {
    let folder = folder("ask");
    std::fs::create_dir_all(&folder).expect("a folder");
    let case = folder.join("first-visit.toml");
    let bare = "format = \"footrose-case\"\nversion = 1\n[visit]\ndate = 2026-02-10\n[person]\nname = \"Ottilie\"\n\
                age = 60\nsex = \"female\"\nstature = \"165 cm\"\nmass = \"66 kg\"\n[[conditions]]\n\
                kind = \"knee_osteoarthritis\"\nside = \"right\"\n[home.equipment]\nsupports = [\"bench\"]\n";
    std::fs::write(&case, bare).expect("the case is written");
    let asked = run(&["ask", text(&case), "--today", "2026-02-10"]);
    assert!(asked.status.success(), "{}", err(&asked));
    let told = out(&asked);
    assert!(told.contains("1. Red flags: opens 0 by itself"), "{told}");
    let enough = told.lines().find(|line| line.starts_with("For a first programme these are enough"));
    assert!(enough.is_some_and(|line| line.contains("red flags") && !line.contains('_')), "{told}");
    let json = out(&run(&["ask", text(&case), "--today", "2026-02-10", "--json"]));
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(json["questions"]["open"], 0);
    assert!(json["questions"]["first_visit"].as_array().is_some_and(|list| !list.is_empty()), "{json}");
}

#[test]
fn a_clinics_own_table_is_obeyed_and_one_that_is_wrong_ends_with_10() {
    let folder = folder("service");
    std::fs::create_dir_all(&folder).expect("a folder");
    let document = include_str!("../../../docs/SERVICE_PRESETS.md");
    let example =
        document.split("```toml").nth(1).and_then(|rest| rest.split("```").next()).expect("an example");
    let table = folder.join("house.toml");
    std::fs::write(&table, example).expect("the table is written");
    let case = cases().join("01-lighthouse-mechanic.toml");
    let obeyed = run(&[
        "explain",
        text(&case),
        "--service",
        text(&table),
        "--movement",
        "right step medial crossing in front 25 cm both hands bench",
    ]);
    assert!(out(&obeyed).contains("HOUSE-1"), "{}{}", out(&obeyed), err(&obeyed));
    std::fs::write(&table, example.replace("THA-P1", "THA-P9")).expect("the table is written");
    let wrong = run(&["space", text(&case), "--service", text(&table)]);
    assert_eq!(wrong.status.code(), Some(10));
    assert!(err(&wrong).contains("THA-P9") && err(&wrong).contains("THA-P1"), "{}", err(&wrong));
}

#[test]
fn wishes_on_the_command_line_go_before_those_of_the_case_and_json_needs_no_folder() {
    let case = "10-ferry-cook.toml";
    let wishes = ["--goals", "control:lateral*2, balance", "--minutes", "3", "--alternatives", "3", "--json"];
    let done = run(&[&["plan", case][..], &wishes].concat());
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let told: serde_json::Value = serde_json::from_str(&out(&done)).expect("JSON");
    assert!(told["programme"]["seconds"].as_f64().expect("seconds") <= 180.0);
    assert!(told["files"].is_null());
    assert_eq!(told["programme"]["proof"], "proven");
    assert_eq!(told["programme"]["others"].as_array().map(Vec::len), Some(2));
    assert!(
        told["programme"]["others"][0]["trades"].as_str().is_some_and(|t| t.starts_with("Beside the first"))
    );
    let wrong = run(&["plan", case, "--goals", "strength:elbow", "--json"]);
    assert_eq!(wrong.status.code(), Some(10));
    assert!(out(&wrong).contains("strength:GROUP"), "{}", out(&wrong));
    assert_eq!(run(&["plan", case, "--minutes", "45", "--json"]).status.code(), Some(2));
    // A red flag goes before wishes.
    let alert = run(&["plan", "13-market-gardener.toml", "--goals", "nonsense", "--json"]);
    assert_eq!(alert.status.code(), Some(12));
}

#[test]
fn neighbours_of_a_movement_are_printed_and_a_refused_one_ends_with_14() {
    let case = "10-ferry-cook.toml";
    let done = run(&["neighbours", case, "--movement", "right step lateral 35 cm"]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    for words in ["estimates", "one step up:", "one step back:", "sideways:"] {
        assert!(out(&done).contains(words), "{words}: {}", out(&done));
    }
    let refused = run(&[
        "neighbours",
        "01-lighthouse-mechanic.toml",
        "--movement",
        "left lunge anterior 60 cm depth 20 cm",
    ]);
    assert_eq!(refused.status.code(), Some(14));
    assert!(out(&refused).contains("refused today"), "{}", out(&refused));
    let alert = run(&["neighbours", "13-market-gardener.toml"]);
    assert_eq!(alert.status.code(), Some(12));
    assert!(out(&alert).starts_with("STOP: RED FLAG"), "{}", out(&alert));
}

#[test]
fn agreement_prints_the_error_of_a_test_writes_its_charts_and_says_what_it_cannot_read() {
    let folder = folder("agreement");
    std::fs::create_dir_all(&folder).expect("a folder");
    let table = folder.join("reach.csv");
    // Invented: reach of ten people on two days, % of leg length.
    let readings = "person,first day,second day\n\
        a,78.2,80.1\nb,65.4,66.0\nc,90.3,88.7\nd,72.5,74.9\ne,84.0,85.5\n\
        f,69.8,68.9\ng,77.1,79.6\nh,81.3,81.0\ni,60.2,63.5\nj,88.8,90.2\n";
    std::fs::write(&table, readings).expect("written");
    let done =
        run(&["agreement", text(&table), "--unit", "% of leg length", "--out", text(&folder.join("out"))]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let told = out(&done);
    // Worked by hand elsewhere: error 1.127 and 1.314, changes 3.12 and 3.64 at 95 %.
    for part in ["1.13 (", "1.31 (", "3.12 at 95 %", "3.64 at 95 %", "ICC(2,1)", "0.98 ("] {
        assert!(told.contains(part), "{part} in {told}");
    }
    let chart = std::fs::read_to_string(folder.join("out/reach-agreement.svg")).expect("a chart");
    assert_eq!(chart.matches("data-part=\"person\"").count(), 10);
    let json: serde_json::Value =
        serde_json::from_str(&out(&run(&["agreement", text(&table), "--json"]))).expect("JSON");
    assert_eq!(json["agreement"]["persons"], 10);

    std::fs::write(&table, readings.replace("88.7", "88.7 cm")).expect("written");
    let wrong = run(&["agreement", text(&table)]);
    assert_eq!(wrong.status.code(), Some(10));
    assert!(err(&wrong).contains("line 4, column `second day`: `88.7 cm` is no number"), "{}", err(&wrong));
    assert_eq!(run(&["agreement", "nothing.csv"]).status.code(), Some(13));
}

#[test]
fn measure_lists_the_tests_of_today_scores_what_was_tried_and_says_what_is_wrong() {
    let listed = run(&["measure", "01-lighthouse-mechanic.toml"]);
    assert_eq!(listed.status.code(), Some(0), "{}", err(&listed));
    assert!(out(&listed).contains("nearest:"), "{}", out(&listed));
    let measures = cases().join("measures/05-postal-worker.toml");
    let done = run(&["measure", "05-postal-worker.toml", text(&measures), "--json"]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let json: serde_json::Value = serde_json::from_str(&out(&done)).expect("JSON");
    assert_eq!(json["measures"]["days"].as_array().map(Vec::len), Some(2));

    let alert = run(&["measure", "13-market-gardener.toml"]);
    assert_eq!(alert.status.code(), Some(12));
    for command in ["change", "return"] {
        let alert = run(&[command, "13-market-gardener.toml", text(&measures)]);
        assert_eq!(alert.status.code(), Some(12), "{command}: a red flag goes before everything");
    }
    for alone in ["--tests", "--template"] {
        let told = run(&["measure", alone]);
        assert!(told.status.success() && out(&told).contains("three_reach"), "{alone}");
    }

    let folder = folder("measures");
    std::fs::create_dir_all(&folder).expect("made");
    let wrong = folder.join("wrong.toml");
    let good = std::fs::read_to_string(&measures).expect("measures");
    std::fs::write(&wrong, good.replacen("[5.5, 6.0, 6.0]", "[5.5, 600, 6.0]", 1)).expect("written");
    let told = run(&["measure", "05-postal-worker.toml", text(&wrong)]);
    assert_eq!(told.status.code(), Some(10), "{}", out(&told));
    assert!(err(&told).contains("600, 6.0`") && err(&told).contains("wrong.toml:"), "{}", err(&told));
    assert_eq!(run(&["measure", "05-postal-worker.toml", "nothing.toml"]).status.code(), Some(13));
}

#[test]
fn a_refused_test_of_today_is_kept_told_and_ends_with_14_unless_somebody_stands_for_it() {
    let folder = folder("refused");
    std::fs::create_dir_all(&folder).expect("made");
    let file = folder.join("measures.toml");
    let hop = |more: &str| {
        format!(
            "format = \"footrose-measures\"\nversion = 1\n\n[[day]]\ndate = 2026-02-04\n\n[[day.test]]\n\
             test = \"single_hop\"\nlimb = \"left\"\npractice = 1\ntrials = [40, 45]\n{more}\n"
        )
    };
    let measure = |text_of: String| {
        std::fs::write(&file, text_of).expect("written");
        run(&["measure", "01-lighthouse-mechanic.toml", text(&file)])
    };
    let refused = measure(hop(""));
    assert_eq!(refused.status.code(), Some(14));
    let told = out(&refused);
    assert!(told.contains("42.5 cm") && told.contains("REFUSED TODAY"), "{told}");
    assert!(told.contains("Nearest test that is open"), "{told}");
    let word = "override = { reason = \"asked for by the insurer\", by = \"Tarn\", on = 2026-02-04 }";
    let overridden = measure(hop(word));
    assert_eq!(overridden.status.code(), Some(0), "{}", out(&overridden));
    assert!(out(&overridden).contains("by the word of Tarn"), "{}", out(&overridden));
    let yesterday = measure(hop(&word.replace("02-04", "02-03")));
    assert_eq!(yesterday.status.code(), Some(14), "an override holds for its own day");
    assert!(out(&yesterday).contains("The override does not do"), "{}", out(&yesterday));
}

#[test]
fn change_writes_its_charts_and_return_names_what_was_not_tested() {
    let folder = folder("change");
    let measures = cases().join("measures/04-handball-player.toml");
    let done = run(&["change", "04-handball-player.toml", text(&measures), "--out", text(&folder)]);
    assert_eq!(done.status.code(), Some(0), "{}", err(&done));
    let chart =
        std::fs::read_to_string(folder.join("04-handball-player-three_reach-right.svg")).expect("a chart");
    assert!(chart.contains("2025-11-18") && chart.contains("2026-02-05"));
    let json: serde_json::Value =
        serde_json::from_str(&out(&run(&["change", "04-handball-player.toml", text(&measures), "--json"])))
            .expect("JSON");
    let verdicts: Vec<&str> = json["change"]["tests"]
        .as_array()
        .expect("tests")
        .iter()
        .flat_map(|test| test["rows"].as_array().expect("rows"))
        .filter_map(|row| row["change"]["verdict"].as_str())
        .collect();
    assert!(verdicts.contains(&"within_noise") && verdicts.contains(&"probably_real"), "{verdicts:?}");
    let back = run(&["return", "04-handball-player.toml", text(&measures), "--activity", "sport-pivoting"]);
    assert_eq!(back.status.code(), Some(0), "{}", err(&back));
    for part in
        ["not yet", "not met: 91.6 % of the other side", "not tested:", "A licensed clinician decides"]
    {
        assert!(out(&back).contains(part), "{part} in {}", out(&back));
    }
    assert_eq!(
        run(&["return", "04-handball-player.toml", text(&measures), "--activity", "fly"]).status.code(),
        Some(2)
    );
}
