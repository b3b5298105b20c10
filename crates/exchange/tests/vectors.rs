//! The format holds still: codes that were written once are written the same way for ever.

mod common;

#[test]
fn codes_are_the_ones_that_were_written_before() {
    let stored = include_str!("vectors.json");
    assert!(
        stored == common::vectors(),
        "the codes changed: telephones with the old page would no longer be understood. Give the format a new version, \
         or, before any page was handed out, write them anew with the example `vectors`"
    );
}
