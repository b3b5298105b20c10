//! The summary of a record as PDF.

use typst::foundations::{Array, Dict, IntoValue, Value};

use super::world::SUMMARY;
use super::{Paper, PdfError, Tagging, compile, coverage, write};
use crate::language::{Language, words};
use crate::summary::Summary;

/// Sets a summary. Tagged for a screen reader wherever the typeface has every letter; letters it lacks
/// print as boxes, because a record has to come out whatever stands in it. The same summary gives the
/// same bytes.
///
/// # Errors
/// The typesetter refused, which is a defect of this program.
pub fn summary_pdf(summary: &Summary, paper: Paper) -> Result<Vec<u8>, PdfError> {
    let lines = summary.sections.iter().flat_map(|section| &section.lines);
    let texts = lines.flat_map(|line| [line.label.as_str(), line.words.as_str()]);
    let has_all = texts.chain([summary.person.as_str()]).all(coverage::has_all);
    let document = compile(SUMMARY, values(summary, paper))?;
    write(&document, if has_all { Tagging::Accessible } else { Tagging::Untagged })
}

fn text(words: &str) -> Value {
    words.into_value()
}

fn values(summary: &Summary, paper: Paper) -> Dict {
    let (width, height) = paper.size();
    let day = summary.made_on;
    let sections: Array = summary
        .sections
        .iter()
        .map(|section| {
            let lines: Array = section
                .lines
                .iter()
                .map(|line| dict([("label", text(&line.label)), ("words", text(&line.words))]).into_value())
                .collect();
            dict([
                ("title", text(&section.title)),
                ("empty", text(&section.empty)),
                ("lines", lines.into_value()),
            ])
            .into_value()
        })
        .collect();
    dict([
        ("title", text(&summary.title)),
        ("person", text(&summary.person)),
        ("made_on", text(&words(Language::English).date(day))),
        ("year", i64::from(day.year()).into_value()),
        ("month", i64::from(day.month()).into_value()),
        ("day", i64::from(day.day()).into_value()),
        (
            "invented",
            if summary.invented { text(&words(Language::English).sheet.invented) } else { Value::None },
        ),
        ("page_width", width.into_value()),
        ("page_height", height.into_value()),
        ("sections", sections.into_value()),
    ])
}

fn dict<const N: usize>(pairs: [(&str, Value); N]) -> Dict {
    pairs.into_iter().map(|(name, value)| (name.into(), value)).collect()
}
