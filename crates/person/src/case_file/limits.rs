//! How long a case file and its texts may be, and how much is told about a bad one.

/// The largest file that is read, in bytes. A case is a few thousand; more is another file.
pub const LARGEST: usize = 262_144;

/// Letters in what must fit on one line of the sheet.
pub(super) const LINE: usize = 60;

/// Letters in a sentence.
pub(super) const SENTENCE: usize = 160;

/// Letters of a bad value that are repeated to whoever wrote it.
pub(super) const SHOWN: usize = 60;

/// Letters compared when a misspelt key is looked up.
pub(super) const COMPARED: usize = 64;

/// Lines that are not TOML told at once.
pub(super) const UNREADABLE_LINES: usize = 20;

/// Problems told at once.
pub(super) const PROBLEMS: usize = 200;
