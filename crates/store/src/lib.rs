//! Append-only encrypted records on disk.
//!
//! The store knows nothing of medicine: a record is bytes of a kind, in a numbered shape, about a
//! person. One file holds everything; what is personal in it is sealed. [`Store::create`] and
//! [`Store::open`] give a file in which nothing can be read; [`Store::sign_in`] gives a [`Session`],
//! and everything else is done by a session, so that it has an author and stands in the audit.
//!
//! What may be read in the file without a key: random ids, kinds of record, roles, times, lengths.

mod account;
mod accounts;
mod append;
mod audit;
mod backup;
mod backups;
mod chain;
mod check;
mod create;
mod destroy;
mod device;
mod error;
mod export;
mod file;
mod ids;
mod lists;
mod read;
mod record;
mod recovery;
mod registry;
mod revise;
mod ring;
mod secret;
mod session;
mod sign_in;
mod store;
mod vault;

pub use account::Account;
pub use audit::{Action, AuditEntry};
pub use backup::{Backup, restore};
pub use backups::{ByItself, Made, Tried};
pub use chain::{Break, Chain};
pub use check::Check;
pub use create::First;
pub use destroy::{Destroyed, Destruction, Tombstone};
pub use device::{Device, DeviceMark, DeviceSecret};
pub use error::Error;
pub use export::Export;
pub use ids::{AccountId, DeviceId, Moment, PersonId, RecordId};
pub use record::{Appended, NewRecord, Record};
pub use recovery::RecoveryKey;
pub use registry::{Kind, Registry, Role, Upcast};
pub use secret::{KeyCost, SHORTEST_PASSPHRASE};
pub use session::Session;
pub use sign_in::SignIn;
pub use store::{Clock, Options, Store};
