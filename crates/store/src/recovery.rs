//! The recovery key: 160 bits on paper, in groups that notice a mistyped character.

use std::fmt;
use std::str::FromStr;

use zeroize::{Zeroize, ZeroizeOnDrop};

use crate::error::Error;
use crate::secret::{Key, random};

/// Digits and letters without I, L, O and U, which are read as others.
const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// Opens the file when every passphrase is forgotten. It is printed once and never stored.
///
/// As text: eight groups of four characters and one check character. The check of a group notices
/// any one wrong character, any two swapped neighbours, and a group in another's place.
#[derive(Clone, PartialEq, Eq, Zeroize, ZeroizeOnDrop)]
pub struct RecoveryKey([u8; 20]);

impl RecoveryKey {
    /// A new one by chance.
    pub(crate) fn new() -> Result<Self, Error> {
        random().map(Self)
    }

    /// The key that unwraps the master key. 160 bits by chance need no slow function.
    pub(crate) fn key(&self, store: &[u8]) -> Key {
        let mut bytes = [0; 32];
        bytes[..20].copy_from_slice(&self.0);
        let key = Key::from_bytes(bytes);
        bytes.zeroize();
        Key::from_bytes(key.mac(&[b"footrose recovery 1", store]))
    }

    /// The characters without checks, five bits each.
    fn symbols(&self) -> [u8; 32] {
        let mut out = [0; 32];
        for (at, symbol) in out.iter_mut().enumerate() {
            *symbol = (0..5).fold(0, |value, bit| {
                let place = at * 5 + bit;
                (value << 1) | ((self.0[place / 8] >> (7 - place % 8)) & 1)
            });
        }
        out
    }
}

/// Twice an element of the field of 32 elements, with x⁵ = x² + 1.
fn twice(a: u8) -> u8 {
    let shifted = a << 1;
    if shifted & 32 == 0 { shifted } else { (shifted ^ 0b10_0101) & 31 }
}

/// The check of a group: its symbols weighted by 2, 4, 8, 16, and the number of the group.
fn check(group: &[u8], number: usize) -> u8 {
    let sum = group.iter().rev().fold(0, |sum, symbol| twice(sum ^ symbol));
    sum ^ (number as u8 + 1)
}

impl fmt::Display for RecoveryKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (number, group) in self.symbols().chunks(4).enumerate() {
            if number > 0 {
                f.write_str("-")?;
            }
            for symbol in group.iter().chain([&check(group, number)]) {
                write!(f, "{}", ALPHABET[usize::from(*symbol)] as char)?;
            }
        }
        Ok(())
    }
}

impl fmt::Debug for RecoveryKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("RecoveryKey")
    }
}

impl FromStr for RecoveryKey {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let refuse = |given: String, why: &str| Err(Error::NotARecoveryKey { given, why: why.to_owned() });
        let mut symbols = Vec::with_capacity(40);
        for letter in text.chars().filter(|c| !c.is_whitespace() && *c != '-') {
            // Letters that are left out because they are read as these.
            let plain = match letter.to_ascii_uppercase() {
                'O' => '0',
                'I' | 'L' => '1',
                other => other,
            };
            match ALPHABET.iter().position(|known| char::from(*known) == plain) {
                Some(value) => symbols.push(value as u8),
                None => return refuse(letter.to_string(), "this character never stands in one"),
            }
        }
        if symbols.len() != 40 {
            return refuse(
                format!("{} characters", symbols.len()),
                "it has 40 characters, in eight groups of five",
            );
        }
        let mut key = [0_u8; 20];
        for (number, group) in symbols.chunks(5).enumerate() {
            if check(&group[..4], number) != group[4] {
                return refuse(
                    format!("group {}", number + 1),
                    "its last character does not fit the four before it; look at this group again",
                );
            }
            for (at, symbol) in group[..4].iter().enumerate() {
                for bit in 0..5 {
                    let place = (number * 4 + at) * 5 + bit;
                    key[place / 8] |= ((symbol >> (4 - bit)) & 1) << (7 - place % 8);
                }
            }
        }
        symbols.zeroize();
        Ok(Self(key))
    }
}
