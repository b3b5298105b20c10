//! Case files: what is accepted and what is said about what is not.

use person::case_file;

#[test]
fn the_template_is_a_valid_case() {
    let text = case_file::template();
    let case = case_file::read("template.toml", &text).unwrap_or_else(|errors| panic!("{errors}\n{text}"));
    assert_eq!(case.person.body.stature().in_cm(), 176.0);
}
