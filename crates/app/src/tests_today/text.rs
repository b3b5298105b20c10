//! The tests of a day as text: what is refused, with reasons and what is nearest, then what is offered.

use safety::Refusal;

use super::{Nearest, TestAnswer, TestToday, TestsToday};

impl TestsToday {
    /// Refused tests first, then those that were overridden, then offered ones; directions with the same
    /// answer share a line. Under an alert the alert and nothing else.
    #[must_use]
    pub fn text(&self) -> String {
        if let Some(alert) = &self.alert {
            return format!("{alert}\nNo test is offered.\n");
        }
        let invented = if self.invented { " (invented person)" } else { "" };
        let mut out = format!("Tests for {} on {}{invented}\n", self.person, self.on);
        for (title, belongs) in [
            ("Refused", (|a| matches!(a, TestAnswer::Refused { .. })) as fn(&TestAnswer) -> bool),
            ("Overridden", |a| matches!(a, TestAnswer::Overridden { .. })),
            ("Offered", |a| matches!(a, TestAnswer::Offered { .. })),
        ] {
            let those: Vec<&TestToday> = self.tests.iter().filter(|test| belongs(&test.answer)).collect();
            if !those.is_empty() {
                out.push_str(&format!("\n{title}\n"));
                block(&those, &mut out);
            }
        }
        out
    }
}

/// Tests in order; those of one instrument whose answers read the same share their lines, and questions
/// without anything to mind share one.
fn block(tests: &[&TestToday], out: &mut String) {
    let mut questions: Vec<&str> = Vec::new();
    let mut lines: Vec<(Vec<&TestToday>, String)> = Vec::new();
    for (index, test) in tests.iter().enumerate() {
        let says = test.says();
        if super::table::row(test.instrument).is_none() && says.is_empty() {
            if !questions.contains(&test.instrument.as_str()) {
                questions.push(test.instrument.as_str());
            }
            continue;
        }
        if index == 0 || tests[index - 1].instrument != test.instrument {
            flush(&mut lines, out);
            out.push_str(&format!("  {} ({})\n", test.name, test.instrument));
        }
        match lines.iter_mut().find(|(_, known)| *known == says) {
            Some((all, _)) => all.push(test),
            None => lines.push((vec![test], says)),
        }
    }
    flush(&mut lines, out);
    if !questions.is_empty() {
        out.push_str(&format!("  what the person answers: {}\n", questions.join(", ")));
    }
}

fn flush(lines: &mut Vec<(Vec<&TestToday>, String)>, out: &mut String) {
    for (tests, says) in lines.drain(..) {
        let mut who: Vec<String> = Vec::new();
        for (index, test) in tests.iter().enumerate() {
            match (test.direction, who.last_mut()) {
                // The limb is said once for several directions.
                (Some(direction), Some(last)) if tests[index - 1].limb == test.limb => {
                    last.push_str(&format!(", {direction}"));
                }
                _ => who.push(test.who()),
            }
        }
        let who = who.join("; ");
        if !who.is_empty() {
            out.push_str(&format!("    {who}\n"));
        }
        out.push_str(&says);
    }
}

/// The limb and direction of a test or of what is nearest.
fn place(limb: Option<anatomy::Side>, direction: Option<measurement::StanceDirection>) -> String {
    match (limb, direction) {
        (Some(limb), Some(direction)) => format!("standing on the {limb} leg, {direction}"),
        (Some(limb), None) => format!("{limb} limb"),
        (None, Some(direction)) => direction.to_string(),
        (None, None) => String::new(),
    }
}

impl TestToday {
    /// Limb and direction, such as `standing on the right leg, lateral`; empty for a test of the person.
    #[must_use]
    pub fn who(&self) -> String {
        place(self.limb, self.direction)
    }

    /// The answer as lines.
    fn says(&self) -> String {
        let mut out = String::new();
        let mut line = |text: String| out.push_str(&format!("      {text}\n"));
        match &self.answer {
            TestAnswer::Offered { first, up_to, cautions } => {
                if let Some(first) = first {
                    line(format!("the first no further than {first}"));
                }
                if let Some(to) = up_to {
                    line(format!("up to {to}: stop there; a result at the stop is a lower limit"));
                }
                cautions.iter().for_each(|caution| line(format!("mind: {caution}")));
            }
            TestAnswer::Refused { reasons, nearest, .. } => {
                line(most_telling(reasons));
                line(instead(nearest.as_ref()));
            }
            TestAnswer::Overridden { by, reasons, nearest, .. } => {
                line(format!("done all the same by word of {} on {}: {}", by.name(), by.date(), by.reason()));
                if !by.who_knows().is_empty() {
                    line(format!(
                        "the surgeon's orders come first; informed and agreed: {}",
                        by.who_knows().join(", ")
                    ));
                }
                line(format!("against it: {}", most_telling(reasons)));
                line(instead(nearest.as_ref()));
            }
        }
        out
    }
}

/// The first reason, which is the one that tells most, and the rules of the others.
fn most_telling(reasons: &[Refusal]) -> String {
    let Some((first, others)) = reasons.split_first() else { return String::new() };
    let mut rules: Vec<&str> = Vec::new();
    for rule in others.iter().map(|one| one.rule.as_str()).filter(|rule| *rule != first.rule) {
        if !rules.contains(&rule) {
            rules.push(rule);
        }
    }
    let more = if rules.is_empty() { String::new() } else { format!(" Also {}.", rules.join(", ")) };
    format!("{first} Opens when {}.{more}", first.opens_when)
}

fn instead(nearest: Option<&Nearest>) -> String {
    let Some(near) = nearest else { return "nothing is offered instead".to_owned() };
    let place = place(near.limb, near.direction);
    let place = if place.is_empty() { place } else { format!(", {place}") };
    let to = near.up_to.map_or_else(String::new, |to| format!(", up to {to}"));
    format!("nearest: {} ({}){place}{to}", near.name, near.instrument)
}
