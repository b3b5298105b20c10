//! The report as a Markdown page and as a table for the terminal.

use quantity::reference::short_cite;

use crate::report::{Count, Report};
use crate::row::{Row, Topic, Verdict};

const HEAD: &str = "\
# What the model computes beside what was published

Written by `footrose validate --report validation/REPORT.md`; a test compares this page with what
the program computes now, so it cannot grow old. Every angle, moment, force and share of the model
is an estimate. Published figures stand in `reference/validation/` with how they were read; the
bodies that stand for the groups that were studied are invented and stand in
`reference/validation/bodies.toml`.

Nothing in the engine is tuned on these figures. A row *agrees* within its tolerance, *disagrees*
outside it, and *cannot say* where the comparison is not possible or falls out one way or the other
with the setting. An ordering is tried on several bodies, distances and depths: it agrees when it
holds in at least two thirds of them and disagrees when it holds in no more than one third.
";

fn cell(text: &str) -> String {
    text.replace('|', "\\|").replace('\n', " ")
}

fn with_unit(figure: &str, unit: &str) -> String {
    if unit.is_empty() || figure == "–" || figure.ends_with(unit) {
        figure.to_owned()
    } else {
        format!("{figure} {unit}")
    }
}

fn counts(count: Count) -> String {
    format!("{} agree, {} disagree, {} cannot say", count.agree, count.disagree, count.cannot_say)
}

fn line(row: &Row) -> String {
    let verdict = match &row.verdict {
        Verdict::Agrees => "agrees".to_owned(),
        Verdict::Disagrees { likely } => format!("**disagrees**: {likely}"),
        Verdict::CannotSay { why } => format!("cannot say: {why}"),
    };
    // An ordering says its unit in the model's answer; what was published is words.
    let published = if row.topic == Topic::Orderings {
        row.published.clone()
    } else {
        with_unit(&row.published, &row.unit)
    };
    let model =
        if row.topic == Topic::Orderings { row.model.clone() } else { with_unit(&row.model, &row.unit) };
    format!(
        "| {} | {} | {} | {} | {}, {} | {} | {} |\n",
        cell(&row.id),
        cell(&row.what),
        cell(&model),
        cell(&published),
        cell(short_cite(&row.source)),
        row.read,
        cell(&row.tolerance),
        cell(&verdict)
    )
}

const COLUMNS: &str = "\
| row | what | model | published | source | tolerance | verdict |
|---|---|---|---|---|---|---|
";

impl Report {
    /// The page `validation/REPORT.md`.
    #[must_use]
    pub fn markdown(&self) -> String {
        let mut page = HEAD.to_owned();
        page.push_str(&format!(
            "\n{} rows: {}.\n\n| topic | agree | disagree | cannot say |\n|---|---|---|---|\n",
            self.rows.len(),
            counts(self.count(|_| true))
        ));
        for topic in self.topics() {
            let count = self.count(|row| row.topic == topic);
            page.push_str(&format!(
                "| {} | {} | {} | {} |\n",
                topic.title(),
                count.agree,
                count.disagree,
                count.cannot_say
            ));
        }
        page.push_str("\n## Disagreements\n\n| row | what | model | published | likely reason |\n|---|---|---|---|---|\n");
        for row in self.disagreements() {
            page.push_str(&format!(
                "| {} | {} | {} | {} | {} |\n",
                cell(&row.id),
                cell(&row.what),
                cell(&row.model),
                cell(&row.published),
                cell(row.verdict.why())
            ));
        }
        for topic in self.topics() {
            page.push_str(&format!("\n## {}\n\n{COLUMNS}", topic.title()));
            for row in self.of_topic(topic) {
                page.push_str(&line(row));
            }
        }
        page.push_str("\n## What may honestly be claimed\n\n");
        page.push_str(&self.honest_claims());
        page
    }

    /// A line a row, for the terminal.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = String::new();
        for topic in self.topics() {
            out.push_str(&format!("{}\n", topic.title()));
            for row in self.of_topic(topic) {
                out.push_str(&format!(
                    "  {:<10} {}: {} | published {}\n",
                    row.verdict.word(),
                    row.id,
                    with_unit(&row.model, &row.unit),
                    row.published
                ));
                if !row.verdict.why().is_empty() {
                    out.push_str(&format!("  {:<10}   {}\n", "", row.verdict.why()));
                }
            }
        }
        out.push_str(&format!(
            "{} rows: {}. The model's figures are estimates.\n",
            self.rows.len(),
            counts(self.count(|_| true))
        ));
        out
    }

    /// The rows that disagree.
    pub fn disagreements(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(|row| matches!(row.verdict, Verdict::Disagrees { .. }))
    }

    fn topics(&self) -> impl Iterator<Item = Topic> + '_ {
        Topic::ALL.into_iter().filter(|topic| self.of_topic(*topic).next().is_some())
    }

    fn honest_claims(&self) -> String {
        let of = |topic: Topic| counts(self.count(|row| row.topic == topic));
        let all = |topic: Topic| self.count(|row| row.topic == topic);
        let mechanics = all(Topic::Mechanics);
        let exact = if mechanics.disagree == 0 {
            "The mechanics are exact: every worked example that has a printed answer comes out within its rounding."
        } else {
            "Not every worked example of mechanics comes out; see the disagreements."
        };
        format!(
            "{exact} Figures of the standing body: {}; heights differ between the published sources themselves. \
             Contact forces: {}; they are coarse and say nothing about one person. \
             Orderings of movements, joints and legs: {}; a ranking may be trusted where its row agrees, and not \
             beyond. Reach and limits of stability: {}; the engine says what a posture allows, which is more than \
             what people do. Joint moments in absolute size, forces of single muscles and the size of differences \
             between movements are estimates without a published figure that confirms them.\n",
            of(Topic::Body),
            of(Topic::Contact),
            of(Topic::Orderings),
            of(Topic::Reach),
        )
    }
}
