//! Letters to colleagues: one page each, as plain data with whole sentences, tables and drawings.

mod change_rows;
mod class_list;
mod cover;
mod facts;
mod notes;
mod parts;
mod practice;
mod question;
mod render;
mod returning;
mod say;
mod words;

use drawing::Scene;
use jiff::civil::Date;
use serde::Serialize;

pub use class_list::{ClassMember, class_list};
pub use facts::{
    Changed, LetterFacts, MeasuredFacts, MeasuredOnce, Opened, OrderAsked, Planned, RuleBehind, ToAsk, Value,
    Way,
};
pub use practice::{Hurt, Practised};
pub use render::{letter_json, letter_text};

use crate::language::Language;

/// What a letter is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LetterKind {
    /// How it goes: what changed, what was practised, what is planned.
    ProgressNote,
    /// To another profession: what was found and what is asked.
    Referral,
    /// What to keep doing and when to come back.
    Discharge,
    /// Criteria of an activity; a clinician decides.
    ReturnToActivity,
    /// For the colleague who covers.
    Cover,
    /// Several people in one round.
    ClassList,
    /// Which orders close what, and what each answer would open.
    QuestionToSurgeon,
}

impl LetterKind {
    /// Every kind.
    pub const ALL: [Self; 7] = [
        Self::ProgressNote,
        Self::Referral,
        Self::Discharge,
        Self::ReturnToActivity,
        Self::Cover,
        Self::ClassList,
        Self::QuestionToSurgeon,
    ];

    /// The key as a command line and a record write it.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::ProgressNote => "progress-note",
            Self::Referral => "referral",
            Self::Discharge => "discharge",
            Self::ReturnToActivity => "return",
            Self::Cover => "cover",
            Self::ClassList => "class-list",
            Self::QuestionToSurgeon => "question",
        }
    }

    /// The kind with this key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// Its title in a language.
    #[must_use]
    pub fn title(self, language: Language) -> &'static str {
        let words = words::letter_words(language);
        match self {
            Self::ProgressNote => &words.progress_note.title,
            Self::Referral => &words.referral.title,
            Self::Discharge => &words.discharge.title,
            Self::ReturnToActivity => &words.returning.title,
            Self::Cover => &words.cover.title,
            Self::ClassList => &words.class_list.title,
            Self::QuestionToSurgeon => &words.question.title,
        }
    }
}

/// One line of a table or list; the higher its rank, the sooner it goes when the page is full.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Row {
    /// 0 stays whatever happens.
    pub rank: u8,
    /// One cell, or one for each column.
    pub cells: Vec<String>,
}

impl Row {
    fn keep(sentence: impl Into<String>) -> Self {
        Self { rank: 0, cells: vec![sentence.into()] }
    }

    fn ranked(rank: u8, sentence: impl Into<String>) -> Self {
        Self { rank, cells: vec![sentence.into()] }
    }
}

/// A drawing with what it shows in words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Drawn {
    /// What it shows.
    pub words: String,
    /// The drawing.
    #[serde(skip)]
    pub scene: Scene,
}

/// A question with boxes to tick.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// What is asked; empty where the heading asks.
    pub question: String,
    /// What stands behind it.
    pub behind: Vec<String>,
    /// One box each.
    pub options: Vec<String>,
}

/// A piece of a letter.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "block", rename_all = "snake_case")]
pub enum Block {
    /// Sentences, one cell a row.
    Sentences {
        /// The sentences.
        rows: Vec<Row>,
        /// How many were taken off for want of room.
        left_out: usize,
    },
    /// A table.
    Table {
        /// Heads of the columns.
        head: Vec<String>,
        /// Its rows.
        rows: Vec<Row>,
        /// How many were taken off for want of room.
        left_out: usize,
    },
    /// Drawings side by side.
    Drawings {
        /// The drawings.
        drawings: Vec<Drawn>,
    },
    /// Boxes to tick.
    Choices {
        /// The questions.
        choices: Vec<Choice>,
    },
    /// Lines to write on.
    Lines {
        /// What stands before each.
        labels: Vec<String>,
    },
}

/// A heading with what stands under it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LetterPart {
    /// The heading.
    pub title: String,
    /// What stands under it.
    pub blocks: Vec<Block>,
}

/// A letter of one page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Letter {
    /// What it is for.
    pub kind: LetterKind,
    /// Language of the sentences, as in `en`.
    pub language: &'static str,
    /// Title.
    pub title: String,
    /// Name of the clinic, telephone, therapist: what is known.
    pub clinic: Vec<String>,
    /// The day in words.
    pub made_on: String,
    /// The day.
    pub on: Date,
    /// Whom it goes to, before a line to write on.
    pub to: String,
    /// Whom it is about: name, conditions.
    pub about: Vec<String>,
    /// The mark of invented people.
    pub invented: Option<String>,
    /// Its parts.
    pub parts: Vec<LetterPart>,
    /// Labels of the lines to sign on; empty where nothing is signed.
    pub sign: Vec<String>,
    /// What holds for the whole page.
    pub small_print: Vec<String>,
    /// `1 further line stands in the record.` and the same for many, with `{count}`.
    #[serde(skip)]
    more: [String; 2],
    /// What stands between a label and its value.
    #[serde(skip)]
    colon: String,
}

/// Writes a letter about one person. [`LetterKind::ClassList`] of one person is a list of one.
#[must_use]
pub fn letter(kind: LetterKind, facts: &LetterFacts<'_>, language: Language) -> Letter {
    let written = match kind {
        LetterKind::ProgressNote => notes::progress_note(facts, language),
        LetterKind::Referral => notes::referral(facts, language),
        LetterKind::Discharge => notes::discharge(facts, language),
        LetterKind::ReturnToActivity => returning::statement(facts, language),
        LetterKind::Cover => cover::cover(facts, language),
        LetterKind::ClassList => {
            let member = ClassMember::of(facts);
            class_list(&[member], &facts.case.clinic, facts.today, language)
        }
        LetterKind::QuestionToSurgeon => question::question(facts, language),
    };
    with_sign_explained(written, language)
}

/// Says what the sign ± means, where it stands in the letter.
fn with_sign_explained(mut letter: Letter, language: Language) -> Letter {
    let stands = letter.rows().flat_map(|row| &row.cells).any(|cell| cell.contains('±'));
    if stands {
        letter.small_print.insert(0, words::letter_words(language).frame.error.clone());
    }
    letter
}

impl Letter {
    /// How many rows of a rank and above may go; those of rank 0 never do.
    #[must_use]
    pub fn can_spare(&self, from_rank: u8) -> usize {
        self.rows().filter(|row| row.rank >= from_rank.max(1)).count()
    }

    /// The letter without its drawings.
    #[must_use]
    pub fn without_drawings(&self) -> Self {
        let mut out = self.clone();
        for part in &mut out.parts {
            part.blocks.retain(|block| !matches!(block, Block::Drawings { .. }));
        }
        out
    }

    /// The letter without its `count` least important rows: the highest rank first, of one rank the last first.
    #[must_use]
    pub fn without(&self, count: usize) -> Self {
        let mut out = self.clone();
        for _ in 0..count {
            let Some(rank) = out.rows().map(|row| row.rank).max().filter(|rank| *rank > 0) else { break };
            let blocks = out.parts.iter_mut().rev().flat_map(|part| part.blocks.iter_mut().rev());
            for block in blocks {
                let (Block::Sentences { rows, left_out } | Block::Table { rows, left_out, .. }) = block
                else {
                    continue;
                };
                if let Some(at) = rows.iter().rposition(|row| row.rank == rank) {
                    rows.remove(at);
                    *left_out += 1;
                    break;
                }
            }
        }
        out
    }

    /// What is said where rows were taken off.
    #[must_use]
    pub fn more(&self, left_out: usize) -> Option<String> {
        let pattern = match left_out {
            0 => return None,
            1 => &self.more[0],
            _ => &self.more[1],
        };
        Some(crate::language::fill(pattern, &[("count", &left_out.to_string())]))
    }

    fn rows(&self) -> impl Iterator<Item = &Row> {
        self.parts.iter().flat_map(|part| &part.blocks).flat_map(|block| match block {
            Block::Sentences { rows, .. } | Block::Table { rows, .. } => rows.as_slice(),
            Block::Drawings { .. } | Block::Choices { .. } | Block::Lines { .. } => &[],
        })
    }
}

/// Sentences under a heading; a part without any is left out.
fn part(title: &str, rows: Vec<Row>) -> Option<LetterPart> {
    (!rows.is_empty())
        .then(|| LetterPart { title: title.to_owned(), blocks: vec![Block::Sentences { rows, left_out: 0 }] })
}
