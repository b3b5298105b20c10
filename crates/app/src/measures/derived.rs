//! Results that are made of other results: the composite of a reach, the mean symmetry of four hops.

use anatomy::Side;
use jiff::civil::Date;
use measurement::{
    InstrumentKey, Scored, Session, StanceDirection, Symmetry, Taken, composite, hop_battery, symmetry,
};
use person::Involved;

use super::recorded::{Entry, Measures};

/// Hop tests of the battery.
const BATTERY: [&str; 4] = ["single_hop", "triple_hop", "crossover_hop", "timed_hop"];

/// Everything that was measured and everything that follows from it, the composite before its directions.
/// What lacks a part is not made.
#[must_use]
pub(super) fn with_derived(measures: &Measures, involved: Involved) -> Vec<Entry> {
    let mut all = Vec::new();
    for day in measures.days() {
        for side in Side::BOTH {
            for key in ["star_reach", "three_reach"] {
                all.extend(composite_of(measures, day, side, key));
            }
        }
        all.extend(measures.on(day).cloned());
        all.extend(battery_of(measures, day, involved));
    }
    all
}

fn is(entry: &Entry, key: &str, side: Side) -> bool {
    entry.session.instrument().as_str() == key && entry.session.taken().side == Some(side)
}

fn made(of: &Entry, side: Option<Side>, scored: Scored) -> Option<Entry> {
    let taken = Taken { side, direction: None, scored, ..of.session.taken().clone() };
    let session = Session::new(taken).ok()?;
    Some(Entry {
        line: of.line,
        session,
        support: of.support,
        about: None,
        done_anyway: None,
        error_toward_deg: Vec::new(),
        sway: Vec::new(),
        landings: Vec::new(),
    })
}

fn composite_of(measures: &Measures, day: Date, side: Side, key: &str) -> Option<Entry> {
    let parts: Vec<&Entry> = measures.on(day).filter(|entry| is(entry, key, side)).collect();
    let first = parts.first()?;
    let one_way = parts.iter().all(|part| {
        part.support == first.support && part.session.taken().protocol == first.session.taken().protocol
    });
    let scored: Vec<(StanceDirection, &Scored)> = parts
        .iter()
        .filter_map(|entry| Some((entry.session.taken().direction?, &entry.session.taken().scored)))
        .collect();
    let score = composite(&scored).ok().filter(|_| one_way)?;
    made(first, Some(side), Scored::Score(score))
}

fn battery_of(measures: &Measures, day: Date, involved: Involved) -> Option<Entry> {
    let side = one_side(involved)?;
    let mut parts: Vec<Symmetry> = Vec::new();
    let mut of = None;
    for key in BATTERY {
        let on = |side| measures.on(day).find(|entry| is(entry, key, side));
        let (one, other) = (on(side)?, on(side.other())?);
        let scores = (one.session.taken().scored.score()?, other.session.taken().scored.score()?);
        parts.push(symmetry(scores.0, scores.1).ok()?);
        of = of.or(Some(one));
    }
    made(of?, None, Scored::Score(hop_battery(&parts).ok()?))
}

/// The involved limb, where it is one.
pub(super) fn one_side(involved: Involved) -> Option<Side> {
    match involved {
        Involved::Left => Some(Side::Left),
        Involved::Right => Some(Side::Right),
        Involved::Both | Involved::General => None,
    }
}

/// The test that a composite is made of.
pub(super) fn parts_of(key: InstrumentKey) -> Option<&'static str> {
    match key.as_str() {
        "star_reach_composite" => Some("star_reach"),
        "three_reach_composite" => Some("three_reach"),
        _ => None,
    }
}
