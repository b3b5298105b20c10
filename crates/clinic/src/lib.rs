//! The clinic's use cases over its records: people, entries, sign-in, with today's date and a transaction.
//!
//! [`Clinic`] is one file of records. [`Clinic::sign_in`] gives a [`Desk`]: somebody at work. Every
//! reading and writing goes through a desk, so that it has an author and stands in the audit.
//!
//! What is stored about a person is a list of entries. Each sort of entry is a struct that says its
//! kind ([`Shape`]); [`Desk::read`] gives all that stand, [`Desk::append`] adds one,
//! [`Desk::correct`] writes a new version with its reason. Nothing is overwritten.
//!
//! [`Desk::standing`] is what follows from the entries of one person on a day: the case, read; the
//! last log; the programme. It is kept in memory and made anew after every entry.

#![forbid(unsafe_code)]

mod adaptation;
mod attention;
mod backups;
mod brief;
mod came_home;
mod case_text;
mod clinic;
mod defaults;
mod demo;
mod desk;
mod entries;
mod error;
mod handed;
mod keeping;
mod known;
mod measured;
mod people;
mod practice;
mod reading;
mod register;
mod sessions;
mod shapes;
mod since;
mod standing;
mod stops;
mod teaching;
mod waits;

pub use adaptation::{AdaptationRecord, AnsweredProposal, Decision};
pub use attention::{Attention, AttentionList, Reason};
pub use backups::{BackupState, BackupTrouble};
pub use came_home::{Brought, CameHome, Instead};
pub use case_text::{CaseText, CaseValue, Given};
pub use clinic::{Admitted, Clinic, First, Opening, Today, restore};
pub use defaults::{Defaults, defaults};
pub use demo::{DEMO_NAME, DEMO_PASSPHRASE};
pub use desk::Desk;
pub use entries::Entry;
pub use error::Error;
pub use handed::{HandedForm, HandedOut, KnownProgramme};
pub use keeping::{Taken, day_of_moment, retain_until};
pub use known::{FindingLine, Freshness, findings_known};
pub use measured::Measured;
pub use people::{Newcomer, PersonLine, PersonRecord, PersonState};
pub use practice::{Done, LogSource, PracticeItem, PracticeRecord};
pub use sessions::Logged;
pub use shapes::{
    AdverseEvent, CaseRecord, LetterRecord, MeasuresRecord, Paper, ProgrammeRecord, Settings, Shape,
    may_write,
};
pub use since::{Since, Told};
pub use standing::Standing;
pub use stops::Stop;
pub use store::{
    Account, AccountId, Action, AuditEntry, Backup, Chain, Check, Clock, Destroyed, Device, DeviceId,
    DeviceMark, DeviceSecret, Made, Moment, PersonId, RecordId, RecoveryKey, Role, Tried,
};
pub use teaching::{Lesson, Steadiness, TapRecord, TaughtItem, TeachRecord};
