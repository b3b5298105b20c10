//! An invented clinic of any size, browsers that click through it over HTTP, and what it took.

pub mod clicks;
pub mod client;
pub mod figures;
pub mod invented;
