//! Letters: what each says of invented people, what none may say, and that every name is in every language.

use anatomy::Side;
use app::{LetterSources, Measures, PracticeLog, letter_base, letter_case, read_measures, silent};
use document::language::Language;
use document::{Block, Letter, LetterKind, letter_text};
use jiff::civil::{Date, date};
use movement::{AnatomicalDirection, Bearing, Crossing, Family, MovementSpec, StanceFoot};
use person::{CaseFile, OrderedLimit};
use progress::{Activity, SportKind};
use safety::{Engine, Movements};

const LOGS: [(usize, &str); 2] = [
    (1, include_str!("../../../cases/practice/01-lighthouse-mechanic.json")),
    (5, include_str!("../../../cases/practice/05-postal-worker.json")),
];

struct Person {
    name: &'static str,
    case: CaseFile,
    today: Date,
    measures: Option<Measures>,
    log: Option<PracticeLog>,
    base: app::LetterBase,
}

fn person(number: usize) -> Person {
    let demo = &app::demo_cases()[number - 1];
    let case = demo.read().unwrap_or_else(|e| panic!("{e}"));
    let today = app::day_of(&case, None, date(2026, 2, 4));
    let file = format!("measures/{}", demo.file);
    let series = |name: &str| {
        let found = app::demo_measures().iter().find(|one| one.file == format!("measures/{name}"));
        found.map(|one| one.text.to_owned()).ok_or_else(|| format!("no `{name}`"))
    };
    let measures = app::demo_measures().iter().find(|one| one.file == file).map(|one| {
        read_measures(one.file, one.text, &case, today, &series).unwrap_or_else(|e| panic!("{e}"))
    });
    let log = LOGS
        .iter()
        .find(|(of, _)| *of == number)
        .map(|(_, text)| PracticeLog::read(text).unwrap_or_else(|e| panic!("{e}")));
    let base = letter_base(&case, today, &silent).unwrap_or_else(|alert| panic!("{alert}"));
    Person { name: demo.file.trim_end_matches(".toml"), case, today, measures, log, base }
}

impl Person {
    fn sources(&self, activity: Activity) -> LetterSources<'_> {
        LetterSources {
            case: &self.case,
            today: self.today,
            author: None,
            measures: self.measures.as_ref(),
            log: self.log.as_ref(),
            activity,
        }
    }

    fn letter(&self, kind: LetterKind, language: Language) -> Letter {
        let activity = match self.name {
            name if name.starts_with("04") => Activity::Sport(SportKind::Pivoting),
            name if name.starts_with("01") => Activity::WalkWithoutAid,
            _ => Activity::Run,
        };
        letter_case(kind, &self.sources(activity), &self.base, language)
            .unwrap_or_else(|alert| panic!("{alert}"))
    }
}

fn snapshot(name: &str, text: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases/snapshots/letters"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!(name, text));
}

fn all_kinds(person: &Person, language: Language) -> String {
    LetterKind::ALL
        .iter()
        .map(|kind| letter_text(&person.letter(*kind, language)))
        .collect::<Vec<_>>()
        .join("\n========================================\n\n")
}

#[test]
fn a_surgeon_reads_five_people_as_before() {
    for number in [1, 4, 5, 2, 7] {
        let person = person(number);
        snapshot(person.name, &all_kinds(&person, Language::English));
        if number == 1 {
            snapshot(&format!("{}-fr", person.name), &all_kinds(&person, Language::French));
            without_anything(&person);
        }
        if number == 4 {
            snapshot(&format!("{}-es", person.name), &all_kinds(&person, Language::Spanish));
        }
        no_place_is_left_open_and_nobody_is_blamed(&person);
    }
}

/// Nothing handed in is said to be unknown; no number is made up.
fn without_anything(person: &Person) {
    let from = LetterSources { measures: None, log: None, ..person.sources(Activity::Run) };
    let base = app::LetterBase::known(None, None);
    for kind in LetterKind::ALL {
        let letter = letter_case(kind, &from, &base, Language::English).unwrap_or_else(|a| panic!("{a}"));
        let text = letter_text(&letter);
        match kind {
            LetterKind::ProgressNote | LetterKind::Referral | LetterKind::Discharge => {
                assert!(text.contains("No measurement was handed in"), "{text}");
                assert!(text.contains("No practice log was handed in"), "{text}");
                assert!(text.contains("No programme is on record."), "{text}");
                assert!(!text.contains('±'), "{text}");
            }
            LetterKind::ReturnToActivity => {
                assert!(text.contains("counts as not tested"), "{text}");
                assert!(!text.contains("chance"), "{text}");
            }
            LetterKind::ClassList => assert!(text.contains("see the therapist first"), "{text}"),
            LetterKind::Cover | LetterKind::QuestionToSurgeon => {
                assert!(text.contains("was not computed"), "{text}");
            }
        }
    }
}

fn no_place_is_left_open_and_nobody_is_blamed(person: &Person) {
    const BLAME: [&str; 9] =
        ["complian", "adheren", "fail", "refuse", "neglect", "lazy", "unmotivated", "observance", "incumpl"];
    for language in Language::ALL {
        let text = all_kinds(person, language);
        for word in ["{", "}", "NaN", "inf ", "  ()"] {
            assert!(!text.contains(word), "`{word}` in {} {}: {text}", person.name, language.code());
        }
        // A reader of letters reads days as the language writes them.
        let plain = |part: &[u8]| {
            part[4] == b'-'
                && part[7] == b'-'
                && part.iter().enumerate().all(|(at, c)| at == 4 || at == 7 || c.is_ascii_digit())
        };
        let day = text.as_bytes().windows(10).find(|part| plain(part));
        assert!(
            day.is_none(),
            "{:?} in {} {}",
            day.map(String::from_utf8_lossy),
            person.name,
            language.code()
        );
        let lower = text.to_lowercase();
        for word in BLAME {
            assert!(!lower.contains(word), "`{word}` in {} {}", person.name, language.code());
        }
    }
}

#[test]
fn a_red_flag_goes_before_every_letter() {
    let demo = app::demo_cases().last().unwrap_or_else(|| panic!("no last case"));
    let case = demo.read().unwrap_or_else(|e| panic!("{e}"));
    let today = app::day_of(&case, None, case.visit);
    assert!(letter_base(&case, today, &silent).is_err());
    let base = app::LetterBase::known(None, None);
    let from = LetterSources {
        case: &case,
        today,
        author: None,
        measures: None,
        log: None,
        activity: Activity::Run,
    };
    for kind in LetterKind::ALL {
        assert!(letter_case(kind, &from, &base, Language::English).is_err(), "{kind:?}");
    }
    // On a list of a class the person stands with the reason, and with no direction.
    let member = app::class_member(&case, today, &silent);
    let list = app::letter_class(&[member], &case.clinic, today, Language::English);
    assert!(letter_text(&list).contains("no class today: see the therapist first"));
}

#[test]
fn a_full_page_loses_the_least_important_rows_first_and_says_how_many() {
    let person = person(4);
    let whole = person.letter(LetterKind::ProgressNote, Language::English);
    let ranks = |letter: &Letter| -> Vec<u8> {
        let blocks = letter.parts.iter().flat_map(|part| &part.blocks);
        blocks
            .flat_map(|block| match block {
                Block::Sentences { rows, .. } | Block::Table { rows, .. } => rows.as_slice(),
                _ => &[],
            })
            .map(|row| row.rank)
            .collect()
    };
    let most = ranks(&whole).into_iter().max().unwrap_or(0);
    let shorter = whole.without(3);
    assert_eq!(ranks(&shorter).len() + 3, ranks(&whole).len());
    assert!(
        ranks(&whole.without(1)).iter().filter(|rank| **rank == most).count()
            < ranks(&whole).iter().filter(|rank| **rank == most).count()
    );
    assert!(letter_text(&shorter).contains("in the record."), "{}", letter_text(&shorter));
    // What may not go stays, however little room there is.
    let least = whole.without(usize::from(u16::MAX));
    assert_eq!(least.can_spare(1), 0);
    assert!(ranks(&least).iter().all(|rank| *rank == 0) && !ranks(&least).is_empty());
}

/// The postal worker's left ankle must not turn while it stands: lifting that opens exactly what both gates refuse
/// today and let pass without the order, a crossing step of the right leg on a turning left foot.
#[test]
fn what_an_answer_would_open_is_what_both_gates_open_with_that_answer() {
    let person = person(5);
    let letter = person.letter(LetterKind::QuestionToSurgeon, Language::English);
    let asked = |block: &Block| match block {
        Block::Choices { choices } => choices.clone(),
        _ => Vec::new(),
    };
    let choices: Vec<_> = letter.parts.iter().flat_map(|part| &part.blocks).flat_map(asked).collect();
    let order = choices.iter().find(|choice| choice.question.starts_with("No turning on the standing foot"));
    let order = order.unwrap_or_else(|| panic!("{choices:?}"));
    assert!(order.question.contains("left leg") && order.question.contains("18 February 2026"));
    let opens =
        "Lift it: opens step, turning on the standing foot, right leg posteromedial, medial and anteromedial";
    assert!(order.options[0].starts_with(opens), "{}", order.options[0]);

    let mut without = person.case.clone();
    without.findings.orders.retain(|one| one.limit != OrderedLimit::NoPivot);
    let passes = |case: &CaseFile| {
        let today = app::PersonToday::of(case, person.today);
        let bearing = Bearing::of(AnatomicalDirection::Medial, Side::Right);
        let far = today.body.leg_length(Side::Right).times(0.3);
        let bare = MovementSpec::bare(Family::Step, Side::Right, bearing, Crossing::InFront, far);
        let spec = MovementSpec { stance_foot: StanceFoot::Pivoting, ..bare };
        let engine = Engine { body: &today.body, capacity: &today.capacity };
        let found = engine.near(&spec, None).unwrap_or_else(|| panic!("no posture"));
        today.allowed.screen(spec).is_ok_and(|screened| {
            let (motion, moments, demands) = (&found.motion, &found.moments, &found.demands);
            today.allowed.permit(screened, motion, moments, demands, person.today).is_ok()
        })
    };
    assert_eq!([passes(&person.case), passes(&without)], [false, true]);
}

/// An order that changes nothing that was tried says so, and one that others stand beside says that.
#[test]
fn an_order_that_opens_nothing_by_itself_is_asked_about_and_says_so() {
    let text = letter_text(&person(4).letter(LetterKind::QuestionToSurgeon, Language::English));
    assert!(text.contains("opens nothing by itself; other rules keep the same movements closed"), "{text}");
}

/// The strength of the knee flexors was found and not tested: a bare share beside the name of the test would be read as
/// its result.
/// An order that is past its last day still closes, so the letters say so, and the surgeon is asked about it.
#[test]
fn an_order_past_its_last_day_still_closes_and_is_asked_about() {
    let mut person = person(5);
    let last = person.today.yesterday().expect("a day");
    let order = person.case.findings.orders.iter_mut().find(|one| one.limit == OrderedLimit::NoPivot);
    order.expect("an order of the case").until = Some(last);
    person.base = letter_base(&person.case, person.today, &silent).unwrap_or_else(|alert| panic!("{alert}"));
    for (language, ended) in [
        (Language::English, "ended on 27 January 2026: it still closes"),
        (Language::French, "finie le 27 janvier 2026\u{a0}: la consigne vaut encore"),
        (Language::Spanish, "terminó el 27 de enero de 2026: sigue cerrando"),
    ] {
        for kind in [LetterKind::Cover, LetterKind::QuestionToSurgeon] {
            let text = letter_text(&person.letter(kind, language));
            assert!(text.contains(ended), "{text}");
        }
    }
}

#[test]
fn a_finding_that_stands_in_for_a_test_says_its_own_name() {
    let text = letter_text(&person(4).letter(LetterKind::ReturnToActivity, Language::English));
    let name = safety::FindingKey::HamstringStrengthPercent.words();
    assert!(
        text.contains(&format!("Found: {name}: 85.1\u{a0}%, 20 January 2026; error not known")),
        "{text}"
    );
}

/// A programme that was only computed is nobody's prescription until a clinician accepts it.
#[test]
fn a_programme_that_nobody_accepted_is_called_a_proposal_and_an_accepted_one_is_not() {
    let person = person(1);
    let app::Outcome::Programme(plan) = app::plan_case(&person.case, person.today, &silent) else {
        panic!("a programme")
    };
    let accepted = app::LetterBase::known(Some(plan.programme), None);
    for (language, said) in [
        (Language::English, "no clinician has accepted it"),
        (Language::French, "aucun clinicien ne l'a encore accepté"),
        (Language::Spanish, "ningún clínico lo ha aceptado"),
    ] {
        for kind in [LetterKind::ProgressNote, LetterKind::Referral, LetterKind::Discharge, LetterKind::Cover]
        {
            assert!(letter_text(&person.letter(kind, language)).contains(said), "{kind:?} {language}");
            let letter = letter_case(kind, &person.sources(Activity::Run), &accepted, language)
                .unwrap_or_else(|alert| panic!("{alert}"));
            assert!(!letter_text(&letter).contains(said), "{kind:?} {language}");
        }
    }
}
