//! From findings to the movements allowed today, with the reason for each that is not.

#![forbid(unsafe_code)]

mod refusal;

pub use refusal::{Blocked, Layer, Refusal};
