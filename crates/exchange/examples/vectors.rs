//! Prints programmes, logs and their codes: `cargo run -p exchange --example vectors > crates/exchange/tests/vectors.json`.
//! `assets/practice/code.js` must give the same (`e2e/tests/code.test.mjs`), so a change here is a change of format.

// The same invented logs as the tests use; each uses some of them.
#[allow(missing_docs)]
#[path = "../tests/common/mod.rs"]
mod common;

fn main() {
    print!("{}", common::vectors());
}
