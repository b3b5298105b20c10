//! More than two sessions: is there a trend, and how steep, by ranks that a few odd days do not turn.

use serde::Serialize;

use crate::change::{NotComparable, Verdict, Way, not_comparable};
use crate::figures::figure;
use crate::important::ImportantChange;
use crate::session::Reading;
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
        /// Its interval.
        interval: Interval,
        /// Confidence of the interval, as a share.
        level: f64,
        /// Probability of the direction, from the ranks (1 − p/2 of Mann and Kendall).
        direction: f64,
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
/// Theil and Sen's slope with Sen's interval; Mann and Kendall's test for the direction. Real and large: the
/// direction reaches the named probability, and the end of the interval nearer to zero, over the whole time,
/// still exceeds what matters. Sessions are taken as independent: a good week that carries over to the next
/// makes a trend look surer than it is. Below about ten sessions the ranks can hardly say more than "probably".
#[must_use]
pub fn course(sessions: &[&Reading], important: Option<&ImportantChange>) -> Course {
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
    slope(first, sessions, important)
        .unwrap_or_else(|problem| Course::NotComputable { why: problem.to_string() })
}

fn slope(
    first: &Reading,
    sessions: &[&Reading],
    important: Option<&ImportantChange>,
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
    let direction = match trend(&weeks, &values) {
        Ok(found) => 1.0 - found.p / 2.0,
        // Values all alike: no direction at all.
        Err(Problem::NoSpread { .. }) => 0.5,
        Err(other) => return Err(other),
    };
    let way = match toward * slope.slope {
        s if s > 0.0 => Way::Better,
        s if s < 0.0 => Way::Worse,
        _ => Way::Neither,
    };
    let span = weeks[weeks.len() - 1];
    let nearer = if slope.slope > 0.0 { slope.interval.lower } else { -slope.interval.upper };
    let large = important
        .filter(|row| (row.instrument, row.scale) == (first.instrument, first.scale))
        .is_some_and(|row| nearer * span >= row.from_baseline(first.value));
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
        interval: slope.interval,
        level: level.in_share(),
        direction,
        sessions: sessions.len(),
        weeks: span,
        unit: first.unit,
        scale: first.scale,
    })
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
                sessions,
                weeks,
                unit,
                scale,
            } => write!(
                f,
                "Over {sessions} sessions in {weeks:.0} weeks: {way}, {a_week:+.2} {unit} {} a week ({:.0} % interval {:+.2} to {:+.2}): {verdict}; chance of the direction {:.0} %.",
                scale.words(),
                100.0 * level,
                interval.lower,
                interval.upper,
                (100.0 * direction).min(99.0)
            ),
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
