//! Findings as a form: what is stored, what is shown, what is kept when something is to be mended.

mod common;

use axum::http::StatusCode;
use clinic::{CaseRecord, PersonId};
use common::{Browser, Workbench};
use person::{CaseFile, Condition, Finding, HipApproach, case_file};

/// Every version of somebody's findings, read.
async fn versions(workbench: &Workbench, person: PersonId) -> Vec<(CaseRecord, CaseFile)> {
    let desk = workbench.desk().await;
    let all = desk.read::<CaseRecord>(person).await.unwrap_or_else(|error| panic!("{error}"));
    all.into_iter()
        .map(|entry| {
            let case = case_file::read("stored", &entry.body.text).unwrap_or_else(|error| panic!("{error}"));
            (entry.body, case)
        })
        .collect()
}

/// Token and key of the form that is sent to this address, and the version it was opened with.
async fn form_of(browser: &mut Browser<'_>, page: &str, action: &str) -> Vec<(String, String)> {
    let body = browser.get(page).await.body;
    let at = body.find(&format!("action=\"{action}\"")).unwrap_or_else(|| panic!("no form to {action}"));
    let form = &body[at..at + body[at..].find("</form>").unwrap_or(body.len() - at)];
    ["form", "once", "base", "version"]
        .into_iter()
        .filter_map(|name| {
            let before = format!("name=\"{name}\" value=\"");
            let rest = &form[form.find(&before)? + before.len()..];
            Some((name.to_owned(), rest[..rest.find('"')?].to_owned()))
        })
        .collect()
}

#[tokio::test]
async fn a_changed_finding_becomes_a_new_version_of_today_and_shows_what_it_closed() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/findings");
    let hidden = form_of(&mut browser, &path, &path).await;
    let fields = [("findings.wound_dry", "no"), ("findings.pain_at_rest", "1"), ("found_on", "2026-02-04")];
    let page = browser.post(&path, &hidden, &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    let all = versions(&workbench, person).await;
    let [(_, before), (record, after)] = &all[..] else { panic!("{} versions", all.len()) };
    let day = jiff::civil::date(2026, 2, 4);
    assert_eq!(after.findings.wound_dry, Finding::Found { value: false, on: day });
    // What was not changed keeps its value and its day, though the visit moved.
    assert_eq!(after.findings.pain_at_rest, before.findings.pain_at_rest);
    assert_eq!(after.findings.red_flags, before.findings.red_flags);
    assert!(record.text.starts_with("# Anselm kept the harbour light"), "comments stay");
    let page = browser.get(&format!("{path}?changed=1")).await;
    assert!(page.body.contains("What this changed") && page.body.contains("closed"), "{}", page.body);
    assert!(page.body.contains("Wound dry: no, was yes"), "{}", page.body);
}

#[tokio::test]
async fn sending_the_page_as_it_was_shown_writes_nothing() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/findings");
    let hidden = form_of(&mut browser, &path, &path).await;
    let fields = [("findings.wound_dry", "yes"), ("weight_bearing.left.grade", "full"), ("person.age", "74")];
    browser.post(&path, &hidden, &fields).await;
    assert_eq!(versions(&workbench, person).await.len(), 1);
}

#[tokio::test]
async fn undo_is_a_new_version_that_says_what_the_earlier_one_said() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/findings");
    let hidden = form_of(&mut browser, &path, &path).await;
    browser.post(&path, &hidden, &[("findings.aid", "two_sticks")]).await;
    let back = format!("{path}/back");
    let hidden = form_of(&mut browser, &format!("{path}?changed=1"), &back).await;
    browser.post(&back, &hidden, &[]).await;
    let all = versions(&workbench, person).await;
    assert_eq!(all.len(), 3, "nothing is overwritten");
    assert_eq!(all[2].0.text, all[0].0.text);
    assert_ne!(all[1].0.text, all[0].0.text);
    assert!(all[2].0.why.starts_with("brings back the version of"), "{}", all[2].0.why);
    let page = browser.get(&format!("{path}/versions")).await;
    assert!(page.body.contains("Aid: two sticks") && page.body.contains("Tarn"), "{}", page.body);
}

#[tokio::test]
async fn a_new_person_is_entered_without_any_text_and_problems_stand_at_their_fields() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let added = browser.send("/people/new", "/people/new", &[("name", "Edda")]).await;
    let path = added.location().split('?').next().unwrap_or_default().to_owned();
    let person: PersonId = path.split('/').nth(2).and_then(|id| id.parse().ok()).expect("an id");
    let hidden = form_of(&mut browser, &path, &path).await;
    let wrong = [
        ("person.name", "Edda"),
        ("person.age", "68"),
        ("person.sex", "female"),
        ("person.stature", "1640"),
        ("person.mass", "66"),
        ("conditions.new.kind", "hip_replacement"),
        ("conditions.new.side", "left"),
        ("conditions.new.approach", "anterior"),
        ("conditions.new.operated_on", "2026-01-12"),
        ("flags", "none"),
        ("flag:fracture", ""),
        ("weight_bearing.left.grade", "as_tolerated"),
        ("weight_bearing.left.known", "letter_seen"),
        ("weight_bearing.left.by", ""),
        ("strength.knee_extension.left.moment", "48"),
        ("strength.knee_extension.left.at_angle", "90"),
        ("strength.knee_extension.right.moment", "71"),
        ("goals.activities", "walk to the quay\n\nsing standing"),
        ("wishes", "shown"),
        ("wish", "strength:hip_abductors"),
        ("wish", "balance"),
        ("home.clear_floor.back-left", "90"),
        ("holds", "shown"),
        ("hold", "chair_back"),
        ("home.equipment.hand_weights", "1, 2"),
        ("others", "asked"),
        ("other", "osteoporosis"),
    ];
    let page = browser.post(&path, &hidden, &wrong).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        page.body.contains("id=\"wrong:person.stature\"") && page.body.contains("120 cm to 220 cm"),
        "{}",
        page.body
    );
    assert!(page.body.contains("value=\"1640\"") && page.body.contains("walk to the quay"), "{}", page.body);
    assert!(versions(&workbench, person).await.is_empty());
    let right: Vec<(&str, &str)> =
        wrong.iter().map(|(name, value)| (*name, if *value == "1640" { "164" } else { *value })).collect();
    let page = browser.post(&path, &hidden, &right).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    let all = versions(&workbench, person).await;
    let case = &all[0].1;
    let found = &case.findings;
    assert!(
        matches!(
            &found.conditions[..],
            [Condition::HipReplacement { approach: Finding::Found { value: HipApproach::Anterior, .. }, .. }]
        ),
        "{:?}",
        found.conditions
    );
    assert!(matches!(&found.red_flags, Finding::Found { value, .. } if value.is_empty()));
    assert!(matches!(&found.other_conditions, Finding::Found { value, .. } if value.len() == 1));
    let Finding::Found { value: order, .. } = &found.weight_bearing.left else { panic!("no order") };
    assert_eq!(order.by, "Tarn", "an order without a name is the word of whoever wrote it");
    assert_eq!(found.weight_bearing.right, Finding::NotAssessed, "the other leg was not assessed");
    assert_eq!(found.strength.len(), 2);
    assert_eq!((case.wishes.goals.len(), case.wishes.activities.len()), (2, 2));
    assert_eq!(case.home.equipment.hand_weights.len(), 2);
}

#[tokio::test]
async fn red_flags_asked_in_part_open_nothing_and_are_not_forgotten() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/findings");
    let hidden = form_of(&mut browser, &path, &path).await;
    browser.post(&path, &hidden, &[("flag:fracture", "no"), ("flag:infection", "no")]).await;
    let all = versions(&workbench, person).await;
    let (record, case) = all.last().expect("a version");
    assert_eq!(case.findings.red_flags, Finding::NotAssessed);
    assert_eq!(record.absent, ["infection", "fracture"]);
    let page = browser.get(&path).await;
    assert!(page.body.contains("Nothing opens before all 13 were asked"), "{}", page.body);
}

#[tokio::test]
async fn two_who_change_different_findings_both_stand_and_the_same_one_is_told() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let path = format!("/people/{person}/findings");
    let (mut one, mut other) = (workbench.signed_in().await, workbench.signed_in().await);
    let first = form_of(&mut one, &path, &path).await;
    let second = form_of(&mut other, &path, &path).await;
    one.post(&path, &first, &[("findings.pain_at_rest", "5")]).await;
    let fields = [("findings.pain_in_movement", "7"), ("findings.pain_at_rest", "1")];
    let page = other.post(&path, &second, &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    let all = versions(&workbench, person).await;
    let (_, case) = all.last().expect("a version");
    let day = jiff::civil::date(2026, 2, 4);
    assert_eq!(case.findings.pain_at_rest, Finding::Found { value: 5, on: day });
    assert_eq!(case.findings.pain_in_movement, Finding::Found { value: 7, on: day });
    // Opened before all of this, and about the same finding.
    let mut again = second.clone();
    for (name, value) in &mut again {
        if name == "once" {
            value.replace_range(..1, "x");
        }
    }
    let page = other.post(&path, &again, &[("findings.pain_at_rest", "2")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.body.contains("nobody else changed since you opened"), "{}", page.body);
    assert_eq!(versions(&workbench, person).await.len(), all.len());
}

/// Sight in the older word is shown in the newer one and writes nothing; chosen anew, the older one goes.
#[tokio::test]
async fn sight_hearing_footwear_and_consent_are_written_as_keys_of_the_case() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-009").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/findings");
    let hidden = form_of(&mut browser, &path, &path).await;
    let shown = [("person.sight", "large_type"), ("person.hearing", ""), ("home.footwear", "")];
    let page = browser.post(&path, &hidden, &shown).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    assert_eq!(versions(&workbench, person).await.len(), 1, "nothing changed, nothing written");
    let fields = [
        ("person.sight", "no_type"),
        ("person.hearing", "hard"),
        ("home.footwear", "barefoot"),
        ("findings.consent", "yes"),
    ];
    let page = browser.post(&path, &hidden, &fields).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    let all = versions(&workbench, person).await;
    let [_, (record, case)] = &all[..] else { panic!("{} versions", all.len()) };
    assert!(!record.text.contains("poor_sight"), "{}", record.text);
    assert_eq!((case.person.sight, case.person.hearing), (person::Sight::NoType, person::Hearing::Hard));
    assert_eq!(case.home.footwear, Some(person::Footwear::Barefoot));
    assert!(matches!(case.findings.consent, Finding::Found { value: true, .. }));
}

#[tokio::test]
async fn a_note_of_pain_is_written_with_its_movement_changed_and_taken_out() {
    use movement::Family;
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/findings");
    let hidden = form_of(&mut browser, &path, &path).await;
    let new = [
        ("hurt.new.leg", "right"),
        ("hurt.new.direction", "back"),
        ("hurt.new.family", "step"),
        ("hurt.new.distance", "26"),
        ("hurt.new.pain", "3"),
        ("found_on", "2026-02-04"),
    ];
    let page = browser.post(&path, &hidden, &new).await;
    assert_eq!(page.status, StatusCode::SEE_OTHER, "{}", page.body);
    let all = versions(&workbench, person).await;
    let note = &all[1].1.findings.hurt[0];
    assert_eq!(
        (note.family, note.pain, note.on),
        (Some(Family::Step), Some(3), jiff::civil::date(2026, 2, 4))
    );
    let page = browser.get(&path).await;
    assert!(page.body.contains("Right leg going back, 26 cm, pain 3 of 10"), "{}", page.body);
    // The movement is changed, by the same form; what nobody knows is not left out but said.
    let hidden = form_of(&mut browser, &path, &path).await;
    browser.post(&path, &hidden, &[("hurt[1].family", "")]).await;
    assert_eq!(versions(&workbench, person).await[2].1.findings.hurt[0].family, None);
    let hidden = form_of(&mut browser, &path, &path).await;
    browser.post(&path, &hidden, &[("hurt[1].family", ""), ("gone", "hurt[1]")]).await;
    assert!(versions(&workbench, person).await[3].1.findings.hurt.is_empty());
}

#[tokio::test]
async fn a_note_of_pain_without_a_distance_is_answered_at_its_field_and_kept() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-001").await;
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/findings");
    let hidden = form_of(&mut browser, &path, &path).await;
    let new = [("hurt.new.leg", "right"), ("hurt.new.direction", "back"), ("hurt.new.family", "lunge")];
    let page = browser.post(&path, &hidden, &new).await;
    assert_ne!(page.status, StatusCode::SEE_OTHER);
    assert!(page.body.contains("thing to mend"), "{}", page.body);
    assert!(
        page.body.contains("id=\"wrong:hurt.new.distance\"") || page.body.contains("id=\"wrong:hurt.new\""),
        "{}",
        page.body
    );
    assert!(page.body.contains("<option value=\"lunge\" selected>"), "{}", page.body);
    assert_eq!(versions(&workbench, person).await.len(), 1);
}
