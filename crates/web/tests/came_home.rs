//! What came home in a browser: handed out, practised, read, looked at, saved once; and what is refused.

mod common;

use axum::http::{StatusCode, header};
use clinic::{HandedOut, LogSource, PersonId, PracticeRecord, ProgrammeRecord, Role};
use common::{Browser, Workbench};
use exchange::{Programme, fragment, log, table, typed};
use jiff::ToSpan;
use progress::{Done, Morning, Rung, Session, StopSign};

/// Somebody with an accepted programme, and what went home of it.
struct Home {
    person: PersonId,
    path: String,
    programme: Programme,
}

/// Puts one movement into the programme of a person and hands the practice page out.
async fn handed_out(workbench: &Workbench, browser: &mut Browser<'_>, number: &str) -> Home {
    let person = workbench.person(number).await;
    let path = format!("/people/{person}/programme");
    let token_page = format!("/people/{person}/letters");
    put(browser, person, "right", "90").await;
    let page = browser.send(&token_page, &format!("{path}/page.html"), &[("language", "fr")]).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.body);
    assert!(
        page.headers[header::CONTENT_DISPOSITION].to_str().is_ok_and(|how| how.starts_with("attachment"))
    );
    let (_, json) = page.body.split_once("id=\"programme\">").expect("the page carries its programme");
    let json = json.split_once("</script>").expect("to its end").0;
    let programme = Programme::from_json(json).unwrap_or_else(|error| panic!("{error}"));
    Home { person, path: format!("/people/{person}/home-log"), programme }
}

/// Puts a step to the side into the programme.
async fn put(browser: &mut Browser<'_>, person: PersonId, mover: &str, to: &str) {
    let path = format!("/people/{person}/programme");
    let token_page = format!("/people/{person}/letters");
    let asked = [
        ("mover", mover),
        ("family", "step"),
        ("to", to),
        ("cm", "25"),
        ("support", "both"),
        ("held", "walking frame"),
    ];
    let answer = browser.send(&token_page, &format!("{path}/movement"), &asked).await;
    let answer: serde_json::Value = serde_json::from_str(&answer.body).expect("an answer");
    let sentence = answer["sentence"].as_str().unwrap_or_default().to_owned();
    let put = browser.send(&token_page, &format!("{path}/put"), &[("sentence", &sentence)]).await;
    assert_eq!(put.status, StatusCode::SEE_OTHER, "{}", put.body);
}

/// A session on a day of the programme, with this pain in its first direction.
fn session(of: &Programme, day: i64, pain: Option<u8>) -> Session {
    let cells = of.prescription().cells;
    let done = |at: usize| Done::Done { pain: if at == 0 { pain } else { Some(0) }, rung: Rung::Whole };
    Session {
        on: of.from.saturating_add(day.days()),
        nth: 1,
        pain_before: Some(1),
        cells: cells.iter().enumerate().map(|(at, cell)| (*cell, done(at))).collect(),
        stopped: None,
        effort: Some(4),
        morning: None,
    }
}

fn code(of: &Programme, sessions: &[Session]) -> String {
    log::encode(of.mark, &of.prescription(), sessions).expect("a log of this programme").text
}

async fn stored(workbench: &Workbench, home: &Home) -> Vec<PracticeRecord> {
    let logs = workbench.desk().await.read::<PracticeRecord>(home.person).await.expect("logs");
    logs.into_iter().map(|entry| entry.body).filter(|log| log.programme.is_some()).collect()
}

/// Reads a text on the page and saves what it says, as the form of the preview would.
async fn save(browser: &mut Browser<'_>, home: &Home, fields: &[(&str, &str)]) -> common::Page {
    browser.send(&home.path, &format!("{}/came-home/save", home.path), fields).await
}

async fn look(browser: &mut Browser<'_>, home: &Home, fields: &[(&str, &str)]) -> common::Page {
    browser.send(&home.path, &format!("{}/came-home", home.path), fields).await
}

#[tokio::test]
async fn a_code_is_looked_at_saved_once_and_read_again_adds_nothing() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let home = handed_out(&workbench, &mut browser, "H-001").await;
    let all = [session(&home.programme, 0, Some(0)), session(&home.programme, 1, None)];
    let text = code(&home.programme, &all);
    let fields = [("given", text.as_str()), ("way", "page")];
    let seen = look(&mut browser, &home, &fields).await;
    assert_eq!(seen.status, StatusCode::OK, "{}", seen.body);
    assert!(
        seen.body.contains("2 sessions: 2 new") && seen.body.contains("Save these sessions"),
        "{}",
        seen.body
    );
    // Of the second session nobody gave a number.
    assert!(seen.body.contains("hurt, no number"), "{}", seen.body);
    assert!(stored(&workbench, &home).await.is_empty(), "nothing is saved by looking");
    for _ in 0..2 {
        assert_eq!(save(&mut browser, &home, &fields).await.status, StatusCode::SEE_OTHER);
    }
    let logs = stored(&workbench, &home).await;
    assert_eq!(logs.iter().filter_map(PracticeRecord::session).collect::<Vec<_>>(), all);
    assert!(
        logs.iter().all(|log| log.source == LogSource::Page && log.programme == Some(home.programme.mark))
    );
    // How far it was prescribed stands beside it.
    assert_eq!(logs[0].items[0].distance_cm, Some(25.0));
    let again = look(&mut browser, &home, &fields).await;
    assert!(again.body.contains("Nothing new") && !again.body.contains("Save these"), "{}", again.body);
}

#[tokio::test]
async fn a_morning_after_completes_its_session_and_what_differs_is_decided_by_a_person() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let home = handed_out(&workbench, &mut browser, "H-001").await;
    let mut one = session(&home.programme, 0, Some(3));
    let first = code(&home.programme, std::slice::from_ref(&one));
    save(&mut browser, &home, &[("given", &first), ("way", "page")]).await;
    one.morning = Some(Morning::Worse(Some(2)));
    let later = code(&home.programme, std::slice::from_ref(&one));
    let seen = look(&mut browser, &home, &[("given", &later), ("way", "page")]).await;
    assert!(seen.body.contains("gets its morning after"), "{}", seen.body);
    save(&mut browser, &home, &[("given", &later), ("way", "page")]).await;
    assert_eq!(stored(&workbench, &home).await[0].morning, Some(Morning::Worse(Some(2))));
    one.effort = Some(9);
    one.stopped = Some(StopSign::Swelling);
    let other = code(&home.programme, std::slice::from_ref(&one));
    let seen = look(&mut browser, &home, &[("given", &other), ("way", "page")]).await;
    assert!(
        seen.body.contains("is stored otherwise") && seen.body.contains("the joint swelled more"),
        "{}",
        seen.body
    );
    save(&mut browser, &home, &[("given", &other), ("way", "page")]).await;
    assert_eq!(stored(&workbench, &home).await[0].effort, Some(4), "nothing gives way by itself");
    let instead = format!("{} {} 1", home.programme.mark, one.on);
    save(&mut browser, &home, &[("given", &other), ("way", "page"), ("instead", &instead)]).await;
    let logs = stored(&workbench, &home).await;
    assert_eq!((logs.len(), logs[0].session()), (1, Some(one)));
}

#[tokio::test]
async fn a_typed_code_with_one_wrong_character_asks_for_its_group_and_is_saved_once_as_a_summary() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let home = handed_out(&workbench, &mut browser, "H-001").await;
    let sessions = [session(&home.programme, 0, Some(4)), session(&home.programme, 2, Some(1))];
    let right =
        typed::encode(home.programme.mark, &home.programme.prescription(), &sessions).expect("a code");
    let groups: Vec<String> = right.split('-').map(str::to_owned).collect();
    let mut wrong = groups.clone();
    let last = if wrong[2].ends_with('7') { '8' } else { '7' };
    wrong[2].replace_range(3..4, &last.to_string());
    let fields = |of: &[String]| -> Vec<(String, String)> {
        let way = ("way".to_owned(), "telephone".to_owned());
        of.iter().map(|group| ("group".to_owned(), group.clone())).chain([way]).collect()
    };
    let asked = |of: &[String]| fields(of);
    let pairs = asked(&wrong);
    let borrowed: Vec<(&str, &str)> = pairs.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let refused = look(&mut browser, &home, &borrowed).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.body.contains("read group 3 again"), "{}", refused.body);
    assert!(refused.body.contains(&format!("They read {}: use it", groups[2])), "{}", refused.body);
    // What was typed is still in its groups.
    assert!(refused.body.contains(&format!("value=\"{}\"", wrong[2])));
    let saved = save(&mut browser, &home, &borrowed).await;
    assert_eq!(saved.status, StatusCode::UNPROCESSABLE_ENTITY, "a proposal is never taken by itself");
    let pairs = asked(&groups);
    let borrowed: Vec<(&str, &str)> = pairs.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let seen = look(&mut browser, &home, &borrowed).await;
    assert!(seen.body.contains("Save this summary") && seen.body.contains("3 to 5 of 10"), "{}", seen.body);
    for _ in 0..2 {
        assert_eq!(save(&mut browser, &home, &borrowed).await.status, StatusCode::SEE_OTHER);
    }
    let logs = stored(&workbench, &home).await;
    assert_eq!((logs.len(), logs[0].source, logs[0].session()), (1, LogSource::Telephone, None));
    assert!(look(&mut browser, &home, &borrowed).await.body.contains("Nothing new"));
}

#[tokio::test]
async fn files_tables_and_messages_go_the_same_way() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let home = handed_out(&workbench, &mut browser, "H-001").await;
    let sessions = [session(&home.programme, 0, Some(0)), session(&home.programme, 1, Some(2))];
    let file = serde_json::json!({
        "format": "footrose-practice-log", "version": 1, "mark": home.programme.mark, "sessions": [sessions[0]],
    });
    let text = file.to_string();
    let saved = save(&mut browser, &home, &[("given", &text), ("way", "file")]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.body);
    let logs = stored(&workbench, &home).await;
    assert_eq!((logs.len(), logs[0].source), (1, LogSource::File));
    let text = table::write(home.programme.mark, &sessions);
    let seen = look(&mut browser, &home, &[("given", &text), ("way", "file")]).await;
    assert!(seen.body.contains("2 sessions: 1 new, 1 in the records already"), "{}", seen.body);
    save(&mut browser, &home, &[("given", &text), ("way", "file")]).await;
    assert_eq!(stored(&workbench, &home).await.len(), 2);
    let text = format!("Hello,\nmy code: {}\nsee you on Monday", code(&home.programme, &sessions));
    let seen = look(&mut browser, &home, &[("given", &text), ("way", "page")]).await;
    assert!(seen.body.contains("Nothing new"), "{}", seen.body);
}

#[tokio::test]
async fn what_cannot_be_used_says_why_and_what_to_do_and_stores_nothing() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let home = handed_out(&workbench, &mut browser, "H-001").await;
    let text = code(&home.programme, &[session(&home.programme, 0, Some(0))]);
    let mut other = home.programme.clone();
    other.mark = exchange::Mark::parse("00112233445566aa").expect("a mark");
    let strange = code(&other, &[session(&other, 0, Some(0))]);
    let cut = text[..text.len() - 2].to_owned();
    let newer = text.replacen("FOOTROSE1/", "FOOTROSE9/", 1);
    let address = format!("https://practice.example/#{}", fragment::write(&home.programme).expect("room"));
    for (given, must_say) in [
        ("", "nothing was given"),
        ("good morning, dear clinic", "is not a code of the practice page"),
        (cut.as_str(), "damaged"),
        (newer.as_str(), "newer than this software"),
        (strange.as_str(), "does not have"),
        (address.as_str(), "no log"),
        ("programme,on,session,pain_before,effort\n1,2,3,4,5\n", "no column"),
    ] {
        let page = look(&mut browser, &home, &[("given", given), ("way", "page")]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{given}");
        let body = page.body.to_lowercase();
        assert!(body.contains(&must_say.to_lowercase()), "{given}: {}", page.body);
        assert!(body.contains("nothing was saved"), "{given}");
        let saved = save(&mut browser, &home, &[("given", given), ("way", "page")]).await;
        assert_eq!(saved.status, StatusCode::UNPROCESSABLE_ENTITY, "{given}");
    }
    assert!(stored(&workbench, &home).await.is_empty());
}

#[tokio::test]
async fn a_log_of_somebody_else_here_names_whose_it_is_and_an_earlier_programme_is_said_to_be_one() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let home = handed_out(&workbench, &mut browser, "H-001").await;
    let text = code(&home.programme, &[session(&home.programme, 0, Some(0))]);
    let other = workbench.person("H-005").await;
    let elsewhere =
        Home { person: other, path: format!("/people/{other}/home-log"), programme: home.programme.clone() };
    let refused = look(&mut browser, &elsewhere, &[("given", &text), ("way", "page")]).await;
    assert!(refused.body.contains("That programme went home with"), "{}", refused.body);
    assert!(refused.body.contains(&format!("/people/{}/home-log/came-home", home.person)));
    // A change of the programme makes another one of it.
    let desk = workbench.desk().await;
    let kept = desk.newest::<ProgrammeRecord>(home.person).await.expect("reads").expect("kept").body;
    desk.append(home.person, &ProgrammeRecord { why: "again".to_owned(), ..kept }, "later")
        .await
        .expect("stored");
    let marks = desk.read::<HandedOut>(home.person).await.expect("reads");
    assert_eq!(marks.len(), 1);
    // The same sentences on the same days are the same programme; one direction more is another.
    let seen = look(&mut browser, &home, &[("given", &text), ("way", "page")]).await;
    assert!(!seen.body.contains("An earlier programme"), "{}", seen.body);
    put(&mut browser, home.person, "left", "270").await;
    let seen = look(&mut browser, &home, &[("given", &text), ("way", "page")]).await;
    assert!(
        seen.body.contains("An earlier programme") && seen.body.contains("Save this session"),
        "{}",
        seen.body
    );
}

#[tokio::test]
async fn a_reader_looks_and_cannot_save_and_the_decoder_is_allowed_on_this_page_only() {
    let workbench = Workbench::invented().await;
    let mut browser = workbench.signed_in().await;
    let home = handed_out(&workbench, &mut browser, "H-001").await;
    workbench
        .desk()
        .await
        .create_account("Wren", Role::Reader, "sedge marsh tern dune")
        .await
        .expect("an account");
    let mut reader = workbench.signed_in_as("Wren", "sedge marsh tern dune").await;
    let text = code(&home.programme, &[session(&home.programme, 0, Some(0))]);
    let seen = look(&mut reader, &home, &[("given", &text), ("way", "page")]).await;
    assert!(seen.body.contains("A reader changes nothing"), "{}", seen.body);
    let saved = save(&mut reader, &home, &[("given", &text), ("way", "page")]).await;
    assert_eq!(saved.status, StatusCode::FORBIDDEN);
    assert!(stored(&workbench, &home).await.is_empty());
    for (path, allowed) in
        [(home.path.clone(), true), (format!("{}/came-home", home.path), true), ("/".to_owned(), false)]
    {
        let page = browser.get(&path).await;
        let policy = page.headers[header::CONTENT_SECURITY_POLICY].to_str().expect("text").to_owned();
        assert_eq!(policy.contains("'wasm-unsafe-eval'"), allowed, "{path}: {policy}");
        assert!(!policy.contains("'unsafe-"), "{policy}");
    }
}

#[tokio::test]
async fn a_long_log_stands_ten_on_a_page() {
    let workbench = Workbench::invented().await;
    let person = workbench.person("H-009").await;
    let desk = workbench.desk().await;
    for day in 0..25_i64 {
        let on = jiff::civil::date(2025, 3, 1).saturating_add(day.days());
        let log =
            PracticeRecord { remark: format!("remark {day}."), ..PracticeRecord::bare(on, LogSource::Told) };
        desk.append(person, &log, &format!("day {day}")).await.expect("stored");
    }
    let all = desk.read::<PracticeRecord>(person).await.expect("logs").len();
    let mut browser = workbench.signed_in().await;
    let path = format!("/people/{person}/home-log");
    let mut seen = 0;
    for page in 1..=all.div_ceil(10) {
        let body = browser.get(&format!("{path}?page={page}")).await.body;
        let here = body.matches("<section class=\"log\">").count();
        assert!(here <= 10, "{page}");
        seen += here;
    }
    assert_eq!(seen, all);
    // A page that is not there is the last one.
    assert!(browser.get(&format!("{path}?page=99")).await.body.contains("remark 0."));
}
