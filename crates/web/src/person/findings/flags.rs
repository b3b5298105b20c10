//! Red flags, each asked on its own, and other conditions and medicines.

use clinic::{CaseValue, Freshness};
use maud::{Markup, html};
use person::{Comorbidity, RedFlag};
use safety::FindingKey;

use super::entry::Entry;
use super::parts::{YES_NO, chips, problem};
use super::shown::Form;
use crate::words;

const FLAGS: &str = "findings.red_flags";
const OTHERS: &str = "findings.other_conditions";

/// What the case says of one flag: yes, no, or not asked.
fn saved(form: &Form<'_>, flag: RedFlag, fresh: bool) -> &'static str {
    let present = form.text.as_ref().and_then(|text| text.list(FLAGS));
    match present {
        Some(list) if list.iter().any(|key| key == flag.key()) => "yes",
        Some(list) if list.is_empty() && fresh => "no",
        _ if form.absent.iter().any(|key| key == flag.key()) => "no",
        _ => "",
    }
}

pub(super) fn view(form: &Form<'_>) -> Markup {
    let state = form.freshness(FLAGS, Some(FindingKey::RedFlags));
    let fresh = !matches!(state, Some((_, Some(Freshness::Past { .. }))));
    html! {
        div.finding id=(format!("at:{FLAGS}")) {
            @match state {
                Some((on, Some(Freshness::Current { through }))) => {
                    p.mark { "Asked on " (words::day(on)) "; counts through " (words::day(through)) }
                }
                Some((on, _)) => {
                    p.mark { strong { "Counts as not assessed since " (words::day(last(on))) } " (asked on " (words::day(on)) "): ask again." }
                }
                None if !form.absent.is_empty() => {
                    p.mark { strong { "Nothing opens before all " (RedFlag::ALL.len()) " were asked." } }
                }
                None => { p.mark { strong { "Not asked yet: nothing opens before all " (RedFlag::ALL.len()) " were asked." } } }
            }
            label.choice.all { input type="checkbox" name="flags" value="none" id="flags.none" checked[form.ticked("flags", "none", false)]; "All " (RedFlag::ALL.len()) " asked, none present" }
            details open[!matches!(state, Some((_, Some(Freshness::Current { .. })))) || RedFlag::ALL.iter().any(|flag| saved(form, *flag, fresh) == "yes") || form.typed.is_some()] {
                summary { "Each of the " (RedFlag::ALL.len()) }
                ul.flags {
                    @for flag in RedFlag::ALL {
                        @let name = format!("flag:{}", flag.key());
                        li {
                            span.what id=(format!("of:{name}")) { (safety::red_flag_asked(flag)) }
                            div role="radiogroup" aria-labelledby=(format!("of:{name}")) {
                                (chips(&name, &form.own(&name, saved(form, flag, fresh)), "not asked", &YES_NO))
                            }
                        }
                    }
                }
            }
            (problem(form, FLAGS))
        }
    }
}

fn last(on: jiff::civil::Date) -> jiff::civil::Date {
    use jiff::ToSpan;
    on.saturating_add(i64::from(safety::shelf_life(FindingKey::RedFlags).days).days())
}

/// Takes red flags over. Gives those that were asked for and absent while others were not asked.
pub(super) fn take(entry: &mut Entry<'_>, shown: &Form<'_>) -> Vec<String> {
    if !entry.fields.has("flag:fracture") {
        return shown.absent.clone();
    }
    let state = shown.freshness(FLAGS, Some(FindingKey::RedFlags));
    let fresh = !matches!(state, Some((_, Some(Freshness::Past { .. }))));
    let all_none = entry.fields.has("flags");
    let answers: Vec<(RedFlag, &str)> = RedFlag::ALL
        .into_iter()
        .map(|flag| {
            let typed = entry.typed(&format!("flag:{}", flag.key())).unwrap_or_default();
            (flag, if typed.is_empty() && all_none { "no" } else { typed })
        })
        .collect();
    let is_as_shown = answers.iter().all(|(flag, answer)| *answer == saved(shown, *flag, fresh));
    // Nothing touched: nothing written; a tick that all were asked is an answer of today.
    if is_as_shown && !all_none {
        return shown.absent.clone();
    }
    let keys = |word: &str| -> Vec<&'static str> {
        answers.iter().filter(|(_, answer)| *answer == word).map(|(flag, _)| flag.key()).collect()
    };
    let (present, absent) = (keys("yes"), keys("no"));
    if !present.is_empty() || absent.len() == RedFlag::ALL.len() {
        let list = present.iter().map(|key| CaseValue::Text((*key).to_owned())).collect();
        entry.text.set_found(FLAGS, CaseValue::List(list), entry.found_on);
        return if present.is_empty() { Vec::new() } else { owned(&absent) };
    }
    entry.text.remove(FLAGS);
    owned(&absent)
}

fn owned(keys: &[&str]) -> Vec<String> {
    keys.iter().map(|key| (*key).to_owned()).collect()
}

/// Another condition in the trade's words.
fn beside(one: Comorbidity) -> &'static str {
    match one {
        Comorbidity::Osteoporosis => "brittle bones",
        Comorbidity::Neuropathy => "numb feet",
        Comorbidity::Anticoagulant => "blood thinners",
        Comorbidity::Vestibular => "dizziness, inner ear",
        Comorbidity::Pregnancy => "pregnancy or birth in the past year",
        Comorbidity::Hypermobility => "very lax joints",
        Comorbidity::CognitiveImpairment => "impaired memory",
        Comorbidity::HeartOrBloodPressure => "heart or blood pressure",
    }
}

pub(super) fn view_others(form: &Form<'_>) -> Markup {
    let list = form.text.as_ref().and_then(|text| text.list(OTHERS));
    let asked = if list.is_some() { "asked" } else { "" };
    html! {
        div.finding id=(format!("at:{OTHERS}")) {
            fieldset {
                legend { "Were these asked for?" }
                (chips("others", &form.own("others", asked), "not asked", &[("asked", "asked for; those present are ticked")]))
            }
            fieldset.ticks {
                legend { "Present" }
                @for one in Comorbidity::ALL {
                    @let saved = list.as_ref().is_some_and(|list| list.iter().any(|key| key == one.key()));
                    label.choice { input type="checkbox" name="other" value=(one.key()) checked[form.ticked("other", one.key(), saved)]; (beside(one)) }
                }
            }
            @if let Some((on, fresh)) = form.freshness(OTHERS, Some(FindingKey::OtherConditions)) {
                p.mark {
                    @match fresh {
                        Some(Freshness::Past { since }) => { strong { "Counts as not assessed since " (words::day(since)) } " (asked on " (words::day(on)) ")" }
                        _ => { "Asked on " (words::day(on)) }
                    }
                }
                label.choice { input type="checkbox" name="again" value=(OTHERS) checked[form.ticked("again", OTHERS, false)]; "Asked again, and the same" }
            }
            (problem(form, OTHERS))
        }
    }
}

pub(super) fn take_others(entry: &mut Entry<'_>) {
    let Some(asked) = entry.typed("others") else { return };
    let ticked: Vec<&str> = entry.fields.all("other").collect();
    let before = entry.base.list(OTHERS);
    let now = (asked == "asked" || !ticked.is_empty()).then(|| owned(&ticked));
    let again = entry.fields.all("again").any(|path| path == OTHERS);
    let same = match (&before, &now) {
        (Some(a), Some(b)) => a.len() == b.len() && a.iter().all(|key| b.contains(key)),
        (None, None) => true,
        _ => false,
    };
    match now {
        Some(list) if !same || again => {
            let list = list.into_iter().map(CaseValue::Text).collect();
            entry.text.set_found(OTHERS, CaseValue::List(list), entry.found_on);
        }
        None if !same => entry.text.remove(OTHERS),
        _ => {}
    }
}
