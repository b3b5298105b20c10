//! How hard a text is to read: length of sentences and of words, by the usual formula of each language.

mod syllables;

use crate::language::Language;

pub use syllables::syllables;

/// What a text asks of its reader.
#[derive(Clone, Debug, PartialEq)]
pub struct Readability {
    /// The language it was measured in.
    pub language: Language,
    /// English: Flesch–Kincaid grade, lower is easier. French: Kandel–Moles, Spanish: Fernández-Huerta,
    /// both higher is easier.
    pub score: f64,
    /// Words in the longest sentence.
    pub longest: usize,
    /// That sentence.
    pub longest_sentence: String,
}

/// Highest grade of an English text for patients.
const GRADE_AT_MOST: f64 = 6.0;
/// Least ease of a French or Spanish text for patients.
const EASE_AT_LEAST: f64 = 70.0;

impl Readability {
    /// Whether somebody who left school at about twelve reads it without effort: English grade 6 or
    /// below, French and Spanish 70 or above. Formulas, not readers: they know nothing of sense.
    #[must_use]
    pub fn is_easy(&self) -> bool {
        match self.language {
            Language::English => self.score <= GRADE_AT_MOST,
            Language::French | Language::Spanish => self.score >= EASE_AT_LEAST,
        }
    }
}

/// Measures a text. Sentences end at `.`, `?`, `!` or `:`. With words a sentence `w` and syllables a
/// word `y`:
///
/// - English, Flesch–Kincaid (Kincaid et al. 1975): `0.39·w + 11.8·y − 15.59`
/// - French, Kandel and Moles 1958: `207 − 1.015·w − 73.6·y`
/// - Spanish, Fernández Huerta 1959: `206.84 − 1.02·w − 60·y`
///
/// The last two are taken from memory of the trade, not from the papers; other printings of the
/// Spanish one count syllables in a hundred words, which is the same.
#[must_use]
pub fn readability(text: &str, language: Language) -> Readability {
    let sentences: Vec<&str> = text
        .split(['.', '?', '!', ':', '\n'])
        .map(str::trim)
        .filter(|s| s.chars().any(char::is_alphanumeric))
        .collect();
    let words_of = |sentence: &str| sentence.split_whitespace().filter(|w| has_letter(w)).count();
    let words: Vec<&str> =
        text.split(|c: char| !(c.is_alphanumeric() || c == '\'')).filter(|w| has_letter(w)).collect();
    let counted: usize = words.iter().map(|w| syllables(w, language)).sum();
    let longest_sentence = sentences.iter().max_by_key(|s| words_of(s)).copied().unwrap_or_default();
    #[allow(clippy::cast_precision_loss)] // Texts are short.
    let (s, w, y) = (sentences.len().max(1) as f64, words.len().max(1) as f64, counted as f64);
    let (words_a_sentence, syllables_a_word) = (w / s, y / w);
    Readability {
        language,
        score: match language {
            Language::English => 0.39 * words_a_sentence + 11.8 * syllables_a_word - 15.59,
            Language::French => 207.0 - 1.015 * words_a_sentence - 73.6 * syllables_a_word,
            Language::Spanish => 206.84 - 1.02 * words_a_sentence - 60.0 * syllables_a_word,
        },
        longest: words_of(longest_sentence),
        longest_sentence: longest_sentence.to_owned(),
    }
}

fn has_letter(word: &str) -> bool {
    word.chars().any(char::is_alphanumeric)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_worked_by_hand() {
        // Two sentences, six words, six syllables: 0.39·3 + 11.8·1 − 15.59 = −2.62.
        let found = readability("Stand up tall. Sit down slow.", Language::English);
        assert!((found.score + 2.62).abs() < 0.01, "{}", found.score);
        assert_eq!(found.longest, 3);
        // One sentence, three words, four syllables (le, ge-nou, gonfl): 207 − 3.045 − 98.133 = 105.82.
        let found = readability("Le genou gonfle.", Language::French);
        assert!((found.score - 105.82).abs() < 0.01, "{}", found.score);
        // One sentence, three words, six syllables (do-ble, la, ro-di-lla): 206.84 − 3.06 − 120 = 83.78.
        let found = readability("Doble la rodilla.", Language::Spanish);
        assert!((found.score - 83.78).abs() < 0.01, "{}", found.score);
    }
}
