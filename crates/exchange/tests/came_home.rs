//! Whatever is handed over: a message, a table, an address.

mod common;

use common::{Chance, known, programme, simulated, usual};
use exchange::log::encode;
use exchange::{Preview, Refusal, came_home, fragment, table};
use movement::Family;
use progress::Session;

fn log() -> (exchange::Programme, Vec<Session>, String) {
    let of = usual();
    let log = simulated(&of, 5, &mut Chance(3));
    let code = encode(of.mark, &of.prescription(), &log).expect("a log of this programme").text;
    (of, log, code)
}

fn additions(given: &str, all: &[exchange::Known]) -> usize {
    let previews = came_home(given, all).unwrap_or_else(|refusal| panic!("{refusal}\n{given}"));
    previews.iter().map(|one| if let Preview::Log(log) = one { log.additions().count() } else { 0 }).sum()
}

#[test]
fn a_code_is_found_inside_a_message_and_broken_over_lines() {
    let (of, log, code) = log();
    let all = [known(&of)];
    let (head, tail) = code.split_at(code.len() / 2);
    for given in [
        code.clone(),
        format!("Good morning,\n\nhere is my code: {code}\nSee you on Monday"),
        format!("my code {} thank you", code.to_lowercase()),
        format!("My footrose code, from the Footrose page: {code}"),
        format!("{head}\r\n{tail}\r\n\r\nSent while travelling"),
    ] {
        assert_eq!(additions(&given, &all), log.len(), "{given}");
    }
    let damaged = format!("Hello\n{head}");
    assert!(matches!(came_home(&damaged, &all), Err(Refusal::Corrupted { .. })));
}

#[test]
fn a_table_is_read_beside_what_is_stored_and_one_of_another_programme_is_refused() {
    let (of, log, _) = log();
    let mut one = known(&of);
    let given = table::write(of.mark, &log);
    assert_eq!(additions(&given, std::slice::from_ref(&one)), log.len());
    one.stored = log.clone();
    assert_eq!(additions(&given, std::slice::from_ref(&one)), 0);
    let other = programme("00112233445566aa", &[Family::Step], &anatomy::Side::BOTH, &[0, 90]);
    let refused = came_home(&given, &[known(&other)]).expect_err("another programme");
    assert!(matches!(refused, Refusal::WrongProgramme { .. }), "{refused}");
}

#[test]
fn a_table_with_a_wrong_cell_names_its_line_and_one_of_a_strange_direction_is_damaged() {
    let (of, log, _) = log();
    let given = table::write(of.mark, &log);
    let wrong = given.replacen(",yes,", ",maybe,", 1);
    let refused = came_home(&wrong, &[known(&of)]).expect_err("a word that is not accepted");
    assert!(refused.to_string().contains("line ") && refused.to_string().contains("`maybe`"), "{refused}");
    let strange = given.replacen(",step,", ",hop,", 1);
    assert_ne!(strange, given, "the usual programme steps");
    let refused = came_home(&strange, &[known(&of)]).expect_err("a direction the programme has not");
    let Refusal::Corrupted { what } = &refused else { panic!("{refused:?}") };
    assert!(what.contains("a direction that the programme has not") && what.contains(" hop, "), "{what}");
}

#[test]
fn an_address_is_a_programme_and_is_refused_with_its_days() {
    let (of, ..) = log();
    let address = format!("https://practice.example/#{}", fragment::write(&of).expect("it has room"));
    let refused = came_home(&format!("Use this: {address} daily"), &[known(&of)]).expect_err("no log");
    assert!(matches!(&refused, Refusal::Address { mark, .. } if *mark == of.mark.to_string()));
    assert!(refused.to_string().contains(&of.until.to_string()), "{refused}");
}
