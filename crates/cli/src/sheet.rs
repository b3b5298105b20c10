//! How a sheet is asked for, set and named: language, units, edition, paper.

use std::path::Path;

use clap::{Args as ClapArgs, ValueEnum};
use document::{Edition, FloorGuide, Handout, Language, Paper, PdfSettings, Tagging, Units, Wording};

use crate::end::Failure;

/// How any paper for the patient is set.
#[derive(Clone, Copy, Debug, ClapArgs)]
pub struct PlainPaperArgs {
    /// Language of the patient: en, fr or es
    #[arg(long, value_name = "LANGUAGE", default_value = "en", value_parser = language)]
    pub language: Language,
    /// Centimetres and kilograms, or inches and pounds
    #[arg(long, default_value = "metric")]
    pub units: UnitsArg,
    /// Paper; both when not given
    #[arg(long)]
    pub paper: Option<PaperArg>,
}

/// How the sheet is set.
#[derive(Clone, Copy, Debug, ClapArgs)]
pub struct SheetArgs {
    #[command(flatten)]
    pub plain: PlainPaperArgs,
    /// For which reader; large type for poor sight and standard otherwise when not given
    #[arg(long)]
    pub edition: Option<EditionArg>,
    /// The clinician's language, for the bilingual edition; English, or French beside English, when not given
    #[arg(long, value_name = "LANGUAGE", value_parser = language)]
    pub beside: Option<Language>,
}

/// Units.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsArg {
    /// Centimetres, kilograms
    Metric,
    /// Inches in quarters, pounds
    Imperial,
}

impl From<UnitsArg> for Units {
    fn from(units: UnitsArg) -> Self {
        match units {
            UnitsArg::Metric => Self::Metric,
            UnitsArg::Imperial => Self::Imperial,
        }
    }
}

/// For which reader a sheet is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum EditionArg {
    /// 18 points
    Standard,
    /// 24 points, for poor sight
    Large,
    /// The patient's language beside the clinician's
    Bilingual,
    /// Pictures, numerals and arrows, with lines for an interpreter's words
    Numerals,
}

/// Paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PaperArg {
    /// 210 mm × 297 mm
    A4,
    /// 8½ in × 11 in
    Letter,
}

impl PaperArg {
    /// The paper, with how files are named after it.
    const ALL: [(Self, Paper, &'static str); 2] =
        [(Self::A4, Paper::A4, "a4"), (Self::Letter, Paper::Letter, "letter")];
}

pub fn language(text: &str) -> Result<Language, String> {
    text.parse()
}

impl PlainPaperArgs {
    /// Language and units.
    pub fn wording(self) -> Wording {
        Wording { language: self.language, units: self.units.into() }
    }

    /// The papers that were asked for, with how files are named after them.
    fn papers(self) -> impl Iterator<Item = (Paper, &'static str)> {
        PaperArg::ALL
            .into_iter()
            .filter(move |(arg, ..)| self.paper.is_none_or(|wanted| wanted == *arg))
            .map(|(_, paper, name)| (paper, name))
    }

    /// What stands in a file's name for the language; nothing for English.
    fn name(self) -> String {
        if self.language == Language::English { String::new() } else { format!("{}-", self.language) }
    }
}

impl SheetArgs {
    /// The edition that was asked for, if any.
    pub fn edition(self) -> Result<Option<Edition>, Failure> {
        let edition = match self.edition {
            None if self.beside.is_some() => {
                return Err(Failure::Sheet(
                    "--beside was given without --edition bilingual; add it".to_owned(),
                ));
            }
            None => return Ok(None),
            Some(EditionArg::Standard) => Edition::Standard,
            Some(EditionArg::Large) => Edition::LargeType,
            Some(EditionArg::Numerals) => Edition::Numerals,
            Some(EditionArg::Bilingual) => {
                let usual = if self.plain.language == Language::English {
                    Language::French
                } else {
                    Language::English
                };
                let beside = self.beside.unwrap_or(usual);
                if beside == self.plain.language {
                    return Err(Failure::Sheet(format!(
                        "the bilingual edition was asked for in `{beside}` beside `{beside}`; give --beside another of en, fr, es"
                    )));
                }
                Edition::Bilingual { beside }
            }
        };
        Ok(Some(edition))
    }

    /// What stands in a file's name for language and edition; nothing for the usual one.
    fn name(self) -> String {
        let mut out = self.plain.name();
        match self.edition {
            None | Some(EditionArg::Standard) => {}
            Some(EditionArg::Large) => out.push_str("large-"),
            Some(EditionArg::Bilingual) => out.push_str("bilingual-"),
            Some(EditionArg::Numerals) => out.push_str("numerals-"),
        }
        out
    }
}

/// The sheets of one handout, with the names of their files.
pub fn files(sheet: &Handout, args: SheetArgs, stem: &str) -> Result<Vec<(String, Vec<u8>)>, Failure> {
    args.plain
        .papers()
        .map(|(paper, name)| {
            let bytes = document::pdf(sheet, PdfSettings { paper, tagging: Tagging::Accessible })
                .map_err(|error| Failure::Sheet(error.to_string()))?;
            Ok((format!("{stem}sheet-{}{name}.pdf", args.name()), bytes))
        })
        .collect()
}

/// The floor guide on each paper, with the names of the files.
pub fn guides(
    guide: &FloorGuide,
    args: PlainPaperArgs,
    stem: &str,
) -> Result<Vec<(String, Vec<u8>)>, Failure> {
    args.papers()
        .map(|(paper, name)| {
            let settings = PdfSettings { paper, tagging: Tagging::Accessible };
            let bytes = document::floor_guide_pdf(guide, settings)
                .map_err(|error| Failure::Sheet(error.to_string()))?;
            Ok((format!("{stem}floor-guide-{}{name}.pdf", args.name()), bytes))
        })
        .collect()
}

/// Sheets, floor guides and practice pages of this case that lie in a folder, in the order of their names.
pub fn older(folder: &Path, stem: &str) -> Vec<std::path::PathBuf> {
    let begins = ["sheet-", "floor-guide-", crate::page::PAGE].map(|kind| format!("{stem}{kind}"));
    let mut found: Vec<_> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| {
            let name = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
            begins.iter().any(|begin| name.starts_with(begin))
                && (name.ends_with(".pdf") || name.ends_with(".html"))
        })
        .collect();
    found.sort();
    found
}
