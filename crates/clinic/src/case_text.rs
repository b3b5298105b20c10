//! The text of a case file, read and changed key by key: comments and order stay.
//!
//! A key is written as the problems of `person::case_file` write it: `findings.knee_flexion.left`,
//! `conditions[1].side` (entries count from 1). What this module writes is read by
//! `person::case_file::read` before anything is stored; it checks nothing itself.

use std::collections::BTreeMap;

use jiff::civil::Date;
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

mod came_home;
mod place;
mod value;
mod visit;

use place::{find, parts, place, table_of};
pub use value::CaseValue;
use value::{plain, toml, written};

/// The text that stands for "nobody has looked".
const NOT_ASSESSED: &str = "not assessed";

/// What stands at a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Given {
    /// As it is written, without quotation marks; entries of a list with commas between them.
    pub text: String,
    /// The day that stands with it; none when it is of the day of the visit.
    pub on: Option<Date>,
}

/// A case file that is being changed.
#[derive(Clone, Debug)]
pub struct CaseText {
    document: DocumentMut,
}

impl CaseText {
    /// Takes a text over; none when it is not TOML.
    #[must_use]
    pub fn of(text: &str) -> Option<Self> {
        text.parse().ok().map(|document| Self { document })
    }

    /// A text with nothing in it but its head and the day of the visit.
    #[must_use]
    pub fn begun(visit: Date, invented: bool) -> Self {
        let mut text = Self { document: DocumentMut::new() };
        text.set("format", &CaseValue::Text(person::case_file::FORMAT.to_owned()));
        text.set("version", &CaseValue::Whole(i64::from(person::case_file::VERSION)));
        if invented {
            text.set("invented", &CaseValue::Flag(true));
            text.set("planned_for", &CaseValue::Day(visit));
        }
        text.set("visit.date", &CaseValue::Day(visit));
        text
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> String {
        self.document.to_string()
    }

    /// The day of the visit.
    #[must_use]
    pub fn visit(&self) -> Option<Date> {
        self.given("visit.date").and_then(|given| given.text.parse().ok())
    }

    /// What stands at a key; none when nothing does, or nobody has looked.
    #[must_use]
    pub fn given(&self, key: &str) -> Option<Given> {
        let item = find(self.document.as_table(), &parts(key))?;
        let (value, on) = match item.as_table_like() {
            Some(table) => (table.get("value")?, table.get("on").map(written)),
            None => (item, None),
        };
        if value.is_table_like() {
            return None;
        }
        let text = written(value);
        (text != NOT_ASSESSED).then(|| Given { text, on: on.and_then(|day| day.parse().ok()) })
    }

    /// The entries of a list of plain values at a key; none when it is not there.
    #[must_use]
    pub fn list(&self, key: &str) -> Option<Vec<String>> {
        let item = find(self.document.as_table(), &parts(key))?;
        let item = item.as_table_like().and_then(|table| table.get("value")).unwrap_or(item);
        Some(item.as_array()?.iter().map(plain).collect())
    }

    /// How many entries a list of tables has.
    #[must_use]
    pub fn entries(&self, key: &str) -> usize {
        match find(self.document.as_table(), &parts(key)) {
            Some(Item::ArrayOfTables(tables)) => tables.len(),
            Some(Item::Value(Value::Array(array))) => array.len(),
            _ => 0,
        }
    }

    /// Writes a value; a comment behind the old one stays.
    pub fn set(&mut self, key: &str, value: &CaseValue) {
        let (table, name) = place(self.document.as_table_mut(), key);
        let mut new = toml(value);
        match table.get_mut(name) {
            Some(Item::Value(old)) => {
                *new.decor_mut() = old.decor().clone();
                *old = new;
            }
            Some(other) => *other = Item::Value(new),
            None => {
                table.insert(name, Item::Value(new));
            }
        }
    }

    /// Writes a finding of a day.
    pub fn set_found(&mut self, key: &str, value: CaseValue, on: Date) {
        if self.visit() == Some(on) {
            self.set(key, &value);
        } else {
            self.set(key, &CaseValue::Table(vec![("value", value), ("on", CaseValue::Day(on))]));
        }
    }

    /// Takes a key out, and the table around it where nothing is left in it.
    pub fn remove(&mut self, key: &str) {
        let all = parts(key);
        for depth in (1..=all.len()).rev() {
            let Some(table) = table_of(self.document.as_table_mut(), &all[..depth - 1]) else { return };
            let name = all[depth - 1].name;
            let is_empty = all[depth - 1].entry.is_none()
                && table.get(name).and_then(Item::as_table_like).is_some_and(|t| t.iter().next().is_none());
            if depth < all.len() && !is_empty {
                return;
            }
            table.remove(name);
        }
    }

    /// Adds an entry to a list of tables and says its place, from 1.
    pub fn push(&mut self, key: &str, entry: &[(&'static str, CaseValue)]) -> usize {
        let (table, name) = place(self.document.as_table_mut(), key);
        if table.get(name).is_none_or(Item::is_none) {
            table.insert(name, Item::ArrayOfTables(ArrayOfTables::new()));
        }
        match table.get_mut(name) {
            Some(Item::ArrayOfTables(tables)) => {
                let mut new = Table::new();
                for (key, value) in entry {
                    new.insert(key, Item::Value(toml(value)));
                }
                tables.push(new);
                tables.len()
            }
            Some(Item::Value(Value::Array(array))) => {
                array.push(toml(&CaseValue::Table(entry.to_vec())));
                array.len()
            }
            _ => 0,
        }
    }

    /// Takes an entry of a list out; places count from 1. An empty list goes altogether.
    pub fn remove_entry(&mut self, key: &str, number: usize) {
        let (table, name) = place(self.document.as_table_mut(), key);
        let at = number.saturating_sub(1);
        let left = match table.get_mut(name) {
            Some(Item::ArrayOfTables(tables)) if at < tables.len() => {
                tables.remove(at);
                tables.len()
            }
            Some(Item::Value(Value::Array(array))) if at < array.len() => {
                array.remove(at);
                array.len()
            }
            _ => return,
        };
        if left == 0 {
            table.remove(name);
        }
    }

    /// Adds to a list of tables that stands on one line, such as `conditions[1].confirmed`.
    pub fn push_inline(&mut self, key: &str, entry: Vec<(&'static str, CaseValue)>) {
        let (table, name) = place(self.document.as_table_mut(), key);
        match table.get_mut(name) {
            Some(Item::Value(Value::Array(array))) => array.push(toml(&CaseValue::Table(entry))),
            Some(Item::ArrayOfTables(tables)) => {
                let mut new = Table::new();
                for (key, value) in &entry {
                    new.insert(key, Item::Value(toml(value)));
                }
                tables.push(new);
            }
            _ => {
                table.insert(name, Item::Value(toml(&CaseValue::List(vec![CaseValue::Table(entry)]))));
            }
        }
    }

    /// Every value with its key, in the order of the keys; the day of a finding stands behind it.
    #[must_use]
    pub fn all(&self) -> BTreeMap<String, String> {
        let mut out = BTreeMap::new();
        gather(&mut out, "", self.document.as_table());
        out
    }
}

fn gather(out: &mut BTreeMap<String, String>, path: &str, table: &dyn TableLike) {
    for (name, item) in table.iter() {
        let key = if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
        match item {
            Item::ArrayOfTables(tables) => {
                for (at, one) in tables.iter().enumerate() {
                    gather(out, &format!("{key}[{}]", at + 1), one);
                }
            }
            Item::Value(Value::Array(array)) if array.iter().any(Value::is_inline_table) => {
                for (at, one) in array.iter().enumerate() {
                    if let Some(table) = one.as_inline_table() {
                        gather(out, &format!("{key}[{}]", at + 1), table);
                    }
                }
            }
            _ => match item.as_table_like() {
                Some(table) => match table.get("value") {
                    Some(value) => {
                        let on = table.get("on").map(|on| format!(", on {}", written(on)));
                        out.insert(key, format!("{}{}", written(value), on.unwrap_or_default()));
                    }
                    None => gather(out, &key, table),
                },
                None => {
                    out.insert(key, written(item));
                }
            },
        }
    }
}
