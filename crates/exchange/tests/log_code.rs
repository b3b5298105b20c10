//! The log code: what goes in comes out, it always fits one QR symbol, and damage is seen.

mod common;

use common::{Chance, by_chance, known, largest, simulated, usual};
use exchange::log::{LETTERS_AT_MOST, LogError, encode};
use exchange::{Preview, Refusal, read};
use jiff::ToSpan;
use progress::{Done, Rung, Session};
use proptest::prelude::*;

fn back(text: &str, of: &exchange::Programme) -> Vec<Session> {
    match read(text, &[known(of)]) {
        Ok(Preview::Log(log)) => log.sessions.into_iter().map(|seen| seen.session).collect(),
        other => panic!("{other:?}"),
    }
}

proptest! {
    #[test]
    fn any_log_of_fourteen_days_comes_back_as_it_was(seed: u64, days in 0..15, a_day in 1_u8..3, big: bool, wild: bool) {
        let of = if big { largest() } else { usual() };
        let mut chance = Chance(seed);
        let log = if wild { by_chance(&of, days, a_day, &mut chance) } else { simulated(&of, days, &mut chance) };
        let code = encode(of.mark, &of.prescription(), &log).expect("a log of this programme");
        prop_assert!(code.text.len() <= LETTERS_AT_MOST);
        prop_assert_eq!((code.sessions, code.left_out), (log.len(), 0));
        prop_assert_eq!(back(&code.text, &of), log);
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,80}", body in "[0-9A-Z$*+/-]{0,400}", version in 0_u8..4) {
        let all = [known(&usual()), known(&largest())];
        let _ = read(&text, &all);
        let made_up = format!("FOOTROSE{version}/{body}");
        prop_assert!(read(&made_up, &all).is_err());
        let _ = exchange::read_bytes(text.as_bytes().get(1..).unwrap_or_default(), &all);
    }
}

#[test]
fn the_worst_log_of_two_limbs_fits_one_symbol_and_a_longer_one_keeps_its_newest_sessions() {
    let of = largest();
    let day = by_chance(&of, 14, 2, &mut Chance(5));
    let code = encode(of.mark, &of.prescription(), &day).expect("a log");
    assert_eq!((code.sessions, code.left_out), (28, 0));
    let crowded = by_chance(&of, 14, 4, &mut Chance(6));
    let code = encode(of.mark, &of.prescription(), &crowded).expect("a log");
    assert!(code.text.len() <= LETTERS_AT_MOST && code.left_out > 0, "{} left out", code.left_out);
    assert_eq!(back(&code.text, &of), crowded[code.left_out..]);
    let six_weeks = simulated(&of, 42, &mut Chance(7));
    let code = encode(of.mark, &of.prescription(), &six_weeks).expect("a log");
    let since = six_weeks.last().expect("sessions").on - 13.days();
    assert!(back(&code.text, &of).iter().all(|session| session.on >= since));
    assert_eq!(code.sessions, six_weeks.iter().filter(|session| session.on >= since).count());
}

#[test]
fn order_of_sessions_and_directions_that_were_left_out_do_not_change_the_code() {
    let of = usual();
    let log = simulated(&of, 5, &mut Chance(11));
    let code = |log: &[Session]| encode(of.mark, &of.prescription(), log).expect("a log").text;
    let mut other: Vec<Session> = log.iter().rev().cloned().collect();
    for session in &mut other {
        session.cells.retain(|(_, done)| *done != Done::NotDone);
        session.cells.reverse();
    }
    assert_eq!(code(&other), code(&log));
}

#[test]
fn a_number_outside_its_range_is_named_and_nothing_is_written() {
    let of = usual();
    let log = |change: fn(&mut Session)| {
        let mut log = simulated(&of, 1, &mut Chance(3));
        change(&mut log[0]);
        encode(of.mark, &of.prescription(), &log).expect_err("refused").to_string()
    };
    for (told, words) in [
        (log(|one| one.pain_before = Some(11)), ["pain before", "`11`", "0 to 10"]),
        (log(|one| one.effort = Some(200)), ["effort", "`200`", "0 to 10"]),
        (log(|one| one.nth = 0), ["place in its day", "`0`", "1 to 131"]),
        (
            log(|one| one.cells[0].1 = Done::Done { pain: Some(12), rung: Rung::Whole }),
            ["pain", "`12`", "0 to 10"],
        ),
        (log(|one| one.cells[0].0.exercise = 9), ["exercise 9", "has not", "accepted"]),
        (log(|one| one.on = jiff::civil::date(1999, 1, 1)), ["1999-01-01", "2020-01-01", "accepted"]),
    ] {
        assert!(words.iter().all(|word| told.contains(word)), "{told}");
    }
    let one = simulated(&of, 1, &mut Chance(3))[0].clone();
    let twice = [one.clone(), one];
    assert!(matches!(encode(of.mark, &of.prescription(), &twice), Err(LogError::Twice { .. })));
}

#[test]
fn no_damage_of_one_or_two_characters_passes() {
    let of = usual();
    let text = encode(of.mark, &of.prescription(), &simulated(&of, 14, &mut Chance(21))).expect("a log").text;
    let alphabet: Vec<char> = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$*+-/".chars().collect();
    let letters: Vec<char> = text.chars().collect();
    let all = [known(&of), known(&largest())];
    let mut chance = Chance(22);
    let (mut tried, mut passed) = ([0_u32; 5], [0_u32; 5]);
    for trial in 0..150_000_u32 {
        let class = (trial % 5) as usize;
        let mut wrong = letters.clone();
        let at = |chance: &mut Chance| {
            10 + usize::try_from(chance.below(letters.len() as u64 - 10)).expect("small")
        };
        match class {
            0 | 1 => {
                for _ in 0..=class {
                    let place = at(&mut chance);
                    wrong[place] = alphabet[usize::try_from(chance.below(41)).expect("small")];
                }
            }
            2 => {
                let place = at(&mut chance).min(letters.len() - 2);
                wrong.swap(place, place + 1);
            }
            3 => {
                wrong.remove(at(&mut chance));
            }
            _ => wrong.truncate(at(&mut chance)),
        }
        if wrong == letters {
            continue;
        }
        tried[class] += 1;
        passed[class] += u32::from(read(&wrong.iter().collect::<String>(), &all).is_ok());
    }
    assert!(tried.iter().all(|count| *count > 28_000), "{tried:?}");
    assert_eq!(passed, [0; 5], "one wrong, two wrong, neighbours exchanged, one missing, cut off");
}

#[test]
fn every_damaged_character_is_called_damage_and_not_another_programme_when_the_mark_is_whole() {
    let of = usual();
    let text = encode(of.mark, &of.prescription(), &simulated(&of, 3, &mut Chance(2))).expect("a log").text;
    let from = "FOOTROSE1/".len() + 6;
    for at in from..text.len() {
        let mut wrong: Vec<char> = text.chars().collect();
        wrong[at] = if wrong[at] == '7' { '8' } else { '7' };
        let told = read(&wrong.into_iter().collect::<String>(), &[known(&of)]).expect_err("damaged");
        assert!(matches!(told, Refusal::Corrupted { .. }), "{told}");
    }
}
