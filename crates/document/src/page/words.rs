//! The sentences that a page carries: those of the sheet that it says too, and its own.

use serde_json::{Value, json};

use crate::data::Section;
use crate::language::{Language, words};

/// What the script of the page reads, by subject.
pub(super) fn of(language: Language, before: &Section) -> Value {
    let words = words(language);
    json!({
        "names": words.names,
        "directions": words.directions,
        "toward": words.toward,
        "sheet": words.sheet,
        "dose": words.dose,
        "before": { "title": before.title, "sentences": before.sentences },
        "pictures": words.pictures,
        "stop": words.stop,
        "next_day": words.next_day,
        "seen_today": words.seen_today,
        "emergency": words.emergency,
        "call": words.call,
        "families": words.families,
        "limb": words.limb,
        "hands": words.hands,
        "page": words.page,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// Every name that follows this in the scripts, as in `page.title`.
    fn asked(scripts: &str, before: &str) -> BTreeSet<String> {
        let name = |rest: &str| -> String {
            rest.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '_').collect()
        };
        let mut out = BTreeSet::new();
        for (at, _) in scripts.match_indices(before) {
            let alone = !scripts[..at].ends_with(|c: char| c.is_ascii_alphanumeric() || c == '_');
            let name = name(&scripts[at + before.len()..]);
            // A sentence of a comment may end with the word.
            if alone && !name.is_empty() {
                out.insert(name);
            }
        }
        out
    }

    #[test]
    fn the_script_says_every_sentence_of_the_page_and_asks_for_no_other() {
        let scripts = super::super::file::scripts();
        for language in Language::ALL {
            let known: BTreeSet<String> =
                words(language).page.names().filter(|name| *name != "no_script").map(str::to_owned).collect();
            assert_eq!(asked(&scripts, "page."), known, "{language}");
        }
    }

    #[test]
    fn the_script_asks_for_no_subject_that_is_not_there() {
        let scripts = super::super::file::scripts();
        let section = Section { title: String::new(), sentences: Vec::new() };
        let carried = of(Language::English, &section);
        for subject in asked(&scripts, "words.") {
            assert!(carried.get(&subject).is_some(), "`words.{subject}`");
        }
        for (subject, names) in ["sheet", "before", "next_day", "names", "call"]
            .map(|subject| (subject, asked(&scripts, &format!("words.{subject}."))))
        {
            for name in names {
                assert!(carried[subject].get(&name).is_some(), "`words.{subject}.{name}`");
            }
        }
    }
}
