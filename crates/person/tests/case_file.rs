//! Case files: what is accepted and what is said about what is not.

use person::case_file;

#[test]
fn the_template_is_a_valid_case() {
    let text = case_file::template();
    let case = case_file::read("template.toml", &text).unwrap_or_else(|errors| panic!("{errors}\n{text}"));
    assert_eq!(case.person.body.stature().in_cm(), 176.0);
}

fn invented() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases");
    let mut cases: Vec<(String, String)> = std::fs::read_dir(folder)
        .expect("cases/ is there")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).expect("a case is text"))
        })
        .collect();
    cases.sort();
    cases
}

#[test]
fn thirteen_invented_people_read_without_a_problem() {
    let cases = invented();
    assert_eq!(cases.len(), 13);
    for (name, text) in cases {
        let case = case_file::read(&name, &text).unwrap_or_else(|errors| panic!("{errors}"));
        assert!(case.invented, "{name} must say that the person is invented");
    }
}
