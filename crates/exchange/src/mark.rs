//! The mark of a programme: the sixteen hexadecimal digits that tell one programme from all others.

use std::fmt;

use serde::{Deserialize, Serialize};

/// The mark of a programme. It says nothing about the person.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Mark([u8; 8]);

impl Mark {
    /// Reads sixteen hexadecimal digits.
    ///
    /// # Errors
    /// Says what was given and what is accepted.
    ///
    /// ```
    /// let mark = exchange::Mark::parse("0123456789abcdef").expect("sixteen digits");
    /// assert_eq!(mark.to_string(), "0123456789abcdef");
    /// assert!(exchange::Mark::parse("0123").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, String> {
        let wrong = || {
            format!(
                "`{text}` is no mark of a programme; accepted: 16 hexadecimal digits, such as 0123456789abcdef"
            )
        };
        if text.len() != 16 || !text.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Err(wrong());
        }
        u64::from_str_radix(text, 16).map(|value| Self(value.to_be_bytes())).map_err(|_| wrong())
    }

    /// The mark of these eight bytes.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 8]) -> Self {
        Self(bytes)
    }

    /// Its eight bytes.
    #[must_use]
    pub fn bytes(self) -> [u8; 8] {
        self.0
    }

    /// Its first four bytes, which a log code carries.
    #[must_use]
    pub fn short(self) -> [u8; 4] {
        [self.0[0], self.0[1], self.0[2], self.0[3]]
    }

    /// Its first twelve bits, which a typed code carries.
    #[must_use]
    pub fn twelve_bits(self) -> u16 {
        u16::from(self.0[0]) << 4 | u16::from(self.0[1] >> 4)
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl From<Mark> for String {
    fn from(mark: Mark) -> Self {
        mark.to_string()
    }
}

impl TryFrom<String> for Mark {
    type Error = String;
    fn try_from(text: String) -> Result<Self, Self::Error> {
        Self::parse(&text)
    }
}
