//! Everybody by name, with what Today needs of each: kept up to date entry by entry, wiped at the lock.
//!
//! A row holds days ([`Brief`]), not verdicts. What they mean is judged for one day and one setting of the
//! clinic and judged anew for all when either changes, which takes milliseconds. Whoever gets an entry
//! falls behind and is read again from the records before anything is listed, so a list is never older
//! than the last entry that was acknowledged.

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use jiff::civil::Date;
use store::PersonId;

use crate::attention::{Attention, Reason, reasons};
use crate::brief::Brief;
use crate::{PersonLine, PersonState, Settings};

/// What is known of one person.
pub(crate) struct Row {
    pub(crate) line: PersonLine,
    /// What Today needs, or why it cannot be read.
    pub(crate) brief: Result<Brief, String>,
}

/// One person in the register.
struct Known {
    line: PersonLine,
    /// The name in small letters, by which lists are sorted.
    name: Arc<str>,
    /// Name, number and birth in small letters, for finding.
    words: Box<str>,
    /// None before it was read.
    brief: Option<Result<Brief, String>>,
    /// For the day and the settings that were judged last.
    reasons: Vec<Reason>,
}

/// Everybody in the records.
#[derive(Default)]
pub(crate) struct Register {
    people: HashMap<PersonId, Known>,
    by_name: BTreeSet<(Arc<str>, PersonId)>,
    /// Whoever needs attention, in the order of the list.
    urgent: BTreeSet<(Reason, Arc<str>, PersonId)>,
    /// Those whose entries were not read since the unlock.
    unread: BTreeSet<PersonId>,
    /// Those who got an entry since they were read.
    behind: BTreeSet<PersonId>,
    judged: Option<(Date, Settings)>,
}

impl Register {
    /// Everybody by name; nobody's entries are read yet.
    pub(crate) fn of(lines: Vec<PersonLine>) -> Self {
        let mut all = Self { unread: lines.iter().map(|line| line.id).collect(), ..Self::default() };
        for line in lines {
            all.set(line, None);
        }
        all
    }

    fn set(&mut self, line: PersonLine, brief: Option<Result<Brief, String>>) {
        let id = line.id;
        self.take_away(id);
        let name: Arc<str> = line.person.name.to_lowercase().into();
        let words = line.person.words_to_find().into();
        self.by_name.insert((name.clone(), id));
        self.people.insert(id, Known { line, name, words, brief, reasons: Vec::new() });
        if let Some((day, settings)) = self.judged.clone() {
            self.judge_one(id, day, &settings);
        }
    }

    fn take_away(&mut self, id: PersonId) {
        if let Some(known) = self.people.remove(&id) {
            self.by_name.remove(&(known.name.clone(), id));
            if let Some(first) = known.reasons.into_iter().next() {
                self.urgent.remove(&(first, known.name, id));
            }
        }
    }

    fn judge_one(&mut self, id: PersonId, day: Date, settings: &Settings) {
        let Some(known) = self.people.get_mut(&id) else { return };
        if let Some(first) = known.reasons.first() {
            self.urgent.remove(&(first.clone(), known.name.clone(), id));
        }
        known.reasons = match &known.brief {
            Some(_) if known.line.person.state != PersonState::Open => Vec::new(),
            Some(Ok(brief)) => reasons(brief, settings, day),
            Some(Err(why)) => vec![Reason::Unreadable { why: why.clone() }],
            None => Vec::new(),
        };
        if let Some(first) = known.reasons.first() {
            self.urgent.insert((first.clone(), known.name.clone(), id));
        }
    }

    /// Judges everybody for a day and the settings of the clinic, unless that was done.
    pub(crate) fn judge(&mut self, day: Date, settings: &Settings) {
        if self.judged.as_ref().is_some_and(|(of, by)| *of == day && by == settings) {
            return;
        }
        self.judged = Some((day, settings.clone()));
        let all: Vec<PersonId> = self.people.keys().copied().collect();
        for id in all {
            self.judge_one(id, day, settings);
        }
    }

    /// Somebody got an entry, or is new, or was destroyed.
    pub(crate) fn falls_behind(&mut self, id: PersonId) {
        self.behind.insert(id);
    }

    /// Those who are behind, if they are so few that a page can wait for them; many are left to be read
    /// beside it.
    pub(crate) fn behind(&mut self, most: usize) -> Vec<PersonId> {
        if self.behind.len() > most {
            for id in std::mem::take(&mut self.behind) {
                // Nobody is named for what was true before.
                if let Some(line) = self.people.get(&id).map(|known| known.line.clone()) {
                    self.set(line, None);
                }
                self.unread.insert(id);
            }
        }
        self.behind.iter().copied().collect()
    }

    /// The next of those who were not read yet, who came last first; in the order of their ids.
    pub(crate) fn unread(&self, most: usize) -> Vec<PersonId> {
        let mut part: Vec<PersonId> = self.unread.iter().rev().take(most).copied().collect();
        part.reverse();
        part
    }

    /// How many people are read, of how many; none when all are.
    pub(crate) fn reading(&self) -> Option<(usize, usize)> {
        let new = self.unread.iter().filter(|id| !self.people.contains_key(id)).count();
        let all = self.people.len() + new;
        (!self.unread.is_empty()).then(|| (all - self.unread.len(), all))
    }

    /// Takes over what was read of somebody; nothing when there is no such person any more.
    pub(crate) fn take(&mut self, id: PersonId, row: Option<Row>) {
        self.unread.remove(&id);
        self.behind.remove(&id);
        match row {
            Some(row) => self.set(row.line, Some(row.brief)),
            None => self.take_away(id),
        }
    }

    /// How many people there are.
    pub(crate) fn len(&self) -> usize {
        self.people.len()
    }

    /// How many need attention.
    pub(crate) fn needing(&self) -> usize {
        self.urgent.len()
    }

    /// Some of those who need attention, the most pressing first.
    pub(crate) fn attention(&self, from: usize, most: usize) -> Vec<Attention> {
        let some = self.urgent.iter().skip(from).take(most);
        some.filter_map(|(.., id)| {
            let known = self.people.get(id)?;
            Some(Attention {
                person: *id,
                name: known.line.person.name.clone(),
                number: known.line.person.number.clone(),
                reasons: known.reasons.clone(),
            })
        })
        .collect()
    }

    /// Those whose name, number or birth has every word of `asked`, by name; `most` of them, and how many
    /// there are.
    pub(crate) fn find(&self, asked: &str, most: usize) -> (Vec<PersonLine>, usize) {
        let asked = asked.to_lowercase();
        let words: Vec<&str> = asked.split_whitespace().collect();
        let (mut found, mut count) = (Vec::new(), 0);
        for known in self.by_name.iter().filter_map(|(_, id)| self.people.get(id)) {
            if words.iter().all(|word| known.words.contains(word)) {
                count += 1;
                if found.len() < most {
                    found.push(known.line.clone());
                }
            }
        }
        (found, count)
    }
}
