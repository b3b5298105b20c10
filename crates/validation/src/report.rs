//! All comparisons together, with counts.

use serde::Serialize;

use crate::row::{Row, Topic, Verdict};
use crate::{body, contact, landing, lunge, mechanics, muscles, orderings, reach, strength};

/// Every comparison.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// In the order of the topics.
    pub rows: Vec<Row>,
}

/// How many rows have each verdict.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Count {
    /// The model is within the tolerance.
    pub agree: usize,
    /// It is not.
    pub disagree: usize,
    /// Nothing can be said.
    pub cannot_say: usize,
}

/// Compares everything. Takes some seconds: several hundred movements are computed.
#[must_use]
pub fn report() -> Report {
    let mut rows = mechanics::rows();
    rows.extend(body::rows());
    rows.extend(strength::rows());
    rows.extend(muscles::rows());
    rows.extend(contact::rows());
    rows.extend(orderings::rows());
    rows.extend(lunge::rows());
    rows.extend(reach::rows());
    rows.extend(landing::rows());
    Report::of(rows)
}

impl Report {
    /// Rows sorted by topic; within a topic they stay as they came.
    #[must_use]
    pub fn of(mut rows: Vec<Row>) -> Self {
        rows.sort_by_key(|row| row.topic);
        Self { rows }
    }

    /// The rows of one topic.
    pub fn of_topic(&self, topic: Topic) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(move |row| row.topic == topic)
    }

    /// How many agree, disagree and say nothing, of those that `counts` accepts.
    #[must_use]
    pub fn count(&self, counts: impl Fn(&Row) -> bool) -> Count {
        let mut all = Count::default();
        for row in self.rows.iter().filter(|row| counts(row)) {
            match row.verdict {
                Verdict::Agrees => all.agree += 1,
                Verdict::Disagrees { .. } => all.disagree += 1,
                Verdict::CannotSay { .. } => all.cannot_say += 1,
            }
        }
        all
    }
}
