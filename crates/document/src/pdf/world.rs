//! All the typesetter can see: one template, two fonts, the values of one document.

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
}

impl SheetWorld {
    /// A world in which `sys.inputs.sheet` holds the values; they are never pasted into source.
    pub fn new(template: Template, sheet: Dict) -> Self {
        let mut inputs = Dict::new();
        inputs.insert("sheet".into(), sheet.into_value());
        let path = VirtualPath::new(template.name).expect("a plain file name is a path");
        let id: FileId = RootedPath::new(VirtualRoot::Project, path).intern();
        Self {
            library: LazyHash::new(Library::builder().with_inputs(inputs).build()),
            book: LazyHash::new(FontBook::from_fonts(fonts())),
            source: Source::new(id, template.text.to_owned()),
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
        if id == self.source.id() { Ok(self.source.clone()) } else { Err(FileError::AccessDenied) }
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
