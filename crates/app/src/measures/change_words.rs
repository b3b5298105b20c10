//! A report of changes as a therapist reads it.

use std::fmt::Write as _;

use super::change::{ChangeReport, ChangedResult};

impl ChangeReport {
    /// The report: for each test the verdicts first, then what stands behind them.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = String::new();
        let from = if self.group_said { "named in the file" } else { "from the conditions of the case" };
        let _ = writeln!(out, "Error of measurement is looked up for {} ({from}).", self.group);
        let _ = writeln!(
            out,
            "\"Probably real\" is not \"large enough to matter\"; \"within the noise\" does not show that nothing changed."
        );
        for line in &self.not_used {
            let _ = writeln!(out, "{line}");
        }
        if self.tests.is_empty() {
            let _ =
                writeln!(out, "\nNothing was measured on two days; measure a second time to see a change.");
        }
        for test in &self.tests {
            let together = if test.together > 1 {
                format!(" ({} looked at together)", test.together)
            } else {
                String::new()
            };
            let _ = writeln!(out, "\n{}{together}", test.name);
            tell(&test.rows, &mut out);
            tell(&test.symmetry, &mut out);
            for course in &test.courses {
                let _ = writeln!(out, "  {}: {}", course.what, course.sentence);
            }
        }
        if !self.once.is_empty() {
            let _ = writeln!(out, "\nMeasured once only, so no change can be said:");
            for line in &self.once {
                let _ = writeln!(out, "  {line}");
            }
        }
        out
    }
}

/// Each result with its verdict; what is said of every one of them is said once, behind them.
fn tell(rows: &[ChangedResult], out: &mut String) {
    let of_all: Vec<&String> = match rows {
        [first, _, ..] => {
            first.sentences.iter().filter(|one| rows.iter().all(|row| row.sentences.contains(one))).collect()
        }
        _ => Vec::new(),
    };
    for row in rows {
        let _ = writeln!(out, "  {}: {} on {}, {} on {}", row.what, row.first, row.from, row.last, row.to);
        for sentence in row.sentences.iter().filter(|one| !of_all.contains(one)) {
            let _ = writeln!(out, "    {sentence}");
        }
    }
    for sentence in of_all {
        let _ = writeln!(out, "    All of these: {sentence}");
    }
}
