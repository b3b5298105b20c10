//! Whatever bytes come in, reading ends with a case or with problems that name line and remedy.

use person::case_file::{self, CaseErrors, Wrong};
use proptest::prelude::*;

fn problems(bytes: &[u8]) -> CaseErrors {
    case_file::read_bytes("case.toml", bytes).expect_err("this is no case file")
}

/// Every problem points into the file and says what to do.
fn are_told_well(errors: &CaseErrors, lines: usize) -> bool {
    !errors.problems.is_empty()
        && errors
            .problems
            .iter()
            .all(|p| (1..=lines.max(1)).contains(&p.line) && !p.accepted.is_empty() && !p.to_do.is_empty())
}

#[test]
fn text_in_another_encoding_is_named_with_its_line() {
    let errors = problems(b"format = \"footrose-case\"\nversion = 1\n# J\xFCrgen\n");
    let problem = &errors.problems[0];
    assert_eq!((problem.wrong, problem.line), (Wrong::File, 3));
    assert_eq!(
        errors.to_string(),
        "case.toml: 1 thing to mend\n\
         case.toml:3: this file cannot be read: `the byte 0xFC`\n\
         \x20 accepted: text in the encoding UTF-8\n\
         \x20 to do: save the file again as UTF-8 in the editor"
    );
}

#[test]
fn an_empty_file_is_told_what_is_essential() {
    for empty in ["", "\n\n", "# only a comment\n", "\u{feff}"] {
        let keys: Vec<String> =
            problems(empty.as_bytes()).problems.into_iter().map(|problem| problem.key).collect();
        let essential = [
            "format",
            "version",
            "visit.date",
            "person.name",
            "person.age",
            "person.sex",
            "person.stature",
            "person.mass",
        ];
        assert_eq!(keys, essential, "for {empty:?}");
    }
}

#[test]
fn a_file_that_is_too_large_is_not_read() {
    let mut text = case_file::template();
    text.push_str(&"# more\n".repeat(case_file::LARGEST / 7));
    let errors = problems(text.as_bytes());
    assert_eq!(errors.problems.len(), 1);
    assert_eq!(errors.problems[0].wrong, Wrong::File);
}

#[test]
fn a_file_full_of_problems_tells_the_first_two_hundred_and_counts_the_rest() {
    let mut text = String::new();
    for n in 0..30_000 {
        text.push_str(&format!("k{n}=1\n"));
    }
    let errors = problems(text.as_bytes());
    assert_eq!(errors.problems.len(), 200);
    assert!(errors.more > 20_000);
    assert!(errors.to_string().ends_with("more"));
}

#[test]
fn tabs_carriage_returns_and_a_byte_order_mark_change_nothing() {
    let text = case_file::template();
    let plain = case_file::read("case.toml", &text).expect("the template is good");
    for (what, changed) in [
        ("carriage returns", text.replace('\n', "\r\n")),
        ("tabs", text.replace(" = ", "\t=\t")),
        ("a byte order mark", format!("\u{feff}{text}")),
        ("no last newline", text.trim_end().to_owned()),
    ] {
        let read = case_file::read("case.toml", &changed).unwrap_or_else(|e| panic!("{what}: {e}"));
        assert_eq!(read, plain, "{what}");
    }
}

#[test]
fn lines_are_counted_alike_with_carriage_returns_and_a_byte_order_mark() {
    let bad = case_file::template().replace("stature = \"176 cm\"", "stature = 176");
    let line = problems(bad.as_bytes()).problems[0].line;
    assert_eq!(problems(bad.replace('\n', "\r\n").as_bytes()).problems[0].line, line);
    assert_eq!(problems(format!("\u{feff}{bad}").as_bytes()).problems[0].line, line);
}

#[test]
fn deep_nesting_is_refused_and_does_not_overflow() {
    for deep in [
        format!("a = {}", "[".repeat(50_000)),
        format!("a = {}", "{ b = ".repeat(20_000)),
        format!("[{}]", vec!["a"; 50_000].join(".")),
        format!("{} = 1", vec!["a"; 50_000].join(".")),
    ] {
        assert!(!problems(deep.as_bytes()).problems.is_empty());
    }
}

fn sensible(bytes: &[u8]) -> bool {
    let lines = bytes.iter().filter(|byte| **byte == b'\n').count() + 1;
    match case_file::read_bytes("case.toml", bytes) {
        Ok(_) => true,
        Err(errors) => are_told_well(&errors, lines) && !errors.to_string().is_empty(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_changed_byte_makes_it_panic(at in any::<prop::sample::Index>(), byte in any::<u8>()) {
        let mut bytes = case_file::template().into_bytes();
        let at = at.index(bytes.len());
        bytes[at] = byte;
        prop_assert!(sensible(&bytes));
    }

    #[test]
    fn no_piece_taken_out_makes_it_panic(at in any::<prop::sample::Index>(), length in 1_usize..400) {
        let mut bytes = case_file::template().into_bytes();
        let at = at.index(bytes.len());
        bytes.drain(at..(at + length).min(bytes.len()));
        prop_assert!(sensible(&bytes));
    }

    #[test]
    fn no_line_moved_elsewhere_makes_it_panic(from in any::<prop::sample::Index>(), to in any::<prop::sample::Index>()) {
        let template = case_file::template();
        let mut lines: Vec<&str> = template.lines().filter(|line| !line.starts_with('#')).collect();
        let line = lines.remove(from.index(lines.len()));
        lines.insert(to.index(lines.len()), line);
        prop_assert!(sensible(lines.join("\n").as_bytes()));
    }

    #[test]
    fn no_value_put_for_another_makes_it_panic(
        at in any::<prop::sample::Index>(),
        value in prop::sample::select(vec![
            "1", "-1", "1e308", "nan", "inf", "true", "\"\"", "\"x\"", "\"-1 cm\"", "\"1e9 cm\"", "[]", "[[]]",
            "{}", "{ value = 1 }", "{ on = 2026-01-01 }", "2026-02-03", "9999-12-31", "0001-01-01",
            "\"not assessed\"", "9223372036854775807", "{ left = {}, right = [] }",
        ]),
    ) {
        let template = case_file::template();
        let mut lines: Vec<String> = template.lines().map(str::to_owned).collect();
        let places: Vec<usize> = (0..lines.len()).filter(|i| !lines[*i].starts_with('#') && lines[*i].contains(" = ")).collect();
        let line = places[at.index(places.len())];
        let key = lines[line].split(" = ").next().unwrap_or_default().to_owned();
        lines[line] = format!("{key} = {value}");
        prop_assert!(sensible(lines.join("\n").as_bytes()));
    }

    #[test]
    fn no_text_at_all_makes_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        prop_assert!(sensible(&bytes));
    }
}
