//! The floor guide as PDF: words first, then the sheets at true size, then the tags.

use typst::foundations::{Array, Dict, IntoValue, Value};

use super::values::{bottom_margin, dict, short, sizes, strings};
use super::{Paper, PdfError, PdfSettings, Tagging, coverage, world, write};
use crate::data::{Edition, Section};
use crate::guide::{FloorGuide, Mark, Tag, TagPage, Tiling, Ways};
use crate::guide::{HALF_CROSS_MM, HALF_MARK_MM, SHEET_MM, SIDE_MM};

/// Sets the guide. A millimetre in it is a millimetre on paper printed at 100 %.
///
/// # Errors
/// Names letters that cannot be set; with [`Tagging::Untagged`] they print as boxes instead.
pub fn floor_guide_pdf(guide: &FloorGuide, settings: PdfSettings) -> Result<Vec<u8>, PdfError> {
    if settings.tagging == Tagging::Accessible {
        coverage::check_name(&guide.person)?;
    }
    let document = super::compile(world::FLOOR_GUIDE, values(guide, settings.paper))?;
    write(&document, settings.tagging)
}

fn section(section: &Section) -> Value {
    dict([("title", section.title.as_str().into_value()), ("sentences", strings(&section.sentences))])
        .into_value()
}

fn values(guide: &FloorGuide, paper: Paper) -> Dict {
    let sizes = sizes(guide.edition, paper);
    let (width, height) = paper.size();
    let tiling = Tiling::of(&guide.marks, guide.heels, guide.heel_half_width);
    let tiles = tiling.sheets.iter().map(|sheet| {
        dict([
            ("x", sheet.corner_mm[0].into_value()),
            ("y", sheet.corner_mm[1].into_value()),
            ("words", guide.words.tile.replace("{name}", &sheet.name).into_value()),
        ])
        .into_value()
    });
    let words = dict([
        ("check", guide.words.check.as_str().into_value()),
        ("check_inches", guide.words.check_inches.as_str().into_value()),
        ("heel_line", guide.words.heel_line.as_str().into_value()),
        ("centre", guide.words.centre.as_str().into_value()),
        ("ahead", guide.words.ahead.as_str().into_value()),
    ]);
    let mut out = dict([
        ("title", guide.title.as_str().into_value()),
        ("person", guide.person.as_str().into_value()),
        ("short_name", short(&guide.person).into_value()),
        ("language", guide.language.code().into_value()),
        ("use_until", guide.use_until_short.as_str().into_value()),
        ("use_until_sentence", guide.use_until_sentence.as_str().into_value()),
        ("invented", guide.invented.as_deref().map_or(Value::None, IntoValue::into_value)),
        ("need", strings(&guide.need)),
        ("recipe", section(&guide.recipe)),
        ("print", section(&guide.print)),
        ("sheets", guide.sheets.as_str().into_value()),
        ("ways_title", guide.ways_title.as_str().into_value()),
        ("ways", ways(&guide.ways)),
        ("words", words.into_value()),
        ("tiles", tiles.collect::<Array>().into_value()),
        ("marks", guide.marks.iter().map(mark).collect::<Array>().into_value()),
        ("tags", guide.tags.iter().map(tag).collect::<Array>().into_value()),
        ("large", (guide.edition == Edition::LargeType).into_value()),
        ("numerals", false.into_value()),
        ("measuring", false.into_value()),
    ]);
    let made_on = guide.made_on;
    out.extend(dict([
        ("year", i64::from(made_on.year()).into_value()),
        ("month", i64::from(made_on.month()).into_value()),
        ("day", i64::from(made_on.day()).into_value()),
    ]));
    let numbers = [
        ("cross", HALF_CROSS_MM),
        ("heel_back", guide.heels.in_m() * 1000.0),
        ("heel_half", guide.heel_half_width.in_m() * 1000.0),
        ("tile_width", SHEET_MM[0]),
        ("tile_height", SHEET_MM[1]),
        ("tag_side", SIDE_MM),
        ("body", sizes.body),
        ("small", sizes.small),
        ("margin", sizes.margin),
        ("margin_y", sizes.margin_y),
        ("bottom_margin", bottom_margin(&sizes)),
        ("gutter", sizes.gutter),
        ("page_width", width),
        ("page_height", height),
    ];
    out.extend(numbers.map(|(name, value)| (name.into(), value.into_value())));
    out
}

/// The distances, the limbs of one exercise together.
fn ways(all: &[Ways]) -> Value {
    let mut out: Vec<(&str, Vec<Value>)> = Vec::new();
    for one in all {
        let distances = one.distances.iter().map(|to| {
            dict([
                ("direction", to.direction.as_str().into_value()),
                ("written", to.written.as_str().into_value()),
            ])
            .into_value()
        });
        let limb = dict([
            ("limb", one.limb.as_str().into_value()),
            ("distances", distances.collect::<Array>().into_value()),
        ]);
        match out.last_mut().filter(|(exercise, _)| *exercise == one.exercise) {
            Some((_, limbs)) => limbs.push(limb.into_value()),
            None => out.push((&one.exercise, vec![limb.into_value()])),
        }
    }
    out.into_iter()
        .map(|(exercise, limbs)| {
            dict([
                ("exercise", exercise.into_value()),
                ("limbs", limbs.into_iter().collect::<Array>().into_value()),
            ])
            .into_value()
        })
        .collect::<Array>()
        .into_value()
}

fn pair(at: [f64; 2]) -> Value {
    at.into_iter().map(IntoValue::into_value).collect::<Array>().into_value()
}

/// A mark on the page: right and back of the middle, millimetres.
fn mark(mark: &Mark) -> Value {
    let (x, y) = (mark.at[1] * 1000.0, -mark.at[0] * 1000.0);
    // Right of the way out, on the page.
    let across = [mark.along[0], mark.along[1]].map(|share| share * HALF_MARK_MM);
    // The words stand inside, towards the middle, clear of the line: further in where the way goes sideways.
    let inside = WORDS_INSIDE_MM + HALF_WORDS_MM * mark.along[1].abs();
    let inside = [x - mark.along[1] * inside, y + mark.along[0] * inside];
    dict([
        ("from", pair([x - across[0], y - across[1]])),
        ("to", pair([x + across[0], y + across[1]])),
        ("words", pair(inside)),
        ("label", mark.label.as_str().into_value()),
    ])
    .into_value()
}

/// How far the words of a mark stand from it, millimetres.
const WORDS_INSIDE_MM: f64 = 9.0;
/// Half the width of the words of a mark, millimetres.
const HALF_WORDS_MM: f64 = 19.0;

fn tag(page: &TagPage) -> Value {
    let module = SIDE_MM / f64::from(Tag::modules());
    #[allow(clippy::cast_precision_loss)] // Eight modules.
    let runs = page.tag.white_runs().into_iter().map(|(row, column, count)| {
        [column as f64, row as f64, count as f64, 1.0]
            .map(|n| (n * module).into_value())
            .into_iter()
            .collect::<Array>()
            .into_value()
    });
    dict([
        ("title", page.title.as_str().into_value()),
        ("sentences", strings(&page.sentences)),
        ("runs", runs.collect::<Array>().into_value()),
    ])
    .into_value()
}
