//! Sixteen characters of which four check the other twelve.
//!
//! Reed and Solomon's code over the field of 32 elements (Reed, Solomon 1960, "Polynomial codes over certain
//! finite fields", from memory): any two right words differ in at least five characters. So up to four wrong
//! characters are always noticed, and one wrong character has only one possible correction. More is not
//! corrected: a correction that is likely to be wrong is worse than asking again.

/// Characters of a word.
pub const WORD: usize = 16;
/// Characters that carry something.
pub const DATA: usize = 12;
const CHECKS: usize = WORD - DATA;

/// The powers of the element α with α⁵ = α² + 1, which runs through all 31 elements but zero.
const POWERS: [u8; 31] = powers();

const fn powers() -> [u8; 31] {
    let mut powers = [1; 31];
    let mut at = 1;
    while at < 31 {
        let doubled = powers[at - 1] << 1;
        powers[at] = if doubled & 32 == 0 { doubled } else { doubled ^ 0b10_0101 };
        at += 1;
    }
    powers
}

/// Which power of α an element is; nought for zero, which is none.
const LOGARITHMS: [u8; 32] = logarithms();

const fn logarithms() -> [u8; 32] {
    let mut logarithms = [0; 32];
    let mut at = 0;
    while at < 31 {
        logarithms[POWERS[at as usize] as usize] = at;
        at += 1;
    }
    logarithms
}

fn logarithm(of: u8) -> usize {
    LOGARITHMS.get(usize::from(of)).copied().unwrap_or(0).into()
}

fn times(a: u8, b: u8) -> u8 {
    if a == 0 || b == 0 { 0 } else { POWERS[(logarithm(a) + logarithm(b)) % 31] }
}

/// The polynomial of the checks, highest power first: the product of (x − αⁱ) for i from 1 to 4.
fn generator() -> Vec<u8> {
    (1..=CHECKS).fold(vec![1], |product, power| {
        let root = POWERS[power];
        (0..=product.len())
            .map(|at| {
                let shifted = product.get(at).copied().unwrap_or(0);
                let scaled = at.checked_sub(1).map_or(0, |at| times(product[at], root));
                shifted ^ scaled
            })
            .collect()
    })
}

/// Twelve values below 32 and their four checks.
pub fn protect(data: [u8; DATA]) -> [u8; WORD] {
    let generator = generator();
    let mut rest = [0_u8; WORD];
    rest[..DATA].copy_from_slice(&data);
    for at in 0..DATA {
        let factor = rest[at];
        for (step, part) in generator.iter().enumerate() {
            rest[at + step] ^= times(factor, *part);
        }
    }
    rest[..DATA].copy_from_slice(&data);
    rest
}

/// What the checks say of a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// All four fit.
    Right,
    /// They would fit if this one character (its place from 0) were that value. A proposal, never a fact.
    OneWrong {
        /// Which.
        place: usize,
        /// What it would be.
        value: u8,
    },
    /// Two or more characters are wrong.
    Wrong,
}

/// Judges sixteen values below 32.
pub fn judge(word: [u8; WORD]) -> Verdict {
    let syndromes: Vec<u8> = (1..=CHECKS)
        .map(|power| word.iter().fold(0, |sum, value| times(sum, POWERS[power]) ^ value))
        .collect();
    if syndromes.iter().all(|syndrome| *syndrome == 0) {
        return Verdict::Right;
    }
    // One error of size e at the place of power p makes the syndromes e·αᵖ, e·α²ᵖ, e·α³ᵖ, e·α⁴ᵖ: all follow from the first two.
    if syndromes.contains(&0) {
        return Verdict::Wrong;
    }
    let power = (logarithm(syndromes[1]) + 31 - logarithm(syndromes[0])) % 31;
    let geometric = syndromes.windows(2).all(|two| times(two[0], POWERS[power]) == two[1]);
    if geometric && power < WORD {
        let place = WORD - 1 - power;
        let size = POWERS[(logarithm(syndromes[0]) + 31 - power) % 31];
        return Verdict::OneWrong { place, value: word[place] ^ size };
    }
    Verdict::Wrong
}

#[cfg(test)]
mod tests {
    use super::{DATA, POWERS, Verdict, WORD, judge, protect};

    #[test]
    fn the_element_runs_through_the_whole_field() {
        let mut all = POWERS.to_vec();
        all.sort_unstable();
        assert_eq!(all, (1..32).collect::<Vec<u8>>());
    }

    #[test]
    fn two_words_that_differ_in_one_character_differ_in_at_least_five() {
        // The code is linear, so the lightest word with one character of data tells.
        for place in 0..DATA {
            for value in 1..32 {
                let mut data = [0; DATA];
                data[place] = value;
                assert!(protect(data).iter().filter(|value| **value != 0).count() >= 5);
            }
        }
    }

    #[test]
    fn every_single_error_of_every_size_is_found() {
        let word = protect([3, 31, 0, 7, 12, 19, 1, 1, 30, 8, 22, 5]);
        assert_eq!(judge(word), Verdict::Right);
        for place in 0..WORD {
            for size in 1..32 {
                let mut wrong = word;
                wrong[place] ^= size;
                assert_eq!(judge(wrong), Verdict::OneWrong { place, value: word[place] });
            }
        }
    }
}
