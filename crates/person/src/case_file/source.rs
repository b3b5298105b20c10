//! The text of a case file with the lines of its bytes.

use super::limits::SHOWN;

/// The text of a file with the lines of its bytes.
pub(super) struct Source<'t> {
    text: &'t str,
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

    /// A line as it is repeated to whoever wrote it.
    pub(super) fn shown_line(&self, line: usize) -> String {
        shorten(self.line_text(line))
    }

    /// What stands at a span, shortened.
    pub(super) fn given(&self, span: Option<std::ops::Range<usize>>) -> String {
        shorten(span.and_then(|span| self.text.get(span)).unwrap_or("a table"))
    }
}

/// The first line of a text, cut where it becomes long.
pub(super) fn shorten(text: &str) -> String {
    let first = text.trim().lines().next().unwrap_or_default();
    if first.chars().count() > SHOWN || first.len() < text.trim().len() {
        format!("{} …", first.chars().take(SHOWN).collect::<String>())
    } else {
        first.to_owned()
    }
}
