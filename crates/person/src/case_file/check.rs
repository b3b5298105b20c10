//! Checks TOML against the table of keys: every key known, every value of the right shape.

use std::collections::BTreeMap;

use jiff::civil::Date;
use movement::Bearing;
use toml_edit::{Item, TableLike, Value};

use super::format::format;
use super::nearest::nearest;
use super::node::{Checked, Fields, Node};
use super::problem::Problems;
use super::shape::{Bounds, Key, Kind, Shape, Unit};

/// The text that stands for "nobody has looked".
pub(super) const NOT_ASSESSED: &str = "not assessed";

/// The longest text that is read, in letters.
pub(super) const LONGEST_TEXT: usize = 400;

/// The text of a file with the lines of its bytes.
pub(super) struct Source<'t> {
    pub text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Source<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { text, starts }
    }

    /// The line of a byte, counted from 1.
    pub(super) fn line(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte).max(1)
    }

    /// The text of a line, counted from 1.
    pub(super) fn line_text(&self, line: usize) -> &'t str {
        self.text.lines().nth(line - 1).unwrap_or_default()
    }

    fn given(&self, span: Option<std::ops::Range<usize>>) -> String {
        shorten(span.and_then(|span| self.text.get(span)).unwrap_or("a table"))
    }
}

/// The first line of a text, cut where it becomes long.
pub(super) fn shorten(text: &str) -> String {
    const LONGEST: usize = 60;
    let first = text.trim().lines().next().unwrap_or_default();
    if first.chars().count() > LONGEST || first.len() < text.trim().len() {
        format!("{} …", first.chars().take(LONGEST).collect::<String>())
    } else {
        first.to_owned()
    }
}

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

/// Checks a whole file.
pub(super) fn check(source: &Source<'_>, top: &dyn TableLike, problems: &mut Problems) -> Fields {
    Checker { source, problems }.table("", 1, top, format(), None)
}

struct Checker<'c, 't> {
    source: &'c Source<'t>,
    problems: &'c mut Problems,
}

impl Checker<'_, '_> {
    fn place<'i>(&self, item: &'i Item, line: usize) -> Option<Place<'i>> {
        let text = self.source.given(item.span());
        match item {
            Item::None => None,
            Item::Value(value) => Some(self.value_place(value, line)),
            Item::Table(table) => {
                Some(Place { given: Given::Table(table), line, text: "a table".to_owned() })
            }
            Item::ArrayOfTables(tables) => {
                let entries = tables
                    .iter()
                    .map(|table| Place {
                        line: table.span().map_or(line, |span| self.source.line(span.start)),
                        given: Given::Table(table),
                        text: "a table".to_owned(),
                    })
                    .collect();
                Some(Place { given: Given::Entries(entries), line, text })
            }
        }
    }

    fn value_place<'i>(&self, value: &'i Value, line: usize) -> Place<'i> {
        let line = value.span().map_or(line, |span| self.source.line(span.start));
        let text = self.source.given(value.span());
        let given = match value {
            Value::InlineTable(table) => Given::Table(table),
            Value::Array(array) => {
                Given::Entries(array.iter().map(|entry| self.value_place(entry, line)).collect())
            }
            plain => Given::Value(plain),
        };
        Place { given, line, text }
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
        for (name, item) in table.iter() {
            if kind.is_some_and(|(tag, _)| tag == name) {
                continue;
            }
            let at = table.key(name).and_then(toml_edit::Key::span);
            let at = at.or_else(|| item.span()).map_or(line, |span| self.source.line(span.start));
            let full = format!("{path}{name}");
            let Some(key) = keys.iter().find(|key| key.name == name) else {
                self.unknown(&full, name, at, keys, kind);
                continue;
            };
            if let Some(node) = self.place(item, at).and_then(|place| self.value(&full, place, &key.shape)) {
                map.insert(key.name, node);
            }
        }
        for key in keys.iter().filter(|key| key.essential && !table.contains_key(key.name)) {
            let how = match key.example {
                "" => format!("add `[{path}{}]`: {}", key.name, key.about),
                example => format!("add for example `{} = {example}`: {}", key.name, key.about),
            };
            self.problems.add(line, format!("{path}{}", key.name), "", key.shape.accepted(), how);
        }
        Fields { path: path.to_owned(), line, map, kind: kind.map(|(_, word)| word) }
    }

    fn unknown(&mut self, full: &str, name: &str, line: usize, keys: &[Key], kind: Option<(&str, &str)>) {
        let names = || keys.iter().map(|key| key.name);
        let accepted =
            format!("the keys {}", names().chain(kind.map(|(tag, _)| tag)).collect::<Vec<_>>().join(", "));
        let to_do = if let Some(near) = nearest(name, names()) {
            format!("write `{near}` if that is meant, else take the line out")
        } else if let Some(path) = elsewhere(name) {
            format!("`{name}` belongs in {path}; move it there, else take the line out")
        } else {
            "take the line out, or write it as a comment (`#`)".to_owned()
        };
        self.problems.add(
            line,
            full,
            shorten(name),
            format!("a key of this format; here: {}", accepted),
            to_do,
        );
    }

    fn value(&mut self, path: &str, place: Place<'_>, shape: &'static Shape) -> Option<Node> {
        let line = place.line;
        let value = match (shape, &place.given) {
            (Shape::Finding(inner), _) => return self.finding(path, place, shape, inner),
            (Shape::Table(keys), Given::Table(table)) => {
                Checked::Table(self.table(&format!("{path}."), line, *table, keys, None))
            }
            (Shape::Kinds(tag, kinds), Given::Table(table)) => {
                Checked::Table(self.kinds(path, line, *table, tag, kinds)?)
            }
            (Shape::List(inner), Given::Entries(_)) => {
                let Given::Entries(entries) = place.given else { return None };
                Checked::List(self.entries(path, entries, inner))
            }
            (Shape::Text, Given::Value(Value::String(text))) => {
                let text = text.value();
                if text.trim().is_empty()
                    || text.chars().any(|c| c.is_control())
                    || text.chars().count() > LONGEST_TEXT
                {
                    let to_do =
                        format!("write 1 to {LONGEST_TEXT} letters on one line, or take the line out");
                    self.wrong(path, &place, shape, &to_do);
                    return None;
                }
                Checked::Text(text.trim().to_owned())
            }
            (Shape::Flag, Given::Value(Value::Boolean(flag))) => Checked::Flag(*flag.value()),
            (Shape::Date, Given::Value(value)) => match date(value) {
                Some(date) => Checked::Date(date),
                None => {
                    self.wrong(path, &place, shape, "write year, month, day: 2026-02-03");
                    return None;
                }
            },
            (Shape::Bearing, Given::Value(value)) => match bearing(value) {
                Some(bearing) => Checked::Bearing(bearing),
                None => {
                    self.wrong(
                        path,
                        &place,
                        shape,
                        "say where on the floor, seen from above, never by anatomy",
                    );
                    return None;
                }
            },
            (Shape::Word(words), Given::Value(Value::String(text))) => {
                let text = text.value();
                if words.contains(text) {
                    Checked::Text(text.clone())
                } else {
                    let to_do = match nearest(text, words.iter().map(String::as_str)) {
                        Some(near) => format!("write \"{near}\" if that is meant"),
                        None => "write one of the accepted words".to_owned(),
                    };
                    self.wrong(path, &place, shape, &to_do);
                    return None;
                }
            }
            (Shape::Number(unit, bounds), Given::Value(value)) => {
                Checked::Number(self.number(path, &place, value, shape, *unit, bounds)?)
            }
            _ => {
                let to_do = wrong_shape(shape, path);
                self.wrong(path, &place, shape, &to_do);
                return None;
            }
        };
        Some(Node { line, value })
    }

    fn entries(&mut self, path: &str, entries: Vec<Place<'_>>, inner: &'static Shape) -> Vec<Node> {
        let mut seen: Vec<String> = Vec::new();
        let mut nodes = Vec::new();
        for (index, entry) in entries.into_iter().enumerate() {
            let full = format!("{path}[{}]", index + 1);
            if matches!(entry.given, Given::Value(_)) {
                if seen.contains(&entry.text) {
                    self.problems.add(
                        entry.line,
                        &full,
                        &entry.text,
                        "each entry once",
                        "take the second one out",
                    );
                    continue;
                }
                seen.push(entry.text.clone());
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
        let full = format!("{path}.{tag}");
        let words = || kinds.iter().map(|kind| kind.name);
        let accepted = format!("one of {}", words().collect::<Vec<_>>().join(", "));
        let Some(item) = table.get(tag) else {
            self.problems.add(
                line,
                full,
                "",
                accepted,
                format!("add for example `{tag} = \"{}\"`", kinds[0].name),
            );
            return None;
        };
        let given = self.place(item, line)?;
        let word = item.as_str();
        let Some(kind) = kinds.iter().find(|kind| Some(kind.name) == word) else {
            let to_do = match word.and_then(|word| nearest(word, words())) {
                Some(near) => format!("write \"{near}\" if that is meant"),
                None if words().any(|w| w == "other") => {
                    "write \"other\" for a condition without a preset, with name and ceiling".to_owned()
                }
                None => "write one of the accepted words".to_owned(),
            };
            self.problems.add(given.line, full, given.text, accepted, to_do);
            return None;
        };
        Some(self.table(&format!("{path}."), line, table, &kind.keys, Some((tag, kind.name))))
    }

    fn finding(
        &mut self,
        path: &str,
        place: Place<'_>,
        shape: &'static Shape,
        inner: &'static Shape,
    ) -> Option<Node> {
        let line = place.line;
        if let Given::Value(Value::String(text)) = &place.given
            && text.value() == NOT_ASSESSED
        {
            return Some(Node { line, value: Checked::NotAssessed });
        }
        let dated = match (&place.given, inner) {
            (Given::Table(table), inner) if !matches!(inner, Shape::Table(_)) => Some(*table),
            _ => None,
        };
        let Some(table) = dated else {
            let place = Place { line, ..place };
            if matches!((&place.given, inner), (Given::Value(_), Shape::List(_) | Shape::Table(_))) {
                let to_do = wrong_shape(inner, path);
                self.wrong(path, &place, shape, &to_do);
                return None;
            }
            let value = self.value(path, place, inner)?;
            return Some(Node { line, value: Checked::Found { value: Box::new(value), on: None } });
        };
        for (name, item) in table.iter().filter(|(name, _)| !["value", "on"].contains(name)) {
            let at = table.key(name).and_then(toml_edit::Key::span).or_else(|| item.span());
            let at = at.map_or(line, |span| self.source.line(span.start));
            self.problems.add(
                at,
                format!("{path}.{name}"),
                shorten(name),
                "a finding is the plain value or `{ value = ..., on = DATE }`",
                "write `value` and `on`, nothing else",
            );
        }
        let on = table
            .get("on")
            .and_then(|item| self.place(item, line))
            .and_then(|place| self.value(&format!("{path}.on"), place, &Shape::Date));
        let on = on.and_then(|node| {
            let line = node.line;
            Some((node.date()?, line))
        });
        let Some(item) = table.get("value") else {
            self.problems.add(
                line,
                format!("{path}.value"),
                "",
                inner.accepted(),
                "write `{ value = ..., on = DATE }`, or leave the finding out when nobody looked",
            );
            return None;
        };
        let place = self.place(item, line)?;
        if let Given::Value(Value::String(text)) = &place.given
            && text.value() == NOT_ASSESSED
        {
            return Some(Node { line, value: Checked::NotAssessed });
        }
        let value = self.value(&format!("{path}.value"), place, inner)?;
        Some(Node { line, value: Checked::Found { value: Box::new(value), on } })
    }

    fn number(
        &mut self,
        path: &str,
        place: &Place<'_>,
        value: &Value,
        shape: &'static Shape,
        unit: Unit,
        bounds: &Bounds,
    ) -> Option<f64> {
        let name = path.rsplit('.').next().unwrap_or(path);
        let plain = match value {
            Value::Integer(number) => Some(*number.value() as f64),
            Value::Float(number) => Some(*number.value()),
            _ => None,
        };
        let read = match (unit, plain, value) {
            (Unit::Whole | Unit::Decimal, Some(number), _) => {
                if unit == Unit::Whole && number.fract() != 0.0 {
                    self.wrong(path, place, shape, "write it without a decimal point");
                    return None;
                }
                number
            }
            (Unit::Whole | Unit::Decimal, None, _) => {
                self.wrong(path, place, shape, "write the number alone, without quotation marks or unit");
                return None;
            }
            (_, Some(_), _) => {
                let symbol = unit.symbols()[0];
                let to_do =
                    format!("write the unit behind it, for example `{name} = \"{} {symbol}\"`", place.text);
                self.wrong(path, place, shape, &to_do);
                return None;
            }
            (_, None, Value::String(text)) => match unit.read(text.value()) {
                Ok(number) => number,
                Err(error) => {
                    self.wrong(path, place, shape, &format!("mend it: {error}"));
                    return None;
                }
            },
            _ => {
                let to_do = wrong_shape(shape, path);
                self.wrong(path, place, shape, &to_do);
                return None;
            }
        };
        if !bounds.hold(read) {
            self.wrong(path, place, shape, "look for a slipped digit, a wrong unit or the wrong key");
            return None;
        }
        Some(read)
    }

    fn wrong(&mut self, path: &str, place: &Place<'_>, shape: &Shape, to_do: &str) {
        self.problems.add(place.line, path, &place.text, shape.accepted(), to_do);
    }
}

fn wrong_shape(shape: &Shape, path: &str) -> String {
    let name = path.rsplit('.').next().unwrap_or(path);
    match shape {
        Shape::List(_) => format!("put the entries in square brackets, or write `[[{path}]]` for each table"),
        Shape::Table(keys) if keys.len() == 2 && keys[0].name == "left" => {
            format!(
                "say which side: `{name} = {{ left = ..., right = ... }}`; leave out a side that was not assessed"
            )
        }
        Shape::Table(_) | Shape::Kinds(..) => {
            format!("write a table: `[{path}]` with its keys on the lines below")
        }
        Shape::Text | Shape::Word(_) => "put it in quotation marks".to_owned(),
        Shape::Flag => {
            "write true or false without quotation marks, or leave it out when nobody looked".to_owned()
        }
        _ => "write what is accepted".to_owned(),
    }
}

/// A date, written as a TOML date or as text.
fn date(value: &Value) -> Option<Date> {
    match value {
        Value::Datetime(given) => {
            let given = given.value();
            let (date, None, None) = (given.date?, given.time, given.offset) else { return None };
            Date::new(
                i16::try_from(date.year).ok()?,
                i8::try_from(date.month).ok()?,
                i8::try_from(date.day).ok()?,
            )
            .ok()
        }
        Value::String(text) => {
            let text = text.value();
            (text.len() == "2026-02-03".len()).then(|| text.parse().ok()).flatten()
        }
        _ => None,
    }
}

/// A bearing, written in floor words or in degrees.
fn bearing(value: &Value) -> Option<Bearing> {
    let degrees = match value {
        Value::Integer(number) => u16::try_from(*number.value()).ok()?,
        Value::String(text) => {
            let text = text.value();
            if let Some(found) = Bearing::ALL.into_iter().find(|bearing| bearing.plain_words() == text) {
                return Some(found);
            }
            let degrees = quantity::Angle::parse(text).ok()?.in_deg();
            let whole = degrees.round();
            if (degrees - whole).abs() > 1e-9 || !(0.0..360.0).contains(&whole) {
                return None;
            }
            whole as u16
        }
        _ => return None,
    };
    Bearing::try_from(degrees).ok()
}

/// The table a key of this name belongs in, if there is one.
fn elsewhere(name: &str) -> Option<String> {
    fn search(name: &str, path: &str, keys: &[Key]) -> Option<String> {
        if keys.iter().any(|key| key.name == name) {
            return Some(if path.is_empty() {
                "the top of the file".to_owned()
            } else {
                format!("`[{path}]`")
            });
        }
        keys.iter().find_map(|key| {
            let below = if path.is_empty() { key.name.to_owned() } else { format!("{path}.{}", key.name) };
            match &key.shape {
                Shape::Table(keys) if keys.iter().all(|key| !["left", "forward"].contains(&key.name)) => {
                    search(name, &below, keys)
                }
                Shape::List(inner) => match inner.as_ref() {
                    Shape::Table(keys) => search(name, &below, keys),
                    Shape::Kinds(tag, kinds) => kinds.iter().find_map(|kind| {
                        search(name, &below, &kind.keys)
                            .map(|place| format!("{place} with `{tag} = \"{}\"`", kind.name))
                    }),
                    _ => None,
                },
                _ => None,
            }
        })
    }
    search(name, "", format())
}
