//! The class list: several people in one round, each with the directions that are closed for them.

use anatomy::Side;
use jiff::civil::Date;
use movement::{Bearing, Family, Support, SupportKind};
use person::{Clinic, Finding};
use quantity::Length;
use safety::{FindingKey, shelf_life};

use super::facts::{LetterFacts, Way};
use super::notes::sign_row;
use super::parts::{bearings, framed};
use super::say::Say;
use super::{Block, Letter, LetterKind, LetterPart, Row};
use crate::language::{Language, fill};
use crate::make::emergency_signs;

/// One person of a class, as far as a step in eight directions needs them.
#[derive(Clone, Debug, PartialEq)]
pub struct ClassMember {
    /// What the list calls them.
    pub name: String,
    /// Whether they are invented.
    pub invented: bool,
    /// A red flag stands: no class.
    pub alert: bool,
    /// By leg, the directions in which a step is closed; none where the space was not computed.
    pub closed: Option<[Vec<Bearing>; 2]>,
    /// The shortest distance to which any open step is open.
    pub longest: Option<Length>,
    /// What the hands need in at least one open direction.
    pub support: (Support, Option<SupportKind>),
    /// Pain in movement, where it counts today.
    pub pain: Option<u8>,
    /// The next day on which an order ends.
    pub order_ends: Option<Date>,
}

impl ClassMember {
    /// A member from what a letter knows about one person.
    #[must_use]
    pub fn of(facts: &LetterFacts<'_>) -> Self {
        let found = &facts.case.findings;
        let life = shelf_life(FindingKey::RedFlags);
        let flags = found.red_flags.on(facts.today, life);
        let alert = flags.current().is_some_and(|flags| !flags.is_empty());
        let steps = || facts.ways.iter().filter(|way| way.family == Family::Step);
        let open: Vec<&Way> = steps().filter(|way| way.open.is_some()).collect();
        let closed = steps()
            .next()
            .is_some()
            .then(|| Side::BOTH.map(|side| bearings(facts.ways, Family::Step, side, false)));
        let most_help = open.iter().max_by_key(|way| way.support);
        let pain = found.pain_in_movement.on(facts.today, shelf_life(FindingKey::PainInMovement));
        let mut ends: Vec<Date> = found.orders.iter().filter_map(|order| order.until).collect();
        for side in Side::BOTH {
            if let Finding::Found { value, .. } = found.weight_bearing.get(side) {
                ends.extend(value.until);
            }
        }
        Self {
            name: facts.case.person.name.clone(),
            invented: facts.case.invented,
            alert,
            closed,
            longest: open.iter().filter_map(|way| way.open).reduce(Length::min),
            support: most_help.map_or((Support::None, None), |way| (way.support, way.held)),
            pain: pain.current().copied(),
            order_ends: ends.into_iter().filter(|end| *end >= facts.today).min(),
        }
    }
}

/// One list for several people. A person who may not take part is on it with the reason.
#[must_use]
pub fn class_list(members: &[ClassMember], clinic: &Clinic, today: Date, language: Language) -> Letter {
    let say = Say::of(language);
    let words = &say.w.class_list;
    let invented = members.iter().any(|one| one.invented);
    let emergency = sign_row(&emergency_signs(clinic, language), say);
    let small_print = vec![say.w.frame.estimate.clone(), say.w.frame.judgement.clone()];
    let mut out = framed(
        LetterKind::ClassList,
        say,
        (clinic, today),
        &words.to,
        vec![words.round.clone(), words.stop.clone(), emergency.cells.concat()],
        invented,
        small_print,
    );
    let rows = members.iter().map(|one| row(one, say)).collect::<Vec<_>>();
    let blocks = if rows.is_empty() {
        vec![Block::Sentences { rows: vec![Row::keep(&words.empty)], left_out: 0 }]
    } else {
        vec![Block::Table { head: words.head.clone(), rows, left_out: 0 }]
    };
    out.parts.push(LetterPart { title: String::new(), blocks });
    out.sign = Vec::new();
    out
}

fn row(one: &ClassMember, say: Say) -> Row {
    let words = &say.w.class_list;
    let dash = say.w.change.no_value.clone();
    let cells = |hands: String, [left, right]: [String; 2], know: String| Row {
        rank: 0,
        cells: vec![one.name.clone(), hands, left, right, know],
    };
    if one.alert {
        return cells(dash.clone(), [dash.clone(), dash], words.alert.clone());
    }
    let Some(closed) = &one.closed else {
        return cells(dash.clone(), [dash.clone(), dash], words.missing.clone());
    };
    let legs = closed.each_ref().map(|shut| match shut.len() {
        0 => words.none_closed.clone(),
        8 => words.all_closed.clone(),
        _ => floor(shut, words),
    });
    let mut know: Vec<String> = Vec::new();
    know.extend(one.longest.map(|far| fill(&words.longest, &[("distance", &say.length(far))])));
    know.extend(
        one.pain.filter(|pain| *pain > 0).map(|pain| fill(&words.pain, &[("number", &pain.to_string())])),
    );
    know.extend(one.order_ends.map(|end| fill(&words.order_until, &[("date", &say.date(end))])));
    cells(say.support(one.support.0, one.support.1), legs, say.join(&know))
}

/// Directions from the floor: a leader of a class stands behind the person and reads no anatomy.
fn floor(bearings: &[Bearing], words: &super::words::ClassWords) -> String {
    let names: Vec<&str> = bearings
        .iter()
        .filter_map(|one| words.floor.get(usize::from(one.degrees() / 45)).map(String::as_str))
        .collect();
    names.join(", ")
}
