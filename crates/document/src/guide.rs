//! The floor guide: how the floor is laid out at home with a tape measure, or from sheets printed at true size.
//!
//! It shows this person's own distances and nothing else: a middle, a line for the heels, one mark
//! for each distance. Four pages carry tags by which a camera can later find the floor.

mod layout;
mod tag;

use anatomy::Side;
use drawing::Landing;
use jiff::civil::Date;
use quantity::Length;
use serde::Serialize;

use crate::data::{DistanceTo, Edition, Handout, Section};
use crate::language::{FloorGuideWords, Language, Wording, fill};

#[cfg(feature = "pdf")]
pub(crate) use layout::{HALF_CROSS_MM, HALF_MARK_MM, SHEET_MM};
pub use layout::{Sheet, Tiling};
#[cfg(feature = "pdf")]
pub(crate) use tag::SIDE_MM;
pub use tag::{Tag, tags};

/// Side of the square whose corners the tags mark, metres.
const SQUARE_M: f64 = 1.6;

/// A mark on the floor: a short line across a way, at its distance.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Mark {
    /// Its middle: forward and right of the middle of the floor, metres.
    pub at: [f64; 2],
    /// The way out, as a direction of length one: forward, right.
    pub along: [f64; 2],
    /// Number of exercise, letter of limb, distance.
    pub label: String,
}

/// The distances of one limb in one exercise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Ways {
    /// Number and title of the exercise.
    pub exercise: String,
    /// Which limb moves.
    pub limb: String,
    /// How far each way.
    pub distances: Vec<DistanceTo>,
}

/// The whole guide as plain data.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FloorGuide {
    /// Title of the document.
    pub title: String,
    /// Whom it is for.
    pub person: String,
    /// Language of the sentences.
    pub language: Language,
    /// The day it was made.
    pub made_on: Date,
    /// Last day it may be used, for the head of each page.
    pub use_until_short: String,
    /// The same as a sentence.
    pub use_until_sentence: String,
    /// For which reader it is set.
    pub edition: Edition,
    /// The mark of invented people.
    pub invented: Option<String>,
    /// What to have at hand.
    pub need: Vec<String>,
    /// With a tape measure, step by step.
    pub recipe: Section,
    /// Heading over the distances.
    pub ways_title: String,
    /// The distances.
    pub ways: Vec<Ways>,
    /// With printed sheets, step by step.
    pub print: Section,
    /// How sheets are named.
    pub sheets: String,
    /// The marks.
    pub marks: Vec<Mark>,
    /// How far the heels stand behind the middle.
    #[serde(skip)]
    pub heels: Length,
    /// How far the heel line goes to each side.
    #[serde(skip)]
    pub heel_half_width: Length,
    /// The words on the sheets.
    pub words: GuideLabels,
    /// The four tags.
    pub tags: Vec<TagPage>,
}

/// Short words on the sheets.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GuideLabels {
    /// Name of a sheet; `{name}` becomes its name.
    pub tile: String,
    /// At the check line in millimetres.
    pub check: String,
    /// At the check line in inches.
    pub check_inches: String,
    /// At the heel line.
    pub heel_line: String,
    /// At the cross.
    pub centre: String,
    /// At the arrow ahead.
    pub ahead: String,
}

/// The page of one tag.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TagPage {
    /// Its heading.
    pub title: String,
    /// What to do with it.
    pub sentences: Vec<String>,
    /// The tag.
    #[serde(skip)]
    pub tag: Tag,
}

/// The two marks nearer than this, on the same way, are one mark with both labels.
const SAME_MARK: f64 = 0.01;
/// Free room beyond the feet on each side of the heel line.
const BESIDE_HEELS: f64 = 0.08;

/// Makes the guide of a sheet: the same distances, in the same language.
#[must_use]
pub fn floor_guide(handout: &Handout, wording: Wording) -> FloorGuide {
    let words = &wording.words().floor_guide;
    let (heels, heel_half_width) = heel_line(handout);
    let marks = marks(handout, wording);
    let tiling = Tiling::of(&marks, heels, heel_half_width);
    let fill_sheets = |sentence: &str| {
        fill(sentence, &[("first", tiling.sheets.first().map_or("A1", |sheet| sheet.name.as_str()))])
    };
    FloorGuide {
        title: words.title.clone(),
        person: handout.person.clone(),
        language: wording.language,
        made_on: handout.made_on,
        use_until_short: handout.use_until_short.clone(),
        use_until_sentence: handout.use_until_sentence.clone(),
        edition: match handout.edition {
            Edition::LargeType => Edition::LargeType,
            Edition::Standard | Edition::Bilingual { .. } | Edition::Numerals => Edition::Standard,
        },
        invented: handout.invented.clone(),
        need: words.need.clone(),
        recipe: Section {
            title: words.recipe_title.clone(),
            sentences: recipe(handout, heels, words, wording),
        },
        ways_title: words.ways_title.clone(),
        ways: ways(handout),
        print: Section {
            title: words.print_title.clone(),
            sentences: words.print_steps.iter().map(|s| fill_sheets(s)).collect(),
        },
        sheets: words.sheets.clone(),
        marks,
        heels,
        heel_half_width,
        words: GuideLabels {
            tile: words.tile.clone(),
            check: words.check.clone(),
            check_inches: words.check_inches.clone(),
            heel_line: words.heel_line.clone(),
            centre: words.centre.clone(),
            ahead: words.ahead.clone(),
        },
        tags: tag_pages(words, wording),
    }
}

/// The steps with a tape measure, in the order of doing.
fn recipe(handout: &Handout, heels: Length, words: &FloorGuideWords, wording: Wording) -> Vec<String> {
    let lands = |landing: Landing| {
        handout.exercises.iter().flat_map(|e| &e.limbs).any(|limb| limb.floor.landing == landing)
    };
    let goes = |wanted: &dyn Fn(u16) -> bool| {
        handout
            .exercises
            .iter()
            .flat_map(|e| &e.limbs)
            .flat_map(|limb| &limb.floor.rays)
            .any(|ray| ray.state.distance().is_some() && wanted(ray.bearing.degrees()))
    };
    let mut out = vec![
        words.cross.clone(),
        fill(&words.heels, &[("length", &wording.length(heels))]),
        words.stand.clone(),
        words.measure.clone(),
    ];
    out.extend(goes(&|degrees| degrees % 90 != 0).then(|| words.corners.clone()));
    out.push(words.strips.clone());
    // A limb that goes straight keeps its own lane beside the middle line.
    out.extend(goes(&|degrees| degrees.is_multiple_of(180)).then(|| words.lane.clone()));
    out.push(words.flat.clone());
    out.extend(lands(Landing::Foot).then(|| words.land.clone()));
    out.extend(lands(Landing::ToeTouch).then(|| words.touch.clone()));
    out.extend(lands(Landing::Hand).then(|| words.reach.clone()));
    out
}

fn ways(handout: &Handout) -> Vec<Ways> {
    handout
        .exercises
        .iter()
        .flat_map(|e| {
            e.limbs.iter().map(|limb| Ways {
                exercise: format!("{}. {}", e.number, e.title),
                limb: limb.heading.clone(),
                distances: limb.distances.clone(),
            })
        })
        .collect()
}

/// One mark for each distance; those at the same place share one.
fn marks(handout: &Handout, wording: Wording) -> Vec<Mark> {
    let letters = &wording.words().names.foot_letter;
    let mut out: Vec<(Mark, String)> = Vec::new();
    for exercise in &handout.exercises {
        for limb in &exercise.limbs {
            for ray in &limb.floor.rays {
                let Some(distance) = ray.state.distance() else { continue };
                let [begin, end] = ray.line(distance.in_m());
                let length = (end[0] - begin[0]).hypot(end[1] - begin[1]).max(1e-9);
                let along = [(end[0] - begin[0]) / length, (end[1] - begin[1]) / length];
                let who = format!("{} {}", exercise.number, letters.of(limb.mover));
                let written = wording.length(distance);
                let same = out.iter_mut().find(|(mark, far)| {
                    *far == written
                        && (mark.at[0] - end[0]).hypot(mark.at[1] - end[1]) < SAME_MARK
                        && mark.along[0] * along[0] + mark.along[1] * along[1] > 0.99
                });
                match same {
                    Some((mark, _)) => mark.label = format!("{who}, {}", mark.label),
                    None => out.push((Mark { at: end, along, label: format!("{who}  {written}") }, written)),
                }
            }
        }
    }
    out.into_iter().map(|(mark, _)| mark).collect()
}

/// How far the heels stand behind the middle, and how far to each side the line goes.
fn heel_line(handout: &Handout) -> (Length, Length) {
    let feet = handout.exercises.iter().flat_map(|e| &e.limbs).map(|limb| &limb.floor.feet).next();
    let Some(feet) = feet else { return (Length::ZERO, Length::m(BESIDE_HEELS)) };
    let behind = Side::BOTH.map(|side| feet.get(side).length.in_m() / 2.0 - feet.get(side).centre[0]);
    let wide = Side::BOTH.map(|side| feet.get(side).centre[1].abs() + feet.get(side).breadth.in_m() / 2.0);
    (Length::m(behind[0].max(behind[1]).max(0.0)), Length::m(wide[0].max(wide[1]) + BESIDE_HEELS))
}

fn tag_pages(words: &FloorGuideWords, wording: Wording) -> Vec<TagPage> {
    let side = wording.length(Length::m(SQUARE_M));
    let wide = wording.length(Length::m(tag::SIDE_MM / 1000.0));
    tags()
        .iter()
        .zip(&words.tag_where)
        .map(|(tag, place)| TagPage {
            title: fill(&words.tag_title, &[("number", &(tag.id + 1).to_string())]),
            sentences: std::iter::once(place.clone())
                .chain(words.tag_use.iter().map(|s| fill(s, &[("side", &side), ("tag", &wide)])))
                .collect(),
            tag: tag.clone(),
        })
        .collect()
}
