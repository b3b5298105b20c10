//! A test beside the threshold of a criterion, with its error.

use anatomy::Side;
use measurement::statistics::Confidence;
use measurement::statistics::distribution::normal;
use measurement::statistics::ratio::{Measured as Limb, ratio};
use measurement::{
    Bound, InstrumentKey, LimbComparison, ProtocolMatch, Question, Reading, Reliability, Scale, Scored,
    Session, capacity_before_injury, reliability,
};
use person::Involved;
use safety::FindingKey;

use crate::check::{Measured, Standing, is_fresh, too_long_ago};
use crate::criteria::{Activity, Measure};
use crate::evidence::{Evidence, Tested};

/// What a measured criterion needs, in words.
pub(crate) fn needed(asked: &Measure) -> String {
    let test = asked.instrument.instrument();
    let unit = asked.scale.unit(test.unit);
    let mut words = test.name.clone();
    if let Some(other) = asked.or_instrument {
        words.push_str(&format!(" (or {})", other.instrument().name));
    }
    if let Some(task) = &asked.task_words {
        words.push_str(&format!(", about {task}"));
    }
    let scale = if asked.scale == Scale::Raw { String::new() } else { format!(" {}", asked.scale.words()) };
    let limit = match (asked.at_least, asked.above, asked.below) {
        (Some(limit), _, _) => format!("at least {limit} {unit}{scale}"),
        (_, Some(limit), _) => format!("above {limit} {unit}{scale}"),
        (_, _, Some(limit)) => format!("below {limit} {unit}{scale}"),
        _ => "not worse than the other limb, so far as the error of the test can tell".to_owned(),
    };
    let both = if asked.both_limbs { ", on each leg" } else { "" };
    format!("{words}: {limit}{both}")
}

/// The sessions of a test that count today.
fn sessions<'a>(
    key: InstrumentKey,
    ages_as: FindingKey,
    activity: Activity,
    evidence: &Evidence<'a>,
) -> Vec<&'a Tested> {
    evidence
        .tested
        .iter()
        .filter(|tested| {
            tested.session.instrument() == key
                && is_fresh(tested.session.taken().date, ages_as, evidence)
                && tested.about.is_none_or(|about| about == activity)
        })
        .collect()
}

fn tests(asked: &Measure) -> impl Iterator<Item = InstrumentKey> {
    [Some(asked.instrument), asked.or_instrument].into_iter().flatten()
}

/// Whether any session counts today: then a finding does not stand in for it.
pub(crate) fn was_tried(
    asked: &Measure,
    ages_as: FindingKey,
    activity: Activity,
    evidence: &Evidence<'_>,
) -> bool {
    tests(asked).any(|key| !sessions(key, ages_as, activity, evidence).is_empty())
}

/// Where somebody stands in a measured criterion.
pub(crate) fn stand(
    asked: &Measure,
    ages_as: FindingKey,
    activity: Activity,
    evidence: &Evidence<'_>,
) -> Standing {
    let mut first = None;
    for key in tests(asked) {
        let found = sessions(key, ages_as, activity, evidence);
        if found.is_empty() {
            continue;
        }
        let standing = if asked.scale == Scale::Symmetry || asked.like_other_limb {
            two_limbs(asked, &found, evidence)
        } else {
            one_by_one(asked, &found, evidence)
        };
        if !matches!(standing, Standing::NotTested { .. }) {
            return standing;
        }
        first = first.or(Some(standing));
    }
    first.unwrap_or_else(|| {
        let why = last_done(asked, activity, evidence)
            .map_or_else(|| "there is no result".to_owned(), |on| too_long_ago("tested", on, ages_as));
        Standing::NotTested { why }
    })
}

/// The last day of the test, whatever its age; a day to come does not count.
fn last_done(asked: &Measure, activity: Activity, evidence: &Evidence<'_>) -> Option<jiff::civil::Date> {
    let of = |tested: &&Tested| {
        tests(asked).any(|key| key == tested.session.instrument())
            && tested.about.is_none_or(|about| about == activity)
    };
    let days = evidence.tested.iter().filter(of).map(|tested| tested.session.taken().date);
    days.filter(|on| *on <= evidence.today()).max()
}

/// The involved limb beside the other, on the latest day on which both were tested.
fn two_limbs(asked: &Measure, found: &[&Tested], evidence: &Evidence<'_>) -> Standing {
    let not_tested = |why: String| Standing::NotTested { why };
    let involved = match evidence.involved {
        Involved::Left => Side::Left,
        Involved::Right => Side::Right,
        Involved::Both => {
            return not_tested("both limbs are involved, so one is no measure for the other".to_owned());
        }
        Involved::General => return not_tested("no limb is named as involved".to_owned()),
    };
    let of = |side: Side| found.iter().copied().filter(move |t| t.session.taken().side == Some(side));
    let latest = of(involved)
        .flat_map(|one| of(involved.other()).map(move |other| (one, other)))
        .filter(|(one, other)| one.session.taken().date == other.session.taken().date)
        .max_by_key(|(one, other)| (one.session.taken().date, one.support == other.support));
    let Some((one, other)) = latest else {
        return not_tested("the two limbs were not tested on one day".to_owned());
    };
    let (one_session, other_session) = (&one.session, &other.session);
    if is_unable(one_session) {
        let found = format!("not possible with the {involved} limb on {}", one_session.taken().date);
        return Standing::NotMet { found, measured: None };
    }
    if one.support != other.support {
        let with =
            |tested: &Tested| tested.support.map_or("neither brace nor tape", |support| support.words());
        let (worn, bare) = (with(one), with(other));
        return not_tested(format!(
            "on {} the {involved} limb was tested with {worn} and the other with {bare}; such results are never compared: test both without",
            one_session.taken().date,
        ));
    }
    let measured = if asked.like_other_limb {
        beside_other(asked, one_session, other_session, evidence)
    } else {
        symmetry(asked, one_session, other_session, evidence)
    };
    match measured {
        Ok(measured) => judged(asked, measured, Bound::Exact, &[one, other]),
        Err(why) => not_tested(why),
    }
}

/// The worst of the latest results of each limb, direction and task.
fn one_by_one(asked: &Measure, found: &[&Tested], evidence: &Evidence<'_>) -> Standing {
    let of_limb = found.iter().filter(|tested| match (tested.session.taken().side, evidence.involved) {
        (Some(side), Involved::Left | Involved::Right) if !asked.both_limbs => {
            evidence.involved.includes(side)
        }
        _ => true,
    });
    let mut latest: Vec<&Tested> = Vec::new();
    for tested in of_limb {
        let taken = tested.session.taken();
        let same = latest.iter_mut().find(|other| {
            let other = other.session.taken();
            (other.side, other.direction, &other.protocol) == (taken.side, taken.direction, &taken.protocol)
        });
        match same {
            Some(other) if other.session.taken().date <= taken.date => *other = tested,
            Some(_) => {}
            None => latest.push(tested),
        }
    }
    if asked.both_limbs {
        for side in Side::BOTH {
            if !latest.iter().any(|tested| tested.session.taken().side == Some(side)) {
                return Standing::NotTested { why: format!("the {side} leg was not tested") };
            }
        }
    }
    let mut worst: Option<Standing> = None;
    for tested in latest {
        let standing = one(asked, tested, evidence);
        let rank = |standing: &Standing| match standing {
            Standing::NotMet { measured, .. } => (0, margin(asked, measured.as_ref())),
            Standing::NotTested { .. } => (1, 0.0),
            Standing::CannotTell { measured, .. } => (1, margin(asked, Some(measured))),
            Standing::Met { measured, .. } => (2, margin(asked, measured.as_ref())),
        };
        let worse = worst.as_ref().is_none_or(|known| {
            let (a, b) = (rank(&standing), rank(known));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).is_lt()
        });
        if worse {
            worst = Some(standing);
        }
    }
    worst.unwrap_or_else(|| Standing::NotTested { why: "the involved limb was not tested".to_owned() })
}

/// How far a value is on the good side of its threshold, not said to anybody.
fn margin(asked: &Measure, measured: Option<&Measured>) -> f64 {
    let sign = if asked.below.is_some() { -1.0 } else { 1.0 };
    measured.map_or(f64::NEG_INFINITY, |m| sign * (m.value - m.threshold))
}

fn one(asked: &Measure, tested: &Tested, evidence: &Evidence<'_>) -> Standing {
    let session = &tested.session;
    let taken = session.taken();
    if is_unable(session) {
        return Standing::NotMet { found: format!("not possible on {}", taken.date), measured: None };
    }
    let reading = match session.reading(asked.scale) {
        Ok(reading) => reading,
        Err(why) => return Standing::NotTested { why: why.to_string() },
    };
    let (error, error_from) = match error_of(&reading, evidence) {
        Ok(found) => (Some(found.error.at(reading.value)), found.words),
        Err(why) => (None, why),
    };
    let measured = Measured {
        value: reading.value,
        unit: reading.unit,
        scale: reading.scale,
        threshold: threshold(asked),
        error,
        error_from,
        chance_met: None,
        limbs: None,
        limb_unit: reading.unit,
        of_body: None,
        before_injury: None,
        side: taken.side,
        on: reading.date,
    };
    judged(asked, measured, reading.bound, &[tested])
}

fn error_of(reading: &Reading, evidence: &Evidence<'_>) -> Result<Reliability, String> {
    let question = Question { reading, population: evidence.population, raters: evidence.raters };
    reliability(&question, evidence.own).map_err(|error| error.to_string())
}

fn threshold(asked: &Measure) -> f64 {
    asked.at_least.or(asked.above).or(asked.below).unwrap_or_default()
}

/// A symmetry with the error published for it, else with that of the ratio of two results.
fn symmetry(
    asked: &Measure,
    involved: &Session,
    other: &Session,
    evidence: &Evidence<'_>,
) -> Result<Measured, String> {
    let reading = Reading::of_limbs(involved, other).map_err(|why| why.to_string())?;
    let raw = |session: &Session| session.reading(Scale::Raw).map_err(|why| why.to_string());
    let (one, reference) = (raw(involved)?, raw(other)?);
    let (error, error_from) = match error_of(&reading, evidence) {
        Ok(found) => (Some(found.error.at(reading.value)), found.words),
        Err(_) => match error_of(&one, evidence) {
            Ok(found) => {
                let limb = |r: &Reading| Limb { value: r.value, error: found.error.at(r.value) };
                let inverted = one.instrument.instrument().limbs == LimbComparison::InvertedRatio;
                let (a, b) =
                    if inverted { (limb(&reference), limb(&one)) } else { (limb(&one), limb(&reference)) };
                let error = ratio(a, b, Confidence::P95).ok().map(|ratio| 100.0 * ratio.standard_error);
                (error, format!("{}; carried into the ratio of two limbs", found.words))
            }
            Err(why) => (None, why),
        },
    };
    Ok(Measured {
        value: reading.value,
        unit: reading.unit,
        scale: reading.scale,
        threshold: threshold(asked),
        error,
        error_from,
        chance_met: None,
        limbs: Some((one.value, reference.value)),
        limb_unit: one.unit,
        of_body: [Scale::Height, Scale::LimbLength]
            .into_iter()
            .find_map(|scale| involved.reading(scale).ok().map(|reading| (reading.value, scale))),
        before_injury: before(involved, other, evidence),
        side: None,
        on: reading.date,
    })
}

/// The involved limb beside the latest session of the other one before the operation, of the same protocol.
fn before(involved: &Session, other: &Session, evidence: &Evidence<'_>) -> Option<f64> {
    let now = involved.taken();
    let then = evidence
        .before
        .iter()
        .filter(|session| {
            let taken = session.taken();
            session.instrument() == involved.instrument()
                && taken.side == other.taken().side
                && taken.direction == now.direction
                && taken.date < now.date
                && taken.protocol.matches(&now.protocol, involved.instrument().instrument())
                    == ProtocolMatch::Same
        })
        .max_by_key(|session| session.taken().date)?;
    let capacity = capacity_before_injury(now.scored.score()?, then.taken().scored.score()?).ok()?;
    Some(capacity.value)
}

/// The involved limb less the other, better positive, beside minus the difference that a test can tell.
///
/// `d = involved − other`, its error `e = √2·SEM`, the bar `−z·e` at 95 %. Below the bar the limb is worse. Up to
/// one error short of the other limb counts as like it. Between the two nobody can tell: a test with more error
/// must not be easier to pass for it, so that is neither met nor not met. What is left: one error of a poor test
/// is still wide, which is why error and bar are printed.
fn beside_other(
    asked: &Measure,
    involved: &Session,
    other: &Session,
    evidence: &Evidence<'_>,
) -> Result<Measured, String> {
    // Refuses other days, protocols and directions.
    Reading::of_limbs(involved, other).map_err(|why| why.to_string())?;
    let on = |session: &Session| session.reading(asked.scale).map_err(|why| why.to_string());
    let (one, reference) = (on(involved)?, on(other)?);
    let found = error_of(&one, evidence)?;
    let sem = found.error.at(one.value).max(found.error.at(reference.value));
    let error = std::f64::consts::SQRT_2 * sem;
    let toward = one.instrument.instrument().better.sign(asked.scale);
    Ok(Measured {
        value: toward * (one.value - reference.value),
        unit: one.unit,
        scale: Scale::SideDifference,
        threshold: -Confidence::P95.z() * error,
        error: Some(error),
        error_from: found.words,
        chance_met: None,
        limbs: Some((one.value, reference.value)),
        limb_unit: one.unit,
        of_body: None,
        before_injury: None,
        side: None,
        on: one.date,
    })
}

/// Met or not, with the probability that the true value is; with a brace or tape never met.
fn judged(asked: &Measure, mut measured: Measured, bound: Bound, by: &[&Tested]) -> Standing {
    let (value, limit) = (measured.value, measured.threshold);
    let met = match (asked.at_least, asked.above, asked.below) {
        (_, Some(limit), _) => value > limit,
        (_, _, Some(limit)) => value < limit,
        _ => value >= limit,
    };
    if bound == Bound::AtLeast && !met {
        let why = format!("stopped at {value:.0} {}, which is only a lower limit", measured.unit);
        return Standing::NotTested { why };
    }
    let sign = if asked.below.is_some() { -1.0 } else { 1.0 };
    // Likeness to the other limb is a question of error already; a chance of it would count the error twice.
    measured.chance_met = measured
        .error
        .filter(|error| *error > 0.0 && !asked.like_other_limb && bound == Bound::Exact)
        .and_then(|error| normal(sign * (value - limit) / error).ok())
        .map(|tails| tails.lower);
    let words = crate::words::found(&measured, bound);
    if let Some(support) = by.iter().find_map(|tested| tested.support) {
        let support = support.words();
        return if met {
            let why =
                format!("tested with {support} only ({words}); a result with it does not meet a criterion");
            Standing::NotTested { why }
        } else {
            Standing::NotMet { found: format!("{words}, with {support}"), measured: Some(measured) }
        };
    }
    if met && asked.like_other_limb && measured.error.is_some_and(|error| value < -error) {
        let found = format!("{words}; measure again, or take the mean of two days");
        return Standing::CannotTell { found, measured };
    }
    if met {
        Standing::Met { found: words, measured: Some(measured) }
    } else {
        Standing::NotMet { found: words, measured: Some(measured) }
    }
}

fn is_unable(session: &Session) -> bool {
    matches!(session.taken().scored, Scored::Unable { .. })
}
