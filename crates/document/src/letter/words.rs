//! The sentences of letters: one file a language in `assets/language/letters/`, read into [`LetterWords`].
//!
//! A key that one language lacks, or that nobody uses, does not load. Tests, findings and motions have English
//! words in the engine; the English tables of that name hold only what the engine has no word for.

mod kinds;
mod names;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

pub(super) use kinds::{
    ClassWords, CoverWords, DischargeWords, EstimatedWords, PlanWords, PracticeWords, ProgressWords,
    QuestionWords, ReferralWords, ReturnWords, SpaceWords, TodayWords,
};
pub(super) use names::{BySides, ChangeWords, ChartWords, FrameWords, Names, OrderWords, WeightWords};

use crate::language::Language;

/// Every sentence of the letters of one language.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LetterWords {
    pub names: Names,
    pub directions: BTreeMap<String, String>,
    pub families: BTreeMap<String, String>,
    pub supports: BTreeMap<String, String>,
    pub conditions: BTreeMap<String, BySides>,
    pub forms: BTreeMap<String, String>,
    pub weight: WeightWords,
    pub orders: OrderWords,
    pub change: ChangeWords,
    pub frame: FrameWords,
    pub progress_note: ProgressWords,
    pub today: TodayWords,
    pub practice: PracticeWords,
    pub plan: PlanWords,
    pub estimated: EstimatedWords,
    pub referral: ReferralWords,
    pub space: SpaceWords,
    pub discharge: DischargeWords,
    pub returning: ReturnWords,
    pub activities: BTreeMap<String, String>,
    pub cover: CoverWords,
    pub class_list: ClassWords,
    pub question: QuestionWords,
    pub tests: BTreeMap<String, String>,
    pub findings: BTreeMap<String, String>,
    pub motions: BTreeMap<String, String>,
    pub observations: BTreeMap<String, String>,
    pub reach_chart: ChartWords,
}

/// Every sentence of a language. Read once; the files are part of the program.
pub(super) fn letter_words(language: Language) -> &'static LetterWords {
    static ALL: LazyLock<[LetterWords; 3]> = LazyLock::new(|| Language::ALL.map(read));
    match language {
        Language::English => &ALL[0],
        Language::French => &ALL[1],
        Language::Spanish => &ALL[2],
    }
}

fn read(language: Language) -> LetterWords {
    let text = match language {
        Language::English => include_str!("../../../../assets/language/letters/en.toml"),
        Language::French => include_str!("../../../../assets/language/letters/fr.toml"),
        Language::Spanish => include_str!("../../../../assets/language/letters/es.toml"),
    };
    // The file is embedded and a test reads all three, so that a person never meets this.
    toml::from_str(text)
        .unwrap_or_else(|error| panic!("the letters in `{}` do not load: {error}", language.code()))
}

#[cfg(test)]
mod tests {
    use anatomy::{Coordinate, JointMotion};
    use measurement::InstrumentKey;
    use movement::{AnatomicalDirection, Family};
    use person::{Answer, Presentation};

    use super::*;

    fn complete(table: &BTreeMap<String, String>, keys: impl Iterator<Item = String>, what: &str) {
        let mut wanted: Vec<String> = keys.collect();
        wanted.sort();
        wanted.dedup();
        let have: Vec<String> = table.keys().cloned().collect();
        assert_eq!(have, wanted, "{what}");
    }

    #[test]
    fn every_name_of_the_engine_has_its_words_in_every_language() {
        for language in Language::ALL {
            let words = letter_words(language);
            let of = |what: &str| format!("{what} in {}", language.code());
            complete(
                &words.directions,
                AnatomicalDirection::ALL.iter().map(|one| one.name().to_owned()),
                &of("directions"),
            );
            for family in Family::ALL {
                assert!(words.families.contains_key(&super::super::say::key_of(&family)), "{family}");
            }
            for one in Presentation::ALL {
                assert!(words.conditions.contains_key(one.key()), "{}", of(one.key()));
                for form in one.patterns() {
                    assert!(words.forms.contains_key(form.key()), "{}", of(form.key()));
                }
            }
            complete(
                &words.activities,
                progress::Activity::ALL.iter().map(|one| one.key().to_owned()),
                &of("activities"),
            );
            complete(
                &words.observations,
                progress::observations().map(|(key, _)| key.to_owned()),
                &of("observations"),
            );
            if language != Language::English {
                complete(&words.tests, InstrumentKey::all().map(|key| key.as_str().to_owned()), &of("tests"));
                complete(
                    &words.motions,
                    Coordinate::LEG
                        .into_iter()
                        .chain(Coordinate::TRUNK)
                        .flat_map(|one| [one.positive(), one.negative()].map(JointMotion::key)),
                    &of("motions"),
                );
                let keys = safety::FindingKey::ALL.iter().map(|key| key.key());
                let answers = Answer::ALL.iter().map(|answer| answer.key().to_owned());
                complete(
                    &words.findings,
                    keys.chain(answers).chain(["confirmation".to_owned()]),
                    &of("findings"),
                );
            }
        }
    }

    #[test]
    fn sentences_name_the_same_places_in_every_language_and_french_keeps_its_spaces() {
        fn walk(of: &toml::Value, path: &str, out: &mut BTreeMap<String, String>) {
            match of {
                toml::Value::String(text) => {
                    out.insert(path.to_owned(), text.clone());
                }
                toml::Value::Array(all) => {
                    for (at, one) in all.iter().enumerate() {
                        walk(one, &format!("{path}/{at}"), out);
                    }
                }
                toml::Value::Table(table) => {
                    for (key, one) in table {
                        walk(one, &format!("{path}/{key}"), out);
                    }
                }
                _ => {}
            }
        }
        fn places(text: &str) -> Vec<&str> {
            let mut out: Vec<&str> =
                text.split('{').skip(1).filter_map(|rest| rest.split('}').next()).collect();
            out.sort_unstable();
            out
        }
        let [english, french, spanish] = [
            include_str!("../../../../assets/language/letters/en.toml"),
            include_str!("../../../../assets/language/letters/fr.toml"),
            include_str!("../../../../assets/language/letters/es.toml"),
        ]
        .map(|text| {
            let mut out = BTreeMap::new();
            walk(&text.parse::<toml::Table>().map(toml::Value::Table).expect("a table"), "", &mut out);
            out
        });
        for (path, text) in &english {
            for other in [&french, &spanish] {
                let theirs = other.get(path).unwrap_or_else(|| panic!("{path} is missing"));
                assert_eq!(places(text), places(theirs), "{path}");
            }
        }
        for (path, text) in &french {
            for sign in [':', ';', '!', '?', '%'] {
                assert!(!text.contains(&format!(" {sign}")), "{path}: a plain space before `{sign}`");
            }
        }
    }
}
