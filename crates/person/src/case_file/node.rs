//! A value of a case file after it was checked, with the line it stands on.

use std::collections::BTreeMap;

use jiff::civil::Date;
use movement::Bearing;

/// A checked value.
#[derive(Debug)]
pub(super) struct Node {
    pub line: usize,
    pub value: Checked,
}

/// What was read; numbers are in the base unit of their quantity.
#[derive(Debug)]
pub(super) enum Checked {
    Text(String),
    Flag(bool),
    Date(Date),
    Bearing(Bearing),
    Number(f64),
    Found { value: Box<Node>, on: Option<(Date, usize)> },
    NotAssessed,
    List(Vec<Node>),
    Table(Fields),
}

/// A checked table. What is taken out is gone, so that a test can see that nothing is left unread.
#[derive(Debug, Default)]
pub(super) struct Fields {
    /// The path of the table, ending in a dot unless it is the top.
    pub path: String,
    pub line: usize,
    pub map: BTreeMap<&'static str, Node>,
    /// The word that tells the kind, when the table has kinds.
    pub kind: Option<&'static str>,
}

impl Fields {
    pub(super) fn take(&mut self, key: &str) -> Option<Node> {
        self.map.remove(key)
    }

    /// The table behind a key; empty when it was left out.
    pub(super) fn table(&mut self, key: &str) -> Fields {
        match self.take(key).map(|node| node.value) {
            Some(Checked::Table(fields)) => fields,
            _ => Fields { path: format!("{}{key}.", self.path), line: self.line, ..Fields::default() },
        }
    }

    /// The entries of a list; none when it was left out.
    pub(super) fn list(&mut self, key: &str) -> Vec<Node> {
        match self.take(key).map(|node| node.value) {
            Some(Checked::List(nodes)) => nodes,
            _ => Vec::new(),
        }
    }

    pub(super) fn text(&mut self, key: &str) -> Option<String> {
        self.take(key).and_then(Node::text)
    }

    pub(super) fn flag(&mut self, key: &str) -> Option<bool> {
        self.take(key).and_then(Node::flag)
    }

    pub(super) fn number(&mut self, key: &str) -> Option<f64> {
        self.take(key).and_then(Node::number)
    }

    /// A date with the line it stands on.
    pub(super) fn date(&mut self, key: &str) -> Option<(Date, usize)> {
        self.take(key).and_then(|node| {
            let line = node.line;
            Some((node.date()?, line))
        })
    }
}

impl Node {
    pub(super) fn text(self) -> Option<String> {
        match self.value {
            Checked::Text(text) => Some(text),
            _ => None,
        }
    }

    pub(super) fn flag(self) -> Option<bool> {
        match self.value {
            Checked::Flag(flag) => Some(flag),
            _ => None,
        }
    }

    pub(super) fn number(self) -> Option<f64> {
        match self.value {
            Checked::Number(number) => Some(number),
            _ => None,
        }
    }

    pub(super) fn date(self) -> Option<Date> {
        match self.value {
            Checked::Date(date) => Some(date),
            _ => None,
        }
    }

    pub(super) fn bearing(self) -> Option<Bearing> {
        match self.value {
            Checked::Bearing(bearing) => Some(bearing),
            _ => None,
        }
    }

    pub(super) fn fields(self) -> Option<Fields> {
        match self.value {
            Checked::Table(fields) => Some(fields),
            _ => None,
        }
    }
}
