//! A letter as text and as JSON.

use super::{Block, Letter, Row};

/// The whole letter as text, for a terminal, an e-mail or a screen reader.
#[must_use]
pub fn letter_text(letter: &Letter) -> String {
    let mut out: Vec<String> = Vec::new();
    out.extend(letter.clinic.iter().cloned());
    out.push(String::new());
    out.push(letter.title.to_uppercase());
    out.push(letter.made_on.clone());
    out.push(format!("{}{}{}", letter.to, letter.colon, "_".repeat(32)));
    out.push(String::new());
    out.extend(letter.about.iter().cloned());
    out.extend(letter.invented.iter().cloned());
    for part in &letter.parts {
        out.push(String::new());
        if !part.title.is_empty() {
            out.push(part.title.clone());
        }
        for block in &part.blocks {
            tell(letter, block, &mut out);
        }
    }
    out.push(String::new());
    for label in &letter.sign {
        out.push(format!("{label}{}{}", letter.colon, "_".repeat(32)));
    }
    if !letter.sign.is_empty() {
        out.push(String::new());
    }
    out.extend(letter.small_print.iter().cloned());
    out.join("\n") + "\n"
}

fn tell(letter: &Letter, block: &Block, out: &mut Vec<String>) {
    match block {
        Block::Sentences { rows, left_out } => {
            out.extend(rows.iter().map(|row| format!("  {}", row.cells.join(" "))));
            out.extend(letter.more(*left_out).map(|more| format!("  {more}")));
        }
        Block::Table { head, rows, left_out } => {
            out.extend(rows.iter().map(|row| format!("  - {}", told(letter, head, row))));
            out.extend(letter.more(*left_out).map(|more| format!("  {more}")));
        }
        Block::Drawings { drawings } => {
            out.extend(drawings.iter().map(|drawn| format!("  [{}]", drawn.words)));
        }
        Block::Choices { choices } => {
            for choice in choices {
                if !choice.question.is_empty() {
                    out.push(format!("  {}", choice.question));
                }
                out.extend(choice.behind.iter().map(|line| format!("    {line}")));
                out.extend(choice.options.iter().map(|option| format!("    [ ] {option}")));
            }
        }
        Block::Lines { labels } => {
            out.extend(
                labels.iter().map(|label| format!("  {label} {}", "_".repeat(48)).replace("   ", "  ")),
            );
        }
    }
}

/// A row with the head of each cell but the first; what a screen reader reads best.
fn told(letter: &Letter, head: &[String], row: &Row) -> String {
    let mut cells = row.cells.iter();
    let mut out = cells.next().cloned().unwrap_or_default();
    for (head, cell) in head.iter().skip(1).zip(cells) {
        out.push_str(&format!(" | {head}{}{cell}", letter.colon));
    }
    out
}

/// The whole letter as JSON; what is drawn is told in words.
#[must_use]
pub fn letter_json(letter: &Letter) -> serde_json::Value {
    serde_json::to_value(letter).unwrap_or(serde_json::Value::Null)
}
