//! Where a key stands in a case file: the parts of its name, and the table they lead to.

use toml_edit::{InlineTable, Item, Table, TableLike, Value};

/// Tables that open a section of their own when they are written for the first time.
const SECTIONS: [&str; 10] = [
    "visit",
    "person",
    "findings",
    "weight_bearing",
    "weight_bearing.left",
    "weight_bearing.right",
    "home",
    "home.clear_floor",
    "home.equipment",
    "last_programme",
];

/// One part of a key.
#[derive(Clone, Copy)]
pub(super) struct Part<'k> {
    pub(super) name: &'k str,
    /// Place in a list, from 0.
    pub(super) entry: Option<usize>,
}

/// The parts of a key.
pub(super) fn parts(key: &str) -> Vec<Part<'_>> {
    key.split('.')
        .map(|part| match part.strip_suffix(']').and_then(|part| part.split_once('[')) {
            Some((name, number)) => {
                Part { name, entry: number.parse::<usize>().ok().and_then(|n| n.checked_sub(1)) }
            }
            None => Part { name: part, entry: None },
        })
        .collect()
}

/// What stands at a path, when it is there.
pub(super) fn find<'a>(table: &'a dyn TableLike, path: &[Part<'_>]) -> Option<&'a Item> {
    let (first, rest) = path.split_first()?;
    // A finding that is a table may be written as `{ value = { .. }, on = .. }`.
    let item = table
        .get(first.name)
        .or_else(|| table.get("value").and_then(Item::as_table_like).and_then(|t| t.get(first.name)))?;
    let below: &dyn TableLike = match (first.entry, item) {
        (None, _) if rest.is_empty() => return Some(item),
        (None, _) => item.as_table_like()?,
        (Some(at), Item::ArrayOfTables(tables)) => tables.get(at)?,
        (Some(at), _) => item.as_array()?.get(at)?.as_inline_table()?,
    };
    find(below, rest)
}

/// The table at a path, when it is there.
pub(super) fn table_of<'a>(table: &'a mut dyn TableLike, path: &[Part<'_>]) -> Option<&'a mut dyn TableLike> {
    let Some((first, rest)) = path.split_first() else { return Some(table) };
    let item = table.get_mut(first.name)?;
    let below: &mut dyn TableLike = match (first.entry, item) {
        (None, item) => item.as_table_like_mut()?,
        (Some(at), Item::ArrayOfTables(tables)) => tables.get_mut(at)?,
        (Some(at), item) => item.as_array_mut()?.get_mut(at)?.as_inline_table_mut()?,
    };
    table_of(below, rest)
}

/// The table in which a key stands, made where it is not there yet, and the last part of the key.
pub(super) fn place<'a, 'k>(root: &'a mut Table, key: &'k str) -> (&'a mut dyn TableLike, &'k str) {
    let all = parts(key);
    let (last, way) = match all.split_last() {
        Some((last, way)) => (last.name, way),
        None => (key, &[][..]),
    };
    let mut path = String::new();
    let mut table: &mut dyn TableLike = root;
    for part in way {
        if !path.is_empty() {
            path.push('.');
        }
        path.push_str(part.name);
        let is_there = table.get(part.name).is_some_and(|item| item.is_table_like() || part.entry.is_some());
        if !is_there {
            let new = if SECTIONS.contains(&path.as_str()) || path == "goals" {
                let mut new = Table::new();
                new.set_implicit(path == "weight_bearing");
                Item::Table(new)
            } else {
                Item::Value(Value::InlineTable(InlineTable::new()))
            };
            table.insert(part.name, new);
        }
        let item = table.entry(part.name).or_insert(Item::None);
        let below = match (part.entry, item) {
            (Some(at), Item::ArrayOfTables(tables)) => {
                tables.get_mut(at).map(|one| one as &mut dyn TableLike)
            }
            (Some(at), Item::Value(Value::Array(array))) => {
                array.get_mut(at).and_then(Value::as_inline_table_mut).map(|one| one as &mut dyn TableLike)
            }
            (_, item) => item.as_table_like_mut(),
        };
        // An entry that a key names was counted or pushed before, and a table was put here above.
        table = below.unwrap_or_else(|| unreachable!("`{key}` leads nowhere"));
    }
    (table, last)
}
