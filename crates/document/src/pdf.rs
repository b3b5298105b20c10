//! The sheet as PDF, set by a typesetter that runs inside the program: no files, no network.

mod coverage;
mod guide;
mod letter;
mod log;
mod plan;
mod summary;
mod values;
mod world;

use typst::diag::SourceDiagnostic;
use typst::foundations::{Dict, Smart};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

use crate::data::{Edition, Handout};
pub use guide::floor_guide_pdf;
pub use summary::summary_pdf;
use world::Template;

pub use letter::letter_pdf;

/// The paper it is printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Paper {
    /// 210 mm × 297 mm.
    A4,
    /// 8½ in × 11 in.
    Letter,
}

impl Paper {
    /// Width and height in points.
    #[must_use]
    pub fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (595.276, 841.89),
            Self::Letter => (612.0, 792.0),
        }
    }
}

/// Whether the file must be readable by a screen reader.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tagging {
    /// Tagged, checked against PDF/UA-1; fails when a letter cannot be set.
    Accessible,
    /// Not tagged: the way out when a letter is missing. Missing letters print as boxes.
    Untagged,
}

/// What a clinician chooses for the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PdfSettings {
    /// Paper.
    pub paper: Paper,
    /// Tagging.
    pub tagging: Tagging,
}

/// Why there is no file.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PdfError {
    /// The typeface lacks letters that the sheet needs.
    #[error(
        "the typeface lacks {letters} (in {places}); accepted: letters of Latin script; write the name in Latin letters, or ask for an untagged sheet, on which they print as boxes"
    )]
    MissingLetters {
        /// The letters.
        letters: String,
        /// Where they stand.
        places: String,
    },
    /// Even the shortest form of a letter takes more than one page.
    #[error(
        "the letter does not fit one page even in its shortest form; shorten the clinic's lines, the name or the person's own activities"
    )]
    TooLong,
    /// The typesetter refused; a defect of this program, not of the case.
    #[error("the sheet could not be set: {what}; this is a defect of the program, please report it")]
    Typesetting {
        /// What the typesetter said.
        what: String,
    },
}

fn told(errors: &[SourceDiagnostic]) -> PdfError {
    PdfError::Typesetting {
        what: errors.iter().map(|e| e.message.to_string()).collect::<Vec<_>>().join("; "),
    }
}

/// Sets the sheet. The same handout gives the same bytes.
///
/// # Errors
/// Names letters that cannot be set; with [`Tagging::Untagged`] they print as boxes instead.
pub fn pdf(handout: &Handout, settings: PdfSettings) -> Result<Vec<u8>, PdfError> {
    if settings.tagging == Tagging::Accessible {
        coverage::check(handout)?;
    }
    write(&set(handout, settings.paper)?, settings.tagging)
}

/// Writes a document that was set.
fn write(document: &PagedDocument, tagging: Tagging) -> Result<Vec<u8>, PdfError> {
    let tagged = tagging == Tagging::Accessible;
    let standards = if tagged { PdfStandards::new(&[PdfStandard::Ua_1]) } else { PdfStandards::new(&[]) };
    let standards = standards.map_err(|e| PdfError::Typesetting { what: e.message().to_string() })?;
    let options = PdfOptions {
        creator: Smart::Custom(Some("Footrose".to_owned())),
        standards,
        tagged,
        ..PdfOptions::default()
    };
    let bytes = typst_pdf::pdf(document, &options).map_err(|errors| told(&errors));
    // What the typesetter remembers between runs is not needed again.
    typst::comemo::evict(0);
    bytes
}

/// Sets the words alone first, so that the pictures can be drawn as large as the words leave room:
/// words never shrink. Where two floors side by side would be too small, each limb gets a page.
fn set(handout: &Handout, paper: Paper) -> Result<PagedDocument, PdfError> {
    if let Edition::Bilingual { .. } = handout.edition {
        // Sentences flow; nothing is fitted to what they leave.
        let values = values::sheet(handout, paper, values::Pass::Whole(&values::Room::default()));
        return compile(world::BILINGUAL, values);
    }
    let measured = |wide: &[usize]| -> Result<values::Room, PdfError> {
        let words = compile(world::SHEET, values::sheet(handout, paper, values::Pass::Words { wide }))?;
        Ok(values::room(handout, paper, &words))
    };
    let mut room = measured(&[])?;
    let wide = values::too_small(handout, paper, &room);
    if !wide.is_empty() {
        room = measured(&wide)?.with_wide(wide);
    }
    compile(world::SHEET, values::sheet(handout, paper, values::Pass::Whole(&room)))
}

fn compile(template: Template, sheet: Dict) -> Result<PagedDocument, PdfError> {
    let world = world::SheetWorld::new(template, sheet);
    typst::compile::<PagedDocument>(&world).output.map_err(|errors| told(&errors))
}
