//! What every part of a measures file is read with: lines, problems, words that are checked.

use std::collections::BTreeMap;
use std::ops::Range;

use measurement::{Instrument, InstrumentKey, Population, Protocol, Raters, ScoreForm, StanceDirection};
use movement::AnatomicalDirection;
use person::case_file::{CaseErrors, Problem, Wrong};
use toml::Spanned;

pub(super) struct Reader<'t> {
    pub(super) text: &'t str,
    pub(super) problems: Vec<Problem>,
}

impl Reader<'_> {
    pub(super) fn line(&self, byte: usize) -> usize {
        1 + self.text.get(..byte.min(self.text.len())).map_or(0, |before| before.matches('\n').count())
    }

    pub(super) fn given(&self, at: &Range<usize>) -> String {
        let text = self.text.get(at.clone()).unwrap_or_default();
        text.lines().next().unwrap_or_default().chars().take(60).collect()
    }

    pub(super) fn add(
        &mut self,
        wrong: Wrong,
        at: &Range<usize>,
        key: &str,
        given: &str,
        accepted: &str,
        to_do: &str,
    ) {
        self.problems.push(Problem {
            wrong,
            line: self.line(at.start),
            key: key.to_owned(),
            given: given.to_owned(),
            accepted: accepted.to_owned(),
            to_do: to_do.to_owned(),
        });
    }

    pub(super) fn into_errors(mut self, file: &str) -> CaseErrors {
        self.problems.sort_by_key(|problem| problem.line);
        CaseErrors { file: file.to_owned(), problems: self.problems, more: 0 }
    }

    pub(super) fn expect(&mut self, given: &Spanned<String>, key: &str, accepted: &str) {
        if given.get_ref() != accepted {
            let to_do = "this is another kind of file; name a measures file";
            self.add(Wrong::Value, &given.span(), key, given.get_ref(), accepted, to_do);
        }
    }

    /// One of the words, or a problem that lists them.
    pub(super) fn word<T>(
        &mut self,
        given: &Spanned<String>,
        key: &str,
        found: Option<T>,
        accepted: &[&str],
    ) -> Option<T> {
        if found.is_none() {
            self.add(
                Wrong::Value,
                &given.span(),
                key,
                given.get_ref(),
                &accepted.join(", "),
                "write one of these words",
            );
        }
        found
    }

    pub(super) fn population(&mut self, given: Option<&Spanned<String>>) -> Option<Population> {
        let given = given?;
        match Population::find(given.get_ref()) {
            Ok(found) => Some(found),
            Err(error) => {
                let to_do = "name the group that the person belongs to, or leave it out";
                self.add(Wrong::Value, &given.span(), "population", given.get_ref(), &error.accepted, to_do);
                None
            }
        }
    }

    pub(super) fn raters(&mut self, given: Option<&Spanned<String>>) -> Raters {
        let Some(given) = given else { return Raters::Unknown };
        let found = match given.get_ref().as_str() {
            "same" => Some(Raters::Same),
            "different" => Some(Raters::Different),
            "unknown" => Some(Raters::Unknown),
            _ => None,
        };
        self.word(given, "raters", found, &["same", "different", "unknown"]).unwrap_or_default()
    }

    /// The protocol of the file, over it that of the day, over it that of the test.
    pub(super) fn protocol(&mut self, layers: &[&BTreeMap<String, Spanned<String>>]) -> Option<Protocol> {
        let mut fields: BTreeMap<&str, &Spanned<String>> = BTreeMap::new();
        for layer in layers {
            fields.extend(layer.iter().map(|(key, value)| (key.as_str(), value)));
        }
        let before = self.problems.len();
        for (key, value) in &fields {
            if let Err(error) = Protocol::new([(*key, value.get_ref().as_str())]) {
                let at = value.span();
                let said = error.to_string();
                if !self.problems.iter().any(|known| known.accepted == said) {
                    let path = format!("protocol.{key}");
                    let to_do = "correct the field, or leave it out where nobody noted it";
                    self.add(Wrong::Value, &at, &path, value.get_ref(), &said, to_do);
                }
            }
        }
        let fresh = self.problems.len() == before;
        let pairs = fields.iter().map(|(key, value)| (*key, value.get_ref().as_str()));
        Protocol::new(pairs).ok().filter(|_| fresh)
    }

    /// The test with this key, or a problem that names near ones.
    pub(super) fn instrument(&mut self, given: &Spanned<String>) -> Option<InstrumentKey> {
        let found = InstrumentKey::find(given.get_ref()).ok();
        if found.is_none() {
            let word = given.get_ref().to_lowercase();
            let near: Vec<&str> = InstrumentKey::all()
                .map(InstrumentKey::as_str)
                .filter(|key| word.split(['_', ' ', '-']).any(|part| part.len() > 2 && key.contains(part)))
                .collect();
            let accepted = if near.is_empty() {
                "the key of a test".to_owned()
            } else {
                format!("such as {}", near.join(", "))
            };
            let to_do = "`footrose measure --tests` lists every test with its key";
            self.add(Wrong::Value, &given.span(), "test", given.get_ref(), &accepted, to_do);
        }
        found
    }

    pub(super) fn direction(
        &mut self,
        given: &str,
        at: &Range<usize>,
        test: &Instrument,
    ) -> Option<StanceDirection> {
        let found = AnatomicalDirection::ALL.into_iter().find(|direction| direction.name() == given);
        let found = found.map(StanceDirection::named).filter(|direction| test.directions.contains(direction));
        if found.is_none() {
            let names: Vec<&str> = test.directions.iter().map(|direction| direction.name()).collect();
            let accepted = if names.is_empty() { "no direction".to_owned() } else { names.join(", ") };
            let to_do = "directions of a test are named from the leg that stands";
            self.add(Wrong::Value, at, "direction", given, &accepted, to_do);
        }
        found
    }

    pub(super) fn form(&mut self, given: Option<&Spanned<String>>, test: &Instrument) -> Option<ScoreForm> {
        let Some(given) = given else { return test.forms.first().copied() };
        let found = ScoreForm::try_from(given.get_ref().clone()).ok().filter(|f| test.forms.contains(f));
        if found.is_none() {
            let accepted: Vec<String> = test.forms.iter().map(|form| String::from(*form)).collect();
            let to_do = "mean and best are different scores; write how the score was made";
            self.add(Wrong::Value, &given.span(), "form", given.get_ref(), &accepted.join(", "), to_do);
        }
        found
    }

    pub(super) fn small(&mut self, given: Option<&Spanned<i64>>, key: &str, least: u8) -> Option<u8> {
        let given = given?;
        let found = u8::try_from(*given.get_ref()).ok().filter(|n| *n >= least);
        if found.is_none() {
            let number = given.get_ref().to_string();
            let accepted = format!("a whole number from {least} to 255");
            self.add(Wrong::Value, &given.span(), key, &number, &accepted, "correct the number");
        }
        found
    }

    pub(super) fn say<T, E: std::fmt::Display>(
        &mut self,
        result: Result<T, E>,
        at: &Range<usize>,
        (key, given): (&str, &str),
    ) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(error) => {
                let message = error.to_string();
                match message.split_once("accepted: ") {
                    Some((_, accepted)) => {
                        self.add(Wrong::Value, at, key, given, accepted, "correct what was given");
                    }
                    None => self.add(Wrong::Value, at, key, given, "what goes with this test", &message),
                }
                None
            }
        }
    }
}
