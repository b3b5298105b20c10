//! The fields of one test: names of the inputs, and from what was typed to the text of a measures file.

use std::fmt::Write as _;

use anatomy::Side;
use jiff::civil::Date;
use measurement::{Instrument, InstrumentKey, MadeFrom, Per, StanceDirection};

use crate::fields::Fields;

/// One limb and direction of a test that is entered together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Cell {
    pub(super) side: Option<Side>,
    pub(super) direction: Option<StanceDirection>,
}

/// Everything that one form asks: each limb, each direction.
pub(super) fn cells(test: &Instrument) -> Vec<Cell> {
    match test.per {
        Per::Person => vec![Cell { side: None, direction: None }],
        Per::Limb => Side::BOTH.into_iter().map(|side| Cell { side: Some(side), direction: None }).collect(),
        Per::Direction => Side::BOTH
            .into_iter()
            .flat_map(|side| {
                test.directions
                    .iter()
                    .map(move |direction| Cell { side: Some(side), direction: Some(*direction) })
            })
            .collect(),
    }
}

/// How many attempts have a line in the form.
pub(super) fn slots(test: &Instrument) -> usize {
    match test.from {
        MadeFrom::Stored | MadeFrom::Answer | MadeFrom::Derived => 1,
        MadeFrom::Items => usize::from(test.most_trials),
        MadeFrom::Trials => {
            let most = test.forms.iter().filter_map(|form| form.needs()).max().unwrap_or(test.trials);
            usize::from(most) + 2
        }
    }
}

impl Cell {
    /// The part of a field's name that stands for this limb and direction.
    pub(super) fn key(self) -> String {
        let side = self.side.map_or("person", |side| if side == Side::Left { "left" } else { "right" });
        self.direction.map_or(side.to_owned(), |direction| format!("{side}.{}", direction.name()))
    }

    /// Name of the field of an attempt.
    pub(super) fn value(self, n: usize) -> String {
        format!("v.{}.{n}", self.key())
    }

    /// Name of the field why an attempt does not count.
    pub(super) fn reason(self, n: usize) -> String {
        format!("r.{}.{n}", self.key())
    }

    /// What was tried, as it stands in a measures file; empty where nothing was typed.
    pub(super) fn trials(self, test: &Instrument, fields: &Fields) -> Vec<String> {
        (0..slots(test))
            .filter_map(|n| {
                let reason = fields.get(&self.reason(n)).trim();
                let typed = fields.get(&self.value(n)).trim().replace(',', ".");
                if !reason.is_empty() {
                    return Some(quoted(reason));
                }
                // What is no number is told by the reader of the file, with what is accepted.
                (!typed.is_empty()).then(|| if is_number(&typed) { typed } else { quoted(&typed) })
            })
            .collect()
    }
}

fn is_number(typed: &str) -> bool {
    let digits = typed.strip_prefix('-').unwrap_or(typed);
    let mut parts = digits.splitn(2, '.');
    let whole = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
    parts.next().is_some_and(whole) && parts.next().is_none_or(whole)
}

/// A text as TOML writes it.
fn quoted(text: &str) -> String {
    serde_json::to_string(text).unwrap_or_else(|_| "\"\"".to_owned())
}

/// The measures file of one test on one day; only of `only` where it is given. None where nothing was typed.
pub(super) fn file(
    key: InstrumentKey,
    fields: &Fields,
    (day, by): (Date, &str),
    only: Option<Cell>,
) -> Option<String> {
    let test = key.instrument();
    let mut out = format!(
        "format = \"footrose-measures\"\nversion = 1\nraters = \"unknown\"\n\n[[day]]\ndate = {day}\nby = {}\n",
        quoted(by)
    );
    let mut any = false;
    for cell in cells(test).into_iter().filter(|cell| only.is_none_or(|only| only == *cell)) {
        let trials = cell.trials(test, fields);
        if trials.is_empty() {
            continue;
        }
        any = true;
        let _ = writeln!(out, "\n[[day.test]]\ntest = \"{key}\"");
        if let Some(side) = cell.side {
            let _ = writeln!(out, "limb = \"{side}\"");
        }
        if let Some(direction) = cell.direction {
            let _ = writeln!(out, "direction = \"{}\"", direction.name());
        }
        match test.from {
            MadeFrom::Stored => {
                let _ = writeln!(out, "total = {}", decimal(&trials[0]));
            }
            _ => {
                let _ = writeln!(out, "trials = [{}]", trials.join(", "));
            }
        }
        line(&mut out, "practice", fields.get("practice"), true);
        line(&mut out, "form", fields.get("score"), false);
        line(&mut out, "support", fields.get("support"), false);
        line(&mut out, "about", fields.get("about"), false);
        let needs =
            test.needs.iter().filter(|need| !fields.get(&format!("protocol.{need}")).trim().is_empty());
        let protocol: Vec<String> = needs
            .map(|need| format!("{need} = {}", quoted(fields.get(&format!("protocol.{need}")).trim())))
            .collect();
        if !protocol.is_empty() {
            let _ = writeln!(out, "protocol = {{ {} }}", protocol.join(", "));
        }
        let reason = fields.get("override.reason").trim();
        if !reason.is_empty() {
            let informed = fields.get("override.informed").trim();
            let list = if informed.is_empty() { String::new() } else { quoted(informed) };
            let by = quoted(fields.get("override.by").trim());
            let _ = writeln!(
                out,
                "override = {{ reason = {}, by = {by}, on = {day}, informed = [{list}] }}",
                quoted(reason)
            );
        }
    }
    any.then_some(out)
}

/// A total with a point, so that it reads as a number with decimals.
fn decimal(typed: &str) -> String {
    if typed.contains('.') || typed.contains('"') { typed.to_owned() } else { format!("{typed}.0") }
}

fn line(out: &mut String, key: &str, typed: &str, number: bool) {
    let typed = typed.trim();
    if !typed.is_empty() {
        let value = if number && is_number(typed) { typed.to_owned() } else { quoted(typed) };
        let _ = writeln!(out, "{key} = {value}");
    }
}
