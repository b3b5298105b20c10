//! Stories of the invented clinic.

use std::sync::Arc;

use clinic::{
    Admitted, Clinic, DEMO_NAME, DEMO_PASSPHRASE, Desk, MeasuresRecord, PersonRecord, PracticeRecord, Reason,
};

async fn desk() -> (Arc<Clinic>, Desk) {
    let clinic = Clinic::demo(Arc::new(|| jiff::civil::date(2026, 2, 4))).await.expect("the invented clinic");
    match clinic.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await.expect("a readable file") {
        Admitted::Welcome(desk) => (clinic, desk),
        Admitted::Refused { .. } | Admitted::Wait { .. } => panic!("the passphrase of the invented clinic"),
    }
}

#[tokio::test]
async fn thirteen_invented_people_stand_with_their_cases() {
    let (_clinic, desk) = desk().await;
    let people = desk.people().await.expect("the list");
    assert_eq!(people.len(), 13);
    for line in people {
        let standing = desk.standing(line.id).await.expect("a standing");
        assert!(standing.is_invented(), "{}", line.person.name);
    }
}

#[tokio::test]
async fn the_file_of_the_invented_clinic_is_gone_when_it_is_closed() {
    let (clinic, _desk) = desk().await;
    let path = clinic.path().to_owned();
    assert!(path.exists());
    clinic.close().await.expect("closed");
    assert!(!path.exists());
}

#[tokio::test]
async fn today_names_the_red_flag_first_and_the_pain_that_rose() {
    let (_clinic, desk) = desk().await;
    let list = desk.attention(0, 50).await.expect("a list").some;
    assert_eq!(list[0].reasons[0], Reason::RedFlag);
    let rising: Vec<&str> = list
        .iter()
        .filter(|one| one.reasons.iter().any(|reason| matches!(reason, Reason::PainRising { .. })))
        .map(|one| one.number.as_str())
        .collect();
    assert_eq!(rising, ["H-005"]);
    let silent: Vec<&str> = list
        .iter()
        .filter(|one| one.reasons.iter().any(|reason| matches!(reason, Reason::NothingLogged { .. })))
        .map(|one| one.number.as_str())
        .collect();
    assert_eq!(silent, ["H-003"]);
}

#[tokio::test]
async fn an_entry_that_is_sent_twice_stands_once_and_the_standing_knows_it() {
    let (_clinic, desk) = desk().await;
    let id = desk.people().await.expect("the list")[0].id;
    let before = desk.standing(id).await.expect("a standing");
    let bare = PracticeRecord::bare(before.day, clinic::LogSource::Telephone);
    let log = PracticeRecord { remark: "both days".to_owned(), ..bare };
    let first = desk.append(id, &log, "form-1").await.expect("stored");
    let again = desk.append(id, &log, "form-1").await.expect("was there");
    assert_eq!(first, again);
    let after = desk.standing(id).await.expect("a standing");
    assert_eq!(after.log_count, before.log_count + 1);
    assert_eq!(after.logs[0].remark, "both days");
}

#[tokio::test]
async fn a_case_with_something_to_mend_is_not_saved_and_says_where() {
    let (_clinic, desk) = desk().await;
    let id = desk.people().await.expect("the list")[0].id;
    let before = desk.standing(id).await.expect("a standing");
    let text = before.case_text.replace("pain_at_rest", "pain_at_breast");
    let error = desk.save_case(id, &text, "x").await.expect_err("a key that nobody knows");
    assert!(error.to_string().contains("pain_at_breast"), "{error}");
    let after = desk.standing(id).await.expect("a standing");
    assert_eq!(after.case_record, before.case_record);
}

#[tokio::test]
async fn measures_of_two_entries_are_read_together() {
    let (_clinic, desk) = desk().await;
    let people = desk.people().await.expect("the list");
    let id = people.iter().find(|line| line.person.number == "H-001").expect("the first").id;
    let one = desk.measured(id).await.expect("measures").measures.expect("of the first");
    let text = "format = \"footrose-measures\"\nversion = 1\n\n[[day]]\ndate = 2026-02-03\n\n[[day.test]]\n\
                test = \"pain_0_10\"\ntrials = [2]\n";
    let record = MeasuresRecord { text: text.to_owned(), recordings: Vec::new() };
    desk.save_measures(id, &record, "second").await.unwrap_or_else(|error| panic!("{error}"));
    let both = desk.measured(id).await.expect("measures").measures.expect("of both");
    assert_eq!(both.days().len(), one.days().len() + 1);
    assert_eq!(desk.standing(id).await.expect("a standing").measured_on, Some(jiff::civil::date(2026, 2, 4)));
}

#[test]
fn a_person_without_a_name_or_born_tomorrow_is_refused_in_words() {
    let today = jiff::civil::date(2026, 2, 4);
    for (name, born, must_say) in [("  ", "", "at least one letter"), ("A", "2026-02-05", "not after today")]
    {
        let error = PersonRecord::from_typed(name, born, "", today).expect_err("refused");
        assert!(error.to_string().contains(must_say), "{error}");
    }
}
