//! The report as a Markdown page and as a table for the terminal.

use quantity::reference::{HowRead, short_cite};

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

    /// Names of the orderings with such a verdict, as one phrase.
    fn named(&self, wanted: impl Fn(&Verdict) -> bool) -> String {
        let names: Vec<&str> = self
            .of_topic(Topic::Orderings)
            .filter(|row| row.read != HowRead::Memory && wanted(&row.verdict))
            .map(|row| row.id.as_str())
            .collect();
        if names.is_empty() { "none".to_owned() } else { names.join("; ") }
    }

    fn honest_claims(&self) -> String {
        let count = |topics: &[Topic]| self.count(|row| topics.contains(&row.topic));
        let exact = count(&[Topic::Mechanics, Topic::Muscles]);
        let mechanics = if exact.disagree == 0 {
            "Mechanics and the sharing of a moment between muscles come out as in every worked example that has a printed answer."
        } else {
            "Not every worked example of mechanics and muscles comes out; see the disagreements."
        };
        let contact = count(&[Topic::Contact]);
        let pressed = if contact.disagree + contact.cannot_say > contact.agree {
            "Contact forces are not reproduced well enough to be shown as more than coarse: the rows above say by how much and why."
        } else {
            "Contact forces are coarse, near the measured mean, and say nothing about one person."
        };
        let agrees = self.named(|v| *v == Verdict::Agrees);
        let disagrees = self.named(|v| matches!(v, Verdict::Disagrees { .. }));
        format!(
            "1. {mechanics}\n\
             2. Published orderings that the engine reproduces without having been fitted to them: {agrees}.\n\
             3. Published orderings and differences that it does not reproduce: {disagrees}. What they are about \
             must not be claimed.\n\
             4. {pressed}\n\
             5. How far a posture can reach and lean is a limit of the mechanics, not of a person: the tool's own \
             margins, not these figures, say what is steady.\n\
             6. Joint moments in absolute size, forces of single muscles and the size of differences between \
             movements are estimates without a published figure here that confirms them; for one person moving \
             as asked, which direction, distance, depth or load asks more may be said where 2 covers it.\n"
        )
    }
}
