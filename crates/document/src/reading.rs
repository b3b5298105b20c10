//! How hard a text is to read: sentence length and the Flesch–Kincaid grade.

/// What a text asks of its reader.
#[derive(Clone, Debug, PartialEq)]
pub struct Readability {
    /// Flesch–Kincaid grade level (Kincaid et al. 1975): `0.39·words/sentences + 11.8·syllables/words − 15.59`.
    pub grade: f64,
    /// Words in the longest sentence.
    pub longest: usize,
    /// That sentence.
    pub longest_sentence: String,
}

/// Measures a text. Sentences end at `.`, `?`, `!` or `:`; syllables are counted by rule (groups
/// of vowels, silent final `e`), which is the usual approximation.
#[must_use]
pub fn readability(text: &str) -> Readability {
    let sentences: Vec<&str> =
        text.split(['.', '?', '!', ':', '\n']).map(str::trim).filter(|s| !s.is_empty()).collect();
    let words_of = |sentence: &str| sentence.split_whitespace().filter(|w| has_letter(w)).count();
    let words: Vec<&str> =
        text.split(|c: char| !(c.is_alphanumeric() || c == '\'')).filter(|w| has_letter(w)).collect();
    let syllables: usize = words.iter().map(|w| syllables(w)).sum();
    let longest_sentence = sentences.iter().max_by_key(|s| words_of(s)).copied().unwrap_or_default();
    #[allow(clippy::cast_precision_loss)]
    let (s, w, y) = (sentences.len().max(1) as f64, words.len().max(1) as f64, syllables as f64);
    Readability {
        grade: 0.39 * w / s + 11.8 * y / w - 15.59,
        longest: words_of(longest_sentence),
        longest_sentence: longest_sentence.to_owned(),
    }
}

fn has_letter(word: &str) -> bool {
    word.chars().any(char::is_alphanumeric)
}

fn syllables(word: &str) -> usize {
    let word = word.to_lowercase();
    let letters: Vec<char> = word.chars().filter(|c| c.is_alphabetic()).collect();
    let vowel = |c: char| matches!(c, 'a' | 'e' | 'i' | 'o' | 'u' | 'y');
    let groups =
        letters.iter().enumerate().filter(|(k, c)| vowel(**c) && (*k == 0 || !vowel(letters[k - 1]))).count();
    let silent = match letters.as_slice() {
        // `table`: the last syllable is heard.
        [.., before, 'l', 'e'] if !vowel(*before) => false,
        [_, .., before, 'e'] => !vowel(*before),
        _ => false,
    };
    (groups - usize::from(silent && groups > 1)).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn syllables_of_known_words() {
        for (word, count) in [
            ("step", 1),
            ("middle", 2),
            ("muscles", 2),
            ("forward", 2),
            ("emergency", 4),
            ("come", 1),
            ("table", 2),
        ] {
            assert_eq!(syllables(word), count, "{word}");
        }
    }

    #[test]
    fn a_text_worked_by_hand() {
        // Two sentences, six words, six syllables: 0.39·3 + 11.8·1 − 15.59 = −2.62.
        let found = readability("Stand up tall. Sit down slow.");
        assert!((found.grade + 2.62).abs() < 0.01, "{}", found.grade);
        assert_eq!(found.longest, 3);
    }
}
