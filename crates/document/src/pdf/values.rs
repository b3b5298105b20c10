//! The values the template reads: sentences, numbers and drawings of the right size.

use drawing::{FloorInput, Frame, Scene, floor, floor_pair, floor_radius};
use typst::foundations::{Array, Bytes, Dict, IntoValue, Label, Selector, Str, Value};
use typst::introspection::Introspector;
use typst::utils::PicoStr;
use typst_layout::PagedDocument;

use super::Paper;
use super::plan::{Plan, RADIUS_AT_LEAST};
use crate::data::{Contact, DoseNumber, Edition, ExerciseSheet, Handout, LimbSheet, RuleBlock, Section};

/// Sizes of one edition, points.
pub(super) struct Sizes {
    pub body: f64,
    pub small: f64,
    /// Left and right.
    pub margin: f64,
    /// Above and below.
    pub margin_y: f64,
    pub gutter: f64,
}

pub(super) fn sizes(edition: Edition, paper: Paper) -> Sizes {
    // Letter is shorter than A4.
    let margin_y = match paper {
        Paper::A4 => 34.0,
        Paper::Letter => 25.0,
    };
    match edition {
        Edition::Standard | Edition::Bilingual { .. } | Edition::Numerals => {
            Sizes { body: 18.0, small: 16.0, margin: 36.0, margin_y, gutter: 16.0 }
        }
        Edition::LargeType => Sizes { body: 24.0, small: 21.0, margin: 36.0, margin_y, gutter: 16.0 },
    }
}

/// The lower margin of the page; the footer stands in it.
pub(super) fn bottom_margin(sizes: &Sizes) -> f64 {
    sizes.margin_y * 0.8 + sizes.small * 1.7
}

/// What a first pass without pictures found out.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Room {
    /// Exercises whose floors would be too small side by side: each limb gets a page.
    wide: Vec<usize>,
    /// Height that the words leave for pictures on each page of exercises.
    heights: Vec<f64>,
    /// The first page does not hold everything before the exercises.
    opening_apart: bool,
    /// One page does not hold everything after them.
    closing_apart: bool,
}

/// Reads the marks that the template left in the first pass.
pub(super) fn room(handout: &Handout, paper: Paper, document: &PagedDocument) -> Room {
    let bottom = paper.size().1 - bottom_margin(&sizes(handout.edition, paper));
    let introspector = document.introspector();
    let marks = |name: &str| -> Vec<(usize, f64)> {
        let Some(label) = Label::new(PicoStr::intern(name)) else { return Vec::new() };
        introspector
            .query(&Selector::Label(label))
            .iter()
            .filter_map(|mark| introspector.position(mark.location()?))
            .map(|at| (at.page.get(), at.point.y.to_pt()))
            .collect()
    };
    let page = |name: &str| marks(name).first().map(|(page, _)| *page);
    Room {
        wide: Vec::new(),
        heights: marks("words-end").into_iter().map(|(_, y)| bottom - y).collect(),
        opening_apart: page("opening-end").is_some_and(|page| page > 1),
        closing_apart: page("closing-end") > page("closing-begin"),
    }
}

pub(super) fn strings(all: &[String]) -> Value {
    all.iter().map(|s| s.as_str().into_value()).collect::<Array>().into_value()
}

pub(super) fn dict<const N: usize>(entries: [(&str, Value); N]) -> Dict {
    entries.into_iter().map(|(key, value)| (Str::from(key), value)).collect()
}

fn section(section: &Section) -> Value {
    dict([("title", section.title.as_str().into_value()), ("sentences", strings(&section.sentences))])
        .into_value()
}

fn rules(block: &RuleBlock) -> Value {
    dict([("title", block.title.as_str().into_value()), ("sentences", strings(&block.sentences))])
        .into_value()
}

fn numbers(all: &[DoseNumber]) -> Value {
    all.iter()
        .map(|n| {
            dict([("number", n.number.as_str().into_value()), ("words", n.words.as_str().into_value())])
                .into_value()
        })
        .collect::<Array>()
        .into_value()
}

fn contact(contact: &Contact) -> Value {
    dict([
        ("label", contact.label.as_str().into_value()),
        ("value", contact.value.as_deref().map_or(Value::None, IntoValue::into_value)),
    ])
    .into_value()
}

/// Longest name that fits beside the date at the head of a page.
const SHORT_NAME: usize = 26;

/// A name for the head of a page: whole, or cut with an ellipsis.
pub(super) fn short(name: &str) -> String {
    if name.chars().count() <= SHORT_NAME {
        return name.to_owned();
    }
    let cut: String = name.chars().take(SHORT_NAME - 1).collect();
    format!("{}…", cut.trim_end())
}

/// A drawing with its size and its words for those who do not see it.
pub(super) fn picture(scene: &Scene, alt: &str) -> Value {
    let svg = scene.svg();
    dict([
        ("bytes", Bytes::from_string(svg.as_str().to_owned()).into_value()),
        ("width", svg.width().into_value()),
        ("height", svg.height().into_value()),
        ("alt", alt.into_value()),
    ])
    .into_value()
}

/// One of the passes in which a sheet is set.
#[derive(Clone, Copy)]
pub(super) enum Pass<'a> {
    /// Words alone, to measure them; these exercises get a page for each limb.
    Words {
        /// Their places, from zero.
        wide: &'a [usize],
    },
    /// Everything.
    Whole(&'a Room),
}

impl<'a> Pass<'a> {
    fn room(self) -> Option<&'a Room> {
        match self {
            Self::Words { .. } => None,
            Self::Whole(room) => Some(room),
        }
    }

    fn wide(self) -> &'a [usize] {
        match self {
            Self::Words { wide } => wide,
            Self::Whole(room) => &room.wide,
        }
    }
}

/// Exercises whose floors would be too small to read side by side, by place from zero.
pub(super) fn too_small(handout: &Handout, paper: Paper, room: &Room) -> Vec<usize> {
    let sizes = sizes(handout.edition, paper);
    let mut pages = room.heights.iter().copied();
    let mut out = Vec::new();
    for (index, exercise) in handout.exercises.iter().enumerate() {
        let plan = Plan::of(exercise, handout.edition, &sizes, paper, false, &mut pages);
        let inputs: Vec<&FloorInput> = exercise.limbs.iter().map(|limb| &limb.floor).collect();
        if !plan.wide && floor_radius(&inputs, plan.floor) < RADIUS_AT_LEAST {
            out.push(index);
        }
    }
    out
}

impl Room {
    /// The same with a page for each limb of these exercises.
    pub(super) fn with_wide(self, wide: Vec<usize>) -> Self {
        Self { wide, ..self }
    }
}

/// The words of a sheet.
fn words(handout: &Handout) -> Dict {
    dict([
        ("title", handout.title.as_str().into_value()),
        ("person", handout.person.as_str().into_value()),
        ("short_name", short(&handout.person).into_value()),
        ("language", handout.language.code().into_value()),
        ("made_on", handout.made_on_sentence.as_str().into_value()),
        ("use_until", handout.use_until_short.as_str().into_value()),
        ("use_until_sentence", handout.use_until_sentence.as_str().into_value()),
        ("invented", handout.invented.as_deref().map_or(Value::None, IntoValue::into_value)),
        ("glance", numbers(&handout.at_a_glance)),
        ("days", strings(&handout.days)),
        ("rules", handout.rules.iter().map(rules).collect::<Array>().into_value()),
        ("before", section(&handout.before)),
        ("during", section(&handout.during)),
        ("pictures", section(&handout.pictures)),
        ("stop", section(&handout.stop)),
        ("stopped", handout.stopped.as_str().into_value()),
        ("next_day", section(&handout.next_day)),
        ("seen_today", section(&handout.seen_today)),
        ("emergency", section(&handout.emergency)),
        ("whom_to_call", strings(&handout.whom_to_call)),
        ("contacts", handout.contacts.iter().map(contact).collect::<Array>().into_value()),
        ("authority", handout.authority.as_str().into_value()),
        ("interpreter", handout.interpreter.as_ref().map_or(Value::None, |i| i.label.as_str().into_value())),
    ])
}

/// The words of the same sheet in the clinician's language, with those of its exercises.
fn beside(handout: &Handout) -> Dict {
    let mut out = words(handout);
    let exercises = handout.exercises.iter().map(|e| {
        let mut words = exercise_words(e);
        let limbs = e.limbs.iter().map(|limb| limb_words(limb).into_value()).collect::<Array>();
        words.insert("limbs".into(), limbs.into_value());
        words.into_value()
    });
    out.insert("exercises".into(), exercises.collect::<Array>().into_value());
    out
}

/// Everything the template reads.
pub(super) fn sheet(handout: &Handout, paper: Paper, pass: Pass<'_>) -> Dict {
    let room = pass.room();
    let sizes = sizes(handout.edition, paper);
    let (width, height) = paper.size();
    let mut out = words(handout);
    out.extend(dict([
        ("large", (handout.edition == Edition::LargeType).into_value()),
        ("body", sizes.body.into_value()),
        ("small", sizes.small.into_value()),
        ("margin", sizes.margin.into_value()),
        ("margin_y", sizes.margin_y.into_value()),
        ("gutter", sizes.gutter.into_value()),
        ("page_width", width.into_value()),
        ("page_height", height.into_value()),
        ("numerals", (handout.edition == Edition::Numerals).into_value()),
        ("log", super::log::values(handout, paper)),
        ("beside", handout.beside.as_deref().map_or(Value::None, |other| beside(other).into_value())),
    ]));
    let made_on = handout.made_on;
    out.insert("year".into(), i64::from(made_on.year()).into_value());
    out.insert("month".into(), i64::from(made_on.month()).into_value());
    out.insert("day".into(), i64::from(made_on.day()).into_value());
    out.insert("bottom_margin".into(), bottom_margin(&sizes).into_value());
    out.insert("measuring".into(), room.is_none().into_value());
    out.insert("opening_apart".into(), room.is_some_and(|r| r.opening_apart).into_value());
    out.insert("closing_apart".into(), room.is_some_and(|r| r.closing_apart).into_value());
    let mut pages = room.map(|r| r.heights.as_slice()).unwrap_or_default().iter().copied();
    let exercises = handout.exercises.iter().enumerate().map(|(index, e)| {
        let plan = Plan::of(e, handout.edition, &sizes, paper, pass.wide().contains(&index), &mut pages);
        exercise(e, plan)
    });
    out.insert("exercises".into(), exercises.collect::<Array>().into_value());
    out
}

fn exercise(exercise: &ExerciseSheet, plan: Plan) -> Value {
    let floors = floors(&exercise.limbs, plan.floor);
    let (wide, floor_apart) = (plan.wide, plan.floor_apart);
    let mut drawn = plan.figures.into_iter();
    let limbs = exercise.limbs.iter().zip(floors).map(|(limb, floor)| {
        let figures: Vec<Scene> = drawn.by_ref().take(limb.figures.len()).collect();
        limb_values(limb, &floor, &figures)
    });
    let limbs = limbs.collect::<Array>().into_value();
    let mut out = exercise_words(exercise);
    out.extend(dict([
        ("limbs", limbs),
        ("floor_apart", floor_apart.into_value()),
        ("wide", wide.into_value()),
    ]));
    out.into_value()
}

fn exercise_words(exercise: &ExerciseSheet) -> Dict {
    dict([
        ("number", exercise.number.to_string().into_value()),
        ("title", exercise.title.as_str().into_value()),
        ("how", strings(&exercise.how)),
        ("missing", exercise.missing_limb.as_deref().map_or(Value::None, IntoValue::into_value)),
        ("days", strings(&exercise.days_sentences)),
        ("numbers", numbers(&exercise.numbers)),
        ("caption", strings(&exercise.caption)),
    ])
}

fn limb_words(limb: &LimbSheet) -> Dict {
    dict([
        ("heading", limb.heading.as_str().into_value()),
        ("steps", strings(&limb.steps)),
        ("shown", limb.figure_in_words.as_str().into_value()),
    ])
}

fn floors(limbs: &[LimbSheet], frame: Frame) -> Vec<Scene> {
    let inputs: Vec<&FloorInput> = limbs.iter().map(|limb| &limb.floor).collect();
    match inputs.as_slice() {
        [left, right] => floor_pair(left, right, frame).to_vec(),
        all => all.iter().map(|input| floor(input, frame)).collect(),
    }
}

fn limb_values(limb: &LimbSheet, floor: &Scene, figures: &[Scene]) -> Value {
    let figures = figures
        .iter()
        .zip(&limb.figure_views)
        .map(|(scene, view)| picture(scene, &format!("{view} {}", limb.figure_in_words)))
        .collect::<Array>();
    let mut out = limb_words(limb);
    out.extend(dict([("floor", picture(floor, &limb.floor_in_words)), ("figures", figures.into_value())]));
    out.into_value()
}
