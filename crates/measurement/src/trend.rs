//! More than two sessions: is there a trend, and how steep, by ranks that a few odd days do not turn.

use serde::Serialize;

use crate::change::{NotComparable, Verdict, Way, not_comparable, said};
use crate::figures::figure;
use crate::important::ImportantChange;
use crate::session::Reading;
use crate::statistics::distribution::normal;
use crate::statistics::error_of_measurement::of_mean_of_sessions;
use crate::statistics::trend::{theil_sen, trend};
use crate::statistics::{Confidence, Interval, Problem};
use crate::unit::{Scale, Unit};

/// The course of one test over several days.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "course", rename_all = "snake_case")]
pub enum Course {
    /// A slope with its interval.
    Slope {
        /// The verdict, about the trend.
        verdict: Verdict,
        /// Which way it goes.
        way: Way,
        /// Change a week: median of the slopes of all pairs, in the unit of the scale.
        a_week: f64,
        /// Its interval: from the ranks, and never narrower than the error of the test allows; none where there
        /// are too few days for ranks and the error is not known.
        interval: Option<Interval>,
        /// Confidence of the interval, as a share.
        level: f64,
        /// Probability of the direction: the smaller of that from the ranks (1 − p/2 of Mann and Kendall) and that
        /// from the error of the test.
        direction: f64,
        /// Whether the error of the test was known.
        error_known: bool,
        /// How many sessions.
        sessions: usize,
        /// Weeks from the first to the last.
        weeks: f64,
        /// Unit of the scale.
        unit: Unit,
        /// The scale.
        scale: Scale,
    },
    /// Two sessions are a change, not a course; one is neither.
    TooFew {
        /// How many there are.
        sessions: usize,
    },
    /// Two of the sessions cannot be compared.
    NotComparable {
        /// Place of the session that does not fit the first, counted from 1.
        session: usize,
        /// Why.
        because: NotComparable,
    },
    /// The figures do not allow the computation.
    NotComputable {
        /// Why, in words.
        why: String,
    },
}

/// The course of three or more sessions in the order of their days.
///
/// Theil and Sen's slope; Mann and Kendall's test for the direction. The interval holds Sen's and slope ±
/// z·SEM/√Σ(t − t̄)², what the error of the test alone allows: values that lie on a line by luck do not make a test
/// exact. Below `trend_interval_from` days the pairs are so few that Sen's holds much less often than it says, so
/// it is not shown alone. `error` is the standard error of one session on this scale. Real and large: the direction
/// reaches the named probability by ranks and by error, and the end of the interval nearer to zero, over the whole
/// time, still exceeds what matters. Sessions are taken as independent: a good week that carries over to the next
/// makes a trend look surer than it is. Below about ten sessions the ranks can hardly say more than "probably".
#[must_use]
pub fn course(sessions: &[&Reading], important: Option<&ImportantChange>, error: Option<f64>) -> Course {
    let [first, rest @ ..] = sessions else { return Course::TooFew { sessions: 0 } };
    if rest.len() < 2 {
        return Course::TooFew { sessions: sessions.len() };
    }
    for (place, pair) in sessions.windows(2).enumerate() {
        let later = if pair[1].date <= pair[0].date { Some(NotComparable::NotLater) } else { None };
        if let Some(because) = later.or_else(|| not_comparable(first, pair[1])) {
            return Course::NotComparable { session: place + 2, because };
        }
    }
    slope(first, sessions, important, error)
        .unwrap_or_else(|problem| Course::NotComputable { why: problem.to_string() })
}

fn slope(
    first: &Reading,
    sessions: &[&Reading],
    important: Option<&ImportantChange>,
    error: Option<f64>,
) -> Result<Course, Problem> {
    const DAYS_A_WEEK: f64 = 7.0;
    let weeks: Vec<f64> = sessions
        .iter()
        .map(|reading| f64::from((reading.date - first.date).get_days()) / DAYS_A_WEEK)
        .collect();
    let toward = first.instrument.instrument().better.sign(first.scale);
    let values: Vec<f64> = sessions.iter().map(|reading| reading.value).collect();
    let level = Confidence::share(figure("detectable_level"))?;
    let slope = theil_sen(&weeks, &values, level)?;
    let by_rank = match trend(&weeks, &values) {
        Ok(found) => 1.0 - found.p / 2.0,
        // Values all alike: no direction at all.
        Err(Problem::NoSpread { .. }) => 0.5,
        Err(other) => return Err(other),
    };
    let by_error = error.map(|sem| error_of_slope(sem, &weeks)).transpose()?;
    let direction = match by_error {
        Some(error) => by_rank.min(normal(slope.slope.abs() / error)?.lower),
        None => by_rank,
    };
    let interval = widest(
        (values.len() >= enough_days() || by_error.is_some()).then_some(slope.interval),
        by_error.map(|error| Interval {
            lower: slope.slope - level.z() * error,
            upper: slope.slope + level.z() * error,
        }),
    );
    let way = match toward * slope.slope {
        s if s > 0.0 => Way::Better,
        s if s < 0.0 => Way::Worse,
        _ => Way::Neither,
    };
    let span = weeks[weeks.len() - 1];
    let nearer = interval.map(|interval| if slope.slope > 0.0 { interval.lower } else { -interval.upper });
    let large = important
        .filter(|row| (row.instrument, row.scale) == (first.instrument, first.scale))
        .zip(nearer)
        .is_some_and(|(row, nearer)| nearer * span >= row.from_baseline(first.value));
    let verdict = if way == Way::Neither {
        Verdict::WithinNoise
    } else if direction >= figure("real_at_least") && large {
        Verdict::RealAndLarge
    } else if direction >= figure("probable_at_least") {
        Verdict::ProbablyReal
    } else {
        Verdict::WithinNoise
    };
    Ok(Course::Slope {
        verdict,
        way,
        a_week: slope.slope,
        interval,
        level: level.in_share(),
        direction,
        error_known: error.is_some(),
        sessions: sessions.len(),
        weeks: span,
        unit: first.unit,
        scale: first.scale,
    })
}

/// Days from which the interval of the ranks is shown.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small count in the table
fn enough_days() -> usize {
    figure("trend_interval_from") as usize
}

/// What the error of one session alone makes of a slope: SEM/√Σ(t − t̄)².
fn error_of_slope(sem: f64, weeks: &[f64]) -> Result<f64, Problem> {
    #[expect(clippy::cast_precision_loss, reason = "at most some thousand days")]
    let n = weeks.len() as f64;
    let mean = weeks.iter().sum::<f64>() / n;
    let squares: f64 = weeks.iter().map(|week| (week - mean).powi(2)).sum();
    of_mean_of_sessions(sem, 1).map(|sem| sem / squares.sqrt())
}

fn widest(one: Option<Interval>, other: Option<Interval>) -> Option<Interval> {
    match (one, other) {
        (Some(a), Some(b)) => Some(Interval { lower: a.lower.min(b.lower), upper: a.upper.max(b.upper) }),
        (one, other) => one.or(other),
    }
}

impl std::fmt::Display for Course {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Slope {
                verdict,
                way,
                a_week,
                interval,
                level,
                direction,
                error_known,
                sessions,
                weeks,
                unit,
                scale,
            } => {
                let on = if *scale == Scale::Raw { String::new() } else { format!(" {}", scale.words()) };
                let plural = if weeks.round() == 1.0 { "" } else { "s" };
                write!(
                    f,
                    "Over {sessions} sessions in {weeks:.0} week{plural}: {way}, {a_week:+.2} {unit}{on} a week ("
                )?;
                match interval {
                    Some(i) => {
                        write!(f, "{:.0} % interval {:+.2} to {:+.2}", 100.0 * level, i.lower, i.upper)?;
                    }
                    None => {
                        write!(f, "too few days for an interval, and the error of the test is not known")?
                    }
                }
                write!(f, "): {verdict}; chance of the direction {}", said(*direction))?;
                if !error_known && interval.is_some() {
                    f.write_str("; the error of the test is not known, so the interval may be too narrow")?;
                }
                f.write_str(".")
            }
            Self::TooFew { sessions } => {
                write!(
                    f,
                    "Cannot say: `{sessions}` sessions, at least 3 make a course; compare two of them instead."
                )
            }
            Self::NotComparable { session, because } => {
                write!(f, "Cannot say: session {session} does not fit the first: {because}.")
            }
            Self::NotComputable { why } => write!(f, "Cannot say: {why}."),
        }
    }
}
