//! The question to the surgeon: what closes which movements, boxes to tick, and what each answer would open.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use movement::{Bearing, Family};
use person::Involved;

use super::facts::{LetterFacts, Opened, OrderAsked, RuleBehind, ToAsk, Way};
use super::parts::{about_one, closed, counted, today};
use super::say::{Say, key_of, small};
use super::{Block, Choice, Letter, LetterKind, LetterPart, Row, part};
use crate::language::{Language, fill};

/// Of one answer so many limbs and families are named; the rest is counted.
const NAMED: usize = 3;

pub(super) fn question(facts: &LetterFacts<'_>, language: Language) -> Letter {
    let say = Say::of(language);
    let words = &say.w.question;
    let mut out = about_one(LetterKind::QuestionToSurgeon, facts, say, &words.to);
    out.parts.extend(part(&say.w.progress_note.now, today(facts, say)));
    let mut shut = closed(facts, say);
    shut.extend(how_many(facts.ways, say));
    out.parts.extend(part(&say.w.referral.restricted, shut));
    out.parts.push(asked(facts.question, facts.today, say));
    let mut reply = vec![Row::keep(&words.wider), Row::ranked(1, words.computed.as_str())];
    reply.extend(
        facts
            .case
            .clinic
            .phone
            .as_ref()
            .map(|phone| Row::keep(fill(&words.reply_phone, &[("phone", phone)]))),
    );
    out.parts.extend(part(&words.reply, reply));
    out
}

/// How many movements are open today, by family, limb and direction; nothing where the space is not known.
fn how_many(ways: &[Way], say: Say) -> Option<Row> {
    let key = |way: &Way| (way.family, way.mover, way.bearing);
    let all: BTreeSet<_> = ways.iter().map(key).collect();
    let open: BTreeSet<_> = ways.iter().filter(|way| way.open.is_some()).map(key).collect();
    let counts = [("of", &all.len().to_string()), ("open", &open.len().to_string())];
    let counts = counts.map(|(key, count)| (key, count.as_str()));
    (!all.is_empty()).then(|| Row::ranked(1, fill(say.w.question.open_of.of(open.len()), &counts)))
}

fn asked(all: &[OrderAsked], today: Date, say: Say) -> LetterPart {
    let words = &say.w.question;
    if all.is_empty() {
        return LetterPart {
            title: String::new(),
            blocks: vec![Block::Sentences { rows: vec![Row::keep(&words.nothing)], left_out: 0 }],
        };
    }
    let mut blocks = vec![
        Block::Sentences { rows: vec![Row::keep(&words.asked)], left_out: 0 },
        Block::Choices { choices: all.iter().map(|one| choice(one, today, say)).collect() },
    ];
    let varies = varies(all, say);
    if !varies.is_empty() {
        blocks.push(Block::Sentences { rows: varies, left_out: 0 });
    }
    LetterPart { title: String::new(), blocks }
}

fn choice(one: &OrderAsked, today: Date, say: Say) -> Choice {
    let words = &say.w.question;
    let opens = opens(&one.opens, say);
    let with = |some: &str, none: &str| match &opens {
        Some(opens) => fill(some, &[("opens", opens)]),
        None => none.to_owned(),
    };
    let lift_nothing = if one.stands { &words.lift_nothing } else { &words.lift_changes_nothing };
    let (question, options) = match &one.about {
        ToAsk::Order { order } => (
            say.order(order, today),
            vec![with(&words.lift, lift_nothing), words.keep.clone(), words.change_to.clone()],
        ),
        ToAsk::Weight { side, order } => (
            say.weight(*side, order),
            vec![with(&words.full, &words.full_nothing), words.keep.clone(), words.change_to.clone()],
        ),
        ToAsk::WeightUnknown { side } => (
            format!("{}.", words.weight_unknown.of(*side)),
            vec![with(&words.full, &words.full_nothing), words.tell.clone()],
        ),
        ToAsk::Precautions { involved } => {
            let sides = &words.precautions;
            let which = match involved {
                Involved::Left => &sides.left,
                Involved::Right => &sides.right,
                Involved::Both | Involved::General => &sides.both,
            };
            (
                format!("{which}."),
                vec![with(&words.lift, &words.lift_nothing), words.keep.clone(), words.change_to.clone()],
            )
        }
        ToAsk::ApproachUnknown => (format!("{}.", words.approach_unknown), vec![words.tell.clone()]),
        ToAsk::Review => {
            (words.review.clone(), vec![with(&words.done, &words.done_nothing), words.tell.clone()])
        }
    };
    let mut behind = Vec::new();
    let rules: Vec<String> = one.rules.iter().filter(|rule| !rule.source.is_empty()).map(named).collect();
    if !rules.is_empty() {
        behind.push(fill(&words.rules, &[("rules", &say.join(&rules))]));
    }
    if matches!(one.about, ToAsk::Precautions { .. }) {
        behind.extend(safety::precaution_studies().iter().map(|study| evidence(study, say)));
    }
    Choice { question, behind, options }
}

fn evidence(study: &safety::PrecautionStudy, say: Say) -> String {
    let ([with, with_of], [without, without_of]) = (study.with_precautions, study.without_precautions);
    let counts = [("with", with), ("with_of", with_of), ("without", without), ("without_of", without_of)];
    let counts = counts.map(|(key, count)| (key, count.to_string()));
    let mut values: Vec<(&str, &str)> = counts.iter().map(|(key, count)| (*key, count.as_str())).collect();
    let words = &say.w.question;
    let of = |table: &BTreeMap<String, String>, key: String| table.get(&key).cloned().unwrap_or_default();
    let certainty = of(&words.certainty, key_of(&study.certainty));
    let read = of(&words.read, key_of(&study.read));
    values.extend([("certainty", certainty.as_str()), ("read", read.as_str())]);
    values.push(("source", quantity::reference::short_cite(&study.source)));
    fill(&words.evidence, &values)
}

fn named(rule: &RuleBehind) -> String {
    format!("{} ({})", rule.rule, rule.source)
}

/// `Step, right leg medial and anteromedial; …`: the limbs and families with most directions, the rest counted.
fn opens(all: &[Opened], say: Say) -> Option<String> {
    let mut groups: Vec<(&Opened, Vec<Bearing>)> = Vec::new();
    for one in all {
        let same = |(known, _): &&mut (&Opened, Vec<Bearing>)| {
            (known.family, known.mover, known.turning) == (one.family, one.mover, one.turning)
        };
        match groups.iter_mut().find(same) {
            Some((_, bearings)) if bearings.contains(&one.bearing) => {}
            Some((_, bearings)) => bearings.push(one.bearing),
            None => groups.push((one, vec![one.bearing])),
        }
    }
    // Steps first: they are what everybody knows.
    groups.sort_by_key(|(one, of)| {
        (one.family != Family::Step, one.turning, std::cmp::Reverse(of.len()), one.family, one.mover)
    });
    let mut said: Vec<String> = groups
        .iter()
        .take(NAMED)
        .map(|(one, bearings)| {
            let mut family = small(&say.family(one.family));
            if one.turning {
                family = fill(&say.w.question.turning, &[("family", &family)]);
            }
            let ways = say.ways(one.family, one.mover, bearings);
            fill(say.w.question.opens_limb.of(one.mover), &[("family", &family), ("directions", &ways)])
        })
        .collect();
    let more: usize = groups.iter().skip(NAMED).map(|(_, bearings)| bearings.len()).sum();
    if more > 0 {
        said.push(counted(&say.w.question.opens_more, more));
    }
    (!said.is_empty()).then(|| say.join(&said))
}

/// Where sources differ, each rule once; the words of a table of rules are English and say so elsewhere.
fn varies(all: &[OrderAsked], say: Say) -> Vec<Row> {
    let mut told: Vec<&str> = Vec::new();
    let mut rows = Vec::new();
    for rule in all.iter().flat_map(|one| &one.rules) {
        if rule.varies.is_empty() || told.contains(&rule.rule.as_str()) {
            continue;
        }
        told.push(&rule.rule);
        let quoted = fill(&say.w.names.quoted, &[("words", &rule.varies)]);
        let rank = u8::try_from(told.len() + 1).unwrap_or(u8::MAX);
        rows.push(Row::ranked(
            rank,
            fill(&say.w.question.varies, &[("rule", &rule.rule), ("words", &quoted)]),
        ));
    }
    rows
}

#[cfg(test)]
mod tests {
    use quantity::reference::HowRead;
    use safety::{Certainty, PrecautionStudy};

    use super::*;

    /// Another study in the table is not called as certain as this one, nor read where this one was.
    #[test]
    fn certainty_and_how_a_study_was_read_are_said_as_the_table_has_them() {
        let study = |certainty, read| PrecautionStudy {
            with_precautions: [1, 100],
            without_precautions: [2, 100],
            certainty,
            source: "reimert2022".to_owned(),
            read,
        };
        let told = |language, certainty, read| evidence(&study(certainty, read), Say::of(language));
        for (language, certainty, read) in [
            (Language::English, "very low", "read in the text"),
            (Language::French, "très faible", "lu dans le texte"),
            (Language::Spanish, "muy baja", "leído en el texto"),
        ] {
            let text = told(language, Certainty::VeryLow, HowRead::Text);
            assert!(text.contains(certainty) && text.contains(read), "{text}");
            for certainty in [Certainty::High, Certainty::Moderate, Certainty::Low] {
                for read in [HowRead::Abstract, HowRead::Derived, HowRead::Secondary, HowRead::Memory] {
                    let other = told(language, certainty, read);
                    assert!(!other.contains("  ") && !other.contains(", )") && other != text, "{other}");
                }
            }
        }
    }
}
