//! A complete case file with every key and a comment on each, made from the table of keys.

use std::fmt::Write;

use super::format::format;
use super::shape::{Key, Shape};

/// A complete, valid case file about an invented person: every key once, with what it means and
/// what is accepted. Whoever fills it in replaces the values and takes out what nobody assessed.
#[must_use]
pub fn template() -> String {
    let mut out = String::from(
        "# A case file with every key. Replace the values; take out every finding that nobody assessed:\n\
         # what is left out counts as \"not assessed\" and closes, never opens.\n\
         # A finding made on another day than the visit: { value = ..., on = 2026-01-28 }\n",
    );
    table(&mut out, "", format());
    out
}

/// Every key in tables for a reader, one table for each section of the file.
#[must_use]
pub fn reference() -> String {
    let mut out = String::new();
    rows(&mut out, "", "top of the file", format(), None);
    out
}

fn table(out: &mut String, path: &str, keys: &[Key]) {
    let (below, here): (Vec<&Key>, Vec<&Key>) = keys.iter().partition(|key| has_section(key));
    for key in here {
        let _ = writeln!(out, "# {}; {}", key.about, key.accepted());
        let _ = writeln!(out, "{} = {}", key.name, key.example_value());
    }
    for key in below {
        section(out, &join(path, key), key.about, &key.shape);
    }
}

fn section(out: &mut String, full: &str, about: &str, shape: &Shape) {
    match shape {
        Shape::Table(keys) => {
            let _ = write!(out, "\n# {about}\n");
            if keys.iter().any(|key| !has_section(key)) {
                let _ = writeln!(out, "[{full}]");
            }
            table(out, full, keys);
        }
        Shape::Finding(inner) => section(out, full, about, inner),
        Shape::List(inner) => match inner.as_ref() {
            Shape::Kinds(tag, kinds) => {
                let _ = write!(out, "\n# {about}\n");
                for kind in kinds {
                    let _ = write!(out, "\n# {}\n[[{full}]]\n{tag} = \"{}\"\n", kind.about, kind.name);
                    table(out, full, &kind.keys);
                }
            }
            Shape::Table(keys) => {
                let _ = write!(out, "\n# {about}\n[[{full}]]\n");
                table(out, full, keys);
            }
            _ => {}
        },
        _ => {}
    }
}

/// Whether a key opens a table of its own in the file.
fn has_section(key: &Key) -> bool {
    let below = match &key.shape {
        Shape::Finding(inner) | Shape::List(inner) => inner.as_ref(),
        shape => shape,
    };
    matches!(below, Shape::Table(_) | Shape::Kinds(..)) && key.example_value().is_empty()
}

fn join(path: &str, key: &Key) -> String {
    if path.is_empty() { key.name.to_owned() } else { format!("{path}.{}", key.name) }
}

fn rows(out: &mut String, path: &str, title: &str, keys: &[Key], tag: Option<(&str, &str, &str)>) {
    let _ = write!(out, "### {title}\n\n| key | accepted | meaning |\n|---|---|---|\n");
    if let Some((tag, word, about)) = tag {
        let _ = writeln!(out, "| **`{tag}`** | \"{word}\" | {about} |");
    }
    for key in keys {
        let name = if key.essential { format!("**`{}`**", key.name) } else { format!("`{}`", key.name) };
        let accepted = if has_section(key) { "see below".to_owned() } else { key.accepted() };
        let _ = writeln!(out, "| {name} | {} | {} |", accepted.replace('|', "\\|"), key.about);
    }
    out.push('\n');
    for key in keys {
        let full = join(path, key);
        match &key.shape {
            _ if key.is_sides() && !has_section(key) => {}
            Shape::Table(keys) => rows(out, &full, &format!("`[{full}]`"), keys, None),
            Shape::Finding(inner) => {
                if let Shape::Table(keys) = inner.as_ref() {
                    rows(out, &full, &format!("`[{full}]`, or \"not assessed\""), keys, None);
                }
            }
            Shape::List(inner) => match inner.as_ref() {
                Shape::Table(keys) => rows(out, &full, &format!("`[[{full}]]`, each entry"), keys, None),
                Shape::Kinds(tag, kinds) => {
                    for kind in kinds {
                        let title = format!("`[[{full}]]` with `{tag} = \"{}\"`", kind.name);
                        rows(out, &full, &title, &kind.keys, Some((tag, kind.name, kind.about)));
                    }
                }
                _ => {}
            },
            _ => {}
        }
    }
}
