//! The alert that replaces a sheet while a red flag is present.

use jiff::civil::Date;
use person::{Clinic, Person};
use safety::Alert;
use serde::Serialize;

use crate::data::Contact;
use crate::language::{Language, words};

/// An alert, ready to print. There is no sheet beside it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AlertSheet {
    /// Title.
    pub title: String,
    /// Whom it is about.
    pub person: String,
    /// The day.
    pub made_on: Date,
    /// The mark of invented people.
    pub invented: Option<String>,
    /// What was found, what to do and whom to call, most urgent first.
    #[serde(flatten)]
    pub alert: Alert,
    /// Numbers, or lines to write on.
    pub contacts: Vec<Contact>,
    /// What happens to the exercises.
    pub no_sheet: String,
}

/// Makes the alert of one person.
#[must_use]
pub fn alert(alert: &Alert, person: &Person, clinic: &Clinic, invented: bool, today: Date) -> AlertSheet {
    AlertSheet {
        title: "Stop: red flag".to_owned(),
        person: person.name.clone(),
        made_on: today,
        invented: invented.then(|| words(Language::English).sheet.invented.clone()),
        alert: alert.clone(),
        contacts: crate::make::contacts(clinic, true, Language::English),
        no_sheet: "No exercises are offered until a clinician has cleared this.".to_owned(),
    }
}

impl AlertSheet {
    /// The alert as text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut lines = vec![
            self.title.to_uppercase(),
            format!("{}, {}", self.person, words(Language::English).date(self.made_on)),
        ];
        lines.extend(self.invented.clone());
        for line in &self.alert.lines {
            lines.push(String::new());
            lines.push(format!("{} ({})", line.words, line.rule));
            lines.push(line.call.clone());
        }
        lines.push(String::new());
        lines.push(self.no_sheet.clone());
        for contact in &self.contacts {
            let value = contact.value.clone().unwrap_or_else(|| "_".repeat(24));
            lines.push(format!("{}: {value}", contact.label));
        }
        lines.join("\n") + "\n"
    }

    /// The alert as JSON.
    #[must_use]
    pub fn json(&self) -> serde_json::Value {
        serde_json::to_value(self).unwrap_or(serde_json::Value::Null)
    }
}
