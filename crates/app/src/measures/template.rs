//! What a measures file looks like, and every test with its key.

use std::fmt::Write as _;

use measurement::{InstrumentKey, MadeFrom, Per};

/// A complete example with a comment on every key. It is read by a test.
#[must_use]
pub fn measures_template() -> String {
    include_str!("template.toml").to_owned()
}

/// Every test: key, unit, what it belongs to, trials, practice, and which protocol fields it needs.
#[must_use]
pub fn tests_list() -> String {
    let mut out = String::new();
    for key in InstrumentKey::all() {
        let test = key.instrument();
        let per = match test.per {
            Per::Person => "whole person",
            Per::Limb => "each limb",
            Per::Direction => "each limb and direction",
        };
        let forms: Vec<String> = test.forms.iter().map(|form| String::from(*form)).collect();
        let given = match test.from {
            MadeFrom::Stored => "total only".to_owned(),
            MadeFrom::Derived => "computed, never typed in".to_owned(),
            _ => format!("{} (practice {})", forms.join(" or "), test.practice),
        };
        let _ = writeln!(out, "{key}: {}; {}, {per}, {given}", test.name, test.unit);
        if let Some(asked) = measurement::item_text(key) {
            let middle = asked.middle.as_ref().map_or(String::new(), |middle| format!("; 5: {middle}"));
            let _ = writeln!(
                out,
                "    asked: {} (lowest: {}{middle}; highest: {})",
                asked.question, asked.low, asked.high
            );
        }
        if !test.needs.is_empty() {
            let _ = writeln!(out, "    protocol: {}", test.needs.join(", "));
        }
    }
    out
}
