//! The summary for the colleague who covers: what to do, what not, when to stop and whom to call.

use super::facts::LetterFacts;
use super::notes::{call, signs};
use super::parts::{about_one, closed, orders, plan, today, unknown_list};
use super::say::Say;
use super::{Letter, LetterKind, Row, part, practice};
use crate::language::{Language, fill};
use crate::settings::accepted;

pub(super) fn cover(facts: &LetterFacts<'_>, language: Language) -> Letter {
    let say = Say::of(language);
    let words = &say.w.cover;
    let mut out = about_one(LetterKind::Cover, facts, say, &words.to);
    let mut now = today(facts, say);
    now.extend(orders(facts.case, facts.today, say));
    out.parts.extend(part(&say.w.progress_note.now, now));
    out.parts.extend(part(&words.r#do, plan(facts, say)));
    let mut not = closed(facts, say);
    not.push(Row::keep(&words.no_step_up));
    out.parts.extend(part(&words.do_not, not));
    let mut watch = vec![Row::keep(&words.stop)];
    watch.push(Row::keep(match accepted(facts.case, facts.today) {
        Some(pain) => fill(&words.pain_accepted, &[("number", &pain.up_to.to_string())]),
        None => words.pain_rule.clone(),
    }));
    watch.extend(signs(facts, say));
    watch.extend(call(facts, say));
    out.parts.extend(part(&words.watch, watch));
    out.parts.extend(part(&say.w.practice.title, practice::rows(facts.practised, say)));
    let next = if facts.unknown.is_empty() {
        words.next_none.clone()
    } else {
        fill(&words.next_ask, &[("what", &unknown_list(facts.unknown, say))])
    };
    out.parts.extend(part(&words.next, vec![Row::ranked(1, next)]));
    out
}
