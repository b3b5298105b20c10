//! The languages of the practice page, and every sentence of each.

use std::sync::OnceLock;

use serde_json::Value;
use toml::Table;

use crate::language::Language;

/// The whole table of one language.
fn table(language: Language) -> &'static Table {
    static ALL: OnceLock<[Table; 3]> = OnceLock::new();
    // Our own tables: a test reads every one of them.
    let read = |text: &str| text.parse().unwrap_or_else(|error| panic!("assets/practice/words: {error}"));
    let [english, french, spanish] = ALL.get_or_init(|| {
        [
            include_str!("../../../../assets/practice/words/en.toml"),
            include_str!("../../../../assets/practice/words/fr.toml"),
            include_str!("../../../../assets/practice/words/es.toml"),
        ]
        .map(read)
    });
    match language {
        Language::English => english,
        Language::French => french,
        Language::Spanish => spanish,
    }
}

/// Every sentence.
pub(super) fn of(language: Language) -> Value {
    serde_json::to_value(table(language)).unwrap_or(Value::Null)
}

/// One sentence of a subject.
pub(super) fn one(language: Language, subject: &str, name: &str) -> &'static str {
    let found = table(language).get(subject).and_then(|sentences| sentences.get(name));
    found.and_then(toml::Value::as_str).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::readability;

    fn walk(name: &str, value: &toml::Value, out: &mut Vec<(String, String)>) {
        match value {
            toml::Value::String(text) => out.push((name.to_owned(), text.clone())),
            toml::Value::Array(list) => {
                list.iter().enumerate().for_each(|(place, one)| walk(&format!("{name}.{place}"), one, out));
            }
            toml::Value::Table(table) => {
                table.iter().for_each(|(part, one)| walk(&format!("{name}.{part}"), one, out));
            }
            _ => {}
        }
    }

    fn flat(language: Language) -> Vec<(String, String)> {
        let mut out = Vec::new();
        walk("", &toml::Value::Table(table(language).clone()), &mut out);
        out
    }

    /// The names between braces, in order of the alphabet.
    fn braces(text: &str) -> Vec<&str> {
        let mut out: Vec<&str> =
            text.split('{').skip(1).filter_map(|rest| rest.split_once('}').map(|(name, _)| name)).collect();
        out.sort_unstable();
        out
    }

    #[test]
    fn every_language_says_the_same_things_with_the_same_values() {
        let english = flat(Language::English);
        for language in Language::ALL {
            let words = flat(language);
            for ((name, said), (wanted, text)) in words.iter().zip(&english) {
                assert_eq!(name, wanted, "{language}");
                assert_eq!(braces(said), braces(text), "{language}, `{name}`");
                assert_eq!(said.is_empty(), text.is_empty(), "{language}, `{name}`");
            }
            assert_eq!(words.len(), english.len(), "{language}");
        }
    }

    #[test]
    fn every_sentence_of_the_page_is_said_somewhere() {
        let scripts = super::super::file::scripts();
        let page = table(Language::English)["page"].as_table().expect("a table");
        let unsaid: Vec<&String> = page
            .keys()
            .filter(|name| {
                !(scripts.contains(&format!("page.{name}"))
                    || name.starts_with("which_")
                    || *name == "no_script")
            })
            .collect();
        assert!(unsaid.is_empty(), "nobody says {unsaid:?}");
    }

    #[test]
    fn every_table_reads_easily_and_no_sentence_has_more_than_twelve_words() {
        for language in Language::ALL {
            let all: Vec<String> = flat(language)
                .into_iter()
                .filter(|(name, text)| !name.starts_with(".names") && !text.is_empty())
                .map(|(_, text)| if text.ends_with(['.', '?', ':']) { text } else { format!("{text}.") })
                .collect();
            let text = all.join(" ");
            let found = readability(&text, language);
            assert!(found.is_easy(), "{language}: {:.1}", found.score);
            for sentence in &all {
                let found = readability(sentence, language);
                assert!(found.longest <= 12, "{language}, {} words: {sentence}", found.longest);
            }
        }
    }

    #[test]
    fn nothing_sends_the_reader_to_the_other_side() {
        for (language, forbidden) in [
            (Language::English, ["other side", "other leg", "repeat"]),
            (Language::French, ["autre côté", "autre jambe", "répétez"]),
            (Language::Spanish, ["otra pierna", "otro pie", "repita"]),
        ] {
            for (name, text) in flat(language) {
                let low = text.to_lowercase();
                assert!(forbidden.iter().all(|word| !low.contains(word)), "{language}, `{name}`: {text}");
            }
        }
    }
}
