//! A new day of the visit: what was found before keeps the day on which it was found.

use jiff::civil::Date;
use toml_edit::{InlineTable, Item, TableLike, Value};

use super::{CaseText, CaseValue, NOT_ASSESSED, toml};

/// Findings of a condition that grow old. What does not change, such as the approach, does not.
const OF_A_CONDITION: [&str; 4] = ["medial_or_varus_thrust", "someone_at_home", "alone_waived", "ceiling"];

impl CaseText {
    /// Moves the visit to a later day. Everything that was found on the visit until now is written
    /// with its day, so that nothing becomes younger than it is. An earlier day changes nothing.
    pub fn move_visit(&mut self, to: Date) {
        let before = match self.visit() {
            Some(day) if day >= to => return,
            Some(day) => day,
            None => return self.set("visit.date", &CaseValue::Day(to)),
        };
        let root = self.document.as_table_mut();
        if let Some(found) = root.get_mut("findings").and_then(Item::as_table_like_mut) {
            date_all(found, before);
        }
        for key in ["weight_bearing"] {
            let Some(legs) = root.get_mut(key).and_then(Item::as_table_like_mut) else { continue };
            for (_, leg) in legs.iter_mut() {
                if let Some(order) = leg.as_table_like_mut()
                    && order.get("value").is_none()
                {
                    date_entry(order, before);
                }
            }
        }
        each(root.get_mut("hurt"), |entry| date_entry(entry, before));
        each(root.get_mut("strength"), |entry| date_one(entry, "moment", before));
        each(root.get_mut("conditions"), |entry| {
            for key in OF_A_CONDITION {
                date_one(entry, key, before);
            }
        });
        if let Some(home) = root.get_mut("home").and_then(Item::as_table_like_mut) {
            date_one(home, "helper", before);
            if let Some(floor) = home.get_mut("clear_floor").and_then(Item::as_table_like_mut) {
                date_all(floor, before);
            }
        }
        self.set("visit.date", &CaseValue::Day(to));
    }
}

fn each(list: Option<&mut Item>, change: impl Fn(&mut dyn TableLike)) {
    match list {
        Some(Item::ArrayOfTables(tables)) => tables.iter_mut().for_each(|table| change(table)),
        Some(Item::Value(Value::Array(array))) => {
            for entry in array.iter_mut().filter_map(Value::as_inline_table_mut) {
                change(entry);
            }
        }
        _ => {}
    }
}

/// Every finding of a table, and both sides of those that have sides.
fn date_all(table: &mut dyn TableLike, on: Date) {
    let names: Vec<String> = table.iter().map(|(name, _)| name.to_owned()).collect();
    for name in names {
        match table.get_mut(&name).and_then(Item::as_table_like_mut) {
            Some(inner) if inner.get("value").is_some() => {}
            Some(sides) => date_all(sides, on),
            None => date_one(table, &name, on),
        }
    }
}

/// Writes one finding with its day, unless it has one or nobody looked.
fn date_one(table: &mut dyn TableLike, name: &str, on: Date) {
    let Some(Item::Value(value)) = table.get_mut(name) else { return };
    if value.is_inline_table() || value.as_str() == Some(NOT_ASSESSED) {
        return;
    }
    let mut dated = InlineTable::new();
    let decor = value.decor().clone();
    let mut inner = value.clone();
    inner.decor_mut().clear();
    dated.insert("value", inner);
    dated.insert("on", toml(&CaseValue::Day(on)));
    let mut new = Value::InlineTable(dated);
    *new.decor_mut() = decor;
    *value = new;
}

/// An entry whose day stands beside its other keys.
fn date_entry(table: &mut dyn TableLike, on: Date) {
    if table.get("on").is_none() {
        table.insert("on", Item::Value(toml(&CaseValue::Day(on))));
    }
}
