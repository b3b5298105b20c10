//! The sheet as text and as JSON.

use crate::data::{ExerciseSheet, Handout, Section};

/// The whole sheet as text, for a terminal, an e-mail or a screen reader.
#[must_use]
pub fn text(handout: &Handout) -> String {
    let mut out = Lines(Vec::new());
    out.line(&handout.title.to_uppercase());
    out.line(&handout.for_whom);
    out.line(&handout.use_until_sentence);
    if !handout.days.is_empty() {
        out.line(&handout.days.join(" "));
    }
    out.line(
        &handout
            .at_a_glance
            .iter()
            .map(|n| format!("{} {}", n.number, n.words))
            .collect::<Vec<_>>()
            .join(", "),
    );
    if let Some(mark) = &handout.invented {
        out.line(mark);
    }
    for rules in &handout.rules {
        out.list(&rules.title, &rules.sentences);
    }
    out.section(&handout.before);
    out.section(&handout.during);
    for exercise in &handout.exercises {
        out.exercise(exercise, handout);
    }
    for section in [&handout.stop, &handout.next_day, &handout.seen_today, &handout.emergency] {
        out.section(section);
    }
    out.line("");
    out.line(&handout.stopped);
    for sentence in &handout.whom_to_call {
        out.line(sentence);
    }
    for contact in &handout.contacts {
        let value = contact.value.clone().unwrap_or_else(|| "_".repeat(24));
        out.line(&format!("{}: {value}", contact.label));
    }
    out.line("");
    out.line(&handout.authority);
    out.line(&handout.estimate);
    out.0.join("\n") + "\n"
}

/// The whole sheet as JSON; what is drawn is told in words and in the movements behind it.
#[must_use]
pub fn json(handout: &Handout) -> serde_json::Value {
    serde_json::to_value(handout).unwrap_or(serde_json::Value::Null)
}

struct Lines(Vec<String>);

impl Lines {
    fn line(&mut self, text: &str) {
        self.0.push(text.to_owned());
    }

    fn list(&mut self, title: &str, sentences: &[String]) {
        self.line("");
        self.line(title);
        for sentence in sentences {
            self.line(&format!("  - {sentence}"));
        }
    }

    fn section(&mut self, section: &Section) {
        self.list(&section.title, &section.sentences);
    }

    fn exercise(&mut self, exercise: &ExerciseSheet, handout: &Handout) {
        self.line("");
        self.line(&format!("{}. {}", exercise.number, exercise.title.to_uppercase()));
        for sentence in &exercise.how {
            self.line(sentence);
        }
        if !exercise.days_sentences.is_empty() {
            self.line(&exercise.days_sentences.join(" "));
        }
        for sentence in exercise.dose_sentences.iter().take(1) {
            self.line(sentence);
        }
        for limb in &exercise.limbs {
            self.list(&limb.heading, &limb.steps);
            for to in &limb.distances {
                self.line(&format!("    {}: {}", to.direction, to.written));
            }
            if let Some(sentence) = &limb.do_not_go {
                self.line(&format!("    {sentence}"));
            }
        }
        if let Some(sentence) = &exercise.missing_limb {
            self.line(sentence);
        }
        if let Some(interpreter) = &handout.interpreter {
            self.line(&format!("{} {}", interpreter.label, "_".repeat(48)));
        }
    }
}
