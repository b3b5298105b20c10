//! Which kinds of record there are, their shapes, and who may write them.

use std::collections::BTreeMap;
use std::fmt;

use crate::error::Error;

/// What an account may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Decides: writes every kind that is open to clinicians, countersigns, manages accounts.
    Clinician,
    /// Teaches and logs: writes the kinds that are open to assistants, never a decision.
    Assistant,
    /// Writes what is open to students; each record awaits a clinician's countersignature.
    Student,
    /// Reads.
    Reader,
    /// Whoever holds the recovery key: reads, and manages accounts so that somebody can sign in again.
    Recovery,
}

impl Role {
    /// The word that is stored.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Clinician => "clinician",
            Self::Assistant => "assistant",
            Self::Student => "student",
            Self::Reader => "reader",
            Self::Recovery => "recovery",
        }
    }

    /// From the word that is stored.
    pub(crate) fn from_word(word: &str) -> Result<Self, Error> {
        [Self::Clinician, Self::Assistant, Self::Student, Self::Reader, Self::Recovery]
            .into_iter()
            .find(|role| role.word() == word)
            .ok_or_else(|| Error::damaged(format!("no role is called `{word}`")))
    }

    /// Whether this role creates accounts, destroys records and the like.
    pub(crate) fn manages(self) -> bool {
        matches!(self, Self::Clinician | Self::Recovery)
    }
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Brings a body of one shape to the next, or says why it cannot.
pub type Upcast = fn(&[u8]) -> Result<Vec<u8>, String>;

/// One kind of record: a short name that may be read in the file, its shapes, its writers.
#[derive(Clone)]
pub struct Kind {
    pub(crate) name: &'static str,
    pub(crate) writers: &'static [Role],
    pub(crate) upcasts: Vec<Upcast>,
    pub(crate) kept: bool,
}

impl Kind {
    /// A kind in its first shape, with the roles that may write it.
    ///
    /// The name stands unsealed in the file: it says what sort of thing is stored, never what was
    /// found. Small letters, digits, `.` and `-`, at most 32.
    #[must_use]
    pub fn new(name: &'static str, writers: &'static [Role]) -> Self {
        Self { name, writers, upcasts: Vec::new(), kept: false }
    }

    /// The next shape, with the function from the one before. Calls are only ever added.
    #[must_use]
    pub fn then(mut self, upcast: Upcast) -> Self {
        self.upcasts.push(upcast);
        self
    }

    /// The newest record of this kind of every person is kept in memory while somebody is signed in.
    #[must_use]
    pub fn kept_in_memory(mut self) -> Self {
        self.kept = true;
        self
    }

    /// The newest shape, counted from 1.
    #[must_use]
    pub fn newest(&self) -> u32 {
        u32::try_from(self.upcasts.len()).unwrap_or(u32::MAX).saturating_add(1)
    }
}

/// Every kind of record the program knows.
#[derive(Clone)]
pub struct Registry {
    kinds: BTreeMap<&'static str, Kind>,
}

impl Registry {
    /// The kinds of the program.
    ///
    /// # Errors
    /// A name that is taken twice, too long, reserved (`store.`), or has other characters.
    pub fn new(kinds: impl IntoIterator<Item = Kind>) -> Result<Self, Error> {
        let mut all = BTreeMap::new();
        for kind in kinds {
            let bad = |why| Err(Error::BadKind { kind: kind.name.to_owned(), why });
            let fits = |c: u8| c.is_ascii_lowercase() || c.is_ascii_digit() || b".-".contains(&c);
            if kind.name.is_empty() || kind.name.len() > 32 || !kind.name.bytes().all(fits) {
                return bad("it has 1 to 32 small letters, digits, `.` or `-`");
            }
            if kind.name.starts_with("store.") {
                return bad("names that begin with `store.` belong to the store itself");
            }
            if kind.writers.contains(&Role::Reader) || kind.writers.contains(&Role::Recovery) {
                return bad("a reader never writes, and the recovery key writes accounts only");
            }
            if all.contains_key(kind.name) {
                return bad("it is registered already");
            }
            all.insert(kind.name, kind);
        }
        for own in [ACCOUNT, COUNTERSIGNATURE] {
            all.insert(own, Kind::new(own, &[Role::Clinician]));
        }
        Ok(Self { kinds: all })
    }

    /// The kind of this name.
    pub(crate) fn kind(&self, name: &str) -> Result<&Kind, Error> {
        self.kinds.get(name).ok_or_else(|| Error::UnknownKind { kind: name.to_owned() })
    }

    /// The kinds whose newest records are kept in memory.
    pub(crate) fn kept(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.kinds.values().filter(|kind| kind.kept).map(|kind| kind.name)
    }
}

/// The kind of an account's own record.
pub(crate) const ACCOUNT: &str = "store.account";
/// The kind of a countersignature.
pub(crate) const COUNTERSIGNATURE: &str = "store.countersigned";
