//! Reads a measures file: every problem with its line, what was given, what is accepted, what to do.

use anatomy::PerSide;
use jiff::ToSpan;
use jiff::civil::Date;
use measurement::{BodyMeasures, Population, ScoreForm, Scored};
use person::CaseFile;
use person::case_file::{CaseErrors, Problem, Wrong};
use progress::Observed;
use quantity::{Length, Mass};

use super::file::{BodyRow, Day, FORMAT, File, VERSION, day_of};
use super::own::own_error;
use super::read_test::OfDay;
use super::reader::Reader;
use super::recorded::{Entry, Measures};

/// Gives the text of a recorded series by the name that stands in the measures file, or why it cannot.
pub type SeriesFile<'a> = &'a dyn Fn(&str) -> Result<String, String>;

/// Reads measures of the person of `case`: body sizes and the group stand in the case unless the file says them.
///
/// Nothing is dated after `today`.
///
/// # Errors
/// Everything that is wrong, each with its line. A file that is no TOML of this shape names its first problem only.
pub fn read_measures(
    name: &str,
    text: &str,
    case: &CaseFile,
    today: Date,
    series: SeriesFile<'_>,
) -> Result<Measures, CaseErrors> {
    let mut reader = Reader { text, problems: Vec::new() };
    let file: File = match toml::from_str(text) {
        Ok(file) => file,
        Err(error) => {
            let at = error.span().unwrap_or(0..0);
            let given = reader.given(&at);
            reader.add(Wrong::Syntax, &at, "", &given, SHAPE, error.message());
            return Err(reader.into_errors(name));
        }
    };
    reader.expect(&file.format, "format", FORMAT);
    if *file.version.get_ref() != i64::from(VERSION) {
        let given = file.version.get_ref().to_string();
        let to_do = "write the version of this format, or use a newer footrose";
        reader.add(Wrong::Value, &file.version.span(), "version", &given, "1", to_do);
    }
    if let Some(person) = file.person.as_ref().filter(|given| *given.get_ref() != case.person.name) {
        let to_do = "these are the measures of another person; name the right case";
        reader.add(
            Wrong::Contradiction,
            &person.span(),
            "person",
            person.get_ref(),
            &format!("`{}`, the name in the case", case.person.name),
            to_do,
        );
    }
    let said = reader.population(file.population.as_ref());
    let population = said.unwrap_or_else(|| group_of(case));
    let raters = reader.raters(file.raters.as_ref());
    let mut days: Vec<(Date, &Day)> = Vec::new();
    for day in &file.day {
        match day_of(&day.date) {
            Some(date) if days.iter().any(|(other, _)| *other == date) => {
                let to_do = "put all tests of one day below one [[day]]";
                let given = date.to_string();
                reader.add(Wrong::Contradiction, &day.date.span(), "date", &given, "each day once", to_do);
            }
            Some(date) if date > today => {
                let accepted = format!("a day up to {today}");
                let to_do = "correct the day; nothing is measured before it happens";
                reader.add(Wrong::Value, &day.date.span(), "date", &date.to_string(), &accepted, to_do);
            }
            Some(date) if date < earliest(case, today) => {
                let accepted = format!("a day from {} on, in the life of this person", earliest(case, today));
                reader.add(
                    Wrong::Value,
                    &day.date.span(),
                    "date",
                    &date.to_string(),
                    &accepted,
                    "correct the day",
                );
            }
            Some(date) => days.push((date, day)),
            None => {
                let given = reader.given(&day.date.span());
                let to_do = "write the day on which it was measured";
                reader.add(
                    Wrong::Value,
                    &day.date.span(),
                    "date",
                    &given,
                    "a date such as 2026-02-03, not in quotation marks",
                    to_do,
                );
            }
        }
    }
    days.sort_by_key(|(date, _)| *date);
    let mut observed = Vec::new();
    let mut entries = Vec::new();
    for (date, day) in days {
        reader.observed(date, day, &mut observed);
        let of_day = OfDay { date, day, file: &file, body: body_of(day.body.as_ref(), case), series };
        for test in &day.test {
            entries.extend(reader.test(&of_day, test));
        }
    }
    reader.doubled(&entries);
    let own = file.own_error.iter().filter_map(|row| own_error(&mut reader, row)).collect();
    if reader.problems.is_empty() {
        Ok(Measures { population, population_said: said.is_some(), raters, entries, observed, own })
    } else {
        Err(reader.into_errors(name))
    }
}

const SHAPE: &str = "the keys that `footrose measure --template` prints, in TOML";

/// The first day on which this person can have been measured, by the age in the case.
fn earliest(case: &CaseFile, today: Date) -> Date {
    let years = i32::from(case.person.body.age()) + 1;
    today.checked_sub(years.years()).unwrap_or(Date::MIN)
}

/// The group that the conditions of the case name first, else people with a problem of the leg.
pub(super) fn group_of(case: &CaseFile) -> Population {
    let of = |condition| safety::table_of(condition).and_then(Population::of_presentation);
    let first = case.findings.conditions.iter().find_map(of);
    first.unwrap_or_else(|| Population::find("leg_patient").expect("a group of the table"))
}

/// Body size: of the day where it was measured, else of the case.
fn body_of(row: Option<&BodyRow>, case: &CaseFile) -> BodyMeasures {
    let size = &case.person.body;
    let cm = |given: Option<f64>| given.map(Length::cm);
    let legs = size.leg_length();
    BodyMeasures {
        limb_length: PerSide {
            left: cm(row.and_then(|r| r.limb_left_cm)).or(legs.left),
            right: cm(row.and_then(|r| r.limb_right_cm)).or(legs.right),
        },
        height: cm(row.and_then(|r| r.height_cm)).or(Some(size.stature())),
        mass: row.and_then(|r| r.mass_kg).map(Mass::kg).or(Some(size.mass())),
    }
}

impl Reader<'_> {
    fn observed(&mut self, date: Date, day: &Day, observed: &mut Vec<Observed>) {
        let known: Vec<&str> = progress::observations().map(|(key, _)| key).collect();
        for (key, is) in &day.observed {
            if known.contains(&key.as_str()) {
                observed.push(Observed { key: key.clone(), is: *is.get_ref(), on: date });
            } else {
                let at = is.span();
                let to_do = "write one of these keys, or take the line out";
                self.add(
                    Wrong::UnknownKey,
                    &at,
                    &format!("observed.{key}"),
                    &is.get_ref().to_string(),
                    &known.join(", "),
                    to_do,
                );
            }
        }
    }

    /// Two results of one test, limb, direction and day: nobody knows which one counts.
    fn doubled(&mut self, entries: &[Entry]) {
        for (place, entry) in entries.iter().enumerate() {
            let taken = entry.session.taken();
            let same = entries[..place].iter().find(|other| {
                let known = other.session.taken();
                other.session.instrument() == entry.session.instrument()
                    && (known.side, known.direction, known.date) == (taken.side, taken.direction, taken.date)
                    && known.protocol == taken.protocol
                    && other.about == entry.about
                    && form_of(&known.scored) == form_of(&taken.scored)
                    && other.support == entry.support
            });
            if let Some(same) = same {
                self.problems.push(Problem {
                    wrong: Wrong::Contradiction,
                    line: entry.line,
                    key: "test".to_owned(),
                    given: entry.session.instrument().to_string(),
                    accepted: "one result for each test, limb, direction, protocol and day".to_owned(),
                    to_do: format!("it stands already on line {}; put its trials together", same.line),
                });
            }
        }
    }
}

fn form_of(scored: &Scored) -> Option<ScoreForm> {
    scored.score().map(|score| score.form)
}
