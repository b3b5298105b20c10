//! Progress note, referral letter and discharge plan.

use super::change_rows::changed;
use super::facts::{LetterFacts, Planned};
use super::parts::{about_one, closed, estimated, goals, orders, plan, today};
use super::say::Say;
use super::{Block, Choice, Letter, LetterKind, LetterPart, Row, part, practice};
use crate::data::Section;
use crate::language::{Language, Units, Wording, fill};
use crate::make::{emergency, seen_today};
use crate::settings::SheetSettings;

pub(super) fn progress_note(facts: &LetterFacts<'_>, language: Language) -> Letter {
    let say = Say::of(language);
    let words = &say.w.progress_note;
    let mut out = about_one(LetterKind::ProgressNote, facts, say, &say.w.frame.to);
    let mut now = today(facts, say);
    now.push(goals(facts.case, say));
    now.extend(orders(facts.case, facts.today, say).into_iter().map(|row| Row { rank: 2, ..row }));
    out.parts.extend(part(&words.now, now));
    out.parts.push(changed(&words.changed, facts, say, true));
    out.parts.extend(part(&say.w.practice.title, practice::rows(facts.practised, say)));
    out.parts.extend(part(&say.w.plan.title, plan(facts, say)));
    out.parts.extend(estimated(facts, say));
    out
}

pub(super) fn referral(facts: &LetterFacts<'_>, language: Language) -> Letter {
    let say = Say::of(language);
    let words = &say.w.referral;
    let mut out = about_one(LetterKind::Referral, facts, say, &words.to);
    out.parts.push(LetterPart {
        title: words.reason.clone(),
        blocks: vec![
            // Only the clinician knows why; nothing is invented here.
            Block::Lines { labels: vec![words.reason_line.clone(), String::new()] },
            Block::Choices {
                choices: vec![Choice {
                    question: words.urgency.clone(),
                    behind: Vec::new(),
                    options: words.soon.clone(),
                }],
            },
        ],
    });
    let mut found = today(facts, say);
    found.push(goals(facts.case, say));
    found.extend(orders(facts.case, facts.today, say));
    out.parts.extend(part(&words.found, found));
    out.parts.push(changed(&words.measured, facts, say, false));
    out.parts.extend(part(&say.w.practice.title, practice::rows(facts.practised, say)));
    out.parts.extend(part(&words.restricted, closed(facts, say)));
    out.parts.extend(part(&say.w.plan.title, plan(facts, say)));
    out.parts.extend(estimated(facts, say));
    out
}

pub(super) fn discharge(facts: &LetterFacts<'_>, language: Language) -> Letter {
    let say = Say::of(language);
    let words = &say.w.discharge;
    let mut out = about_one(LetterKind::Discharge, facts, say, &say.w.frame.to);
    out.parts.extend(part(&words.goals, vec![goals(facts.case, say)]));
    out.parts.push(changed(&words.reached, facts, say, true));
    out.parts.extend(part(&say.w.practice.title, practice::rows(facts.practised, say)));
    out.parts.extend(part(&words.keep, plan(facts, say)));
    let mut back = vec![Row::keep(match facts.planned {
        Planned::Programme(programme) | Planned::Proposed(programme) => {
            fill(&words.back_date, &[("date", &say.date(programme.use_until))])
        }
        Planned::NoneMade | Planned::NotPossible => words.back_no_date.clone(),
    })];
    back.extend(words.back_soon.iter().map(Row::keep));
    back.extend(signs(facts, say));
    back.extend(call(facts, say));
    out.parts.extend(part(&words.back, back));
    out.parts.extend(estimated(facts, say));
    out
}

/// When to be seen the same day and when to call the emergency number, in the very words of the sheet.
pub(super) fn signs(facts: &LetterFacts<'_>, say: Say) -> Vec<Row> {
    let settings = sheet_settings(facts, say);
    [seen_today(&settings), emergency(&facts.case.clinic, &settings)]
        .map(|signs| sign_row(&signs, say))
        .to_vec()
}

/// `Call 112 now if: Your chest hurts or you cannot get your breath. …`
pub(super) fn sign_row(signs: &Section, say: Say) -> Row {
    Row::keep(format!("{}{}{}", signs.title, say.w.names.colon, signs.sentences.join(" ")))
}

fn sheet_settings(facts: &LetterFacts<'_>, say: Say) -> SheetSettings {
    let wording = Wording { language: say.language, units: Units::Metric };
    SheetSettings::of(facts.case, None, facts.today, wording)
}

/// Whom to call; a number that nobody gave is a line to write on. The surgical team only where somebody was operated on.
pub(super) fn call(facts: &LetterFacts<'_>, say: Say) -> Vec<Row> {
    let words = &say.w.discharge;
    let clinic = &facts.case.clinic;
    let name = clinic.name.clone().unwrap_or_else(|| say.w.frame.therapist.clone());
    let surgical = (words.surgical.clone(), clinic.surgical_team_phone.as_ref());
    let surgical = sheet_settings(facts, say).operated.then_some(surgical);
    let lines = [(name, clinic.phone.as_ref())]
        .into_iter()
        .chain(surgical)
        .chain([(words.emergency.clone(), clinic.emergency_number.as_ref())]);
    let said: Vec<String> = lines
        .map(|(who, number)| {
            let number = number.cloned().unwrap_or_else(|| words.call_unknown.clone());
            fill(&words.call, &[("who", &who), ("number", &number)])
        })
        .collect();
    said.into_iter().map(Row::keep).collect()
}
