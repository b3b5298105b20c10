//! Checks before typesetting that the typeface has every letter.

use std::collections::BTreeMap;

use super::PdfError;
use super::world::fonts;
use crate::data::Handout;

/// Whether both faces of the typeface have a letter.
fn has(letter: char) -> bool {
    fonts().iter().all(|font| font.info().coverage.contains(letter as u32))
}

/// Whether the typeface has every letter of a text.
pub(super) fn has_all(text: &str) -> bool {
    text.chars().filter(|c| !c.is_control()).all(has)
}

/// Letters the typeface lacks, with the texts they stand in.
fn missing(texts: &[(&str, &str)]) -> BTreeMap<char, String> {
    let mut out = BTreeMap::new();
    for (place, text) in texts {
        for letter in text.chars().filter(|c| !c.is_control()) {
            if !has(letter) {
                out.entry(letter).or_insert_with(|| (*place).to_owned());
            }
        }
    }
    out
}

/// Everything in a handout that comes from outside; our own sentences are covered by a test.
fn foreign(handout: &Handout) -> Vec<(&'static str, &str)> {
    let mut out = vec![("the person's name", handout.person.as_str())];
    for contact in &handout.contacts {
        out.push(("the clinic's lines", contact.label.as_str()));
        out.extend(contact.value.as_deref().map(|value| ("the clinic's lines", value)));
    }
    if let Some(interpreter) = &handout.interpreter {
        out.push(("the name of the language", interpreter.label.as_str()));
    }
    for rules in &handout.rules {
        out.push(("the rules", rules.title.as_str()));
        out.extend(rules.sentences.iter().map(|s| ("the rules", s.as_str())));
    }
    out
}

pub(super) fn check(handout: &Handout) -> Result<(), PdfError> {
    report(missing(&foreign(handout)))
}

/// The same for a paper that takes nothing but the name from outside.
pub(super) fn check_name(person: &str) -> Result<(), PdfError> {
    report(missing(&[("the person's name", person)]))
}

/// Names every letter of these texts that the typeface lacks.
pub(super) fn check_texts(texts: &[(&str, &str)]) -> Result<(), PdfError> {
    report(missing(texts))
}

fn report(missing: BTreeMap<char, String>) -> Result<(), PdfError> {
    if missing.is_empty() {
        return Ok(());
    }
    let letters = missing.keys().map(|c| format!("`{c}`")).collect::<Vec<_>>().join(", ");
    let mut places: Vec<String> = missing.into_values().collect();
    places.sort();
    places.dedup();
    Err(PdfError::MissingLetters { letters, places: places.join(", ") })
}
