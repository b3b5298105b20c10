//! Conditions and operations: what is known of each, and one more.

use clinic::{CaseText, CaseValue};
use maud::{Markup, html};
use person::Presentation;
use safety::FindingKey;

use super::entry::{Entry, value};
use super::fields::Ask;
use super::parts::{chips, field, problem};
use super::shown::Form;
use crate::words;

const LEG: Ask = Ask::Choice(&[("left", "left"), ("right", "right"), ("both", "both")]);
const ANY: Ask =
    Ask::Choice(&[("left", "left"), ("right", "right"), ("both", "both"), ("general", "no side")]);
const APPROACH: Ask = Ask::Choice(&[
    ("posterior", "posterior"),
    ("anterior", "anterior"),
    ("lateral", "lateral"),
    ("trochanteric", "trochanteric, fracture or revision"),
]);
const RUNG: Ask = Ask::Grade(&[
    ("0", "0 shift weight, held"),
    ("1", "1 step, held"),
    ("2", "2 step"),
    ("3", "3 bend and reach"),
    ("4", "4 reach on one leg"),
    ("5", "5 lunge"),
    ("6", "6 with a load"),
]);
const PHASE: [(&str, &str); 3] = [("2", "2"), ("3", "3"), ("4", "4")];

/// A sort of condition with the keys it has.
struct Sort {
    key: &'static str,
    name: &'static str,
    keys: Vec<Own>,
    phases: bool,
}

/// One key of a condition.
struct Own {
    key: &'static str,
    label: &'static str,
    ask: Ask,
    /// Found on a day.
    dated: bool,
}

fn own(key: &'static str, label: &'static str, ask: Ask) -> Own {
    Own { key, label, ask, dated: true }
}

fn plain(key: &'static str, label: &'static str, ask: Ask) -> Own {
    Own { dated: false, ..own(key, label, ask) }
}

fn pattern(presentation: Presentation) -> Option<Own> {
    let ask = match presentation {
        Presentation::AclReconstruction => {
            Ask::Choice(&[("hamstring_graft", "hamstring graft"), ("other_graft", "another graft")])
        }
        Presentation::MeniscusRepair => Ask::Choice(&[
            ("vertical", "vertical or peripheral"),
            ("radial_root_or_complex", "radial, root or complex"),
        ]),
        Presentation::AnkleSprain => {
            Ask::Choice(&[("first_sprain", "first sprain"), ("chronic_instability", "chronic instability")])
        }
        Presentation::AchillesTendinopathy => {
            Ask::Choice(&[("mid_portion", "mid-portion"), ("insertional", "insertional")])
        }
        _ => return None,
    };
    Some(own("pattern", "Form", ask))
}

fn sorts() -> Vec<Sort> {
    let side = || plain("side", "Side", LEG);
    let operated = || own("operated_on", "Day of the operation", Ask::Day);
    let mut all = vec![
        Sort {
            key: "hip_replacement",
            name: "total hip replacement",
            keys: vec![side(), own("approach", "Approach", APPROACH), operated()],
            phases: true,
        },
        Sort {
            key: "knee_replacement",
            name: "total knee replacement",
            keys: vec![side(), operated()],
            phases: true,
        },
        Sort {
            key: "knee_osteoarthritis",
            name: "knee osteoarthritis",
            keys: vec![
                side(),
                own("medial_or_varus_thrust", "Medial compartment, or the knee thrusts outward", Ask::YesNo),
            ],
            phases: true,
        },
    ];
    all.extend(Presentation::ALL.into_iter().map(|one| {
        let mut keys = Vec::new();
        if one.has_side() {
            keys.push(side());
        }
        keys.extend(pattern(one));
        keys.extend(one.clock().key().map(|key| own(key, one.clock().words(), Ask::Day)));
        Sort { key: one.key(), name: one.words(), keys, phases: true }
    }));
    all.push(Sort {
        key: "falls_risk",
        name: "older adult at risk of falling",
        keys: vec![
            own("someone_at_home", "Somebody else is at home", Ask::YesNo),
            own("programme_began", "First day of the programme", Ask::Day),
            own("alone_waived", "A clinician lets the person practise alone", Ask::YesNo),
        ],
        phases: false,
    });
    all.push(Sort {
        key: "other",
        name: "another condition",
        keys: vec![
            plain("name", "The condition in your words", Ask::Text),
            plain("side", "Side", ANY),
            own("ceiling", "Highest rung you allow", RUNG),
            plain("ceiling_by", "Who set it; left empty: you", Ask::Text),
        ],
        phases: false,
    });
    all
}

/// The id that a question about a key of conditions leads to.
pub(super) fn place_of(text: &CaseText, keys: &[&str]) -> String {
    let sorts = sorts();
    (1..=text.entries("conditions"))
        .find_map(|at| {
            let kind = text.given(&format!("conditions[{at}].kind"))?.text;
            let sort = sorts.iter().find(|sort| sort.key == kind)?;
            let own = sort.keys.iter().find(|own| keys.contains(&own.key))?;
            Some(format!("at:conditions[{at}].{}", own.key))
        })
        .unwrap_or_else(|| "conditions".to_owned())
}

pub(super) fn view(form: &Form<'_>) -> Markup {
    let sorts = sorts();
    let count = form.text.as_ref().map_or(0, |text| text.entries("conditions"));
    html! {
        @for at in 1..=count {
            @let path = format!("conditions[{at}]");
            @let kind = form.saved(&format!("{path}.kind"), Ask::Text);
            @if let Some(sort) = sorts.iter().find(|sort| sort.key == kind) {
                div.condition role="group" aria-labelledby=(format!("name:{path}")) id=(format!("at:{path}")) {
                    h3 id=(format!("name:{path}")) { (words::capital(sort.name)) }
                    @for own in &sort.keys { (one(form, &path, own)) }
                    @if sort.phases { (phases(form, &path, sort.name)) }
                    (problem(form, &path))
                    label.choice { input type="checkbox" name="gone" value=(path) checked[form.ticked("gone", &path, false)]; "This condition is not there: take it out" span.unseen { ", " (sort.name) } }
                }
            }
        }
        details.new open[count == 0 || !form.own("conditions.new.kind", "").is_empty()] {
            summary { @if count == 0 { "What is it?" } @else { "One more condition" } }
            (new(form, &sorts))
        }
    }
}

fn one(form: &Form<'_>, path: &str, own: &Own) -> Markup {
    let key = format!("{path}.{}", own.key);
    let life = match own.key {
        "medial_or_varus_thrust" => Some(FindingKey::MedialOrVarusThrust),
        "someone_at_home" => Some(FindingKey::SomeoneAtHome),
        "alone_waived" => Some(FindingKey::AloneWaived),
        "ceiling" => Some(FindingKey::Ceiling),
        _ => None,
    };
    html! {
        div.finding id=(format!("at:{key}")) {
            (field(form, &key, own.ask, &words::capital(own.label)))
            @if let (Some((_, Some(clinic::Freshness::Past { since }))), true) = (form.freshness(&key, life), life.is_some()) {
                p.mark { strong { "Counts as not assessed since " (words::day(since)) } }
                label.choice { input type="checkbox" name="again" value=(key) checked[form.ticked("again", &key, false)]; "Looked again, and the same" }
            }
        }
    }
}

/// Phases that were confirmed, and the next.
fn phases(form: &Form<'_>, path: &str, name: &str) -> Markup {
    let place = path.trim_start_matches("conditions[").trim_end_matches(']').parse::<usize>().unwrap_or(1);
    let case = form.standing.case.as_deref();
    let confirmed =
        case.and_then(|case| case.findings.conditions.get(place - 1)).map(confirmed_of).unwrap_or_default();
    let confirm = format!("confirm:{path}");
    html! {
        div.finding id=(format!("at:{path}.confirmed")) {
            @for (phase, by, on) in confirmed { p.mark { "Phase " (phase) " confirmed by " (by) " on " (words::day(on)) } }
            span.what id=(format!("of:{confirm}")) { "I confirm that this phase may begin" span.unseen { ", " (name) } }
            div role="radiogroup" aria-labelledby=(format!("of:{confirm}")) {
                (chips(&confirm, &form.own(&confirm, ""), "no change", &PHASE))
            }
            (problem(form, &format!("{path}.confirmed")))
        }
    }
}

fn confirmed_of(condition: &person::Condition) -> Vec<(u8, &str, jiff::civil::Date)> {
    use person::Condition as C;
    let list = match condition {
        C::HipReplacement { confirmed, .. }
        | C::KneeReplacement { confirmed, .. }
        | C::KneeOsteoarthritis { confirmed, .. } => confirmed.as_slice(),
        C::Presented(presented) => presented.confirmed.as_slice(),
        C::FallsRisk { .. } | C::Other(_) => &[],
    };
    list.iter().map(|one| (one.phase, one.by.as_str(), one.on)).collect()
}

/// A new condition: its sort at a touch, then only what that sort has.
fn new(form: &Form<'_>, sorts: &[Sort]) -> Markup {
    let path = "conditions.new";
    let kind = form.own("conditions.new.kind", "");
    let choices: Vec<(&str, &str)> = sorts.iter().map(|sort| (sort.key, sort.name)).collect();
    // Keys that several sorts share are asked once; the style sheet shows those of the sort that is chosen.
    let mut shared: Vec<(&Own, Vec<&str>)> = Vec::new();
    for sort in sorts {
        for own in &sort.keys {
            match shared.iter_mut().find(|(known, _)| known.key == own.key && known.ask == own.ask) {
                Some((_, of)) => of.push(sort.key),
                None => shared.push((own, vec![sort.key])),
            }
        }
    }
    html! {
        div.condition.fresh {
            fieldset.kinds id="conditions.new.kind" {
                legend { "Condition or operation" }
                (chips("conditions.new.kind", &kind, "nothing new", &choices))
            }
            @for (own, of) in &shared {
                @let key = name_of(path, own, of);
                div.finding.only data-of=(of.join(" ")) {
                    (field(form, &key, own.ask, &words::capital(own.label)))
                }
            }
        }
    }
}

/// The name of a field of a new condition: forms of several presentations share a key but not choices.
fn name_of(path: &str, own: &Own, of: &[&str]) -> String {
    match (own.key, of) {
        ("pattern", [one]) | ("side", [one]) => format!("{path}.{one}.{}", own.key),
        _ => format!("{path}.{}", own.key),
    }
}

pub(super) fn take(entry: &mut Entry<'_>) {
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
