//! Bytes as characters that a QR symbol packs tightly and a scanner types as they are.
//!
//! Two bytes become three characters, one byte two, as RFC 9285 (base 45) does, but to the base 41. 41³ is above
//! 2¹⁶ already, so nothing gets longer, and four characters of the QR alphanumeric set can be left out:
//! the space (lost at ends and line breaks), `:` and `.` (a telephone offers to open what looks like an address)
//! and `%` (changed inside addresses).

/// The 41 characters, in the order of their values.
const ALPHABET: &[u8; 41] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$*+-/";
const BASE: u32 = 41;

/// Bytes to characters.
pub fn write(bytes: &[u8]) -> String {
    let mut out = String::new();
    for pair in bytes.chunks(2) {
        let (mut value, count) = match pair {
            [one] => (u32::from(*one), 2),
            [one, two, ..] => (u32::from(*one) * 256 + u32::from(*two), 3),
            [] => continue,
        };
        for _ in 0..count {
            let digit = ALPHABET.get((value % BASE) as usize).copied().unwrap_or(b'0');
            out.push(char::from(digit));
            value /= BASE;
        }
    }
    out
}

/// Characters to bytes, the way back.
///
/// # Errors
/// The character that is not of the alphabet with its place from 1, or a length or value that no bytes have.
pub fn read(text: &str) -> Result<Vec<u8>, String> {
    let mut digits = Vec::new();
    for (at, letter) in text.chars().enumerate() {
        let digit = ALPHABET.iter().position(|known| char::from(*known) == letter);
        let digit = digit.and_then(|digit| u32::try_from(digit).ok());
        digits.push(digit.ok_or_else(|| format!("`{letter}` at place {} never stands in a code", at + 1))?);
    }
    let mut bytes = Vec::new();
    for three in digits.chunks(3) {
        let value = three.iter().rev().fold(0, |value, digit| value * BASE + digit);
        match (three.len(), u16::try_from(value), u8::try_from(value)) {
            (3, Ok(two), _) => bytes.extend(two.to_be_bytes()),
            (2, _, Ok(one)) => bytes.push(one),
            (1, ..) => return Err(format!("{} characters: some are missing at the end", digits.len())),
            _ => return Err("characters are wrong or missing".to_owned()),
        }
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::{read, write};

    #[test]
    fn every_pair_of_bytes_comes_back_and_three_characters_hold_two() {
        for value in 0..=u16::MAX {
            let text = write(&value.to_be_bytes());
            assert_eq!((text.len(), read(&text)), (3, Ok(value.to_be_bytes().to_vec())));
        }
        for value in 0..=u8::MAX {
            assert_eq!(read(&write(&[7, 9, value])), Ok(vec![7, 9, value]));
        }
    }

    #[test]
    fn what_no_bytes_have_is_refused() {
        for (wrong, why) in
            [("0", "missing"), ("///", "wrong"), ("//", "wrong"), ("A B", "place 2"), ("00É", "É")]
        {
            assert!(read(wrong).is_err_and(|told| told.contains(why)), "{wrong}");
        }
    }
}
