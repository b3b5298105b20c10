//! Only the gates make a movement that passed them, and nobody reads one from a file.

use tidy::layers::ORDER;
use tidy::source::{line_of, shipped};
use tidy::{none, shipped_files, text};

/// A type that only one function may make: its name and the file of that function.
const GATES: [(&str, &str); 2] = [
    ("ScreenedMovement", "crates/safety/src/screen.rs"),
    ("PermittedMovement", "crates/safety/src/permit.rs"),
];

/// Where a value of the type is made: `Name {` that is no declaration, no `impl` and no pattern.
fn makings(name: &str) -> Vec<String> {
    let mut found = Vec::new();
    for path in ORDER.iter().flat_map(|(name, _)| shipped_files(name)) {
        let code = shipped(&text(&path).expect("Rust source is text"));
        for (at, _) in code.match_indices(&format!("{name} {{")) {
            let before = code[..at].trim_end();
            let other = ["struct", "impl", "let", "for", "->", ">"].iter().any(|word| before.ends_with(word));
            if !other {
                found.push(format!("{path}:{}", line_of(&code, at)));
            }
        }
    }
    found
}

#[test]
fn each_gate_makes_its_movement_in_one_place_only() {
    for (name, home) in GATES {
        let makings = makings(name);
        assert!(
            makings.len() == 1 && makings[0].starts_with(home),
            "`{name}` may be made in `{home}` only, once; it is made at {makings:?}"
        );
    }
}

#[test]
fn a_movement_that_passed_a_gate_cannot_be_read_from_a_file() {
    let home = "crates/safety/src/permitted.rs";
    let code = shipped(&text(home).expect("Rust source is text"));
    assert!(!code.contains("Deserialize"), "`{home}` must not derive or implement Deserialize");
    let implemented: Vec<String> = ORDER
        .iter()
        .flat_map(|(name, _)| shipped_files(name))
        .filter(|path| {
            let code = shipped(&text(path).expect("Rust source is text"));
            GATES.iter().any(|(name, _)| code.contains(&format!("Deserialize<'de> for {name}")))
        })
        .collect();
    none("a stored movement must pass the gates again", &implemented);
}

#[test]
fn the_fields_of_a_permitted_movement_are_closed_to_other_crates() {
    let code = shipped(&text("crates/safety/src/permitted.rs").expect("Rust source is text"));
    for (name, _) in GATES {
        let body = code.split_once(&format!("struct {name} {{")).expect("the struct is there").1;
        let fields = body.split_once('}').expect("it ends").0;
        assert!(!fields.contains("pub ") && fields.contains("pub(crate) "), "a field of `{name}` is public");
    }
}
