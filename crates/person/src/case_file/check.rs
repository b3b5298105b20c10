//! Checks TOML against the table of keys: every key known, every value of the right shape.

use std::collections::{BTreeMap, BTreeSet};

use toml_edit::{Item, TableLike, Value};

use super::format::{VERSION, format};
use super::nearest::{elsewhere, nearest};
use super::node::{Checked, Fields, Node};
use super::problem::{Problems, Wrong};
use super::scalar;
use super::shape::{Key, Kind, Shape};
use super::source::Source;

/// The text that stands for "nobody has looked".
pub(super) const NOT_ASSESSED: &str = "not assessed";

/// One value of the file, whichever way it was written.
enum Given<'t> {
    Value(&'t Value),
    Table(&'t dyn TableLike),
    Entries(Vec<Place<'t>>),
}

struct Place<'t> {
    given: Given<'t>,
    line: usize,
    text: String,
}

/// Checks a whole file. A file of another version is not looked into further.
pub(super) fn check(source: &Source<'_>, top: &dyn TableLike, problems: &mut Problems) -> Option<Fields> {
    let mut checker = Checker { source, problems };
    if let Some(version) = top.get("version").and_then(Item::as_integer)
        && version != i64::from(VERSION)
    {
        let line = checker.line_of_key(top, "version", 1);
        checker.problems.add(
            Wrong::Value,
            line,
            "version",
            version.to_string(),
            format!("version {VERSION}, the one this program reads"),
            "use the program that wrote the file, or write the file again in this version",
        );
        return None;
    }
    Some(checker.table("", 1, top, format(), None))
}

struct Checker<'c, 't> {
    source: &'c Source<'t>,
    problems: &'c mut Problems,
}

impl Checker<'_, '_> {
    fn line_of_key(&self, table: &dyn TableLike, name: &str, fallback: usize) -> usize {
        let span = table.key(name).and_then(toml_edit::Key::span);
        let span = span.or_else(|| table.get(name).and_then(Item::span));
        span.map_or(fallback, |span| self.source.line(span.start))
    }

    fn place<'i>(&self, item: &'i Item, line: usize) -> Option<Place<'i>> {
        let table = |given, line| Place { given, line, text: "a table".to_owned() };
        Some(match item {
            Item::None => return None,
            Item::Value(value) => self.value_place(value, line),
            Item::Table(one) => table(Given::Table(one), line),
            Item::ArrayOfTables(many) => {
                let entries = many.iter().map(|one| {
                    let line = one.span().map_or(line, |span| self.source.line(span.start));
                    table(Given::Table(one), line)
                });
                table(Given::Entries(entries.collect()), line)
            }
        })
    }

    fn value_place<'i>(&self, value: &'i Value, line: usize) -> Place<'i> {
        let line = value.span().map_or(line, |span| self.source.line(span.start));
        let given = match value {
            Value::InlineTable(table) => Given::Table(table),
            Value::Array(array) => {
                Given::Entries(array.iter().map(|entry| self.value_place(entry, line)).collect())
            }
            plain => Given::Value(plain),
        };
        Place { given, line, text: self.source.given(value.span()) }
    }

    fn table(
        &mut self,
        path: &str,
        line: usize,
        table: &dyn TableLike,
        keys: &'static [Key],
        kind: Option<(&'static str, &'static str)>,
    ) -> Fields {
        let mut map = BTreeMap::new();
        let mut meant = Vec::new();
        for (name, item) in table.iter() {
            if kind.is_some_and(|(tag, _)| tag == name) {
                continue;
            }
            let at = self.line_of_key(table, name, line);
            let full = format!("{path}{name}");
            let Some(key) = keys.iter().find(|key| key.name == name) else {
                meant.extend(self.unknown(&full, name, at, keys, kind));
                continue;
            };
            if let Some(node) = self.place(item, at).and_then(|place| self.value(&full, place, &key.shape)) {
                map.insert(key.name, node);
            }
        }
        // A misspelt key is told once, not once as unknown and once as missing.
        let is_there = |key: &Key| table.contains_key(key.name) || meant.contains(&key.name);
        for key in keys.iter().filter(|key| key.essential && !is_there(key)) {
            self.missing(&format!("{path}{}", key.name), line, key);
        }
        Fields { path: path.to_owned(), line, map, kind: kind.map(|(_, word)| word) }
    }

    fn missing(&mut self, full: &str, line: usize, key: &'static Key) {
        match &key.shape {
            // Of a table that is missing as a whole, each essential key is told.
            Shape::Table(keys) => {
                for below in keys.iter().filter(|below| below.essential) {
                    self.missing(&format!("{full}.{}", below.name), line, below);
                }
            }
            shape => {
                let place = match full.rsplit_once('.') {
                    None => "at the top of the file".to_owned(),
                    Some((table, _)) if table.ends_with(']') => "to this entry".to_owned(),
                    Some((table, _)) => format!("under `[{table}]`"),
                };
                let to_do = format!("add {place} `{} = {}`: {}", key.name, key.example, key.about);
                self.problems.add(Wrong::Missing, line, full, "", shape.accepted(), to_do);
            }
        }
    }

    /// Tells that a key is unknown; the known one that is probably meant, if there is one.
    fn unknown(
        &mut self,
        full: &str,
        name: &str,
        line: usize,
        keys: &'static [Key],
        kind: Option<(&'static str, &'static str)>,
    ) -> Option<&'static str> {
        if self.problems.are_many() {
            self.problems.add(Wrong::UnknownKey, line, full, "", "", "");
            return None;
        }
        let names = || keys.iter().map(|key| key.name);
        let accepted: Vec<&str> = kind.map(|(tag, _)| tag).into_iter().chain(names()).collect();
        let here = match full.strip_suffix(name).map(|path| path.trim_end_matches('.')) {
            Some("") | None => "at the top".to_owned(),
            Some(path) => format!("in `{path}`"),
        };
        let near = nearest(name, names());
        let to_do = if let Some(near) = near {
            format!("write `{near}` if that is meant, else take the line out")
        } else if let Some(path) = elsewhere(name) {
            format!("`{name}` belongs in {path}; move it there, else take the line out")
        } else {
            "take the line out, or make it a comment with `#` in front".to_owned()
        };
        self.problems.add(
            Wrong::UnknownKey,
            line,
            full,
            self.source.shown_line(line),
            format!("{here}: {}", accepted.join(", ")),
            to_do,
        );
        near
    }

    fn value(&mut self, path: &str, place: Place<'_>, shape: &'static Shape) -> Option<Node> {
        let Place { given, line, text } = place;
        let value = match (shape, given) {
            (Shape::Finding(inner), given) => return self.finding(path, Place { given, line, text }, inner),
            (Shape::Table(keys), Given::Table(table)) => {
                Checked::Table(self.table(&format!("{path}."), line, table, keys, None))
            }
            (Shape::Kinds(tag, kinds), Given::Table(table)) => {
                Checked::Table(self.kinds(path, line, table, tag, kinds)?)
            }
            (Shape::List(inner), Given::Entries(entries)) => {
                Checked::List(self.entries(path, entries, inner))
            }
            (Shape::Table(_) | Shape::Kinds(..) | Shape::List(_), _) => {
                return self.wrong(path, line, &text, shape, &of_another_kind(shape, path));
            }
            (scalar, Given::Value(value)) => {
                let name = path.rsplit('.').next().unwrap_or(path);
                match scalar::read(value, &text, scalar, name) {
                    Ok(checked) => checked,
                    Err(to_do) => return self.wrong(path, line, &text, shape, &to_do),
                }
            }
            (_, Given::Table(_) | Given::Entries(_)) => {
                return self.wrong(path, line, &text, shape, "write one plain value");
            }
        };
        Some(Node { line, value })
    }

    fn entries(&mut self, path: &str, entries: Vec<Place<'_>>, inner: &'static Shape) -> Vec<Node> {
        let mut seen = BTreeSet::new();
        let mut nodes = Vec::new();
        for (index, entry) in entries.into_iter().enumerate() {
            let full = format!("{path}[{}]", index + 1);
            if let Given::Value(value) = entry.given
                && !seen.insert(value.as_str().map_or_else(|| entry.text.clone(), str::to_owned))
            {
                let (accepted, to_do) = ("each entry once", "take the second one out");
                self.problems.add(Wrong::Contradiction, entry.line, full, entry.text, accepted, to_do);
                continue;
            }
            nodes.extend(self.value(&full, entry, inner));
        }
        nodes
    }

    fn kinds(
        &mut self,
        path: &str,
        line: usize,
        table: &dyn TableLike,
        tag: &'static str,
        kinds: &'static [Kind],
    ) -> Option<Fields> {
        let words = || kinds.iter().map(|kind| kind.name);
        let given = table.get(tag).and_then(|item| self.place(item, line));
        let word = table.get(tag).and_then(Item::as_str);
        if let Some(kind) = kinds.iter().find(|kind| Some(kind.name) == word) {
            return Some(self.table(&format!("{path}."), line, table, &kind.keys, Some((tag, kind.name))));
        }
        let full = format!("{path}.{tag}");
        let accepted = format!("one of {}", words().collect::<Vec<_>>().join(", "));
        let Some(given) = given else {
            let to_do = format!("add for example `{tag} = \"{}\"`: {}", kinds[0].name, kinds[0].about);
            self.problems.add(Wrong::Missing, line, full, "", accepted, to_do);
            return None;
        };
        let to_do = match word.and_then(|word| nearest(word, words())) {
            Some(near) => format!("write \"{near}\" if that is meant"),
            None if words().any(|word| word == "other") => {
                "write \"other\" for a condition without a preset, with name, side and ceiling".to_owned()
            }
            None => "write one of the accepted words in quotation marks".to_owned(),
        };
        self.problems.add(Wrong::Value, given.line, full, given.text, accepted, to_do);
        None
    }

    fn finding(&mut self, path: &str, place: Place<'_>, inner: &'static Shape) -> Option<Node> {
        let line = place.line;
        if is_not_assessed(&place) {
            return Some(Node { line, value: Checked::NotAssessed });
        }
        let (value, on) = match place.given {
            // A finding that is a table itself carries its date among its keys.
            Given::Table(table) if !matches!(inner, Shape::Table(_)) => {
                self.only_value_and_on(path, line, table);
                let on = table.get("on").and_then(|item| self.place(item, line));
                let on = on.and_then(|place| self.value(&format!("{path}.on"), place, &Shape::Date));
                let on = on.and_then(|node| {
                    let line = node.line;
                    Some((node.date()?, line))
                });
                let Some(place) = table.get("value").and_then(|item| self.place(item, line)) else {
                    self.problems.add(
                        Wrong::Missing,
                        line,
                        format!("{path}.value"),
                        "",
                        inner.accepted(),
                        "write `{ value = ..., on = DATE }`, or leave the finding out when nobody looked",
                    );
                    return None;
                };
                if is_not_assessed(&place) {
                    return Some(Node { line, value: Checked::NotAssessed });
                }
                (self.value(&format!("{path}.value"), place, inner)?, on)
            }
            given => (self.value(path, Place { given, ..place }, inner)?, None),
        };
        Some(Node { line, value: Checked::Found { value: Box::new(value), on } })
    }

    fn only_value_and_on(&mut self, path: &str, line: usize, table: &dyn TableLike) {
        for (name, _) in table.iter().filter(|(name, _)| !["value", "on"].contains(name)) {
            let at = self.line_of_key(table, name, line);
            self.problems.add(
                Wrong::UnknownKey,
                at,
                format!("{path}.{name}"),
                self.source.shown_line(at),
                format!("in `{path}`: value, on"),
                "write the plain value, or `{ value = ..., on = DATE }`",
            );
        }
    }

    fn wrong<T>(&mut self, path: &str, line: usize, given: &str, shape: &Shape, to_do: &str) -> Option<T> {
        self.problems.add(Wrong::Value, line, path, given, shape.accepted(), to_do);
        None
    }
}

fn is_not_assessed(place: &Place<'_>) -> bool {
    matches!(place.given, Given::Value(value) if value.as_str() == Some(NOT_ASSESSED))
}

/// What to do about a plain value where a list or a table belongs, and the other way round.
fn of_another_kind(shape: &Shape, path: &str) -> String {
    let name = path.rsplit('.').next().unwrap_or(path);
    match shape {
        Shape::List(inner) => match inner.as_ref() {
            Shape::Table(_) | Shape::Kinds(..) => format!("open each entry with `[[{path}]]`"),
            _ => format!("put the entries in square brackets: `{name} = [...]`; `[]` for none"),
        },
        Shape::Table(keys) if keys.iter().any(|key| key.name == "left") => format!(
            "say which side: `{name} = {{ left = ..., right = ... }}`; leave out a side nobody assessed"
        ),
        _ => format!("write a table: `[{path}]` with its keys on the lines below"),
    }
}
