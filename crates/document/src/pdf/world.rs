//! All the typesetter can see: one template with what templates share, two fonts, the values of one document.

use std::sync::OnceLock;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Dict, Duration, IntoValue};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

/// A template with its name.
#[derive(Clone, Copy)]
pub(super) struct Template {
    name: &'static str,
    text: &'static str,
}

/// The home sheet.
pub(super) const SHEET: Template =
    Template { name: "home_sheet.typ", text: include_str!("../../../../assets/templates/home_sheet.typ") };
/// The home sheet in two languages.
pub(super) const BILINGUAL: Template =
    Template { name: "bilingual.typ", text: include_str!("../../../../assets/templates/bilingual.typ") };
/// The floor guide.
pub(super) const FLOOR_GUIDE: Template =
    Template { name: "floor_guide.typ", text: include_str!("../../../../assets/templates/floor_guide.typ") };
/// What they share.
const COMMON: Template =
    Template { name: "common.typ", text: include_str!("../../../../assets/templates/common.typ") };
/// The summary of a record.
pub(super) const SUMMARY: Template =
    Template { name: "summary.typ", text: include_str!("../../../../assets/templates/summary.typ") };
/// A letter.
pub(super) const LETTER: Template =
    Template { name: "letter.typ", text: include_str!("../../../../assets/templates/letter.typ") };

const REGULAR: &[u8] = include_bytes!("../../../../assets/fonts/AtkinsonHyperlegibleNext_400Regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../../assets/fonts/AtkinsonHyperlegibleNext_700Bold.ttf");

/// The two faces of the typeface.
pub(super) fn fonts() -> &'static [Font] {
    static FONTS: OnceLock<Vec<Font>> = OnceLock::new();
    FONTS.get_or_init(|| {
        [REGULAR, BOLD].into_iter().filter_map(|data| Font::new(Bytes::new(data), 0)).collect()
    })
}

pub(super) struct SheetWorld {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    source: Source,
    common: Source,
}

impl SheetWorld {
    /// A world in which `sys.inputs.sheet` holds the values; they are never pasted into source.
    pub fn new(template: Template, sheet: Dict) -> Self {
        let mut inputs = Dict::new();
        inputs.insert("sheet".into(), sheet.into_value());
        let source = |template: Template| {
            let path = VirtualPath::new(template.name).expect("a plain file name is a path");
            let id: FileId = RootedPath::new(VirtualRoot::Project, path).intern();
            Source::new(id, template.text.to_owned())
        };
        Self {
            library: LazyHash::new(Library::builder().with_inputs(inputs).build()),
            book: LazyHash::new(FontBook::from_fonts(fonts())),
            source: source(template),
            common: source(COMMON),
        }
    }
}

impl World for SheetWorld {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.source.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        [&self.source, &self.common]
            .into_iter()
            .find(|one| one.id() == id)
            .cloned()
            .ok_or(FileError::AccessDenied)
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        fonts().get(index).cloned()
    }

    /// There is no clock: dates are values of the sheet.
    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
