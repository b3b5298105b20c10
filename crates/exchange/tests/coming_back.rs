//! Stories of a code that comes back to the clinic.

mod common;

use common::{Chance, known, largest, programme, simulated, usual};
use exchange::log::encode;
use exchange::{LogPreview, Preview, Refusal, Seen, Standing, read};
use jiff::ToSpan;
use movement::Family;
use progress::{Done, Morning, Rung, Session, StopSign};

fn code(of: &exchange::Programme, log: &[Session]) -> String {
    encode(of.mark, &of.prescription(), log).expect("a log of this programme").text
}

fn log_of(text: &str, all: &[exchange::Known]) -> LogPreview {
    match read(text, all) {
        Ok(Preview::Log(log)) => log,
        other => panic!("{other:?}"),
    }
}

fn count(log: &LogPreview, seen: Seen) -> usize {
    log.sessions.iter().filter(|one| one.seen == seen).count()
}

#[test]
fn the_same_code_again_adds_nothing_and_a_week_later_only_the_new_week() {
    let of = usual();
    let fortnight = simulated(&of, 12, &mut Chance(41));
    let week: Vec<Session> = fortnight.iter().filter(|one| one.on < of.from + 7.days()).cloned().collect();
    let mut stored = known(&of);
    let first = log_of(&code(&of, &week), std::slice::from_ref(&stored));
    assert_eq!(count(&first, Seen::New), week.len());
    stored.stored.extend(first.additions().cloned());
    let again = log_of(&code(&of, &week), std::slice::from_ref(&stored));
    assert_eq!((again.additions().count(), count(&again, Seen::Stored)), (0, week.len()));
    let later = log_of(&code(&of, &fortnight), std::slice::from_ref(&stored));
    assert_eq!(later.additions().count(), fortnight.len() - week.len());
}

#[test]
fn a_morning_that_came_later_completes_its_session_and_one_that_is_stored_is_not_lost() {
    let of = usual();
    let mut log = simulated(&of, 1, &mut Chance(41));
    log.truncate(1);
    log[0].morning = None;
    let before = code(&of, &log);
    let mut stored = known(&of);
    stored.stored = log.clone();
    log[0].morning = Some(Morning::Worse(Some(2)));
    let with = log_of(&code(&of, &log), std::slice::from_ref(&stored));
    assert_eq!((with.sessions[0].seen, with.additions().count()), (Seen::Completes, 1));
    stored.stored = log.clone();
    let old = log_of(&before, std::slice::from_ref(&stored));
    assert_eq!((old.sessions[0].seen, old.additions().count()), (Seen::StoredRicher, 0));
    log[0].pain_before = Some(9);
    let other = log_of(&code(&of, &log), &[stored]);
    assert_eq!((other.sessions[0].seen, other.additions().count()), (Seen::Differs, 0));
    assert!(other.to_string().contains("nothing is replaced"), "{other}");
}

#[test]
fn what_hurt_comes_worst_first_and_a_stop_sign_and_strange_days_are_told() {
    let of = usual();
    let cells = of.prescription().cells;
    let session = |day: i32, of_cells: Vec<(usize, Option<u8>, Rung)>, stopped| Session {
        on: of.from + day.days(),
        nth: 1,
        pain_before: Some(1),
        cells: of_cells.into_iter().map(|(at, pain, rung)| (cells[at], Done::Done { pain, rung })).collect(),
        stopped,
        effort: None,
        morning: None,
    };
    let log = [
        session(0, vec![(0, Some(0), Rung::Whole), (1, Some(3), Rung::Shortened)], None),
        session(1, vec![(1, Some(2), Rung::Whole), (7, Some(6), Rung::LeftOut)], Some(StopSign::Swelling)),
        session(50, vec![(0, Some(0), Rung::Whole)], None),
    ];
    // The last lies alone in the newest fourteen days.
    let told = log_of(&code(&of, &log[..2]), &[known(&of)]);
    assert_eq!(
        told.hurt.iter().map(|hurt| (hurt.cell, hurt.worst, hurt.hurt, hurt.done)).collect::<Vec<_>>(),
        [(cells[7], Some(6), 1, 1), (cells[1], Some(3), 2, 2),]
    );
    assert_eq!(told.stopped, [(log[1].on, 1, StopSign::Swelling)]);
    let words = told.to_string();
    for part in [
        "2 sessions from 2026-11-30 to 2026-12-01",
        "hurt in 1 of 1 session, worst 6 of 10, left out",
        "STOP SIGN on 2026-12-01",
    ] {
        assert!(words.contains(part), "{words}");
    }
    // A direction is called as everywhere else.
    for cell in told.hurt.iter().map(|hurt| hurt.cell) {
        let called = format!("- exercise {}, {}: hurt in", cell.exercise, progress::cell_words(cell));
        assert!(words.contains(&called), "`{called}` in {words}");
    }
    let late = log_of(&code(&of, &log[2..]), &[known(&of)]);
    assert_eq!(late.outside, [log[2].on]);
}

#[test]
fn a_log_of_an_earlier_programme_is_kept_with_that_one_and_says_so() {
    let (old, new) =
        (usual(), programme("00000000000000aa", &[Family::Lunge], &anatomy::Side::BOTH, &[0, 90]));
    let mut replaced = known(&old);
    replaced.replaced = true;
    let told = log_of(&code(&old, &simulated(&old, 3, &mut Chance(1))), &[replaced, known(&new)]);
    assert_eq!((told.standing, told.mark), (Standing::Replaced, old.mark));
    assert!(told.to_string().contains("EARLIER programme"), "{told}");
}

#[test]
fn what_is_not_ours_newer_or_of_another_programme_is_refused_in_words_that_help() {
    let of = usual();
    let text = code(&of, &simulated(&of, 3, &mut Chance(1)));
    let only = [known(&largest())];
    let told = |text: &str| read(text, &only).expect_err("refused");
    assert!(matches!(told(&text), Refusal::WrongProgramme { .. }));
    assert!(matches!(told(&text.replace("FOOTROSE1/", "FOOTROSE2/")), Refusal::NewerVersion { .. }));
    assert!(matches!(told("https://example.org/menu"), Refusal::Foreign { .. }));
    assert!(matches!(told("5901234123457"), Refusal::TypedLength { given: 13 }));
    assert!(matches!(told(" \n"), Refusal::Empty));
    assert!(matches!(told("FOOTROSE"), Refusal::Corrupted { .. }));
    assert!(matches!(told("FOOTROSE1/"), Refusal::Corrupted { .. }));
    assert!(matches!(exchange::read_bytes(&[0xFF, 0xFE, 0], &only), Err(Refusal::Foreign { .. })));
    // Every refusal says what was given, what is accepted and what to do.
    for text in [text.as_str(), "FOOTROSE2/ABC", "https://example.org/menu", "FOOTROSE1/7", "ABCD-EFGH-JKM"] {
        let words = told(text).to_string();
        assert!(words.contains("accepted") && (words.contains(';')), "{words}");
    }
}

#[test]
fn a_text_that_was_broken_into_lines_or_written_in_small_letters_is_the_same_code() {
    let of = usual();
    let text = code(&of, &simulated(&of, 14, &mut Chance(8)));
    let broken: String = text
        .to_lowercase()
        .as_bytes()
        .chunks(40)
        .map(|line| format!("{}\r\n", String::from_utf8_lossy(line)))
        .collect();
    assert_eq!(read(&broken, &[known(&of)]), read(&text, &[known(&of)]));
}

#[test]
fn the_file_that_the_page_saves_says_the_same_as_its_code() {
    let of = usual();
    let log = simulated(&of, 10, &mut Chance(8));
    let file = |sessions: &[Session]| {
        let sessions = serde_json::to_value(sessions).expect("JSON");
        serde_json::json!({ "format": "footrose-practice-log", "version": 1, "mark": of.mark, "sessions": sessions })
            .to_string()
    };
    let text = file(&log);
    assert_eq!(read(&text, &[known(&of)]), read(&code(&of, &log), &[known(&of)]));
    let told = |text: &str| read(text, &[known(&of)]).expect_err("refused");
    assert!(matches!(told(&text.replace("\"version\":1", "\"version\":2")), Refusal::NewerVersion { .. }));
    assert!(matches!(told(&text.replace("practice-log", "diary")), Refusal::Foreign { .. }));
    assert!(matches!(told("{}"), Refusal::Foreign { .. }));
    assert!(matches!(told(&text[..text.len() / 2]), Refusal::Corrupted { .. }));
    assert!(matches!(told(&text.replace("\"pain\":0", "\"pain\":12")), Refusal::Corrupted { .. }));
    assert!(matches!(told(&file(&[log[0].clone(), log[0].clone()])), Refusal::Corrupted { .. }));
    assert!(matches!(read(&text, &[known(&largest())]), Err(Refusal::WrongProgramme { .. })));
}
