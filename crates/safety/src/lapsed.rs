//! Findings that counted on one day and are too old on a later one.

use anatomy::Side;
use jiff::civil::Date;
use person::{Answer, Finding, Findings};
use serde::Serialize;

use crate::FindingKey;
use crate::finding_key::Value;
use crate::tables::shelf_life;
use crate::words;

/// A finding that has grown too old.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Lapsed {
    /// Which; of a sided one both sides are looked at together.
    pub finding: FindingKey,
    /// The day it was found.
    pub on: Date,
    /// The days for which it counts.
    pub days: u16,
}

impl Lapsed {
    /// Several that were found on one day, in one sentence that says what to do.
    ///
    /// ```
    /// use jiff::civil::date;
    /// use safety::{FindingKey, Lapsed};
    /// let on = date(2026, 1, 20);
    /// let one = Lapsed { finding: FindingKey::QuadricepsStrengthPercent, on, days: 42 };
    /// assert_eq!(
    ///     Lapsed::words(&[one]),
    ///     "Knee extensor strength against the other side was found on 20 January 2026 and counts for 6 weeks: assess again."
    /// );
    /// ```
    #[must_use]
    pub fn words(all: &[Self]) -> String {
        let mut out: Vec<String> = Vec::new();
        for same in all.chunk_by(|a, b| (a.on, a.days) == (b.on, b.days)) {
            let names: Vec<String> = same.iter().map(|one| one.finding.words().to_owned()).collect();
            let (were, count) = if names.len() == 1 { ("was", "counts") } else { ("were", "count") };
            let days = same[0].days;
            let long = match days {
                0 => "for its day only".to_owned(),
                days if days.is_multiple_of(7) && days > 7 => format!("for {} weeks", days / 7),
                days => format!("for {days} days"),
            };
            out.push(words::sentence(&format!(
                "{} {were} found on {} and {count} {long}: assess again.",
                words::list(&names),
                words::day(same[0].on)
            )));
        }
        out.join(" ")
    }
}

/// What could be relied on `then` and is too old on a later day, by the day it was found. An order that ended is no finding
/// that grew old, and is not among them.
#[must_use]
pub fn lapsed(findings: &Findings, then: Date, today: Date) -> Vec<Lapsed> {
    if today <= then {
        return Vec::new();
    }
    let keys = FindingKey::ALL.into_iter().chain(Answer::ALL.iter().copied().map(FindingKey::Answer));
    let mut out: Vec<Lapsed> = Vec::new();
    for finding in keys {
        let sides = if finding.has_side() { &Side::BOTH[..] } else { &Side::BOTH[..1] };
        let lapsed = sides.iter().filter_map(|side| {
            let was = finding.value(findings, *side, then);
            let is = finding.value(findings, *side, today);
            match (was, is) {
                (Value::Is(_), Value::Stale(on)) if is_made(findings, finding, *side, on) => Some(on),
                _ => None,
            }
        });
        if let Some(on) = lapsed.min() {
            out.push(Lapsed { finding, on, days: shelf_life(finding).days });
        }
    }
    out.sort_by_key(|one| (one.on, one.days, one.finding));
    out
}

/// Whether a finding was made that day: of an order with an end, the day that is too old is its last.
fn is_made(findings: &Findings, finding: FindingKey, side: Side, on: Date) -> bool {
    match finding {
        FindingKey::WeightBearing | FindingKey::FullWeightAllowed => {
            matches!(findings.weight_bearing.get(side), Finding::Found { on: made, .. } if *made == on)
        }
        _ => true,
    }
}
