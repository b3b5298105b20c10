//! From what was typed of conditions to the case: changed, taken out, confirmed, and one that is new.

use clinic::CaseValue;

use super::super::entry::{Entry, value};
use super::sorts::{Sort, sorts};

pub(in super::super) fn take(entry: &mut Entry<'_>) {
    let sorts = sorts();
    let count = entry.base.entries("conditions");
    let mut wanted = false;
    for at in 1..=count {
        let path = format!("conditions[{at}]");
        let kind = entry.base.given(&format!("{path}.kind")).map(|given| given.text).unwrap_or_default();
        let Some(sort) = sorts.iter().find(|sort| sort.key == kind) else { continue };
        let touched =
            sort.keys.iter().any(|own| entry.changed(&format!("{path}.{}", own.key), own.ask).is_some());
        let gone = entry.fields.all("gone").any(|one| one == path);
        let phase = entry.typed(&format!("confirm:{path}")).unwrap_or_default();
        let again = entry.fields.all("again").any(|one| one.starts_with(&path));
        if !(touched || gone || again || !phase.is_empty()) {
            continue;
        }
        if !wanted && entry.list_moved("conditions") {
            return;
        }
        wanted = true;
        if gone {
            entry.take_out("conditions", at);
            continue;
        }
        for own in &sort.keys {
            let key = format!("{path}.{}", own.key);
            if own.dated {
                entry.found(&key, own.ask, entry.found_on);
                if entry.fields.all("again").any(|one| one == key)
                    && let Some(value) = entry.typed(&key).and_then(|typed| value(own.ask, typed))
                {
                    entry.text.set_found(&key, value, entry.found_on);
                }
            } else {
                entry.plain(&key, own.ask);
            }
        }
        sign_ceiling(entry, &path);
        if let Ok(phase) = phase.parse::<i64>() {
            let (by, on) = (entry.me.to_owned(), entry.found_on);
            let new = vec![
                ("phase", CaseValue::Whole(phase)),
                ("by", CaseValue::Text(by)),
                ("on", CaseValue::Day(on)),
            ];
            entry.text.push_inline(&format!("{path}.confirmed"), new);
        }
    }
    take_new(entry, &sorts);
}

/// A ceiling without a name is the word of whoever is signed in.
fn sign_ceiling(entry: &mut Entry<'_>, path: &str) {
    let has = |entry: &Entry<'_>, key: &str| entry.text.given(&format!("{path}.{key}")).is_some();
    if has(entry, "ceiling") && !has(entry, "ceiling_by") {
        entry.text.set(&format!("{path}.ceiling_by"), &CaseValue::Text(entry.me.to_owned()));
    }
}

fn take_new(entry: &mut Entry<'_>, sorts: &[Sort]) {
    let kind = entry.typed("conditions.new.kind").unwrap_or_default();
    let Some(sort) = sorts.iter().find(|sort| sort.key == kind) else { return };
    let place = entry.text.push("conditions", &[("kind", CaseValue::Text(sort.key.to_owned()))]);
    let path = format!("conditions[{place}]");
    for own in &sort.keys {
        let shared = format!("conditions.new.{}", own.key);
        let alone = format!("conditions.new.{}.{}", sort.key, own.key);
        let name = if entry.fields.has(&alone) { alone } else { shared };
        let typed = entry.typed(&name).unwrap_or_default();
        let key = format!("{path}.{}", own.key);
        if let Some(value) = value(own.ask, typed) {
            if own.dated {
                entry.text.set_found(&key, value, entry.found_on);
            } else {
                entry.text.set(&key, &value);
            }
        }
        entry.renamed.push((key, name));
    }
    sign_ceiling(entry, &path);
}
