//! The typed code: a summary comes back, wrong characters are seen, one is proposed, never two.

mod common;

use anatomy::Side;
use common::{Chance, by_chance, known, largest, programme, simulated, usual};
use exchange::typed::{ALPHABET, Worst, encode};
use exchange::{Preview, Refusal, TypedPreview, read};
use movement::Family;
use progress::{Done, Rung, Session};
use proptest::prelude::*;

fn typed(text: &str, of: &exchange::Programme) -> TypedPreview {
    match read(text, &[known(of)]) {
        Ok(Preview::Typed(typed)) => typed,
        other => panic!("{other:?}"),
    }
}

fn worst_of(sessions: &[Session], side: Side, degrees: u16) -> Worst {
    let all = sessions.iter().flat_map(|one| &one.cells);
    let here = all.filter(|(cell, _)| cell.mover == side && cell.bearing.degrees() == degrees);
    here.map(|(_, done)| match done {
        Done::NotDone => Worst::None,
        Done::Done { rung: Rung::LeftOut, .. } => Worst::Strong,
        Done::Done { pain: Some(0), .. } => Worst::None,
        Done::Done { pain: Some(pain), .. } if *pain < 3 => Worst::Mild,
        Done::Done { pain: Some(pain), .. } if *pain > 5 => Worst::Strong,
        Done::Done { .. } => Worst::Moderate,
    })
    .max()
    .unwrap_or(Worst::None)
}

proptest! {
    #[test]
    fn what_the_code_says_is_what_the_log_says_leg_by_leg(seed: u64, wild: bool) {
        let (of, mut chance) = (largest(), Chance(seed));
        let log = if wild { by_chance(&of, 4, 2, &mut chance) } else { simulated(&of, 14, &mut chance) };
        let text = encode(of.mark, &of.prescription(), &log).expect("a log");
        prop_assert!(text.len() == 19 && text.split('-').all(|four| four.len() == 4));
        let told = typed(&text, &of).summary;
        for side in Side::BOTH {
            for degrees in common::EIGHT {
                let said = told.worst.iter().find(|(s, b, _)| (*s, b.degrees()) == (side, degrees));
                prop_assert_eq!(said.map_or(Worst::None, |(.., worst)| *worst), worst_of(&log, side, degrees));
            }
        }
        let done = |one: &&Session| one.cells.iter().any(|(_, done)| *done != Done::NotDone);
        prop_assert_eq!(told.sessions, log.iter().filter(done).count());
        prop_assert_eq!(told.stopped, log.iter().any(|one| one.stopped.is_some()));
        prop_assert_eq!(told.last, log.iter().map(|one| one.on).max().unwrap_or(of.from));
    }

    #[test]
    fn any_sixteen_characters_are_read_or_refused(text in "\\PC{14,18}") {
        let _ = read(&text, &[known(&usual())]);
    }
}

/// Undetected among trials, and wrong proposals, for one class of errors.
fn trials(change: impl Fn(&mut Vec<u8>, &mut Chance)) -> (u32, u32, u32) {
    let of = usual();
    let mut chance = Chance(77);
    let (mut tried, mut undetected, mut proposed) = (0, 0, 0);
    for seed in 0..1000 {
        let log = simulated(&of, 14, &mut Chance(seed));
        let right = encode(of.mark, &of.prescription(), &log).expect("a log");
        let letters: Vec<u8> = right.bytes().filter(|b| *b != b'-').collect();
        for _ in 0..33 {
            let mut wrong = letters.clone();
            change(&mut wrong, &mut chance);
            if wrong == letters {
                continue;
            }
            tried += 1;
            // Whatever programme it names: known under every mark.
            match read(&String::from_utf8(wrong).expect("letters"), &[known(&of)]) {
                Ok(_) | Err(Refusal::WrongProgramme { .. } | Refusal::NewerVersion { .. }) => undetected += 1,
                Err(Refusal::TypedOneWrong { proposal, .. }) if proposal != right => proposed += 1,
                Err(_) => {}
            }
        }
    }
    (tried, undetected, proposed)
}

fn spoil(count: usize) -> impl Fn(&mut Vec<u8>, &mut Chance) {
    move |word, chance| {
        let mut places: Vec<usize> = (0..16).collect();
        for _ in 0..count {
            let place =
                places.swap_remove(usize::try_from(chance.below(places.len() as u64)).expect("small"));
            let old = word[place];
            while word[place] == old {
                word[place] = ALPHABET[usize::try_from(chance.below(32)).expect("small")];
            }
        }
    }
}

#[test]
fn one_to_four_wrong_characters_and_exchanged_ones_are_always_seen() {
    type Change = Box<dyn Fn(&mut Vec<u8>, &mut Chance)>;
    let classes: [(&str, Change); 6] = [
        ("one wrong", Box::new(spoil(1))),
        ("two wrong", Box::new(spoil(2))),
        ("three wrong", Box::new(spoil(3))),
        ("four wrong", Box::new(spoil(4))),
        (
            "neighbours exchanged",
            Box::new(|word, chance| {
                // Neighbours that differ; some code always has them.
                for _ in 0..64 {
                    let at = usize::try_from(chance.below(15)).expect("small");
                    if word[at] != word[at + 1] {
                        word.swap(at, at + 1);
                        break;
                    }
                }
            }),
        ),
        (
            "groups exchanged",
            Box::new(|word, chance| {
                let at = usize::try_from(chance.below(3)).expect("small") * 4;
                (at..at + 4).for_each(|place| word.swap(place, place + 4));
            }),
        ),
    ];
    for (name, change) in classes {
        let (tried, undetected, proposed) = trials(change);
        assert!(tried >= 30_000, "{name}: {tried}");
        assert_eq!(undetected, 0, "{name}: of {tried}");
        if ["one wrong", "two wrong", "three wrong", "neighbours exchanged"].contains(&name) {
            // Two right words differ in five characters: up to three errors never lie one step beside another.
            assert_eq!(proposed, 0, "{name}: of {tried}");
        }
    }
}

#[test]
fn a_code_by_chance_is_refused() {
    let mut chance = Chance(5);
    let mut read_as_one = 0;
    for _ in 0..30_000 {
        let word: String = (0..16)
            .map(|_| char::from(ALPHABET[usize::try_from(chance.below(32)).expect("small")]))
            .collect();
        read_as_one += u32::from(read(&word, &[known(&usual())]).is_ok());
    }
    assert_eq!(read_as_one, 0);
}

#[test]
fn one_wrong_character_is_proposed_with_its_place_and_the_proposal_is_read_only_when_it_is_typed() {
    let of = usual();
    let log = simulated(&of, 14, &mut Chance(9));
    let right = encode(of.mark, &of.prescription(), &log).expect("a log");
    let mut wrong: Vec<char> = right.chars().collect();
    wrong[6] = if wrong[6] == '7' { 'K' } else { '7' };
    let told = read(&wrong.iter().collect::<String>(), &[known(&of)]).expect_err("refused");
    let Refusal::TypedOneWrong { place, group, proposal, .. } = &told else { panic!("{told}") };
    assert_eq!((*place, *group, proposal), (6, 2, &right));
    assert!(told.to_string().contains("group 2") && told.to_string().contains("confirm"), "{told}");
    typed(proposal, &of);
}

#[test]
fn small_letters_spaces_and_letters_taken_for_digits_are_understood() {
    let of = programme("0123456789abcdef", &[Family::Step], &Side::BOTH, &[0, 90]);
    let text = encode(of.mark, &of.prescription(), &[]).expect("a log");
    let expected = typed(&text, &of);
    let loose = text.to_lowercase().replace('-', " ").replace('0', "o").replace('1', "l");
    assert_eq!(typed(&loose, &of), expected);
    let short = read(&text[..18], &[known(&of)]).expect_err("too short");
    assert_eq!(short, Refusal::TypedLength { given: 15 });
    let wrong = format!("U{}", &text[1..]);
    assert_eq!(
        read(&wrong, &[known(&of)]).expect_err("no U"),
        Refusal::TypedLetter { letter: 'U', place: 1 }
    );
}
