//! What a field shows: what was typed, else what the case says.

use clinic::{CaseText, Freshness, Standing};
use jiff::ToSpan;
use jiff::civil::Date;
use person::Finding;
use person::case_file::{Problem, Wrong};
use safety::{FindingKey, shelf_life};

use super::fields::Ask;
use crate::fields::Fields;

/// Everything that the form is drawn from.
pub(super) struct Form<'a> {
    pub standing: &'a Standing,
    /// The text that was saved last; none for a new person.
    pub text: Option<CaseText>,
    /// Red flags that were asked for and absent while others were not asked yet.
    pub absent: Vec<String>,
    /// What was typed, where something is to be mended.
    pub typed: Option<&'a Fields>,
    pub problems: Vec<Problem>,
    /// Who is signed in.
    pub me: &'a str,
}

/// A value as a form shows it: a quantity without its usual unit, yes and no in words.
pub(super) fn shown(ask: Ask, text: &str) -> String {
    match ask {
        Ask::YesNo => match text {
            "true" => "yes",
            "false" => "no",
            other => other,
        }
        .to_owned(),
        Ask::Quantity(unit) => text
            .strip_suffix(unit)
            .map(str::trim_end)
            .filter(|number| number.parse::<f64>().is_ok())
            .unwrap_or(text)
            .to_owned(),
        _ => text.to_owned(),
    }
}

impl Form<'_> {
    /// What a field shows.
    pub(super) fn value(&self, path: &str, ask: Ask) -> String {
        match self.typed.filter(|typed| typed.has(path)) {
            Some(typed) => typed.get(path).to_owned(),
            None => self.saved(path, ask),
        }
    }

    /// What the case says at a key.
    pub(super) fn saved(&self, path: &str, ask: Ask) -> String {
        if self.text.is_none() {
            let known = super::body::known(self).into_iter().find(|(key, _)| *key == path);
            return known.map(|(_, value)| value).unwrap_or_default();
        }
        if path == super::body::SIGHT_KEY {
            return self.text.as_ref().and_then(super::body::sight).unwrap_or_default();
        }
        let given = self.text.as_ref().and_then(|text| text.given(path));
        given.map(|given| shown(ask, &given.text)).unwrap_or_default()
    }

    /// What was typed in a field that is not a key of the case.
    pub(super) fn own(&self, name: &str, otherwise: &str) -> String {
        match self.typed.filter(|typed| typed.has(name)) {
            Some(typed) => typed.get(name).to_owned(),
            None => otherwise.to_owned(),
        }
    }

    /// Whether a box is ticked: as it was typed, else as the case says.
    pub(super) fn ticked(&self, name: &str, value: &str, saved: bool) -> bool {
        match self.typed {
            Some(typed) => typed.all(name).any(|one| one == value),
            None => saved,
        }
    }

    /// The day of what stands at a key.
    pub(super) fn day_of(&self, path: &str) -> Option<Date> {
        let text = self.text.as_ref()?;
        text.given(path)?.on.or_else(|| text.visit())
    }

    /// Whether what stands at a key counts today.
    pub(super) fn freshness(
        &self,
        path: &str,
        life: Option<FindingKey>,
    ) -> Option<(Date, Option<Freshness>)> {
        let on = self.day_of(path)?;
        Some((on, life.map(|key| freshness(key, on, self.standing.day))))
    }

    /// What is to be mended at a key, or below it.
    pub(super) fn problems_at(&self, path: &str) -> impl Iterator<Item = &Problem> {
        self.problems.iter().filter(move |problem| {
            problem.key.strip_prefix(path).is_some_and(|rest| rest.is_empty() || rest == ".on")
        })
    }
}

/// Whether a finding of this day counts today.
pub(super) fn freshness(key: FindingKey, on: Date, today: Date) -> Freshness {
    let life = shelf_life(key);
    let last = on.saturating_add(i64::from(life.days).days());
    if (Finding::Found { value: (), on }).on(today, life).current().is_some() {
        Freshness::Current { through: last }
    } else {
        Freshness::Past { since: last }
    }
}

/// A problem in the words of a form: what was given, what is accepted, what to do.
pub(super) fn mended(problem: &Problem) -> String {
    let accepted = problem.accepted.split(", in quotation marks").next().unwrap_or_default();
    let accepted = accepted.replace("; or \"not assessed\"", "").replace("text in quotation marks", "words");
    let accepted = accepted.replace('_', " ");
    match problem.wrong {
        Wrong::Missing => format!("Missing: {accepted}. Nothing can be computed without it."),
        Wrong::Contradiction => {
            format!("`{}` does not fit. Accepted: {accepted}. To do: {}.", problem.given, problem.to_do)
        }
        _ => {
            let given = problem.given.trim_matches('"');
            let to_do = if problem.key.starts_with("findings.") || problem.key.starts_with("home.") {
                "Correct it, or leave it empty: then it counts as not assessed."
            } else {
                "Correct it."
            };
            format!("`{given}` cannot be read. Accepted: {accepted}. {to_do}")
        }
    }
}
