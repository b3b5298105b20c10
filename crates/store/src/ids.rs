//! Random names for persons, accounts, records and devices, and a moment in time.

use std::fmt;
use std::str::FromStr;

use uuid::Uuid;

use crate::error::Error;
use crate::secret::random;

/// A moment: milliseconds since 1970 in universal time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(i64);

impl Moment {
    /// From milliseconds since 1970-01-01T00:00:00Z.
    #[must_use]
    pub fn unix_ms(ms: i64) -> Self {
        Self(ms)
    }

    /// In milliseconds since 1970-01-01T00:00:00Z.
    #[must_use]
    pub fn in_unix_ms(self) -> i64 {
        self.0
    }
}

macro_rules! id {
    ($name:ident, $what:literal) => {
        #[doc = concat!("The random name of ", $what, ": a UUID of version 7, which holds the moment it was made and nothing else.")]
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(Uuid);

        impl $name {
            /// A new one, made at a moment.
            pub(crate) fn new(at: Moment) -> Result<Self, Error> {
                Ok(Self(version_7(at)?))
            }

            /// From the sixteen bytes it is stored as.
            pub(crate) fn from_bytes(bytes: &[u8]) -> Result<Self, Error> {
                Uuid::from_slice(bytes).map(Self).map_err(|_| {
                    Error::damaged(format!("{} is named by {} bytes and not by 16", $what, bytes.len()))
                })
            }

            /// The sixteen bytes it is stored as.
            pub(crate) fn bytes(&self) -> &[u8] {
                self.0.as_bytes()
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.hyphenated().fmt(f)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}({})", stringify!($name), self.0.hyphenated())
            }
        }

        impl FromStr for $name {
            type Err = Error;

            fn from_str(text: &str) -> Result<Self, Error> {
                Uuid::parse_str(text)
                    .map(Self)
                    .map_err(|_| Error::NotAnId { given: text.to_owned(), what: $what })
            }
        }
    };
}

id!(PersonId, "a person");
id!(AccountId, "an account");
id!(RecordId, "a record");
id!(DeviceId, "a device");

impl PersonId {
    /// What belongs to the clinic and to no person: accounts, settings.
    pub const CLINIC: Self = Self(Uuid::nil());
    /// Nobody comes after this: the end of every list.
    pub const LAST: Self = Self(Uuid::max());
}

impl AccountId {
    /// Nobody was signed in.
    pub const NOBODY: Self = Self(Uuid::nil());
    /// The recovery key was used.
    pub const RECOVERY: Self = Self(Uuid::max());
}

/// A UUID of version 7: 48 bits of time, the rest by chance.
fn version_7(at: Moment) -> Result<Uuid, Error> {
    let chance = random::<10>()?;
    let ms = u64::try_from(at.in_unix_ms()).unwrap_or(0);
    Ok(uuid::Builder::from_unix_timestamp_millis(ms, &chance).into_uuid())
}
