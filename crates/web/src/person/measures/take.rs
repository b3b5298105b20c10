//! Guided entry of one test: both limbs, every trial with its reason when it does not count, the live score.

use app::{Measures, TestToday};
use axum::extract::Path;
use clinic::{MeasuresRecord, Standing};
use maud::{Markup, html};
use measurement::{InstrumentKey, MadeFrom, ProtocolField, ScoreForm, item_text, protocol_fields};

use super::super::{Tab, again, alert, nothing_found, page, standing};
use super::offer::why;
use super::trial_fields::{Cell, cells, file, slots};
use super::{live, place_of};
use crate::fields::Fields;
use crate::frame::mend;
use crate::seat::{Seat, Whose};
use crate::{Answer, words};

pub(super) async fn show(seat: Seat, whose: Whose, Path((_, test)): Path<(String, String)>) -> Answer {
    answer(&seat, &whose, &test, None).await
}

pub(super) async fn take(
    seat: Seat,
    whose: Whose,
    Path((_, test)): Path<(String, String)>,
    fields: Fields,
) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let (Some(case), Ok(key)) = (standing.case.as_deref(), InstrumentKey::find(&test)) else {
        return answer(&seat, &whose, &test, None).await;
    };
    let Some(text) = file(key, &fields, (standing.day, seat.desk.name()), None) else {
        let why = "Nothing was typed. Type what was reached, or choose why a try does not count.";
        return answer(&seat, &whose, &test, Some((&fields, why))).await;
    };
    let none = |_: &str| Err("recordings are read from a file".to_owned());
    match app::read_measures("this form", &text, case, standing.day, &none) {
        Err(errors) => {
            let told: Vec<String> = errors
                .problems
                .iter()
                .map(|p| format!("{}: `{}`. Accepted: {}. To do: {}.", p.key, p.given, p.accepted, p.to_do))
                .collect();
            answer(&seat, &whose, &test, Some((&fields, &told.join("\n")))).await
        }
        Ok(measures) => {
            if let Some(refused) =
                app::gates_of(case, standing.day, &measures).iter().find(|refused| refused.stands())
            {
                return answer(&seat, &whose, &test, Some((&fields, &refused.to_string()))).await;
            }
            let record = MeasuresRecord { text, recordings: Vec::new() };
            seat.desk.save_measures(whose.0, &record, fields.once()).await?;
            seat.saved(&whose.at(&format!("measures#test-{key}")))
        }
    }
}

async fn answer(seat: &Seat, whose: &Whose, test: &str, typed: Option<(&Fields, &str)>) -> Answer {
    let standing = standing(seat, whose).await?;
    let Some(tests) = seat.reckon().tests(&standing).await? else {
        return page(seat, &standing, Tab::Measures, nothing_found(&standing));
    };
    let Ok(key) = InstrumentKey::find(test) else {
        let body = html! { p { "There is no such test. " a href=(whose.at("measures/tests")) { "Choose one of today’s" } "." } };
        return page(seat, &standing, Tab::Measures, body);
    };
    if let Some(flag) = &tests.alert {
        return page(seat, &standing, Tab::Measures, alert(flag));
    }
    let measured = seat.desk.measured(whose.0).await?;
    let last = measured.measures.as_ref().and_then(|all| last_of(all, key));
    let fresh = last.unwrap_or_default();
    let answers: Vec<&TestToday> = tests.tests.iter().filter(|one| one.instrument == key).collect();
    let fields = typed.map_or(&fresh, |(fields, _)| fields);
    let of = Form { seat, whose, standing: &standing, key, answers: &answers, fields };
    let body = of.view(typed.map(|(_, why)| why));
    match typed {
        Some(_) => again(seat, &standing, Tab::Measures, body),
        None => page(seat, &standing, Tab::Measures, body),
    }
}

/// How the test was done last time: the same again, so that the two compare.
fn last_of(all: &Measures, key: InstrumentKey) -> Option<Fields> {
    let last = all.entries.iter().rev().find(|entry| entry.session.instrument() == key)?;
    let taken = last.session.taken();
    let mut pairs: Vec<(String, String)> = taken
        .protocol
        .recorded()
        .map(|(field, value)| (format!("protocol.{field}"), value.to_owned()))
        .collect();
    if let Some(score) = taken.scored.score() {
        pairs.push(("score".to_owned(), String::from(score.form)));
    }
    Some(Fields::typed(pairs))
}

struct Form<'a> {
    seat: &'a Seat,
    whose: &'a Whose,
    standing: &'a Standing,
    key: InstrumentKey,
    answers: &'a [&'a TestToday],
    fields: &'a Fields,
}

impl Form<'_> {
    fn view(&self, mistake: Option<&str>) -> Markup {
        let test = self.key.instrument();
        let refused: Vec<&&TestToday> = self.answers.iter().filter(|one| !one.is_offered()).collect();
        let all_refused = refused.len() == self.answers.len() && !refused.is_empty();
        html! {
            h2 { (words::capital(&test.name)) }
            @if let Some(asked) = item_text(self.key) { p { "Ask: “" (asked.question) "”" } p.quiet { "Lowest: " (asked.low) ". Highest: " (asked.high) "." } }
            @if !test.not_for.is_empty() { p { "Not for " (test.not_for) "." } }
            @if !refused.is_empty() {
                section.refused {
                    h3 { @if all_refused { "Refused today" } @else { "Refused today in part" } }
                    p { (words::capital(&refused.iter().map(|one| place_of(one.limb, one.direction.map(measurement::StanceDirection::name))).collect::<Vec<_>>().join("; "))) "." }
                    // Reasons are long; a therapist with a person beside reads the first line.
                    details {
                        summary { "Why, and what may be measured instead" }
                        @for one in &refused { (why(one)) }
                    }
                }
            }
            (mend(mistake))
            form.entry.trials method="post" action=(self.whose.at(&format!("measures/take/{}", self.key))) data-keeps
                data-score=(self.whose.at(&format!("measures/score/{}", self.key))) {
                (self.seat.form())
                @if test.from == MadeFrom::Trials { (self.before()) }
                div.cells { @for cell in cells(test) { (self.cell(cell)) } }
                (self.how())
                @if !refused.is_empty() { (self.by_word(all_refused)) }
                button.action type="submit" { "Save " (test.name) }
            }
            script type="module" src="/assets/trials.js" {}
        }
    }

    fn before(&self) -> Markup {
        let test = self.key.instrument();
        html! {
            p.hint {
                "Practice: " (test.practice) " before the first that counts."
                @if let Some(rest) = test.rest_s { " Rest " (format!("{rest:.0}")) " s between tries." }
                @if let Some(cap) = test.cap { " Stopped at " (test.unit.say(cap)) "." }
                @if let Some(stop) = test.stop_after_failed { " After " (stop) " failed tries it is not possible today." }
            }
            label for="practice" { "Practice tries done" }
            input id="practice" name="practice" inputmode="numeric" autocomplete="off" size="4" value=(self.fields.get("practice"));
        }
    }

    /// One limb and direction with its tries.
    fn cell(&self, cell: Cell) -> Markup {
        let test = self.key.instrument();
        let closed = self
            .answers
            .iter()
            .any(|one| (one.limb, one.direction) == (cell.side, cell.direction) && !one.is_offered());
        let title = place_of(cell.side, cell.direction.map(measurement::StanceDirection::name));
        let stop = self.answers.iter().find_map(|one| match &one.answer {
            app::TestAnswer::Offered { up_to: Some(up_to), .. }
                if (one.limb, one.direction) == (cell.side, cell.direction) =>
            {
                Some(up_to.in_cm())
            }
            _ => None,
        });
        let score = self.standing.case.as_deref().and_then(|case| {
            live::so_far(self.key, cell, self.fields, case, (self.standing.day, self.seat.desk.name()))
        });
        html! {
            fieldset.cell data-cell=(cell.key()) {
                legend {
                    @if test.from == MadeFrom::Trials || cell.side.is_some() { (words::capital(&title)) } @else { "Answer" }
                    @if closed { " (refused today)" }
                    @if let Some(cm) = stop { " (stop at " (format!("{cm:.0}")) " cm)" }
                }
                @for n in 0..slots(test) { (self.slot(cell, n, &title)) }
                output.score { (score.unwrap_or_default()) }
            }
        }
    }

    fn slot(&self, cell: Cell, n: usize, title: &str) -> Markup {
        let test = self.key.instrument();
        let (value, reason) = (cell.value(n), cell.reason(n));
        let what = format!("{title}, try {}, {}", n + 1, test.unit);
        let chosen = self.fields.get(&reason);
        let choices = test.unable || test.cap.is_some() || !test.invalid.is_empty();
        html! {
            div.slot {
                input.big id=(value) name=(value) inputmode="decimal" autocomplete="off" size="6" aria-label=(what) value=(self.fields.get(&value));
                @if choices {
                    select name=(reason) aria-label=(format!("{what}: does it count")) {
                        option value="" selected[chosen.is_empty()] { "counts" }
                        @for one in &test.invalid { option value=(one.key()) selected[chosen == one.key()] { "no: " (one.words()) } }
                        @if test.cap.is_some() { option value="capped" selected[chosen == "capped"] { "stopped at the limit" } }
                        @if test.unable { option value="unable" selected[chosen == "unable"] { "not possible" } }
                    }
                }
            }
        }
    }

    /// How it was done: what must be the same next time.
    fn how(&self) -> Markup {
        let test = self.key.instrument();
        let needed = protocol_fields().iter().filter(|field| test.needs.contains(&field.key));
        html! {
            details.how open[test.needs.iter().any(|need| self.fields.get(&format!("protocol.{need}")).is_empty())] {
                summary { "How it was done" }
                p.hint { "Only results of the same way are compared. Last time’s way is filled in." }
                @for field in needed { (self.protocol(field)) }
                @if test.forms.len() > 1 {
                    label for="score" { "Score" }
                    select id="score" name="score" { @for form in &test.forms { (self.form_option(*form)) } }
                }
                @if test.from == MadeFrom::Trials {
                    label for="support" { "Brace or tape" }
                    select id="support" name="support" {
                        @for (key, said) in [("", "none"), ("brace", "a brace"), ("tape", "tape")] {
                            option value=(key) selected[self.fields.get("support") == key] { (said) }
                        }
                    }
                }
            }
        }
    }

    fn form_option(&self, form: ScoreForm) -> Markup {
        let key = String::from(form);
        html! { option value=(key) selected[self.fields.get("score") == key] { (form) } }
    }

    fn protocol(&self, field: &ProtocolField) -> Markup {
        let name = format!("protocol.{}", field.key);
        let given = self.fields.get(&name);
        html! {
            label for=(name) { (words::capital(&field.words)) }
            @if field.choices.is_empty() {
                input id=(name) name=(name) autocomplete="off" value=(given);
            } @else {
                select id=(name) name=(name) {
                    option value="" selected[given.is_empty()] { "not noted" }
                    @for choice in &field.choices { option value=(choice) selected[given == choice] { (choice.replace('_', " ")) } }
                }
            }
        }
    }

    /// The word of a clinician to do it all the same.
    fn by_word(&self, open: bool) -> Markup {
        html! {
            details.how open[open] {
                summary { "Do it all the same" }
                p.hint { "The surgeon’s orders come first. It holds for today and for this test only, and the refusal stays beside the result." }
                label for="override.reason" { "Reason" }
                input id="override.reason" name="override.reason" autocomplete="off" value=(self.fields.get("override.reason"));
                label for="override.by" { "Who decides" }
                input id="override.by" name="override.by" autocomplete="off" value=(self.name_or());
                label for="override.informed" { "Whose order it is, if there is one: who was asked and agreed" }
                input id="override.informed" name="override.informed" autocomplete="off" value=(self.fields.get("override.informed"));
            }
        }
    }

    fn name_or(&self) -> &str {
        let typed = self.fields.get("override.by");
        if typed.is_empty() { self.seat.desk.name() } else { typed }
    }
}
