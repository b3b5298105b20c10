//! How many syllables a word has, by the rules of spelling of its language.

use crate::language::Language;

/// Syllables of one word as it is spoken, at least one.
///
/// Rules of spelling, with the words they get wrong listed. A mute `e` at the end of a French word is
/// not counted, one inside a word is, so that a text never looks easier than it is. Spanish follows
/// the rules of its accents. Numbers count as one. A test compares all words of our sentences
/// with counts made from pronunciations.
#[must_use]
pub fn syllables(word: &str, language: Language) -> usize {
    let word = word.to_lowercase();
    let letters: Vec<char> = word.chars().filter(|c| c.is_alphabetic()).collect();
    let counted = match language {
        Language::English => english(&letters),
        Language::French => french(&letters),
        Language::Spanish => spanish(&letters),
    };
    counted.max(1)
}

/// Whether the letters end so.
fn ends(letters: &[char], end: &str) -> bool {
    let end: Vec<char> = end.chars().collect();
    letters.ends_with(&end)
}

/// English words that the rules get wrong, with their syllables.
const ENGLISH: [(&str, usize); 12] = [
    ("area", 3),
    ("being", 2),
    ("every", 2),
    ("exercise", 3),
    ("exercises", 4),
    ("going", 2),
    ("idea", 3),
    ("people", 2),
    ("someone", 2),
    ("something", 2),
    ("sometimes", 2),
    ("therapist", 3),
];

fn english(letters: &[char]) -> usize {
    let word: String = letters.iter().collect();
    if let Some((_, known)) = ENGLISH.iter().find(|(one, _)| *one == word) {
        return *known;
    }
    let vowel = |c: char| matches!(c, 'a' | 'e' | 'i' | 'o' | 'u' | 'y');
    let groups =
        letters.iter().enumerate().filter(|(k, c)| vowel(**c) && (*k == 0 || !vowel(letters[k - 1]))).count();
    let silent = match letters {
        // `table`: the last syllable is heard.
        [.., before, 'l', 'e'] if !vowel(*before) => false,
        // `stopped`, but `lifted`.
        [_, .., before, 'e', 'd'] => !vowel(*before) && !matches!(before, 't' | 'd'),
        // `muscles`.
        [.., before, 'l', 'e', 's'] if !vowel(*before) => false,
        // `likes`, but `edges`, `raises`.
        [_, .., before, 'e', 's'] => !vowel(*before) && !matches!(before, 's' | 'x' | 'z' | 'c' | 'g' | 'h'),
        [_, .., before, 'e'] => !vowel(*before),
        _ => false,
    };
    groups - usize::from(silent && groups > 1)
}

fn french(letters: &[char]) -> usize {
    let spoken = |c: char| "aàâeéèêëiîïoôuùûüyœæ".contains(c);
    let at = |k: usize| letters.get(k).copied().unwrap_or(' ');
    let is_vowel = |k: usize| {
        let c = at(k);
        let between = k > 0 && spoken(at(k - 1)) && spoken(at(k + 1));
        match c {
            // `qu`, and `gu` before a light vowel: no sound of its own.
            'u' if k > 0 && at(k - 1) == 'q' => false,
            'u' if k > 0 && at(k - 1) == 'g' && "eéèêiy".contains(at(k + 1)) => false,
            // `voyez`, `yeux`: a consonant.
            'y' if between || (k == 0 && spoken(at(1))) => false,
            _ => spoken(c),
        }
    };
    let mut count: usize = 0;
    for k in 0..letters.len() {
        if !is_vowel(k) {
            continue;
        }
        let follows_vowel = k > 0 && is_vowel(k - 1);
        let hiatus = match (follows_vowel.then(|| at(k - 1)), at(k)) {
            // `plier`, `plié`: no glide after two consonants; but `arrière`.
            (Some('i'), c)
                if k >= 3
                    && !is_vowel(k - 2)
                    && !is_vowel(k - 3)
                    && at(k - 2) != at(k - 3)
                    && "lr".contains(at(k - 2)) =>
            {
                c != 'e' || k + 1 < letters.len()
            }
            // `coaguler`.
            (Some('o'), 'a') => true,
            // `réel`, `déambuler`; but `journée`, `levées`.
            (Some('é'), c) => c != 'e' || k + 2 < letters.len() && at(k + 1) != 's',
            (Some(_), 'ï' | 'ë' | 'é') => !matches!(at(k - 1), 'i' | 'u'),
            _ => false,
        };
        if !follows_vowel || hiatus {
            count += 1;
        }
    }
    let last_vowel_alone = |k: usize| is_vowel(k) && (k == 0 || !is_vowel(k - 1));
    let n = letters.len();
    let mute = (ends(letters, "e") && n >= 2 && last_vowel_alone(n - 1))
        || (ends(letters, "es") && n >= 3 && last_vowel_alone(n - 2));
    count - usize::from(mute && count > 1)
}

fn spanish(letters: &[char]) -> usize {
    let strong = |c: char| "aeoáéóíú".contains(c);
    let weak = |c: char| "iuü".contains(c);
    let at = |k: usize| letters.get(k).copied().unwrap_or(' ');
    let mut count = 0;
    let mut strong_in_group = 0_usize;
    let mut in_group = false;
    for k in 0..=letters.len() {
        let c = at(k);
        // `que`, `guía`: the u is not heard; `muy`: the y is.
        let silent =
            c == 'u' && k > 0 && (at(k - 1) == 'q' || at(k - 1) == 'g') && "eiéí".contains(at(k + 1));
        let final_y = c == 'y' && k + 1 == letters.len();
        if (strong(c) || weak(c) || final_y) && !silent {
            in_group = true;
            strong_in_group += usize::from(strong(c));
        } else if in_group && !(c == 'h' && k + 1 < letters.len()) {
            count += strong_in_group.max(1);
            (in_group, strong_in_group) = (false, 0);
        }
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counts by hand.
    #[test]
    fn syllables_of_known_words() {
        let all: [(Language, &[(&str, usize)]); 3] = [
            (
                Language::English,
                &[
                    ("step", 1),
                    ("middle", 2),
                    ("muscles", 2),
                    ("forward", 2),
                    ("emergency", 4),
                    ("come", 1),
                    ("table", 2),
                ],
            ),
            (
                Language::French,
                &[
                    ("le", 1),
                    ("genou", 2),
                    ("gonfle", 1),
                    ("jambes", 1),
                    ("pliez", 2),
                    ("voyez", 2),
                    ("quelqu'un", 2),
                    ("derrière", 2),
                    ("cheville", 2),
                    ("urgences", 2),
                    ("journée", 2),
                    ("main", 1),
                    ("pied", 1),
                    ("août", 1),
                ],
            ),
            (
                Language::Spanish,
                &[
                    ("pie", 1),
                    ("rodilla", 3),
                    ("guía", 2),
                    ("quédese", 3),
                    ("atrás", 2),
                    ("izquierda", 3),
                    ("caerse", 3),
                    ("día", 2),
                    ("muy", 1),
                    ("ahora", 3),
                    ("y", 1),
                    ("cuánto", 2),
                    ("rueda", 2),
                    ("articulación", 5),
                ],
            ),
        ];
        for (language, words) in all {
            for (word, count) in words {
                assert_eq!(syllables(word, language), *count, "{word}");
            }
        }
    }
}
