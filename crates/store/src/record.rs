//! One record as it is read, and what is handed in to be written.

use std::sync::Arc;

use zeroize::Zeroizing;

use crate::ids::{AccountId, Moment, PersonId, RecordId};
use crate::registry::Role;

/// One record, opened, in the newest shape of its kind.
#[derive(Clone, PartialEq, Eq)]
pub struct Record {
    pub(crate) id: RecordId,
    pub(crate) person: PersonId,
    pub(crate) seq: i64,
    pub(crate) kind: Arc<str>,
    pub(crate) shape: u32,
    pub(crate) written_as: u32,
    pub(crate) origin: i64,
    pub(crate) at: Moment,
    pub(crate) account: AccountId,
    pub(crate) role: Role,
    pub(crate) reason: Zeroizing<String>,
    /// Shared by clones, so that a list of everybody costs no copies; wiped with the last of them.
    pub(crate) body: Arc<Zeroizing<Vec<u8>>>,
}

impl Record {
    /// Its random name.
    #[must_use]
    pub fn id(&self) -> RecordId {
        self.id
    }

    /// Whom it is about.
    #[must_use]
    pub fn person(&self) -> PersonId {
        self.person
    }

    /// Its place among this person's records, from 1 without gaps, in the order of writing.
    #[must_use]
    pub fn number(&self) -> u64 {
        self.seq.unsigned_abs()
    }

    /// The number of the record this one corrects, or its own: all versions of one entry share it.
    #[must_use]
    pub fn origin(&self) -> u64 {
        self.origin.unsigned_abs()
    }

    /// What sort of record.
    #[must_use]
    pub fn kind(&self) -> &str {
        &self.kind
    }

    /// The shape of [`Record::body`]: the newest of its kind.
    #[must_use]
    pub fn shape(&self) -> u32 {
        self.shape
    }

    /// The shape it was written in.
    #[must_use]
    pub fn written_as(&self) -> u32 {
        self.written_as
    }

    /// When it was written.
    #[must_use]
    pub fn at(&self) -> Moment {
        self.at
    }

    /// Who wrote it.
    #[must_use]
    pub fn author(&self) -> AccountId {
        self.account
    }

    /// The role of its author when it was written.
    #[must_use]
    pub fn role(&self) -> Role {
        self.role
    }

    /// Why an earlier version was corrected or withdrawn; empty for a first version.
    #[must_use]
    pub fn reason(&self) -> &str {
        &self.reason
    }

    /// Whether this version takes the entry back.
    #[must_use]
    pub fn is_withdrawn(&self) -> bool {
        self.written_as == WITHDRAWN
    }

    /// Whether it corrects or withdraws an earlier version.
    #[must_use]
    pub fn is_correction(&self) -> bool {
        self.origin != self.seq
    }

    /// What it says, in the newest shape; empty if it was withdrawn.
    #[must_use]
    pub fn body(&self) -> &[u8] {
        &self.body
    }
}

impl std::fmt::Debug for Record {
    /// Ids, kind and numbers; never what the record says.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Record")
            .field("id", &self.id)
            .field("person", &self.person)
            .field("seq", &self.seq)
            .field("kind", &self.kind)
            .field("origin", &self.origin)
            .finish_non_exhaustive()
    }
}

/// The shape of a version that takes an entry back.
pub(crate) const WITHDRAWN: u32 = 0;

/// A record to be written.
#[derive(Clone)]
pub struct NewRecord {
    pub(crate) person: PersonId,
    pub(crate) kind: String,
    pub(crate) body: Zeroizing<Vec<u8>>,
    pub(crate) once: String,
}

impl NewRecord {
    /// A body in the newest shape of its kind.
    ///
    /// `once` names the submission: the number of the form that was sent, the log and the day. The
    /// same `once` for the same person and kind is stored once, however often it is sent.
    #[must_use]
    pub fn new(person: PersonId, kind: &str, body: impl Into<Vec<u8>>, once: impl Into<String>) -> Self {
        Self { person, kind: kind.to_owned(), body: Zeroizing::new(body.into()), once: once.into() }
    }
}

/// What became of a record that was handed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Appended {
    /// It is on the disk.
    Stored(RecordId),
    /// It was on the disk already: the same submission arrived before.
    WasThere(RecordId),
}

impl Appended {
    /// The record, whenever it was stored.
    #[must_use]
    pub fn id(self) -> RecordId {
        match self {
            Self::Stored(id) | Self::WasThere(id) => id,
        }
    }
}

/// How a row is sealed: the bytes its body is bound to. A body that is moved to another row, person,
/// kind, shape or place does not open.
pub(crate) struct Row<'a> {
    pub(crate) id: &'a [u8],
    pub(crate) person: &'a [u8],
    pub(crate) seq: i64,
    pub(crate) kind: &'a str,
    pub(crate) shape: i64,
    pub(crate) origin: i64,
    pub(crate) at: i64,
    pub(crate) account: &'a [u8],
    pub(crate) role: &'a str,
}

impl Row<'_> {
    pub(crate) fn bound(&self) -> Vec<u8> {
        let mut out = b"footrose record 1".to_vec();
        for part in [self.id, self.person, self.account] {
            out.extend_from_slice(part);
        }
        for number in [self.seq, self.shape, self.origin, self.at] {
            out.extend_from_slice(&number.to_be_bytes());
        }
        for word in [self.kind, self.role] {
            out.extend_from_slice(&(word.len() as u64).to_be_bytes());
            out.extend_from_slice(word.as_bytes());
        }
        out
    }
}

/// Reason and body as one run of bytes to seal.
pub(crate) fn pack(reason: &str, body: &[u8]) -> Zeroizing<Vec<u8>> {
    let mut out = Zeroizing::new(Vec::with_capacity(4 + reason.len() + body.len()));
    out.extend_from_slice(&u32::try_from(reason.len()).unwrap_or(u32::MAX).to_be_bytes());
    out.extend_from_slice(reason.as_bytes());
    out.extend_from_slice(body);
    out
}

/// The parts of [`pack`].
pub(crate) fn unpack(plain: &[u8]) -> Option<(Zeroizing<String>, Zeroizing<Vec<u8>>)> {
    let (length, rest) = plain.split_first_chunk::<4>()?;
    let (reason, body) = rest.split_at_checked(u32::from_be_bytes(*length) as usize)?;
    let reason = Zeroizing::new(std::str::from_utf8(reason).ok()?.to_owned());
    Some((reason, Zeroizing::new(body.to_vec())))
}
