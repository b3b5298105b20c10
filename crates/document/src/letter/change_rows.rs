//! Changes as rows of a table, and the reach of two dates as drawings.

use anatomy::Side;
use drawing::{Frame, ReachChart, ReachWords, reach_chart};
use measurement::{Better, NoReading, NotComparable, Scale, Unit, Verdict, Way as Toward};
use movement::Bearing;

use super::facts::{Changed, LetterFacts, MeasuredFacts, Value};
use super::say::{Say, capital, digits};
use super::{Block, Drawn, LetterPart, Row};
use crate::language::fill;

/// The part about what changed.
pub(super) fn changed(title: &str, facts: &LetterFacts<'_>, say: Say, charts: bool) -> LetterPart {
    let words = &say.w.progress_note;
    let only = |sentence: &str| LetterPart {
        title: title.to_owned(),
        blocks: vec![Block::Sentences { rows: vec![Row::keep(sentence)], left_out: 0 }],
    };
    let Some(measured) = facts.measured else { return only(&words.never_measured) };
    let mut blocks = Vec::new();
    if measured.changed.is_empty() {
        let once: Vec<String> = once(measured, say);
        let mut rows = vec![Row::keep(&words.measured_once)];
        if !once.is_empty() {
            rows.push(Row::ranked(4, fill(&words.once, &[("what", &say.list(&once))])));
        }
        blocks.push(Block::Sentences { rows, left_out: 0 });
        return LetterPart { title: title.to_owned(), blocks };
    }
    let first = measured.changed.iter().map(|one| one.from).min();
    let last = measured.changed.iter().map(|one| one.to).max();
    if let (Some(first), Some(last)) = (first, last) {
        let dates = [say.date(first), say.date(last)];
        let sentence = fill(&words.measured_between, &[("first", &dates[0]), ("last", &dates[1])]);
        blocks.push(Block::Sentences { rows: vec![Row::keep(sentence)], left_out: 0 });
    }
    let drawings = if charts { reach(measured, say) } else { Vec::new() };
    let mut ordered: Vec<&Changed> = measured.changed.iter().collect();
    ordered.sort_by_key(|one| rank(one, !drawings.is_empty()));
    let dates = (first, last);
    let rows = ordered
        .iter()
        .map(|one| Row { rank: rank(one, !drawings.is_empty()), cells: cells(one, dates, say) })
        .collect();
    blocks.push(Block::Table { head: words.head.clone(), rows, left_out: 0 });
    if !drawings.is_empty() {
        blocks.push(Block::Drawings { drawings });
    }
    let mut behind = vec![Row::ranked(6, words.group.as_str())];
    let together = measured.changed.iter().map(|one| one.together).max().unwrap_or(1);
    if together > 1 {
        let count = together.to_string();
        behind.push(Row::ranked(5, fill(&say.w.change.of_together, &[("count", &count)])));
    }
    let once = once(measured, say);
    if !once.is_empty() {
        behind.push(Row::ranked(7, fill(&words.once, &[("what", &say.list(&once))])));
    }
    blocks.push(Block::Sentences { rows: behind, left_out: 0 });
    LetterPart { title: title.to_owned(), blocks }
}

fn once(measured: &MeasuredFacts, say: Say) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for one in &measured.once {
        let name = say.test(one.test);
        if !out.contains(&name) {
            out.push(name);
        }
    }
    out
}

/// What a reader needs first: the involved limb and composites, then the other limb, then single directions, then
/// what cannot be said.
fn rank(one: &Changed, drawn: bool) -> u8 {
    let base = match one.change.verdict {
        Verdict::CannotSay => 6,
        _ if one.direction.is_some() => 5,
        _ if one.involved => 0,
        _ => 3,
    };
    let shown_already = drawn && one.direction.is_some();
    base + u8::from(!one.involved && base > 3) + 2 * u8::from(shown_already)
}

fn cells(
    one: &Changed,
    dates: (Option<jiff::civil::Date>, Option<jiff::civil::Date>),
    say: Say,
) -> Vec<String> {
    let error = [one.first, one.last].into_iter().flatten().find_map(|value| value.error);
    let places = digits(error, one.unit, whole(one));
    let value = |of: Option<Value>, on: jiff::civil::Date, usual: Option<jiff::civil::Date>| {
        let Some(of) = of else { return say.w.change.no_value.clone() };
        let mut out = say.on_scale(of.value, one.scale, one.unit, places);
        if let Some(error) = of.error {
            // The error is rounded no finer than the value.
            out = format!("{out} ± {}", say.number(error, places.max(usize::from(error < 0.5))));
        }
        // A day is named where it is not that of the whole table.
        if usual == Some(on) { out } else { format!("{out} ({})", say.date(on)) }
    };
    let name = capital(&say.test(one.test));
    let what = match one.side {
        None => name,
        side => format!("{name}, {}", say.limb(side, one.direction)),
    };
    vec![
        what,
        value(one.first, one.from, dates.0),
        value(one.last, one.to, dates.1),
        meaning(one, places, say),
    ]
}

/// Whether both values are whole because the test knows no others; a mean of whole answers is not.
fn whole(one: &Changed) -> bool {
    let values = || [one.first, one.last].into_iter().flatten();
    one.scale == Scale::Raw
        && one.test.instrument().whole
        && values().all(|of| (of.value - of.value.round()).abs() < 1e-9)
}

/// The verdict in words with the chance that it is so.
fn meaning(one: &Changed, places: usize, say: Say) -> String {
    let words = &say.w.change;
    let change = &one.change;
    let Some(estimate) = &change.estimate else {
        let why = change.because.as_ref().map_or("", |because| because_words(because, say));
        return fill(&words.cannot_say, &[("why", why)]);
    };
    let of = match change.verdict {
        Verdict::RealAndLarge => &words.real_and_large,
        Verdict::ProbablyReal => &words.probably_real,
        Verdict::WithinNoise => &words.within_noise,
        Verdict::CannotSay => return fill(&words.cannot_say, &[("why", "")]),
    };
    let by = estimate.difference.abs();
    let by = match (one.scale, one.unit) {
        (Scale::Symmetry, _) | (Scale::LimbLength | Scale::Height | Scale::SideDifference, Unit::Percent) => {
            say.percentage_points(by, places)
        }
        _ => say.amount(by, one.unit, places),
    };
    let chance = say.chance(estimate.direction);
    // A difference that vanishes in the digits it deserves has no direction to speak of.
    let shown = estimate.difference.abs() * 10_f64.powi(i32::try_from(places).unwrap_or(0));
    let way = if shown < 0.5 { Toward::Neither } else { change.way };
    let (verdict, chance) = match way {
        Toward::Better => (&of.better, Some(fill(&words.chance.better, &[("chance", &chance)]))),
        Toward::Worse => (&of.worse, Some(fill(&words.chance.worse, &[("chance", &chance)]))),
        Toward::Neither => (&of.neither, None),
    };
    let mut out = vec![fill(verdict, &[("by", &by)])];
    out.extend(chance);
    say.join(&out)
}

fn because_words(because: &NotComparable, say: Say) -> &'static str {
    let words = &say.w.change.because;
    match because {
        NotComparable::OtherThing { .. } => &words.other_thing,
        NotComparable::OtherForm { .. } => &words.other_form,
        NotComparable::Protocol { .. } => &words.protocol,
        NotComparable::NotLater => &words.not_later,
        NotComparable::Capped => &words.capped,
        NotComparable::NoReading { when: "baseline", why: NoReading::NotPossible } => &words.became_possible,
        NotComparable::NoReading { why: NoReading::NotPossible, .. } => &words.no_longer_possible,
        NotComparable::NoReading { .. } => &words.no_value,
        NotComparable::AnchorOnly => &words.anchor_only,
        NotComparable::NoBetterWay => &words.no_better_way,
        NotComparable::NoError { .. } => &words.no_error,
        NotComparable::NotComputable { .. } => &words.not_computable,
    }
}

/// Size of a chart of a letter, points.
const CHART: Frame = Frame { width: 250.0, height: 250.0, type_size: 8.5 };

/// The reach of the first and the last date, one drawing for each standing leg with two directions or more.
fn reach(measured: &MeasuredFacts, say: Say) -> Vec<Drawn> {
    let words = &say.w.reach_chart;
    Side::BOTH
        .into_iter()
        .filter_map(|side| {
            let of_leg = |one: &&Changed| {
                one.side == Some(side)
                    && one.direction.is_some()
                    && one.test.instrument().better == Better::Higher
                    && one.first.is_some()
                    && one.last.is_some()
            };
            let first = measured.changed.iter().find(of_leg)?;
            let rows: Vec<&Changed> = measured
                .changed
                .iter()
                .filter(of_leg)
                .filter(|one| {
                    (one.test, one.from, one.to, one.scale) == (first.test, first.from, first.to, first.scale)
                })
                .collect();
            if rows.len() < 2 {
                return None;
            }
            let at = |of: fn(&Changed) -> Option<f64>| -> Vec<(Bearing, f64)> {
                rows.iter().filter_map(|one| Some((one.direction?.bearing(side), of(one)?))).collect()
            };
            let noise = at(|one| Some(one.change.estimate.as_ref()?.detectable_together));
            let unit = match first.scale {
                Scale::LimbLength => words.percent_limb.clone(),
                _ => first.unit.to_string(),
            };
            let error = first.first.and_then(|value| value.error);
            let chart = ReachChart {
                standing: side,
                earlier: at(|one| Some(one.first?.value)),
                later: at(|one| Some(one.last?.value)),
                noise_words: if noise.is_empty() { words.no_grey.clone() } else { words.grey.clone() },
                noise,
                dates: [say.date(first.from), say.date(first.to)],
                resolution: if digits(error, first.unit, false) == 0 { 1.0 } else { 0.1 },
                words: ReachWords {
                    title: fill(words.title.of(side), &[("unit", &unit)]),
                    directions: movement::AnatomicalDirection::ALL.map(|one| (one, say.direction(one))),
                    was: words.was.clone(),
                    not_measured: words.not_measured.clone(),
                    named: words.named.clone(),
                    decimal: say.number(0.5, 1).chars().nth(1).unwrap_or('.'),
                    foot: say.foot(side).to_owned(),
                },
            };
            let values: Vec<String> = rows
                .iter()
                .filter_map(|one| {
                    let places = digits(error, one.unit, false);
                    let name = say.w.directions.get(one.direction?.name())?;
                    let of = |value: f64| say.amount(value, one.unit, places);
                    Some(format!("{name} {} → {}", of(one.first?.value), of(one.last?.value)))
                })
                .collect();
            Some(Drawn {
                words: fill(
                    words.alt.of(side),
                    &[
                        ("first", &say.date(first.from)),
                        ("last", &say.date(first.to)),
                        ("values", &values.join(", ")),
                    ],
                ),
                scene: reach_chart(&chart, CHART),
            })
        })
        .collect()
}
