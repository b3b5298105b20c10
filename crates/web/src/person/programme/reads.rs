//! How what goes home reads: language, units, for which reader, on which paper. One parser for every way out.

use clinic::Paper;
use document::{Edition, Language, Units, Wording};
use maud::{Markup, html};

use crate::fields::Fields;

const LANGUAGES: [(Language, &str); 3] =
    [(Language::English, "English"), (Language::French, "Français"), (Language::Spanish, "Español")];
const UNITS: [(Units, &str, &str); 2] =
    [(Units::Metric, "metric", "centimetres, kilograms"), (Units::Imperial, "imperial", "inches, pounds")];
pub(super) const PAPERS: [(Paper, &str, &str); 2] =
    [(Paper::A4, "a4", "A4"), (Paper::Letter, "letter", "Letter")];

/// Editions as a form names them.
const EDITIONS: [(&str, &str); 4] = [
    ("standard", "18 points"),
    ("large", "24 points, for poor sight"),
    ("bilingual", "two languages side by side"),
    ("numerals", "pictures, numerals and arrows, for an interpreter"),
];

/// Language and units.
pub(super) fn wording(fields: &Fields) -> Result<Wording, String> {
    let units = match fields.get("units") {
        "" => Units::Metric,
        typed => {
            UNITS.into_iter().find(|(_, key, _)| *key == typed).map(|(units, ..)| units).ok_or_else(|| {
                format!("Units cannot be `{typed}`; accepted: metric, imperial. Choose one of them.")
            })?
        }
    };
    Ok(Wording { language: language(fields, "language")?.unwrap_or(Language::English), units })
}

fn language(fields: &Fields, name: &str) -> Result<Option<Language>, String> {
    match fields.get(name) {
        "" => Ok(None),
        typed => typed.parse().map(Some).map_err(|_| {
            format!("The language cannot be `{typed}`; accepted: en, fr, es. Choose one of them.")
        }),
    }
}

/// For which reader; none where the findings decide.
pub(super) fn edition(fields: &Fields, of: Language) -> Result<Option<Edition>, String> {
    Ok(Some(match fields.get("edition") {
        "" => return Ok(None),
        "standard" => Edition::Standard,
        "large" => Edition::LargeType,
        "numerals" => Edition::Numerals,
        "bilingual" => {
            let usual = if of == Language::English { Language::French } else { Language::English };
            let beside = language(fields, "beside")?.unwrap_or(usual);
            if beside == of {
                return Err(
                    "The sheet in two languages was asked for with the same language twice; accepted: two of English, \
                     French, Spanish. Choose another language beside it."
                        .to_owned(),
                );
            }
            Edition::Bilingual { beside }
        }
        typed => {
            return Err(format!(
                "The edition cannot be `{typed}`; accepted: standard, large, bilingual, numerals. Choose one of them."
            ));
        }
    }))
}

/// The paper; the clinic's usual one where none is named.
#[cfg(feature = "pdf")]
pub(super) fn paper(fields: &Fields, usual: Paper) -> Result<Paper, String> {
    match fields.get("paper") {
        "" => Ok(usual),
        typed => {
            PAPERS.into_iter().find(|(_, key, _)| *key == typed).map(|(paper, ..)| paper).ok_or_else(|| {
                format!("The paper cannot be `{typed}`; accepted: a4, letter. Choose one of them.")
            })
        }
    }
}

/// The fields of language and units; `of` keeps their names apart on a page.
pub(super) fn wording_fields(of: &str) -> Markup {
    html! {
        p {
            label for={ (of) "-language" } { "Language" }
            select id={ (of) "-language" } name="language" {
                @for (language, name) in LANGUAGES { option value=(language) { (name) } }
            }
        }
        p {
            label for={ (of) "-units" } { "Units" }
            select id={ (of) "-units" } name="units" {
                @for (_, key, words) in UNITS { option value=(key) { (words) } }
            }
        }
    }
}

/// The fields of edition and paper.
pub(super) fn paper_fields(large: bool, usual: Paper) -> Markup {
    let proposed = if large { "large" } else { "standard" };
    html! {
        p {
            label for="paper" { "Paper" }
            select id="paper" name="paper" {
                @for (paper, key, words) in PAPERS { option value=(key) selected[paper == usual] { (words) } }
            }
        }
        p {
            label for="edition" { "Edition" }
            select id="edition" name="edition" {
                @for (key, words) in EDITIONS { option value=(key) selected[key == proposed] { (words) } }
            }
        }
        p {
            label for="beside" { "Second language, if two" }
            select id="beside" name="beside" {
                option value="" { "English, or French beside it" }
                @for (language, name) in LANGUAGES { option value=(language) { (name) } }
            }
        }
    }
}

/// What was chosen, in short, for the audit; nothing for what is usual.
pub(super) fn in_short(wording: Wording, edition: Option<Edition>) -> String {
    let mut out = String::new();
    if wording.language != Language::English {
        out.push_str(&format!(", {}", wording.language));
    }
    if wording.units == Units::Imperial {
        out.push_str(", imperial");
    }
    match edition {
        None | Some(Edition::Standard) => {}
        Some(Edition::LargeType) => out.push_str(", large type"),
        Some(Edition::Numerals) => out.push_str(", numerals"),
        Some(Edition::Bilingual { beside }) => out.push_str(&format!(", beside {beside}")),
    }
    out
}
