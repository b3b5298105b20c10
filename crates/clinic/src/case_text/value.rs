//! A value as it is written into a case file, and as it is read out of one.

use jiff::civil::Date;
use toml_edit::{Array, InlineTable, Item, Value};

/// A value to be written.
#[derive(Clone, Debug, PartialEq)]
pub enum CaseValue {
    /// Yes or no.
    Flag(bool),
    /// A whole number.
    Whole(i64),
    /// A number.
    Decimal(f64),
    /// A word, a sentence, or a quantity with its unit.
    Text(String),
    /// A day.
    Day(Date),
    /// A list.
    List(Vec<CaseValue>),
    /// A table on one line.
    Table(Vec<(&'static str, CaseValue)>),
}

pub(super) fn toml(value: &CaseValue) -> Value {
    match value {
        CaseValue::Flag(yes) => Value::from(*yes),
        CaseValue::Whole(number) => Value::from(*number),
        CaseValue::Decimal(number) => Value::from(*number),
        CaseValue::Text(text) => Value::from(text.as_str()),
        CaseValue::Day(day) => {
            // A date of jiff between the years 0 and 9999 is a date of TOML.
            day.to_string()
                .parse::<toml_edit::Datetime>()
                .map_or_else(|_| Value::from(day.to_string()), Value::from)
        }
        CaseValue::List(all) => Value::Array(all.iter().map(toml).collect::<Array>()),
        CaseValue::Table(all) => {
            let mut table = InlineTable::new();
            for (key, value) in all {
                table.insert(*key, toml(value));
            }
            Value::InlineTable(table)
        }
    }
}

pub(super) fn written(item: &Item) -> String {
    item.as_value().map(plain).unwrap_or_default()
}

pub(super) fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.value().clone(),
        Value::Integer(number) => number.value().to_string(),
        Value::Float(number) => number.value().to_string(),
        Value::Boolean(yes) => yes.value().to_string(),
        Value::Datetime(day) => day.value().to_string(),
        Value::Array(all) => all.iter().map(plain).collect::<Vec<_>>().join(", "),
        Value::InlineTable(table) => {
            table.iter().map(|(key, value)| format!("{key} {}", plain(value))).collect::<Vec<_>>().join(", ")
        }
    }
}
