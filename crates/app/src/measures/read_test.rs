//! One test of a measures file: its trials, total or recordings, and what stands beside them.

use std::ops::Range;

use anatomy::Side;
use jiff::civil::Date;
use measurement::series::{
    Axis, CutOff, Filtering, Landing, LowPass, Quantity, Series, Stabilisation, StabilisationRule, Stated,
    Sway, landing_rest_share, read as read_series, sway, time_to_stabilisation,
};
use measurement::statistics::Confidence;
use measurement::{
    Attempts, BodyMeasures, InstrumentKey, InvalidReason, MadeFrom, Per, Protocol, Scored, Session,
    StanceDirection, Taken, Trial, averaged, score, stored_score,
};
use person::case_file::Wrong;
use progress::ExternalSupport;
use toml::Spanned;

use super::file::{Day, File, TestRow, day_of};
use super::read::SeriesFile;
use super::reader::Reader;
use super::recorded::Entry;
use super::returning::activity_of;
use super::trials::trial;
use crate::Override;

/// Acceleration of gravity by definition (`bipm2019`), m/s².
const GRAVITY: f64 = 9.806_65;

/// What belongs to every test of one day.
pub(super) struct OfDay<'a> {
    pub(super) date: Date,
    pub(super) day: &'a Day,
    pub(super) file: &'a File,
    pub(super) body: BodyMeasures,
    pub(super) series: SeriesFile<'a>,
}

/// A test that is being read.
struct OfTest<'a> {
    row: &'a TestRow,
    key: InstrumentKey,
    at: Range<usize>,
    protocol: Protocol,
}

/// Figures that were made from recordings.
#[derive(Default)]
struct Recorded {
    sway: Vec<Sway>,
    landings: Vec<Landing>,
}

impl Reader<'_> {
    /// The entries of one test: one, or one a direction.
    pub(super) fn test(&mut self, of_day: &OfDay<'_>, row: &Spanned<TestRow>) -> Vec<Entry> {
        let at = row.span();
        let row = row.get_ref();
        let Some(key) = self.instrument(&row.test) else { return Vec::new() };
        let test = key.instrument();
        let layers = [&of_day.file.protocol, &of_day.day.protocol, &row.protocol];
        let Some(protocol) = self.protocol(&layers) else { return Vec::new() };
        let of = OfTest { row, key, at, protocol };
        let given = [
            row.trials.is_some(),
            row.directions.is_some(),
            row.total.is_some(),
            row.series.is_some(),
            row.daily.is_some(),
        ];
        if given.iter().filter(|is| **is).count() != 1 {
            let accepted = match test.from {
                MadeFrom::Stored => "total = 71",
                _ if test.per == Per::Direction => {
                    "directions = { anterior = [61, 62, 63] }, or direction = \"anterior\" with trials"
                }
                _ => "one of: trials = [61, 62, 63], directions, total, series",
            };
            let to_do = "say once what was found";
            self.add(Wrong::Missing, &of.at, "trials", test.name.as_str(), accepted, to_do);
            return Vec::new();
        }
        if let Some(directions) = &row.directions {
            let mut entries = Vec::new();
            for (name, trials) in directions {
                if let Some(direction) = self.direction(name, &trials.span(), test) {
                    let scored = self.scored(&of, trials.get_ref());
                    entries.extend(self.entry(of_day, &of, Some(direction), scored, Recorded::default()));
                }
            }
            return entries;
        }
        let direction = match &row.direction {
            Some(name) => match self.direction(name.get_ref(), &name.span(), test) {
                Some(direction) => Some(direction),
                None => return Vec::new(),
            },
            None => None,
        };
        let (scored, recorded) = if let Some(total) = &row.total {
            let scored = stored_score(key, *total.get_ref()).map(Scored::Score);
            (self.say(scored, &total.span(), ("total", &total.get_ref().to_string())), Recorded::default())
        } else if let Some(daily) = &row.daily {
            (self.averaged(&of, daily), Recorded::default())
        } else if let Some(files) = &row.series {
            match self.recorded(of_day, &of, files) {
                Some((values, recorded)) => (self.score_of(&of, values), recorded),
                None => (None, Recorded::default()),
            }
        } else {
            let trials = row.trials.as_deref().unwrap_or_default();
            (self.scored(&of, trials), Recorded::default())
        };
        self.entry(of_day, &of, direction, scored, recorded).into_iter().collect()
    }

    fn scored(&mut self, of: &OfTest<'_>, trials: &[Spanned<toml::Value>]) -> Option<Scored> {
        let test = of.key.instrument();
        let mut read = Vec::new();
        let mut whole = true;
        for given in trials {
            match trial(given.get_ref(), test) {
                Ok(one) => read.push(one),
                Err(accepted) => {
                    whole = false;
                    let text = self.given(&given.span());
                    let to_do = "write the result, or the reason why the trial does not count";
                    self.add(Wrong::Value, &given.span(), "trials", &text, &accepted, to_do);
                }
            }
        }
        if whole { self.score_of(of, read) } else { None }
    }

    /// The mean of one answer a day.
    fn averaged(&mut self, of: &OfTest<'_>, daily: &[Spanned<toml::Value>]) -> Option<Scored> {
        let mut days = Vec::new();
        for one in daily {
            match self.scored(of, std::slice::from_ref(one))? {
                Scored::Score(score) => days.push(score),
                unable @ Scored::Unable { .. } => return Some(unable),
            }
        }
        let at = daily.first().map_or(of.at.clone(), Spanned::span);
        self.say(averaged(&days).map(Scored::Score), &at, ("daily", &of.key.instrument().name))
    }

    fn score_of(&mut self, of: &OfTest<'_>, trials: Vec<Trial>) -> Option<Scored> {
        let test = of.key.instrument();
        let form = self.form(of.row.form.as_ref(), test)?;
        let practice = self.small(of.row.practice.as_ref(), "practice", 0);
        let scored = score(of.key, &Attempts { unit: test.unit, practice, trials }, form);
        let tried = of.row.trials.as_deref().unwrap_or_default();
        let (at, given) = match (tried.first(), tried.last()) {
            (Some(first), Some(last)) => {
                let at = first.span().start..last.span().end;
                let given = self.given(&at);
                (at, given)
            }
            _ => (of.row.test.span(), "no trial at all".to_owned()),
        };
        self.say(scored, &at, ("trials", &given))
    }

    /// Trials from recordings, with every figure that was made of them.
    fn recorded(
        &mut self,
        of_day: &OfDay<'_>,
        of: &OfTest<'_>,
        files: &[Spanned<String>],
    ) -> Option<(Vec<Trial>, Recorded)> {
        let filtering = match &of.row.low_pass_hz {
            Some(hz) => {
                Filtering::LowPass(LowPass { order: 2, cut_off: CutOff::BothPassesHz(*hz.get_ref()) })
            }
            None => Filtering::AsRecorded,
        };
        let mut recorded = Recorded::default();
        let mut trials = Vec::new();
        for file in files {
            let text = (of_day.series)(file.get_ref());
            let text = self.say(text, &file.span(), ("series", file.get_ref()))?;
            let series = read_series(&text, &Stated::IN_THE_FILE);
            let series = self.say(series, &file.span(), ("series", file.get_ref()))?;
            match of.key.as_str() {
                "sway_area" | "sway_velocity" | "sway_acceleration" => {
                    let of_place = of.key.as_str() != "sway_acceleration";
                    if of_place != (series.quantity() == Quantity::CentreOfPressure) {
                        let accepted = if of_place {
                            "a recording of centre_of_pressure; for acceleration the test is sway_acceleration"
                        } else {
                            "a recording of acceleration; for centre_of_pressure the tests are sway_area, sway_velocity"
                        };
                        let to_do = "acceleration is no place; the two are never compared";
                        self.add(Wrong::Value, &file.span(), "series", file.get_ref(), accepted, to_do);
                        return None;
                    }
                    let found = sway(&series, filtering, Confidence::P95);
                    let found = self.say(found, &file.span(), ("series", file.get_ref()))?;
                    trials.push(Trial::Valid(match of.key.as_str() {
                        "sway_area" => found.ellipse.area,
                        "sway_velocity" => found.mean_speed,
                        _ => found.rms_distance,
                    }));
                    recorded.sway.push(found);
                }
                "time_to_stabilisation" => {
                    let mass = of_day.body.mass.ok_or("body mass is not known; write mass_kg in `body`");
                    let mass = self.say(mass, &file.span(), ("series", file.get_ref()))?;
                    let rule = StabilisationRule::of_the_table();
                    let weight = mass.in_kg() * GRAVITY;
                    self.rests_at_weight(&series, weight, file)?;
                    let found = time_to_stabilisation(&series, weight, rule, filtering);
                    let found = self.say(found, &file.span(), ("series", file.get_ref()))?;
                    match found.stabilisation {
                        Stabilisation::After { seconds, .. } => trials.push(Trial::Valid(seconds)),
                        Stabilisation::NotWithin { .. } => {
                            let reason = InvalidReason::find("not_at_rest_in_time");
                            trials.push(Trial::Invalid(reason.expect("a reason of the table")));
                        }
                        Stabilisation::NoContact | Stabilisation::LoadedFromTheStart => {
                            let to_do = "name a recording that begins before the foot comes down";
                            let accepted = "a landing with its first contact in it";
                            self.add(Wrong::Value, &file.span(), "series", file.get_ref(), accepted, to_do);
                            return None;
                        }
                    }
                    recorded.landings.push(found);
                }
                other => {
                    let accepted = "sway_area, sway_velocity, sway_acceleration, time_to_stabilisation";
                    let to_do = "only these tests are read from a recording; write trials instead";
                    self.add(Wrong::Value, &file.span(), "series", other, accepted, to_do);
                    return None;
                }
            }
        }
        Some((trials, recorded))
    }

    /// Whether the last half second of a landing weighs what the person weighs: a wrong body mass, or a plate that
    /// was not set to nought, would read as a landing that never came to rest.
    fn rests_at_weight(&mut self, series: &Series, weight: f64, file: &Spanned<String>) -> Option<()> {
        let Some(force) = series.along(Axis::Vertical) else { return Some(()) };
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of samples")]
        let last = ((series.rate_hz() / 2.0) as usize).clamp(1, force.len().max(1));
        let rest = &force[force.len().saturating_sub(last)..];
        #[expect(clippy::cast_precision_loss, reason = "a count of samples")]
        let mean = rest.iter().sum::<f64>() / rest.len().max(1) as f64;
        let spread = rest.iter().map(|f| (f - mean).abs()).fold(0.0, f64::max);
        let off = (mean - weight).abs() / weight;
        // Still moving at the end is for the rule of the landing to say.
        if off <= landing_rest_share() || spread > landing_rest_share() * weight {
            return Some(());
        }
        let given = format!("{}: at rest it pushes with {mean:.0} N", file.get_ref());
        let accepted = format!("about {weight:.0} N, the weight of the person");
        let to_do = "correct mass_kg, or set the plate to nought and record again";
        self.add(Wrong::Contradiction, &file.span(), "series", &given, &accepted, to_do);
        None
    }

    fn entry(
        &mut self,
        of_day: &OfDay<'_>,
        of: &OfTest<'_>,
        direction: Option<StanceDirection>,
        scored: Option<Scored>,
        recorded: Recorded,
    ) -> Option<Entry> {
        let row = of.row;
        let side = match &row.limb {
            Some(given) => {
                let found = match given.get_ref().as_str() {
                    "left" => Some(Side::Left),
                    "right" => Some(Side::Right),
                    _ => None,
                };
                Some(self.word(given, "limb", found, &["left", "right"])?)
            }
            None => None,
        };
        let support = match &row.support {
            Some(given) => {
                let found = match given.get_ref().as_str() {
                    "brace" => Some(ExternalSupport::Brace),
                    "tape" => Some(ExternalSupport::Tape),
                    _ => None,
                };
                Some(self.word(given, "support", found, &["brace", "tape"])?)
            }
            None => None,
        };
        let about = match &row.about {
            Some(given) => {
                let keys: Vec<&str> = progress::Activity::ALL.iter().map(|one| one.key()).collect();
                Some(self.word(given, "about", activity_of(given.get_ref()), &keys)?)
            }
            None => None,
        };
        let done_anyway = self.over(row)?;
        let days = row.daily.as_ref().map_or(1, |daily| u8::try_from(daily.len()).unwrap_or(u8::MAX).max(1));
        let scored = scored?;
        let error_toward_deg = self.toward(row, &scored)?;
        let taken = Taken {
            side,
            direction,
            date: of_day.date,
            protocol: of.protocol.clone(),
            body: of_day.body,
            rater: of_day.day.by.clone(),
            days,
            scored,
        };
        let session = self.say(Session::new(taken), &of.at, ("test", &of.key.instrument().name))?;
        let (sway, landings) = (recorded.sway, recorded.landings);
        let line = self.line(row.test.span().start);
        Some(Entry { line, session, support, about, done_anyway, error_toward_deg, sway, landings })
    }

    /// The outer `None` is a problem that was told.
    #[expect(clippy::option_option, reason = "nothing was given, or what was given is wrong")]
    fn over(&mut self, row: &TestRow) -> Option<Option<Override>> {
        let Some(given) = &row.over else { return Some(None) };
        let at = given.span();
        let Some(on) = day_of(&given.get_ref().on) else {
            let to_do = "write the day on which it was decided";
            let text = self.given(&given.get_ref().on.span());
            self.add(Wrong::Value, &at, "override.on", &text, "a date such as 2026-02-03", to_do);
            return None;
        };
        let given = given.get_ref();
        let done = Override::new(&given.reason, &given.by, Some(on))
            .and_then(|done| given.informed.iter().try_fold(done, |done, author| done.informed(author)));
        match done {
            Ok(done) => Some(Some(done)),
            Err(error) => {
                let to_do = "an override needs reason, by and on";
                self.add(Wrong::Value, &at, "override", "", &error.to_string(), to_do);
                None
            }
        }
    }

    /// Where the foot came down beside the spot, one bearing a trial.
    fn toward(&mut self, row: &TestRow, scored: &Scored) -> Option<Vec<u16>> {
        let Some(given) = &row.error_toward_deg else { return Some(Vec::new()) };
        let trials = match scored {
            Scored::Score(score) => score.used.len(),
            Scored::Unable { .. } => 0,
        };
        let mut bearings = Vec::new();
        for one in given {
            match u16::try_from(*one.get_ref()).ok().filter(|degrees| *degrees < 360) {
                Some(degrees) => bearings.push(degrees),
                None => {
                    let number = one.get_ref().to_string();
                    let accepted = "0 to 359, degrees clockwise from straight ahead, seen from above";
                    self.add(
                        Wrong::Value,
                        &one.span(),
                        "error_toward_deg",
                        &number,
                        accepted,
                        "correct the bearing",
                    );
                    return None;
                }
            }
        }
        if bearings.len() == trials {
            return Some(bearings);
        }
        let at = given.first().map_or(0..0, Spanned::span);
        let accepted = format!("{trials} bearings, one for each trial that counts");
        let to_do = "write one bearing for each, or leave the key out";
        self.add(
            Wrong::Contradiction,
            &at,
            "error_toward_deg",
            &bearings.len().to_string(),
            &accepted,
            to_do,
        );
        None
    }
}
