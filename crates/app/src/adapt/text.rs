//! What came home and what is proposed, as text for a therapist.

use progress::{Cell, Shared, Step, Whole, cell_words};
use safety::day_in_words;

use super::Adapted;

impl Adapted {
    /// As text: first what to do, then why.
    #[must_use]
    pub fn text(&self) -> String {
        let now = &self.adaptation;
        let mut out = format!("{}\n", whole(now.whole));
        for one in &now.reasons {
            out.push_str(&format!("  - {} ({})\n", one.reason.words, one.reason.rule));
        }
        for line in &self.call {
            out.push_str(&format!("  {line}\n"));
        }
        let counted = &now.counted;
        out.push_str(&match counted.last {
            Some(last) => format!(
                "Logged: {} on {}, the last on {}{}.\n",
                count(counted.sessions, "session"),
                count(counted.days, "day"),
                day_in_words(last),
                counted.practised.map_or_else(String::new, |share| format!(
                    "; about {:.0} % of what was asked for",
                    share.in_percent()
                ))
            ),
            None => "Logged: nothing.\n".to_owned(),
        });
        out.push_str(&match &now.monitored {
            Some(monitored) => format!("Pain is monitored. {}\n", monitored.words()),
            None => "Pain: strict, any new pain counts.\n".to_owned(),
        });
        if now.whole == Whole::Stop {
            return out;
        }
        for (title, offered) in [("Proposed", false), ("For the therapist to offer, or not", true)] {
            let mut proposals = self.proposals.iter().filter(|one| one.only_offered == offered).peekable();
            if proposals.peek().is_some() {
                out.push_str(&format!("{title}:\n"));
            } else if !offered {
                out.push_str("Proposed: nothing changes.\n");
            }
            for one in proposals {
                out.push_str(&format!("  * {} ({})\n", one.words, one.rules.join(", ")));
            }
        }
        out.push_str(&self.held_text());
        for (title, lines) in [
            ("Assess again, or it leaves the programme", &self.grown_old),
            ("Waits, to be offered again", &self.waiting),
            ("What stands in the way of a step up", &self.not_possible),
        ] {
            if !lines.is_empty() {
                out.push_str(&format!("{title}:\n"));
            }
            out.extend(lines.iter().map(|line| format!("  - {line}\n")));
        }
        out.push_str(&match &self.shared {
            Shared::Shares(found) => format!("{}\n", found.words),
            Shared::CannotSay { painful: 0, .. } => String::new(),
            Shared::CannotSay { why, .. } => {
                format!("What the painful directions share cannot be said: {why}\n")
            }
        });
        out
    }

    /// What is held, by the reason: many directions are held for the same.
    #[must_use]
    pub fn held(&self) -> Vec<Held> {
        let mut out: Vec<Held> = Vec::new();
        for cell in self.adaptation.cells.iter().filter(|cell| cell.step == Step::Hold) {
            for reason in cell.reasons.iter().filter(|one| one.rule != "LOG-QUIET") {
                // The name of the direction stands before the colon.
                let why = reason.words.split_once(": ").map_or(reason.words.as_str(), |(_, why)| why);
                match out.iter_mut().find(|known| known.why == why) {
                    Some(known) => known.cells.push(cell.cell),
                    None => out.push(Held { why: why.to_owned(), rule: reason.rule, cells: vec![cell.cell] }),
                }
            }
        }
        out
    }

    fn held_text(&self) -> String {
        let all = self.adaptation.cells.len();
        let lines = self.held().into_iter().map(|held| {
            let name = |cell: &Cell| format!("{}. {}", cell.exercise, cell_words(*cell));
            let which = match held.cells.len() {
                count if count == all => "Every direction".to_owned(),
                count if count > 3 => format!("{count} directions"),
                _ => held.cells.iter().map(name).collect::<Vec<_>>().join("; "),
            };
            format!("  {which}: {}\n", held.why)
        });
        let told: String = lines.collect();
        if told.is_empty() { told } else { format!("Held:\n{told}") }
    }
}

/// Directions that are held for one reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// Why, without the name of a direction.
    pub why: String,
    /// The rule.
    pub rule: &'static str,
    /// Which directions.
    pub cells: Vec<Cell>,
}

fn count(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

fn whole(whole: Whole) -> &'static str {
    match whole {
        Whole::Stop => "STOP: nothing is done until a clinician has looked.",
        Whole::Refer => "REFER: nothing goes up until the surgeon or doctor has looked.",
        Whole::BackOff => "BACK: the whole programme goes back one level.",
        Whole::Hold => "HOLD: nothing goes up.",
        Whole::Free => "FREE: a step up may be taken where a direction is clean.",
    }
}
