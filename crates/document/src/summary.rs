//! A plain summary of one record, for reading and printing: headings with lines, nothing drawn.

use jiff::civil::Date;

/// One line: what it is about, and what is said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SummaryLine {
    /// What it is about; empty for a sentence of its own.
    pub label: String,
    /// What is said.
    pub words: String,
}

/// A heading with its lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SummarySection {
    /// The heading.
    pub title: String,
    /// The lines, in the order of reading.
    pub lines: Vec<SummaryLine>,
    /// What stands there where there is no line.
    pub empty: String,
}

/// The whole summary.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Summary {
    /// Its title.
    pub title: String,
    /// Whom it is about.
    pub person: String,
    /// The day it was made.
    pub made_on: Date,
    /// Whether the person is invented, which every page then says.
    pub invented: bool,
    /// What it says.
    pub sections: Vec<SummarySection>,
}
