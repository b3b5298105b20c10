//! What a therapist answered to each proposal: accepted, something else in its place, or declined with a reason.

use app::{Adapted, Instead, Proposal};
use progress::Verdict;

use crate::fields::Fields;

/// The answer to one proposal.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct One {
    /// Place among the proposals.
    pub(super) at: usize,
    pub(super) verdict: Verdict,
    /// What is taken in its place, by key.
    pub(super) instead: Option<String>,
    pub(super) why: String,
}

/// All answers of one form, and what they were given to.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Answers {
    /// The log, programme and earlier visits that the proposals were made of.
    pub(super) key: String,
    pub(super) all: Vec<One>,
}

impl Answers {
    /// What is taken, each as a proposal of its own.
    pub(super) fn taken(&self, adapted: &Adapted) -> Vec<Proposal> {
        let taken = self.all.iter().filter(|one| one.verdict != Verdict::Declined);
        let proposal = |one: &One| {
            let proposal = adapted.proposals.get(one.at)?;
            match &one.instead {
                None => Some(proposal.clone()),
                Some(key) => find(proposal, key).map(|other| other.proposal),
            }
        };
        taken.filter_map(proposal).collect()
    }

    /// A name for these answers to these proposals.
    pub(super) fn name(&self) -> String {
        use std::hash::{DefaultHasher, Hash, Hasher};
        let mut hash = DefaultHasher::new();
        format!("{self:?}").hash(&mut hash);
        format!("{}-{:016x}", self.key, hash.finish())
    }
}

pub(super) fn find(proposal: &Proposal, key: &str) -> Option<Instead> {
    proposal.instead().into_iter().find(|other| other.key == key)
}

/// The field of an answer, and of its reason.
pub(super) fn field(proposal: &Proposal) -> String {
    format!("answer:{}", proposal.key())
}

pub(super) fn why_field(proposal: &Proposal) -> String {
    format!("why:{}", proposal.key())
}

/// Before the key of what is taken in the place of a proposal.
pub(super) const INSTEAD: &str = "instead:";

/// Reads the answers. What was not answered is not in them, and nothing comes of it. `all` accepts everything that was
/// proposed and not answered; what only a therapist can set off is no part of that.
///
/// # Errors
/// Something was changed or declined without a reason, or nothing was answered.
pub(super) fn parse(fields: &Fields, adapted: &Adapted, key: &str) -> Result<Answers, String> {
    let everything = fields.ticked("all");
    let mut all = Vec::new();
    for (at, proposal) in adapted.proposals.iter().enumerate() {
        let given = fields.get(&field(proposal));
        let why = fields.get(&why_field(proposal)).trim().to_owned();
        let (verdict, instead) = match given {
            "accept" => (Verdict::Accepted, None),
            "decline" => (Verdict::Declined, None),
            "" if everything && !proposal.only_offered => (Verdict::Accepted, None),
            "" => continue,
            other => {
                let key = other.strip_prefix(INSTEAD).unwrap_or_default();
                if find(proposal, key).is_none() {
                    return Err(format!(
                        "`{other}` is no answer to this: {} Choose one of those that stand beside it.",
                        proposal.words
                    ));
                }
                (Verdict::Changed, Some(key.to_owned()))
            }
        };
        if verdict != Verdict::Accepted && why.is_empty() {
            let what = if verdict == Verdict::Declined { "declined" } else { "changed" };
            return Err(format!(
                "Something was {what} without a reason. Write why in a few words: {}",
                proposal.words
            ));
        }
        all.push(One { at, verdict, instead, why });
    }
    if all.is_empty() {
        return Err(
            "Nothing was answered, so nothing is changed. Accept, change or decline at least one.".to_owned()
        );
    }
    Ok(Answers { key: key.to_owned(), all })
}
