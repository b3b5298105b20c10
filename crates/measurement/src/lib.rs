//! What was measured, how reliable that test is, whether two results differ by more than its error.

#![forbid(unsafe_code)]

pub mod statistics;
