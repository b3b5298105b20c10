//! From what was typed to a changed case: only what differs from what was shown is written.

use anatomy::Side;
use clinic::{CaseText, CaseValue};
use jiff::civil::Date;

use super::fields::{Ask, Row};
use super::shown::shown;
use crate::fields::Fields;

/// A case that is being changed by a form.
pub(super) struct Entry<'a> {
    pub fields: &'a Fields,
    /// What the form showed.
    pub base: CaseText,
    /// What is saved now: more than that, when somebody saved meanwhile.
    before: CaseText,
    /// What is written.
    pub text: CaseText,
    /// The day of what was found now.
    pub found_on: Date,
    /// Who is signed in.
    pub me: &'a str,
    /// Keys that somebody else changed meanwhile, to something else.
    pub clashes: Vec<String>,
    /// Places of new entries: the key in the text, the name in the form.
    pub renamed: Vec<(String, String)>,
    /// Entries to be taken out at the end: list and place.
    gone: Vec<(&'static str, usize)>,
}

impl<'a> Entry<'a> {
    /// `base` is what the form showed, `before` what is saved now, `text` the same with the day of the
    /// visit moved.
    pub(super) fn new(
        fields: &'a Fields,
        [base, before, text]: [CaseText; 3],
        found_on: Date,
        me: &'a str,
    ) -> Self {
        let (clashes, renamed, gone) = (Vec::new(), Vec::new(), Vec::new());
        Self { fields, base, before, text, found_on, me, clashes, renamed, gone }
    }

    /// What was typed in a field; none when the form did not have it.
    pub(super) fn typed(&self, name: &str) -> Option<&'a str> {
        self.fields.has(name).then(|| self.fields.get(name).trim())
    }

    /// What was typed, when it is not what was shown.
    pub(super) fn changed(&self, path: &str, ask: Ask) -> Option<&'a str> {
        let typed = self.typed(path)?;
        let before = self.base.given(path).map(|given| shown(ask, &given.text)).unwrap_or_default();
        (typed != before).then_some(typed)
    }

    /// Whether a key may be written: nobody else changed it meanwhile.
    fn may(&mut self, path: &str) -> bool {
        let free = standing(&self.base, path) == standing(&self.before, path);
        if !free {
            self.clashes.push(path.to_owned());
        }
        free
    }

    /// Takes over a value without a day.
    pub(super) fn plain(&mut self, path: &str, ask: Ask) {
        let Some(typed) = self.changed(path, ask) else { return };
        if !self.may(path) {
            return;
        }
        match value(ask, typed) {
            Some(value) => self.text.set(path, &value),
            None => self.text.remove(path),
        }
    }

    /// Takes over a finding of today.
    pub(super) fn found(&mut self, path: &str, ask: Ask, on: Date) {
        let Some(typed) = self.changed(path, ask) else { return };
        if !self.may(path) {
            return;
        }
        match value(ask, typed) {
            Some(value) => self.text.set_found(path, value, on),
            None => self.text.remove(path),
        }
    }

    /// Takes over one row: its value on each side, or a new day for the value it had.
    pub(super) fn row(&mut self, row: &Row) {
        let on = self.day_typed(&row.path);
        let again = self.fields.all("again").any(|path| path == row.path);
        for path in row.paths() {
            if self.changed(&path, row.ask).is_some() {
                self.found(&path, row.ask, on.unwrap_or(self.found_on));
            } else if (again || on.is_some()) && self.typed(&path).is_some_and(|typed| !typed.is_empty()) {
                let value = self.typed(&path).and_then(|typed| value(row.ask, typed));
                if let Some(value) = value
                    && self.may(&path)
                {
                    self.text.set_found(&path, value, on.unwrap_or(self.found_on));
                }
            }
        }
    }

    /// The day that was typed beside a row.
    fn day_typed(&self, path: &str) -> Option<Date> {
        self.typed(&format!("on:{path}")).and_then(|day| day.parse().ok())
    }

    /// An entry of a list is to go; it goes at the end, so that places hold until then.
    pub(super) fn take_out(&mut self, list: &'static str, place: usize) {
        self.gone.push((list, place));
    }

    /// Whether somebody else added to or took from a list; then it is not touched.
    pub(super) fn list_moved(&mut self, list: &str) -> bool {
        let moved = self.base.entries(list) != self.before.entries(list);
        if moved {
            self.clashes.push(list.to_owned());
        }
        moved
    }

    /// Takes out what is to go.
    pub(super) fn finish(&mut self) {
        self.gone.sort_by_key(|(list, place)| (*list, std::cmp::Reverse(*place)));
        for (list, place) in std::mem::take(&mut self.gone) {
            self.text.remove_entry(list, place);
        }
    }
}

/// What stands at a key with the day it is of, written there or not.
fn standing(text: &CaseText, path: &str) -> Option<(String, Option<Date>)> {
    text.given(path).map(|given| (given.text, given.on.or_else(|| text.visit())))
}

impl Row {
    /// The keys of its values.
    pub(super) fn paths(&self) -> Vec<String> {
        if self.sided {
            Side::BOTH.map(|side| format!("{}.{side}", self.path)).to_vec()
        } else {
            vec![self.path.clone()]
        }
    }
}

/// A typed value as it is written; none when the field was left empty. What cannot be a value of its
/// kind is written as it was typed, so that the reader of the case file says what is accepted.
pub(super) fn value(ask: Ask, typed: &str) -> Option<CaseValue> {
    if typed.is_empty() {
        return None;
    }
    let text = || CaseValue::Text(typed.to_owned());
    Some(match ask {
        Ask::YesNo => match typed {
            "yes" => CaseValue::Flag(true),
            "no" => CaseValue::Flag(false),
            _ => text(),
        },
        Ask::Score | Ask::Whole | Ask::Grade(_) => match (typed.parse::<i64>(), typed.parse::<f64>()) {
            (Ok(number), _) => CaseValue::Whole(number),
            (_, Ok(number)) if number.is_finite() => CaseValue::Decimal(number),
            _ => text(),
        },
        Ask::Quantity(unit) if typed.parse::<f64>().is_ok() => CaseValue::Text(format!("{typed} {unit}")),
        Ask::Day => typed.parse::<Date>().map_or_else(|_| text(), CaseValue::Day),
        Ask::Quantity(_) | Ask::Choice(_) | Ask::Text => text(),
    })
}
