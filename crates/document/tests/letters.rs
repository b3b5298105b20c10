//! What letters say of signs and of practice, in every language.

use anatomy::Side;
use document::language::{Language, words};
use document::{
    ClassMember, Letter, LetterFacts, LetterKind, Planned, Practised, class_list, letter, letter_text,
};
use jiff::civil::{Date, date};
use movement::{Bearing, Crossing, Family};
use person::CaseFile;
use progress::{Cell, Done, Rung, Session, StopSign};

const TODAY: Date = date(2026, 2, 4);

fn mechanic() -> CaseFile {
    let text = include_str!("../../../cases/01-lighthouse-mechanic.toml");
    let mut case =
        person::case_file::read("01-lighthouse-mechanic.toml", text).unwrap_or_else(|e| panic!("{e}"));
    case.clinic.emergency_number = Some("112".to_owned());
    case
}

fn facts<'a>(case: &'a CaseFile, practised: Option<&'a Practised>) -> LetterFacts<'a> {
    LetterFacts {
        case,
        today: TODAY,
        author: None,
        measured: None,
        practised,
        planned: Planned::NoneMade,
        ways: &[],
        unknown: &[],
        decision: None,
        question: &[],
    }
}

fn session(on: Date, stopped: Option<StopSign>) -> Session {
    Session { on, nth: 1, pain_before: None, cells: Vec::new(), stopped, effort: None, morning: None }
}

/// The rows that stay however full the page is.
fn shortest(letter: &Letter) -> String {
    letter_text(&letter.without(usize::from(u16::MAX)))
}

/// Chest pain is no matter for the next appointment: whoever reads the letter is told the number that the sheet tells.
#[test]
fn a_letter_that_says_when_to_seek_help_says_the_emergency_signs_of_the_sheet_with_their_number() {
    let case = mechanic();
    let facts = facts(&case, None);
    for language in Language::ALL {
        let sheet = &words(language).emergency;
        let title = sheet.title_number.replace("{number}", "112");
        for kind in [LetterKind::Discharge, LetterKind::Cover] {
            let text = shortest(&letter(kind, &facts, language));
            for words in [&title, &sheet.new_hip, &sheet.new_joint].into_iter().chain(&sheet.sentences) {
                assert!(text.contains(words.as_str()), "{kind:?} {language}: `{words}` is missing in {text}");
            }
            for words in &words(language).seen_today.sentences {
                assert!(text.contains(words.as_str()), "{kind:?} {language}: `{words}` is missing in {text}");
            }
        }
        let class = letter_text(&class_list(&[ClassMember::of(&facts)], &case.clinic, TODAY, language));
        for words in [&title].into_iter().chain(&sheet.sentences) {
            assert!(class.contains(words.as_str()), "class list {language}: `{words}` is missing in {class}");
        }
    }
}

/// Somebody who felt chest pain before the first step has a log without a direction.
#[test]
fn a_sign_is_told_of_a_log_in_which_nothing_was_done_and_stays_on_a_full_page() {
    let case = mechanic();
    let sessions = [session(date(2026, 2, 3), Some(StopSign::Emergency))];
    let practised = Practised::of(&sessions, None, TODAY);
    let facts = facts(&case, Some(&practised));
    for language in Language::ALL {
        let day = words(language).date(date(2026, 2, 3));
        for kind in [LetterKind::ProgressNote, LetterKind::Referral, LetterKind::Discharge, LetterKind::Cover]
        {
            let text = shortest(&letter(kind, &facts, language));
            assert!(text.contains(&day), "{kind:?} {language}: {text}");
        }
    }
    let text = letter_text(&letter(LetterKind::ProgressNote, &facts, Language::English));
    assert!(text.contains("stopped with a sign to call the emergency number for"), "{text}");
    assert!(!text.contains("No practice log was handed in"), "{text}");
}

/// A telephone call of which only a remark was kept, and a session of which only the effort is known, were something:
/// they are said and counted neither as practice nor as none.
#[test]
fn entries_that_tell_no_direction_are_said_and_not_counted() {
    let case = mechanic();
    let cell = Cell {
        exercise: 1,
        mover: Side::Left,
        bearing: Bearing::ALL[0],
        crossing: Crossing::None,
        family: Family::Step,
    };
    let done = Done::Done { pain: Some(0), rung: Rung::Whole };
    let told = Session { cells: vec![(cell, done)], ..session(date(2026, 2, 2), None) };
    let effort = Session { effort: Some(4), ..session(date(2026, 2, 3), None) };
    let tomorrow = session(date(2026, 2, 5), None);
    let says = |sessions: &[Session], further: usize, language| {
        let practised = Practised::of(sessions, None, TODAY).with_uncounted(further);
        letter_text(&letter(LetterKind::ProgressNote, &facts(&case, Some(&practised)), language))
    };
    let all = [told.clone(), effort, tomorrow];
    let text = says(&all, 1, Language::English);
    assert!(text.contains("1 session on 1 day"), "{text}");
    assert!(text.contains("2 entries of the log tell no single direction and are not counted."), "{text}");
    assert!(!says(&[told], 0, Language::English).contains("no single direction"));
    // Nothing else came: it is not said that nothing was done.
    for (language, said) in [
        (Language::English, "1 entry of the log tells no single direction"),
        (Language::French, "1 note du carnet"),
        (Language::Spanish, "1 anotación del registro"),
    ] {
        let text = says(&[], 1, language);
        assert!(text.contains(said), "{text}");
    }
    assert!(!says(&[], 1, Language::English).contains("no direction was done in it"));
}

/// A typed code that tells of a stop sign and not which is the first thing that is said of practice.
#[test]
fn a_stop_sign_that_nobody_named_is_told_in_the_letter() {
    let case = mechanic();
    for (language, said) in [
        (Language::English, "Up to 3 February 2026: stopped with a sign; nobody said which."),
        (Language::French, "Jusqu'au 3 février 2026\u{a0}: arrêt avec un signe, sans dire lequel."),
        (Language::Spanish, "Hasta el 3 de febrero de 2026: parada con una señal; no se dijo cuál."),
    ] {
        let practised =
            Practised::of(&[], None, TODAY).with_uncounted(1).with_unnamed_stops(&[date(2026, 2, 3)]);
        let text = letter_text(&letter(LetterKind::ProgressNote, &facts(&case, Some(&practised)), language));
        assert!(text.contains(said), "{text}");
    }
}

/// A reconstructed ligament leaves a wound and has a surgeon, like a new joint.
#[test]
fn whoever_was_operated_on_reads_of_the_wound_and_of_the_surgical_team_and_nobody_else_does() {
    for (file, text, operated) in [
        ("01", include_str!("../../../cases/01-lighthouse-mechanic.toml"), true),
        ("04", include_str!("../../../cases/04-handball-player.toml"), true),
        ("05", include_str!("../../../cases/05-postal-worker.toml"), false),
    ] {
        let case = person::case_file::read(file, text).unwrap_or_else(|e| panic!("{e}"));
        let facts = facts(&case, None);
        let text = letter_text(&letter(LetterKind::Discharge, &facts, Language::English));
        for words in [words(Language::English).seen_today.operated.as_str(), "Surgical team"] {
            assert_eq!(text.contains(words), operated, "{file}: `{words}` in {text}");
        }
    }
}

/// The printed words name a figure of the rule: where the rule is changed, this fails until the words are.
#[test]
fn half_as_far_is_what_the_pain_rule_leaves_and_lost_steps_are_counted_alike_on_sheet_page_and_letter() {
    let rule = safety::pain_rule();
    assert_eq!(rule.second.to_bits(), 0.5_f64.to_bits(), "the words say half");
    assert_eq!(rule.back_off_from_directions, 2, "the page says: more than one way");
    let case = mechanic();
    let facts = facts(&case, None);
    for (language, half, half_way, three, more_than_one) in [
        (Language::English, "half", "half", "three", "More than one way"),
        (Language::French, "moitié", "mi-chemin", "trois", "Plus d'une direction"),
        (Language::Spanish, "mitad", "mitad", "tres", "más de una flecha"),
    ] {
        let words = words(language);
        let page = &words.page;
        let cover = letter_text(&letter(LetterKind::Cover, &facts, language));
        for (told, what) in [
            (words.during.strict.join(" "), half_way),
            (words.during.accepted.join(" "), half_way),
            (page.of("supported").to_owned(), half_way),
            (cover.clone(), half),
            (words.stop.unsteady.clone(), three),
            (cover, three),
            (page.of("two_hurt").to_owned(), more_than_one),
        ] {
            assert!(told.contains(what), "{language}: `{what}` is not in {told}");
        }
    }
}
