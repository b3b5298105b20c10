//! The text of a case is changed key by key: what was not touched stays, and nothing gets younger.

use clinic::{CaseText, CaseValue};
use jiff::civil::date;
use person::{CaseFile, Finding, case_file};

fn read(text: &str) -> CaseFile {
    case_file::read("the case", text).unwrap_or_else(|errors| panic!("{errors}\n{text}"))
}

fn edited(text: &str) -> CaseText {
    CaseText::of(text).unwrap_or_else(|| panic!("not TOML: {text}"))
}

#[test]
fn a_text_that_is_not_touched_comes_back_byte_for_byte() {
    for demo in app::demo_cases() {
        assert_eq!(edited(demo.text).text(), demo.text, "{}", demo.file);
    }
}

#[test]
fn a_later_visit_leaves_every_finding_with_its_value_and_its_day() {
    for demo in app::demo_cases() {
        let before = read(demo.text);
        let to = before.planned_for.unwrap_or(before.visit);
        let mut text = edited(demo.text);
        text.move_visit(to);
        let mut after = read(&text.text());
        assert_eq!(after.visit, to);
        // What never changes, the approach or the day of the operation, is left as it is written.
        after.findings.conditions.clone_from(&before.findings.conditions);
        assert_eq!(after.findings, before.findings, "{}\n{}", demo.file, text.text());
        assert_eq!(after.home, before.home, "{}", demo.file);
    }
}

#[test]
fn a_changed_finding_is_of_the_new_day_and_comments_stay() {
    let demo = &app::demo_cases()[0];
    let mut text = edited(demo.text);
    text.move_visit(date(2026, 2, 4));
    text.set_found("findings.pain_at_rest", CaseValue::Whole(4), date(2026, 2, 4));
    text.set_found("findings.knee_flexion.left", CaseValue::Text("120 deg".to_owned()), date(2026, 2, 1));
    let written = text.text();
    assert!(written.starts_with("# Anselm kept the harbour light running"), "{written}");
    assert!(written.contains("pain_at_rest = 4\n"), "{written}");
    let after = read(&written);
    assert_eq!(after.findings.pain_at_rest, Finding::Found { value: 4, on: date(2026, 2, 4) });
    assert_eq!(after.findings.pain_in_movement, Finding::Found { value: 3, on: date(2026, 2, 3) });
    let knee = after.findings.knee_flexion.left;
    assert!(matches!(knee, Finding::Found { on, .. } if on == date(2026, 2, 1)), "{knee:?}");
    assert_eq!(text.given("findings.knee_flexion.left").map(|given| given.on), Some(Some(date(2026, 2, 1))));
}

#[test]
fn a_key_that_is_taken_out_leaves_no_empty_table_and_counts_as_not_assessed() {
    let mut text = edited(app::demo_cases()[0].text);
    text.remove("findings.trendelenburg.left");
    text.remove("findings.trendelenburg.right");
    text.remove("weight_bearing.left");
    assert!(!text.text().contains("trendelenburg") && !text.text().contains("[weight_bearing.left]"));
    let after = read(&text.text());
    assert_eq!(after.findings.trendelenburg.left, Finding::NotAssessed);
    assert_eq!(after.findings.weight_bearing.left, Finding::NotAssessed);
}

#[test]
fn a_case_from_nothing_is_read_once_its_essentials_are_there() {
    let mut text = CaseText::begun(date(2026, 2, 4), false);
    let errors = case_file::read("new", &text.text()).expect_err("nobody is in it yet");
    assert!(errors.problems.iter().any(|problem| problem.key.starts_with("person")), "{errors}");
    for (key, value) in [("person.name", "Edda"), ("person.sex", "female")] {
        text.set(key, &CaseValue::Text(value.to_owned()));
    }
    text.set("person.stature", &CaseValue::Text("164 cm".to_owned()));
    text.set("person.mass", &CaseValue::Text("61 kg".to_owned()));
    text.set("person.age", &CaseValue::Whole(58));
    let place = text.push(
        "conditions",
        &[("kind", CaseValue::Text("ankle_sprain".to_owned())), ("side", CaseValue::Text("left".to_owned()))],
    );
    assert_eq!(place, 1);
    text.set(&format!("conditions[{place}].injured_on"), &CaseValue::Day(date(2026, 1, 20)));
    text.set("weight_bearing.left.grade", &CaseValue::Text("full".to_owned()));
    text.set("weight_bearing.left.known", &CaseValue::Text("letter_seen".to_owned()));
    text.set("weight_bearing.left.by", &CaseValue::Text("Dr Quill".to_owned()));
    text.set_found("home.clear_floor.back-left", CaseValue::Text("90 cm".to_owned()), date(2026, 2, 4));
    let case = read(&text.text());
    assert_eq!(case.findings.conditions.len(), 1, "{}", text.text());
    assert_eq!(case.home.clear_floor.len(), 1);
    text.remove_entry("conditions", 1);
    assert!(read(&text.text()).findings.conditions.is_empty());
    assert!(!case.invented);
}

#[test]
fn the_movement_of_a_note_of_pain_is_written_changed_and_taken_out_and_read_back() {
    use movement::Family;
    let mut text = edited(app::demo_cases()[4].text);
    assert_eq!(read(&text.text()).findings.hurt[0].family, None, "nobody said");
    text.set("hurt[1].family", &CaseValue::Text("bend_and_reach".to_owned()));
    let entry = [
        ("leg", CaseValue::Text("left".to_owned())),
        ("direction", CaseValue::Text("forward".to_owned())),
        ("family", CaseValue::Text("step".to_owned())),
        ("distance", CaseValue::Text("40 cm".to_owned())),
    ];
    assert_eq!(text.push("hurt", &entry), 2);
    let families = |text: &CaseText| -> Vec<Option<Family>> {
        read(&text.text()).findings.hurt.iter().map(|note| note.family).collect()
    };
    assert_eq!(families(&text), [Some(Family::BendAndReach), Some(Family::Step)]);
    assert_eq!(text.given("hurt[2].family").map(|given| given.text), Some("step".to_owned()));
    // A later visit leaves the movement where it is.
    text.move_visit(date(2026, 1, 28));
    assert_eq!(families(&text), [Some(Family::BendAndReach), Some(Family::Step)]);
    text.remove("hurt[1].family");
    assert_eq!(families(&text), [None, Some(Family::Step)]);
}
