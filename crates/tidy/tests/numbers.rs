//! A number that decides something clinical stands in `reference/`, not in code.
//!
//! A heuristic: in the crates that decide about people, shipped code may hold small whole numbers
//! for counting, halves, the calendar, tolerances of arithmetic (`1e-9`) and lengths of arrays.
//! Every other literal is a figure until it is listed here with what it is. Small whole numbers
//! can hide a figure too (`3` exercises); those are for a reader to find.

use tidy::source::{line_of, shipped};
use tidy::{files, none, shipped_files, text};

/// The crates in which a literal is suspicious.
const DECIDING: [&str; 5] = ["person", "measurement", "safety", "programme", "progress"];

/// Numbers that mean nothing clinical wherever they stand.
const HARMLESS: [&str; 17] = [
    "0", "1", "2", "3", "4", "8", "0.0", "0.5", "1.0", "2.0", "100",
    "100.0", // counting, halves, per cent
    "7", "7.0", "12", "60", "60.0", // days a week, months, minutes and seconds
];

/// Numbers that are known: the file, the literal, what it is.
const KNOWN: [(&str, &str, &str); 16] = [
    ("measurement/src/protocol.rs", "400", "letters of a free answer about the protocol"),
    ("measurement/src/change/words.rs", "0.99", "above it a probability is said as `more than 99 %`"),
    ("measurement/src/change/words.rs", "0.01", "below it a probability is said as `less than 1 %`"),
    ("measurement/src/norm/answer.rs", "99.0", "above it a percentile is said as `more than 99`"),
    ("progress/src/words.rs", "99.0", "no probability is said to be larger"),
    ("person/src/case_file/limits.rs", "262144", "bytes of the largest file that is read"),
    ("person/src/case_file/limits.rs", "160", "letters in a sentence of a case file"),
    ("person/src/case_file/limits.rs", "64", "letters compared when a misspelt key is looked up"),
    ("person/src/case_file/limits.rs", "20", "lines that are not TOML told at once"),
    ("person/src/case_file/limits.rs", "200", "problems told at once"),
    (
        "programme/src/reference.rs",
        "3650.0",
        "ten years: guards against a mistyped number of days in a table",
    ),
    ("programme/src/plan.rs", "0.05", "kilograms: two hand weights count as the same"),
    ("programme/src/conflict.rs", "10", "goals in a table that doubles with each"),
    ("programme/src/reference.rs", "1e9", "guards against a mistyped count of nodes in a table"),
    ("programme/src/choose.rs", "8", "settings of the thresholds before the search: cost, never its answer"),
    ("programme/src/words.rs", "5.0", "an estimated share is said in steps of five per cent"),
];

/// Invented problems for benches and comparisons: no person's programme is made from them.
const INVENTED: &str = "programme/src/trial.rs";

/// Formulae of statistics: their constants are mathematics, each with its source beside it.
const MATHEMATICS: [&str; 2] = ["measurement/src/statistics", "measurement/src/series"];

/// The numeric literals of shipped code, with the byte at which each begins.
fn literals(code: &str) -> Vec<(usize, String)> {
    let bytes = code.as_bytes();
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let before = at.checked_sub(1).map_or(b' ', |b| bytes[b]);
        let inside_a_word = before.is_ascii_alphanumeric() || before == b'_' || before >= 0x80;
        // `pair.0` names a field, `0..3` is a range.
        let field = before == b'.' && !(at >= 2 && bytes[at - 2] == b'.');
        if !bytes[at].is_ascii_digit() || inside_a_word || field {
            at += 1;
            continue;
        }
        let start = at;
        while at < bytes.len() {
            let c = bytes[at];
            let point = c == b'.' && bytes.get(at + 1).is_some_and(u8::is_ascii_digit);
            let exponent_sign = matches!(c, b'+' | b'-') && bytes[at - 1] == b'e';
            if !(c.is_ascii_alphanumeric() || c == b'_' || point || exponent_sign) {
                break;
            }
            at += 1;
        }
        found.push((start, plain(&code[start..at])));
    }
    found
}

/// A literal without separators and type suffix.
fn plain(literal: &str) -> String {
    let text = literal.replace('_', "");
    ["usize", "u8", "u16", "u32", "u64", "i8", "i16", "i32", "i64", "f64", "f32"]
        .iter()
        .find_map(|suffix| text.strip_suffix(suffix))
        .unwrap_or(&text)
        .to_owned()
}

#[test]
fn no_figure_hides_in_the_code_that_decides_about_people() {
    let mut complaints = Vec::new();
    for path in DECIDING
        .into_iter()
        .flat_map(shipped_files)
        .filter(|p| !p.ends_with(INVENTED) && !MATHEMATICS.iter().any(|m| p.contains(m)))
    {
        let code = shipped(&text(&path).expect("Rust source is text"));
        for (at, literal) in literals(&code) {
            let array = code[..at].trim_end().ends_with(';') && code[at + literal.len()..].starts_with(']');
            let tolerance = literal.starts_with("1e-");
            let harmless = array || tolerance || HARMLESS.contains(&literal.as_str());
            let known = KNOWN.iter().any(|(file, number, _)| path.ends_with(file) && *number == literal);
            if !harmless && !known {
                complaints.push(format!("{path}:{}: {literal}", line_of(&code, at)));
            }
        }
    }
    none("give the number a row in reference/, or list it in this test with what it is", &complaints);
}

#[test]
fn every_known_number_is_still_where_it_is_said_to_be() {
    let gone: Vec<String> = KNOWN
        .iter()
        .filter(|(file, number, _)| {
            !files("crates").iter().filter(|path| path.ends_with(file)).any(|path| {
                let code = shipped(&text(path).expect("Rust source is text"));
                literals(&code).iter().any(|(_, literal)| literal == number)
            })
        })
        .map(|(file, number, what)| format!("{file}: {number} ({what})"))
        .collect();
    none("take these off the list", &gone);
}

#[test]
fn the_scan_finds_literals_and_nothing_that_only_looks_like_one() {
    let found = |code: &str| literals(code).into_iter().map(|(_, literal)| literal).collect::<Vec<_>>();
    assert_eq!(found("let a = 12.5_f64 + 1e-3 * b.0 - x2;"), ["12.5", "1e-3"]);
    assert_eq!(found("for i in 0..1_000 { f(i, 0x7f) }"), ["0", "1000", "0x7f"]);
}
