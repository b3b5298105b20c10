//! What of a programme only age closes today: a finding that was current when it was made and is too old now.

use jiff::civil::Date;
use movement::MovementSpec;
use safety::{Engine, Lapsed, lapsed};

use crate::PersonToday;
use crate::candidates::permit;

/// Findings of which a new look would open a movement again, that was permitted `then`; empty where it is permitted
/// today, or where something else closes it as well.
pub(super) fn closes(person: &PersonToday<'_>, then: Date, spec: &MovementSpec) -> Vec<Lapsed> {
    let all = lapsed(&person.case.findings, then, person.today);
    if all.is_empty() || permitted(person, spec) {
        return Vec::new();
    }
    let opens = |days: &[Date]| {
        let mut case = person.case.clone();
        case.findings = person.case.findings.found_again(days, person.today);
        permitted(&PersonToday::of(&case, person.today), spec)
    };
    let mut days: Vec<Date> = all.iter().map(|one| one.on).collect();
    days.dedup();
    if !opens(&days) {
        return Vec::new();
    }
    // As few days as will do: one that changes nothing when it stays as old as it is, is not asked for.
    for day in days.clone() {
        let fewer: Vec<Date> = days.iter().copied().filter(|one| *one != day).collect();
        if opens(&fewer) {
            days = fewer;
        }
    }
    all.into_iter().filter(|one| days.contains(&one.on)).collect()
}

fn permitted(person: &PersonToday<'_>, spec: &MovementSpec) -> bool {
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    permit(person, &engine, spec, None).is_ok()
}

/// Each movement of a programme that only age closes, with what to look at again, the same findings together.
pub(super) fn told(person: &PersonToday<'_>, then: Date, specs: &[&MovementSpec]) -> Vec<String> {
    let mut by_finding: Vec<(Vec<Lapsed>, Vec<String>)> = Vec::new();
    for spec in specs {
        let lapsed = closes(person, then, spec);
        match by_finding.iter_mut().find(|(known, _)| *known == lapsed) {
            _ if lapsed.is_empty() => {}
            Some((_, sentences)) => sentences.push(spec.sentence()),
            None => by_finding.push((lapsed, vec![spec.sentence()])),
        }
    }
    by_finding
        .into_iter()
        .map(|(lapsed, all)| {
            let closed = match all.len() {
                count if count == specs.len() => "every movement of the programme".to_owned(),
                _ => all.join("; "),
            };
            format!("{} Until then closed: {closed}.", Lapsed::words(&lapsed))
        })
        .collect()
}
