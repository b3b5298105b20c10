//! What was measured: scores on every scale, both limbs, error of the test, norms and weak evidence beside them.

use std::fmt::Write as _;

use anatomy::Side;
use jiff::civil::Date;
use measurement::norm::{NormAnswer, Who, norm};
use measurement::statistics::Confidence;
use measurement::statistics::Interval;
use measurement::statistics::error_of_measurement::detectable_change;
use measurement::statistics::ratio::Fieller;
use measurement::{
    Bound, InstrumentKey, LimbComparison, MadeFrom, NoReading, Question, Reading, Scale, Scored, Symmetry,
    cuts_beside, reliability, symmetry, symmetry_interval,
};
use person::{CaseFile, Involved};
use serde::Serialize;

use super::derived::{one_side, with_derived};
use super::recorded::{Entry, Measures};

/// One value on one scale with everything that belongs beside it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OnScale {
    /// The scale.
    pub scale: Scale,
    /// The value as it is read: `91.3 % of limb length`; or why there is none.
    pub said: String,
    /// The value, where there is one.
    pub value: Option<f64>,
    /// Standard error of one session, in the unit of the scale, where it is known.
    pub standard_error: Option<f64>,
    /// Smallest change that is more than error, at 95 %.
    pub detectable_95: Option<f64>,
    /// Where the error comes from, or why there is none.
    pub error_from: String,
    /// What others reached, or why no norm is used; none where nobody published one.
    pub norm: Option<NormAnswer>,
    /// Cuts of studies: weak evidence, deciding nothing.
    pub research: Vec<String>,
}

/// One result.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MeasuredRow {
    /// The test.
    pub test: InstrumentKey,
    /// Its name.
    pub name: String,
    /// The limb, in a reach the one that stands.
    pub side: Option<Side>,
    /// The direction, named from the standing limb.
    pub direction: Option<String>,
    /// Every scale the test has.
    pub scales: Vec<OnScale>,
    /// Attempts that were made and did not count, in words.
    pub not_counted: Vec<String>,
    /// What to know beside it.
    pub cautions: Vec<String>,
}

/// One limb beside the other.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SymmetryRow {
    /// The test.
    pub test: InstrumentKey,
    /// Its name.
    pub name: String,
    /// The direction.
    pub direction: Option<String>,
    /// The comparison; none where there is none.
    pub symmetry: Option<Symmetry>,
    /// Its 95 % interval.
    pub interval: Option<Fieller>,
    /// As it is read, with both raw values.
    pub said: String,
}

/// One day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MeasuredDay {
    /// The day.
    pub date: Date,
    /// Who measured.
    pub by: Option<String>,
    /// Every result.
    pub results: Vec<MeasuredRow>,
    /// The limbs beside each other.
    pub limbs: Vec<SymmetryRow>,
}

/// Everything that was measured.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MeasureReport {
    /// The group whose error is looked up, in words.
    pub group: String,
    /// Whether the file named it.
    pub group_said: bool,
    /// Errors of the clinic that are not used, and why.
    pub not_used: Vec<String>,
    /// Every day, in order.
    pub days: Vec<MeasuredDay>,
}

/// Which limb is involved: that of the conditions, both where they differ.
#[must_use]
pub(crate) fn involved_of(case: &CaseFile) -> Involved {
    let mut sides = case.findings.conditions.iter().map(person::Condition::involved);
    let first = sides.by_ref().find(|one| *one != Involved::General).unwrap_or(Involved::General);
    let differs = sides.any(|one| one != first && one != Involved::General);
    if differs { Involved::Both } else { first }
}

/// Whom norms are looked up for.
pub(super) fn who(case: &CaseFile, measures: &Measures) -> Who {
    let size = &case.person.body;
    Who {
        population: measures.population,
        sex: Some(size.sex()),
        age: Some(size.age()),
        height: Some(size.stature()),
        mass: Some(size.mass()),
    }
}

/// Scores of every day.
#[must_use]
pub fn measure_report(case: &CaseFile, measures: &Measures) -> MeasureReport {
    let involved = involved_of(case);
    let all = with_derived(measures, involved);
    let who = who(case, measures);
    let mut days: Vec<MeasuredDay> = Vec::new();
    for date in measures.days() {
        let of_day: Vec<&Entry> = all.iter().filter(|entry| entry.session.taken().date == date).collect();
        days.push(MeasuredDay {
            date,
            by: of_day.iter().find_map(|entry| entry.session.taken().rater.clone()),
            results: of_day.iter().map(|entry| row(entry, measures, &who)).collect(),
            limbs: limbs(&of_day, measures, involved),
        });
    }
    MeasureReport {
        group: measures.population.words().to_owned(),
        group_said: measures.population_said,
        not_used: own_not_used(measures),
        days,
    }
}

/// Scales of a test on one limb, the raw one first.
pub(super) fn scales(key: InstrumentKey) -> impl Iterator<Item = Scale> {
    std::iter::once(Scale::Raw).chain(key.instrument().normalise.iter().copied())
}

fn row(entry: &Entry, measures: &Measures, who: &Who) -> MeasuredRow {
    let taken = entry.session.taken();
    let key = entry.session.instrument();
    let mut cautions: Vec<String> = Vec::new();
    if let Some(score) = taken.scored.score() {
        cautions.extend(score.cautions.iter().map(ToString::to_string));
    }
    cautions
        .extend(entry.support.map(|worn| format!("done with {}: it never meets a criterion", worn.words())));
    cautions.extend(
        entry
            .done_anyway
            .as_ref()
            .map(|by| format!("done although refused, by {} on {}: {}", by.name(), by.date(), by.reason())),
    );
    cautions.extend(toward(entry));
    cautions.extend(entry.sway.iter().enumerate().map(|(k, sway)| {
        format!(
            "recording {}: {} samples in {:.1} s at {:.0} Hz, {}; path {:.1} {}, mean speed {:.2} {}/s, root mean square {:.2} {} (side to side {:.2}, back and forth {:.2}), area of the 95 % prediction ellipse {:.2}",
            k + 1, sway.samples, sway.seconds, sway.rate_hz, filtered(sway.filtering),
            sway.path, sway.unit, sway.mean_speed, sway.unit, sway.rms_distance, sway.unit, sway.rms_ml, sway.rms_ap, sway.ellipse.area,
        )
    }));
    cautions.extend(entry.landings.iter().enumerate().map(|(k, landing)| {
        format!(
            "recording {}: at rest within {:.0} % of body weight for {:.1} s, contact above {:.0} N, {}",
            k + 1,
            100.0 * landing.rule.band_share,
            landing.rule.hold_seconds,
            landing.rule.contact_newton,
            filtered(landing.filtering),
        )
    }));
    let not_counted = match &taken.scored {
        Scored::Score(score) => &score.raw,
        Scored::Unable { raw, .. } => raw,
    };
    MeasuredRow {
        test: key,
        name: key.instrument().name.clone(),
        side: taken.side,
        direction: taken.direction.map(|direction| direction.name().to_owned()),
        scales: scales(key).map(|scale| on_scale(entry, scale, measures, who)).collect(),
        not_counted: not_counted
            .iter()
            .filter_map(|trial| match trial {
                measurement::Trial::Invalid(reason) => Some(reason.words().to_owned()),
                measurement::Trial::Unable => Some("not possible".to_owned()),
                _ => None,
            })
            .collect(),
        cautions,
    }
}

fn filtered(filtering: measurement::series::Filtering) -> String {
    use measurement::series::{CutOff, Filtering};
    match filtering {
        Filtering::AsRecorded => "not filtered here".to_owned(),
        Filtering::LowPass(filter) => {
            let at = match filter.cut_off {
                CutOff::OnePassHz(hz) => format!("half the power left at {hz} Hz after one pass"),
                CutOff::BothPassesHz(hz) => format!("half the power left at {hz} Hz after both"),
            };
            format!("Butterworth low-pass of order {}, run both ways, {at}", filter.order)
        }
    }
}

fn toward(entry: &Entry) -> Option<String> {
    (!entry.error_toward_deg.is_empty()).then(|| {
        let list: Vec<String> = entry.error_toward_deg.iter().map(|deg| format!("{deg}°")).collect();
        format!(
            "the foot came down toward {} of the spot (clockwise from straight ahead, seen from above)",
            list.join(", ")
        )
    })
}

fn on_scale(entry: &Entry, scale: Scale, measures: &Measures, who: &Who) -> OnScale {
    let none = |said: String| OnScale {
        scale,
        said,
        value: None,
        standard_error: None,
        detectable_95: None,
        error_from: String::new(),
        norm: None,
        research: Vec::new(),
    };
    let reading = match entry.session.reading(scale) {
        Ok(reading) => reading,
        Err(NoReading::NotPossible) => return none("not possible that day (this is not a zero)".to_owned()),
        Err(why) => return none(format!("no value {}: {why}", scale.words())),
    };
    let question = Question { reading: &reading, population: measures.population, raters: measures.raters };
    let error = reliability(&question, &measures.own);
    let (standard_error, error_from) = match &error {
        Ok(found) => (Some(found.error.at(reading.value)), found.words.clone()),
        Err(none) => (None, none.to_string()),
    };
    let detectable_95 =
        standard_error.and_then(|sem| detectable_change(sem, Confidence::P95).ok()).map(|found| found.change);
    let beside = norm(&reading, who);
    OnScale {
        scale,
        said: said(&reading),
        value: Some(reading.value),
        standard_error,
        detectable_95,
        error_from,
        norm: (beside != NormAnswer::NoNorm).then_some(beside),
        research: cuts_beside(&reading, who)
            .map(|cut| {
                let where_it_lies = if cut.beyond(reading.value) { "beyond" } else { "not beyond" };
                format!("{where_it_lies} a cut that a study drew, {cut}")
            })
            .collect(),
    }
}

/// A value with unit, scale and form.
pub(super) fn said(reading: &Reading) -> String {
    let least = if reading.bound == Bound::AtLeast { "at least " } else { "" };
    let scale = match reading.scale {
        Scale::Raw | Scale::BodyMass => String::new(),
        other => format!(" {}", other.words()),
    };
    let form = match reading.instrument.instrument().from {
        MadeFrom::Stored => "total".to_owned(),
        MadeFrom::Answer if reading.days > 1 => format!("mean of {} days", reading.days),
        MadeFrom::Answer => "one answer".to_owned(),
        _ => reading.form.to_string(),
    };
    format!("{least}{}{scale} ({form})", reading.unit.say(reading.value))
}

/// Every test of one day of which both limbs were measured.
fn limbs(of_day: &[&Entry], measures: &Measures, involved: Involved) -> Vec<SymmetryRow> {
    let Some(side) = one_side(involved) else { return Vec::new() };
    let mut rows = Vec::new();
    for one in of_day.iter().filter(|entry| entry.session.taken().side == Some(side)) {
        let taken = one.session.taken();
        let same = of_day.iter().find(|other| {
            let known = other.session.taken();
            other.session.instrument() == one.session.instrument()
                && known.side == Some(side.other())
                && known.direction == taken.direction
        });
        let Some(other) = same else { continue };
        rows.push(beside(one, other, side, measures));
    }
    rows
}

fn beside(one: &Entry, other: &Entry, side: Side, measures: &Measures) -> SymmetryRow {
    let key = one.session.instrument();
    let direction = one.session.taken().direction.map(|direction| direction.name().to_owned());
    let row = |symmetry, interval, said| SymmetryRow {
        test: key,
        name: key.instrument().name.clone(),
        direction: direction.clone(),
        symmetry,
        interval,
        said,
    };
    let reading = match of_limbs(one, other) {
        Ok(reading) => reading,
        Err(why) => return row(None, None, format!("the limbs are not compared: {why}")),
    };
    let (Some(mine), Some(theirs)) =
        (one.session.taken().scored.score(), other.session.taken().scored.score())
    else {
        return row(None, None, "the limbs are not compared: one was not possible".to_owned());
    };
    let Ok(found) = symmetry(mine, theirs) else {
        return row(None, None, "the limbs are not compared".to_owned());
    };
    let error = |reading: &Reading| {
        let asked = Question { reading, population: measures.population, raters: measures.raters };
        reliability(&asked, &measures.own).ok().map(|found| found.error.at(reading.value))
    };
    let raw = |entry: &Entry| error(&entry.session.reading(Scale::Raw).ok()?);
    // An error of the ratio itself goes before one carried over from the limbs, as with the criteria of return.
    let of_ratio = error(&reading).map(|sem| {
        let half = Confidence::P95.z() * sem;
        Fieller::Bounded(Interval { lower: found.value - half, upper: found.value + half })
    });
    let interval = of_ratio.or_else(|| {
        raw(one).zip(raw(other)).and_then(|(a, b)| symmetry_interval(&found, a, b, Confidence::P95).ok())
    });
    let unit = key.instrument().unit;
    let both = format!("{side} {}, {} {}", unit.say(found.involved), side.other(), unit.say(found.reference));
    let range = match &interval {
        Some(Fieller::Bounded(i)) => {
            format!(", 95 % interval {} to {}", found.unit.say(i.lower), found.unit.say(i.upper))
        }
        Some(Fieller::AllBut(_) | Fieller::Any) => ", so uncertain that its interval has no end".to_owned(),
        None => ", its error is not known".to_owned(),
    };
    let turned = if key.instrument().limbs == LimbComparison::InvertedRatio {
        ", turned round because less is better"
    } else {
        ""
    };
    let said = format!("{} {} ({both}){turned}{range}", found.unit.say(found.value), found.scale.words());
    row(Some(found), interval, said)
}

/// Two limbs of one day beside each other; one with a brace or tape and one without are two protocols.
pub(super) fn of_limbs(one: &Entry, other: &Entry) -> Result<Reading, NoReading> {
    if one.support != other.support {
        let worn = |entry: &Entry| entry.support.map_or("nothing", progress::ExternalSupport::words);
        let why = format!("one was tested with {} on, the other with {}", worn(one), worn(other));
        return Err(NoReading::Limbs { why });
    }
    Reading::of_limbs(&one.session, &other.session)
}

/// Errors of the clinic that are not used because too few people stand behind them, a sentence each.
pub(super) fn own_not_used(measures: &Measures) -> Vec<String> {
    let least = measurement::own_repeats_least();
    measures
        .own
        .iter()
        .filter(|own| own.people < least)
        .map(|own| {
            format!(
                "The clinic's own error of `{}` rests on {} people and is not used; at least {least} are needed.",
                own.instrument, own.people
            )
        })
        .collect()
}

impl MeasureReport {
    /// The report as a therapist reads it.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = String::new();
        let from = if self.group_said { "named in the file" } else { "from the conditions of the case" };
        let _ = writeln!(out, "Error of measurement is looked up for {} ({from}).", self.group);
        for line in &self.not_used {
            let _ = writeln!(out, "{line}");
        }
        for (place, day) in self.days.iter().enumerate() {
            let by = day.by.as_ref().map_or(String::new(), |by| format!(", by {by}"));
            let _ = writeln!(out, "\n{}{by}", day.date);
            let mut name = "";
            for result in &day.results {
                if result.name != name {
                    name = &result.name;
                    let _ = writeln!(out, "{name}");
                }
                let same = |other: &&MeasuredRow| {
                    (other.test, other.side, &other.direction)
                        == (result.test, result.side, &result.direction)
                };
                let again = self.days[place + 1..].iter().any(|later| later.results.iter().any(|r| same(&r)));
                result.tell(!again, &mut out);
            }
            if !day.limbs.is_empty() {
                let _ = writeln!(
                    out,
                    "Involved limb beside the other (a ratio says nothing about either limb alone, and the other one loses strength too)"
                );
            }
            for row in &day.limbs {
                let direction = row.direction.as_ref().map_or(String::new(), |d| format!(", {d}"));
                let _ = writeln!(out, "  {}{direction}: {}", row.name, row.said);
            }
        }
        out
    }
}

/// `right, posteromedial` or `whole person`.
pub(super) fn of_what(side: Option<Side>, direction: Option<&str>) -> String {
    match (side, direction) {
        (Some(side), Some(direction)) => format!("standing on the {side} leg, {direction}"),
        (Some(side), None) => format!("{side} leg"),
        (None, _) => "whole person".to_owned(),
    }
}

impl MeasuredRow {
    /// In lines; `in_full` with error, norms and cuts, which are said where a result is the latest of its kind.
    fn tell(&self, in_full: bool, out: &mut String) {
        let what = of_what(self.side, self.direction.as_deref());
        let values: Vec<&str> = self.scales.iter().map(|scale| scale.said.as_str()).collect();
        let possible = self.scales.iter().any(|scale| scale.value.is_some());
        let values = if possible { values.join("; ") } else { values[0].to_owned() };
        let _ = writeln!(out, "  {what}: {values}");
        for scale in self.scales.iter().filter(|scale| in_full && scale.value.is_some()) {
            let unit = scale.scale.unit(self.test.instrument().unit);
            let on = match scale.scale {
                Scale::Raw => String::new(),
                other => format!(", {unit} {}", other.words()),
            };
            if let (Some(sem), Some(change)) = (scale.standard_error, scale.detectable_95) {
                let _ = writeln!(
                    out,
                    "    error{on}: {}; without any change up to {} are common (95 % level). {}",
                    unit.say(sem),
                    unit.say(change),
                    scale.error_from
                );
            } else if scale.scale == Scale::Raw && self.scales.iter().all(|s| s.standard_error.is_none()) {
                let _ = writeln!(out, "    error not known: {}", scale.error_from);
            }
            match &scale.norm {
                None => {}
                Some(NormAnswer::OtherPopulation { available }) => {
                    let n = available.len();
                    let _ = writeln!(
                        out,
                        "    norm{on}: none of this population, sex and age, so none is used ({n} of other people)"
                    );
                }
                Some(norm) => {
                    let _ = writeln!(out, "    norm{on}: {norm}");
                }
            }
            for cut in &scale.research {
                let _ = writeln!(out, "    {cut}");
            }
        }
        if !self.not_counted.is_empty() {
            let _ = writeln!(out, "    tries that did not count: {}", self.not_counted.join(", "));
        }
        for caution in &self.cautions {
            let _ = writeln!(out, "    note: {caution}");
        }
    }
}
