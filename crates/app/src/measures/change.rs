//! What changed between two days, test by test: the composite first, then its directions; and the course of more.

use anatomy::Side;
use jiff::civil::Date;
use measurement::norm::{Who, group};
use measurement::{
    Change, Context, Course, ImportantChange, InstrumentKey, NotComparable, ProtocolMatch, Question, Reading,
    Reliability, Scale, StanceDirection, Verdict, Way, compare_sessions, course, important_change,
    reliability,
};
use person::{CaseFile, Condition};
use progress::{Activity, ExternalSupport};
use serde::Serialize;

use super::derived::{one_side, parts_of, with_derived};
use super::recorded::{Entry, Measures};
use super::report::{involved_of, of_limbs, of_what, own_not_used, said, scales, who};

/// A reading with its standard error, where that is known.
pub(crate) type WithError = (Reading, Option<f64>);

/// One result on two days.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChangedResult {
    /// The limb and direction in words.
    pub what: String,
    /// The limb, in a reach the one that stands.
    pub side: Option<Side>,
    /// The direction, named from the standing limb.
    pub direction: Option<StanceDirection>,
    /// On which scale it was judged: one that an error is known for, of the body before the raw one.
    pub scale: Scale,
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// The first result as it is read.
    pub first: String,
    /// The last result as it is read.
    pub last: String,
    /// The judgement.
    pub change: Change,
    /// The judgement in whole sentences.
    pub sentences: Vec<String>,
    #[serde(skip)]
    pub(crate) readings: Option<[WithError; 2]>,
}

/// The course of one result over more than two days.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CourseRow {
    /// The limb and direction in words.
    pub what: String,
    /// The course.
    pub course: Course,
    /// In a sentence.
    pub sentence: String,
}

/// One test with all its limbs and directions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChangedTest {
    /// The test.
    pub test: InstrumentKey,
    /// Its name.
    pub name: String,
    /// How many of its results were looked at together: the bar is raised for that many.
    pub together: usize,
    /// Every limb and direction.
    pub rows: Vec<ChangedResult>,
    /// The involved limb beside the other one, on both days.
    pub symmetry: Vec<ChangedResult>,
    /// Courses, where there are three days or more.
    pub courses: Vec<CourseRow>,
    #[serde(skip)]
    pub(super) lines: Vec<(Key, Vec<WithError>)>,
}

/// What changed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChangeReport {
    /// The group whose error is looked up, in words.
    pub group: String,
    /// Whether the file named it.
    pub group_said: bool,
    /// Errors of the clinic that are not used, and why.
    pub not_used: Vec<String>,
    /// Nothing before this day was taken: the one asked for, else that of the operation or injury.
    pub from: Option<Date>,
    /// Every test that was done on two days, composites before their directions.
    pub tests: Vec<ChangedTest>,
    /// Results of one day only, in words.
    pub once: Vec<String>,
}

/// What makes two results results of one thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Key {
    pub(super) test: InstrumentKey,
    pub(super) side: Option<Side>,
    pub(super) direction: Option<StanceDirection>,
    about: Option<Activity>,
}

fn key(entry: &Entry) -> Key {
    let taken = entry.session.taken();
    Key { test: entry.session.instrument(), side: taken.side, direction: taken.direction, about: entry.about }
}

/// Compares the first result of every test on or after `from` with the last one on or before `to`.
///
/// Without `from` nothing from before the operation or injury is taken.
///
/// All limbs and directions of one test are one look each, and the bar is raised for their number (Šidák); a
/// composite is a test of its own and stands first, so that one question is asked before eight.
#[must_use]
pub fn change_report(
    case: &CaseFile,
    measures: &Measures,
    from: Option<Date>,
    to: Option<Date>,
) -> ChangeReport {
    let involved = involved_of(case);
    let who = who(case, measures);
    let since = case.findings.conditions.iter().filter_map(Condition::since).max();
    let chosen = from;
    let from = from.or(since);
    let inside = |day: Date| from.is_none_or(|from| from <= day) && to.is_none_or(|to| day <= to);
    let (all, outside): (Vec<Entry>, Vec<Entry>) =
        with_derived(measures, involved).into_iter().partition(|entry| inside(entry.session.taken().date));
    let mut keys: Vec<Key> = Vec::new();
    for entry in &all {
        if !keys.contains(&key(entry)) {
            keys.push(key(entry));
        }
    }
    let mut report = ChangeReport {
        group: measures.population.words().to_owned(),
        group_said: measures.population_said,
        not_used: own_not_used(measures),
        from,
        tests: Vec::new(),
        once: Vec::new(),
    };
    for test in order(&keys) {
        let of_test: Vec<Vec<&Entry>> = keys
            .iter()
            .filter(|key| key.test == test)
            .map(|one| all.iter().filter(|entry| key(entry) == *one).collect())
            .collect();
        let (twice, once): (Vec<_>, Vec<_>) = of_test.into_iter().partition(|entries| entries.len() > 1);
        report.once.extend(once.iter().filter_map(|entries| {
            let taken = entries.first()?.session.taken();
            let what = of_what(taken.side, taken.direction.map(StanceDirection::name));
            let before = outside.iter().rev().find(|entry| key(entry) == key(entries[0]));
            let before = before.filter(|_| chosen.is_none()).and_then(|entry| {
                let date = entry.session.taken().date;
                let reading = entry.session.reading(Scale::Raw).ok()?;
                Some(format!("; before the operation or injury {} on {date}", said(&reading)))
            });
            let before = before.unwrap_or_default();
            Some(format!("{}, {what}: only on {}{before}", test.instrument().name, taken.date))
        }));
        if !twice.is_empty() {
            report.tests.push(changed(test, &twice, measures, &who, one_side(involved)));
        }
    }
    report
}

/// Tests of one day only, with their day: what no change can be said of.
#[must_use]
pub(crate) fn once_of(
    case: &CaseFile,
    measures: &Measures,
    from: Option<Date>,
    to: Option<Date>,
) -> Vec<(InstrumentKey, Date)> {
    let since = case.findings.conditions.iter().filter_map(Condition::since).max();
    let from = from.or(since);
    let inside = |day: Date| from.is_none_or(|from| from <= day) && to.is_none_or(|to| day <= to);
    let entries = with_derived(measures, involved_of(case));
    let all: Vec<&Entry> = entries.iter().filter(|entry| inside(entry.session.taken().date)).collect();
    let alone = |one: &&&Entry| all.iter().filter(|other| key(other) == key(one)).count() == 1;
    all.iter().filter(alone).map(|entry| (entry.session.instrument(), entry.session.taken().date)).collect()
}

/// Tests in the order in which they were done, a composite right before what it is made of.
fn order(keys: &[Key]) -> Vec<InstrumentKey> {
    let mut tests: Vec<InstrumentKey> = Vec::new();
    for key in keys {
        if tests.contains(&key.test) {
            continue;
        }
        let part = parts_of(key.test).and_then(|part| tests.iter().position(|test| test.as_str() == part));
        tests.insert(part.unwrap_or(tests.len()), key.test);
    }
    tests
}

fn changed(
    test: InstrumentKey,
    of_test: &[Vec<&Entry>],
    measures: &Measures,
    who: &Who,
    involved: Option<Side>,
) -> ChangedTest {
    let together = of_test.len();
    let rows = of_test.iter().filter_map(|entries| row(entries, measures, who, together)).collect();
    let judged: Vec<Judged> = of_test.iter().map(|entries| judged(entries, measures)).collect();
    let courses = of_test
        .iter()
        .zip(&judged)
        .filter(|(entries, _)| entries.len() > 2)
        .map(|(entries, judged)| course_of(entries, judged))
        .collect();
    let lines = of_test
        .iter()
        .zip(&judged)
        .filter_map(|(entries, judged)| Some((key(entries.first()?), judged.with_errors(entries, measures))))
        .collect();
    ChangedTest {
        test,
        name: test.instrument().name.clone(),
        together,
        rows,
        symmetry: involved.map_or_else(Vec::new, |side| symmetries(test, of_test, side, measures)),
        courses,
        lines,
    }
}

/// The scale on which results are judged, with its error.
struct Judged {
    scale: Scale,
    error: Result<Reliability, measurement::CannotSayError>,
    important: Option<&'static ImportantChange>,
}

impl Judged {
    fn with_errors(&self, entries: &[&Entry], measures: &Measures) -> Vec<WithError> {
        entries
            .iter()
            .filter_map(|entry| entry.session.reading(self.scale).ok())
            .map(|reading| {
                let sem = error_of(&reading, measures).ok().map(|found| found.error.at(reading.value));
                (reading, sem)
            })
            .collect()
    }
}

fn error_of(reading: &Reading, measures: &Measures) -> Result<Reliability, measurement::CannotSayError> {
    let asked = Question { reading, population: measures.population, raters: measures.raters };
    reliability(&asked, &measures.own)
}

/// A scale of the body that an error and an amount that matters are known for, else one with an error, else the
/// raw one. It is chosen by what is published, never by what comes out.
fn judged(entries: &[&Entry], measures: &Measures) -> Judged {
    let mut found: Vec<(u8, Judged)> = Vec::new();
    let of_body = scales(key(entries[0]).test).skip(1).chain([Scale::Raw]);
    for scale in of_body {
        let Some(reading) = entries.iter().find_map(|entry| entry.session.reading(scale).ok()) else {
            continue;
        };
        if scale == Scale::LimbLength && tape_moved(entries).is_some() {
            continue;
        }
        if entries
            .iter()
            .any(|entry| matches!(entry.session.reading(scale), Err(measurement::NoReading::Missing { .. })))
        {
            continue;
        }
        let error = error_of(&reading, measures);
        let important = important_change(reading.instrument, scale, measures.population);
        let rank = u8::from(error.is_err()) * 2 + u8::from(important.is_none());
        found.push((rank, Judged { scale, error, important }));
    }
    let raw = |reading: Option<Reading>| Judged {
        scale: Scale::Raw,
        error: reading.map_or_else(
            || {
                Err(measurement::CannotSayError {
                    test: key(entries[0]).test.instrument().name.clone(),
                    scale: Scale::Raw.words(),
                    why: "there is no value at all".to_owned(),
                    people: 0,
                })
            },
            |reading| error_of(&reading, measures),
        ),
        important: None,
    };
    let best = found.iter().map(|(rank, _)| *rank).min();
    // Without any error the raw value is the plainest.
    match best {
        Some(rank) if rank < 2 => {
            let at = found.iter().position(|(of, _)| *of == rank).unwrap_or_default();
            found.swap_remove(at).1
        }
        _ => raw(entries.iter().find_map(|entry| entry.session.reading(Scale::Raw).ok())),
    }
}

/// Limb lengths of the days that are further apart than two readings of the tape should be.
fn tape_moved(entries: &[&Entry]) -> Option<String> {
    let side = entries[0].session.taken().side?;
    let lengths: Vec<f64> = entries
        .iter()
        .filter_map(|entry| *entry.session.taken().body.limb_length.get(side))
        .map(quantity::Length::in_cm)
        .collect();
    let least = lengths.iter().copied().fold(f64::INFINITY, f64::min);
    let most = lengths.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (most - least > measurement::limb_length_drift()).then(|| {
        format!(
            "Note: the {side} limb was taken as {least:.1} and as {most:.1} cm long, which alone would change a share of it; so this is judged in centimetres."
        )
    })
}

fn row(entries: &[&Entry], measures: &Measures, who: &Who, together: usize) -> Option<ChangedResult> {
    let (first, last) = (*entries.first()?, *entries.last()?);
    let judged = judged(entries, measures);
    let readings = [first, last].map(|entry| entry.session.reading(judged.scale).ok());
    let group = match (&readings[0], &judged.error) {
        (Some(reading), Ok(found)) => group(reading, who, found.error.at(reading.value)),
        _ => None,
    };
    let context = Context { comparisons: together, group, ..Context::ALONE };
    let mut change = compare_sessions(
        &first.session,
        &last.session,
        judged.scale,
        judged.error.as_ref(),
        judged.important,
        &context,
    );
    if first.support != last.support {
        change = other_support(change, first.support, last.support);
    }
    let mut row = finished(first, last, judged.scale, change, measures);
    if let Some(matters) = judged.important.filter(|_| row.change.estimate.is_some()) {
        let group = matters.population.map_or_else(|| "of anybody".to_owned(), |of| format!("of {of}"));
        let source = quantity::reference::short_cite(&matters.source);
        row.sentences.push(format!("What matters: the figure {group} ({source}, {}).", matters.read));
    }
    if key(first).test.instrument().normalise.contains(&Scale::LimbLength) {
        row.sentences.extend(tape_moved(entries));
    }
    Some(row)
}

/// Two results of which one was helped by a brace or tape say nothing about the limb.
fn other_support(change: Change, first: Option<ExternalSupport>, last: Option<ExternalSupport>) -> Change {
    let words = |worn: Option<ExternalSupport>| worn.map_or("none", ExternalSupport::words).to_owned();
    let how =
        ProtocolMatch::Differs { field: "brace or tape".to_owned(), one: words(first), other: words(last) };
    Change {
        verdict: Verdict::CannotSay,
        way: Way::Neither,
        estimate: None,
        because: Some(NotComparable::Protocol { how }),
        notes: Vec::new(),
        ..change
    }
}

fn finished(first: &Entry, last: &Entry, scale: Scale, change: Change, measures: &Measures) -> ChangedResult {
    let (one, two) = (first.session.taken(), last.session.taken());
    let readings = [first, last].map(|entry| entry.session.reading(scale).ok());
    let in_words = |entry: &Entry| match entry.session.reading(scale) {
        Ok(reading) if scale == Scale::Raw => said(&reading),
        Ok(reading) => match entry.session.reading(Scale::Raw) {
            Ok(raw) => format!("{}, {}", raw.unit.say(raw.value), said(&reading)),
            Err(_) => said(&reading),
        },
        Err(why) => why.to_string(),
    };
    let mut sentences = change.in_full();
    for entry in [first, last] {
        if let Some(score) = entry.session.taken().scored.score() {
            let date = entry.session.taken().date;
            sentences.extend(score.cautions.iter().map(|caution| format!("Note: on {date} {caution}.")));
            sentences
                .extend(scattered(entry, scale, measures).map(|said| format!("Note: on {date} {said}.")));
        }
    }
    let both = match readings {
        [Some(a), Some(b)] => Some([a, b].map(|reading| {
            let sem = error_of(&reading, measures).ok().map(|found| found.error.at(reading.value));
            (reading, sem)
        })),
        _ => None,
    };
    ChangedResult {
        what: of_what(one.side, one.direction.map(StanceDirection::name)),
        side: one.side,
        direction: one.direction,
        scale,
        from: one.date,
        to: two.date,
        first: in_words(first),
        last: in_words(last),
        change,
        sentences,
        readings: both,
    }
}

/// Trials of one day that lie much further apart than the error of the test.
fn scattered(entry: &Entry, scale: Scale, measures: &Measures) -> Option<String> {
    const MUCH: f64 = 3.0;
    let reading = entry.session.reading(scale).ok()?;
    let spread = reading.trial_spread?.abs();
    let sem = error_of(&reading, measures).ok()?.error.at(reading.value);
    (spread > MUCH * sem).then(|| {
        format!(
            "the trials lay {} apart (standard deviation), more than {MUCH:.0} times the error of the test: look at them before you trust the score",
            reading.unit.say(spread)
        )
    })
}

fn course_of(entries: &[&Entry], judged: &Judged) -> CourseRow {
    let taken = entries[0].session.taken();
    let readings: Vec<Reading> =
        entries.iter().filter_map(|entry| entry.session.reading(judged.scale).ok()).collect();
    let missed = entries.len() - readings.len();
    let sem =
        judged.error.as_ref().ok().zip(readings.first()).map(|(found, first)| found.error.at(first.value));
    let course = course(&readings.iter().collect::<Vec<_>>(), judged.important, sem);
    let mut sentence = course.to_string();
    if missed > 0 {
        sentence.push_str(&format!(" Left out, without a value: {missed}."));
    }
    let worn: Vec<_> = entries.iter().map(|entry| entry.support).collect();
    if worn.windows(2).any(|pair| pair[0] != pair[1]) {
        sentence.push_str(" Not all of it was done with the same brace or tape, so it is no fair course.");
    }
    CourseRow { what: of_what(taken.side, taken.direction.map(StanceDirection::name)), course, sentence }
}

/// The involved limb beside the other on the first and the last day on which both were tested.
fn symmetries(
    test: InstrumentKey,
    of_test: &[Vec<&Entry>],
    side: Side,
    measures: &Measures,
) -> Vec<ChangedResult> {
    let is = |entries: &&Vec<&Entry>, of: Side| entries.first().is_some_and(|e| key(e).side == Some(of));
    let mut rows = Vec::new();
    for mine in of_test.iter().filter(|entries| is(entries, side)) {
        let direction = key(mine[0]).direction;
        let Some(theirs) = of_test.iter().find(|e| is(e, side.other()) && key(e[0]).direction == direction)
        else {
            continue;
        };
        let pairs: Vec<(&Entry, &Entry, Reading)> = mine
            .iter()
            .filter_map(|one| {
                let date = one.session.taken().date;
                let other = theirs.iter().find(|other| other.session.taken().date == date)?;
                Some((*one, *other, of_limbs(one, other).ok()?))
            })
            .collect();
        let [(first, _, before), .., (last, _, after)] = pairs.as_slice() else { continue };
        let (Some(start), Some(end)) = (limbs_of(&pairs[0]), limbs_of(&pairs[pairs.len() - 1])) else {
            continue;
        };
        let error = error_of(before, measures);
        let important = important_change(test, before.scale, measures.population);
        let mut change = measurement::compare(before, after, error.as_ref(), important, &Context::ALONE);
        if first.support != last.support {
            change = other_support(change, first.support, last.support);
        }
        let mut sentences = change.in_full();
        // Who reads symmetry alone would take the other limb's loss for a gain of this one.
        let better = test.instrument().better.sign(Scale::Raw);
        let gain = |at: usize| better * (end[at].value - start[at].value);
        if change.way == Way::Better && gain(0) <= 0.0 {
            sentences.insert(
                0,
                "Nearer to the other side only because the other side lost: this limb did not gain."
                    .to_owned(),
            );
        } else if change.way == Way::Better && gain(1) < 0.0 {
            sentences.insert(0, "Part of this is the other side's loss.".to_owned());
        }
        let raw = |at: &[Reading; 2]| {
            let said = |reading: &Reading| reading.unit.say(reading.value);
            format!("{side} {}, {} {}", said(&at[0]), side.other(), said(&at[1]))
        };
        let what = match direction {
            Some(direction) => format!("{side} beside {}, {direction}", side.other()),
            None => format!("{side} beside {}", side.other()),
        };
        rows.push(ChangedResult {
            what,
            side: Some(side),
            direction,
            scale: before.scale,
            from: first.session.taken().date,
            to: last.session.taken().date,
            first: format!("{} ({})", symmetry_said(before), raw(&start)),
            last: format!("{} ({})", symmetry_said(after), raw(&end)),
            change,
            sentences,
            readings: None,
        });
    }
    rows
}

/// The involved limb and the other as measured.
fn limbs_of(pair: &(&Entry, &Entry, Reading)) -> Option<[Reading; 2]> {
    Some([pair.0.session.reading(Scale::Raw).ok()?, pair.1.session.reading(Scale::Raw).ok()?])
}

fn symmetry_said(reading: &Reading) -> String {
    format!("{} {}", reading.unit.say(reading.value), reading.scale.words())
}
