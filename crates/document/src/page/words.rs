//! The languages of the practice page, and every sentence of each.

use std::fmt;
use std::str::FromStr;
use std::sync::OnceLock;

use serde_json::Value;
use toml::Table;

use crate::data::RuleBlock;

/// A language of the practice page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PageLanguage {
    /// English.
    English,
    /// French.
    French,
    /// Spanish.
    Spanish,
}

impl PageLanguage {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::English, Self::French, Self::Spanish];

    /// Its code: `en`, `fr`, `es`.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::French => "fr",
            Self::Spanish => "es",
        }
    }
}

impl fmt::Display for PageLanguage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl FromStr for PageLanguage {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let found = Self::ALL.into_iter().find(|language| language.code() == text);
        found.ok_or_else(|| format!("there is no language `{text}`; accepted: en, fr, es"))
    }
}

/// The whole table of one language.
fn table(language: PageLanguage) -> &'static Table {
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
        PageLanguage::English => english,
        PageLanguage::French => french,
        PageLanguage::Spanish => spanish,
    }
}

/// Every sentence but the rules, of which a page carries only this person's.
pub(super) fn of(language: PageLanguage) -> Value {
    let said: Table = table(language)
        .iter()
        .filter(|(name, _)| *name != "rules")
        .map(|(n, v)| (n.clone(), v.clone()))
        .collect();
    serde_json::to_value(said).unwrap_or(Value::Null)
}

/// One sentence of a subject.
pub(super) fn one(language: PageLanguage, subject: &str, name: &str) -> &'static str {
    let found = table(language).get(subject).and_then(|sentences| sentences.get(name));
    found.and_then(toml::Value::as_str).unwrap_or_default()
}

/// The rules of a person, written in English, in another language: each sentence stands at the same place of
/// both tables. One that has no place there stays as it is: a rule is never dropped.
pub(super) fn rules(english: &[RuleBlock], language: PageLanguage) -> Vec<RuleBlock> {
    let [from, to] = [PageLanguage::English, language].map(|one| leaves(&table(one)["rules"]));
    let said = |sentence: &String| {
        let place = from.iter().position(|known| known == sentence);
        place.and_then(|at| to.get(at)).unwrap_or(sentence).clone()
    };
    english
        .iter()
        .map(|block| RuleBlock {
            title: said(&block.title),
            sentences: block.sentences.iter().map(said).collect(),
        })
        .collect()
}

/// Every sentence below a value, in order of the keys.
fn leaves(value: &toml::Value) -> Vec<String> {
    match value {
        toml::Value::String(text) => vec![text.clone()],
        toml::Value::Array(list) => list.iter().flat_map(leaves).collect(),
        toml::Value::Table(table) => table.values().flat_map(leaves).collect(),
        _ => Vec::new(),
    }
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

    fn flat(language: PageLanguage) -> Vec<(String, String)> {
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
        let english = flat(PageLanguage::English);
        for language in PageLanguage::ALL {
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
        let page = table(PageLanguage::English)["page"].as_table().expect("a table");
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

    /// Syllables by groups of vowels, without a mute French `e` at the end: a little more than are spoken, so
    /// that a text never looks easier than it is.
    fn syllables(word: &str, language: PageLanguage) -> usize {
        let letters: Vec<char> = word.to_lowercase().chars().filter(|c| c.is_alphabetic()).collect();
        let vowel = |c: &char| "aeiouyàâéèêëîïôùûüœáíóú".contains(*c);
        let strong = |c: &char| "aeoáéíóú".contains(*c);
        let counted = letters
            .iter()
            .enumerate()
            .filter(|(k, c)| {
                let before = k.checked_sub(1).and_then(|k| letters.get(k)).filter(|c| vowel(c));
                let apart =
                    language == PageLanguage::Spanish && before.is_some_and(|b| strong(b) && strong(c));
                vowel(c) && (before.is_none() || apart)
            })
            .count();
        let mute =
            language == PageLanguage::French && (word.ends_with('e') || word.ends_with("es")) && counted > 1;
        (counted - usize::from(mute)).max(1)
    }

    /// Kandel–Moles for French, Fernández-Huerta for Spanish, both from memory: higher is easier.
    fn ease(text: &str, language: PageLanguage) -> f64 {
        let sentences =
            text.split(['.', '?', '!', ':']).filter(|s| s.chars().any(char::is_alphanumeric)).count();
        let words: Vec<&str> = text
            .split(|c: char| !(c.is_alphanumeric() || c == '\''))
            .filter(|w| w.chars().any(char::is_alphanumeric))
            .collect();
        let counted: usize = words.iter().map(|word| syllables(word, language)).sum();
        #[allow(clippy::cast_precision_loss)] // Texts are short.
        let (s, w, y) = (sentences as f64, words.len() as f64, counted as f64);
        match language {
            PageLanguage::Spanish => 206.84 - 1.02 * w / s - 60.0 * y / w,
            PageLanguage::French | PageLanguage::English => 207.0 - 1.015 * w / s - 73.6 * y / w,
        }
    }

    #[test]
    fn every_table_reads_easily_and_no_sentence_has_more_than_twelve_words() {
        for language in PageLanguage::ALL {
            let all: Vec<String> = flat(language)
                .into_iter()
                .filter(|(name, text)| !name.starts_with(".names") && !text.is_empty())
                .map(|(_, text)| if text.ends_with(['.', '?', ':']) { text } else { format!("{text}.") })
                .collect();
            let text = all.join(" ");
            match language {
                PageLanguage::English => {
                    assert!(readability(&text).grade <= 6.0, "{}", readability(&text).grade)
                }
                _ => assert!(ease(&text, language) >= 70.0, "{language}: {:.1}", ease(&text, language)),
            }
            for sentence in &all {
                let found = readability(sentence);
                assert!(found.longest <= 12, "{language}, {} words: {sentence}", found.longest);
            }
        }
    }

    #[test]
    fn two_texts_worked_by_hand() {
        // One sentence, three words, four syllables (le, ge-nou, gonfl): 207 − 3.045 − 98.133 = 105.82.
        assert!((ease("Le genou gonfle.", PageLanguage::French) - 105.82).abs() < 0.01);
        // One sentence, three words, six syllables (do-ble, la, ro-di-lla): 206.84 − 3.06 − 120 = 83.78.
        assert!((ease("Doble la rodilla.", PageLanguage::Spanish) - 83.78).abs() < 0.01);
    }

    #[test]
    fn nothing_sends_the_reader_to_the_other_side() {
        for (language, forbidden) in [
            (PageLanguage::English, ["other side", "other leg", "repeat"]),
            (PageLanguage::French, ["autre côté", "autre jambe", "répétez"]),
            (PageLanguage::Spanish, ["otra pierna", "otro pie", "repita"]),
        ] {
            for (name, text) in flat(language) {
                let low = text.to_lowercase();
                assert!(forbidden.iter().all(|word| !low.contains(word)), "{language}, `{name}`: {text}");
            }
        }
    }

    #[test]
    fn a_rule_is_said_in_the_language_and_one_without_a_place_stays() {
        let block = RuleBlock {
            title: "Your RIGHT hip is new.".to_owned(),
            sentences: vec!["Do not turn your toes in.".to_owned(), "Something of ours.".to_owned()],
        };
        let said = rules(&[block], PageLanguage::French);
        assert!(said[0].title.contains("hanche DROITE"), "{}", said[0].title);
        assert!(!said[0].sentences[0].contains("toes"));
        assert_eq!(said[0].sentences[1], "Something of ours.");
    }
}
