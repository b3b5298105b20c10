//! Open formats in and out: practice codes and CSV.
//!
//! A programme goes home as a page or as the fragment of an address ([`fragment`]); its log comes back as a
//! log code ([`log`], shown as a QR symbol), as a typed code ([`typed`], read over the telephone) or as a table
//! ([`table`]). [`read`] takes whatever text came back and says what it is, or why it cannot be used. Nothing
//! is stored here. `docs/PRACTICE_CODE.md` describes every format bit by bit; `assets/practice/code.js` writes
//! the same bytes.

#![forbid(unsafe_code)]

mod arithmetic;
mod bits;
mod came_home;
mod check;
pub mod fragment;
pub mod log;
mod mark;
mod model;
pub mod programme;
mod read;
mod reed_solomon;
mod refusal;
pub mod table;
mod text;
pub mod typed;
mod words;

pub use came_home::came_home;
pub use mark::Mark;
pub use programme::Programme;
pub use read::{
    Hurt, Known, LogPreview, Preview, Seen, SeenSession, Standing, TypedPreview, read, read_bytes,
};
pub use refusal::Refusal;
