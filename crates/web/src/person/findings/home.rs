//! What is at home: the clear floor in each direction, what can be held, somebody to help.

use clinic::CaseValue;
use maud::{Markup, html};
use movement::Bearing;

use super::entry::Entry;
use super::fields::Ask;
use super::parts::{field, problem, typed, wrong_id};
use super::shown::Form;
use crate::words::capital;

const CLEAR: Ask = Ask::Quantity("cm");
const HELPER: &str = "home.helper";
const FOOTWEAR: &str = "home.footwear";
const WORN: Ask = Ask::Choice(&[
    ("closed_shoes", "closed shoes"),
    ("open_shoes", "slippers or open shoes"),
    ("socks", "socks"),
    ("barefoot", "barefoot"),
]);
const WEIGHTS: &str = "home.equipment.hand_weights";
const SUPPORTS: &str = "home.equipment.supports";

const HOLDS: [(&str, &str); 3] =
    [("walking_frame", "walking frame"), ("bench", "bench or worktop"), ("chair_back", "back of a chair")];

/// The floor as it is seen from above, row by row; the person stands in the middle.
const PLACES: [Option<&str>; 9] = [
    Some("forward-left"),
    Some("forward"),
    Some("forward-right"),
    Some("left"),
    None,
    Some("right"),
    Some("back-left"),
    Some("back"),
    Some("back-right"),
];

fn clear(place: &str) -> String {
    format!("home.clear_floor.{place}")
}

pub(super) fn view(form: &Form<'_>) -> Markup {
    let supports = form.text.as_ref().and_then(|text| text.list(SUPPORTS)).unwrap_or_default();
    html! {
        fieldset.clear id="at:home.clear_floor" {
            legend { "Clear floor from the centre to the nearest thing, in cm, seen from above" }
            div.compass {
                @for place in PLACES {
                    @match place {
                        Some(place) => {
                            div {
                                label.of for=(clear(place)) { (capital(place)) }
                                (typed(form, &clear(place), CLEAR, &format!("Clear floor {place}")))
                                (problem(form, &clear(place)))
                            }
                        }
                        None => { div.middle aria-hidden="true" { "the person" } }
                    }
                }
            }
        }
        div.pairs {
            div.finding {
                input type="hidden" name="holds" value="shown";
                fieldset.ticks {
                    legend { "To hold on to" }
                    @for (word, name) in HOLDS {
                        @let saved = supports.iter().any(|one| one == word);
                        label.choice { input type="checkbox" name="hold" value=(word) checked[form.ticked("hold", word, saved)]; (name) }
                    }
                }
                (problem(form, SUPPORTS))
            }
            div.finding {
                label.of for=(WEIGHTS) { "Hand weights, one of each pair, in kg" }
                input.short type="text" id=(WEIGHTS) name=(WEIGHTS) autocomplete="off" placeholder="2, 4" value=(form.own(WEIGHTS, &weights(form))) aria-describedby=[wrong_id(form, WEIGHTS)];
                (problem(form, WEIGHTS))
            }
            div.finding id=(format!("at:{HELPER}")) { (field(form, HELPER, Ask::YesNo, "Somebody can help")) }
            div.finding { (field(form, FOOTWEAR, WORN, "On the feet while practising")) }
        }
    }
}

fn weights(form: &Form<'_>) -> String {
    let all = form.text.as_ref().and_then(|text| text.list(WEIGHTS)).unwrap_or_default();
    all.iter().map(|one| one.trim_end_matches(" kg")).collect::<Vec<_>>().join(", ")
}

pub(super) fn take(entry: &mut Entry<'_>) {
    for bearing in Bearing::ALL {
        entry.found(&clear(bearing.plain_words()), CLEAR, entry.found_on);
    }
    entry.found(HELPER, Ask::YesNo, entry.found_on);
    entry.plain(FOOTWEAR, WORN);
    if entry.fields.has("holds") {
        let ticked: Vec<&str> = entry.fields.all("hold").collect();
        let before = entry.base.list(SUPPORTS).unwrap_or_default();
        if ticked.len() != before.len() || !before.iter().all(|one| ticked.contains(&one.as_str())) {
            let list = ticked.iter().map(|one| CaseValue::Text((*one).to_owned())).collect();
            entry.text.set(SUPPORTS, &CaseValue::List(list));
        }
    }
    if let Some(typed) = entry.typed(WEIGHTS) {
        let kg = |one: &str| if one.parse::<f64>().is_ok() { format!("{one} kg") } else { one.to_owned() };
        let list: Vec<String> =
            typed.split([',', ';']).map(str::trim).filter(|one| !one.is_empty()).map(kg).collect();
        if list != entry.base.list(WEIGHTS).unwrap_or_default() {
            entry.text.set(WEIGHTS, &CaseValue::List(list.into_iter().map(CaseValue::Text).collect()));
        }
    }
}
