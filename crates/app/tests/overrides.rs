//! A refused test that a clinician does all the same: what an override needs, and what it never does.

use anatomy::Side;
use app::{Override, OverrideError, TestToday, TestsToday, demo_cases, one_test};
use jiff::civil::{Date, date};
use measurement::InstrumentKey;
use person::{CaseFile, Finding};
use safety::Blocked;

const HANDBALL_PLAYER: usize = 3;
const POSTAL_WORKER: usize = 4;

fn story(index: usize) -> (CaseFile, Date) {
    let case = demo_cases()[index].read().unwrap_or_else(|e| panic!("{e}"));
    let today = app::day_of(&case, None, date(2000, 1, 1));
    (case, today)
}

fn key(name: &str) -> InstrumentKey {
    InstrumentKey::find(name).unwrap_or_else(|e| panic!("{e}"))
}

fn asked(case: &CaseFile, today: Date, name: &str, limb: Side) -> TestToday {
    one_test(case, today, key(name), Some(limb), None).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn an_override_needs_reason_name_and_date_and_keeps_the_refusal_beside_it() {
    let (case, today) = story(HANDBALL_PLAYER);
    for (reason, name, on, missing) in [
        (" ", "Tarn", Some(today), "a reason"),
        ("baseline", "\t", Some(today), "the name"),
        ("baseline", "Tarn", None, "the date"),
    ] {
        let error = Override::new(reason, name, on).expect_err("one of three is missing");
        assert!(error.to_string().contains(missing), "{error}");
    }
    let by = Override::new("last test before the season", "Tarn, physiotherapist", Some(today));
    let by = by.unwrap_or_else(|e| panic!("{e}"));
    let refused = asked(&case, today, "single_hop", Side::Left);
    let done = refused.clone().overridden(by.clone()).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(done.reasons(), refused.reasons());
    assert!(!done.is_offered());
    let shown = TestsToday {
        person: case.person.name.clone(),
        invented: case.invented,
        on: today,
        alert: None,
        notes: Vec::new(),
        tests: vec![done],
    };
    let text = shown.text();
    assert!(text.contains("Overridden") && text.contains("Tarn") && text.contains("against it"), "{text}");

    let open = asked(&case, today, "stance_eyes_open", Side::Left);
    assert!(matches!(open.overridden(by.clone()), Err(OverrideError::NotRefused { .. })));
    let other_day = Override::new("r", "n", Some(date(2026, 1, 1))).unwrap_or_else(|e| panic!("{e}"));
    assert!(matches!(refused.overridden(other_day), Err(OverrideError::OtherDay { .. })));
}

#[test]
fn the_surgeons_order_is_overridden_only_when_its_author_was_informed() {
    let (case, today) = story(HANDBALL_PLAYER);
    let turn = asked(&case, today, "rotation_hop", Side::Right);
    let by = Override::new("agreed on the telephone", "Tarn, physiotherapist", Some(today));
    let by = by.unwrap_or_else(|e| panic!("{e}"));
    let refused = turn.clone().overridden(by.clone()).expect_err("nobody was informed");
    assert!(refused.to_string().contains("the surgeon's orders come first"));
    assert_eq!(refused, OverrideError::OrderStands { by: vec!["Dr Quill, surgeon".to_owned()] });
    let somebody = by.clone().informed("Dr Somebody Else").unwrap_or_else(|e| panic!("{e}"));
    assert!(turn.clone().overridden(somebody).is_err());
    assert!(by.clone().informed(" ").is_err());
    let agreed = by.informed("Dr Quill, surgeon").unwrap_or_else(|e| panic!("{e}"));
    assert!(turn.overridden(agreed).is_ok());
}

#[test]
fn nobody_overrides_red_flags_that_were_not_asked_for() {
    let (mut case, today) = story(POSTAL_WORKER);
    case.findings.red_flags = Finding::NotAssessed;
    let test = asked(&case, today, "single_hop", Side::Left);
    assert!(matches!(test.reasons()[0].blocked, Blocked::NotAssessed { .. }));
    let by = Override::new("a reason", "a name", Some(today)).unwrap_or_else(|e| panic!("{e}"));
    let by = by.informed("Tarn, physiotherapist").unwrap_or_else(|e| panic!("{e}"));
    assert!(matches!(test.overridden(by), Err(OverrideError::RedFlag { .. })));
}
