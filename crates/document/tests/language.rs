//! The tables of sentences: the same in every language, short, easy, and written as the language wants.

use std::collections::BTreeMap;

use document::language::{Language, words};
use document::{readability, syllables};
use jiff::civil::date;

fn source(language: Language) -> toml::Table {
    let text = match language {
        Language::English => include_str!("../../../assets/language/en.toml"),
        Language::French => include_str!("../../../assets/language/fr.toml"),
        Language::Spanish => include_str!("../../../assets/language/es.toml"),
    };
    text.parse().expect("a table of sentences is TOML")
}

/// Every string of a value, with its key.
fn strings(key: &str, value: &toml::Value, out: &mut Vec<(String, String)>) {
    match value {
        toml::Value::String(text) => out.push((key.to_owned(), text.clone())),
        toml::Value::Array(all) => {
            for (k, one) in all.iter().enumerate() {
                strings(&format!("{key}.{k}"), one, out);
            }
        }
        toml::Value::Table(table) => {
            for (name, one) in table {
                strings(&format!("{key}.{name}"), one, out);
            }
        }
        _ => panic!("`{key}` is no sentence"),
    }
}

fn tables(language: Language) -> BTreeMap<String, Vec<(String, String)>> {
    source(language)
        .iter()
        .map(|(name, value)| {
            let mut out = Vec::new();
            strings(name, value, &mut out);
            (name.clone(), out)
        })
        .collect()
}

/// Tables of names, labels and single words, which make no text to be read.
const NO_TEXT: [&str; 4] = ["names", "directions", "toward", "contacts"];

/// What a sentence looks like when it is filled: a number for each place.
fn filled(text: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in text.chars() {
        match c {
            '{' => (inside, out) = (true, out + "4"),
            '}' => inside = false,
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out
}

#[test]
fn all_languages_load_and_have_the_same_keys_and_the_same_places_to_fill() {
    let places = |text: &str| {
        let mut all: Vec<String> =
            text.split('{').skip(1).filter_map(|rest| Some(rest.split_once('}')?.0.to_owned())).collect();
        all.sort();
        all
    };
    let of = |language: Language| -> BTreeMap<String, Vec<String>> {
        tables(language).into_values().flatten().map(|(key, text)| (key, places(&text))).collect()
    };
    let english = of(Language::English);
    for language in Language::ALL {
        assert!(!words(language).sheet.title.is_empty());
        assert_eq!(of(language), english, "{language}");
    }
}

#[test]
fn every_table_reads_easily() {
    for language in Language::ALL {
        for (name, all) in tables(language).iter().filter(|(name, _)| !NO_TEXT.contains(&name.as_str())) {
            let text: Vec<String> = all.iter().map(|(_, text)| filled(text)).collect();
            let found = readability(&text.join(". "), language);
            assert!(found.is_easy(), "{language}, [{name}]: {:.1}", found.score);
        }
    }
}

#[test]
fn every_sentence_has_at_most_twelve_words() {
    for language in Language::ALL {
        for (key, text) in tables(language).values().flatten() {
            let found = readability(&filled(text), language);
            assert!(found.longest <= 12, "{language}, {key}: {} words in `{text}`", found.longest);
        }
    }
}

/// One owner: what the sheet says stands in the table of the sheet, and the page takes it from there. A label of one or
/// two words may be the same in two places and mean two things.
#[test]
fn no_sentence_of_the_page_stands_in_another_table() {
    for language in Language::ALL {
        let all = tables(language);
        for (key, text) in all["page"].iter().filter(|(_, text)| text.split_whitespace().count() > 2) {
            let others = all.iter().filter(|(name, _)| *name != "page").flat_map(|(_, sentences)| sentences);
            let twice: Vec<&String> = others.filter(|(_, other)| other == text).map(|(key, _)| key).collect();
            assert!(twice.is_empty(), "{language}: {key} is {twice:?}");
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
        for (key, text) in tables(language).values().flatten() {
            let low = text.to_lowercase();
            assert!(forbidden.iter().all(|word| !low.contains(word)), "{language}, {key}: {text}");
        }
    }
}

#[test]
fn french_has_a_no_break_space_before_high_punctuation_and_the_others_have_none() {
    for (key, text) in tables(Language::French).values().flatten() {
        let letters: Vec<char> = text.chars().collect();
        for (k, c) in letters.iter().enumerate().filter(|(_, c)| ":;!?%".contains(**c)) {
            assert!(k > 0 && letters[k - 1] == '\u{a0}', "{key}: no no-break space before `{c}` in `{text}`");
        }
    }
    for language in [Language::English, Language::Spanish] {
        for (key, text) in tables(language).values().flatten() {
            assert!(!text.contains(" :") && !text.contains("\u{a0}:"), "{language}, {key}");
        }
    }
}

#[test]
fn a_sentence_of_a_side_names_that_side_and_not_the_other() {
    let sides = |language: Language| match language {
        Language::English => [&["LEFT", "left"][..], &["RIGHT", "right"]],
        Language::French => [&["GAUCHE", "gauche"][..], &["DROIT", "DROITE", "droite"]],
        Language::Spanish => {
            [&["IZQUIERDO", "IZQUIERDA", "izquierda"][..], &["DERECHO", "DERECHA", "derecha"]]
        }
    };
    for language in Language::ALL {
        for (key, text) in tables(language).values().flatten().filter(|(key, _)| !key.starts_with("names.")) {
            let [left, right] = sides(language)
                .map(|words| text.split(|c: char| !c.is_alphabetic()).any(|word| words.contains(&word)));
            if key.ends_with(".left") {
                assert!(left && !right, "{language}, {key}: `{text}`");
            } else if key.ends_with(".right") {
                assert!(right && !left, "{language}, {key}: `{text}`");
            }
        }
    }
}

#[test]
fn dates_are_written_as_each_language_does() {
    let first = date(2026, 12, 1);
    let written = Language::ALL.map(|language| words(language).date(first));
    assert_eq!(written, ["1 December 2026", "1er décembre 2026", "1 de diciembre de 2026"]);
    assert_eq!(words(Language::French).date(date(2026, 8, 12)), "12 août 2026");
    assert_eq!(words(Language::Spanish).short_date(first), "mar 1 dic");
}

/// Words of our sentences with their syllables as pronounced; how the list was made stands in
/// `assets/language/README.md`.
#[test]
fn syllables_are_counted_as_they_are_spoken() {
    let lists = [
        (Language::English, include_str!("data/syllables_en.txt")),
        (Language::French, include_str!("data/syllables_fr.txt")),
        (Language::Spanish, include_str!("data/syllables_es.txt")),
    ];
    for (language, list) in lists {
        let (mut ours, mut spoken, mut wrong, mut words) = (0_usize, 0_usize, 0_usize, 0_usize);
        for line in list.lines().filter(|line| !line.starts_with('#')) {
            let (word, count) = line.rsplit_once(' ').expect("a word and a number");
            let count: usize = count.parse().expect("a number");
            let found = syllables(word, language);
            (ours, spoken, words) = (ours + found, spoken + count, words + 1);
            wrong += usize::from(found != count);
        }
        assert!(words > 350, "{language}: {words} words");
        // At most one word in twenty-five differs, and the sum by less than two in a hundred, never to the
        // side on which a text looks easier than it is by more than one in a hundred.
        assert!(wrong * 25 <= words, "{language}: {wrong} of {words} differ");
        assert!(
            ours * 100 >= spoken * 99 && ours * 100 <= spoken * 102,
            "{language}: {ours} against {spoken}"
        );
    }
}
