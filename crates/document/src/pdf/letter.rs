//! A letter as PDF of one page.

use typst::foundations::{Array, Bytes, Dict, IntoValue, Label, Selector, Value};
use typst::introspection::Introspector;
use typst::utils::PicoStr;
use typst_layout::PagedDocument;

use super::world::LETTER;
use super::{Paper, PdfError, PdfSettings, Tagging, compile, coverage, write};
use crate::letter::{Block, Letter, LetterKind, Row};

/// Sizes of type, points: of the whole, of a table, of what is small.
const BODY: f64 = 10.5;
const TABLE: f64 = 9.5;
const SMALL: f64 = 8.8;
const MARGIN: f64 = 36.0;

/// What is tried, in this order, until one page holds the letter.
struct Attempt {
    /// Of the usual sizes of type.
    scale: f64,
    /// Rows of this rank and above may go.
    from_rank: u8,
    /// Of the usual size of drawings; none where they go.
    drawings: Option<f64>,
}

/// First what a reader misses least goes; then the type becomes a little smaller, for colleagues and not for patients;
/// then everything goes that may.
const ATTEMPTS: [Attempt; 6] = [
    Attempt { scale: 1.0, from_rank: 4, drawings: Some(1.0) },
    Attempt { scale: 0.92, from_rank: 4, drawings: Some(0.92) },
    Attempt { scale: 0.92, from_rank: 1, drawings: Some(0.92) },
    Attempt { scale: 0.9, from_rank: 1, drawings: Some(0.8) },
    Attempt { scale: 0.92, from_rank: 1, drawings: None },
    Attempt { scale: 0.85, from_rank: 1, drawings: None },
];

/// Sets a letter on one page: its least important rows go first, and it says how many.
///
/// The same letter gives the same bytes.
///
/// # Errors
/// Names letters that the typeface lacks; and says so where even the shortest form does not fit one page.
pub fn letter_pdf(letter: &Letter, settings: PdfSettings) -> Result<Vec<u8>, PdfError> {
    if settings.tagging == Tagging::Accessible {
        coverage::check_texts(&foreign(letter))?;
    }
    for (at, attempt) in ATTEMPTS.iter().enumerate() {
        let whole = if attempt.drawings.is_some() { letter.clone() } else { letter.without_drawings() };
        if let Some(document) = fitted(&whole, attempt, settings.paper, at == 0)? {
            return write(&document, settings.tagging);
        }
    }
    Err(PdfError::TooLong)
}

/// The page, with as few rows taken off as this attempt allows; none where it does not fit. Setting is what takes the
/// time: where the shortest form does not fit nothing else is set, and where it does the rows are halved.
fn fitted(
    letter: &Letter,
    attempt: &Attempt,
    paper: Paper,
    is_first: bool,
) -> Result<Option<PagedDocument>, PdfError> {
    let set = |spared: usize| -> Result<Option<PagedDocument>, PdfError> {
        let document = compile(LETTER, values(&letter.without(spared), attempt, paper))?;
        Ok(Some(document).filter(is_one_page))
    };
    // Most letters fit as they are.
    if is_first && let Some(document) = set(0)? {
        return Ok(Some(document));
    }
    let mut enough = letter.can_spare(attempt.from_rank);
    let Some(mut best) = set(enough)? else { return Ok(None) };
    // With so many rows taken off it fits; with fewer than this it was found not to, or was not tried yet.
    let mut least = usize::from(is_first).min(enough);
    while least < enough {
        let between = usize::midpoint(least, enough);
        match set(between)? {
            Some(document) => (enough, best) = (between, document),
            None => least = between + 1,
        }
    }
    Ok(Some(best))
}

/// Whether the end of the letter stands on the first page.
fn is_one_page(document: &PagedDocument) -> bool {
    let end = Label::new(PicoStr::intern("letter-end")).and_then(|label| {
        let introspector = document.introspector();
        let found = introspector.query(&Selector::Label(label));
        let mark = found.first()?;
        introspector.position(mark.location()?)
    });
    end.is_some_and(|at| at.page.get() == 1)
}

/// What comes from outside; our own sentences are covered by a test.
fn foreign(letter: &Letter) -> Vec<(&'static str, &str)> {
    let mut out: Vec<(&'static str, &str)> = Vec::new();
    out.extend(letter.clinic.iter().map(|line| ("the clinic's lines", line.as_str())));
    out.extend(letter.about.iter().map(|line| ("whom it is about", line.as_str())));
    out.extend(letter.small_print.iter().map(|line| ("the small print", line.as_str())));
    for part in &letter.parts {
        out.push(("the headings", &part.title));
        for block in &part.blocks {
            match block {
                Block::Sentences { rows, .. } | Block::Table { rows, .. } => {
                    let cells = rows.iter().flat_map(|row| &row.cells);
                    out.extend(cells.map(|cell| ("the text", cell.as_str())));
                }
                Block::Choices { choices } => {
                    for choice in choices {
                        out.push(("a question", &choice.question));
                        let lines = choice.behind.iter().chain(&choice.options);
                        out.extend(lines.map(|line| ("an answer", line.as_str())));
                    }
                }
                Block::Drawings { .. } | Block::Lines { .. } => {}
            }
        }
    }
    out
}

fn strings(all: &[String]) -> Value {
    all.iter().map(|s| s.as_str().into_value()).collect::<Array>().into_value()
}

fn rows(all: &[Row]) -> Value {
    all.iter().map(|row| strings(&row.cells)).collect::<Array>().into_value()
}

fn dict<const N: usize>(pairs: [(&str, Value); N]) -> Dict {
    pairs.into_iter().map(|(name, value)| (name.into(), value)).collect()
}

fn block(letter: &Letter, block: &Block, drawn: f64) -> Value {
    let more = |left_out: usize| letter.more(left_out).map_or(Value::None, IntoValue::into_value);
    match block {
        Block::Sentences { rows: all, left_out } => {
            dict([("kind", "sentences".into_value()), ("rows", rows(all)), ("more", more(*left_out))])
        }
        Block::Table { head, rows: all, left_out } => dict([
            ("kind", "table".into_value()),
            ("head", strings(head)),
            ("rows", rows(all)),
            ("more", more(*left_out)),
        ]),
        Block::Drawings { drawings } => {
            let pictures = drawings.iter().map(|one| {
                let svg = one.scene.svg();
                dict([
                    ("bytes", Bytes::from_string(svg.as_str().to_owned()).into_value()),
                    ("width", (svg.width() * drawn).into_value()),
                    ("height", (svg.height() * drawn).into_value()),
                    ("alt", one.words.as_str().into_value()),
                ])
                .into_value()
            });
            dict([("kind", "drawings".into_value()), ("pictures", pictures.collect::<Array>().into_value())])
        }
        Block::Choices { choices } => {
            let choices = choices.iter().map(|choice| {
                dict([
                    ("question", choice.question.as_str().into_value()),
                    ("behind", strings(&choice.behind)),
                    ("options", strings(&choice.options)),
                ])
                .into_value()
            });
            dict([("kind", "choices".into_value()), ("choices", choices.collect::<Array>().into_value())])
        }
        Block::Lines { labels } => dict([("kind", "lines".into_value()), ("labels", strings(labels))]),
    }
    .into_value()
}

fn values(letter: &Letter, attempt: &Attempt, paper: Paper) -> Dict {
    let scale = attempt.scale;
    let (width, height) = paper.size();
    let parts = letter.parts.iter().map(|part| {
        let blocks = part
            .blocks
            .iter()
            .map(|one| block(letter, one, attempt.drawings.unwrap_or(1.0)))
            .collect::<Array>();
        dict([("title", part.title.as_str().into_value()), ("blocks", blocks.into_value())]).into_value()
    });
    let parts = parts.collect::<Array>().into_value();
    // The list of a class is about many: its title names nobody.
    let subject = match letter.kind {
        LetterKind::ClassList => letter.made_on.as_str(),
        _ => letter.about.first().map_or("", String::as_str),
    };
    dict([
        ("title", letter.title.as_str().into_value()),
        ("subject", subject.into_value()),
        ("language", letter.language.into_value()),
        ("clinic", strings(&letter.clinic)),
        ("to", letter.to.as_str().into_value()),
        ("made_on", letter.made_on.as_str().into_value()),
        ("about", strings(&letter.about)),
        ("invented", letter.invented.as_deref().map_or(Value::None, IntoValue::into_value)),
        ("parts", parts),
        ("sign", strings(&letter.sign)),
        ("small_print", strings(&letter.small_print)),
        ("criteria", (letter.kind == LetterKind::ReturnToActivity).into_value()),
        ("year", i64::from(letter.on.year()).into_value()),
        ("month", i64::from(letter.on.month()).into_value()),
        ("day", i64::from(letter.on.day()).into_value()),
        ("page_width", width.into_value()),
        ("page_height", height.into_value()),
        ("margin", MARGIN.into_value()),
        ("body", (BODY * scale).into_value()),
        ("table", (TABLE * scale).into_value()),
        ("small", (SMALL * scale).into_value()),
    ])
}
